"""Dates as people write them in lists, and the order of day and month in a column of them."""

import calendar
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from functools import lru_cache

from studbook.book.importing.values import is_unknown_word
from studbook.dates import UNKNOWN_DATE, PartialDate


class DateOrder(StrEnum):
    """Which part of a date written in figures comes first."""

    DMY = "DMY"
    MDY = "MDY"
    YMD = "YMD"


_ABOUT = re.compile(r"(?:~|≈|about|abt\.?|approximately|approx\.?|around|circa|ca\.?|c\.)\s*", re.IGNORECASE)
_TIME = re.compile(r"[T ]\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:?\d{2})?\Z", re.ASCII)
_FIGURES = re.compile(r"(\d{1,4})\s*([/.\- ])\s*(\d{1,2})\s*\2\s*(\d{1,4})\.?", re.ASCII)
_MONTH_YEAR = re.compile(r"(\d{1,2})\s*[/.\-]\s*(\d{4})", re.ASCII)
_YEAR_MONTH = re.compile(r"(\d{4})\s*[/.\-]\s*(\d{1,2})", re.ASCII)
_DAY_WORD_YEAR = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th)?\.?[\s\-/.]*(?:of\s+)?([a-z]{3,9})\.?[\s\-/.,]*(\d{4}|\d{2})", re.ASCII
)
_WORD_DAY_YEAR = re.compile(r"([a-z]{3,9})\.?[\s\-]*(\d{1,2})(?:st|nd|rd|th)?[\s\-,]+(\d{4})", re.ASCII)
_WORD_YEAR = re.compile(r"([a-z]{3,9})\.?[\s\-/.,]*(\d{4})", re.ASCII)
_YEAR = re.compile(r"\d{4}", re.ASCII)
_SERIAL = re.compile(r"\d{5}(\.0+)?", re.ASCII)

# day 0 of spreadsheets' day numbers, which count a 29 February 1900 that never was
_SERIAL_START = date(1899, 12, 30)

# English names on purpose, whatever language the program speaks: they are what lists of the trade carry
_MONTH_NAMES = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
_MONTHS = {"sept": 9} | {
    name[:length]: number for number, name in enumerate(_MONTH_NAMES, start=1) for length in (3, len(name))
}


@lru_cache(maxsize=65536)
def date_readings(text: str) -> Mapping[DateOrder, PartialDate]:
    """What `text` means under each order it can be read in.

    Only a date in three groups of figures differs between orders. Of two figures, a year up to 68 is in this
    century (the POSIX convention).

    Raises
    ------
    ValueError
        If it is no date at all.
    """
    text = " ".join(_TIME.sub("", text.strip()).split())
    if not text or is_unknown_word(text):
        return _always(UNKNOWN_DATE)
    about = False
    if lead := _ABOUT.match(text):
        about, text = True, text[lead.end() :]
    elif text.endswith(("~", "?")):
        about, text = True, text[:-1].rstrip()
    if figures := _FIGURES.fullmatch(text):
        return _in_figures(figures[1], figures[3], figures[4], about)
    return _always(_plain(text.casefold(), about))


def _plain(text: str, about: bool) -> PartialDate:
    """A date that reads the same in every order."""
    if _YEAR.fullmatch(text):
        return _checked(int(text), None, None, about)
    if found := _YEAR_MONTH.fullmatch(text):
        return _checked(int(found[1]), int(found[2]), None, about)
    if found := _MONTH_YEAR.fullmatch(text):
        return _checked(int(found[2]), int(found[1]), None, about)
    if found := _DAY_WORD_YEAR.fullmatch(text):
        return _checked(_full_year(found[3]), _month(found[2]), int(found[1]), about)
    if found := _WORD_DAY_YEAR.fullmatch(text):
        return _checked(int(found[3]), _month(found[1]), int(found[2]), about)
    if found := _WORD_YEAR.fullmatch(text):
        return _checked(int(found[2]), _month(found[1]), None, about)
    if _SERIAL.fullmatch(text):
        day = _SERIAL_START + timedelta(days=int(float(text)))
        return _checked(day.year, day.month, day.day, about)
    raise ValueError(f"{text!r} is no date")


