"""The figures of the line: each with its name, opened in place to what it means and how it is found."""

from functools import partial

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from studbook.book.records import Snapshot
from studbook.desk.theme import length, space
from studbook.desk.widgets.figure_button import FigureButton
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import link, rule
from studbook.desk.wording import sentence_text
from studbook.planning.bloodlines.methods import Figure, Method
from studbook.planning.bloodlines.telling import FigureWords
from studbook.words import _

FIRST = (
    Figure.INBREEDING,
    Figure.TREND,
    Figure.REALISED_SIZE,
    Figure.FOUNDERS,
    Figure.FOUNDER_GENOME_EQUIVALENTS,
    Figure.COMPLETENESS,
)
"""The figures one sees at once; the others wait behind a link."""

_COLUMN = 176


def method_paragraphs(method: Method) -> list[Paragraph]:
    """How a figure is found, with the published sources."""
    return [
        Paragraph(((method.text,),), Style.REMARK),
        *(Paragraph(((source,),), Style.REMARK) for source in method.sources),
    ]


class FigureStrip(QWidget):
    """The figures side by side, and below them the one that is open."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("bloodlines_figures")
        self._words: dict[Figure, FigureWords] = {}
        self._snapshot: Snapshot | None = None
        self._buttons: dict[Figure, FigureButton] = {}
        self._open: Figure | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(space(1))
        self._grid.setVerticalSpacing(space(0.5))
        column.addLayout(self._grid)
        self._more = link(_("more figures"), self._show_more)
        self._more.setObjectName("more_figures")
        column.addWidget(self._more)
        self._opened = QWidget()
        below = QVBoxLayout(self._opened)
        below.setContentsMargins(space(1), 0, 0, 0)
        below.setSpacing(space(0.5))
        below.addWidget(rule())
        self.explained = Prose("figure_explained", _("What this figure means"))
        self.explained.setMaximumWidth(length(820))
        below.addWidget(self.explained)
        shut = link(_("Close"), self.close_figure)
        shut.setObjectName("figure_close")
        below.addWidget(shut)
        below.addWidget(rule())
        self._opened.hide()
        column.addWidget(self._opened)

    def show_words(self, words: tuple[FigureWords, ...], snapshot: Snapshot) -> None:
        """Show other figures; the open one stays open."""
        self._words = {found.figure: found for found in words}
        self._snapshot = snapshot
        for button in self._buttons.values():
            button.hide()
            button.deleteLater()
        self._buttons = {}
        order = [*FIRST, *(figure for figure in self._words if figure not in FIRST)]
        for figure in order:
            found = self._words[figure]
            button = FigureButton(f"figure_{figure.name.lower()}")
            button.show_value(found.title, sentence_text(found.value, snapshot))
            button.clicked.connect(partial(self._toggle, figure))
            self._buttons[figure] = button
        self._arrange()
        if self._open is not None:
            self._explain(self._open)

    def close_figure(self) -> None:
        """Close the figure that is open."""
        was, self._open = self._open, None
        self._opened.hide()
        for figure, button in self._buttons.items():
            button.setChecked(False)
            if figure is was:
                button.setFocus()

    def _toggle(self, figure: Figure) -> None:
        if figure is self._open:
            self.close_figure()
        else:
            self._explain(figure)

    def _explain(self, figure: Figure) -> None:
        words, snapshot = self._words[figure], self._snapshot
        assert snapshot is not None
        self._open = figure
        for each, button in self._buttons.items():
            button.setChecked(each is figure)
        self._opened.show()
        paragraphs = [
            Paragraph(((words.title,),), Style.LEAD),
            Paragraph((words.what,), Style.REMARK),
            Paragraph(words.meaning),
        ]
        if words.advice:
            paragraphs.append(Paragraph(words.advice))
        paragraphs.append(Paragraph(((_("How it is found: {method}").format(method=words.method.name),),)))
        paragraphs += method_paragraphs(words.method)
        self.explained.show_paragraphs(paragraphs, snapshot)

    def _show_more(self) -> None:
        self._more.hide()
        self._arrange()
        for button in list(self._buttons.values())[len(FIRST) : len(FIRST) + 1]:
            button.setFocus()

    def _arrange(self) -> None:
        """As many in a row as there is room for."""
        across = max(2, min(len(FIRST), self.width() // (length(_COLUMN) + space(1)) or len(FIRST)))
        if across == 4 or across == 5:
            across = 3
        for number, button in enumerate(self._buttons.values()):
            self._grid.addWidget(button, number // across, number % across)
            button.setVisible(number < len(FIRST) or self._more.isHidden())
        for column in range(len(FIRST)):
            self._grid.setColumnStretch(column, 1 if column < across else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._arrange()
