"""The birds of one hatch year as a row of their shapes."""

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QHelpEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from studbook.book.records import Bird
from studbook.desk.look import mix, ring_colour
from studbook.desk.theme import length, look
from studbook.desk.widgets.shapes import paint_shape
from studbook.desk.wording import spoken
from studbook.words import plural


class FlockRow(QWidget):
    """Shapes in a line that breaks where the room ends; a click goes to the bird.

    The same birds can be reached by keyboard through the link that stands beside the row.

    Signals
    -------
    bird_asked
        A shape was clicked (str, the BirdId).
    """

    bird_asked = Signal(str)

    def __init__(self, birds: tuple[Bird, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._birds = birds
        self.setMouseTracking(True)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        words = plural("{count} bird", "{count} birds", len(birds)).format(count=len(birds))
        self.setAccessibleName(words)

    def _cell(self) -> int:
        return length(22)

    def _columns(self, width: int) -> int:
        return max(width // self._cell(), 1)

    def _place(self, number: int) -> QRectF:
        row, column = divmod(number, self._columns(self.width()))
        cell = self._cell()
        return QRectF(column * cell, row * cell, cell, cell)

    def _bird_at(self, point: QPointF) -> Bird | None:
        cell = self._cell()
        column = int(point.x() // cell)
        number = int(point.y() // cell) * self._columns(self.width()) + column
        inside = 0 <= column < self._columns(self.width()) and 0 <= number < len(self._birds)
        return self._birds[number] if inside else None

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return -(-len(self._birds) // self._columns(width)) * self._cell()

    def sizeHint(self) -> QSize:
        width = min(len(self._birds), 16) * self._cell()
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._cell() * 4, self._cell())

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            bird = self._bird_at(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), spoken(bird) if bird else "", self)
            return True
        return super().event(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        hit = self._bird_at(event.position()) is not None
        self.setCursor(Qt.CursorShape.PointingHandCursor if hit else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        bird = self._bird_at(event.position())
        if bird is not None:
            self.bird_asked.emit(str(bird.id))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colours = look()
        inset = length(3)
        for number, bird in enumerate(self._birds):
            cell = self._place(number).adjusted(inset, inset, -inset, -inset)
            mark = bird.shown_mark
            ring = ring_colour(mark.colour) if mark is not None else None
            shade = colours.legible(ring, colours.paper) if ring is not None else colours.ink
            paint_shape(painter, cell, bird, mix(colours.ink, shade, 0.8))
