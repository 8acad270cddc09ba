"""The tally of a week: a line for each pen in walking order, then one for each hen that is trap-nested.

The entry grid and the printed sheet both take their lines from `tally_rows`, so that a sheet filled by pencil is
typed in from top to bottom.
"""

from collections.abc import Collection as AnyOf
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from studbook.book.husbandry.rows import Collection, Husbandry
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.planning.eggs.walk import house_name, walking_order
from studbook.season.laying import Gathered, LayingRate, Presence, laying_rate
from studbook.season.species import all_species, species

WEEK_DAYS = 7

NESTED_DAYS = 14
"""A hen whose own eggs were gathered within so many days before is still being trap-nested."""


@dataclass(frozen=True, slots=True)
class Source:
    """Whose eggs are counted: those of a pen, or of one hen."""

    pen: PenId | None = None
    hen: BirdId | None = None


@dataclass(frozen=True, slots=True)
class TallyDay:
    """What was gathered of one source on a day, and how many hens of laying age were there.

    `hens` is ``None`` for a pen of which no stay was ever told.
    """

    on: date
    collections: tuple[Collection, ...]
    hens: int | None

    @property
    def eggs(self) -> int | None:
        """The eggs gathered; ``None``, not zero, if nothing was written down."""
        return sum(row.eggs for row in self.collections) if self.collections else None

    @property
    def is_doubtful(self) -> bool:
        """True for more eggs than a hen a day: not impossible, as a rule a slip."""
        return self.hens is not None and (self.eggs or 0) > self.hens


@dataclass(frozen=True, slots=True)
class TallyRow:
    """One line of the tally, from Monday to Sunday.

    Attributes
    ----------
    name, house
        Of a pen; both are empty for a hen, whose bird the snapshot knows.
    rate
        The laying over the days counted, a pen's with the eggs of its trap-nested hens; ``None`` if nothing was
        written down in the week.
    """

    source: Source
    name: str
    house: str
    days: tuple[TallyDay, ...]
    rate: LayingRate | None

    @property
    def total(self) -> int | None:
        """The eggs of the line; ``None`` if nothing was written down."""
        counts = [day.eggs for day in self.days if day.eggs is not None]
        return sum(counts) if counts else None


def monday(day: date) -> date:
    """The first day of the week of a day."""
    return day - timedelta(day.weekday())


def tally_rows(
    snapshot: Snapshot, week: date, today: date | None = None, also: AnyOf[BirdId] = ()
) -> tuple[TallyRow, ...]:
    """The lines of the week of a day.

    A pen is left out only if it is known to hold no hen of laying age and nothing was gathered in it. Rates count
    the days up to `today`, and `today` itself only once an egg of it is written down.

    Parameters
    ----------
    also
        Hens to be trap-nested although none of their eggs is written down yet.
    """
    week_view = _Week(snapshot, monday(week), today)
    pens = (week_view.of_pen(pen.id) for pen in walking_order(snapshot.husbandry) if week_view.shows(pen.id))
    hens = (week_view.of_hen(hen) for hen in week_view.nested(also))
    return (*pens, *hens)


