"""The birds of one pen as a list: selected with keys and mouse, carried to another pen by dragging."""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QItemSelectionModel,
    QMimeData,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPoint,
    QPointF,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QContextMenuEvent,
    QDrag,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPixmap,
)
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
from studbook.desk.widgets.bird_line import BirdRole, line_size, paint_bird, paint_ground
from studbook.desk.wording import bird_text, spoken
from studbook.words import _, plural

BIRDS_MIME = "application/x-studbook-birds"
"""Birds that are dragged: their ids as a JSON list."""

LineRole = Qt.ItemDataRole.UserRole + 5
"""The `Line` of an index."""

_ROW = 28


@dataclass(frozen=True)
class Line:
    """A bird in a list: a figure at its right, remarks below it, a line each, and what a hover adds."""

    bird: Bird
    figure: str = ""
    remarks: tuple[str, ...] = ()
    tip: str = ""


class LinesModel(QAbstractListModel):
    """An adapter over the lines of one list."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[Line, ...] = ()

    def set_lines(self, lines: Sequence[Line]) -> None:
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
            return ", ".join(part for part in (bird_text(line.bird), line.figure, *line.remarks) if part)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return ", ".join(part for part in (spoken(line.bird), line.tip, *line.remarks) if part)
        if role == Qt.ItemDataRole.ToolTipRole:
            return "\n".join(part for part in (spoken(line.bird), line.tip, *line.remarks) if part)
        return None

    def flags(self, index: QModelIndex | QPersistentModelIndex) -> Qt.ItemFlag:
        held = super().flags(index)
        return held | Qt.ItemFlag.ItemIsDragEnabled if index.isValid() else held


class LineDelegate(QStyledItemDelegate):
    """Draws the bird, its figure at the right and its remark below in small type."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        line = index.data(LineRole)
        paint_ground(self, painter, option, index)
        rect = QRectF(option.rect).adjusted(space(0.5), 0, -space(0.5), 0)
        small = font(Type.SMALL)
        metrics = QFontMetricsF(small)
        top = QRectF(rect.left(), rect.top(), rect.width(), length(_ROW))
        painter.save()
        painter.setFont(small)
        painter.setPen(look().legible(look().faint, look().selection, 4.5))
        if line.figure:
            wide = metrics.horizontalAdvance(line.figure)
            place = QRectF(top.right() - wide - 1, top.top(), wide + 1, top.height())
            painter.drawText(place, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight, line.figure)
            top.setRight(place.left() - space(0.5))
        left, y = rect.left() + length(22), top.bottom() - 2
        for remark in line.remarks:
            below = QRectF(left, y, rect.right() - left, metrics.height())
            cut = metrics.elidedText(remark, Qt.TextElideMode.ElideRight, below.width())
            painter.drawText(below, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, cut)
            y = below.bottom()
        painter.restore()
        paint_bird(painter, top, line.bird)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        line = index.data(LineRole)
        count = len(line.remarks)
        below = QFontMetricsF(font(Type.SMALL)).height() * count + 2 if count else 0
        return QSize(0, round(length(_ROW) + below))


