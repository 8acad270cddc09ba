"""A family tree on screen: zoomed, panned, and walked bird by bird."""

from typing import Any

from PySide6.QtCore import QByteArray, QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QFrame, QToolTip, QWidget

from studbook.book.records import BirdId
from studbook.desk.theme import font, length, look, space
from studbook.drawing.sheet import Box, Drawing

_STEP = 1.2
_LEAST, _MOST = 0.1, 6.0
_LEAST_FITTED = 0.65
"""A drawing that would have to be smaller to fit is shown at `_READING` and scrolled."""
_READING = 0.9


class DrawingView(QAbstractScrollArea):
    """Shows a `Drawing`; a click on a bird, or Enter on the one reached with Tab, asks for it.

    The wheel, Ctrl with + and − zoom, Ctrl+0 fits the whole; dragging and the arrow keys pan.

    Signals
    -------
    bird_asked
        The page of a bird in the drawing is wanted (str, its BirdId).
    zoom_changed
        The drawing is shown larger or smaller.
    """

    bird_asked = Signal(str)
    zoom_changed = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.viewport().setMouseTracking(True)
        self._drawing: Drawing | None = None
        self._sentence = ""
        self._renderer = QSvgRenderer(self)
        self._zoom = 1.0
        self._is_fitted = True
        self._current = -1
        self._pressed: QPointF | None = None
        self._is_dragged = False

    @property
    def drawing(self) -> Drawing | None:
        """What is shown."""
        return self._drawing

    @property
    def sentence(self) -> str:
        """What is said in place of a drawing."""
        return self._sentence if self._drawing is None else ""

    @property
    def zoom(self) -> float:
        """Pixels on screen for one of the drawing, at the text size of the window."""
        return self._zoom

    @property
    def current(self) -> Box | None:
        """The place the keyboard has reached."""
        if self._drawing is None or not 0 <= self._current < len(self._drawing.boxes):
            return None
        return self._drawing.boxes[self._current]

    def show_drawing(self, drawing: Drawing) -> None:
        """Show a drawing, the whole of it where that can be read."""
        self._drawing = drawing
        self._current = -1
        self._is_fitted = True
        self._renderer.load(QByteArray(drawing.svg.encode()))
        self.setAccessibleName(drawing.title)
        self._arrange()
        self._show_subject()

    def show_sentence(self, text: str) -> None:
        """Say in a sentence why there is no drawing."""
        self._drawing = None
        self._sentence = text
        self.setAccessibleName(text)
        self._arrange()

    def fit(self) -> None:
        """Show the whole drawing, however small."""
        if self._drawing is not None:
            self._is_fitted = True
            self._set_zoom(self._fitting())
            self._arrange(keep_zoom=True)

    def zoom_by(self, factor: float, at: QPointF | None = None) -> None:
        """Show the drawing `factor` times as large; the point `at` of the view stays where it is."""
        if self._drawing is None:
            return
        at = at or QPointF(self.viewport().rect().center())
        before = self._zoom
        there = at - self._origin()
        self._is_fitted = False
        self._set_zoom(before * factor)
        self._arrange(keep_zoom=True)
        moved = self._origin() + there * (self._zoom / before) - at
        self._pan(moved.x(), moved.y())

    def larger(self) -> None:
        """One step larger."""
        self.zoom_by(_STEP)

    def smaller(self) -> None:
        """One step smaller."""
        self.zoom_by(1 / _STEP)

    def box_at(self, place: QPointF) -> Box | None:
        """The bird at a place of the view."""
        if self._drawing is None:
            return None
        at = (place - self._origin()) / self._scale()
        return next(
            (box for box in self._drawing.boxes if QRectF(box.x, box.y, box.width, box.height).contains(at)),
            None,
        )

    def place_of(self, box: Box) -> QRectF:
        """Where a box of the drawing lies in the view."""
        scale, origin = self._scale(), self._origin()
        return QRectF(
            origin.x() + box.x * scale, origin.y() + box.y * scale, box.width * scale, box.height * scale
        )

    def go_to(self, bird: BirdId) -> bool:
        """Put the keyboard on a bird; False when the drawing does not show it."""
        boxes = self._drawing.boxes if self._drawing else ()
        found = next((number for number, box in enumerate(boxes) if box.bird == bird), None)
        if found is None:
            return False
        self._step_to(found)
        return True

    def _scale(self) -> float:
        return self._zoom * length(100) / 100

    def _size(self) -> tuple[float, float]:
        if self._drawing is None:
            return 0.0, 0.0
        return self._drawing.width * self._scale(), self._drawing.height * self._scale()

    def _origin(self) -> QPointF:
        """Where the upper left corner of the drawing lies in the view."""
        width, height = self._size()
        room = self.viewport().size()
        x = (room.width() - width) / 2 if width < room.width() else -self.horizontalScrollBar().value()
        y = (room.height() - height) / 2 if height < room.height() else -self.verticalScrollBar().value()
        return QPointF(x, y)

    def _fitting(self) -> float:
        if self._drawing is None:
            return 1.0
        room, grown = self.maximumViewportSize(), length(100) / 100
        wide = room.width() / (self._drawing.width * grown)
        high = room.height() / (self._drawing.height * grown)
        return min(wide, high, 1.0)

    def _set_zoom(self, zoom: float) -> None:
        zoom = min(max(zoom, _LEAST), _MOST)
        if abs(zoom - self._zoom) > 1e-6:
            self._zoom = zoom
            self.zoom_changed.emit()

    def _arrange(self, *, keep_zoom: bool = False) -> None:
        if self._is_fitted and not keep_zoom:
            fitting = self._fitting()
            self._set_zoom(fitting if fitting >= _LEAST_FITTED else _READING)
        width, height = self._size()
        room = self.viewport().size()
        for bar, whole, shown in (
            (self.horizontalScrollBar(), width, room.width()),
            (self.verticalScrollBar(), height, room.height()),
        ):
            bar.setPageStep(shown)
            bar.setSingleStep(space(4))
            bar.setRange(0, max(0, round(whole - shown)))
        self.viewport().update()

    def _pan(self, right: float, down: float) -> None:
        self.horizontalScrollBar().setValue(round(self.horizontalScrollBar().value() + right))
        self.verticalScrollBar().setValue(round(self.verticalScrollBar().value() + down))

    def _show_subject(self) -> None:
        """Scroll to the bird, or the pair, the tree is about."""
        boxes = [box for box in self._drawing.boxes if box.generation == 0] if self._drawing else []
        if not boxes:
            return
        place = self.place_of(boxes[0])
        for box in boxes[1:]:
            place = place.united(self.place_of(box))
        moved = place.center() - QPointF(self.viewport().rect().center())
        self._pan(moved.x(), moved.y())
        self._reveal(boxes[0])

    def _reveal(self, box: Box) -> None:
        place, view = self.place_of(box), QRectF(self.viewport().rect())
        margin = space(3)
        right = min(place.left() - margin, 0) or max(place.right() + margin - view.right(), 0)
        down = min(place.top() - margin, 0) or max(place.bottom() + margin - view.bottom(), 0)
        self._pan(right, down)

    def _step_to(self, number: int) -> None:
        self._current = number
        if (box := self.current) is not None:
            self.setAccessibleDescription(box.label)
            self._reveal(box)
        self.viewport().update()

    def focusNextPrevChild(self, forwards: bool) -> bool:
        """Tab walks from bird to bird, and leaves at either end."""
        count = len(self._drawing.boxes) if self._drawing else 0
        number = self._current + (1 if forwards else -1)
        if 0 <= number < count:
            self._step_to(number)
            return True
        self._current = -1
        self.viewport().update()
        return super().focusNextPrevChild(forwards)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = space(6)
        moves = {
            Qt.Key.Key_Left: (-step, 0),
            Qt.Key.Key_Right: (step, 0),
            Qt.Key.Key_Up: (0, -step),
            Qt.Key.Key_Down: (0, step),
            Qt.Key.Key_PageUp: (0, -self.viewport().height()),
            Qt.Key.Key_PageDown: (0, self.viewport().height()),
        }
        key = event.key()
        if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.larger()
        elif key == Qt.Key.Key_Minus:
            self.smaller()
        elif key == Qt.Key.Key_0:
            self.fit()
        elif key in moves:
            self._pan(*moves[Qt.Key(key)])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.current is not None:
            self.bird_asked.emit(str(self.current.bird))
        else:
            super().keyPressEvent(event)

    def event(self, event: Any) -> bool:
        # the window grows its texts with the same keys; here they belong to the drawing
        if event.type() is QEvent.Type.ShortcutOverride and self._is_zoom_key(event):
            event.accept()
            return True
        return super().event(event)

    def _is_zoom_key(self, event: QKeyEvent) -> bool:
        keys = (Qt.Key.Key_Plus, Qt.Key.Key_Equal, Qt.Key.Key_Minus, Qt.Key.Key_0)
        return event.key() in keys and bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)

    def viewportEvent(self, event: Any) -> bool:
        if event.type() is QEvent.Type.ToolTip:
            self._tell(event)
            return True
        return super().viewportEvent(event)

    def _tell(self, event: QHelpEvent) -> None:
        box = self.box_at(QPointF(event.pos()))
        QToolTip.showText(event.globalPos(), box.label if box else "", self)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton:
            self._pressed, self._is_dragged = event.position(), False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._pressed is None:
            over = self.box_at(event.position()) is not None
            self.viewport().setCursor(
                Qt.CursorShape.PointingHandCursor if over else Qt.CursorShape.OpenHandCursor
            )
            return
        moved = self._pressed - event.position()
        if self._is_dragged or moved.manhattanLength() >= QApplication.startDragDistance():
            self._is_dragged = True
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
            self._pan(moved.x(), moved.y())
            self._pressed = event.position()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        pressed, self._pressed = self._pressed, None
        box = self.box_at(event.position())
        if pressed is not None and not self._is_dragged and box is not None:
            self.bird_asked.emit(str(box.bird))

    def wheelEvent(self, event: QWheelEvent) -> None:
        if turned := event.angleDelta().y():
            self.zoom_by(_STEP ** (turned / 120), event.position())
        event.accept()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def sizeHint(self) -> QSize:
        return QSize(length(560), length(320))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        painter.fillRect(event.rect(), look().paper)
        if self._drawing is None:
            self._paint_sentence(painter)
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._renderer.render(painter, QRectF(self._origin(), QSize(*map(round, self._size()))))
        if self.hasFocus() and self.current is not None:
            painter.setPen(QPen(look().comb, 2))
            painter.drawRoundedRect(self.place_of(self.current).adjusted(-4, -2, 4, 2), 4, 4)
        elif self.hasFocus():
            painter.setPen(QPen(look().comb, 1))
            painter.drawRect(self.viewport().rect().adjusted(0, 0, -1, -1))

    def _paint_sentence(self, painter: QPainter) -> None:
        painter.setFont(font())
        painter.setPen(look().faint)
        place = QRectF(self.viewport().rect()).adjusted(space(3), space(2), -space(3), -space(2))
        painter.drawText(place, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, self._sentence)
