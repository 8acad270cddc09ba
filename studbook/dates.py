"""Calendar dates with precision: "2019-05-04", "May 2019", "about 2019", unknown.

A partial date is a span from the earliest to the latest day it can mean. Comparing two of
them is certain, possible or impossible; only what is impossible is ever an error.

The text form is ISO 8601 (``2019-05-04``, ``2019-05``, ``2019``, empty for unknown), with the
``~`` of ISO 8601-2 behind it for "about".
"""

import calendar
import re
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum


class Precision(Enum):
    """How much of a date is known."""

    DAY = "day"
    MONTH = "month"
    YEAR = "year"
    UNKNOWN = "unknown"


_TEXT = re.compile(r"(\d{4})(?:-(\d{2}))?(?:-(\d{2}))?(~)?\Z")


@dataclass(frozen=True, slots=True)
class PartialDate:
    """A day, a month, a year or nothing, exactly or about.

    Attributes
    ----------
    year, month, day
        The known parts; ``None`` from the first unknown part on.
    about
        True when the keeper wrote "about": the span then reaches one unit further on both sides.
    """

    year: int | None = None
    month: int | None = None
    day: int | None = None
    about: bool = False

    def __post_init__(self) -> None:
        if self.year is None and (self.month or self.day or self.about):
            raise ValueError("a date without a year has no month, no day and no 'about'")
        if self.month is None and self.day is not None:
            raise ValueError("a date with a day needs its month")
        if self.year is not None:
            date(self.year, self.month or 1, self.day or 1)

    @classmethod
    def parse(cls, text: str) -> "PartialDate":
        """The date written as ISO 8601 in `text` (``2019-05~`` is about May 2019).

        Raises
        ------
        ValueError
            If `text` is no such date or the day is not in the calendar.
        """
        text = text.strip()
        if not text:
            return UNKNOWN_DATE
        found = _TEXT.match(text)
        if not found:
            raise ValueError(f"{text!r} is not a date such as 2019-05-04, 2019-05 or 2019")
        year, month, day, about = found.groups()
        return cls(int(year), int(month) if month else None, int(day) if day else None, bool(about))

    @classmethod
    def of(cls, day: date) -> "PartialDate":
        """Exactly `day`."""
        return cls(day.year, day.month, day.day)

    @property
    def precision(self) -> Precision:
        """How much is known."""
        if self.day:
            return Precision.DAY
        if self.month:
            return Precision.MONTH
        return Precision.YEAR if self.year else Precision.UNKNOWN

    @property
    def is_known(self) -> bool:
        """True when at least the year is known."""
        return self.year is not None

    @property
    def earliest(self) -> date:
        """The first day it can mean (``date.min`` when unknown)."""
        if self.year is None:
            return date.min
        year, month = self.year, self.month or 1
        if not self.about:
            return date(year, month, self.day or 1)
        if self.day:
            return date(year, month, self.day) - timedelta(days=3)
        if self.month:
            return date(year, month - 1, 1) if month > 1 else date(year - 1, 12, 1)
        return date(year - 1, 1, 1)

    @property
    def latest(self) -> date:
        """The last day it can mean (``date.max`` when unknown)."""
        if self.year is None:
            return date.max
        year, month = self.year, self.month or 12
        if self.day:
            return date(year, month, self.day) + timedelta(days=3 if self.about else 0)
        if self.about and self.month:
            year, month = (year, month + 1) if month < 12 else (year + 1, 1)
        elif self.about:
            year += 1
        return date(year, month, calendar.monthrange(year, month)[1])

    def is_certainly_before(self, other: "PartialDate") -> bool:
        """True when every day it can mean lies before every day `other` can mean."""
        return self.latest < other.earliest

    def __str__(self) -> str:
        if self.year is None:
            return ""
        parts = [f"{self.year:04d}", *(f"{part:02d}" for part in (self.month, self.day) if part)]
        return "-".join(parts) + ("~" if self.about else "")


UNKNOWN_DATE = PartialDate()
