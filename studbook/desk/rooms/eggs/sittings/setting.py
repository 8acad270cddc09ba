"""Setting eggs: under whom or in what, when, and which eggs."""

from collections.abc import Callable
from enum import Enum

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QComboBox, QSpinBox, QWidget

from studbook.book.changes import Change, Correct, Enter, Together
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Condition, ConditionKind, Machine, Sitting
from studbook.book.ids import BirdId, ConditionId, MachineId, SittingId
from studbook.book.records import Sex
from studbook.desk.context import Context
from studbook.desk.rooms.eggs.sittings.dialog import SittingDialog, count_box, day_field, day_of
from studbook.desk.rooms.eggs.sittings.lots import BatchLines
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.desk.theme import length
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.wording import day_text
from studbook.planning.sittings.days import days_kept, kind_of, kind_word, plan_of
from studbook.planning.sittings.drafting import before_setting
from studbook.planning.sittings.names import bird_called
from studbook.planning.sittings.standing import due_text
from studbook.season.incubation import MOST_DAYS, all_incubations, incubation, kinds_of
from studbook.words import _, plural

_LEAST_DAYS = 10


class Under(Enum):
    """Who or what hatches the eggs."""

    BROODY = "broody"
    TWO = "two broodies"
    MACHINE = "machine"


class SitterFields:
    """The fields of who or what hatches the eggs, within a form."""

    def __init__(
        self,
        dialog: SittingDialog,
        view: View,
        sitting: Sitting | None = None,
        beside: Callable[[], None] = lambda: None,
    ) -> None:
        """`beside` adds the field that stands beside the choice of broody or machine."""
        self._view = view
        form = dialog.form
        self.under: QComboBox = form.add_choice(
            "under",
            _("Under"),
            [
                (_("a broody"), Under.BROODY),
                (_("two broodies that share"), Under.TWO),
                (_("a machine"), Under.MACHINE),
            ],
            _under(sitting, view),
        )
        beside()
        self.broody, self.second = BirdPicker(), BirdPicker()
        for picker in (self.broody, self.second):
            picker.set_birds(view.snapshot.birds, lambda bird: bird.is_living and bird.sex is not Sex.COCK)
        form.add("broody", _("Broody"), self.broody)
        form.add("second_broody", _("and"), self.second)
        self.machine = QComboBox()
        self.machine.setEditable(True)
        self.machine.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.machine.setMinimumWidth(length(180))
        self._machines = [each for each in view.year.machines.values() if each.retired is None]
        self.machine.addItems([each.name for each in self._machines])
        form.add("machine", _("Machine"), self.machine, _("A name that is not listed is a new machine."))
        self.places = count_box("places", _("Places"))
        self.places.setSpecialValueText(_("not said"))
        form.add("places", _("Places for eggs"), self.places)
        if sitting is not None:
            self.broody.choose(sitting.broody)
            self.second.choose(sitting.second_broody)
            machine = view.year.machines.get(sitting.machine) if sitting.machine is not None else None
            if machine is not None:
                self.machine.setEditText(machine.name)
        self._form = form
        self.under.currentIndexChanged.connect(self.suit)
        self.machine.editTextChanged.connect(lambda _text: self.suit())
        self.suit()

    def connect(self, check: Callable[[], None]) -> None:
        """Call `check` when something else is chosen."""
        for signal in (self.broody.changed, self.second.changed):
            signal.connect(check)
        self.under.currentIndexChanged.connect(lambda _place: check())
        self.machine.editTextChanged.connect(lambda _text: check())
        self.places.valueChanged.connect(lambda _value: check())

    def suit(self) -> None:
        """Show the fields that go with the choice."""
        under = self.chosen
        fields = self._form.fields
        fields["broody"].setVisible(under is not Under.MACHINE)
        fields["second_broody"].setVisible(under is Under.TWO)
        fields["machine"].setVisible(under is Under.MACHINE)
        fields["places"].setVisible(under is Under.MACHINE and self._known is None)

    @property
    def chosen(self) -> Under:
        """Who or what."""
        return Under(self.under.currentData())

    @property
    def broodies(self) -> tuple[BirdId, ...]:
        """The broodies chosen."""
        if self.chosen is Under.MACHINE:
            return ()
        pickers = (self.broody, self.second) if self.chosen is Under.TWO else (self.broody,)
        return tuple(picker.bird for picker in pickers if picker.bird is not None)

    @property
    def called(self) -> str:
        """What a title calls it."""
        if self.chosen is Under.MACHINE:
            return self.machine.currentText().strip()
        return ", ".join(bird_called(self._view.snapshot, broody) for broody in self.broodies)

    def problems(self) -> tuple[Problem, ...]:
        """What is missing."""
        if self.chosen is Under.MACHINE:
            if not self.machine.currentText().strip():
                text = _("Choose a machine, or write the name of a new one.")
                return (Problem("sitting", text, field="machine"),)
            return ()
        if self.broody.bird is None:
            return (Problem("sitting", _("Choose the hen that sits."), field="broody"),)
        if self.chosen is Under.TWO and self.second.bird is None:
            return (
                Problem("sitting", _("Choose the second hen, or one broody alone."), field="second_broody"),
            )
        return ()

    def machine_and_row(self, new_id: str) -> tuple[MachineId | None, tuple[Machine, ...]]:
        """The machine of the sitting, and its row when it is a new one."""
        if self.chosen is not Under.MACHINE:
            return None, ()
        if self._known is not None:
            return self._known.id, ()
        made = Machine(MachineId(new_id), self.machine.currentText().strip(), self.places.value() or None)
        return made.id, (made,)

    @property
    def _known(self) -> Machine | None:
        wanted = self.machine.currentText().strip().casefold()
        return next((each for each in self._machines if each.name.casefold() == wanted), None)


