"""The matrix on screen: a figure and a tint for every pair, birds as headers, worked by keys as by mouse."""

from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QFontMetricsF,
    QKeyEvent,
    QPainter,
    QPen,
)
from PySide6.QtWidgets import (
    QHeaderView,
    QMenu,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from studbook.book.records import Bird, BirdId
from studbook.desk import icons
from studbook.desk.look import Look, mix
from studbook.desk.rooms.pairing.pairs.cell_marks import paint_marks
from studbook.desk.rooms.pairing.pairs.model import MEAN, MatrixModel
from studbook.desk.theme import Type, font, length, look, space
from studbook.desk.widgets.bird_line import BirdRole, line_size, paint_bird, shape_side
from studbook.desk.widgets.chips import chip_size, paint_chip
from studbook.desk.widgets.shapes import paint_shape
from studbook.desk.wording import percent_text
from studbook.planning.limits import Bar
from studbook.words import _

_WIDEST_HEN = 210
_MEASURED = 100


def cell_colours(colours: Look, value: float, *, greyed: bool) -> tuple[QColor, QColor]:
    """The ground and the ink of a figure: its tint, or the grey of the same depth when over the limit."""
    tint = colours.tint(value)
    if not greyed:
        return tint, colours.ink_on(tint)
    depth = tint.lightness()
    ground = mix(colours.sheet, QColor(depth, depth, depth), 0.35)
    return ground, colours.legible(colours.faint, ground, 4.5)


def _chip_widths(birds: Iterable[Bird]) -> list[int]:
    """The widths of the chips of the longest marks."""
    marks = sorted({bird.mark for bird in birds if bird.mark}, key=len, reverse=True)
    return [chip_size(mark).width() for mark in marks[:_MEASURED]]


class _Cells(QStyledItemDelegate):
    """Paints the figures; what a figure looks like is worked out once for each value."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._made: dict[tuple[int, bool], tuple[QColor, QColor]] = {}
        self._fonts = (font(), font(bold=True))
        self._for: tuple[Look, int] | None = None

    def _renew(self) -> None:
        """Begin anew when the look or the text size is another one."""
        worn = look(), length(100)
        if self._for != worn:
            self._for = worn
            self._made.clear()
            self._fonts = font(), font(bold=True)

    def _looks(self, depth: float, greyed: bool) -> tuple[QColor, QColor]:
        key = (round(depth * 1_000), greyed)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = cell_colours(look(), depth, greyed=greyed)
        return found

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        model = index.model()
        assert isinstance(model, MatrixModel)
        self._renew()
        row, column, rect = index.row(), index.column(), option.rect
        is_mean = row == MEAN or column == MEAN
        if is_mean:
            painter.fillRect(rect, look().sheet)
            ink = look().ink
            painter.setPen(look().hair)
            painter.drawLine(rect.bottomLeft(), rect.bottomRight())
            painter.drawLine(rect.topRight(), rect.bottomRight())
        else:
            bar, had_eggs = model.bar(row, column), model.had_eggs(row, column)
            ground, ink = self._looks(model.depth(row, column), bar != 0)
            painter.fillRect(rect.adjusted(0, 0, -1, -1), ground)
            if bar or had_eggs is not None:
                paint_marks(painter, QRectF(rect), bar, had_eggs, ink)
        painter.setPen(ink)
        painter.setFont(self._fonts[model.is_best(row, column)])
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, model.text(row, column))
        if model.has_pins:
            _paint_fence(painter, rect, model, index)
        view = option.widget
        if isinstance(view, QTableView) and view.currentIndex() == index:
            painter.setPen(QPen(look().comb, 3 if view.hasFocus() else 2))
            painter.drawRect(rect.adjusted(1, 1, -2, -2))


def _paint_fence(
    painter: QPainter, rect: QRect, model: MatrixModel, index: QModelIndex | QPersistentModelIndex
) -> None:
    """The line behind the last bird that is pinned to the front."""
    painter.setPen(QPen(look().faint, 2))
    if index.row() and index.row() == model.pins(Qt.Orientation.Vertical):
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
    if index.column() and index.column() == model.pins(Qt.Orientation.Horizontal):
        painter.drawLine(rect.topRight(), rect.bottomRight())


class _BirdHeader(QHeaderView):
    """A header of birds: chip over name above the columns, bird lines beside the rows."""

    def __init__(self, orientation: Qt.Orientation, parent: QWidget) -> None:
        super().__init__(orientation, parent)
        self.setSectionsClickable(True)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHighlightSections(False)
        self._needed = QSize()

    def measure(self) -> None:
        """Work out the room the birds take; they are many, and the size is asked for often."""
        birds = [
            bird
            for section in range(self.count())
            if isinstance(bird := self.model().headerData(section, self.orientation(), BirdRole), Bird)
        ]
        if self.orientation() is Qt.Orientation.Horizontal:
            self._needed = QSize(0, length(54 if any(bird.name for bird in birds) else 34))
            return
        # to measure every bird of a large flock takes too long: the longest texts are the widest, or nearly
        by_length = sorted(birds, key=lambda bird: len(bird.mark) + len(bird.name), reverse=True)
        widest = max((line_size(bird).width() for bird in by_length[:_MEASURED]), default=0) + space(2)
        least = shape_side() + max(_chip_widths(birds), default=0) + space(5)
        self._needed = QSize(max(min(widest, length(_WIDEST_HEN)), least), 0)

    def _sorting(self, section: int) -> str:
        """The icon of the order, when this section is what is sorted by."""
        model = self.model()
        assert isinstance(model, MatrixModel)
        if self.orientation() is Qt.Orientation.Horizontal:
            found, order = model.sorted_column(), model.hens_by
        else:
            found, order = model.sorted_row(), model.cocks_by
        if found != section:
            return ""
        return "caret-down" if order.descending else "caret-up"

    def _is_current(self, section: int) -> bool:
        view = self.parent()
        index = view.currentIndex() if isinstance(view, QTableView) else QModelIndex()
        is_cock = self.orientation() is Qt.Orientation.Horizontal
        return index.isValid() and section == (index.column() if is_cock else index.row())

    def _is_pinned(self, section: int) -> bool:
        model = self.model()
        assert isinstance(model, MatrixModel)
        return 0 < section <= model.pins(self.orientation())

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        colours = look()
        painter.save()
        painter.fillRect(rect, colours.selection if self._is_current(section) else colours.sheet)
        bird = self.model().headerData(section, self.orientation(), BirdRole)
        inner = QRectF(rect).adjusted(space(0.75), space(0.5), -space(0.75), -space(0.5))
        if not isinstance(bird, Bird):
            painter.setFont(font(Type.SMALL))
            painter.setPen(colours.faint)
            painter.drawText(inner, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, _("mean"))
        elif self.orientation() is Qt.Orientation.Vertical:
            paint_bird(painter, inner, bird)
        else:
            _paint_column(painter, inner, bird)
        is_cock = self.orientation() is Qt.Orientation.Horizontal
        painter.setPen(colours.faint if is_cock else colours.hair)
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        side = length(12)
        if sorting := self._sorting(section):
            corner = QRectF(rect.right() - side - 2, rect.bottom() - side - 2, side, side)
            icons.paint(painter, corner, sorting, colours.comb)
        if self._is_pinned(section):
            # above a column the chip fills the middle and the order its right corner; beside a row the top is free
            corner = (
                QRectF(rect.left() + 3, rect.bottom() - side - 3, side, side)
                if is_cock
                else QRectF(rect.right() - side - 3, rect.top() + 3, side, side)
            )
            icons.paint(painter, corner, "map-pin", colours.faint)
        painter.restore()

    def sizeHint(self) -> QSize:
        return self._needed


def _paint_column(painter: QPainter, rect: QRectF, bird: Bird) -> None:
    """Shape and chip, and the name below them."""
    side = shape_side()
    chip = chip_size(bird.mark) if bird.mark else QSize(0, length(20))
    wide = side + (space(0.75) + chip.width() if bird.mark else 0)
    left = rect.center().x() - wide / 2
    line = rect.top() + chip.height() / 2
    paint_shape(painter, QRectF(left, line - side / 2, side, side), bird, look().ink)
    if bird.mark:
        place = QRectF(left + side + space(0.75), rect.top(), chip.width(), chip.height())
        paint_chip(painter, place, bird.mark, bird.shown_mark)
    face = font(Type.BODY, serif=True)
    painter.setFont(face)
    painter.setPen(look().ink)
    name = QFontMetricsF(face).elidedText(bird.name, Qt.TextElideMode.ElideRight, rect.width())
    below = QRectF(
        rect.left(), rect.top() + chip.height(), rect.width(), rect.bottom() - rect.top() - chip.height()
    )
    painter.drawText(below, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter, name)


class Matrix(QTableView):
    """Cocks across, hens down. Enter or a click opens a pair.

    C, H and M sort by cock, hen and mean; with Shift, C and H pin the cock or the hen to the front; B bans a pair
    or lifts its ban, K keeps it to compare with another.

    Signals
    -------
    pair_asked
        A pair is to be opened (tuple[BirdId, BirdId]).
    ban_asked
        A pair is to be banned, or its ban lifted (tuple[BirdId, BirdId]).
    compare_asked
        A pair is to be compared with another (tuple[BirdId, BirdId]).
    pair_reached
        The keyboard has reached a pair (tuple[BirdId, BirdId]).
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    """

    pair_asked = Signal(object)
    pair_reached = Signal(object)
    ban_asked = Signal(object)
    compare_asked = Signal(object)
    bird_asked = Signal(str)

    def __init__(self, model: MatrixModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("pairing_matrix")
        self.name_figure(_("F of the chicks"))
        self.pairs = model
        self._heads = (
            _BirdHeader(Qt.Orientation.Horizontal, self),
            _BirdHeader(Qt.Orientation.Vertical, self),
        )
        self.setHorizontalHeader(self._heads[0])
        self.setVerticalHeader(self._heads[1])
        self.setModel(model)
        self.setItemDelegate(_Cells(self))
        self.setShowGrid(False)
        self.setSelectionMode(QTableView.SelectionMode.NoSelection)
        self.setTabKeyNavigation(False)
        self.setHorizontalScrollMode(QTableView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollMode(QTableView.ScrollMode.ScrollPerPixel)
        self.setCornerButtonEnabled(False)
        self.horizontalHeader().sectionClicked.connect(model.sort_hens)
        self.verticalHeader().sectionClicked.connect(model.sort_cocks)
        self.clicked.connect(self._open)
        model.modelReset.connect(self.fit_to_text)
        model.layoutChanged.connect(self._repaint_headers)
        self.fit_to_text()

    def name_figure(self, figure: str) -> None:
        """Say to a screen reader which figure the cells hold."""
        self.setAccessibleName(_("{figure}, for every pair, hens down, cocks across").format(figure=figure))

    def fit_to_text(self) -> None:
        """Take the sizes the texts need."""
        cocks = [
            bird
            for column in range(1, self.pairs.columnCount())
            if (bird := self.pairs.cock(column)) is not None
        ]
        metrics = QFontMetricsF(font(Type.BODY, bold=True))
        figure = metrics.horizontalAdvance(percent_text(0.375)) + space(2) + length(16)
        chips = (width + shape_side() + space(2.5) for width in _chip_widths(cocks))
        self.horizontalHeader().setDefaultSectionSize(round(max(figure, *chips, length(64))))
        self.verticalHeader().setDefaultSectionSize(length(30))
        if self.pairs.columnCount():
            mean = QFontMetricsF(font(Type.SMALL)).horizontalAdvance(_("mean")) + space(3)
            self.setColumnWidth(MEAN, round(max(figure, mean)))
        for head in self._heads:
            head.measure()
        self.updateGeometries()
        self._repaint_headers()

    def select_pair(self, pair: tuple[Any, Any]) -> None:
        """Put the keyboard on a pair."""
        index = self.pairs.index_of(*pair)
        if index.isValid() and index != self.currentIndex():
            self.setCurrentIndex(index)

    def select_bird(self, bird: BirdId) -> None:
        """Put the keyboard on the pair that suits a bird best."""
        index = self.pairs.best_of(bird)
        if index.isValid():
            self.setCurrentIndex(index)
            self.scrollTo(index)

    def pair_menu(self) -> QMenu:
        """What can be done with the pair the keyboard is on."""
        menu = QMenu(self)
        menu.setAccessibleName(_("The pair, and the order of the matrix"))

        def add(text: str, key: str, run: Callable[[], object]) -> None:
            action = menu.addAction(_("{deed}\t{key}").format(deed=text, key=key) if key else text)
            action.triggered.connect(lambda _on=False: run())

        row, column = max(self.currentIndex().row(), 0), max(self.currentIndex().column(), 0)
        cock, hen = self.pairs.cock(column), self.pairs.hen(row)
        if cock is not None and hen is not None:
            pair = (cock.id, hen.id)
            add(_("Open the pair"), _("Enter"), lambda: self.pair_asked.emit(pair))
            add(_("Compare with another pair"), "K", lambda: self.compare_asked.emit(pair))
            is_banned = Bar.BANNED in self.pairs.bar(row, column)
            ban = _("Lift the ban on this pair") if is_banned else _("I do not want this pair…")
            add(ban, "B", lambda: self.ban_asked.emit(pair))
            menu.addSeparator()
        if cock is not None:
            sort = _("Sort the hens by {cock}").format(cock=cock.called)
            add(sort, "C", lambda: self.pairs.sort_hens(column))
        if hen is not None:
            add(_("Sort the cocks by {hen}").format(hen=hen.called), "H", lambda: self.pairs.sort_cocks(row))
        add(_("Sort the hens by their mean"), "M", lambda: self.pairs.sort_hens(MEAN))
        add(_("Sort the cocks by their mean"), "", lambda: self.pairs.sort_cocks(MEAN))
        menu.addSeparator()
        for bird, key in ((cock, "C"), (hen, "H")):
            if bird is not None:
                pin = (
                    _("Let {bird} go back to its place")
                    if bird.id in self.pairs.pinned
                    else _("Pin {bird} to the front")
                )
                key_text = _("Shift+{key}").format(key=key)
                add(pin.format(bird=bird.called), key_text, partial(self.pairs.turn_pin, bird.id))
        for bird in (cock, hen):
            if bird is not None:
                go = _("Go to {bird}").format(bird=bird.called)
                add(go, "", partial(self.bird_asked.emit, str(bird.id)))
        return menu

    def _open(self, index: QModelIndex) -> None:
        pair = self.pairs.pair(index)
        if pair is not None:
            self.pair_asked.emit(pair)

    def _repaint_headers(self) -> None:
        self.horizontalHeader().viewport().update()
        self.verticalHeader().viewport().update()

    def currentChanged(
        self, current: QModelIndex | QPersistentModelIndex, previous: QModelIndex | QPersistentModelIndex
    ) -> None:
        super().currentChanged(current, previous)
        self._repaint_headers()
        pair = self.pairs.pair(current)
        if pair is not None:
            self.pair_reached.emit(pair)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        menu = self.pair_menu()
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(event.globalPos())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index, key = self.currentIndex(), event.key()
        held = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
        if event.modifiers() & held:
            super().keyPressEvent(event)
            return
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open(index)
        elif key == Qt.Key.Key_M:
            self.pairs.sort_hens(MEAN)
        elif key in (Qt.Key.Key_C, Qt.Key.Key_H) and index.isValid():
            self._sort_or_pin(index, key, pins=bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))
        elif key in (Qt.Key.Key_B, Qt.Key.Key_K):
            pair = self.pairs.pair(index)
            if pair is not None:
                (self.ban_asked if key == Qt.Key.Key_B else self.compare_asked).emit(pair)
        else:
            super().keyPressEvent(event)

    def _sort_or_pin(self, index: QModelIndex, key: int, *, pins: bool) -> None:
        is_cock = key == Qt.Key.Key_C
        bird = self.pairs.cock(index.column()) if is_cock else self.pairs.hen(index.row())
        if pins:
            if bird is not None:
                self.pairs.turn_pin(bird.id)
                self.scrollTo(self.currentIndex())
        elif is_cock:
            self.pairs.sort_hens(index.column())
        else:
            self.pairs.sort_cocks(index.row())
