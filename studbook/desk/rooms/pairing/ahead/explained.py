"""What figures mean and how they are found, opened in place below them."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtWidgets import QVBoxLayout, QWidget

from studbook.book.records import Snapshot
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import label, link
from studbook.planning.forecast.methods import Ahead, ahead_method, ahead_word
from studbook.words import _


class Explained(QWidget):
    """A line of links, one for each figure; the one pressed is explained below, pressed again it shuts."""

    def __init__(self, name: str, figures: Sequence[Ahead]) -> None:
        super().__init__()
        self.setObjectName(name)
        self._snapshot: Snapshot | None = None
        self._open: Ahead | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        row = QWidget()
        line = Flow(row, gap=1.5)
        line.addWidget(label(_("What is this?"), Role.SMALL))
        for figure in figures:
            word = ahead_word(figure)
            way = link(word, partial(self.turn, figure))
            way.setObjectName(f"explain_{figure.value}")
            way.setAccessibleName(_("What is this? {figure}").format(figure=word))
            line.addWidget(way)
        column.addWidget(row)
        self.prose = Prose(f"{name}_prose", _("What this figure means"))
        self.prose.setMaximumWidth(length(820))
        self.prose.hide()
        column.addWidget(self.prose)

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Sentences may name birds of this book."""
        self._snapshot = snapshot

    def turn(self, figure: Ahead) -> None:
        """Explain a figure; the one that is open is shut."""
        if self._snapshot is None:
            return
        self._open = None if figure is self._open else figure
        self.prose.setVisible(self._open is not None)
        if self._open is not None:
            method = ahead_method(figure)
            told = [Paragraph(((method.name,),), Style.LEAD), Paragraph(((method.text,),))]
            told += [Paragraph(((source,),), Style.REMARK) for source in method.sources]
            self.prose.show_paragraphs(told, self._snapshot)
