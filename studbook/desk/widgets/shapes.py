"""The shapes of published pedigree charts: square for a cock, circle for a hen, diamond for unknown.

Filled for a bird of the flock, outline only for one that is not in it, a stroke through for a dead one,
dotted for a placeholder.
"""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from studbook.book.records import DEAD, Bird, Sex


def paint_shape(painter: QPainter, rect: QRectF, bird: Bird, colour: QColor) -> None:
    """Draw the shape of `bird` into the square in the middle of `rect`."""
    side = min(rect.width(), rect.height())
    square = QRectF(0, 0, side, side)
    square.moveCenter(rect.center())
    pen = QPen(colour, max(side / 9, 1.0))
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if bird.placeholder:
        pen.setStyle(Qt.PenStyle.DotLine)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(pen)
    painter.setBrush(colour if bird.is_living else Qt.BrushStyle.NoBrush)
    inner = square.adjusted(pen.widthF(), pen.widthF(), -pen.widthF(), -pen.widthF())
    match bird.sex:
        case Sex.COCK:
            painter.drawRect(inner.adjusted(side / 16, side / 16, -side / 16, -side / 16))
        case Sex.HEN:
            painter.drawEllipse(inner)
        case Sex.UNKNOWN:
            middle = inner.center()
            painter.drawPolygon(
                QPolygonF(
                    [
                        QPointF(middle.x(), inner.top()),
                        QPointF(inner.right(), middle.y()),
                        QPointF(middle.x(), inner.bottom()),
                        QPointF(inner.left(), middle.y()),
                    ]
                )
            )
    if bird.status in DEAD:
        pen.setStyle(Qt.PenStyle.SolidLine)
        painter.setPen(pen)
        painter.drawLine(square.bottomLeft(), square.topRight())
    painter.restore()