def _in_figures(first: str, second: str, third: str, about: bool) -> Mapping[DateOrder, PartialDate]:
    if len(first) >= 3:
        # year first is never followed by the day
        return _always(_checked(int(first), int(second), int(third), about))
    orders = {
        DateOrder.DMY: (third, second, first),
        DateOrder.MDY: (third, first, second),
        DateOrder.YMD: (first, second, third),
    }
    found: dict[DateOrder, PartialDate] = {}
    for order, (year, month, day) in orders.items():
        if len(day) > 2 or len(year) not in (2, 4):
            continue
        try:
            found[order] = _checked(_full_year(year), int(month), int(day), about)
        except ValueError:
            continue
    if not found:
        raise ValueError(f"{first}/{second}/{third} is no date")
    return found


def _always(day: PartialDate) -> Mapping[DateOrder, PartialDate]:
    return dict.fromkeys(DateOrder, day)


def _full_year(text: str) -> int:
    year = int(text)
    if len(text) == 4:
        return year
    return year + (2000 if year <= 68 else 1900)


def _month(word: str) -> int:
    if word not in _MONTHS:
        raise ValueError(f"{word!r} is no month")
    return _MONTHS[word]


def _checked(year: int, month: int | None, day: int | None, about: bool) -> PartialDate:
    if not 1800 <= year <= 2199:
        raise ValueError(f"{year} is no year of a bird")
    if month is not None and not 1 <= month <= 12:
        raise ValueError(f"{month} is no month")
    if month and day is not None and not 1 <= day <= calendar.monthrange(year, month)[1]:
        raise ValueError(f"{day} is no day of that month")
    return PartialDate(year, month, day, about)


@dataclass(frozen=True, slots=True)
class Settled:
    """The order of a column of dates.

    Attributes
    ----------
    order
        The order its dates are written in; None while nothing decides.
    is_question
        True when the dates mean different days in different orders and nothing decides.
    misfits
        The texts that cannot be read in `order`, though others of the column prove it.
    """

    order: DateOrder | None
    is_question: bool = False
    misfits: frozenset[str] = frozenset()


def settle_order(texts: Iterable[str]) -> Settled:
    """The order in which the dates `texts` of one column are written; each must be a date in some order.

    A date that only one order can read decides for its column. Where dates contradict each other, the
    order that fits most of them stands and the rest are misfits. Two figures for the year count as standing
    last (common practice), unless that gives no date.
    """
    count = Counter(texts)
    evidence = {text: _likely(readings) for text in count if _differs(readings := date_readings(text))}
    if not evidence:
        return Settled(None)
    common = frozenset(DateOrder).intersection(*evidence.values())
    if not common:
        fits = Counter(dict.fromkeys(DateOrder, 0))
        for text, orders in evidence.items():
            fits.update(dict.fromkeys(orders, count[text]))
        best = max(DateOrder, key=lambda order: fits[order])
        return Settled(
            best, misfits=frozenset(text for text, orders in evidence.items() if best not in orders)
        )
    if len(common) == 1:
        return Settled(next(iter(common)))
    is_same = all(len({date_readings(text)[order] for order in common}) == 1 for text in evidence)
    return Settled(min(common) if is_same else None, is_question=not is_same)


def _differs(readings: Mapping[DateOrder, PartialDate]) -> bool:
    return len(readings) < len(DateOrder) or len(set(readings.values())) > 1


def _likely(readings: Mapping[DateOrder, PartialDate]) -> frozenset[DateOrder]:
    year_last = frozenset(readings) - {DateOrder.YMD}
    return year_last or frozenset(readings)
