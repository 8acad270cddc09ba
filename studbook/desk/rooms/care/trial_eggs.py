"""The forms of a trial's eggs: setting some of each hen, and what was seen at candling."""

from datetime import date, timedelta

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QGridLayout, QSpinBox, QWidget

from studbook.book.changes import Change, Enter, Together
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Batch, Candling, EggFate, Fate, Machine, Sitting
from studbook.book.ids import BatchId, BirdId, CandlingId, EggFateId, MachineId, SittingId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.care_fields import CareDialog, DayField, count_box, days_are_read
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.name_box import NameBox
from studbook.desk.widgets.text import label
from studbook.desk.wording import bird_text, day_text
from studbook.planning.care.trials import TrialStudy
from studbook.words import _, plural

_MOST_EGGS = 60


class TrialEggsDialog(CareDialog):
    """Set eggs of a trial, hen by hen, under a broody or in a machine."""

    def __init__(self, context: Context, snapshot: Snapshot, study: TrialStudy, parent: QWidget) -> None:
        title = _("Set trial eggs of {cock}").format(cock=bird_text(study.cock))
        super().__init__(context, title, _("Set the eggs"), parent, columns=2)
        self.setObjectName("trial_eggs_dialog")
        self.aliases = {**self.aliases, "name": "machine"}
        self._study = study
        year = snapshot.husbandry
        self.set_on = DayField(context.today, context.today)
        self.form.add("set_on", _("Set on"), self.set_on)
        self.machine = NameBox(
            ((machine.name, machine.id) for machine in year.machines.values() if machine.retired is None),
            placeholder=_("a machine, or none for a broody"),
        )
        self.form.add("machine", _("In machine"), self.machine)
        if self.machine.count() == 2:
            self.machine.setCurrentIndex(1)
        self.laid_from = DayField(context.today, _first_to_set(snapshot, study))
        self.form.add("laid_from", _("Laid from"), self.laid_from, _("Older eggs do not count in the trial."))
        self.broody = BirdPicker()
        self.broody.set_birds(snapshot.birds, lambda bird: bird.is_living and bird.sex is Sex.HEN)
        self.form.add("broody", _("Or under broody"), self.broody)
        ends = study.trial.ends or context.today
        self.laid_to = DayField(context.today, min(ends, context.today))
        self.form.add("laid_to", _("Laid until"), self.laid_to)
        self.eggs: dict[BirdId, QSpinBox] = {}
        for place, hen in enumerate(study.hens):
            bird = snapshot.bird(hen.hen) if snapshot.has(hen.hen) else None
            if bird is None:
                continue
            box = count_box(f"eggs_{place}", 0, _MOST_EGGS, 0)
            self.eggs[hen.hen] = box
            self.form.add(f"eggs_{place}", _("Eggs of {hen}").format(hen=bird_text(bird)), box)
        self.set_change(self._read)
        self.set_on.setFocus()

    def _read(self) -> Change | None:
        days = {"set_on": self.set_on, "laid_from": self.laid_from, "laid_to": self.laid_to}
        if not days_are_read(self.form, days, ("set_on",)):
            return None
        counts = {hen: box.value() for hen, box in self.eggs.items() if box.value()}
        if not counts:
            message = _("No egg is entered: say how many of each hen are set.")
            self.form.show_problems((Problem("eggs", message, field="eggs_0"),))
            return None
        set_on = self.set_on.day
        assert set_on is not None
        named = self.machine.named
        known = named.known_as(self.other_id)
        sitting = Sitting(
            SittingId(self.new_id),
            set_on,
            species=self._study.cock.species,
            broody=self.broody.bird,
            machine=MachineId(known) if known else None,
        )
        batches = tuple(
            Batch(
                BatchId(""),
                sitting.id,
                eggs,
                hen=hen,
                laid_from=self.laid_from.day,
                laid_to=self.laid_to.day,
                trial=self._study.trial.id,
            )
            for hen, eggs in counts.items()
        )
        machine = (Machine(MachineId(self.other_id), named.new),) if named.new else ()
        number = sum(counts.values())
        title = plural("set {count} trial egg of {cock}", "set {count} trial eggs of {cock}", number).format(
            count=number, cock=self._study.cock.called
        )
        return Together((Enter((*machine, sitting, *batches)),), title)


def _first_to_set(snapshot: Snapshot, study: TrialStudy) -> date:
    """The first laying day whose eggs are not set yet: the day after the last ones set, or the first that counts."""
    batches = snapshot.husbandry.batches_of_trial.get(study.trial.id, ())
    laid = [batch.laid_to for batch in batches if batch.laid_to is not None]
    return max((study.trial.counts_from, *(day + timedelta(days=1) for day in laid)))


