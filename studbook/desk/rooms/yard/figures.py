"""The flock in one line of figures: so many cocks, hens, cockerels, pullets."""

from itertools import groupby

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from studbook.desk.room import BirdList
from studbook.desk.rooms.yard.summary import Group
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label
from studbook.desk.wording import number_text, several
from studbook.season.species import all_species
from studbook.words import _


class Figure(QPushButton):
    """A large figure over its word; a click shows the birds."""

    def __init__(self, number: str, words: str) -> None:
        super().__init__()
        self.setProperty("choice", True)
        self.setAccessibleName(_("{number} {words}").format(number=number, words=words))
        column = QVBoxLayout(self)
        column.setContentsMargins(space(0.25), space(0.5), space(3), space(0.5))
        column.setSpacing(0)
        for part in (label(number, Role.FIGURE), label(words, Role.FAINT)):
            part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            column.addWidget(part)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def sizeHint(self) -> QSize:
        layout = self.layout()
        return layout.sizeHint() if layout is not None else super().sizeHint()

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()


class FigureLine(QWidget):
    """One figure for each group of the flock; each species begins a line where the window is narrow.

    Signals
    -------
    birds_asked
        The birds of a group are wanted (BirdList).
    """

    birds_asked = Signal(object)

    def __init__(self, groups: tuple[Group, ...], usual: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._lines.setContentsMargins(0, 0, 0, 0)
        self._lines.setSpacing(space(1))
        for _species, of_one in groupby(groups, key=lambda group: group.species):
            row = QHBoxLayout()
            row.setSpacing(space(1))
            for group in of_one:
                row.addWidget(self._figure(group, usual))
            row.addStretch(1)
            self._lines.addLayout(row)
        if not groups:
            self._lines.addWidget(label(_("No living bird in the flock."), Role.FAINT))
        self._lines.addStretch(1)

    def set_narrow(self, narrow: bool) -> None:
        """Begin a line for each species."""
        direction = QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        self._lines.setDirection(direction)

    def _figure(self, group: Group, usual: str) -> Figure:
        count = len(group.birds)
        words = several(group.word, count)
        if _is_ambiguous(group, usual):
            kind = _(all_species()[group.species].name)
            words = _("{words} ({species})").format(words=words, species=kind)
        figure = Figure(number_text(count), words)
        found = BirdList(words, tuple(bird.id for bird in group.birds))
        figure.clicked.connect(lambda: self.birds_asked.emit(found))
        return figure


def _is_ambiguous(group: Group, usual: str) -> bool:
    """True when the usual species of the book has the same word: the hens of two species."""
    known = all_species()
    if group.species == usual or group.species not in known or usual not in known:
        return False
    return group.word in (_(word) for word in known[usual].words.values())
