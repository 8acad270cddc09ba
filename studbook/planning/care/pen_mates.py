"""The birds that shared a pen with one that fell ill, and where they are now."""

from dataclasses import dataclass
from datetime import date, timedelta

from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Snapshot
from studbook.planning.sentences import BirdPart, Sentence, compose
from studbook.words import _

DAYS_BEFORE = 14
"""How far back pen mates are asked for: common practice, no rule; a vet may ask for more."""


@dataclass(frozen=True)
class PenMate:
    """A bird that shared a pen with another.

    Attributes
    ----------
    shared
        The pens they shared.
    together_until
        The last day on which they were in one pen, within the days asked for.
    pen
        Where it is today; None when it is in no pen.
    is_apart
        True when it is set apart itself.
    """

    bird: Bird
    shared: tuple[PenId, ...]
    together_until: date
    pen: PenId | None
    is_apart: bool


def pen_mates(
    snapshot: Snapshot, bird: BirdId, day: date, today: date, days: int = DAYS_BEFORE
) -> tuple[PenMate, ...]:
    """The birds that shared a pen with `bird` in the `days` before `day`, those together last first.

    A day of moving counts for both pens. Birds that have left the flock since are named too.
    """
    year = snapshot.husbandry
    first = day - timedelta(days=days)
    shared: dict[BirdId, dict[PenId, date]] = {}
    for stay in year.stays_of.get(bird, ()):
        begin, end = max(stay.since, first), min(stay.until or day, day)
        if begin > end:
            continue
        for other in year.stays_in.get(stay.pen, ()):
            last = min(other.until or end, end)
            if other.bird != bird and max(other.since, begin) <= last:
                pens = shared.setdefault(other.bird, {})
                pens[stay.pen] = max(last, pens.get(stay.pen, last))
    found = []
    for other_bird, pens in shared.items():
        if not snapshot.has(other_bird):
            continue
        now = year.stay_on(other_bird, today)
        open_apart = any(apart.until is None for apart in year.apart_of.get(other_bird, ()))
        found.append(
            PenMate(
                snapshot.bird(other_bird),
                tuple(pens),
                max(pens.values()),
                now.pen if now is not None else None,
                open_apart,
            )
        )
    return tuple(sorted(found, key=lambda mate: (-mate.together_until.toordinal(), mate.bird.called)))


def pen_mate_sentences(
    snapshot: Snapshot, bird: BirdId, day: date, today: date, days: int = DAYS_BEFORE
) -> tuple[Sentence, ...]:
    """The pen mates of a bird in words: one sentence for all, then one for each place they are in now."""
    mates = pen_mates(snapshot, bird, day, today, days)
    if not mates:
        text = _("The book knows of no bird that shared a pen with {bird} in the {days} days before.")
        return (compose(text, bird=BirdPart(bird), days=str(days)),)
    head = _("In the {days} days before, {bird} shared a pen with these birds: watch them.")
    places: dict[str, list[BirdId]] = {}
    for mate in mates:
        places.setdefault(_place(snapshot, mate), []).append(mate.bird.id)
    return (
        compose(head, bird=BirdPart(bird), days=str(days)),
        *(
            compose(_("{place}: {birds}."), place=place, birds=listed(birds))
            for place, birds in places.items()
        ),
    )


def _place(snapshot: Snapshot, mate: PenMate) -> str:
    if not mate.bird.is_living:
        return _("No longer in the flock")
    pen = snapshot.husbandry.pens.get(mate.pen) if mate.pen is not None else None
    if mate.is_apart:
        return _("Apart, in {pen}").format(pen=pen.name) if pen is not None else _("Apart, in no pen")
    return _("Now in {pen}").format(pen=pen.name) if pen is not None else _("In no pen now")


def listed(birds: list[BirdId]) -> Sentence:
    """Birds one after the other: "A, B, C"."""
    parts: list[str | BirdPart] = []
    for bird in birds:
        if parts:
            parts.append(_(", "))
        parts.append(BirdPart(bird))
    return tuple(parts)
