"""Our ornament: an egg, and from it the brackets of three generations of forebears."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QWidget

from studbook.desk.theme import length, look


def _egg(rect: QRectF) -> QPainterPath:
    """An egg lying on its side, its blunt end to the left."""

    def at(x: float, y: float) -> QPointF:
        return QPointF(rect.left() + x * rect.width(), rect.top() + y * rect.height())

    path = QPainterPath(at(1, 0.5))
    path.cubicTo(at(1, 0.78), at(0.62, 1), at(0.38, 1))
    path.cubicTo(at(0.15, 1), at(0, 0.78), at(0, 0.5))
    path.cubicTo(at(0, 0.22), at(0.15, 0), at(0.38, 0))
    path.cubicTo(at(0.62, 0), at(1, 0.22), at(1, 0.5))
    return path


def paint_ornament(painter: QPainter, rect: QRectF, egg: QColor, lines: QColor) -> None:
    """Draw the egg at the left of `rect` and its brackets to the right edge."""
    height = rect.height()
    body = QRectF(rect.left() + 1, rect.center().y() - height * 0.22, height * 0.6, height * 0.44)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(egg, max(height / 48, 1.5)))
    painter.drawPath(_egg(body))
    painter.setPen(QPen(lines, max(height / 96, 1.0)))
    step = (rect.right() - body.right()) / 4
    lines_path = QPainterPath()
    ends = [(body.right(), rect.center().y())]
    for generation in range(3):
        spread = height / 2 ** (generation + 2) * 0.92
        grown = []
        for left, middle in ends:
            bend = left + step * (0.8 if generation == 0 else 0.5)
            right = left + step * (1.4 if generation == 0 else 1.1)
            lines_path.moveTo(left, middle)
            lines_path.lineTo(bend, middle)
            lines_path.moveTo(right, middle - spread)
            lines_path.lineTo(bend, middle - spread)
            lines_path.lineTo(bend, middle + spread)
            lines_path.lineTo(right, middle + spread)
            grown += [(right, middle - spread), (right, middle + spread)]
        ends = grown
    painter.drawPath(lines_path)
    painter.restore()


class Ornament(QWidget):
    """The ornament as a widget."""

    def sizeHint(self) -> QSize:
        return QSize(length(260), length(104))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        paint_ornament(QPainter(self), QRectF(self.rect()).adjusted(2, 4, -2, -4), look().comb, look().faint)


def window_icon() -> QIcon:
    """The icon of the window and the task bar: the egg on paper, two branches."""
    icon = QIcon()
    for side in (16, 32, 64, 128):
        picture = QPixmap(side, side)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(look().sheet)
        painter.setPen(QPen(look().comb, side / 16))
        inset = side / 10
        upright = QRectF(inset, inset, side - 2 * inset, side - 2 * inset)
        painter.translate(side, 0)
        painter.rotate(90)
        painter.scale(1.0, 0.8)
        painter.translate(0, side * 0.125)
        painter.drawPath(_egg(upright))
        painter.end()
        icon.addPixmap(picture)
    return icon
