"""The flock's own figures that a season is planned by: fertility, hatch, survival, laying and eggs under a broody."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import Enum
from statistics import median

from studbook.book.husbandry.rows import Husbandry, Sitting
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Snapshot, Status
from studbook.dates import Precision
from studbook.planning.eggs.outcome import batch_counts
from studbook.planning.eggs.week import hens_in, pen_of_hen
from studbook.planning.next_season.practice import Usual, UsualFigures, usual_figures
from studbook.planning.next_season.wish import Way
from studbook.planning.pens.weight import FOWL, takes_bantam_room, weight_class
from studbook.season.backwards import Chain, Rate, rate_between, rate_of_practice
from studbook.season.binomial import Interval, interval
from studbook.season.laying import Gathered, laying_rate
from studbook.season.practice import WeightClass

LAYING_SEASONS = 2
"""How many seasons back the laying is counted: hens and pens of older ones are hardly the same."""

LAYING_DAYS = 84
"""Laying is counted over the twelve weeks before the last day of setting, in each of those seasons."""

_FEW_SITTINGS = 3
_FEW_HEN_DAYS = 100


class Step(Enum):
    """The steps of an egg's way whose shares are reckoned with."""

    FERTILE = "fertile"
    HATCHED = "hatched"
    REARED = "reared"


@dataclass(frozen=True, slots=True)
class SeasonCount:
    """What one season tells of a step: so many of so many got through."""

    season: int
    reached: int
    of: int


@dataclass(frozen=True, slots=True)
class StepFigure:
    """What is believed of one step, and why.

    Attributes
    ----------
    seasons
        What the book tells, season by season.
    seen
        All seasons together with the exact interval.
    rate
        What is reckoned with.
    correlation
        How much seasons differ beyond chance, 0 to 1.
    usual
        The usual figure, where it stands in for too few of the book's own; None otherwise.
    own
        The share the keeper reckons with instead; None otherwise.
    left_out
        Eggs of trials, or birds that were parted with before they were old enough to choose.
    way
        The way of hatching the figures are of; None for all ways.
    """

    step: Step
    seasons: tuple[SeasonCount, ...]
    seen: Interval
    rate: Rate
    correlation: float
    usual: Usual | None = None
    left_out: int = 0
    way: Way | None = None
    own: float | None = None


@dataclass(frozen=True, slots=True)
class LayingFigure:
    """Eggs per hen and day in the weeks of setting; `usual` where the book tells too little."""

    per_hen_day: float
    eggs: int
    hen_days: int
    seasons: tuple[int, ...]
    usual: Usual | None = None


@dataclass(frozen=True, slots=True)
class BroodyFigure:
    """Eggs under one broody: the middle of what was set under them; `usual` where there were too few sittings."""

    eggs: int
    sittings: int
    kind: WeightClass
    usual: Usual | None = None


@dataclass(frozen=True)
class FlockFigures:
    """All that a season of one species is planned by.

    Attributes
    ----------
    broody
        None where the species does not brood.
    kind
        How heavy the hens of the flock are.
    is_small
        True for bantams and birds as small as they are.
    """

    species: str
    fertile: StepFigure
    hatched: StepFigure
    reared: StepFigure
    laying: LayingFigure
    broody: BroodyFigure | None
    usual: UsualFigures
    kind: WeightClass
    is_small: bool

    @property
    def chain(self) -> Chain:
        """The rates of an egg's way."""
        return Chain(self.fertile.rate, self.hatched.rate, self.reared.rate)

    @property
    def steps(self) -> tuple[StepFigure, StepFigure, StepFigure]:
        """The three steps in the order of time."""
        return (self.fertile, self.hatched, self.reared)


def flock_figures(
    snapshot: Snapshot, species: str, way: Way, last_set: date, today: date, age_days: int
) -> FlockFigures:
    """What the book tells of a species, and the usual where it tells too little.

    Parameters
    ----------
    way
        The figures of hatching are of this way alone where there are enough.
    last_set
        The last day eggs may be set: laying is counted over the weeks before it in earlier seasons.
    age_days
        From which age young birds count as reared.
    """
    usual = usual_figures(species)
    flock = [bird for bird in snapshot.living if bird.species == species]
    kind, small = _kind(flock, species)
    return FlockFigures(
        species,
        _fertile(snapshot.husbandry, species, usual),
        _hatched(snapshot.husbandry, species, way, usual),
        _reared(snapshot, species, today, age_days, usual),
        _laying(snapshot, species, last_set, today, usual),
        _broody(snapshot, species, kind, usual),
        usual,
        kind,
        small,
    )


