"""The small marks in a cell of the matrix: a pair that is not wanted, and one that was together before."""

from PySide6.QtCore import QLineF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from studbook.planning.limits import Bar

_SIDE = 0.26
"""The side of a mark, in heights of the cell."""


def paint_marks(
    painter: QPainter, cell: QRectF, bar: Bar, had_eggs: bool | None, ink: QColor, width: float = 1.5
) -> None:
    """A cross for a pair the keeper banned, a stroke for another one not wanted, a dot for one paired before.

    The dot is hollow where eggs or chicks only may be theirs.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(ink, width))
    side = cell.height() * _SIDE
    if bar:
        at = QRectF(cell.left() + side * 0.7, cell.center().y() - side / 2, side, side)
        painter.drawLine(QLineF(at.bottomLeft(), at.topRight()))
        if Bar.BANNED in bar:
            painter.drawLine(QLineF(at.topLeft(), at.bottomRight()))
    if had_eggs is not None:
        dot = side * 0.6
        at = QRectF(cell.right() - side * 0.5 - dot, cell.top() + side * 0.5, dot, dot)
        painter.setPen(QPen(ink, width * 0.8))
        if had_eggs:
            painter.setBrush(ink)
        painter.drawEllipse(at)
    painter.restore()
