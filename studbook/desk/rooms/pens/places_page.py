"""Houses, pens and machines: what there is, with room and what is in it; adding and changing."""

from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from studbook.book.husbandry.rows import House, Husbandry, Machine, Pen
from studbook.book.records import Snapshot
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import SectionHeading, button, label
from studbook.desk.wording import MISSING, day_text
from studbook.planning.pens.board import stays_on, walking_houses, walking_pens
from studbook.words import _

_LEAST_TABLE = 130
_MOST_MACHINES = 4


@dataclass(frozen=True)
class PenRow:
    """A pen with its house and how many birds are in it."""

    pen: Pen
    house: House | None
    birds: int


@dataclass(frozen=True)
class HouseRow:
    """A house with how many pens it has."""

    house: House
    pens: int


@dataclass(frozen=True)
class MachineRow:
    """A machine with how many eggs are in it."""

    machine: Machine
    eggs: int


class PlacesPage(QScrollArea):
    """The pens, the houses and the machines.

    Signals
    -------
    pen_asked, house_asked, machine_asked
        The form of a pen, house or machine is wanted (Pen, House or Machine; None for a new one).
    withdraw_asked
        A pen, house or machine nothing rests on is to go (Pen, House or Machine).
    """

    pen_asked = Signal(object)
    house_asked = Signal(object)
    machine_asked = Signal(object)
    withdraw_asked = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("pens_places")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, space(1), space(1), 0)
        column.setSpacing(space(1))
        pen_columns = (
            Column[PenRow]("pen", _("Pen"), lambda row: row.pen.name, width=20),
            Column[PenRow]("house", _("House"), lambda row: row.house.name if row.house else "", width=20),
            Column[PenRow](
                "position", _("On the walk"), lambda row: str(row.pen.position), lambda row: row.pen.position,
                right=True,
            ),
            Column[PenRow]("birds", _("Birds"), lambda row: str(row.birds), lambda row: row.birds, right=True),
            Column[PenRow](
                "large", _("Large fowl"), lambda row: _places(row.pen.room_large),
                lambda row: row.pen.room_large, right=True,
            ),
            Column[PenRow](
                "bantams", _("Bantams"), lambda row: _places(row.pen.room_bantams),
                lambda row: row.pen.room_bantams, right=True,
            ),
            Column[PenRow]("closed", _("Closed"), _closed, lambda row: row.pen.closed, width=14),
            Column[PenRow]("note", _("Note"), lambda row: row.pen.note, width=24),
        )  # fmt: skip
        self.pens: RowsModel[PenRow] = RowsModel(pen_columns, identity=lambda row: row.pen.id)
        self.pen_table = Table(self.pens, "pens_table")
        self.pen_table.setAccessibleName(_("Pens"))
        self.pen_table.row_asked.connect(lambda row: self.pen_asked.emit(row.pen))
        house_columns = (
            Column[HouseRow]("house", _("House"), lambda row: row.house.name, width=24),
            Column[HouseRow](
                "position", _("On the walk"), lambda row: str(row.house.position),
                lambda row: row.house.position, right=True,
            ),
            Column[HouseRow]("pens", _("Pens"), lambda row: str(row.pens), lambda row: row.pens, right=True),
            Column[HouseRow]("note", _("Note"), lambda row: row.house.note, width=24),
        )  # fmt: skip
        self.houses: RowsModel[HouseRow] = RowsModel(house_columns, identity=lambda row: row.house.id)
        self.house_table = Table(self.houses, "houses_table")
        self.house_table.setAccessibleName(_("Houses"))
        self.house_table.row_asked.connect(lambda row: self.house_asked.emit(row.house))
        machine_columns = (
            Column[MachineRow]("machine", _("Machine"), lambda row: row.machine.name, width=24),
            Column[MachineRow](
                "places", _("Room for eggs"), lambda row: _places(row.machine.places),
                lambda row: row.machine.places, right=True,
            ),
            Column[MachineRow]("eggs", _("Eggs in it"), lambda row: str(row.eggs), lambda row: row.eggs, right=True),
            Column[MachineRow](
                "retired", _("Out of use"), lambda row: day_text(row.machine.retired) if row.machine.retired else "",
                lambda row: row.machine.retired, width=14,
            ),
            Column[MachineRow]("note", _("Note"), lambda row: row.machine.note, width=24),
        )  # fmt: skip
        self.machines: RowsModel[MachineRow] = RowsModel(machine_columns, identity=lambda row: row.machine.id)
        self.machine_table = Table(self.machines, "machines_table")
        self.machine_table.setAccessibleName(_("Machines"))
        self.machine_table.row_asked.connect(lambda row: self.machine_asked.emit(row.machine))
        hint = _("In the order of your walk. Enter changes a line; what has a past is closed, not taken out.")
        column.addWidget(label(hint, Role.SMALL, wraps=True))
        column.addWidget(SectionHeading(_("Pens")))
        column.addWidget(self.pen_table, 3)
        column.addLayout(self._pen_deeds())
        column.addWidget(SectionHeading(_("Houses")))
        column.addWidget(self.house_table, 2)
        column.addLayout(self._house_deeds())
        column.addWidget(SectionHeading(_("Machines")))
        column.addWidget(self.machine_table)
        column.addLayout(self._machine_deeds())
        for table in (self.pen_table, self.house_table):
            table.setMinimumHeight(length(_LEAST_TABLE))
        self.setWidget(inner)

    def show_snapshot(self, snapshot: Snapshot, today: date, *, editable: bool) -> None:
        """Show what there is now."""
        year = snapshot.husbandry
        inside = [stay.pen for stay in stays_on(year, today).values()]
        self.pens.set_rows(
            PenRow(pen, year.houses.get(pen.house) if pen.house else None, inside.count(pen.id))
            for pen in walking_pens(year, year.pens.values())
        )
        self.houses.set_rows(
            HouseRow(house, sum(pen.house == house.id for pen in year.pens.values()))
            for house in walking_houses(year)
        )
        self.machines.set_rows(
            MachineRow(machine, _eggs_in(year, machine))
            for machine in sorted(year.machines.values(), key=lambda machine: machine.name)
        )
        self.machine_table.fit_rows(_MOST_MACHINES)
        self.machine_table.setVisible(bool(year.machines))
        for each in self._buttons:
            each.setEnabled(editable)

    def _pen_deeds(self) -> QHBoxLayout:
        self._buttons = [
            button(_("Add a pen…"), lambda: self.pen_asked.emit(None), icon="plus"),
            button(_("Change…"), self._change_pen),
            button(_("Take out"), self._withdraw_pen),
        ]
        for each, name in zip(self._buttons, ("add_pen", "change_pen", "withdraw_pen"), strict=True):
            each.setObjectName(name)
        row = QHBoxLayout()
        for each in self._buttons:
            row.addWidget(each)
        row.addStretch(1)
        return row

    def _house_deeds(self) -> QHBoxLayout:
        made = [
            button(_("Add a house…"), lambda: self.house_asked.emit(None), icon="plus"),
            button(_("Change…"), self._change_house),
            button(_("Take out"), self._withdraw_house),
        ]
        for each, name in zip(made, ("add_house", "change_house", "withdraw_house"), strict=True):
            each.setObjectName(name)
        row = QHBoxLayout()
        for each in made:
            row.addWidget(each)
        row.addStretch(1)
        self._buttons += made
        return row

    def _machine_deeds(self) -> QHBoxLayout:
        made = [
            button(_("Add a machine…"), lambda: self.machine_asked.emit(None), icon="plus"),
            button(_("Change…"), self._change_machine),
            button(_("Take out"), self._withdraw_machine),
        ]
        row = QHBoxLayout()
        for each, name in zip(made, ("add_machine", "change_machine", "withdraw_machine"), strict=True):
            each.setObjectName(name)
            row.addWidget(each)
        row.addStretch(1)
        self._buttons += made
        return row

    def _machine(self) -> Machine | None:
        indexes = self.machine_table.selectionModel().selectedRows()
        return self.machines.row(indexes[0]).machine if indexes else None

    def _change_machine(self) -> None:
        if (machine := self._machine()) is not None:
            self.machine_asked.emit(machine)

    def _withdraw_machine(self) -> None:
        if (machine := self._machine()) is not None:
            self.withdraw_asked.emit(machine)

    def _pen(self) -> Pen | None:
        indexes = self.pen_table.selectionModel().selectedRows()
        return self.pens.row(indexes[0]).pen if indexes else None

    def _house(self) -> House | None:
        indexes = self.house_table.selectionModel().selectedRows()
        return self.houses.row(indexes[0]).house if indexes else None

    def _change_pen(self) -> None:
        if (pen := self._pen()) is not None:
            self.pen_asked.emit(pen)

    def _change_house(self) -> None:
        if (house := self._house()) is not None:
            self.house_asked.emit(house)

    def _withdraw_pen(self) -> None:
        if (pen := self._pen()) is not None:
            self.withdraw_asked.emit(pen)

    def _withdraw_house(self) -> None:
        if (house := self._house()) is not None:
            self.withdraw_asked.emit(house)


def _eggs_in(year: Husbandry, machine: Machine) -> int:
    """How many eggs of sittings under way are in a machine."""
    sittings = [
        sitting
        for sitting in year.sittings.values()
        if sitting.machine == machine.id and sitting.closed is None
    ]
    return sum(year.eggs_left(batch) for sitting in sittings for batch in year.batches_of.get(sitting.id, ()))


def _places(places: int | None) -> str:
    return MISSING if places is None else str(places)


def _closed(row: PenRow) -> str:
    return day_text(row.pen.closed) if row.pen.closed is not None else ""
