"""Moving birds to another pen, today, on an earlier day, or as a plan for a day to come."""

from collections.abc import Sequence
from datetime import date

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Change, Enter, MoveBirds, Together, Withdraw
from studbook.book.husbandry.rows import Move
from studbook.book.ids import BirdId, MoveId, PenId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.cautions import housing_caution, wear_caution
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.deeds.pen_fields import DayField, PenBox
from studbook.desk.deeds.several import those
from studbook.planning.candidates import is_old_enough
from studbook.planning.pens.board import stays_on
from studbook.words import _


class MoveDialog(ForeseeingDialog):
    """Where to, and when; a day to come makes it a plan."""

    def __init__(
        self,
        context: Context,
        snapshot: Snapshot,
        birds: Sequence[Bird],
        parent: QWidget,
        pen: PenId | None = None,
    ) -> None:
        super().__init__(context, _("Move {birds}").format(birds=those(birds)), _("Move"), parent)
        self.setObjectName("move_dialog")
        self._snapshot, self._birds = snapshot, tuple(birds)
        year, today = snapshot.husbandry, context.today
        self.pen = PenBox(year, today, none=_("no pen"))
        self.form.add("pen", _("To"), self.pen)
        now = stays_on(year, today)
        held = {now[bird.id].pen for bird in birds if bird.id in now}
        others = [place for place in range(self.pen.count()) if self.pen.itemData(place) not in held]
        self.pen.setCurrentIndex(others[0] if others else 0)
        if pen is not None:
            self.pen.choose(pen)
        self.on = DayField(today, today)
        self.form.add("on", _("On"), self.on, _("A day to come makes it a planned move."))
        self.note = self.form.add_line("note", _("Note"))
        self.aliases = {**self.aliases, "since": "on", "until": "on", "bird": "pen"}
        self.pen.currentIndexChanged.connect(self._suit)
        self.on.changed.connect(self._suit)
        self.set_change(self._read)
        self._suit()
        self.pen.setFocus()

    def _suit(self) -> None:
        """The verb and the cautions of what is chosen now."""
        day = self.on.day
        self.verb.setText(_("Plan the move") if self._is_plan(day) else _("Move"))
        cautions = [housing_caution()]
        if self.pen.pen is not None and self._leaves_hen_alone(self.pen.pen):
            cautions.insert(0, wear_caution())
        self.set_caution(" ".join(cautions))

    def _is_plan(self, day: date | None) -> bool:
        return day is not None and day > self.context.today

    def _leaves_hen_alone(self, pen: PenId) -> bool:
        """True where a single hen would be with a cock in the pen they go to."""
        today = self.context.today
        inside = [stay.bird for stay in stays_on(self._snapshot.husbandry, today).values() if stay.pen == pen]
        birds = {bird: self._snapshot.bird(bird) for bird in inside if self._snapshot.has(bird)}
        birds |= {bird.id: bird for bird in self._birds}
        grown = [bird for bird in birds.values() if is_old_enough(bird, today)]
        hens = sum(bird.sex is Sex.HEN for bird in grown)
        return hens == 1 and any(bird.sex is Sex.COCK for bird in grown)

    def _read(self) -> Change | None:
        day = self.on.day
        if (problems := self.on.problems("on")) or day is None:
            self.form.show_problems(problems)
            return None
        birds = tuple(bird.id for bird in self._birds)
        note = self.note.text().strip()
        if self._is_plan(day):
            return planned(birds, self.pen.pen, day, note)
        return moved(self._snapshot, birds, self.pen.pen, day, note)


def moved(snapshot: Snapshot, birds: Sequence[BirdId], pen: PenId | None, on: date, note: str = "") -> Change:
    """The change that moves birds, and takes back the plans that are fulfilled by it."""
    move = MoveBirds(tuple(birds), pen, on, note)
    plans = tuple(
        plan for plan in snapshot.husbandry.moves.values() if plan.bird in birds and plan.pen == pen
    )
    return Together((move, Withdraw(plans)), move.label(snapshot)) if plans else move


def planned(birds: Sequence[BirdId], pen: PenId | None, on: date, note: str = "") -> Enter:
    """The change that plans a move of birds on a day to come."""
    return Enter(tuple(Move(MoveId(""), bird, pen, on, note) for bird in birds))
