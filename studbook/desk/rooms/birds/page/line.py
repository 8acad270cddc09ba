"""The line of a bird: four generations as brackets, each ancestor a link."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent, QWheelEvent

from studbook.book.records import Bird
from studbook.desk.context import Context
from studbook.desk.drawing_view import DrawingView
from studbook.desk.kin import Kin
from studbook.desk.theme import length, look
from studbook.desk.work import Progress
from studbook.words import _

if TYPE_CHECKING:
    from studbook.drawing.sheet import Drawing

GENERATIONS = 3
_LEAST = 0.8
"""A drawing that would have to be smaller to fit is shown at `_READING` and scrolled sideways."""
_READING = 0.9


class LineView(DrawingView):
    """Parents, grandparents and great-grandparents; as high as the drawing, so that the page scrolls."""

    def __init__(self, context: Context) -> None:
        super().__init__("line")
        self.context = context
        self._ticket: int | None = None

    def show_bird(self, bird: Bird, kin: Kin) -> None:
        """Draw the line of a bird on a worker."""
        dark = look().dark

        def work(_progress: Progress) -> Drawing:
            from studbook.drawing.tree import draw_tree

            return draw_tree(
                kin.snapshot, bird.id, up=GENERATIONS, inbreeding=kin.convention.inbreeding, dark=dark
            )

        self._ticket = self.context.workers.run(work, self._take, key="bird line")

    def leave(self) -> None:
        """Nobody waits for the drawing any more."""
        if self._ticket is not None:
            self.context.workers.cancel(self._ticket)

    def _take(self, drawing: Drawing) -> None:
        self._ticket = None
        self.show_drawing(drawing)
        self._suit_height()
        self.setAccessibleName(_("Line of ancestors: {title}").format(title=drawing.title))

    def _suit_height(self) -> None:
        """As high as the drawing is at the width of the page; what could not be read then is scrolled."""
        drawing = self.drawing
        if drawing is None:
            return
        grown = length(100) / 100
        share = min(self.width() / (drawing.width * grown), 1.0)
        is_whole = share >= _LEAST
        policy = Qt.ScrollBarPolicy
        self.setVerticalScrollBarPolicy(policy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(policy.ScrollBarAlwaysOff if is_whole else policy.ScrollBarAsNeeded)
        zoom = share if is_whole else _READING
        bar = 0 if is_whole else self.horizontalScrollBar().sizeHint().height()
        self.setFixedHeight(round(drawing.height * grown * zoom) + bar)
        if is_whole:
            self.fit()
        else:
            self.zoom_by(_READING / self.zoom)
            self.horizontalScrollBar().setValue(0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._suit_height()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()
