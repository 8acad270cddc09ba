"""The line of a bird: four generations as brackets, each ancestor a link."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QResizeEvent, QWheelEvent

from studbook.book.records import Bird
from studbook.desk.context import Context
from studbook.desk.drawing_view import DrawingView
from studbook.desk.rooms.birds.kin import Kin
from studbook.desk.theme import length, look
from studbook.desk.work import Progress
from studbook.words import _

if TYPE_CHECKING:
    from studbook.drawing.sheet import Drawing

GENERATIONS = 3
_LEAST = 0.65


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
        drawing = self.drawing
        if drawing is None:
            return
        grown = length(100) / 100
        share = min(self.width() / (drawing.width * grown), 1.0)
        bar = 0
        if share < _LEAST:
            share, bar = 0.9, self.horizontalScrollBar().sizeHint().height()
        self.setFixedHeight(round(drawing.height * grown * share) + bar + 2)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._suit_height()
        super().resizeEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()
