"""The first page of a new keeper: begin a book, bring a list, or look at the sample flock."""

import re
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QSize, QStandardPaths, Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from studbook import places
from studbook.book.records import BookDetails
from studbook.desk import icons
from studbook.desk.context import Context
from studbook.desk.forms import Form
from studbook.desk.recent import RecentBooks
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.ornament import Ornament
from studbook.desk.widgets.text import button, label, link, rule
from studbook.season.species import all_species
from studbook.words import _, fold

SUFFIX = ".studbook"


class ChoiceRow(QPushButton):
    """A way to begin: a name in serif, a line that explains it."""

    def __init__(self, icon: str, name: str, text: str, run: Callable[[], None]) -> None:
        super().__init__()
        self.setProperty("choice", True)
        self.setAccessibleName(name)
        self.setAccessibleDescription(text)
        row = QHBoxLayout(self)
        row.setContentsMargins(space(1), space(1.25), space(1), space(1.25))
        row.setSpacing(space(2))
        picture = label("")
        picture.setPixmap(icons.icon(icon).pixmap(QSize(length(28), length(28))))
        row.addWidget(picture)
        words = QVBoxLayout()
        words.setSpacing(0)
        words.addWidget(label(name, Role.NAME))
        words.addWidget(label(text, Role.FAINT, wraps=True))
        row.addLayout(words, 1)
        for child in self.findChildren(QWidget):
            child.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._row = row
        self.clicked.connect(lambda: run())

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._row.heightForWidth(width)

    def sizeHint(self) -> QSize:
        return self._row.sizeHint()

    def minimumSizeHint(self) -> QSize:
        return QSize(length(200), self._row.minimumSize().height())


