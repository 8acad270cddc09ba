"""Changes of where birds are: moves, planned moves carried out, setting apart and coming back."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from studbook.book.changes.change import called
from studbook.book.errors import Problem, RecordProblems
from studbook.book.husbandry.rows import Apart, Husbandry, Move, Stay
from studbook.book.husbandry.tables import alter, drop, put
from studbook.book.ids import ApartId, BirdId, PenId, StayId
from studbook.book.records import Snapshot
from studbook.book.writing import Writing
from studbook.words import _, plural


def _pen_name(year: Husbandry, pen: PenId | None) -> str:
    found = year.pens.get(pen) if pen is not None else None
    return found.name if found is not None else _("no pen")


@dataclass(frozen=True, slots=True)
class MoveBirds:
    """Move birds to a pen (None: out of their pen) on a day that has come."""

    birds: tuple[BirdId, ...]
    pen: PenId | None
    on: date
    note: str = ""

    def label(self, before: Snapshot) -> str:
        who = called(before, *self.birds)
        if self.pen is None:
            return _("take {birds} out of the pen").format(birds=who)
        return _("move {birds} to {pen}").format(birds=who, pen=_pen_name(before.husbandry, self.pen))

    def write(self, writing: Writing) -> None:
        move_birds(writing, self.birds, self.pen, self.on, self.note)


def move_birds(
    writing: Writing, birds: Iterable[BirdId], pen: PenId | None, on: date, note: str = ""
) -> None:
    """End the stays that cover the day and begin others in `pen`, up to the next stay if there is one."""
    year = writing.before.husbandry
    for bird in birds:
        stays = year.stays_of.get(bird, ())
        now = next((stay for stay in reversed(stays) if stay.covers(on) and stay.until != on), None)
        if now is not None and now.pen == pen:
            continue
        if now is not None and now.since == on:
            # a bird moved twice on one day was never in the pen between
            drop(writing, now)
        elif now is not None:
            alter(writing, now, replace(now, until=on))
        if pen is not None:
            ends = [stay.since for stay in stays if stay.since > on]
            if now is not None and now.until is not None:
                # told late: what ended the stay it interrupts ends this one too
                ends.append(now.until)
            put(writing, Stay(StayId(""), bird, pen, on, min(ends, default=None), note))


@dataclass(frozen=True, slots=True)
class CarryOut:
    """Carry out planned moves on the day they were really made."""

    moves: tuple[Move, ...]
    on: date

    def label(self, before: Snapshot) -> str:
        text = plural("carry out {count} planned move", "carry out {count} planned moves", len(self.moves))
        return text.format(count=len(self.moves))

    def write(self, writing: Writing) -> None:
        for move in self.moves:
            move_birds(writing, (move.bird,), move.pen, self.on, move.note)
            drop(writing, move)


@dataclass(frozen=True, slots=True)
class SetApart:
    """Set a bird apart: it leaves its pen, and goes to `pen` if it is kept in one for that time."""

    apart: Apart
    pen: PenId | None = None

    def label(self, before: Snapshot) -> str:
        return _("set {bird} apart").format(bird=called(before, self.apart.bird))

    def write(self, writing: Writing) -> None:
        move_birds(writing, (self.apart.bird,), self.pen, self.apart.since)
        put(writing, self.apart)


@dataclass(frozen=True, slots=True)
class EndApart:
    """End a bird's time apart with its outcome; it goes back to `pen` (None: to no pen)."""

    apart: ApartId
    until: date
    outcome: str = ""
    pen: PenId | None = None

    def label(self, before: Snapshot) -> str:
        apart = before.husbandry.aparts.get(self.apart)
        who = called(before, apart.bird) if apart is not None else _("a bird")
        return _("end the time apart of {bird}").format(bird=who)

    def write(self, writing: Writing) -> None:
        apart = writing.before.husbandry.aparts.get(self.apart)
        if apart is None:
            message = _("The time apart is no longer in the book: undo brings it back.")
            raise RecordProblems((Problem("missing", message),))
        alter(writing, apart, replace(apart, until=self.until, outcome=self.outcome))
        move_birds(writing, (apart.bird,), self.pen, self.until)
