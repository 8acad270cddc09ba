"""Who is apart, since when, and when each is to be looked at again; who was apart before and how it ended."""

from dataclasses import dataclass
from datetime import date, timedelta

from studbook.book.husbandry.rows import Apart, Husbandry, Stay
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Snapshot
from studbook.season.practice import ApartReason
from studbook.words import _, plural


@dataclass(frozen=True)
class TimeApart:
    """One time a bird was or is apart.

    Attributes
    ----------
    pen
        The pen it is kept in apart (the last of that time); None when it is in none.
    left_pen
        The pen it was in before, to which it would go back.
    days
        From the day it was set apart until it came back, or until today.
    """

    apart: Apart
    bird: Bird
    pen: PenId | None
    left_pen: PenId | None
    days: int
    is_overdue: bool


def apart_now(snapshot: Snapshot, today: date) -> tuple[TimeApart, ...]:
    """The birds apart today: those overdue for a look first, then by the day they are due; undated last."""
    found = [
        time_apart(snapshot, apart, today)
        for apart in snapshot.husbandry.aparts.values()
        if apart.until is None and snapshot.has(apart.bird)
    ]
    return tuple(sorted(found, key=lambda time: (time.apart.review or date.max, time.apart.since)))


def apart_before(snapshot: Snapshot, today: date) -> tuple[TimeApart, ...]:
    """The times apart that are over, the last first."""
    found = [
        time_apart(snapshot, apart, today)
        for apart in snapshot.husbandry.aparts.values()
        if apart.until is not None and snapshot.has(apart.bird)
    ]
    return tuple(sorted(found, key=lambda time: (time.apart.until, time.apart.since), reverse=True))


def times_of(snapshot: Snapshot, bird: BirdId, today: date) -> tuple[TimeApart, ...]:
    """The times one bird was apart, the last first."""
    times = snapshot.husbandry.apart_of.get(bird, ())
    return tuple(time_apart(snapshot, apart, today) for apart in reversed(times))


def time_apart(snapshot: Snapshot, apart: Apart, today: date) -> TimeApart:
    """What is known of one time apart."""
    year = snapshot.husbandry
    before = pen_left(year, apart.bird, apart.since)
    kept = _stay_apart(year, apart)
    return TimeApart(
        apart,
        snapshot.bird(apart.bird),
        kept.pen if kept is not None else None,
        before,
        ((apart.until or today) - apart.since).days,
        apart.until is None and apart.review is not None and apart.review < today,
    )


def pen_left(year: Husbandry, bird: BirdId, day: date) -> PenId | None:
    """The pen a bird was in when that day began; None when it was in none."""
    stays = [stay for stay in year.stays_of.get(bird, ()) if stay.since < day and stay.covers(day)]
    return stays[-1].pen if stays else None


def _stay_apart(year: Husbandry, apart: Apart) -> Stay | None:
    """The last stay that began while the bird was apart; of one still apart, the one it is in."""
    inside = [
        stay
        for stay in year.stays_of.get(apart.bird, ())
        if apart.since <= stay.since and (apart.until is None or stay.since < apart.until)
    ]
    if not inside or (apart.until is None and inside[-1].until is not None):
        return None
    return inside[-1]


def review_day(snapshot: Snapshot, bird: BirdId | None, reason: ApartReason, since: date) -> date:
    """The day a bird set apart is to be looked at again, by the figures of practice of its species."""
    code = snapshot.bird(bird).species if snapshot.has(bird) and bird is not None else "chicken"
    figures = WhoseEgg({}, snapshot.husbandry).practice(code)
    return since + timedelta(days=figures.review_days(reason))


def days_text(days: int) -> str:
    """So many days, in words."""
    return plural("{count} day", "{count} days", days).format(count=days)


def in_one_line(*parts: str) -> str:
    """What there is of these remarks, one after the other; none twice."""
    told = ""
    for part in dict.fromkeys(part for part in parts if part):
        told = _("{before} · {part}").format(before=told, part=part) if told else part
    return told


def reason_caution(reason: ApartReason) -> str:
    """What is to be minded when a bird is set apart for this reason."""
    every = _(
        "A bird apart needs sight of others, water and an end date. Local rules and a vet decide; moves may be "
        "stopped by a housing order."
    )
    match reason:
        case ApartReason.ILL:
            first = _(
                "An ill bird is separated first and asked about after. This program names no disease: a vet decides. "
                "Some diseases must be reported by law, at once when they are suspected. See to it last on the "
                "round, with clean hands, boots and tools."
            )
        case ApartReason.HURT:
            first = _(
                "Others peck at a wound: keep it from them until it has closed. A deep or dirty wound, a broken bone "
                "or a bird that does not eat is for a vet."
            )
        case ApartReason.BOUGHT | ApartReason.SHOW:
            first = _(
                "Keep it away from the flock, with water and feed of its own, and see to it last on the round. How "
                "long is for your vet or local rules to say."
            )
        case ApartReason.BROODY:
            first = _(
                "She needs feed, water and light all the while, and an airy floor; a few days are enough."
            )
        case _:
            return every
    return f"{first}\n{every}"
