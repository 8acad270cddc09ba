"""The tally as a ledger: digits type into a cell, the keys of movement keep what is typed and go on."""

import csv
from io import StringIO

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFontMetricsF,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from studbook.book.records import Bird
from studbook.desk.look import mix
from studbook.desk.rooms.eggs.collections.model import (
    FIRST_DAY,
    LAST_DAY,
    NAME,
    RATE,
    TOTAL,
    Cell,
    HouseRole,
    State,
    StateRole,
    WeekModel,
)
from studbook.desk.theme import Type, font, length, look, space
from studbook.desk.widgets.bird_line import BirdRole, paint_bird
from studbook.words import _

_DIGITS = 4
"""More figures than any pen lays."""

_DAY, _SUM, _RATE, _LEAST_NAME = 50, 58, 70, 150

_STEPS = {
    Qt.Key.Key_Up: (-1, 0),
    Qt.Key.Key_Down: (1, 0),
    Qt.Key.Key_Left: (0, -1),
    Qt.Key.Key_Right: (0, 1),
}


class TallyDelegate(QStyledItemDelegate):
    """Draws a cell on its hairline: today on a wash, what is to come pale, what is odd in straw."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        colours, state, rect = look(), index.data(StateRole), QRectF(option.rect)
        assert isinstance(state, State)
        ground = mix(colours.sheet, colours.comb, 0.06) if state.today else colours.sheet
        if state.to_come:
            ground = colours.paper
        painter.fillRect(rect, ground)
        inner = rect.adjusted(space(), 0, -space(), 0)
        if index.column() == NAME:
            self._paint_name(painter, inner, index)
        else:
            painter.setFont(index.data(Qt.ItemDataRole.FontRole))
            quiet = index.column() == RATE
            painter.setPen(
                colours.comb
                if state.typed
                else colours.straw
                if state.doubtful
                else colours.faint
                if quiet
                else colours.ink
            )
            painter.drawText(
                inner, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, str(index.data())
            )
        if state.remarked:
            _paint_corner(painter, rect)
        painter.setPen(colours.hair)
        painter.drawLine(rect.bottomLeft() - QPointF(0, 1), rect.bottomRight() - QPointF(0, 1))
        view = self.parent()
        if isinstance(view, WeekGrid) and view.currentIndex() == index:
            painter.setPen(QPen(colours.comb, 2 if view.hasFocus() else 1))
            painter.drawRect(rect.adjusted(1, 1, -1.5, -1.5))
        if state.refused:
            painter.setPen(QPen(colours.comb, 1.5, Qt.PenStyle.DotLine))
            painter.drawRect(rect.adjusted(3, 3, -3.5, -3.5))

    def _paint_name(
        self, painter: QPainter, inner: QRectF, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        bird = index.data(BirdRole)
        if isinstance(bird, Bird):
            paint_bird(painter, inner, bird)
            return
        colours, house = look(), str(index.data(HouseRole) or "")
        face = font(Type.LARGE, serif=True)
        metrics = QFontMetricsF(face)
        name = metrics.elidedText(str(index.data()), Qt.TextElideMode.ElideRight, inner.width())
        painter.setFont(face)
        painter.setPen(colours.ink)
        painter.drawText(inner, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, name)
        taken = metrics.horizontalAdvance(name) + space(1.5)
        rest = inner.adjusted(taken, 0, 0, 0)
        small = font(Type.SMALL)
        if house and rest.width() > length(30):
            painter.setFont(small)
            painter.setPen(colours.faint)
            cut = QFontMetricsF(small).elidedText(house, Qt.TextElideMode.ElideRight, rest.width())
            painter.drawText(rest, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, cut)


def _paint_corner(painter: QPainter, rect: QRectF) -> None:
    """A small corner: the cell has weights, a colour or a note."""
    side = length(6)
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look().slate)
    top = rect.topLeft() + QPointF(2, 2)
    painter.drawPolygon(QPolygonF([top, top + QPointF(side, 0), top + QPointF(0, side)]))
    painter.restore()


class WeekGrid(QTableView):
    """The entry grid of a week.

    Digits type the count, "+" adds to the one there is, Delete takes it out. Enter goes down, Tab to the right, the
    arrow keys anywhere; each keeps what was typed. Page Up and Page Down change the week; Esc drops what was typed,
    or leaves the grid.

    Signals
    -------
    counted
        A count was typed (Cell, int or None).
    cell_changed
        The keyboard is on another cell (Cell or None).
    week_asked
        Another week is wanted (int, weeks from the one shown).
    """

    counted = Signal(object, object)
    cell_changed = Signal(object)
    week_asked = Signal(int)

    def __init__(self, model: WeekModel) -> None:
        super().__init__()
        self.setObjectName("week_grid")
        self.setAccessibleName(_("Eggs of the week, by pen and day"))
        self._model = model
        self._typed: str | None = None
        self.setModel(model)
        self.setItemDelegate(TallyDelegate(self))
        self.setShowGrid(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(length(30))
        self.verticalHeader().setDefaultSectionSize(length(30))
        header = self.horizontalHeader()
        header.setSectionsClickable(False)
        header.setHighlightSections(False)
        header.setMinimumSectionSize(length(30))
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        for column in range(FIRST_DAY, TOTAL):
            self.setColumnWidth(column, length(_DAY))
        self.setColumnWidth(TOTAL, length(_SUM))
        self.setColumnWidth(RATE, length(_RATE))
        model.modelReset.connect(self._settle)
        self.selectionModel().currentChanged.connect(self._moved)

    @property
    def cell(self) -> Cell | None:
        """The cell the keyboard is on."""
        return self._model.cell(self.currentIndex())

    def go_to(self, cell: Cell) -> bool:
        """Go to a cell; False when it is not shown."""
        index = self._model.place_of(cell)
        if index.isValid():
            self.setCurrentIndex(index)
        return index.isValid()

    def keep(self) -> None:
        """Keep what is being typed."""
        typed, cell = self._typed, self.cell
        if typed is None or cell is None:
            return
        before = self._model.eggs(self.currentIndex())
        self._drop()
        count = _count(typed, before)
        if count != before:
            self.counted.emit(cell, count)

    def copy(self) -> None:
        """Put the whole tally on the clipboard, ready for a spreadsheet."""
        out = StringIO()
        csv.writer(out, delimiter="\t", lineterminator="\n").writerows(self._model.as_lists())
        QGuiApplication.clipboard().setText(out.getvalue())

    def _drop(self) -> None:
        self._typed = None
        self._model.show_typed(None)

    def _type(self, text: str) -> None:
        self._typed = text
        self._model.show_typed(self.cell, text)

    def _settle(self) -> None:
        """Other lines are shown: nothing is being typed, and the keyboard stands on a day."""
        self._typed = None
        self._model.show_typed(None)

    def _moved(self, index: QModelIndex, _before: QModelIndex) -> None:
        self.cell_changed.emit(self._model.cell(index))
        self.viewport().update()

    def _go(self, row: int, column: int) -> None:
        if 0 <= row < len(self._model.rows) and FIRST_DAY <= column <= LAST_DAY:
            self.setCurrentIndex(self._model.index(row, column))

    def _go_on(self, *, down: bool, back: bool) -> None:
        """To the next cell of the day (down) or of the line, and on to the next day or line at the end."""
        here, rows = self.currentIndex(), len(self._model.rows)
        step = -1 if back else 1
        days = LAST_DAY - FIRST_DAY + 1
        column = here.column() - FIRST_DAY
        place = column * rows + here.row() if down else here.row() * days + column
        place += step
        if not 0 <= place < rows * days:
            return
        row, day = (place % rows, place // rows) if down else divmod(place, days)
        self._go(row, FIRST_DAY + day)

    def _is_at_end(self, *, back: bool) -> bool:
        here = self.currentIndex()
        if back:
            return here.row() <= 0 and here.column() <= FIRST_DAY
        return here.row() >= len(self._model.rows) - 1 and here.column() >= LAST_DAY

    def _fit(self) -> None:
        rest = sum(self.columnWidth(column) for column in range(FIRST_DAY, RATE + 1))
        self.setColumnWidth(NAME, max(length(_LEAST_NAME), self.viewport().width() - rest))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, text, cell = event.key(), event.text(), self.cell
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self.keep()
            self.week_asked.emit(-1 if key == Qt.Key.Key_PageUp else 1)
        elif cell is None:
            super().keyPressEvent(event)
        elif len(text) == 1 and (text in "0123456789" or (text == "+" and self._typed is None)):
            typed = self._typed or ""
            if len(typed.lstrip("+")) < _DIGITS:
                self._type(typed + text)
        elif key == Qt.Key.Key_Backspace:
            self._type((self._typed or "")[:-1])
        elif key == Qt.Key.Key_Delete:
            self._type("")
            self.keep()
        elif key == Qt.Key.Key_Escape:
            if self._typed is not None:
                self._drop()
            else:
                super().focusNextPrevChild(True)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.keep()
            self._go_on(down=True, back=bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))
        elif key in _STEPS and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.keep()
            down, right = _STEPS[Qt.Key(key)]
            here = self.currentIndex()
            self._go(here.row() + down, here.column() + right)
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self.keep()
            self._go(self.currentIndex().row(), FIRST_DAY if key == Qt.Key.Key_Home else LAST_DAY)
        else:
            super().keyPressEvent(event)

    def focusNextPrevChild(self, next_: bool) -> bool:
        """Tab goes through the cells, and on at the last one."""
        if self.cell is None or self._is_at_end(back=not next_):
            self.keep()
            return super().focusNextPrevChild(next_)
        self.keep()
        self._go_on(down=False, back=not next_)
        return True

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.cell is None and self._model.rows:
            self._go(0, FIRST_DAY)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.keep()
        super().focusOutEvent(event)
        self.viewport().update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.keep()
        super().mousePressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()


def _count(typed: str, before: int | None) -> int | None:
    """The count meant by what was typed: nothing takes it out, "+2" adds two."""
    digits = typed.lstrip("+")
    if not digits:
        return before if typed else None
    return int(digits) + (before or 0 if typed.startswith("+") else 0)
