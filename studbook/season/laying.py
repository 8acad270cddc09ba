"""How well hens lay: eggs per hen and day over the days they were there."""

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta


@dataclass(frozen=True, slots=True)
class Presence:
    """A hen from a day to a day, both included; `last` is ``None`` while she is still there."""

    hen: Hashable
    first: date
    last: date | None = None


@dataclass(frozen=True, slots=True)
class Gathered:
    """Eggs gathered on one day."""

    on: date
    eggs: int


@dataclass(frozen=True, slots=True)
class LayingRate:
    """The laying of some hens from a day to a day, both included.

    Attributes
    ----------
    eggs, hen_days
        The eggs gathered, and for each day the hens there, added up.
    strayed
        Eggs of days on which none of the hens was there; they are not in `eggs`.
    """

    first: date
    last: date
    eggs: int
    hen_days: int
    strayed: int

    @property
    def per_hen_day(self) -> float | None:
        """Eggs per hen and day; ``None``, not zero, if no hen was there."""
        return self.eggs / self.hen_days if self.hen_days else None


def laying_rate(
    gathered: Iterable[Gathered], presences: Iterable[Presence], first: date, last: date
) -> LayingRate:
    """The laying from `first` to `last`. A day without a collection counts as a day without eggs.

    A hen told twice on one day counts once.

    Raises
    ------
    ValueError
        If `last` is before `first` or a count is below zero.
    """
    if last < first:
        raise ValueError("the last day is before the first")
    days_of: dict[Hashable, set[int]] = {}
    for presence in presences:
        begin = max(presence.first, first).toordinal()
        end = min(presence.last or last, last).toordinal()
        days_of.setdefault(presence.hen, set()).update(range(begin, end + 1))
    peopled = set().union(*days_of.values())
    eggs = strayed = 0
    for collection in gathered:
        if collection.eggs < 0:
            raise ValueError("fewer than no eggs cannot be gathered")
        if not first <= collection.on <= last:
            continue
        if collection.on.toordinal() in peopled:
            eggs += collection.eggs
        else:
            strayed += collection.eggs
    return LayingRate(first, last, eggs, sum(map(len, days_of.values())), strayed)


def weekly_rates(
    gathered: Sequence[Gathered], presences: Sequence[Presence], first: date, last: date
) -> tuple[LayingRate, ...]:
    """The laying of each week from Monday to Sunday, the first and last cut to the days asked for.

    Raises
    ------
    ValueError
        As in `laying_rate`.
    """
    if last < first:
        raise ValueError("the last day is before the first")
    rates = []
    monday = first - timedelta(first.weekday())
    while monday <= last:
        sunday = monday + timedelta(6)
        rates.append(laying_rate(gathered, presences, max(monday, first), min(sunday, last)))
        monday += timedelta(7)
    return tuple(rates)
