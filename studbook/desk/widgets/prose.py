"""Sentences that take the height they need and scroll with the page they stand on."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from studbook.desk.theme import length, space
from studbook.desk.widgets.sentence_view import SentenceView


class Prose(SentenceView):
    """A `SentenceView` as high as its text."""

    margin_steps = 0

    def __init__(self, name: str, spoken_name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, spoken_name, parent)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setProperty("plain", True)
        self.viewport().setAutoFillBackground(False)

    def _write_some(self) -> None:
        super()._write_some()
        self._grow()

    def _grow(self) -> None:
        """Take the height of the text at this width."""
        document = self.document()
        document.setTextWidth(self.viewport().width())
        self.setFixedHeight(round(document.size().height()) + space(0.5))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._grow()

    def sizeHint(self) -> QSize:
        return QSize(length(400), self.height())

    def minimumSizeHint(self) -> QSize:
        return QSize(length(200), self.height())
