"""The hatch of a sitting: what came of each batch, compartment by compartment if they are emptied so."""

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Change, Enter, Together
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import EggFate, Fate, Sitting
from studbook.book.ids import EggFateId
from studbook.desk.context import Context
from studbook.desk.rooms.eggs.sittings.candling import BatchDialog
from studbook.desk.rooms.eggs.sittings.dialog import MISSING, day_of
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.words import _, plural

_FATES = (
    ("hatched", Fate.HATCHED),
    ("pipped_dead", Fate.PIPPED_DEAD),
    ("late_dead", Fate.LATE_DEAD),
    ("early_dead", Fate.EARLY_DEAD),
    ("clear", Fate.CLEAR),
    ("broken", Fate.BROKEN),
    ("removed", Fate.REMOVED),
)
_KEYS = tuple(key for key, _fate in _FATES)


class HatchDialog(BatchDialog):
    """Enter what hatched and what did not; a batch left empty is entered another time."""

    def __init__(self, context: Context, view: View, sitting: Sitting, parent: QWidget) -> None:
        columns = (
            ("hatched", _("hatched")),
            ("helped", _("of these helped")),
            ("died", _("of these died first day")),
            ("pipped_dead", _("pipped, dead")),
            ("late_dead", _("late dead")),
            ("early_dead", _("early dead")),
            ("clear", _("clear")),
            ("broken", _("broken")),
            ("removed", _("removed")),
        )
        super().__init__(context, view, sitting, _("What hatched?"), _("Save the hatch"), parent, columns)
        self.setObjectName("hatch_result")
        self.note = self.form.add_line("note", _("Note"), wide=True)
        for line in self.lines:
            line.changed.connect(lambda _key: self.check())
        self.set_caution(
            _(
                "An egg taken from the machine late may hold a living chick: look and listen before you open it. What "
                "cannot live must be killed at once, quickly and without pain, by someone who has learned it; "
                "chilling, drowning or leaving it to die is cruelty and is forbidden in many places. A chick that is "
                "helped out too soon may bleed from the skin of the egg. Local rules and a vet decide."
            )
        )
        self.check()

    def own_problems(self) -> tuple[Problem, ...]:
        found = [*self.day_problems(), *self.told(_KEYS)]
        for number, line in enumerate(self.lines, 1):
            for key in ("helped", "died"):
                if line.value(key) > line.value("hatched"):
                    text = _("More chicks helped or lost than hatched: correct the counts.")
                    found.append(Problem("count", text, field=f"batch_{number}"))
                    break
        if not any(line.total(_KEYS) for line in self.lines):
            text = _("Nothing is told of any egg: enter what hatched.")
            found.append(Problem(MISSING, text, field="batch_1"))
        return tuple(found)

    def change(self) -> Change:
        day = day_of(self.on) or self.context.today
        rows: list[EggFate] = []
        for batch, line in zip(self.batches, self.lines, strict=True):
            for key, fate in _FATES:
                if not line.value(key):
                    continue
                chicks = fate is Fate.HATCHED
                rows.append(
                    EggFate(
                        EggFateId(""),
                        batch.id,
                        fate,
                        line.value(key),
                        day,
                        helped=line.value("helped") if chicks else 0,
                        died=line.value("died") if chicks else 0,
                        note=self.note.text().strip(),
                    )
                )
        hatched = sum(line.value("hatched") for line in self.lines)
        text = plural("enter the hatch of {count} chick", "enter the hatch of {count} chicks", hatched)
        return Together((Enter(tuple(rows)),), text.format(count=hatched))
