"""Tables: columns as objects, one list of frozen rows, sorted and filtered by an own index list."""

import csv
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from io import StringIO
from itertools import groupby
from pathlib import Path
from typing import Any, Generic, TypeVar

from PySide6.QtCore import (
    QAbstractTableModel,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPoint,
    QRectF,
    QSettings,
    Qt,
    Signal,
)
from PySide6.QtGui import QFontMetricsF, QGuiApplication, QKeyEvent, QKeySequence, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QMenu,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from studbook.book.records import Bird
from studbook.desk.theme import Type, font, length, look, space
from studbook.desk.widgets.bird_line import BirdRole, paint_bird, paint_ground
from studbook.desk.widgets.chips import chip_size, paint_chip
from studbook.words import _, fold

R = TypeVar("R")

RowRole = Qt.ItemDataRole.UserRole + 1
"""The frozen row of an index."""

TintRole = Qt.ItemDataRole.UserRole + 3
"""The kinship or inbreeding coefficient a cell is tinted by."""

_ANY_HEIGHT = 16_777_215
"""No limit, as Qt writes it."""


class Paint(Enum):
    """How a cell is drawn."""

    TEXT = "text"
    CHIP = "chip"
    BIRD = "bird"
    NAME = "name"
    TINT = "tint"


@dataclass(frozen=True)
class Column(Generic[R]):
    """One column of a table.

    Attributes
    ----------
    key
        A stable name for settings and for the header of an exported file.
    title
        The words of the header.
    text
        What a cell says.
    value
        What it is sorted by: a raw number, date or text; None is sorted last both ways.
    width
        In average letters; 0 fits the title.
    bird
        The bird of a cell drawn as chip or bird line.
    tip
        The words on hover of a cell.
    """

    key: str
    title: str
    text: Callable[[R], str]
    value: Callable[[R], Any] | None = None
    width: int = 0
    right: bool = False
    shown: bool = True
    paint: Paint = Paint.TEXT
    bird: Callable[[R], Bird] | None = None
    tip: Callable[[R], str] | None = None
    explained: str = ""


def _sort_key(value: Any) -> Any:
    return fold(value) if isinstance(value, str) else value


class RowsModel(QAbstractTableModel, Generic[R]):
    """An adapter over a list of rows; it owns the order they are shown in and nothing else.

    Signals
    -------
    shown_changed
        Other rows are shown: a filter or new rows.
    """

    shown_changed = Signal()

    def __init__(
        self,
        columns: Sequence[Column[R]],
        identity: Callable[[R], object],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.columns = tuple(columns)
        self.identity = identity
        self._rows: list[R] = []
        self._order: list[int] = []
        self._fits: Callable[[R], bool] | None = None
        self._sorted_by: tuple[int, Qt.SortOrder] | None = None

    @property
    def rows(self) -> tuple[R, ...]:
        """All rows, as they were given."""
        return tuple(self._rows)

    @property
    def shown(self) -> tuple[R, ...]:
        """The rows that are shown, in their order."""
        return tuple(self._rows[place] for place in self._order)

    def set_rows(self, rows: Iterable[R]) -> None:
        """Hold other rows, in the order and under the filter there is."""
        self.beginResetModel()
        self._rows = list(rows)
        self._order = self._arranged()
        self.endResetModel()
        self.shown_changed.emit()

    def set_filter(self, fits: Callable[[R], bool] | None) -> None:
        """Show only the rows that fit."""
        self.beginResetModel()
        self._fits = fits
        self._order = self._arranged()
        self.endResetModel()
        self.shown_changed.emit()

    def row(self, index: QModelIndex | QPersistentModelIndex) -> R:
        """The row of an index."""
        return self._rows[self._order[index.row()]]

    def place_of(self, identity: object) -> int:
        """Where a row is shown, or -1."""
        for place, row in enumerate(self._order):
            if self.identity(self._rows[row]) == identity:
                return place
        return -1

    def _arranged(self) -> list[int]:
        fits = self._fits
        order = [place for place, row in enumerate(self._rows) if fits is None or fits(row)]
        if self._sorted_by is None:
            return order
        number, direction = self._sorted_by
        column = self.columns[number]
        value = column.value or column.text
        keys = {place: _sort_key(value(self._rows[place])) for place in order}
        known = [place for place in order if keys[place] is not None and keys[place] != ""]
        unknown = [place for place in order if keys[place] is None or keys[place] == ""]
        known.sort(key=keys.__getitem__, reverse=direction is Qt.SortOrder.DescendingOrder)
        return known + unknown

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        self.layoutAboutToBeChanged.emit()
        held = self.persistentIndexList()
        rows = [self._order[index.row()] for index in held]
        self._sorted_by = (column, order) if column >= 0 else None
        self._order = self._arranged()
        places = {row: place for place, row in enumerate(self._order)}
        self.changePersistentIndexList(
            held, [self.index(places[row], index.column()) for row, index in zip(rows, held, strict=True)]
        )
        self.layoutChanged.emit()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._order)

    def columnCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.columns)

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if not index.isValid():
            return None
        column, row = self.columns[index.column()], self.row(index)
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return column.text(row)
            case Qt.ItemDataRole.ToolTipRole:
                return column.tip(row) if column.tip is not None else None
            case Qt.ItemDataRole.TextAlignmentRole:
                side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
                return side | Qt.AlignmentFlag.AlignVCenter
        if role == RowRole:
            return row
        if role == BirdRole:
            return column.bird(row) if column.bird is not None else None
        if role == TintRole:
            return column.value(row) if column.paint is Paint.TINT and column.value is not None else None
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self.columns):
            return None
        column = self.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.title
        if role == Qt.ItemDataRole.ToolTipRole:
            return column.explained or None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None


