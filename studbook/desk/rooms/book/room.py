"""The Book: whose it is, whom it knows, what comes in and goes out, what is wrong, what was written."""

from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from studbook.book.records import Entry, Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.room import Room
from studbook.desk.rooms.book.details import DetailsPage
from studbook.desk.rooms.book.journal import JournalPage
from studbook.desk.rooms.book.lists import ListsPage
from studbook.desk.rooms.book.people import contacts_page, origins_page
from studbook.desk.rooms.book.practice import PracticePage
from studbook.desk.rooms.book.problems import ProblemsPage
from studbook.desk.table_paper import TablePaper, print_table
from studbook.desk.tables import Table
from studbook.desk.theme import space
from studbook.desk.wording import day_text
from studbook.words import _


class BookRoom(Room):
    """Is the record sound?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        column = QVBoxLayout(self)
        column.setContentsMargins(space(4), space(2), space(4), space(2))
        self._tabs = QTabWidget()
        self._tabs.setObjectName("book_tabs")
        self._tabs.setDocumentMode(True)
        column.addWidget(self._tabs)
        self._details = DetailsPage(context)
        self._contacts = contacts_page(context)
        self._origins = origins_page(context)
        self._lists = ListsPage(context)
        self._practice = PracticePage(context)
        self._problems = ProblemsPage(context)
        self._journal = JournalPage(context)
        for page, title in (
            (self._details, _("Details")),
            (self._contacts, _("Contacts")),
            (self._origins, _("Origins")),
            (self._lists, _("Lists in and out")),
            (self._practice, _("Practice")),
            (self._problems, _("Problems")),
            (self._journal, _("Journal")),
        ):
            self._tabs.addTab(page, title)
        for asking in (self._problems, self._journal):
            asking.bird_asked.connect(self.bird_asked)
            asking.birds_asked.connect(self.birds_asked)
        self._practice.bird_asked.connect(self.bird_asked)
        self._with_tables = (self._contacts, self._origins, self._practice, self._problems, self._journal)
        self._tabs.currentChanged.connect(lambda: self._show_page())

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        self._details.show_snapshot(snapshot)
        self._contacts.show_snapshot(snapshot)
        self._origins.show_snapshot(snapshot)
        self._lists.show_snapshot(snapshot)
        self._practice.show_snapshot(snapshot)
        self._problems.show_snapshot(snapshot)
        self._journal.show_snapshot(snapshot)
        self._show_page()

    def actions_here(self) -> tuple[Action, ...]:
        return (
            Action(
                "book.import",
                _("&Import a list…"),
                self._ask_list,
                Menu.BOOK,
                ("Ctrl+I",),
                icon="download-simple",
                group=1,
            ),
            Action(
                "book.export", _("&Export all birds…"), self._lists.export, Menu.BOOK, icon="export", group=1
            ),
            Action(
                "book.check",
                _("&Check the book"),
                lambda: self._open(self._problems),
                Menu.BOOK,
                icon="list-checks",
                group=2,
            ),
            Action(
                "book.print",
                _("Print this &table…"),
                self._print,
                Menu.BOOK,
                enabled=lambda: self._table() is not None,
                icon="printer",
                group=3,
            ),
            Action(
                "book.journal",
                _("Show the &journal"),
                lambda: self._open(self._journal),
                Menu.BOOK,
                icon="clock-counter-clockwise",
                group=2,
            ),
        )

    def import_list(self, path: str) -> None:
        self._open(self._lists)
        self._lists.read(path)

    def save_state(self) -> None:
        for page in self._with_tables:
            page.table.save_state(self.context.settings)

    def _table(self) -> Table | None:
        """The table one sees."""
        page = self._tabs.currentWidget()
        return next((found.table for found in self._with_tables if found is page), None)

    def _print(self) -> None:
        table = self._table()
        book = self.context.record.open_book
        if table is not None and book is not None:
            title = self._tabs.tabText(self._tabs.currentIndex())
            remark = f"{book.snapshot.details.yard}  {day_text(book.today)}".strip()
            print_table(self, TablePaper(title, remark, table.shown_as_columns(), table.rows.shown))

    def _ask_list(self) -> None:
        self._open(self._lists)
        self._lists.ask()

    def _open(self, page: QWidget) -> None:
        self._tabs.setCurrentWidget(page)

    def _show_page(self) -> None:
        """Only the page one sees asks the record."""
        page = self._tabs.currentWidget()
        if page is self._problems:
            self._problems.check()
        elif page is self._journal:
            self._journal.read()


def build(context: Context) -> BookRoom:
    """The room, for the window."""
    return BookRoom(context)
