"""Figures of a plan beside others, each opened in place to what it means and how it is found."""

from collections.abc import Callable, Sequence
from typing import Protocol

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from studbook.book.records import Snapshot
from studbook.desk.theme import length, space
from studbook.desk.widgets.figure_button import FigureButton
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import link, rule
from studbook.desk.wording import MISSING, sentence_text
from studbook.planning.bloodlines.methods import Method
from studbook.planning.sentences import Sentence
from studbook.words import _

_COLUMN = 168


class Told(Protocol):
    """A figure with all that is told of it: what it is, what it is compared with, what it means, how it is found."""

    @property
    def key(self) -> str: ...
    @property
    def title(self) -> str: ...
    @property
    def value(self) -> Sentence: ...
    @property
    def before(self) -> Sentence: ...
    @property
    def text(self) -> tuple[Sentence, ...]: ...
    @property
    def method(self) -> Method: ...


class PlanFigures(QWidget):
    """The figures side by side, and below them the one that is open; `comparing` words the other value."""

    def __init__(self, name: str, comparing: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self._name, self._comparing = name, comparing
        self._words: dict[str, Told] = {}
        self._snapshot: Snapshot | None = None
        self._buttons: dict[str, FigureButton] = {}
        self._open: str | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(space(1))
        self._grid.setVerticalSpacing(space(0.5))
        column.addLayout(self._grid)
        self._opened = QWidget()
        below = QVBoxLayout(self._opened)
        below.setContentsMargins(space(1), 0, 0, 0)
        below.setSpacing(space(0.5))
        below.addWidget(rule())
        self.explained = Prose(f"{name}_explained", _("What this figure means"))
        self.explained.setMaximumWidth(length(820))
        below.addWidget(self.explained)
        shut = link(_("Close"), self.close_figure)
        shut.setObjectName(f"{name}_close")
        below.addWidget(shut)
        below.addWidget(rule())
        self._opened.hide()
        column.addWidget(self._opened)

    def show_words(self, words: Sequence[Told], snapshot: Snapshot) -> None:
        """Show other figures; the open one stays open."""
        self._words = {found.key: found for found in words}
        self._snapshot = snapshot
        if [found.key for found in words] != list(self._buttons):
            self._make_buttons(words)
        for found in words:
            before = sentence_text(found.before, snapshot)
            compared = self._comparing.format(value=before) if before else ""
            value = sentence_text(found.value, snapshot) or MISSING
            self._buttons[found.key].show_value(found.title, value, compared)
        if self._open in self._words:
            self._explain(self._open)
        else:
            self.close_figure()

    def _make_buttons(self, words: Sequence[Told]) -> None:
        for held in self._buttons.values():
            self._grid.removeWidget(held)
            held.hide()
            held.deleteLater()
        self._buttons = {}
        for found in words:
            made = FigureButton(f"{self._name}_{found.key}")
            made.clicked.connect(self._opener(found.key))
            self._buttons[found.key] = made
        self._arrange()

    def close_figure(self) -> None:
        """Close the figure that is open."""
        self._open = None
        self._opened.hide()
        for held in self._buttons.values():
            held.setChecked(False)

    def _opener(self, figure: str) -> Callable[[], None]:
        return lambda: self.close_figure() if self._open == figure else self._explain(figure)

    def _explain(self, figure: str | None) -> None:
        if figure is None or self._snapshot is None:
            return
        self._open = figure
        words = self._words[figure]
        paragraphs = [
            Paragraph(((words.method.name,),), Style.LEAD),
            *(Paragraph((sentence,)) for sentence in words.text),
            Paragraph(((words.method.text,),), Style.REMARK),
            *(Paragraph(((source,),), Style.REMARK) for source in words.method.sources),
        ]
        self.explained.show_paragraphs(paragraphs, self._snapshot)
        self._opened.show()
        for each, held in self._buttons.items():
            held.setChecked(each == figure)

    def _arrange(self) -> None:
        across = max(1, (self.width() + space(1)) // (length(_COLUMN) + space(1)))
        for at, held in enumerate(self._buttons.values()):
            self._grid.addWidget(held, at // across, at % across)
            held.show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._arrange()
