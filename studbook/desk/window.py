"""The frame: rail of rooms, top line, the room one is in, message strip, menu bar."""

from pathlib import Path

from PySide6.QtCore import QEvent, QSettings, Signal
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from studbook import places
from studbook.book.errors import Problem
from studbook.book.records import Entry, Snapshot
from studbook.desk.actions import Action, Actions
from studbook.desk.context import Context
from studbook.desk.first_start import FirstStart
from studbook.desk.help import HelpPage, about_text
from studbook.desk.house import House
from studbook.desk.menus import fill_menus
from studbook.desk.questions import DialogQuestions, Questions
from studbook.desk.recent import RecentBooks
from studbook.desk.record import OpenBook, Record
from studbook.desk.room import Room
from studbook.desk.rooms import doors
from studbook.desk.theme import Choice, Theme, length
from studbook.desk.widgets.palette import CommandPalette
from studbook.desk.widgets.rail import Rail
from studbook.desk.widgets.strip import MessageStrip
from studbook.desk.widgets.top_line import TopLine
from studbook.desk.window_actions import window_actions
from studbook.desk.wording import entry_text, number_text
from studbook.desk.work import Workers
from studbook.words import _, plural

LIST_SUFFIXES = (".csv", ".tsv", ".txt", ".xlsx")