def _under(sitting: Sitting | None, view: View) -> Under:
    if sitting is None:
        return Under.MACHINE if view.year.machines else Under.BROODY
    if sitting.machine is not None:
        return Under.MACHINE
    return Under.TWO if sitting.second_broody is not None else Under.BROODY


class KindFields:
    """The fields of what kind of egg it is and how many days it takes, within a form."""

    def __init__(self, dialog: SittingDialog, kind: str, days: int | None) -> None:
        self._form = dialog.form
        self.kind: QComboBox = dialog.form.add_choice(
            "species", _("Kind of egg"), [(kind_word(name), name) for name in all_incubations()], kind
        )
        self.days = QSpinBox()
        self.days.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.days.setRange(_LEAST_DAYS - 1, MOST_DAYS)
        self.days.setValue(days or self.days.minimum())
        self.kind.currentIndexChanged.connect(self._suit)
        self._suit()

    def add_days(self) -> None:
        """Add the field of the days to the form."""
        self._form.add("days", _("Days of incubation"), self.days)

    def connect(self, check: Callable[[], None]) -> None:
        """Call `check` when something else is chosen."""
        self.kind.currentIndexChanged.connect(lambda _place: check())
        self.days.valueChanged.connect(lambda _value: check())

    def _suit(self) -> None:
        usual = incubation(self.chosen).days
        text = plural("usual: {count} day", "usual: {count} days", usual)
        self.days.setSpecialValueText(text.format(count=usual))

    @property
    def chosen(self) -> str:
        """The kind of egg."""
        return str(self.kind.currentData())

    @property
    def species(self) -> str:
        """The species of the kind."""
        return incubation(self.chosen).species

    @property
    def kept(self) -> int | None:
        """The days the record keeps."""
        own = self.days.value() if self.days.value() >= _LEAST_DAYS else None
        return days_kept(self.chosen, own)


