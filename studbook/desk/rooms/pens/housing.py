"""Adding, changing and closing houses, pens and machines."""

from PySide6.QtWidgets import QSpinBox, QWidget

from studbook.book.changes import Change, Correct, Enter, Together
from studbook.book.husbandry.rows import House, Machine, Pen
from studbook.book.ids import HouseId, MachineId, PenId
from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.pen_fields import DayField
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.name_box import NameBox
from studbook.planning.pens.board import walking_houses
from studbook.words import _

_MOST_PLACES = 999
_MOST_EGGS = 99_999
_UNSAID = -1


class HouseDialog(FormDialog):
    """The name of a house and its place on the walk."""

    def __init__(self, context: Context, snapshot: Snapshot, house: House | None, parent: QWidget) -> None:
        title = _("Change the house {name}").format(name=house.name) if house else _("Add a house")
        super().__init__(context, title, _("Save") if house else _("Add the house"), parent)
        self.setObjectName("house_dialog")
        self._house = house
        self.name = self.form.add_line("name", _("Name"), house.name if house else "")
        self.position = number_box(0, _MOST_PLACES)
        self.form.add("position", _("Place on the walk"), self.position, walk_hint())
        last = max((other.position for other in snapshot.husbandry.houses.values()), default=0)
        self.position.setValue(house.position if house else last + 1)
        self.note = self.form.add_line("note", _("Note"), house.note if house else "")
        self.set_change(self._read)

    def _read(self) -> Change | None:
        made = House(
            self._house.id if self._house else HouseId(""),
            self.name.text().strip(),
            self.position.value(),
            self.note.text().strip(),
        )
        return Correct((self._house,), (made,)) if self._house else Enter((made,))


class PenDialog(FormDialog):
    """A pen: its name, its house (an old or a new one), its place on the walk and how many birds it takes."""

    def __init__(self, context: Context, snapshot: Snapshot, pen: Pen | None, parent: QWidget) -> None:
        title = _("Change the pen {name}").format(name=pen.name) if pen else _("Add a pen")
        super().__init__(context, title, _("Save") if pen else _("Add the pen"), parent, columns=2)
        self.setObjectName("pen_dialog")
        self._pen = pen
        year = snapshot.husbandry
        self._last_house = max((house.position for house in year.houses.values()), default=0)
        self.name = self.form.add_line("name", _("Name"), pen.name if pen else "")
        houses = walking_houses(year)
        self.house = NameBox(
            [(house.name, house.id) for house in houses], placeholder=_("none, one of the list or a new one")
        )
        self.form.add("house", _("House"), self.house)
        self.house.choose(pen.house if pen else houses[0].id if len(houses) == 1 else None)
        self.large = _room_box()
        self.form.add("room_large", _("Room for large fowl"), self.large)
        self.bantams = _room_box()
        self.form.add("room_bantams", _("or for bantams"), self.bantams)
        self.position = number_box(0, _MOST_PLACES)
        self.form.add("position", _("Place on the walk"), self.position, walk_hint())
        last = max((other.position for other in year.pens.values()), default=0)
        self.closed = DayField(context.today, pen.closed if pen else None, optional=True)
        self.form.add(
            "closed", _("Closed on"), self.closed, _("A closed pen keeps its past and takes no birds.")
        )
        self.form.fields["closed"].setVisible(pen is not None)
        self.note = self.form.add_line("note", _("Note"), pen.note if pen else "", wide=True)
        self.position.setValue(pen.position if pen else last + 1)
        for box, held in (
            (self.large, pen.room_large if pen else None),
            (self.bantams, pen.room_bantams if pen else None),
        ):
            box.setValue(_UNSAID if held is None else held)
        self.set_change(self._read)

    def _read(self) -> Change | None:
        if problems := self.closed.problems("closed"):
            self.form.show_problems(problems)
            return None
        named = self.house.named
        known = named.known_as(self.new_id)
        made = Pen(
            self._pen.id if self._pen else PenId(""),
            self.name.text().strip(),
            HouseId(known) if known else None,
            self.position.value(),
            _said(self.large),
            _said(self.bantams),
            self.closed.day,
            self.note.text().strip(),
        )
        change = Correct((self._pen,), (made,)) if self._pen else Enter((made,))
        if not named.new:
            return change
        house = House(HouseId(self.new_id), named.new, self._last_house + 1)
        title = _("enter {pen} in {house}").format(pen=made.name, house=house.name)
        return Together((Enter((house,)), change), title)


class MachineDialog(FormDialog):
    """The name of a machine, how many eggs it takes, and since when it is no longer used."""

    def __init__(self, context: Context, machine: Machine | None, parent: QWidget) -> None:
        title = _("Change the machine {name}").format(name=machine.name) if machine else _("Add a machine")
        super().__init__(context, title, _("Save") if machine else _("Add the machine"), parent)
        self.setObjectName("machine_dialog")
        self._machine = machine
        self.name = self.form.add_line("name", _("Name"), machine.name if machine else "")
        self.places = number_box(_UNSAID, _MOST_EGGS)
        self.places.setSpecialValueText(_("not said"))
        self.places.setValue(_UNSAID if machine is None or machine.places is None else machine.places)
        self.form.add("places", _("Room for eggs"), self.places)
        self.retired = DayField(context.today, machine.retired if machine else None, optional=True)
        self.form.add(
            "retired", _("Out of use since"), self.retired, _("It keeps its past and takes no more eggs.")
        )
        self.form.fields["retired"].setVisible(machine is not None)
        self.note = self.form.add_line("note", _("Note"), machine.note if machine else "")
        self.set_change(self._read)

    def _read(self) -> Change | None:
        if problems := self.retired.problems("retired"):
            self.form.show_problems(problems)
            return None
        made = Machine(
            self._machine.id if self._machine else MachineId(""),
            self.name.text().strip(),
            _said(self.places),
            self.note.text().strip(),
            self.retired.day,
        )
        return Correct((self._machine,), (made,)) if self._machine else Enter((made,))


def walk_hint() -> str:
    """What the place on the walk is for."""
    return _("The order of your round: lists and sheets follow it.")


def number_box(least: int, most: int) -> QSpinBox:
    """A field for a whole number."""
    made = QSpinBox()
    made.setRange(least, most)
    return made


def _room_box() -> QSpinBox:
    """A number of places, or none said."""
    made = number_box(_UNSAID, _MOST_PLACES)
    made.setSpecialValueText(_("not said"))
    return made


def _said(box: QSpinBox) -> int | None:
    return None if box.value() == _UNSAID else box.value()
