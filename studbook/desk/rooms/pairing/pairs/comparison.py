"""Two pairs side by side: a sentence on their difference, then figure by figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from studbook.book.records import BirdId, Snapshot
from studbook.desk.rooms.pairing.pairs.figures import number_with
from studbook.desk.theme import Role, font, length, space
from studbook.desk.widgets.text import label, rule
from studbook.desk.wording import bird_text
from studbook.planning.sentences import Sentence, plain
from studbook.words import _

if TYPE_CHECKING:
    from studbook.planning.pair_comparison import PairComparison

_NAMES = 180
_TEXT = 220


class ComparisonView(QScrollArea):
    """A line for each figure, a column for each of two pairs; the better figure is bold."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("pair_comparison")
        self.setAccessibleName(_("Two pairs side by side"))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.texts: list[tuple[str, str, str]] = []
        self.sentence = ""

    def show_hint(self, text: str) -> None:
        """Say what is to be chosen before there is something to compare."""
        self.texts, self.sentence = [], text
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, space(), space(), space())
        column.addWidget(label(text, wraps=True))
        column.addStretch(1)
        self.setWidget(inner)

    def show_comparison(self, found: PairComparison, snapshot: Snapshot) -> None:
        """Show two pairs."""

        def called(bird: BirdId) -> str:
            return bird_text(snapshot.bird(bird))

        def written(sentences: tuple[Sentence, ...]) -> str:
            text = "\n".join(plain(sentence, called, number_with) for sentence in sentences)
            # a figure is not parted from its sign where the line breaks
            return text.replace(" %", "\N{NO-BREAK SPACE}%")

        self.sentence = written(found.sentences)
        self.texts = [(line.name, written(line.texts[0]), written(line.texts[1])) for line in found.lines]
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, space(0.5), space(), space())
        column.setSpacing(space())
        difference = label(self.sentence, wraps=True)
        difference.setObjectName("comparison_sentence")
        column.addWidget(difference)
        grid = QGridLayout()
        grid.setHorizontalSpacing(space(3))
        grid.setVerticalSpacing(space(0.5))
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(2, 1)
        for place, pair in enumerate(found.pairs):
            grid.addWidget(_cell(written((pair,)), Role.CAPTION), 0, place + 1)
        for row, (line, (name, *both)) in enumerate(zip(found.lines, self.texts, strict=True)):
            grid.addWidget(rule(), 2 * row + 1, 0, 1, 3)
            caption = label(name, Role.FAINT, wraps=True)
            caption.setFixedWidth(length(_NAMES))
            grid.addWidget(caption, 2 * row + 2, 0, Qt.AlignmentFlag.AlignTop)
            for place, text in enumerate(both):
                cell = _cell(text)
                if line.better == place:
                    cell.setFont(font(bold=True))
                    cell.setAccessibleName(_("{text}, the better").format(text=text))
                grid.addWidget(cell, 2 * row + 2, place + 1, Qt.AlignmentFlag.AlignTop)
        column.addLayout(grid)
        foot = label(_("Bold: the better of the two."), Role.SMALL)
        column.addWidget(foot)
        column.addStretch(1)
        self.setWidget(inner)


def _cell(text: str, role: Role | None = None) -> QLabel:
    made = label(text, role, wraps=True)
    made.setMinimumWidth(length(_TEXT) // 2)
    made.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return made