class FlockList(QListView):
    """As high as its birds, up to `most` of them; the page that holds several keeps one selection over all.

    Signals
    -------
    asked
        The page of a bird is wanted (str, its BirdId).
    chosen_alone
        A bird is chosen here without a key held: nothing else is to stay chosen.
    neighbour_asked
        The list beside this one is wanted (int, -1 or 1).
    menu_asked
        What can be done with the chosen birds is wanted (QPoint, global).
    """

    asked = Signal(str)
    chosen_alone = Signal()
    neighbour_asked = Signal(int)
    menu_asked = Signal(object)

    def __init__(
        self,
        name: str,
        carried: Callable[[], Sequence[Bird]],
        *,
        most: int = 0,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self._carried = carried
        self._most = most
        self.model_of_lines = LinesModel(self)
        self.setModel(self.model_of_lines)
        self.setItemDelegate(LineDelegate(self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        if not most:
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMouseTracking(True)
        self.setTabKeyNavigation(False)
        self.setDropIndicatorShown(False)
        self.setProperty("plain", True)
        self.viewport().setAutoFillBackground(False)
        self.set_movable(True)
        self.activated.connect(lambda index: self.asked.emit(str(index.data(BirdRole).id)))
        self.hide()

    @property
    def birds(self) -> tuple[BirdId, ...]:
        """The birds in it, in order."""
        return tuple(line.bird.id for line in self.model_of_lines.lines)

    @property
    def chosen(self) -> tuple[Bird, ...]:
        """The birds chosen here, in order."""
        rows = sorted(index.row() for index in self.selectionModel().selectedIndexes())
        return tuple(self.model_of_lines.lines[row].bird for row in rows)

    def set_movable(self, movable: bool) -> None:
        """Whether its birds can be dragged."""
        mode = QAbstractItemView.DragDropMode.DragOnly
        self.setDragDropMode(mode if movable else QAbstractItemView.DragDropMode.NoDragDrop)

    def set_lines(self, lines: Sequence[Line]) -> None:
        """Show other birds; who was chosen stays so, and the list takes the height it needs."""
        if tuple(lines) == self.model_of_lines.lines:
            return
        held = {bird.id for bird in self.chosen}
        current = self.currentIndex().data(BirdRole)
        self.model_of_lines.set_lines(lines)
        self.choose(held)
        if current is not None and current.id in self.birds:
            self._go_to(self.birds.index(current.id))
        self._take_height()

    def choose(self, birds: set[BirdId]) -> None:
        """Choose these birds of the list and no other."""
        select = self.selectionModel()
        select.clearSelection()
        for row, bird in enumerate(self.birds):
            if bird in birds:
                select.select(self.model_of_lines.index(row), QItemSelectionModel.SelectionFlag.Select)

    def enter(self) -> None:
        """Take the keyboard, on the first bird if there was none."""
        self.setFocus()
        if not self.currentIndex().isValid() and self.birds:
            self._go_to(0)

    def _go_to(self, row: int) -> None:
        index = self.model_of_lines.index(row)
        self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.NoUpdate)

    def _take_height(self) -> None:
        rows = range(self.model_of_lines.rowCount())
        heights = [self.sizeHintForRow(row) for row in (rows[: self._most] if self._most else rows)]
        self.setFixedHeight(sum(heights) + 2 * self.frameWidth() + 2)
        self.setVisible(bool(heights))

    def startDrag(self, supported: Qt.DropAction) -> None:
        birds = self._carried()
        if not birds:
            return
        drag = QDrag(self)
        drag.setMimeData(mime_of(birds))
        drag.setPixmap(_picture_of(birds))
        drag.setHotSpot(QPoint(-space(), -space()))
        drag.exec(Qt.DropAction.MoveAction)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
        if not held and not (index.isValid() and self.selectionModel().isSelected(index)):
            self.chosen_alone.emit()
        super().mousePressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
        if not held and event.button() is Qt.MouseButton.LeftButton:
            self.chosen_alone.emit()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self.menu_asked.emit(event.globalPos())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        if event.key() in steps and not event.modifiers():
            self.neighbour_asked.emit(steps[Qt.Key(event.key())])
            return
        if event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down) and not event.modifiers():
            self.chosen_alone.emit()
        super().keyPressEvent(event)


def mime_of(birds: Sequence[Bird]) -> QMimeData:
    """Birds as they are dragged; what is dropped into a text is their names."""
    made = QMimeData()
    made.setData(BIRDS_MIME, json.dumps([bird.id for bird in birds]).encode())
    made.setText(", ".join(bird_text(bird) for bird in birds))
    return made


def birds_of(mime: QMimeData) -> tuple[BirdId, ...]:
    """The birds that are dragged; none when it is something else."""
    if not mime.hasFormat(BIRDS_MIME):
        return ()
    return tuple(BirdId(bird) for bird in json.loads(bytes(mime.data(BIRDS_MIME).data())))


def _picture_of(birds: Sequence[Bird]) -> QPixmap:
    """The first bird, and how many go with it."""
    size = line_size(birds[0])
    more = len(birds) - 1
    words = plural("and {count} more", "and {count} more", more).format(count=more) if more else ""
    metrics = QFontMetricsF(font(Type.SMALL))
    wide = size.width() + (metrics.horizontalAdvance(words) + space() if words else 0) + space(2)
    made = QPixmap(round(wide), size.height() + space(0.5))
    made.fill(look().sheet)
    painter = QPainter(made)
    paint_bird(painter, QRectF(space(), 0, size.width() + 2, made.height()), birds[0])
    if words:
        painter.setFont(font(Type.SMALL))
        painter.setPen(look().faint)
        baseline = made.height() / 2 + metrics.ascent() / 2 - 1
        painter.drawText(QPointF(size.width() + space(2), baseline), words)
    painter.end()
    return made


def accessible_list_name(pen: str) -> str:
    """What a screen reader calls the birds of a pen."""
    return _("The birds of {pen}").format(pen=pen)