class Window(QMainWindow):
    """One window, one book. It holds the rooms and passes on what they ask for.

    Signals
    -------
    filled
        The room one is in shows the book that was opened.
    painted
        The window was painted for the first time.
    """

    filled = Signal()
    painted = Signal()

    def __init__(
        self,
        record: Record,
        workers: Workers,
        settings: QSettings,
        theme: Theme,
        questions: Questions | None = None,
    ) -> None:
        super().__init__()
        self.context = Context(record, workers, questions or DialogQuestions(self), settings, theme, self.say)
        self.recent = RecentBooks(settings)
        self.doors = doors()
        self._list = ""
        self._is_painted = False
        self._rail = Rail(self.doors)
        self._top = TopLine(record.find_birds)
        self._house = House(self.context, self.doors)
        self._stack = QStackedWidget()
        self._first: FirstStart | None = None
        self._strip = MessageStrip(self.undo)
        self._build()
        self.actions_here = Actions(self)
        self.actions_here.declare(window_actions(self))
        fill_menus(self)
        record.opened.connect(self._book_opened)
        record.changed.connect(self._book_changed)
        record.failed.connect(self._refused)
        record.unusable.connect(self._unusable)
        record.closed.connect(self.show_first_start)
        theme.resized.connect(self._rail.resize_to_text)
        theme.resized.connect(self._house.rebuild)
        theme.resized.connect(self._renew_first)
        self.setAcceptDrops(True)
        self.setWindowTitle(_("Studbook"))
        self.resize(length(1280), length(800))
        if (geometry := settings.value("window/geometry")) is not None:
            self.restoreGeometry(geometry)

    @property
    def room(self) -> Room | None:
        """The room one is in."""
        return self._house.room

    def open(self, path: Path) -> None:
        """Open a book in place of the one that is open."""
        self.context.record.open(path)

    def go(self, key: str) -> Room:
        """Go to a room and give it."""
        return self._house.go(key)

    def enter(self, key: str) -> None:
        """Go to a room."""
        self._house.go(key)

    def import_list(self, path: str) -> None:
        """Begin the import of a list, or remember it until a book is open."""
        if self.context.record.snapshot is None:
            self._keep_list(path)
        else:
            self._house.import_list(path)

    def _keep_list(self, path: str) -> None:
        self._list = path

    def say(self, text: str) -> None:
        """Show one sentence in the message strip."""
        self._strip.say(text)

    def undo(self) -> None:
        """Take back the last change."""
        self.context.record.undo()

    def redo(self) -> None:
        """Make the last undone change again."""
        self.context.record.redo()

    def can_print(self) -> bool:
        """True when the room on view has something to print."""
        return self._house.printing is not None

    def print_room(self) -> None:
        """Print what the room on view shows."""
        if (action := self._house.printing) is not None:
            action.run()

    def find_bird(self) -> None:
        """Put the cursor into the find field."""
        self._top.finder.setFocus()
        self._top.finder.selectAll()

    def show_first_start(self) -> None:
        """Offer the ways to begin."""
        self._first_page().show_ways()

    def begin_book(self) -> None:
        """Show the form of a new book."""
        self._first_page().begin()

    def open_sample(self) -> None:
        """Open the user's copy of the sample book."""
        self.open(places.demo_flock())

    def ask_book(self) -> None:
        """Ask which book to open."""
        kinds = _("Books (*.studbook *.db);;All files (*)")
        self.context.questions.file_to_open(_("Open a book"), kinds, self.open)

    def ask_command(self) -> None:
        """Open the command palette."""
        CommandPalette(self.actions_here.possible, self).open()

    def choose_look(self, choice: Choice, text_size: float) -> None:
        """Wear another look or text size, and remember it."""
        self.context.theme.choose(choice, text_size)
        self.context.settings.setValue("look/choice", str(choice))
        self.context.settings.setValue("look/text_size", text_size)

    def show_help(self) -> None:
        """Show the keys and the signs."""
        HelpPage([made for _declared, made in self.actions_here.all], self).open()

    def show_about(self) -> None:
        """Say what this program is and stands on."""
        self.context.questions.tell(_("About Studbook"), about_text(), about_text())

    def _build(self) -> None:
        self._stack.addWidget(self._house)
        right = QVBoxLayout()
        right.setSpacing(0)
        right.addWidget(self._top)
        right.addWidget(self._stack, 1)
        right.addWidget(self._strip)
        whole = QWidget()
        row = QHBoxLayout(whole)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self._rail)
        row.addLayout(right, 1)
        self.setCentralWidget(whole)
        self._rail.asked.connect(self._house.go)
        self._house.entered.connect(self._rail.show_room)
        self._house.room_made.connect(self._add_actions)
        self._top.bird_asked.connect(self._house.go_to_bird)

    def _first_page(self) -> FirstStart:
        """The page of ways to begin, brought to the front; made when it is first needed."""
        if self._first is None:
            self._first = FirstStart(self.context, self.recent)
            self._first.book_asked.connect(lambda path: self.open(Path(path)))
            self._first.list_asked.connect(self._keep_list)
            self._first.left.connect(self._leave_first)
            self._stack.addWidget(self._first)
        self._show_frame(False)
        self._stack.setCurrentWidget(self._first)
        return self._first

    def _renew_first(self) -> None:
        """Lay the page of ways to begin out anew for another text size."""
        if self._first is None:
            return
        was_shown = self._stack.currentWidget() is self._first
        self._stack.removeWidget(self._first)
        self._first.deleteLater()
        self._first = None
        if was_shown:
            self.show_first_start()

    def _show_frame(self, shown: bool) -> None:
        """Rail, top line and strip belong to an open book."""
        for part in (self._rail, self._top, self._strip):
            part.setVisible(shown)
        if shown:
            self._stack.setCurrentWidget(self._house)

    def _leave_first(self) -> None:
        if self.context.record.snapshot is not None:
            self._show_frame(True)

    def _add_actions(self, actions: tuple[Action, ...]) -> None:
        self.actions_here.declare(actions)
        fill_menus(self)

    def _book_opened(self, snapshot: Snapshot) -> None:
        book = self.context.record.open_book
        assert book is not None
        self.recent.add(book.path)
        self._show_book(book)
        self._show_frame(True)
        self._house.begin()
        self._house.setFocus()
        if self._list:
            path, self._list = self._list, ""
            self.import_list(path)
        self.filled.emit()

    def _show_book(self, book: OpenBook) -> None:
        details = book.snapshot.details
        name = details.yard or details.keeper or book.path.stem
        self._top.show_book(name, book.today, read_only=book.read_only)
        self.setWindowTitle(_("{book} – Studbook").format(book=name))
        living, birds = len(book.snapshot.living), len(book.snapshot.birds)
        counted = plural("{birds} bird, {living} in the flock", "{birds} birds, {living} in the flock", birds)
        self._strip.show_counts(counted.format(birds=number_text(birds), living=number_text(living)))
        self.actions_here.refresh()
        self.actions_here.release()

    def _book_changed(self, entry: Entry, snapshot: Snapshot) -> None:
        book = self.context.record.open_book
        assert book is not None
        self._show_book(book)
        self._strip.say(entry_text(entry), undoable=bool(snapshot.undo_label), cautious=bool(entry.warnings))
        self._house.show_change(entry, snapshot)

    def _refused(self, problems: tuple[Problem, ...]) -> None:
        self._strip.say(" ".join(problem.message for problem in problems), wrong=True)

    def _unusable(self, sentence: str) -> None:
        if self._first is not None and self._stack.currentWidget() is self._first:
            self._first.show_error(sentence)
        else:
            self.context.questions.tell(_("The book cannot be used"), sentence)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.ThemeChange, QEvent.Type.PaletteChange):
            self.context.theme.follow()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._is_painted:
            self._is_painted = True
            self.painted.emit()

    def closeEvent(self, event: QCloseEvent) -> None:
        self._house.leave()
        self.context.settings.setValue("window/geometry", self.saveGeometry())
        self.context.settings.sync()
        self.context.workers.close()
        self.context.record.shut()
        super().closeEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        path = next(url.toLocalFile() for url in event.mimeData().urls() if url.isLocalFile())
        if path.lower().endswith(LIST_SUFFIXES):
            self.import_list(path)
        else:
            self.open(Path(path))