class CellDelegate(QStyledItemDelegate):
    """Draws a cell as its column says, on a hairline."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        model = index.model()
        kind = model.columns[index.column()].paint if isinstance(model, RowsModel) else Paint.TEXT
        rect = QRectF(option.rect)
        bird = index.data(BirdRole)
        inner = rect.adjusted(space(), 0, -space(), 0)
        if kind is Paint.BIRD and isinstance(bird, Bird):
            paint_ground(self, painter, option, index)
            paint_bird(painter, inner, bird)
        elif kind is Paint.CHIP and isinstance(bird, Bird) and bird.mark:
            paint_ground(self, painter, option, index)
            size = chip_size(bird.mark)
            top = rect.center().y() - size.height() / 2
            paint_chip(
                painter, QRectF(inner.left(), top, size.width(), size.height()), bird.mark, bird.shown_mark
            )
        elif kind is Paint.NAME:
            paint_ground(self, painter, option, index)
            _paint_text(painter, inner, index, serif=True)
        elif kind is Paint.TINT and index.data(TintRole) is not None:
            tint = look().tint(index.data(TintRole))
            painter.fillRect(rect, tint)
            painter.save()
            painter.setFont(font())
            painter.setPen(look().ink_on(tint))
            painter.drawText(inner, index.data(Qt.ItemDataRole.TextAlignmentRole), index.data())
            painter.restore()
        else:
            super().paint(painter, option, index)
        painter.save()
        painter.setPen(look().hair)
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.restore()


def _paint_text(
    painter: QPainter, rect: QRectF, index: QModelIndex | QPersistentModelIndex, *, serif: bool
) -> None:
    face = font(Type.LARGE, serif=serif)
    painter.save()
    painter.setFont(face)
    painter.setPen(look().ink)
    text = QFontMetricsF(face).elidedText(str(index.data()), Qt.TextElideMode.ElideRight, rect.width())
    painter.drawText(rect, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)
    painter.restore()


class Table(QTableView):
    """A table over a `RowsModel`: sorts, copies, exports, lets columns be chosen, works by keyboard.

    Signals
    -------
    row_asked
        A row was activated by double click or Enter (the row).
    selection_changed
        Other rows are selected.
    """

    row_asked = Signal(object)
    selection_changed = Signal()

    def __init__(self, model: "RowsModel[Any]", name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.rows = model
        self.setModel(model)
        self.setItemDelegate(CellDelegate(self))
        self.setShowGrid(False)
        self.setMouseTracking(True)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        self.setSortingEnabled(True)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setSectionsMovable(True)
        header.setHighlightSections(False)
        header.setSortIndicatorClearable(True)
        header.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        header.setStretchLastSection(True)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        header.customContextMenuRequested.connect(self.ask_columns)
        self.set_dense(False)
        metrics = QFontMetricsF(font())
        for number, column in enumerate(model.columns):
            least = metrics.horizontalAdvance(column.title) + space(4)
            self.setColumnWidth(
                number, round(max(metrics.averageCharWidth() * column.width + space(2), least))
            )
            self.setColumnHidden(number, not column.shown)
        self.activated.connect(lambda index: self.row_asked.emit(model.row(index)))
        self.selectionModel().selectionChanged.connect(lambda: self.selection_changed.emit())
        self._most_rows = 0
        self._text_size = length(100)
        self.horizontalScrollBar().rangeChanged.connect(lambda _least, _most: self._take_height())
        self._kept: tuple[set[object], object] = (set(), None)
        model.modelAboutToBeReset.connect(self._keep_selection)
        model.modelReset.connect(self._restore_selection)

    def fit_rows(self, most: int) -> None:
        """Be as high as the rows there are, at most so many; as high as there is room with 0.

        A bar for going sideways stands below the last row.
        """
        self._most_rows = most
        if not most:
            self.setMinimumHeight(0)
            self.setMaximumHeight(_ANY_HEIGHT)
        self._take_height()

    def _take_height(self) -> None:
        if not self._most_rows:
            return
        bar = self.horizontalScrollBar()
        below = bar.sizeHint().height() if bar.maximum() > 0 else 0
        rows = min(self.rows.rowCount(), self._most_rows) * self.verticalHeader().defaultSectionSize()
        around = self.horizontalHeader().sizeHint().height() + 2 * self.frameWidth()
        self.setFixedHeight(around + rows + below)

    @property
    def selected(self) -> tuple[Any, ...]:
        """The selected rows from top to bottom."""
        # asking Qt for the selected rows one by one took 0.2 s for 2,000
        chosen = self.selectionModel().selection()
        parts = (chosen.at(number) for number in range(chosen.count()))
        places = sorted({place for part in parts for place in range(part.top(), part.bottom() + 1)})
        return tuple(self.rows.row(self.rows.index(place, 0)) for place in places)

    @property
    def current(self) -> Any:
        """The row the keyboard is on, or None."""
        index = self.currentIndex()
        return self.rows.row(index) if index.isValid() else None

    def select(self, identity: object) -> bool:
        """Go to the row with this identity and select it; False when it is not shown."""
        place = self.rows.place_of(identity)
        if place < 0:
            return False
        index = self.rows.index(place, self._first_column())
        self.selectionModel().setCurrentIndex(
            index, QItemSelectionModel.SelectionFlag.ClearAndSelect | QItemSelectionModel.SelectionFlag.Rows
        )
        self.scrollTo(index)
        return True

    def set_dense(self, dense: bool) -> None:
        """Rows of 24 instead of 32 pixels."""
        height = length(24 if dense else 32)
        self.verticalHeader().setMinimumSectionSize(height)
        self.verticalHeader().setDefaultSectionSize(height)

    def shown_columns(self) -> tuple[int, ...]:
        """The columns on screen, from left to right."""
        header = self.horizontalHeader()
        order = (header.logicalIndex(place) for place in range(header.count()))
        return tuple(number for number in order if not self.isColumnHidden(number))

    def shown_as_columns(self) -> list[Column[Any]]:
        """The columns on screen as they were declared."""
        return [self.rows.columns[number] for number in self.shown_columns()]

    def as_text(self, rows: Iterable[Any], separator: str = "\t") -> str:
        """`rows` with the shown columns as separated text, the titles first."""
        out = StringIO()
        writer = csv.writer(out, delimiter=separator, lineterminator="\n")
        shown = self.shown_as_columns()
        writer.writerow([column.title for column in shown])
        writer.writerows([_harmless(column.text(row)) for column in shown] for row in rows)
        return out.getvalue()

    def copy(self) -> None:
        """Put the selected rows on the clipboard, ready for a spreadsheet."""
        if self.selected:
            QGuiApplication.clipboard().setText(self.as_text(self.selected))

    def export(self, path: Path) -> None:
        """Write what is shown, with its columns and order, as CSV."""
        path.write_text(self.as_text(self.rows.shown, ","), encoding="utf-8-sig", newline="")

    def column_menu(self) -> QMenu:
        """A menu to show and hide columns."""
        menu = QMenu(self)
        menu.setAccessibleName(_("Columns"))
        for number, column in enumerate(self.rows.columns):
            action = menu.addAction(column.title)
            action.setCheckable(True)
            action.setChecked(not self.isColumnHidden(number))
            action.setEnabled(self.isColumnHidden(number) or len(self.shown_columns()) > 1)
            action.toggled.connect(lambda on, number=number: self.setColumnHidden(number, not on))
        return menu

    def ask_columns(self, at: QPoint) -> None:
        """Open the column menu at a place of the header."""
        menu = self.column_menu()
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self.horizontalHeader().mapToGlobal(at))

    def save_state(self, settings: QSettings) -> None:
        """Keep column widths, order, choice and sorting."""
        settings.setValue(self._state_key(), self.horizontalHeader().saveState())

    def restore_state(self, settings: QSettings) -> None:
        """Take back what `save_state` kept."""
        state = settings.value(self._state_key())
        if state is not None:
            self.horizontalHeader().restoreState(state)

    def _state_key(self) -> str:
        """Widths belong to the text size the table was made for, also while another is being chosen."""
        return f"tables/{self.objectName()}/{self._text_size}"

    def _first_column(self) -> int:
        shown = self.shown_columns()
        return shown[0] if shown else 0

    def _keep_selection(self) -> None:
        current = self.current
        self._kept = (
            {self.rows.identity(row) for row in self.selected},
            self.rows.identity(current) if current is not None else None,
        )

    def _restore_selection(self) -> None:
        chosen, current = self._kept
        if not chosen and current is None:
            return
        flags = QItemSelectionModel.SelectionFlag
        column = self._first_column()
        held = [self.rows.identity(row) in chosen for row in self.rows.shown]
        # row by row, a whole table of 100,000 birds took minutes
        selection = QItemSelection()
        for is_held, run in groupby(range(len(held)), held.__getitem__):
            if is_held:
                places = list(run)
                selection.select(self.rows.index(places[0], column), self.rows.index(places[-1], column))
        self.selectionModel().select(selection, flags.Select | flags.Rows)
        place = self.rows.place_of(current)
        if place >= 0:
            self.selectionModel().setCurrentIndex(self.rows.index(place, column), flags.NoUpdate)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.current is not None:
            self.row_asked.emit(self.current)
        else:
            super().keyPressEvent(event)


def _harmless(text: str) -> str:
    """`text` that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "@") or (text[:1] == "-" and len(text) > 1) else text
