"""The days of a job that comes round: every so many days, weeks, months or years."""

import calendar
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum


class Unit(Enum):
    """What a job is counted in."""

    ONCE = "once"
    DAYS = "days"
    WEEKS = "weeks"
    MONTHS = "months"
    YEARS = "years"


@dataclass(frozen=True, slots=True)
class Recurrence:
    """A job due on `starts` and then every `count` units, up to and including `until` if that is said.

    A month without the day has its last day instead; the day itself is kept for the months that have it
    (31 January, 28 February, 31 March), and 29 February comes on the 28th of common years.

    Raises
    ------
    ValueError
        If `count` is below 1 or `until` before `starts`.
    """

    starts: date
    unit: Unit
    count: int = 1
    until: date | None = None

    def __post_init__(self) -> None:
        if self.count < 1:
            raise ValueError("a job comes round after one day, week, month or year at the least")
        if self.until is not None and self.until < self.starts:
            raise ValueError("a job cannot end before it begins")

    def between(self, first: date, last: date) -> tuple[date, ...]:
        """The days it is due from `first` to `last`, both included."""
        end = last if self.until is None else min(last, self.until)
        return tuple(_until(self._from(first), end))

    def next_from(self, day: date) -> date | None:
        """The first day it is due on `day` or later; ``None`` if never again."""
        found = next(self._from(day), None)
        return found if found and (self.until is None or found <= self.until) else None

    def _from(self, first: date) -> Iterator[date]:
        """The days it is due from `first` on, without end."""
        if self.unit is Unit.ONCE:
            if self.starts >= first:
                yield self.starts
            return
        if self.unit in (Unit.DAYS, Unit.WEEKS):
            step = self.count * (7 if self.unit is Unit.WEEKS else 1)
            turn = max(0, -((self.starts - first).days // step))
            while self.starts.toordinal() + turn * step <= date.max.toordinal():
                yield self.starts + timedelta(turn * step)
                turn += 1
            return
        months = self.count * (12 if self.unit is Unit.YEARS else 1)
        passed = (first.year - self.starts.year) * 12 + first.month - self.starts.month
        turn = max(0, passed // months)
        while (day := _months_later(self.starts, turn * months)) is not None:
            if day >= first:
                yield day
            turn += 1


def _months_later(day: date, months: int) -> date | None:
    """The same day so many months later, or the last of that month; ``None`` beyond the calendar."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > date.max.year:
        return None
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def _until(days: Iterator[date], end: date) -> Iterator[date]:
    for day in days:
        if day > end:
            return
        yield day
