"""The days of a season planned backwards: when to set how many eggs, from when to collect, when cocks join the hens.

Eggs of one week are set together. The last lot is set on the last day that still gives birds old enough to choose;
the others lie a week apart before it, as far as the laying and the places under hens or in machines allow.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from studbook.season.incubation import Incubation, IncubationPlan, plan

MOST_SETTINGS = 40


@dataclass(frozen=True, slots=True)
class Lying:
    """Eggs that lie in a machine from one day until another."""

    since: date
    until: date
    eggs: int


@dataclass(frozen=True, slots=True)
class Means:
    """What a season is done with.

    Attributes
    ----------
    hens
        How many hens lay.
    eggs_per_hen_day, fit
        Their laying, and the share of the eggs that are fit to set.
    keep_days
        How many days an egg is kept at most before it is set.
    places
        The eggs that lie in machines at one time; None for broodies or where it is not told.
    per_broody
        The eggs under one broody; None in machines.
    lying
        Eggs that lie in the machines already.
    """

    hens: int
    eggs_per_hen_day: float
    fit: float
    keep_days: int
    places: int | None = None
    per_broody: int | None = None
    lying: tuple[Lying, ...] = ()

    @property
    def eggs_per_lot(self) -> int:
        """The eggs fit to set that are laid in the days one lot is kept."""
        return math.floor(self.hens * self.eggs_per_hen_day * self.fit * self.keep_days + 1e-9)


@dataclass(frozen=True, slots=True)
class Setting:
    """One lot of eggs.

    Attributes
    ----------
    collect_from
        The first day of which eggs are kept for it.
    sittings
        How many sittings it makes: broodies, or 1 in a machine.
    plan
        Its days of incubation.
    ready
        The day the youngest of its chicks are old enough to choose.
    """

    eggs: int
    collect_from: date
    sittings: int
    plan: IncubationPlan
    ready: date

    @property
    def set_on(self) -> date:
        """The day it is set."""
        return self.plan.set_on


@dataclass(frozen=True, slots=True)
class Schedule:
    """All lots of a season in the order of time.

    Attributes
    ----------
    join
        The day by which cocks and hens are together, so that the first egg kept is fertile by him; a longer wait
        where the hens ran with another cock.
    missing
        Eggs that no lot takes: the hens do not lay enough, or there is no place for them.
    late
        Eggs of lots that would have had to be set before today.
    """

    settings: tuple[Setting, ...]
    last_set: date
    join: date | None
    missing: int
    late: int

    @property
    def eggs(self) -> int:
        """The eggs that are set."""
        return sum(setting.eggs for setting in self.settings)

    @property
    def sittings(self) -> int:
        """The sittings they make."""
        return sum(setting.sittings for setting in self.settings)

    @property
    def collect_from(self) -> date | None:
        """The first day of which eggs are kept."""
        return min((setting.collect_from for setting in self.settings), default=None)

    @property
    def collecting_days(self) -> int:
        """The days on which eggs are kept, first to last."""
        if not self.settings:
            return 0
        return (self.settings[-1].set_on - self.settings[0].collect_from).days


def last_setting(choose_on: date, kind: Incubation, age_days: int) -> date:
    """The last day eggs may be set for all their chicks to be old enough on `choose_on`."""
    return choose_on - timedelta(kind.last_day + age_days)


def schedule(
    eggs: int, means: Means, kind: Incubation, choose_on: date, age_days: int, today: date, covered_days: int
) -> Schedule:
    """The lots that many eggs make, counted backwards from the day one chooses.

    `covered_days` is how long a cock is with his hens before their eggs count as fertile.
    """
    last = last_setting(choose_on, kind, age_days)
    settings, left = _lots(eggs, means.eggs_per_lot, means, kind, last, age_days)
    if means.per_broody is not None and means.eggs_per_lot >= means.per_broody:
        # whole sittings: no broody sits on the two eggs that were left
        whole = means.eggs_per_lot - means.eggs_per_lot % means.per_broody
        settings, left = _lots(eggs, whole, means, kind, last, age_days)
    elif settings and not left:
        even, rest = _lots(eggs, math.ceil(eggs / len(settings)), means, kind, last, age_days)
        if not rest and len(even) == len(settings):
            settings = even
    late = sum(setting.eggs for setting in settings if setting.set_on < today)
    join = settings[0].collect_from - timedelta(covered_days) if settings else None
    return Schedule(tuple(settings), last, join, left, late)


def _lots(
    eggs: int, most: int, means: Means, kind: Incubation, last: date, age_days: int
) -> tuple[list[Setting], int]:
    """The lots of at most so many eggs, in the order of time, and the eggs no lot takes."""
    settings: list[Setting] = []
    left, day = eggs, last
    while left and most and means.places != 0 and len(settings) < MOST_SETTINGS:
        number = min(left, most, _free(means, settings, day, kind))
        if number > 0:
            settings.append(_setting(number, day, means, kind, age_days))
            left -= number
        day -= timedelta(means.keep_days)
    return settings[::-1], left


def _free(means: Means, settings: Sequence[Setting], day: date, kind: Incubation) -> int:
    """The places in machines that are free for a lot set on a day, beside those set after it."""
    if means.places is None:
        return max(means.eggs_per_lot, 0)
    hatched = day + timedelta(kind.last_day)
    taken = sum(setting.eggs for setting in settings if setting.set_on < hatched)
    taken += sum(lot.eggs for lot in means.lying if lot.since < hatched and day < lot.until)
    return means.places - taken


def _setting(eggs: int, day: date, means: Means, kind: Incubation, age_days: int) -> Setting:
    sittings = 1 if means.per_broody is None else math.ceil(eggs / means.per_broody)
    days = plan(day, kind)
    # the fewest days of collecting that this many eggs take
    per_day = means.hens * means.eggs_per_hen_day * means.fit
    kept = max(1, min(means.keep_days, math.ceil(eggs / per_day - 1e-9)))
    return Setting(eggs, day - timedelta(kept), sittings, days, days.due_last + timedelta(age_days))