class CandleDialog(FormDialog):
    """What was seen of a trial's eggs at candling, a line for each hen's eggs."""

    def __init__(self, context: Context, snapshot: Snapshot, study: TrialStudy, parent: QWidget) -> None:
        title = _("Candle the trial eggs of {cock}").format(cock=bird_text(study.cock))
        super().__init__(context, title, _("Save what was seen"), parent)
        self.setObjectName("candle_dialog")
        self.aliases = {**self.aliases, "eggs": "lines", "alive": "lines"}
        self._study = study
        self.on = DayField(context.today, context.today)
        self.form.add("on", _("Candled on"), self.on)
        year = snapshot.husbandry
        held = year.batches_of_trial.get(study.trial.id, ())
        self.lines = [
            _CandledLine(batch, _called(snapshot, batch), year.eggs_left(batch), place)
            for place, batch in enumerate(batch for batch in held if year.eggs_left(batch))
        ]
        table = QWidget()
        grid = QGridLayout(table)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(space(2))
        for column, words in enumerate((_("Alive"), _("Clear"), _("Early dead"), _("Doubtful")), start=1):
            grid.addWidget(label(words, Role.CAPTION), 0, column)
        for place, line in enumerate(self.lines):
            line.add_to(grid, 1 + 2 * place, snapshot)
        grid.setColumnStretch(5, 1)
        self.form.add("lines", _("Eggs seen"), table, _("What nobody looked at stays out of the result."))
        self.taken_out = QCheckBox(_("The clear and the dead ones were taken out"))
        self.taken_out.setChecked(True)
        self.form.add("taken_out", _("After candling"), self.taken_out)
        self.set_caution(
            _(
                "A doubtful egg goes back and is candled again: what looks clear may have died early. Dead embryos "
                "are thrown away unopened or opened with care: they can spoil and burst."
            )
        )
        self.set_change(self._read)
        self.on.setFocus()

    def _read(self) -> Change | None:
        if not days_are_read(self.form, {"on": self.on}, ("on",)):
            return None
        on = self.on.day
        assert on is not None
        rows = [row for line in self.lines for row in line.rows(on, taken_out=self.taken_out.isChecked())]
        if not rows:
            message = _("Nothing is entered: say how many eggs were alive or clear.")
            self.form.show_problems((Problem("count", message, field="lines"),))
            return None
        title = _("candle the trial eggs of {cock}").format(cock=self._study.cock.called)
        return Together((Enter(tuple(rows)),), title)


def _called(snapshot: Snapshot, batch: Batch) -> str:
    set_on = snapshot.husbandry.sittings[batch.sitting].set_on
    eggs = snapshot.husbandry.eggs_left(batch)
    return plural("{count} egg, set {day}", "{count} eggs, set {day}", eggs).format(
        count=eggs, day=day_text(set_on)
    )


class _CandledLine:
    """The boxes of one batch."""

    def __init__(self, batch: Batch, told: str, left: int, place: int) -> None:
        self.batch = batch
        self._told = told
        names = ("alive", "clear", "early_dead", "doubtful")
        self.boxes = {name: count_box(f"{name}_{place}", 0, left, 0) for name in names}

    def add_to(self, grid: QGridLayout, row: int, snapshot: Snapshot) -> None:
        """Stand in two rows of the form."""
        hen = self.batch.hen
        bird: Bird | None = snapshot.bird(hen) if hen is not None and snapshot.has(hen) else None
        if bird is not None:
            who = BirdLink(bird)
            who.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            who.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            who.setMinimumWidth(who.sizeHint().width())
            grid.addWidget(who, row, 0)
        grid.addWidget(label(self._told, Role.SMALL), row + 1, 0)
        called = bird_text(bird) if bird is not None else _("the pen")
        spoken = {
            "alive": _("Alive of {hen}"),
            "clear": _("Clear of {hen}"),
            "early_dead": _("Early dead of {hen}"),
            "doubtful": _("Doubtful of {hen}"),
        }
        for column, (name, box) in enumerate(self.boxes.items(), start=1):
            box.setAccessibleName(spoken[name].format(hen=called))
            box.setMinimumWidth(length(64))
            grid.addWidget(box, row, column, 2, 1)

    def rows(self, on: date, *, taken_out: bool) -> list[Candling | EggFate]:
        """The candling and, of eggs taken out, their fates; nothing when no egg was entered."""
        counts = {name: box.value() for name, box in self.boxes.items()}
        if not any(counts.values()):
            return []
        candling = Candling(
            CandlingId(""),
            self.batch.id,
            on,
            alive=counts["alive"],
            clear=counts["clear"],
            early_dead=counts["early_dead"],
            doubtful=counts["doubtful"],
        )
        found: list[Candling | EggFate] = [candling]
        if taken_out:
            ends = ((Fate.CLEAR, counts["clear"]), (Fate.EARLY_DEAD, counts["early_dead"]))
            found += [EggFate(EggFateId(""), self.batch.id, fate, eggs, on) for fate, eggs in ends if eggs]
        return found