class FirstStart(QStackedWidget):
    """The ways to begin, and the form of a new book.

    Signals
    -------
    book_asked
        A book is to be opened (str, its path).
    list_asked
        A list is to be brought into the book that is opened next (str, its path; empty for none).
    left
        The keeper goes back to the book that is open.
    """

    book_asked = Signal(str)
    list_asked = Signal(str)
    left = Signal()

    def __init__(self, context: Context, recent: RecentBooks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._recent = recent
        self._form = NewBookForm(context, self._cancel)
        self._ways = QWidget()
        self._column = QVBoxLayout(self._ways)
        for page in (self._ways, self._form):
            self.addWidget(_centred(page))
        self.show_ways()

    def show_ways(self) -> None:
        """Offer the ways to begin."""
        while (item := self._column.takeAt(0)) is not None:
            if (old := item.widget()) is not None:
                old.deleteLater()
        add = self._column.addWidget
        self._column.setSpacing(0)
        add(Ornament(), 0, Qt.AlignmentFlag.AlignHCenter)
        self._column.addSpacing(space(2))
        title = label(_("Studbook"), Role.TITLE)
        title.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        add(title)
        words = label(_("Who they are, whose they are, and whom to put with whom."), Role.FAINT, wraps=True)
        words.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        add(words)
        self._column.addSpacing(space(3))
        for row in (
            ChoiceRow(
                "notebook",
                _("Begin a new book"),
                _("For your own flock, from the first bird on."),
                self.begin,
            ),
            ChoiceRow(
                "download-simple",
                _("Import a list you keep"),
                _("A spreadsheet or CSV file; you see what it would add before anything is saved."),
                self._begin_with_list,
            ),
            ChoiceRow(
                "bird",
                _("Open the sample flock"),
                _("Withybrook, ten invented years of Andalusians. A copy: nothing you try can spoil it."),
                lambda: self.book_asked.emit(str(places.demo_flock())),
            ),
            ChoiceRow(
                "folder-open", _("Open a book"), _("One that is on this computer already."), self._open
            ),
        ):
            add(rule())
            add(row)
        add(rule())
        if there := [path for path in self._recent.paths if path.exists()]:
            self._column.addSpacing(space(2))
            add(label(_("Opened lately"), Role.CAPTION))
            for path in there[:3]:
                again = link(path.stem, lambda path=path: self.book_asked.emit(str(path)))  # type: ignore[misc]
                again.setToolTip(str(path))
                add(again)
        self.setCurrentIndex(0)

    def begin(self) -> None:
        """Show the form of a new book."""
        self.list_asked.emit("")
        self._form.clear()
        self.setCurrentIndex(1)
        self._form.setFocus()

    def show_error(self, text: str) -> None:
        """Say why a book could not be opened or made."""
        if self.currentIndex() == 1:
            self._form.show_error(text)
        else:
            self._context.questions.tell(_("This book cannot be opened"), text)

    def _begin_with_list(self) -> None:
        def chosen(path: Path) -> None:
            self.begin()
            self.list_asked.emit(str(path))

        kinds = _("Lists of birds (*.csv *.txt *.tsv *.xlsx)")
        self._context.questions.file_to_open(_("Import a list"), kinds, chosen)

    def _open(self) -> None:
        kinds = _("Books (*.studbook *.db);;All files (*)")
        self._context.questions.file_to_open(
            _("Open a book"), kinds, lambda path: self.book_asked.emit(str(path))
        )

    def _cancel(self) -> None:
        self.list_asked.emit("")
        self.show_ways()
        self.left.emit()


class NewBookForm(QWidget):
    """Keeper, yard, species, breed and the place of the file."""

    def __init__(self, context: Context, cancel: Callable[[], None]) -> None:
        super().__init__()
        self._context = context
        self._chosen: Path | None = None
        column = QVBoxLayout(self)
        column.setSpacing(space(2))
        column.addWidget(label(_("Begin a new book"), Role.TITLE))
        column.addWidget(
            label(_("Everything here can be changed later, in the room Book."), Role.FAINT, wraps=True)
        )
        self._form = Form(2)
        self._keeper = self._form.add_line(
            "keeper", _("Keeper"), hint=_("Your name, as it stands on certificates.")
        )
        self._yard = self._form.add_line("yard", _("Yard"), hint=_("What your place is called."))
        kinds = [(_(kind.plural), kind.code) for kind in all_species().values()]
        self._species = self._form.add_choice(
            "species", _("Mostly"), [(_(words), code) for words, code in kinds], "chicken"
        )
        self._breed = self._form.add_line("breed", _("Breed"), hint=_("Filled in for new birds."))
        self._where = QLineEdit()
        self._where.setReadOnly(True)
        self._form.add("where", _("Kept in the file"), self._where, wide=True)
        column.addWidget(self._form)
        column.addWidget(link(_("choose another place…"), self._choose_place))
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        self._begin = button(_("Begin the book"), self._create, primary=True)
        self._begin.setObjectName("begin_book")
        row.addWidget(self._begin)
        row.addWidget(button(_("Cancel"), cancel))
        row.addStretch(1)
        column.addLayout(row)
        self.setFocusProxy(self._keeper)
        self._yard.textEdited.connect(self._show_place)
        for line in (self._keeper, self._yard, self._breed):
            line.returnPressed.connect(self._create)
        self.clear()

    def clear(self) -> None:
        """Empty every field."""
        self._chosen = None
        for line in (self._keeper, self._yard, self._breed):
            line.clear()
        self._form.show_problems(())
        self._show_place()

    def show_error(self, text: str) -> None:
        """Say below the place why the book could not be made."""
        from studbook.book.errors import Problem

        self._form.show_problems((Problem("file", text, field="where"),))

    @property
    def path(self) -> Path:
        """Where the book will lie."""
        if self._chosen is not None:
            return self._chosen
        name = re.sub(r"[^a-z0-9]+", "-", fold(self._yard.text())).strip("-") or "flock"
        folder = Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation))
        return (folder if folder.is_dir() else Path.home()) / f"{name}{SUFFIX}"

    def _show_place(self) -> None:
        self._where.setText(str(self.path))

    def _choose_place(self) -> None:
        def chosen(path: Path) -> None:
            self._chosen = path if path.suffix else path.with_suffix(SUFFIX)
            self._show_place()

        self._context.questions.file_to_save(
            _("Where the book is kept"), _("Books (*.studbook)"), self.path, chosen
        )

    def _create(self) -> None:
        details = BookDetails(
            id="",
            keeper=self._keeper.text().strip(),
            yard=self._yard.text().strip(),
            species=self._species.currentData(),
            breed=self._breed.text().strip(),
        )
        self._form.show_problems(())
        self._context.record.create(self.path, details)


def _centred(page: QWidget) -> QScrollArea:
    """`page` in the middle of a page that scrolls when the text is large."""
    page.setMaximumWidth(length(620))
    page.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
    whole = QWidget()
    column = QVBoxLayout(whole)
    column.setContentsMargins(space(4), space(4), space(4), space(4))
    column.addStretch(2)
    row = QHBoxLayout()
    row.addStretch(1)
    row.addWidget(page, 6)
    row.addStretch(1)
    column.addLayout(row)
    column.addStretch(3)
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setWidget(whole)
    return area
