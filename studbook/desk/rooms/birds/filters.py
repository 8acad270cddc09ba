"""Which birds the table shows: a search, where they stand, sex, year, breed, marks."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import Enum

from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from studbook.book.records import BirdId, Sex
from studbook.desk import icons
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.text import label, link
from studbook.words import _, fold, plural


class Standing(Enum):
    """Which part of the book."""

    LIVING = "living"
    GONE = "gone"
    ALL = "all"
    STRUCK = "struck"


@dataclass(frozen=True)
class Filter:
    """What a bird must be to be shown; None asks nothing.

    `words` are folded; `only` names the birds of a list that was asked for elsewhere.
    """

    words: tuple[str, ...] = ()
    standing: Standing = Standing.LIVING
    sex: Sex | None = None
    year: int | None = None
    breed: str | None = None
    marked: bool | None = None
    placeholders: bool = False
    only: frozenset[BirdId] | None = None

    def narrows(self, other: "Filter") -> bool:
        """True when whatever fits this fits `other`: only longer or more words are asked for."""
        same = replace(self, words=()) == replace(other, words=())
        return same and all(any(old in new for new in self.words) for old in other.words)

    @property
    def narrowed(self) -> int:
        """How many of the further filters are in use."""
        asked = (self.sex, self.year, self.breed, self.marked)
        return sum(part is not None for part in asked) + self.placeholders


class FilterBar(QWidget):
    """The search line, where the birds stand, and the further filters behind one word.

    Attributes
    ----------
    remark
        A label for how many are shown.

    Signals
    -------
    changed
        Other birds are to be shown.
    down_asked
        The keeper wants to go on to the table (arrow down, Enter).
    """

    changed = Signal()
    down_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._only: frozenset[BirdId] | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space())
        self.search = QLineEdit()
        self.search.setObjectName("search_birds")
        self.search.setAccessibleName(_("Search the birds"))
        self.search.setPlaceholderText(_("mark, name, colour, note"))
        self.search.setClearButtonEnabled(True)
        self.search.addAction(icons.icon("magnifying-glass"), QLineEdit.ActionPosition.LeadingPosition)
        self.search.setFixedWidth(length(250))
        self.search.textChanged.connect(self.changed)
        self.search.returnPressed.connect(self.down_asked)
        self.standing = _choice("standing", _("Where they stand"))
        for words, standing in (
            (_("Living"), Standing.LIVING),
            (_("No longer here"), Standing.GONE),
            (_("All birds"), Standing.ALL),
            (_("Struck out"), Standing.STRUCK),
        ):
            self.standing.addItem(words, standing)
        self.more = QToolButton()
        self.more.setObjectName("more_filters")
        self.more.setCheckable(True)
        self.more.setIcon(icons.icon("funnel"))
        self.more.setIconSize(QSize(length(18), length(18)))
        self.more.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.more.toggled.connect(self._show_more)
        self._list = link("", self.drop_list)
        self._list.setObjectName("listed")
        self._list.hide()
        self.remark = label("", Role.FAINT)
        first = Flow()
        for widget in (self.search, self.standing, self.more, self._list, self.remark):
            first.addWidget(widget)
        column.addLayout(first)
        self.sex = _choice("sex_filter", _("Sex"))
        for words, sex in (
            (_("Cocks and hens"), None),
            (_("Cocks"), Sex.COCK),
            (_("Hens"), Sex.HEN),
            (_("Sex unknown"), Sex.UNKNOWN),
        ):
            self.sex.addItem(words, sex)
        self.year = _choice("year_filter", _("Hatch year"))
        self.breed = _choice("breed_filter", _("Breed"))
        self.marked = _choice("marked_filter", _("Marks"))
        for words, marked in (
            (_("Marked or not"), None),
            (_("With an own mark"), True),
            (_("Unmarked"), False),
        ):
            self.marked.addItem(words, marked)
        self.placeholders = QCheckBox(_("Placeholders"))
        self.placeholders.setObjectName("placeholders_filter")
        self.placeholders.setToolTip(_("Parents of whom nothing is known but that each was one bird"))
        self.placeholders.toggled.connect(self._refresh)
        self._clear = link(_("clear"), self.clear)
        self._clear.setAccessibleName(_("Clear the filters"))
        self._others = QWidget()
        others = Flow(self._others)
        for other in (self.sex, self.year, self.breed, self.marked, self.placeholders, self._clear):
            others.addWidget(other)
        self._others.hide()
        column.addWidget(self._others)
        for choice in (self.standing, self.sex, self.year, self.breed, self.marked):
            choice.currentIndexChanged.connect(self._refresh)
        self._refresh()

    @property
    def filter(self) -> Filter:
        """What is asked for now."""
        sex = self.sex.currentData()
        return Filter(
            words=tuple(fold(self.search.text()).split()),
            standing=self.standing.currentData(),
            sex=Sex(sex) if sex is not None else None,
            year=self.year.currentData(),
            breed=self.breed.currentData(),
            marked=self.marked.currentData(),
            placeholders=self.placeholders.isChecked(),
            only=self._only,
        )

    def offer(self, years: Iterable[int], breeds: Iterable[str]) -> None:
        """Offer the years and breeds the book has."""
        _offer(self.year, _("Any year"), ((str(year), year) for year in years))
        _offer(self.breed, _("Any breed"), ((breed, breed) for breed in breeds))

    def show_list(self, title: str, birds: Iterable[BirdId]) -> None:
        """Show only these birds, wherever they stand, until the keeper lets the list go."""
        self._only = frozenset(birds)
        self._list.setText(_("{list}: show others again").format(list=title))
        self._list.show()
        self.clear()
        self.standing.setCurrentIndex(self.standing.findData(Standing.ALL))
        self.changed.emit()

    def drop_list(self) -> None:
        """Show the living again."""
        self._only = None
        self._list.hide()
        self.standing.setCurrentIndex(self.standing.findData(Standing.LIVING))
        self.changed.emit()

    def clear(self) -> None:
        """Forget the search and the further filters."""
        self.search.clear()
        for choice in (self.sex, self.year, self.breed, self.marked):
            choice.setCurrentIndex(0)
        self.placeholders.setChecked(False)

    def widen(self) -> None:
        """Look among all birds for what the search asks."""
        for choice in (self.sex, self.year, self.breed, self.marked):
            choice.setCurrentIndex(0)
        self.standing.setCurrentIndex(self.standing.findData(Standing.ALL))

    def _show_more(self, shown: bool) -> None:
        self._others.setVisible(shown)

    def _refresh(self) -> None:
        narrowed = self.filter.narrowed
        text = plural("Filter: {count} in use", "Filters: {count} in use", narrowed)
        self.more.setText(text.format(count=narrowed) if narrowed else _("Filter"))
        self._clear.setVisible(bool(narrowed))
        self.changed.emit()


def _choice(name: str, spoken: str) -> QComboBox:
    made = QComboBox()
    made.setObjectName(name)
    made.setAccessibleName(spoken)
    made.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
    made.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
    return made


def _offer(choice: QComboBox, any_text: str, values: Iterable[tuple[str, object]]) -> None:
    """Fill a choice anew where its values differ, keeping what is chosen."""
    wanted = [(any_text, None), *values]
    if [(choice.itemText(place), choice.itemData(place)) for place in range(choice.count())] == wanted:
        return
    chosen = choice.currentData()
    with QSignalBlocker(choice):
        choice.clear()
        for words, value in wanted:
            choice.addItem(words, value)
        choice.setCurrentIndex(max(choice.findData(chosen), 0))
