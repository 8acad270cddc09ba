"""Figures by name and value; each opens below what it means, how it is found and where that was published."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from studbook.book.records import Snapshot
from studbook.desk.theme import space
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import label, link
from studbook.planning.breeders.methods import Asked, breeder_method
from studbook.words import _


class FigureList(QWidget):
    """One line for each figure; pressed, its explanation stands below until it is pressed again."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self._name = name
        self._snapshot: Snapshot | None = None
        self.opened: Asked | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(space(2))
        self._grid.setVerticalSpacing(space(0.25))
        self._grid.setColumnStretch(1, 1)
        column.addLayout(self._grid)
        self.explained = Prose(f"{name}_explained", _("How it is found"))
        self.explained.hide()
        column.addWidget(self.explained)

    def show_figures(self, figures: Sequence[tuple[Asked, str, str]], snapshot: Snapshot) -> None:
        """Show figures by what is asked, their name and their value."""
        self._snapshot = snapshot
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for row, (asked, title, value) in enumerate(figures):
            opening = link(title, lambda asked=asked: self._toggle(asked))  # type: ignore[misc]
            opening.setObjectName(f"{self._name}_{asked.name.lower()}")
            opening.setToolTip(_("What does it mean, and how is it found?"))
            opening.setAccessibleName(_("{title}: {value}").format(title=title, value=value))
            figure = label(value, wraps=True)
            self._grid.addWidget(opening, row, 0, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(figure, row, 1)
        if self.opened not in {asked for asked, _title, _value in figures}:
            self._close()

    def _toggle(self, asked: Asked) -> None:
        if asked is self.opened:
            self._close()
            return
        self.opened = asked
        method = breeder_method(asked)
        paragraphs = [
            Paragraph(((method.name,),), Style.HEAD),
            Paragraph(((method.text,),), Style.REMARK),
            *(Paragraph(((source,),), Style.REMARK) for source in method.sources),
        ]
        assert self._snapshot is not None
        self.explained.show()
        self.explained.show_paragraphs(paragraphs, self._snapshot)

    def _close(self) -> None:
        self.opened = None
        self.explained.hide()
