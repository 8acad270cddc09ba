"""Candling: what is seen of each batch, and pips; what is taken out gets its end, what is doubtful goes back."""

from datetime import date

from PySide6.QtWidgets import QCheckBox, QWidget

from studbook.book.changes import Change, Enter, Together
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Batch, Candling, EggFate, Fate, Sitting
from studbook.book.ids import CandlingId, EggFateId
from studbook.desk.context import Context
from studbook.desk.rooms.eggs.sittings.dialog import MISSING, CountRow, SittingDialog, day_field, day_of
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.planning.sittings.counts import with_eggs
from studbook.planning.sittings.days import set_on_of
from studbook.planning.sittings.drafting import before_setting, too_many
from studbook.words import _, plural

TAKEN = (("clear", Fate.CLEAR), ("early_dead", Fate.EARLY_DEAD), ("late_dead", Fate.LATE_DEAD))
"""The counts of eggs that are taken out, and the end they come to."""


class BatchDialog(SittingDialog):
    """A form with a line of counts for each batch that still has eggs, and the day.

    Attributes
    ----------
    lines
        The counts of each batch.
    """

    def __init__(
        self,
        context: Context,
        view: View,
        sitting: Sitting,
        title: str,
        verb: str,
        parent: QWidget,
        columns: tuple[tuple[str, str], ...],
    ) -> None:
        super().__init__(context, title, verb, parent)
        self.view, self.sitting = view, sitting
        self.batches = with_eggs(view.year, view.batches(sitting))
        self.on = day_field(context.today, context.today)
        self.form.add("on", _("Day"), self.on)
        self.lines: list[CountRow] = []
        for number, batch in enumerate(self.batches, 1):
            left = view.year.eggs_left(batch)
            text = plural("{batch}: {count} egg left", "{batch}: {count} eggs left", left)
            words = text.format(batch=view.batch_called(batch), count=left)
            line = CountRow(number, view.batch_called(batch), columns)
            self.form.add(f"batch_{number}", words, line, wide=True)
            self.lines.append(line)
        self.on.changed.connect(self.check)

    def begin(self) -> None:
        """Open with the cursor in the first count."""
        self.ask()
        if self.lines:
            self.lines[0].setFocus()

    def day_problems(self) -> tuple[Problem, ...]:
        """What is wrong with the day."""
        if self.on.error:
            return (Problem("date", self.on.error, field="on"),)
        latest = max(
            (set_on_of(self.view.year, batch) for batch in self.batches), default=self.sitting.set_on
        )
        return before_setting(day_of(self.on), latest, self.context.today, "on")

    def told(self, keys: tuple[str, ...]) -> tuple[Problem, ...]:
        """The batches of which more eggs are told than are left."""
        return tuple(
            problem
            for number, (batch, line) in enumerate(zip(self.batches, self.lines, strict=True), 1)
            for problem in too_many(
                line.total(keys),
                self.view.year.eggs_left(batch),
                self.view.batch_called(batch),
                f"batch_{number}",
            )
        )


_SEEN = ("alive", "clear", "early_dead", "late_dead", "doubtful")


class CandleDialog(BatchDialog):
    """Candle the eggs of a sitting; it may be done as often as one likes."""

    def __init__(self, context: Context, view: View, sitting: Sitting, parent: QWidget) -> None:
        columns = (
            ("clear", _("clear")),
            ("early_dead", _("early dead")),
            ("late_dead", _("late dead")),
            ("doubtful", _("doubtful")),
            ("alive", _("alive")),
        )
        super().__init__(
            context, view, sitting, _("Candle the eggs"), _("Save the candling"), parent, columns
        )
        self.setObjectName("candle")
        self._alive = [view.year.eggs_left(batch) for batch in self.batches]
        for number, line in enumerate(self.lines):
            line.show_values({"alive": self._alive[number]})
            line.changed.connect(lambda key, number=number: self._follow(number, key))
        self.take_out = QCheckBox(_("clear and dead eggs are taken out, doubtful ones go back"))
        self.take_out.setChecked(True)
        self.form.add("take_out", _("Afterwards"), self.take_out, wide=True)
        self.note = self.form.add_line("note", _("Note"), wide=True)
        self.take_out.toggled.connect(lambda _on: self.check())
        self.set_caution(
            _(
                "Wash your hands before and after. Keep the eggs warm and be quick; an egg that smells or weeps is "
                "taken out at once and not opened near the others."
            )
        )
        self.check()

    def own_problems(self) -> tuple[Problem, ...]:
        found = (*self.day_problems(), *self.told(_SEEN))
        if not any(line.total(_SEEN) for line in self.lines):
            found += (
                Problem(MISSING, _("Nothing is told of any egg: enter what you saw."), field="batch_1"),
            )
        return found

    def change(self) -> Change:
        day = day_of(self.on) or self.context.today
        rows: list[Candling | EggFate] = []
        for batch, line in zip(self.batches, self.lines, strict=True):
            if not line.total(_SEEN):
                continue
            rows.append(
                Candling(
                    CandlingId(""),
                    batch.id,
                    day,
                    **{key: line.value(key) for key in _SEEN},
                    note=self.note.text().strip(),
                )
            )
            if self.take_out.isChecked():
                rows += _ends(batch, line, day)
        title = _("candle the eggs of {sitting}").format(sitting=self.view.called(self.sitting))
        return Together((Enter(tuple(rows)),), title)

    def _follow(self, number: int, key: str) -> None:
        """What is not told otherwise is alive, until the keeper writes the living."""
        line = self.lines[number]
        if key != "alive" and line.value("alive") == self._alive[number]:
            left = self.view.year.eggs_left(self.batches[number])
            told = line.total(each for each in _SEEN if each != "alive")
            self._alive[number] = max(left - told, 0)
            line.show_values({"alive": self._alive[number]})
        self.check()


def _ends(batch: Batch, line: CountRow, day: date) -> list[EggFate]:
    """The ends of the eggs taken out."""
    return [
        EggFate(EggFateId(""), batch.id, fate, line.value(key), day) for key, fate in TAKEN if line.value(key)
    ]


class PipDialog(BatchDialog):
    """How many eggs have pipped."""

    def __init__(self, context: Context, view: View, sitting: Sitting, parent: QWidget) -> None:
        columns = (("pipped", _("pipped so far")),)
        super().__init__(context, view, sitting, _("Pipped eggs"), _("Save the pips"), parent, columns)
        self.setObjectName("pips")
        for line in self.lines:
            line.changed.connect(lambda _key: self.check())
        self.set_caution(
            _(
                "From pip to chick takes the better part of a day, often more. Leave the lid shut: the air must stay "
                "moist, or the skins dry on the chicks."
            )
        )
        self.check()

    def own_problems(self) -> tuple[Problem, ...]:
        found = (*self.day_problems(), *self.told(("pipped",)))
        if not any(line.value("pipped") for line in self.lines):
            found += (Problem(MISSING, _("No egg has pipped yet: enter how many have."), field="batch_1"),)
        return found

    def change(self) -> Change:
        day = day_of(self.on) or self.context.today
        rows = tuple(
            Candling(
                CandlingId(""),
                batch.id,
                day,
                alive=self.view.year.eggs_left(batch) - line.value("pipped"),
                pipped=line.value("pipped"),
            )
            for batch, line in zip(self.batches, self.lines, strict=True)
            if line.value("pipped")
        )
        title = _("enter the pips of {sitting}").format(sitting=self.view.called(self.sitting))
        return Together((Enter(rows),), title)