class _Week:
    """The collections of one week, sorted by source."""

    def __init__(self, snapshot: Snapshot, first: date, today: date | None) -> None:
        self._snapshot = snapshot
        self._year: Husbandry = snapshot.husbandry
        self._days = tuple(first + timedelta(number) for number in range(WEEK_DAYS))
        self._first, self._sunday = self._days[0], self._days[-1]
        self._of: dict[tuple[Source, date], list[Collection]] = {}
        self._gathered: dict[PenId, list[Gathered]] = {}
        for day in self._days:
            for row in self._year.collections_on.get(day, ()):
                self._of.setdefault((Source(row.pen, row.hen), day), []).append(row)
                pen = row.pen if row.hen is None else pen_of_hen(self._year, row.hen, day)
                if pen is not None:
                    self._gathered.setdefault(pen, []).append(Gathered(day, row.eggs))
        self._last = self._last_counted(today)

    def _last_counted(self, today: date | None) -> date:
        if today is None or today > self._sunday:
            return self._sunday
        return today if self._year.collections_on.get(today) else today - timedelta(1)

    def shows(self, pen: PenId) -> bool:
        """True for a pen that has a line in this week."""
        if pen in self._gathered:
            return True
        closed = self._year.pens[pen].closed
        if closed is not None and closed < self._first:
            return False
        return pen not in self._year.stays_in or any(True for _hen in self._hens(pen))

    def nested(self, also: AnyOf[BirdId]) -> list[BirdId]:
        """The hens that are trap-nested, in the order of their pens."""
        year = self._year
        own = {
            row.hen
            for back in range(-NESTED_DAYS, WEEK_DAYS)
            for row in year.collections_on.get(self._first + timedelta(back), ())
            if row.hen is not None
        }
        for trial in year.trials.values():
            ends = trial.ends or trial.decided or date.max
            if trial.begun <= self._sunday and ends >= self._first:
                own.update(year.hens_of.get(trial.id, ()))
        known = [
            self._snapshot.bird(hen)
            for hen in {*own, *also}
            if self._snapshot.has(hen) and self._is_here(self._snapshot.bird(hen))
        ]
        places = {pen.id: number for number, pen in enumerate(walking_order(year))}

        def place(hen: Bird) -> tuple[int, str, str]:
            pen = pen_of_hen(year, hen.id, self._sunday) or pen_of_hen(year, hen.id, self._first)
            return (len(places) if pen is None else places[pen], hen.mark, hen.name)

        return [hen.id for hen in sorted(known, key=place)]

    def _is_here(self, hen: Bird) -> bool:
        """True for a hen of the flock in this week; one that left keeps the line of her eggs."""
        if not hen.left.is_known or hen.left.latest >= self._first:
            return True
        return any((Source(hen=hen.id), day) in self._of for day in self._days)

    def of_pen(self, pen: PenId) -> TallyRow:
        """The line of a pen."""
        there = tuple(self._hens(pen))
        return TallyRow(
            Source(pen=pen),
            self._year.pens[pen].name,
            house_name(self._year, pen),
            self._line(Source(pen=pen), there if pen in self._year.stays_in else None),
            self._rate(self._gathered.get(pen, []), there),
        )

    def of_hen(self, hen: BirdId) -> TallyRow:
        """The line of a hen."""
        source = Source(hen=hen)
        there = tuple(_days_in_flock(self._snapshot.bird(hen)))
        gathered = [Gathered(day, row.eggs) for day in self._days for row in self._of.get((source, day), ())]
        return TallyRow(source, "", "", self._line(source, there), self._rate(gathered, there))

    def _line(self, source: Source, there: tuple[Presence, ...] | None) -> tuple[TallyDay, ...]:
        return tuple(
            TallyDay(
                day,
                tuple(self._of.get((source, day), ())),
                count_on(there, day) if there is not None else None,
            )
            for day in self._days
        )

    def _rate(self, gathered: list[Gathered], there: tuple[Presence, ...]) -> LayingRate | None:
        if not gathered or self._last < self._first:
            return None
        return laying_rate(gathered, there, self._first, self._last)

    def _hens(self, pen: PenId) -> Iterator[Presence]:
        return hens_in(self._snapshot, pen, self._first, self._sunday)


def hens_in(snapshot: Snapshot, pen: PenId, first: date, last: date) -> Iterator[Presence]:
    """The hens of laying age in a pen between two days, each with the days she was there."""
    for stay in snapshot.husbandry.stays_in.get(pen, ()):
        if stay.since > last or (stay.until is not None and stay.until < first):
            continue
        if not snapshot.has(stay.bird):
            continue
        until = stay.until
        if until is not None and any(
            next_.since == until for next_ in snapshot.husbandry.stays_of[stay.bird] if next_ is not stay
        ):
            # on the day of a move her egg is gathered where she went
            until -= timedelta(1)
        for there in _days_in_flock(snapshot.bird(stay.bird)):
            begin = max(stay.since, there.first)
            ends = [day for day in (until, there.last) if day is not None]
            end = min(ends) if ends else None
            if begin <= last and (end is None or end >= max(first, begin)):
                yield Presence(stay.bird, begin, end)


def _days_in_flock(bird: Bird) -> Iterator[Presence]:
    """The days from laying age to leaving of a hen; none for any other bird."""
    if bird.sex is not Sex.HEN:
        return
    first = date.min
    if bird.hatched.is_known and bird.species in all_species():
        first = bird.hatched.earliest + timedelta(species(bird.species).laying_age_days)
    last = bird.left.latest if bird.left.is_known else None
    if last is None or last >= first:
        yield Presence(bird.id, first, last)


def count_on(there: Iterable[Presence], day: date) -> int:
    """How many hens were there on a day."""
    return len({hen.hen for hen in there if hen.first <= day and (hen.last is None or day <= hen.last)})


def pen_of_hen(year: Husbandry, hen: BirdId, day: date) -> PenId | None:
    """The pen a hen was in on a day."""
    stay = year.stay_on(hen, day)
    return stay.pen if stay is not None else None
