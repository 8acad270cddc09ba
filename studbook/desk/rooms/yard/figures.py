"""The flock in one line of figures: so many cocks, hens, cockerels, pullets."""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

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
    """One figure for each group of the flock.

    Signals
    -------
    birds_asked
        The birds of a group are wanted (BirdList).
    """

    birds_asked = Signal(object)

    def __init__(self, groups: tuple[Group, ...], usual: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(1))
        for group in groups:
            count = len(group.birds)
            words = several(group.word, count)
            if group.species != usual and group.species in all_species():
                kind = _(all_species()[group.species].name)
                words = _("{words} ({species})").format(words=words, species=kind)
            figure = Figure(number_text(count), words)
            found = BirdList(words, tuple(bird.id for bird in group.birds))
            figure.clicked.connect(lambda _on=False, found=found: self.birds_asked.emit(found))
            row.addWidget(figure)
        if not groups:
            row.addWidget(label(_("No living bird in the flock."), Role.FAINT))
        row.addStretch(1)
