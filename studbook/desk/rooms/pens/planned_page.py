"""The planned moves: what is due, carried out with Enter, taken back with Delete."""

from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from studbook.book.husbandry.rows import Move
from studbook.book.records import Bird, Snapshot
from studbook.desk.deeds.cautions import housing_caution
from studbook.desk.tables import Column, Paint, RowsModel, Table
from studbook.desk.theme import Role, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import button, label
from studbook.desk.wording import bird_text, day_text
from studbook.planning.pens.board import stays_on, walking_moves
from studbook.planning.pens.naming import pen_name
from studbook.words import _


@dataclass(frozen=True)
class PlannedRow:
    """A planned move with what it is called."""

    move: Move
    bird: Bird
    away: str
    to: str
    is_due: bool


def planned_rows(snapshot: Snapshot, today: date) -> tuple[PlannedRow, ...]:
    """The planned moves, the earliest first."""
    year = snapshot.husbandry
    now = stays_on(year, today)
    return tuple(
        PlannedRow(
            move,
            snapshot.bird(move.bird),
            pen_name(year, now[move.bird].pen if move.bird in now else None),
            pen_name(year, move.pen),
            move.on <= today,
        )
        for move in walking_moves(year)
        if snapshot.has(move.bird)
    )


class PlannedTable(Table):
    """The list of the planned moves.

    Signals
    -------
    carry_asked, withdraw_asked
        The moves that are selected are to be carried out or taken back.
    """

    carry_asked = Signal()
    withdraw_asked = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.carry_asked.emit()
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.withdraw_asked.emit()
        else:
            super().keyPressEvent(event)


class PlannedPage(QStackedWidget):
    """What is planned.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    carry_asked
        Moves are to be carried out (tuple[Move, ...]), today or on the days they were planned for (bool).
    withdraw_asked
        Moves are to be taken back (tuple[Move, ...]).
    """

    bird_asked = Signal(str)
    carry_asked = Signal(object, bool)
    withdraw_asked = Signal(object)

    def __init__(self, today: date) -> None:
        super().__init__()
        self.setObjectName("pens_planned")
        self._today = today
        columns = (
            Column[PlannedRow]("on", _("Day"), _day, lambda row: row.move.on, width=18),
            Column[PlannedRow](
                "bird", _("Bird"), lambda row: bird_text(row.bird), width=30, paint=Paint.BIRD,
                bird=lambda row: row.bird,
            ),
            Column[PlannedRow]("from", _("From"), lambda row: row.away, width=18),
            Column[PlannedRow]("to", _("To"), lambda row: row.to, width=18),
            Column[PlannedRow]("note", _("Note"), lambda row: row.move.note, width=24),
        )  # fmt: skip
        self.rows: RowsModel[PlannedRow] = RowsModel(columns, identity=lambda row: row.move.id)
        self.table = PlannedTable(self.rows, "planned_moves")
        self.table.setAccessibleName(_("Planned moves"))
        self.table.carry_asked.connect(self.carry_out)
        self.table.withdraw_asked.connect(self.withdraw)
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, space(1), 0, 0)
        column.setSpacing(space(1))
        column.addWidget(label(housing_caution(), Role.SMALL, wraps=True))
        column.addWidget(self.table, 1)
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        self._carry = button(_("Carry out today"), self.carry_out, primary=True)
        self._carry.setObjectName("carry_out")
        self._as_planned = button(_("Carry out as planned"), self.carry_out_as_planned)
        self._as_planned.setObjectName("carry_out_as_planned")
        self._as_planned.setToolTip(_("They were made on their planned days, and are written down only now."))
        self._withdraw = button(_("Take back"), self.withdraw)
        self._withdraw.setObjectName("withdraw_moves")
        row.addWidget(self._carry)
        row.addWidget(self._as_planned)
        row.addWidget(self._withdraw)
        row.addWidget(
            label(_("Enter carries out what is selected, Delete takes it back."), Role.SMALL, wraps=True), 1
        )
        column.addLayout(row)
        self.addWidget(page)
        self.addWidget(
            EmptyState(
                "clock-counter-clockwise",
                _("Nothing is planned"),
                _(
                    "Choose birds on the board, ask to move them and give a day to come: the move stands here."
                ),
            )
        )
        self.table.selection_changed.connect(self._suit)
        self._editable = True

    def show_snapshot(self, snapshot: Snapshot, today: date, *, editable: bool) -> None:
        """Show what is planned now."""
        self._editable, self._today = editable, today
        rows = planned_rows(snapshot, today)
        self.rows.set_rows(rows)
        self.setCurrentIndex(0 if rows else 1)
        if rows and not self.table.selectionModel().hasSelection():
            self.table.selectRow(0)
        self._suit()

    @property
    def selected(self) -> tuple[Move, ...]:
        """The moves that are selected."""
        indexes = self.table.selectionModel().selectedRows()
        return tuple(self.rows.row(index).move for index in sorted(indexes, key=lambda index: index.row()))

    def carry_out(self) -> None:
        """Ask that the selected moves are carried out."""
        if self._editable and self.selected:
            self.carry_asked.emit(self.selected, False)

    def carry_out_as_planned(self) -> None:
        """Ask that the selected moves, all of them due, are carried out on their planned days."""
        if self._editable and self._are_due():
            self.carry_asked.emit(self.selected, True)

    def _are_due(self) -> bool:
        return bool(self.selected) and all(move.on <= self._today for move in self.selected)

    def withdraw(self) -> None:
        """Ask that the selected moves are taken back."""
        if self._editable and self.selected:
            self.withdraw_asked.emit(self.selected)

    def _suit(self) -> None:
        for each in (self._carry, self._withdraw):
            each.setEnabled(self._editable and bool(self.selected))
        self._as_planned.setEnabled(self._editable and self._are_due())


def _day(row: PlannedRow) -> str:
    day = day_text(row.move.on)
    return _("{day}, due").format(day=day) if row.is_due else day
