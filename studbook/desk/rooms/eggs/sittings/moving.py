"""Moving eggs to another broody or machine, some of them or all: as one hen tires, or to the hatcher."""

from dataclasses import replace

from PySide6.QtWidgets import QComboBox, QWidget

from studbook.book.changes import Change, Correct, Enter, MoveEggs, Together
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Sitting
from studbook.book.ids import SittingId
from studbook.desk.context import Context
from studbook.desk.rooms.eggs.sittings.candling import BatchDialog
from studbook.desk.rooms.eggs.sittings.dialog import day_of
from studbook.desk.rooms.eggs.sittings.setting import SitterFields
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.words import _, plural

_MOVED = ("moved",)


class MoveEggsDialog(BatchDialog):
    """Move eggs of a sitting; their days go on counting from the day they were first set."""

    def __init__(self, context: Context, view: View, sitting: Sitting, parent: QWidget) -> None:
        columns = (("moved", _("eggs to move")),)
        super().__init__(context, view, sitting, _("Move eggs"), _("Move the eggs"), parent, columns)
        self.setObjectName("move_eggs")
        self.aliases = {"eggs": "batch_1"}
        others = [other for other in view.open if other.id != sitting.id and other.species == sitting.species]
        self.to: QComboBox = self.form.add_choice(
            "to",
            _("To"),
            [(_("another broody or machine"), None), *((view.called(other), other.id) for other in others)],
            None,
        )
        self.sitter = SitterFields(self, view)
        self.sitter.connect(self.check)
        self.to.currentIndexChanged.connect(lambda _place: self._suit())
        for batch, line in zip(self.batches, self.lines, strict=True):
            line.show_values({"moved": view.year.eggs_left(batch)})
            line.changed.connect(lambda _key: self.check())
        self.set_caution(
            _("Move eggs warm and quickly, with clean hands, and do not turn them after lockdown.")
        )
        self._suit()

    def own_problems(self) -> tuple[Problem, ...]:
        found = [*self.day_problems(), *self.told(_MOVED)]
        if not any(line.value("moved") for line in self.lines):
            found.append(Problem("count", _("Enter how many eggs are moved."), field="batch_1"))
        if self.to.currentData() is None:
            found += self.sitter.problems()
        return tuple(found)

    def change(self) -> Change:
        day = day_of(self.on) or self.context.today
        changes: list[Change] = []
        held = self.to.currentData()
        if held is None:
            made, rows = self._new_sitting()
            changes.append(Enter((*rows, made)))
            target = made.id
        else:
            target = SittingId(str(held))
        moved = 0
        for batch, line in zip(self.batches, self.lines, strict=True):
            if line.value("moved"):
                changes.append(MoveEggs(batch.id, target, line.value("moved"), day, batch.compartment))
                moved += line.value("moved")
        left = sum(self.view.year.eggs_left(batch) for batch in self.batches)
        if moved >= left and self.sitting.closed is None:
            changes.append(Correct((self.sitting,), (replace(self.sitting, closed=day),)))
        text = plural("move {count} egg: {sitting}", "move {count} eggs: {sitting}", moved)
        return Together(tuple(changes), text.format(count=moved, sitting=self.view.called(self.sitting)))

    def _new_sitting(self) -> tuple[Sitting, tuple[object, ...]]:
        """A sitting that goes on with the days of this one."""
        machine, rows = self.sitter.machine_and_row(self.ids[1])
        broodies = self.sitter.broodies
        made = replace(
            self.sitting,
            id=SittingId(self.ids[0]),
            name="",
            broody=broodies[0] if broodies else None,
            second_broody=broodies[1] if len(broodies) > 1 else None,
            machine=machine,
            closed=None,
            note="",
        )
        return made, rows

    def _suit(self) -> None:
        is_new = self.to.currentData() is None
        fields = self.form.fields
        if is_new:
            self.sitter.suit()
        else:
            for key in ("broody", "second_broody", "machine", "places"):
                fields[key].setVisible(False)
        fields["under"].setVisible(is_new)
        self.check()