def with_own(found: StepFigure, share: float | None, usual: UsualFigures) -> StepFigure:
    """A step with the share the keeper reckons with, believed as firmly as a usual figure."""
    if share is None:
        return found
    rate = rate_of_practice(share, usual.weight)
    return replace(found, rate=rate, correlation=0.0, usual=None, own=share)


def _kind(flock: Iterable[Bird], species: str) -> tuple[WeightClass, bool]:
    """How heavy most birds of a flock are, and whether most are as small as bantams."""
    birds = list(flock)
    small = 2 * sum(takes_bantam_room(bird) for bird in birds) > len(birds)
    if species != FOWL:
        return WeightClass.BANTAM if small else WeightClass.MEDIUM, small
    counts = Counter(weight_class(bird) for bird in birds)
    return (counts.most_common(1)[0][0] if counts else WeightClass.MEDIUM), small


def _fertile(year: Husbandry, species: str, usual: UsualFigures) -> StepFigure:
    """Eggs seen fertile of those seen, without those of trials, which judge single cocks early in the year."""
    found: dict[int, tuple[int, int]] = {}
    left_out = 0
    for batch in year.batches.values():
        sitting = year.sittings[batch.sitting]
        if sitting.species != species:
            continue
        counts = batch_counts(year, batch)
        seen = counts.fertile + counts.clear
        if batch.trial is not None:
            left_out += seen
        else:
            _add(found, sitting.set_on.year, counts.fertile, seen)
    return _figure(Step.FERTILE, found, usual.fertile, usual, left_out)


def _hatched(year: Husbandry, species: str, way: Way, usual: UsualFigures) -> StepFigure:
    """Chicks hatched of the fertile eggs, in sittings that are over."""
    of_way: dict[int, tuple[int, int]] = {}
    of_all: dict[int, tuple[int, int]] = {}
    left_out = 0
    for batch in year.batches.values():
        sitting = year.sittings[batch.sitting]
        if sitting.species != species or any(year.eggs_left(other) for other in year.batches_of[sitting.id]):
            continue
        counts = batch_counts(year, batch)
        if not counts.is_over:
            continue
        if batch.trial is not None:
            left_out += counts.fertile
            continue
        _add(of_all, sitting.set_on.year, counts.hatched, counts.fertile)
        if way_of(sitting) is way:
            _add(of_way, sitting.set_on.year, counts.hatched, counts.fertile)
    if _seen(of_way) >= usual.fewest:
        return _figure(Step.HATCHED, of_way, usual.hatched, usual, left_out, way)
    return _figure(Step.HATCHED, of_all, usual.hatched, usual, left_out)


def way_of(sitting: Sitting) -> Way | None:
    """Under what the eggs of a sitting lie; None when it is not told."""
    if sitting.machine is not None:
        return Way.MACHINE
    return Way.BROODY if sitting.broody is not None else None


def _reared(snapshot: Snapshot, species: str, today: date, age_days: int, usual: UsualFigures) -> StepFigure:
    """Home-hatched chicks that lived to the age at which one chooses, of seasons that have come to it.

    Chicks that died on their first day and never entered the book are counted with those that did. A bird that was
    sold, given or culled before that age was not lost and not reared: it is left out.
    """
    found: dict[int, tuple[int, int]] = {}
    left_out = 0
    for bird in snapshot.birds:
        hatched = bird.hatched
        if bird.species != species or bird.is_founder or bird.placeholder:
            continue
        if hatched.precision not in (Precision.DAY, Precision.MONTH) or hatched.year is None:
            continue
        if hatched.latest + timedelta(age_days) > today:
            continue
        grown = not bird.left.is_known or bird.left.latest >= hatched.earliest + timedelta(age_days)
        if grown or bird.status in (Status.LIVING, Status.LENT):
            _add(found, hatched.year, 1, 1)
        elif bird.status in (Status.DIED, Status.LOST):
            _add(found, hatched.year, 0, 1)
        else:
            left_out += 1
    for season, died in _first_day(snapshot, species, today, age_days).items():
        _add(found, season, 0, died)
    return _figure(Step.REARED, found, usual.reared, usual, left_out)


