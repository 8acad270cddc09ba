"""The board: the pens as columns, house by house in walking order, then the birds in no pen and those apart."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from itertools import pairwise

from PySide6.QtCore import QEvent, QPoint, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from studbook.book.husbandry.rows import Apart
from studbook.book.husbandry.wording import apart_word
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Snapshot
from studbook.desk.rooms.pens.flock_list import FlockList, Line
from studbook.desk.rooms.pens.numbers import Answer
from studbook.desk.rooms.pens.pen_column import WIDTH, Column, LooseColumn, PenColumn
from studbook.desk.theme import length, space
from studbook.desk.wording import day_text
from studbook.words import _, plural

_WIDEST = 340
_EDGE = 36


class Shelf(QWidget):
    """Columns side by side, as many as there is room for, the rest below; a row is as high as its highest."""

    def __init__(self) -> None:
        super().__init__()
        self.setMinimumWidth(length(WIDTH))
        self._columns: tuple[Column, ...] = ()
        self._is_changing = False

    def set_columns(self, columns: Sequence[Column]) -> None:
        """Hold these columns in this order."""
        self._columns = tuple(columns)
        for before, column in pairwise(columns):
            self.setTabOrder(before.list, column.list)
        self._arrange()

    @contextmanager
    def changing(self) -> Iterator[None]:
        """While columns get other texts they are not placed anew one by one."""
        self._is_changing = True
        yield
        self._is_changing = False
        self._arrange()

    def _arrange(self) -> None:
        if self._is_changing:
            return
        gap, room = space(1), self.width()
        across = max(1, (room + gap) // (length(WIDTH) + gap))
        wide = max(min((room + gap) // across - gap, length(_WIDEST)), length(WIDTH))
        top = 0
        for first in range(0, len(self._columns), across):
            row = self._columns[first : first + across]
            high = max(column.height_at(wide) for column in row)
            for place, column in enumerate(row):
                column.setGeometry(place * (wide + gap), top, wide, high)
                column.show()
            top += high + space(1.5)
        self.setFixedHeight(max(top, 1))

    def event(self, event: QEvent) -> bool:
        if event.type() is QEvent.Type.LayoutRequest:
            self._arrange()
        return super().event(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._arrange()


class BoardPage(QScrollArea):
    """Who is where on a day, with one choice of birds over all columns.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    dropped
        Birds were dropped on a pen (tuple[BirdId, ...], PenId or None).
    edit_asked, card_asked
        The form of a pen, or its card to hang up, is wanted (PenId).
    menu_asked
        What can be done with the chosen birds is wanted (QPoint, global).
    """

    bird_asked = Signal(str)
    dropped = Signal(object, object)
    edit_asked = Signal(object)
    card_asked = Signal(object)
    menu_asked = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._pens: dict[PenId, PenColumn] = {}
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, space(1), space(2))
        self._shelf = Shelf()
        column.addWidget(self._shelf)
        column.addStretch(1)
        self.setWidget(inner)
        self.loose = LooseColumn("pens_loose", self._carried, self._shelf)
        self.apart = LooseColumn("pens_apart", self._carried, self._shelf)
        self._connect(self.loose)
        self._connect(self.apart)

    @property
    def chosen(self) -> tuple[Bird, ...]:
        """The birds chosen, column by column."""
        return tuple(bird for birds in self.lists for bird in birds.chosen)

    @property
    def lists(self) -> tuple[FlockList, ...]:
        """The lists in walking order, those of no pen last."""
        return (*(column.list for column in self._pens.values()), self.loose.list, self.apart.list)

    def column(self, pen: PenId) -> PenColumn | None:
        """The column of a pen."""
        return self._pens.get(pen)

    def show_board(self, answer: Answer, snapshot: Snapshot, day: date, *, editable: bool) -> None:
        """Show the pens of a day; what stays the same is left alone."""
        with self._shelf.changing():
            self._show_columns(answer, snapshot, day, editable=editable)

    def _show_columns(self, answer: Answer, snapshot: Snapshot, day: date, *, editable: bool) -> None:
        found = answer.board
        there = {pen.pen.id for pen in found.pens}
        for gone in [pen for pen in self._pens if pen not in there]:
            self._drop(self._pens.pop(gone))
        columns = {pen.pen.id: self._pens.get(pen.pen.id) or self._pen(pen.pen.id) for pen in found.pens}
        self._pens = columns
        for house in found.houses:
            name = house.house.name if house.house is not None else _("On its own")
            for pen in house.pens:
                column = columns[pen.pen.id]
                column.set_editable(editable)
                column.show_pen(pen, name, answer.warnings.get(pen.pen.id, ()), snapshot, day)
        self._show_elsewhere(found.loose, found.apart, snapshot, editable=editable)
        elsewhere = [column for column in (self.loose, self.apart) if not column.isHidden()]
        self._shelf.set_columns([*columns.values(), *elsewhere])

    def choose(self, bird: BirdId) -> bool:
        """Choose one bird and bring it into view; False when it is in no list."""
        for birds in self.lists:
            birds.choose({bird} & set(birds.birds))
        for birds in self.lists:
            if bird in birds.birds:
                birds.enter()
                birds.setCurrentIndex(birds.model_of_lines.index(birds.birds.index(bird)))
                self.ensureWidgetVisible(birds)
                return True
        return False

    def enter(self) -> None:
        """Take the keyboard."""
        first = next((birds for birds in self.lists if birds.birds), None)
        if first is not None:
            first.enter()

    def _show_elsewhere(
        self, loose: Sequence[BirdId], apart: Sequence[Apart], snapshot: Snapshot, *, editable: bool
    ) -> None:
        count = plural("{count} bird", "{count} birds", len(loose)).format(count=len(loose))
        if not loose:
            count = _("Birds that are dropped here leave their pen.")
        self.loose.show_lines(_("In no pen"), count, [Line(snapshot.bird(bird)) for bird in loose])
        lines = [Line(snapshot.bird(row.bird), "", _apart_words(row)) for row in apart]
        remark = _("A bird apart needs sight of others, water and an end date. An ill bird: a vet decides.")
        self.apart.show_lines(_("Apart"), remark, lines)
        self.loose.set_editable(editable)
        self.apart.list.set_movable(False)
        self.loose.setVisible(bool(loose) or editable)
        self.apart.setVisible(bool(apart))

    def _carried(self) -> tuple[Bird, ...]:
        """What a drag takes along: the chosen birds, but none that is apart."""
        held = {bird.id for bird in self.apart.list.chosen}
        return tuple(bird for bird in self.chosen if bird.id not in held)

    def _pen(self, pen: PenId) -> PenColumn:
        column = PenColumn(pen, f"pen_{pen}", self._carried, self._shelf)
        column.edit_asked.connect(self.edit_asked)
        column.card_asked.connect(self.card_asked)
        self._connect(column)
        return column

    def _connect(self, column: Column) -> None:
        column.dropped.connect(self.dropped)
        column.dragged_over.connect(self._scroll_along)
        birds = column.list
        birds.asked.connect(self.bird_asked)
        birds.menu_asked.connect(self.menu_asked)
        birds.chosen_alone.connect(self._choose_alone)
        birds.neighbour_asked.connect(self._step)

    def _drop(self, column: PenColumn) -> None:
        column.hide()
        column.setParent(None)
        column.deleteLater()

    def _scroll_along(self, place: QPoint) -> None:
        """Birds held near the upper or lower edge bring the rest of the board into view."""
        column = self.sender()
        assert isinstance(column, Column)
        y, bar = column.mapTo(self.viewport(), place).y(), self.verticalScrollBar()
        if y < length(_EDGE):
            bar.setValue(bar.value() - bar.singleStep())
        elif y > self.viewport().height() - length(_EDGE):
            bar.setValue(bar.value() + bar.singleStep())

    def _choose_alone(self) -> None:
        sender = self.sender()
        for birds in self.lists:
            if birds is not sender:
                birds.clearSelection()

    def _step(self, steps: int) -> None:
        """Go to the next list with birds."""
        shown = [birds for birds in self.lists if birds.birds and not birds.isHidden()]
        sender = self.sender()
        here = next((place for place, birds in enumerate(shown) if birds is sender), 0)
        if 0 <= here + steps < len(shown):
            birds = shown[here + steps]
            birds.enter()
            self._choose_only(birds)
            self.ensureWidgetVisible(birds)

    def _choose_only(self, birds: FlockList) -> None:
        """The keyboard came to a list: its current bird is chosen, and no other."""
        for other in self.lists:
            if other is not birds:
                other.clearSelection()
        birds.choose({birds.birds[birds.currentIndex().row()]})


def _apart_words(row: Apart) -> tuple[str, ...]:
    """Why a bird is apart, since when, where, and when it is looked at again."""
    parts = [
        _("{reason} since {day}").format(reason=apart_word(row.reason), day=day_text(row.since)),
        row.place,
    ]
    if row.review is not None:
        parts.append(_("look again on {day}").format(day=day_text(row.review)))
    return tuple(part for part in parts if part)
