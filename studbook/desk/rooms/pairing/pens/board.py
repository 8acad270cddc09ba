"""The planned pens side by side: cock, place, hens with F of their chicks; hens are moved by hand."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragLeaveEvent,
    QDropEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QComboBox, QGridLayout, QHBoxLayout, QMenu, QVBoxLayout, QWidget

from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Snapshot
from studbook.desk.rooms.pairing.pens.planned_list import HEN_MIME, HenLine, HenList, Tip, bird_of
from studbook.desk.theme import Role, length, look, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.text import label, link
from studbook.desk.wording import bird_text, percent_text
from studbook.planning.best_pens.by_hand import Kin
from studbook.planning.best_pens.wishes import BestPen
from studbook.planning.limits import is_over
from studbook.words import _, plural

_WIDTH = 224


@dataclass(frozen=True)
class Shown:
    """What the board shows.

    Attributes
    ----------
    unplaced
        Hens to choose among that are in no pen.
    cocks
        Every cock to choose among.
    places
        The pens of the yard a planned pen may stand in, by id.
    remarks
        What is not as wished, by the cock of the pen.
    """

    snapshot: Snapshot
    pens: tuple[BestPen, ...]
    unplaced: tuple[BirdId, ...]
    cocks: tuple[BirdId, ...]
    kin: Kin
    limit: float | None
    places: Mapping[PenId, str]
    remarks: Mapping[BirdId, tuple[str, ...]]


class PlannedColumn(QWidget):
    """One planned pen, or the hens in none.

    Signals
    -------
    dropped
        A hen was dropped here (BirdId).
    place_chosen
        The pen is to stand in a place of the yard (PenId or None).
    cock_menu_asked
        Another cock is wanted here (QPoint, global).
    bird_asked
        The page of a bird is wanted (str).
    """

    dropped = Signal(str)
    place_chosen = Signal(object)
    cock_menu_asked = Signal(object)
    bird_asked = Signal(str)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setAcceptDrops(True)
        self._is_over = False
        self.cock: BirdId | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(space(1.5), space(0.5), space(1), space(1))
        column.setSpacing(space(0.5))
        self.place = QComboBox()
        self.place.setObjectName(f"{name}_place")
        self.place.activated.connect(lambda _at: self.place_chosen.emit(self.place.currentData()))
        column.addWidget(self.place)
        self._head = QHBoxLayout()
        self._head.setSpacing(space(0.5))
        self._title = label("", Role.NAME, wraps=True)
        self._head.addWidget(self._title, 1)
        self._link: BirdLink | None = None
        self._linked: Bird | None = None
        self.change = link(_("change"), self._ask_cocks)
        self.change.setObjectName(f"{name}_cock")
        self._head.addWidget(self.change)
        column.addLayout(self._head)
        self._figures = label("", Role.SMALL, wraps=True)
        self._figures.setObjectName(f"{name}_figures")
        column.addWidget(self._figures)
        self.list = HenList(f"{name}_hens")
        self.list.asked.connect(self.bird_asked)
        column.addWidget(self.list)
        self._remarks = label("", Role.CAUTION, wraps=True)
        self._remarks.setObjectName(f"{name}_remarks")
        column.addWidget(self._remarks)
        column.addStretch(1)

    def show_pen(self, pen: BestPen, shown: Shown) -> None:
        """Show a planned pen."""
        self.cock = pen.cock
        snapshot = shown.snapshot
        cock = snapshot.bird(pen.cock)
        name = bird_text(cock)
        self._show_cock(pen.cock, snapshot)
        self.change.setAccessibleName(_("Another cock in place of {cock}").format(cock=name))
        self._fill_places(pen, shown, name)
        hens = plural("{count} hen", "{count} hens", len(pen.hens)).format(count=len(pen.hens))
        if pen.hens:
            text = _("{hens}; F of the chicks {share}")
            hens = text.format(hens=hens, share=percent_text(pen.inbreeding))
        self._figures.setText(hens)
        self.list.setAccessibleName(_("The hens with {cock}").format(cock=name))
        self.list.set_lines([_line(hen, pen.cock, shown) for hen in pen.hens], _tip(shown))
        remarks = shown.remarks.get(pen.cock, ())
        self._remarks.setText("\n".join(remarks))
        self._remarks.setVisible(bool(remarks))

    def show_unplaced(self, hens: Sequence[BirdId], shown: Shown) -> None:
        """Show the hens that are in no pen."""
        self.cock = None
        for part in (self.place, self.change, self._remarks):
            part.hide()
        self._title.setText(_("In no pen"))
        self._figures.setText(plural("{count} hen", "{count} hens", len(hens)).format(count=len(hens)))
        self.list.setAccessibleName(_("The hens in no pen"))
        self.list.set_lines([HenLine(shown.snapshot.bird(hen)) for hen in hens], _tip(shown))

    def _show_cock(self, cock: BirdId, snapshot: Snapshot) -> None:
        self._title.hide()
        found = snapshot.bird(cock)
        if self._link is not None and self._linked == found:
            return
        self._linked = found
        if self._link is not None:
            self._head.removeWidget(self._link)
            self._link.hide()
            self._link.deleteLater()
        self._link = BirdLink(found)
        self._link.asked.connect(self.bird_asked)
        self._head.insertWidget(0, self._link, 1, Qt.AlignmentFlag.AlignLeft)

    def _fill_places(self, pen: BestPen, shown: Shown, cock: str) -> None:
        self.place.clear()
        self.place.addItem(_("no place yet"), None)
        for place, name in shown.places.items():
            self.place.addItem(name, place)
        self.place.setCurrentIndex(max(self.place.findData(pen.place), 0))
        self.place.setAccessibleName(_("Where the pen of {cock} stands").format(cock=cock))
        self.place.setVisible(bool(shown.places))

    def _ask_cocks(self) -> None:
        self.cock_menu_asked.emit(self.change.mapToGlobal(QPoint(0, self.change.height())))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if event.mimeData().hasFormat(HEN_MIME):
            self._show_over(True)
            event.acceptProposedAction()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self._show_over(False)

    def dropEvent(self, event: QDropEvent) -> None:
        self._show_over(False)
        bird = bird_of(event.mimeData())
        event.acceptProposedAction()
        if bird is not None and bird not in self.list.birds:
            self.dropped.emit(bird)

    def _show_over(self, over: bool) -> None:
        self._is_over = over
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(QPen(look().comb if self._is_over else look().hair, 3 if self._is_over else 1))
        painter.drawLine(0, 0, 0, self.height())


class PlannedBoard(QWidget):
    """The planned pens.

    Signals
    -------
    hen_moved
        A hen is to go to the pen of a cock (BirdId, BirdId or None for no pen).
    cock_changed
        A cock is to stand in the place of another (BirdId, BirdId).
    place_chosen
        The pen of a cock is to stand somewhere (BirdId, PenId or None).
    bird_asked, pair_asked
        The page of a bird (str), or a pair (cock, hen), is wanted.
    """

    hen_moved = Signal(object, object)
    cock_changed = Signal(object, object)
    place_chosen = Signal(object, object)
    bird_asked = Signal(str)
    pair_asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("best_board")
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(space(1))
        self._grid.setVerticalSpacing(space(2))
        self.columns: list[PlannedColumn] = []
        self._shown: Shown | None = None
        self._across = 0
        self.menu: QMenu | None = None

    @property
    def chosen(self) -> BirdId | None:
        """The hen that is chosen on the board."""
        focused = next((column.list.chosen for column in self.columns if column.list.hasFocus()), None)
        return focused or next((column.list.chosen for column in self.columns if column.list.chosen), None)

    def show_pens(self, shown: Shown) -> None:
        """Show other pens; the hen that was chosen stays so and keeps the keyboard."""
        held = self.chosen
        had_focus = any(column.list.hasFocus() for column in self.columns)
        self._shown = shown
        count = len(shown.pens) + bool(shown.unplaced)
        while len(self.columns) < count:
            self._add_column()
        while len(self.columns) > count:
            gone = self.columns.pop()
            self._grid.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        for column, pen in zip(self.columns, shown.pens, strict=False):
            for part in (column.place, column.change):
                part.show()
            column.show_pen(pen, shown)
        if shown.unplaced:
            self._replace_last()
            self.columns[-1].show_unplaced(shown.unplaced, shown)
        self._arrange(force=True)
        for column in self.columns:
            if held is not None and held in column.list.birds:
                column.list.choose(held)
                if had_focus:
                    column.list.setFocus()
            else:
                column.list.choose(None)

    def _replace_last(self) -> None:
        """The last column is that of hens in no pen: a fresh one, without a cock."""
        if self.columns and self.columns[-1].cock is not None:
            gone = self.columns.pop()
            self._grid.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
            self._add_column()

    def _add_column(self) -> None:
        column = PlannedColumn(f"best_pen_{len(self.columns) + 1}", self)
        column.dropped.connect(lambda bird, column=column: self.hen_moved.emit(bird, column.cock))
        column.place_chosen.connect(lambda place, column=column: self.place_chosen.emit(column.cock, place))
        column.cock_menu_asked.connect(lambda at, column=column: self._ask_cock(column, at))
        column.bird_asked.connect(self.bird_asked)
        held = column.list
        held.carried.connect(lambda bird, step, column=column: self._carry(bird, column, step))
        held.taken_out.connect(lambda bird: self.hen_moved.emit(bird, None))
        held.neighbour_asked.connect(lambda step, column=column: self._enter(column, step))
        held.menu_asked.connect(self.ask_menu)
        held.clicked.connect(lambda _index, column=column: self._alone(column))
        self.columns.append(column)

    def _alone(self, chosen: PlannedColumn) -> None:
        """One hen is chosen on the whole board."""
        for column in self.columns:
            if column is not chosen:
                column.list.choose(None)

    def _carry(self, bird: BirdId, column: PlannedColumn, step: int) -> None:
        pens = [each for each in self.columns if each.cock is not None]
        at = self.columns.index(column) + step
        if 0 <= at < len(pens):
            self.hen_moved.emit(bird, pens[at].cock)
        elif at == len(pens) and column.cock is not None:
            self.hen_moved.emit(bird, None)

    def _enter(self, column: PlannedColumn, step: int) -> None:
        at = self.columns.index(column) + step
        while 0 <= at < len(self.columns):
            if self.columns[at].list.birds:
                self.columns[at].list.enter()
                self._alone(self.columns[at])
                return
            at += step

    def ask_menu(self, place: QPoint) -> None:
        """What can be done with the chosen hen."""
        shown, hen = self._shown, self.chosen
        if shown is None or hen is None:
            return
        snapshot = shown.snapshot
        here = next((pen.cock for pen in shown.pens if hen in pen.hens), None)
        menu = self._fresh_menu(_("Move {hen}").format(hen=bird_text(snapshot.bird(hen))))
        for pen in shown.pens:
            if pen.cock != here:
                text = _("To {cock}: F of her chicks {share}").format(
                    cock=bird_text(snapshot.bird(pen.cock)), share=percent_text(shown.kin[pen.cock, hen])
                )
                _add(menu, text, partial(self.hen_moved.emit, hen, pen.cock))
        placed = {pen.cock for pen in shown.pens}
        for cock in shown.cocks:
            if cock not in placed:
                text = _("To a pen of her own with {cock}: F of her chicks {share}").format(
                    cock=bird_text(snapshot.bird(cock)), share=percent_text(shown.kin[cock, hen])
                )
                _add(menu, text, partial(self.hen_moved.emit, hen, cock))
        if here is not None:
            _add(menu, _("Out of the pens"), lambda: self.hen_moved.emit(hen, None))
        menu.addSeparator()
        if here is not None:
            _add(menu, _("Why? Show this pair"), lambda: self.pair_asked.emit((here, hen)))
        _add(menu, _("Show her page"), lambda: self.bird_asked.emit(str(hen)))
        menu.popup(place)

    def _ask_cock(self, column: PlannedColumn, place: QPoint) -> None:
        shown, cock = self._shown, column.cock
        if shown is None or cock is None:
            return
        snapshot = shown.snapshot
        menu = self._fresh_menu(_("Another cock here"))
        placed = {pen.cock for pen in shown.pens}
        for other in shown.cocks:
            if other == cock:
                continue
            text = _("{cock}, who changes places with him") if other in placed else _("{cock}")
            words = text.format(cock=bird_text(snapshot.bird(other)))
            _add(menu, words, partial(self.cock_changed.emit, cock, other))
        if menu.isEmpty():
            menu.addAction(_("There is no other cock")).setEnabled(False)
        menu.popup(place)

    def _fresh_menu(self, name: str) -> QMenu:
        if self.menu is not None:
            self.menu.deleteLater()
        self.menu = QMenu(self)
        self.menu.setObjectName("best_menu")
        self.menu.setAccessibleName(name)
        return self.menu

    def _arrange(self, *, force: bool = False) -> None:
        across = max(1, (self.width() + space(1)) // (length(_WIDTH) + space(1)))
        if across == self._across and not force:
            return
        self._across = across
        for at, column in enumerate(self.columns):
            self._grid.addWidget(column, at // across, at % across, Qt.AlignmentFlag(0))
            column.setMinimumWidth(length(_WIDTH) - space(3))
            column.show()
        for at in range(self._grid.columnCount()):
            self._grid.setColumnStretch(at, 1 if at < min(across, max(len(self.columns), 1)) else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()


def _add(menu: QMenu, text: str, run: Callable[[], object]) -> None:
    menu.addAction(text.replace("&", "&&")).triggered.connect(lambda _on=False: run())


def _line(hen: BirdId, cock: BirdId, shown: Shown) -> HenLine:
    """A hen with the F of her chicks here."""
    expected = shown.kin[cock, hen]
    over = shown.limit is not None and is_over(expected, shown.limit)
    return HenLine(shown.snapshot.bird(hen), percent_text(expected), over)


def _tip(shown: Shown) -> Tip:
    """The F of the chicks of a hen with each cock of the plan."""

    def told(hen: BirdId) -> str:
        return "\n".join(
            _("F of the chicks with {cock}: {share}").format(
                cock=shown.snapshot.bird(pen.cock).called, share=percent_text(shown.kin[pen.cock, hen], 2)
            )
            for pen in shown.pens
        )

    return told