def _first_day(snapshot: Snapshot, species: str, today: date, age_days: int) -> Mapping[int, int]:
    """Chicks that died on their first day and are not in the book as birds."""
    year = snapshot.husbandry
    found: Counter[int] = Counter()
    for batch in year.batches.values():
        sitting = year.sittings[batch.sitting]
        if sitting.species != species or sitting.set_on + timedelta(age_days) > today:
            continue
        hatched = year.hatched(batch.id)
        died = sum(fate.died for fate in year.fates_of.get(batch.id, ()))
        # those that are in the book are counted there
        found[sitting.set_on.year] += max(0, min(died, hatched - len(year.birds_of.get(batch.id, ()))))
    return found


def _laying(
    snapshot: Snapshot, species: str, last_set: date, today: date, usual: UsualFigures
) -> LayingFigure:
    """Eggs per hen and day of the hens in pens, over the weeks before the last day of setting."""
    year = snapshot.husbandry
    eggs = hen_days = 0
    seasons: list[int] = []
    for back in range(1, LAYING_SEASONS + 3):
        if len(seasons) == LAYING_SEASONS:
            break
        last = min(_years_back(last_set, back), today - timedelta(1))
        first = last - timedelta(LAYING_DAYS - 1)
        gathered = _gathered(year, first, last)
        found = False
        for pen, of_pen in gathered.items():
            hens = [
                there
                for there in hens_in(snapshot, pen, first, last)
                if snapshot.bird(BirdId(str(there.hen))).species == species
            ]
            if hens:
                rate = laying_rate(of_pen, hens, min(row.on for row in of_pen), max(row.on for row in of_pen))
                eggs, hen_days, found = eggs + rate.eggs, hen_days + rate.hen_days, True
        if found:
            seasons.append(last.year)
    if hen_days < _FEW_HEN_DAYS:
        return LayingFigure(usual.laying.value, eggs, hen_days, tuple(sorted(seasons)), usual.laying)
    return LayingFigure(eggs / hen_days, eggs, hen_days, tuple(sorted(seasons)))


def _gathered(year: Husbandry, first: date, last: date) -> dict[PenId, list[Gathered]]:
    """The eggs gathered in each pen between two days, with those of its trap-nested hens."""
    found: dict[PenId, list[Gathered]] = {}
    for on, rows in year.collections_on.items():
        if first <= on <= last:
            for row in rows:
                pen = row.pen if row.hen is None else pen_of_hen(year, row.hen, on)
                if pen is not None:
                    found.setdefault(pen, []).append(Gathered(on, row.eggs))
    return found


def _broody(snapshot: Snapshot, species: str, kind: WeightClass, usual: UsualFigures) -> BroodyFigure | None:
    year = snapshot.husbandry
    told = usual.under(kind)
    sizes = [
        sum(batch.eggs for batch in year.batches_of.get(sitting.id, ()))
        for sitting in year.sittings.values()
        if sitting.species == species and sitting.broody is not None and sitting.second_broody is None
    ]
    sizes = [size for size in sizes if size]
    if len(sizes) >= _FEW_SITTINGS:
        return BroodyFigure(max(1, round(median(sizes))), len(sizes), kind)
    return BroodyFigure(int(told.value), len(sizes), kind, told) if told is not None else None


def _years_back(day: date, years: int) -> date:
    try:
        return day.replace(year=day.year - years)
    except ValueError:
        return day.replace(year=day.year - years, day=28)


def _add(found: dict[int, tuple[int, int]], season: int, reached: int, of: int) -> None:
    if of:
        before = found.get(season, (0, 0))
        found[season] = (before[0] + reached, before[1] + of)


def _seen(found: Mapping[int, tuple[int, int]]) -> int:
    return sum(of for _reached, of in found.values())


def _figure(
    step: Step,
    found: Mapping[int, tuple[int, int]],
    told: Usual,
    usual: UsualFigures,
    left_out: int,
    way: Way | None = None,
) -> StepFigure:
    seasons = tuple(SeasonCount(season, *found[season]) for season in sorted(found))
    reached, of = sum(row.reached for row in seasons), sum(row.of for row in seasons)
    seen = interval(reached, of)
    if of < usual.fewest:
        rate = rate_of_practice(told.value, usual.weight)
        return StepFigure(step, seasons, seen, rate, 0.0, told, left_out, way)
    between = rate_between([(row.reached, row.of) for row in seasons])
    return StepFigure(step, seasons, seen, between.rate, between.correlation, None, left_out, way)
