"""A bird as it is always written: shape, mark chip, name; as painting, as delegate and as link."""

from typing import Any

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractButton,
    QSizePolicy,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from studbook.book.records import Bird
from studbook.desk.theme import Type, font, length, look, space
from studbook.desk.widgets.chips import chip_size, paint_chip
from studbook.desk.widgets.shapes import paint_shape
from studbook.desk.wording import spoken
from studbook.words import _

BirdRole = Qt.ItemDataRole.UserRole + 2
"""The `Bird` of an index, for the delegate."""


def shape_side() -> int:
    """The side of the shape in a line of text."""
    return length(14)


def line_size(bird: Bird) -> QSize:
    """The room the line takes."""
    width, height = shape_side(), length(24)
    if bird.mark:
        chip = chip_size(bird.mark)
        width += space() + chip.width()
        height = max(height, chip.height())
    if name := _shown_name(bird):
        width += space() + round(QFontMetricsF(font(Type.LARGE, serif=True)).horizontalAdvance(name)) + 1
    return QSize(width, height)


def paint_bird(painter: QPainter, rect: QRectF, bird: Bird, *, underlined: bool = False) -> None:
    """Draw shape, chip and name from the left of `rect`; the name is cut with "…", the mark never is."""
    colours = look()
    side = shape_side()
    shape = QRectF(rect.left(), rect.center().y() - side / 2, side, side)
    paint_shape(painter, shape, bird, colours.ink)
    left = shape.right() + space()
    if bird.mark:
        chip = chip_size(bird.mark)
        place = QRectF(left, rect.center().y() - chip.height() / 2, chip.width(), chip.height())
        paint_chip(painter, place, bird.mark, bird.shown_mark)
        left = place.right() + space()
    name = _shown_name(bird)
    if not name or left >= rect.right():
        return
    painter.save()
    face = font(Type.LARGE, serif=True)
    face.setUnderline(underlined)
    painter.setFont(face)
    painter.setPen(colours.ink if bird.is_living else colours.legible(colours.faint, colours.selection, 4.5))
    cut = QFontMetricsF(face).elidedText(name, Qt.TextElideMode.ElideRight, rect.right() - left)
    code = QFontMetricsF(font(Type.BODY))
    baseline = rect.center().y() - code.height() / 2 + code.ascent()  # that of the code in the chip
    painter.drawText(QPointF(left, baseline), cut)
    painter.restore()


def _shown_name(bird: Bird) -> str:
    if bird.name or bird.mark:
        return bird.name
    return _("unmarked") if not bird.placeholder else _("unknown bird")


class BirdDelegate(QStyledItemDelegate):
    """Paints the `BirdRole` of an index as a bird line; an index without one is drawn as usual."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        bird = index.data(BirdRole)
        if not isinstance(bird, Bird):
            super().paint(painter, option, index)
            return
        paint_ground(self, painter, option, index)
        inner = QRectF(option.rect).adjusted(space(), 0, -space(), 0)
        paint_bird(painter, inner, bird)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        bird = index.data(BirdRole)
        if not isinstance(bird, Bird):
            return super().sizeHint(option, index)
        size = line_size(bird)
        return QSize(size.width() + space(2), size.height() + space())


def paint_ground(
    delegate: QStyledItemDelegate,
    painter: QPainter,
    option: QStyleOptionViewItem,
    index: QModelIndex | QPersistentModelIndex,
) -> None:
    """Draw the ground of an item (selection, hover, focus) without its text."""
    drawn = QStyleOptionViewItem(option)
    delegate.initStyleOption(drawn, index)
    drawn.text = ""
    widget = option.widget
    widget.style().drawControl(QStyle.ControlElement.CE_ItemViewItem, drawn, painter, widget)


class BirdLink(QAbstractButton):
    """A bird one can go to with a click, Enter or Space.

    Signals
    -------
    asked
        The bird's page is wanted (str, its BirdId).
    """

    asked = Signal(str)

    def __init__(self, bird: Bird, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bird = bird
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.set_bird(bird)
        self.clicked.connect(self._go)

    @property
    def bird(self) -> Bird:
        """The bird it leads to."""
        return self._bird

    def set_bird(self, bird: Bird) -> None:
        """Lead to another bird."""
        self._bird = bird
        self.setText(spoken(bird))
        self.setAccessibleName(spoken(bird))
        self.setToolTip(spoken(bird))
        self.updateGeometry()
        self.update()

    def _go(self) -> None:
        self.asked.emit(str(self._bird.id))

    def sizeHint(self) -> QSize:
        size = line_size(self._bird)
        return QSize(size.width() + space(), size.height() + space(0.5))

    def minimumSizeHint(self) -> QSize:
        return QSize(shape_side() + space(), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def event(self, event: Any) -> bool:
        if event.type() in (event.Type.HoverEnter, event.Type.HoverLeave):
            self.update()
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        inner = QRectF(self.rect()).adjusted(space(0.5), 0, -space(0.5), 0)
        paint_bird(painter, inner, self._bird, underlined=self.underMouse())
        if self.hasFocus():
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(look().comb, 1.5))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 4, 4)
