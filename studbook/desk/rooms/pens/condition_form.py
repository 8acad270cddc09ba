"""What keeps hens from laying, or tells their eggs: broody, moulting, not laying, the colour of the shell."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Change, Correct, Enter, Together
from studbook.book.husbandry.rows import Condition, ConditionKind, Husbandry
from studbook.book.husbandry.wording import condition_word
from studbook.book.ids import ConditionId
from studbook.book.records import Bird, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.deeds.pen_fields import DayField
from studbook.desk.deeds.several import those
from studbook.planning.pens.board import conditions_on
from studbook.words import _


def turned(year: Husbandry, birds: Sequence[Bird], kind: ConditionKind, today: date) -> Change | None:
    """The change that notes a condition of hens from today; where all have it, it ends today."""
    held = {bird.id: _held(year, bird, kind, today) for bird in birds}
    lacking = [bird for bird in birds if held[bird.id] is None]
    if not birds:
        return None
    word = condition_word(kind)
    if lacking:
        begun = Enter(tuple(Condition(ConditionId(""), bird.id, kind, today) for bird in lacking))
        title = _("note {birds} as {condition}").format(birds=those(lacking), condition=word)
        return Together((begun,), title)
    rows = tuple(row for row in held.values() if row is not None)
    ended = Correct(rows, tuple(replace(row, until=today) for row in rows))
    title = _("note {birds} as no longer {condition}").format(birds=those(birds), condition=word)
    return Together((ended,), title)


def all_have(year: Husbandry, birds: Sequence[Bird], kind: ConditionKind, today: date) -> bool:
    """True when every one of the birds has the condition today."""
    return bool(birds) and all(_held(year, bird, kind, today) is not None for bird in birds)


def _held(year: Husbandry, bird: Bird, kind: ConditionKind, today: date) -> Condition | None:
    return next((row for row in conditions_on(year, bird.id, today) if row.kind is kind), None)


class ConditionDialog(ForeseeingDialog):
    """A condition on other days than from today, or the colour of the eggs."""

    def __init__(
        self,
        context: Context,
        snapshot: Snapshot,
        birds: Sequence[Bird],
        parent: QWidget,
        kind: ConditionKind = ConditionKind.EGG_COLOUR,
    ) -> None:
        super().__init__(context, _("Note on {birds}").format(birds=those(birds)), _("Save the note"), parent)
        self.setObjectName("condition_dialog")
        self._birds = tuple(birds)
        today = context.today
        self.kind = self.form.add_choice(
            "kind", _("What"), [(condition_word(each), each) for each in ConditionKind], kind
        )
        self.colour = self.form.add_line("text", _("Colour of the eggs"))
        self.since = DayField(today, today)
        self.form.add("since", _("From"), self.since)
        self.until = DayField(today, optional=True)
        self.form.add("until", _("To"), self.until, _("Empty while it lasts."))
        self.kind.currentIndexChanged.connect(self._suit)
        self.set_change(self._read)
        self._suit()

    def _suit(self) -> None:
        colour = ConditionKind(self.kind.currentData()) is ConditionKind.EGG_COLOUR
        self.form.fields["text"].setVisible(colour)

    def _read(self) -> Change | None:
        since = self.since.day
        problems = (*self.since.problems("since"), *self.until.problems("until"))
        if problems or since is None:
            self.form.show_problems(problems)
            return None
        kind = ConditionKind(self.kind.currentData())
        text = self.colour.text().strip() if kind is ConditionKind.EGG_COLOUR else ""
        return Enter(
            tuple(
                Condition(ConditionId(""), bird.id, kind, since, self.until.day, text) for bird in self._birds
            )
        )
