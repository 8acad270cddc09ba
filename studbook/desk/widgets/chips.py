"""The mark chip: a code in a ring-like outline, tinted by the ring's own colour."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from studbook.book.records import Mark, MarkKind
from studbook.book.wording import mark_kind_word
from studbook.desk.look import contrast, mix, ring_colour
from studbook.desk.theme import Type, font, length, look, space
from studbook.words import _

_CODE_CONTRAST = 7.0


def chip_size(code: str) -> QSize:
    """The room a chip with `code` takes."""
    metrics = QFontMetricsF(font(Type.BODY))
    return QSize(
        round(metrics.horizontalAdvance(code)) + length(space(2)), round(metrics.height()) + length(2)
    )


def chip_ground(mark: Mark | None) -> QColor:
    """The ground of the chip, pale enough for ink."""
    colour = ring_colour(mark.colour) if mark is not None else None
    colours = look()
    if colour is None:
        return colours.sheet
    share = 0.24 if colours.dark else 0.16
    while contrast(colours.ink, mix(colours.sheet, colour, share)) < _CODE_CONTRAST:
        share -= 0.02
    return mix(colours.sheet, colour, share)


def paint_chip(painter: QPainter, rect: QRectF, code: str, mark: Mark | None = None) -> None:
    """Draw the chip of `code` into the whole of `rect`; `mark` gives its kind and colour."""
    colours = look()
    own = ring_colour(mark.colour) if mark is not None else None
    ground = chip_ground(mark)
    edge = colours.legible(own, ground) if own else colours.faint
    pen = QPen(edge, length(3) / 2)
    if mark is not None and not mark.is_worn:
        pen.setStyle(Qt.PenStyle.DashLine)
    body = rect.adjusted(1, 1, -1, -1)
    is_ring = mark is None or mark.kind in (MarkKind.RING, MarkKind.RING_COLOUR)
    corner = body.height() / 2 if is_ring else length(3)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(pen)
    painter.setBrush(ground)
    painter.drawRoundedRect(body, corner, corner)
    painter.setPen(colours.ink)
    painter.setFont(font(Type.BODY))
    painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, code)
    painter.restore()


def mark_text(mark: Mark) -> str:
    """A mark in words: "blue ring W17-01, left leg, 18 mm"."""
    kind = mark_kind_word(mark.kind)
    named = _("{colour} {kind} {code}") if mark.colour else _("{kind} {code}")
    parts = [named.format(colour=mark.colour, kind=kind, code=mark.code), mark.place, mark.size]
    return ", ".join(part for part in parts if part)


class MarkChip(QWidget):
    """A chip as a widget, its mark in words on hover and for screen readers."""

    def __init__(self, mark: Mark, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.mark = mark
        self.setToolTip(mark_text(mark))
        self.setAccessibleName(mark_text(mark))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return chip_size(self.mark.code)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_chip(painter, QRectF(self.rect()), self.mark.code, self.mark)