class SetEggsDialog(SittingDialog):
    """Set eggs under a broody, under two that share, or in a machine."""

    def __init__(self, context: Context, view: View, parent: QWidget) -> None:
        super().__init__(context, _("Set eggs"), _("Set the eggs"), parent, columns=2)
        self.setObjectName("set_eggs")
        self.aliases = dict.fromkeys(
            ("pen", "hen", "eggs", "laid_from", "laid_to", "outside", "origin", "colour"), "batches"
        )
        self._view = view
        species = view.snapshot.details.species
        kind = species if kinds_of(species) else "chicken"
        self.sitter = SitterFields(self, view, beside=lambda: self._add_kind(kind, None))
        self.set_on = day_field(context.today, context.today)
        self.form.add("set_on", _("Set on"), self.set_on)
        self.kind.add_days()
        self.name = self.form.add_line("name", _("Name, if it has one"))
        self.lays_not = QCheckBox(_("she counts as broody from this day: no egg is hers"))
        self.lays_not.setChecked(True)
        self.form.add("condition", _("While she sits"), self.lays_not)
        self.batches = BatchLines(view, self.kind.species)
        self.form.add("batches", _("Eggs"), self.batches, wide=True)
        self.note = self.form.add_line("note", _("Note"), wide=True)
        self.kind.kind.currentIndexChanged.connect(
            lambda _place: self.batches.supply(self._view, self.kind.species)
        )
        self.sitter.under.currentIndexChanged.connect(lambda _place: self._suit())
        self.sitter.connect(self.check)
        self.kind.connect(self.check)
        self.set_on.changed.connect(self.check)
        self.batches.changed.connect(self.check)
        self.name.textChanged.connect(lambda _text: self.check())
        self.lays_not.toggled.connect(lambda _on: self.check())
        self.widen(760)
        self._suit()
        self.check()

    def begin(self) -> None:
        """Put the cursor where the keeper begins."""
        first = self.sitter.machine if self.sitter.chosen is Under.MACHINE else self.sitter.broody
        first.setFocus()

    def own_problems(self) -> tuple[Problem, ...]:
        wrong_day = self.set_on.error
        day = day_of(self.set_on)
        found = list(self.sitter.problems())
        if wrong_day:
            found.append(Problem("date", wrong_day, field="set_on"))
        elif day is None or day > self.context.today:
            found += before_setting(day, self.context.today, self.context.today, "set_on")
        return (*found, *self.batches.problems())

    def change(self) -> Change:
        ids = iter(self.ids)
        sitting_id, machine_id = next(ids), next(ids)
        machine, rows = self.sitter.machine_and_row(machine_id)
        sitting = self._sitting(SittingId(sitting_id), machine)
        drawn = self.batches.rows(sitting, lambda: next(ids))
        text = plural("set {count} egg: {sitter}", "set {count} eggs: {sitter}", drawn.eggs)
        title = text.format(count=drawn.eggs, sitter=self.sitter.called)
        entered = Enter((*rows, sitting, *drawn.batches, *drawn.mixed, *self._conditions(sitting)))
        return Together((*drawn.origins, entered), title)

    def check(self) -> None:
        self._tell_due()
        self.batches.look_ahead(self._sitting(SittingId("draft"), None))
        super().check()

    def _add_kind(self, kind: str, days: int | None) -> None:
        self.kind = KindFields(self, kind, days)

    def _sitting(self, sitting_id: SittingId, machine: MachineId | None) -> Sitting:
        broodies = self.sitter.broodies
        return Sitting(
            sitting_id,
            day_of(self.set_on) or self.context.today,
            name=self.name.text().strip(),
            species=self.kind.species,
            broody=broodies[0] if broodies else None,
            second_broody=broodies[1] if len(broodies) > 1 else None,
            machine=machine,
            days=self.kind.kept,
            note=self.note.text().strip(),
        )

    def _conditions(self, sitting: Sitting) -> tuple[Condition, ...]:
        """That the hens sit and do not lay, where the book does not say so yet."""
        if not self.lays_not.isChecked():
            return ()
        return tuple(
            Condition(ConditionId(""), hen, ConditionKind.BROODY, sitting.set_on)
            for hen in self.sitter.broodies
            if not any(
                each.kind is ConditionKind.BROODY and (each.until is None or each.until >= sitting.set_on)
                for each in self._view.year.conditions_of.get(hen, ())
            )
        )

    def _suit(self) -> None:
        self.form.fields["condition"].setVisible(self.sitter.chosen is not Under.MACHINE)

    def _tell_due(self) -> None:
        plan = plan_of(self._sitting(SittingId("draft"), None))
        days = [
            _("candle from {day}").format(day=day_text(plan.candlings[0].on)) if plan.candlings else "",
            _("lockdown {day}").format(day=day_text(plan.lockdown)),
            due_text(plan, day_text),
        ]
        self.set_caution(", ".join(part for part in days if part))


class CorrectSittingDialog(SittingDialog):
    """Correct what was written of a sitting: who sits, since when, how many days."""

    def __init__(self, context: Context, view: View, sitting: Sitting, parent: QWidget) -> None:
        super().__init__(context, _("Correct the sitting"), _("Save"), parent, columns=2)
        self.setObjectName("correct_sitting")
        self._sitting = sitting
        kind = kind_of(sitting)
        days = None if sitting.days in (None, kind.days) else sitting.days
        self.sitter = SitterFields(self, view, sitting, lambda: self._add_kind(kind.kind, days))
        self.set_on = day_field(context.today, sitting.set_on)
        self.form.add("set_on", _("Set on"), self.set_on)
        self.kind.add_days()
        self.name = self.form.add_line("name", _("Name, if it has one"), sitting.name)
        self.note = self.form.add_line("note", _("Note"), sitting.note, wide=True)
        self.sitter.connect(self.check)
        self.kind.connect(self.check)
        self.set_on.changed.connect(self.check)
        self.check()

    def own_problems(self) -> tuple[Problem, ...]:
        found = list(self.sitter.problems())
        if self.set_on.error:
            found.append(Problem("date", self.set_on.error, field="set_on"))
        elif day_of(self.set_on) is None:
            found += before_setting(None, self.context.today, self.context.today, "set_on")
        return tuple(found)

    def change(self) -> Change:
        machine, rows = self.sitter.machine_and_row(self.ids[0])
        broodies = self.sitter.broodies
        after = Sitting(
            self._sitting.id,
            day_of(self.set_on) or self._sitting.set_on,
            name=self.name.text().strip(),
            species=self.kind.species,
            broody=broodies[0] if broodies else None,
            second_broody=broodies[1] if len(broodies) > 1 else None,
            machine=machine,
            days=self.kind.kept,
            parted=self._sitting.parted,
            closed=self._sitting.closed,
            note=self.note.text().strip(),
        )
        correct = Correct((self._sitting,), (after,))
        return Together((Enter(rows), correct), _("correct the sitting")) if rows else correct

    def _add_kind(self, kind: str, days: int | None) -> None:
        self.kind = KindFields(self, kind, days)
