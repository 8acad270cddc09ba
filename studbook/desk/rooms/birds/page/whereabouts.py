"""Where the bird was and is: its stays, what is planned, matings outside a pen; moving it from its page."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from studbook.book.changes import CarryOut, Correct, Withdraw
from studbook.book.husbandry.rows import Condition, ConditionKind, Mating, Move, Stay
from studbook.book.husbandry.wording import condition_word, mating_word
from studbook.book.records import Bird, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import apply_foreseen
from studbook.desk.deeds.mating import MatingDialog, RemoveMatingDialog
from studbook.desk.deeds.moving import MoveDialog
from studbook.desk.deeds.pen_fields import pen_text
from studbook.desk.deeds.saying import said
from studbook.desk.deeds.stay import RemoveStayDialog, StayDialog
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label, link
from studbook.desk.wording import bird_text, day_text
from studbook.planning.pens.naming import pen_name
from studbook.planning.pens.telling import move_words
from studbook.words import _

_TOP = Qt.AlignmentFlag.AlignTop

Deed = tuple[str, str, Callable[[], object]]
"""A verb, what it is done to, and how."""


class WhereaboutsView(QWidget):
    """A line for each planned move, stay, mating and note on laying, the newest first."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("whereabouts")
        self.context = context
        self._bird: Bird | None = None
        self._snapshot: Snapshot | None = None
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(space(1.5))
        self._grid.setVerticalSpacing(space(0.5))
        self._grid.setColumnStretch(1, 1)

    def show_bird(self, bird: Bird, snapshot: Snapshot, *, can_edit: bool) -> None:
        """Show where a bird was and is."""
        self._bird, self._snapshot = bird, snapshot
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        year = snapshot.husbandry
        for move in sorted(year.moves.values(), key=lambda move: move.on):
            if move.bird == bird.id:
                self._add_move(snapshot, move, can_edit=can_edit)
        for stay in reversed(year.stays_of.get(bird.id, ())):
            self._add_stay(bird, snapshot, stay, can_edit=can_edit)
        matings = [mating for mating in year.matings.values() if bird.id in (mating.hen, mating.cock)]
        for mating in sorted(matings, key=lambda mating: mating.since, reverse=True):
            self._add_mating(bird, snapshot, mating, can_edit=can_edit)
        for condition in reversed(year.conditions_of.get(bird.id, ())):
            self._add_condition(condition, can_edit=can_edit)
        if not self._grid.count():
            self._grid.addWidget(label(_("In no pen yet."), Role.FAINT), 0, 0, 1, 2)

    def ask_move(self) -> None:
        """Ask where the bird goes."""
        if self._bird is not None and self._snapshot is not None:
            MoveDialog(self.context, self._snapshot, (self._bird,), self.window()).ask()

    def ask_stay(self) -> None:
        """Ask for a stay that was forgotten."""
        if self._bird is not None and self._snapshot is not None:
            StayDialog(self.context, self._snapshot, self._bird, None, self.window()).ask()

    def ask_mating(self) -> None:
        """Ask for a mating of the hen."""
        if self._bird is not None and self._snapshot is not None:
            MatingDialog(self.context, self._snapshot, self.window(), hens=(self._bird.id,)).ask()

    def _add_move(self, snapshot: Snapshot, move: Move, *, can_edit: bool) -> None:
        words = said(move_words(move, pen_name(snapshot.husbandry, move.pen), day_text), snapshot)
        today = self.context.today
        named = _("the planned move of {day}").format(day=day_text(move.on))
        self._add_line(
            _("planned"),
            words,
            (
                _("carry out today"),
                named,
                lambda: apply_foreseen(self.context, CarryOut((move,), today), self),
            ),
            (_("take back"), named, lambda: self.context.record.apply(Withdraw((move,)))),
            can_edit=can_edit,
        )

    def _add_stay(self, bird: Bird, snapshot: Snapshot, stay: Stay, *, can_edit: bool) -> None:
        year, parent = snapshot.husbandry, self.window()
        words = pen_text(year, year.pens[stay.pen])
        if stay.note:
            words = _("{what}: {note}").format(what=words, note=stay.note)
        named = _("the stay since {day}").format(day=day_text(stay.since))
        self._add_line(
            _span(stay.since, stay.until),
            words,
            (_("correct"), named, lambda: StayDialog(self.context, snapshot, bird, stay, parent).ask()),
            (
                _("take out"),
                named,
                lambda: RemoveStayDialog(self.context, snapshot, bird, stay, parent).ask(),
            ),
            can_edit=can_edit,
        )

    def _add_mating(self, bird: Bird, snapshot: Snapshot, mating: Mating, *, can_edit: bool) -> None:
        parent = self.window()
        named = _("the mating of {day}").format(day=day_text(mating.since))
        last = mating.until if mating.until != mating.since else None
        self._add_line(
            _span(mating.since, last) if last else day_text(mating.since),
            _mating_words(mating, bird, snapshot),
            (_("correct"), named, lambda: MatingDialog(self.context, snapshot, parent, mating=mating).ask()),
            (_("take out"), named, lambda: RemoveMatingDialog(self.context, bird, mating, parent).ask()),
            can_edit=can_edit,
        )

    def _add_condition(self, condition: Condition, *, can_edit: bool) -> None:
        named = _("the note of {day}").format(day=day_text(condition.since))
        today = self.context.today
        ended = replace(condition, until=today)
        end = (
            _("end today"),
            named,
            lambda: apply_foreseen(self.context, Correct((condition,), (ended,)), self),
        )
        remove = (_("take out"), named, lambda: apply_foreseen(self.context, Withdraw((condition,)), self))
        deeds = (remove,) if condition.until is not None else (end, remove)
        what = (
            _("eggs {colour}").format(colour=condition.text)
            if condition.kind is ConditionKind.EGG_COLOUR
            else condition_word(condition.kind)
        )
        self._add_line(_span(condition.since, condition.until), what, *deeds, can_edit=can_edit)

    def _add_line(self, when: str, words: str, *deeds: Deed, can_edit: bool) -> None:
        """A line with what can be done about it."""
        row = self._grid.rowCount()
        day, what = label(when, Role.FAINT), label(words, wraps=True)
        for each in (day, what):
            each.setContentsMargins(0, space(0.4), 0, 0)
        what.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._grid.addWidget(day, row, 0, _TOP)
        self._grid.addWidget(what, row, 1, _TOP)
        for place, (verb, named, run) in enumerate(deeds if can_edit else ()):
            made = link(verb, run)
            made.setAccessibleName(_("{verb}: {what}").format(verb=verb, what=named))
            made.setObjectName(f"whereabouts_{row}_{place}")
            self._grid.addWidget(made, row, 2 + place, _TOP)


def _span(since: date, until: date | None) -> str:
    """The days of a stay: "10 Jan 2027 – 3 Mar 2027"."""
    if until is None:
        return _("since {day}").format(day=day_text(since))
    return _("{first} – {last}").format(first=day_text(since), last=day_text(until))


def _mating_words(mating: Mating, bird: Bird, snapshot: Snapshot) -> str:
    """How and whom the bird met."""
    if bird.id == mating.hen:
        known = mating.cock if snapshot.has(mating.cock) else None
        other = bird_text(snapshot.bird(known)) if known is not None else mating.outside
    else:
        other = bird_text(snapshot.bird(mating.hen)) if snapshot.has(mating.hen) else ""
    words = _("{how}, with {other}").format(how=mating_word(mating.kind), other=other)
    return _("{what}: {note}").format(what=words, note=mating.note) if mating.note else words
