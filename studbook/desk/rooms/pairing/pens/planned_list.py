"""The hens of one planned pen: chosen with keys and mouse, carried to another pen by keys, menu or dragging."""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QMimeData,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPoint,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QContextMenuEvent, QDrag, QFontMetricsF, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from studbook.book.records import Bird, BirdId
from studbook.desk.theme import Type, font, length, look, space
from studbook.desk.widgets.bird_line import BirdRole, paint_bird, paint_ground
from studbook.desk.wording import bird_text, spoken

HEN_MIME = "application/x-studbook-planned-hen"
"""A hen that is dragged from one planned pen to another: her id as JSON."""

LineRole = Qt.ItemDataRole.UserRole + 5
"""The `HenLine` of an index."""

_ROW = 28


@dataclass(frozen=True)
class HenLine:
    """A hen, the F of her chicks, and whether that is over the limit."""

    bird: Bird
    figure: str = ""
    is_over: bool = False


Tip = Callable[[BirdId], str]
"""What a hover adds of a hen, asked when it is wanted."""


def _nothing(_hen: BirdId) -> str:
    return ""


class HenLines(QAbstractListModel):
    """An adapter over the lines of one list."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[HenLine, ...] = ()
        self.tip: Tip = _nothing

    def set_lines(self, lines: Sequence[HenLine]) -> None:
        """Hold other lines."""
        self.beginResetModel()
        self.lines = tuple(lines)
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.lines)

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if not index.isValid():
            return None
        line = self.lines[index.row()]
        if role == BirdRole:
            return line.bird
        if role == LineRole:
            return line
        if role == Qt.ItemDataRole.DisplayRole:
            return ", ".join(part for part in (bird_text(line.bird), line.figure) if part)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return ", ".join(part for part in (spoken(line.bird), self.tip(line.bird.id)) if part)
        if role == Qt.ItemDataRole.ToolTipRole:
            return "\n".join(part for part in (spoken(line.bird), self.tip(line.bird.id)) if part)
        return None


class _HenDelegate(QStyledItemDelegate):
    """Draws the bird and the F of her chicks at the right."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        line: HenLine = index.data(LineRole)
        paint_ground(self, painter, option, index)
        rect = QRectF(option.rect).adjusted(space(0.5), 0, -space(0.5), 0)
        if line.figure:
            small = font(Type.SMALL)
            wide = QFontMetricsF(small).horizontalAdvance(line.figure)
            place = QRectF(rect.right() - wide - 1, rect.top(), wide + 1, rect.height())
            painter.save()
            painter.setFont(small)
            colours = look()
            ink = colours.straw if line.is_over else colours.faint
            painter.setPen(colours.legible(ink, colours.selection, 4.5))
            painter.drawText(place, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight, line.figure)
            painter.restore()
            rect.setRight(place.left() - space(0.5))
        paint_bird(painter, rect, line.bird)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(0, length(_ROW))


class HenList(QListView):
    """As high as its hens.

    Signals
    -------
    asked
        The page of a hen is wanted (str, its BirdId).
    carried
        A hen is to go to the pen on the left or right of this one (BirdId, int).
    taken_out
        A hen is to go out of the pens (BirdId).
    neighbour_asked
        The list beside this one is wanted (int, -1 or 1).
    menu_asked
        What can be done with the chosen hen is wanted (QPoint, global).
    """

    asked = Signal(str)
    carried = Signal(str, int)
    taken_out = Signal(str)
    neighbour_asked = Signal(int)
    menu_asked = Signal(object)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.lines = HenLines(self)
        self.setModel(self.lines)
        self.setItemDelegate(_HenDelegate(self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMouseTracking(True)
        self.setTabKeyNavigation(False)
        self.setProperty("plain", True)
        self.viewport().setAutoFillBackground(False)
        self.activated.connect(lambda index: self.asked.emit(str(index.data(BirdRole).id)))

    @property
    def birds(self) -> tuple[BirdId, ...]:
        """The hens in it, in order."""
        return tuple(line.bird.id for line in self.lines.lines)

    @property
    def chosen(self) -> BirdId | None:
        """The hen that is chosen here."""
        found = self.selectionModel().selectedIndexes()
        return found[0].data(BirdRole).id if found else None

    def set_lines(self, lines: Sequence[HenLine], tip: Tip) -> None:
        """Show other hens."""
        self.lines.tip = tip
        if tuple(lines) == self.lines.lines:
            return
        held = self.chosen
        self.lines.set_lines(lines)
        if held in self.birds:
            self.choose(held)
        rows = range(self.lines.rowCount())
        high = sum(self.sizeHintForRow(row) for row in rows)
        self.setFixedHeight(high + 2 * self.frameWidth() + 2)
        self.setVisible(bool(lines))

    def choose(self, bird: BirdId | None) -> None:
        """Choose one hen; None chooses none."""
        if bird in self.birds:
            self.setCurrentIndex(self.lines.index(self.birds.index(bird)))
        else:
            self.selectionModel().clear()

    def enter(self) -> None:
        """Take the keyboard, on the first hen if there was none."""
        self.setFocus()
        if not self.currentIndex().isValid() and self.birds:
            self.setCurrentIndex(self.lines.index(0))

    def startDrag(self, supported: Qt.DropAction) -> None:
        bird = self.chosen
        if bird is None:
            return
        drag = QDrag(self)
        drag.setMimeData(mime_of(bird))
        drag.exec(Qt.DropAction.MoveAction)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if self.chosen is None:
            return
        place = event.globalPos()
        if event.reason() is QContextMenuEvent.Reason.Keyboard:
            place = self.viewport().mapToGlobal(self.visualRect(self.currentIndex()).bottomLeft())
        self.menu_asked.emit(QPoint(place))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        key, bird = Qt.Key(event.key()), self.chosen
        if key in steps and event.modifiers() == Qt.KeyboardModifier.ControlModifier:
            if bird is not None:
                self.carried.emit(bird, steps[key])
        elif key in steps and not event.modifiers():
            self.neighbour_asked.emit(steps[key])
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            if bird is not None:
                self.taken_out.emit(bird)
        else:
            super().keyPressEvent(event)


def mime_of(bird: BirdId) -> QMimeData:
    """A hen as she is dragged."""
    made = QMimeData()
    made.setData(HEN_MIME, json.dumps(bird).encode())
    return made


def bird_of(mime: QMimeData) -> BirdId | None:
    """The hen that is dragged; None when it is something else."""
    if not mime.hasFormat(HEN_MIME):
        return None
    return BirdId(json.loads(bytes(mime.data(HEN_MIME).data())))
