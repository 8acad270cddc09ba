"""Reading a date as a keeper types it: "4 Apr 2026", "2026-04-04", "Apr 2026", "2026", "about May 2019"."""

import re
from datetime import date, timedelta

from PySide6.QtCore import QLocale

from studbook.dates import UNKNOWN_DATE, PartialDate
from studbook.words import _, fold

_ABOUT = re.compile(r"^(?:~|ca?\.?(?=[\s\d])|circa|about|around)\s*")
_NUMBERS = re.compile(r"(\d{1,4})[./\s-](\d{1,2})[./\s-](\d{2,4})\Z")
_ISO = re.compile(r"\d{4}(-\d{1,2}){0,2}\Z")


def read_date(text: str, today: date) -> PartialDate:
    """The date meant by `text`; a day and month in figures are read in the locale's order.

    Raises
    ------
    ValueError
        In words a keeper can act on.
    """
    plain = " ".join(fold(text).replace(",", " ").split())
    if not plain:
        return UNKNOWN_DATE
    days_ago = {fold(_("today")): 0, fold(_("yesterday")): 1}.get(plain)
    if days_ago is not None:
        return PartialDate.of(today - timedelta(days=days_ago))
    about = bool(_ABOUT.match(plain)) or plain.endswith("~") or plain.startswith(fold(_("about")))
    plain = _ABOUT.sub("", plain).removeprefix(fold(_("about"))).rstrip("~").strip()
    year, month, day = _parts(plain)
    try:
        return PartialDate(year, month, day, about)
    except ValueError:
        raise ValueError(_("There is no such day in the calendar.")) from None


def _parts(plain: str) -> tuple[int, int | None, int | None]:
    plain = re.sub(r"\s*[年月]\s*", "-", plain).rstrip("日").strip("- ")
    if _ISO.match(plain):
        iso = [int(part) for part in plain.split("-")]
        return iso[0], iso[1] if len(iso) > 1 else None, iso[2] if len(iso) > 2 else None
    figures = _NUMBERS.match(plain)
    if figures:
        first, second, third = (int(part) for part in figures.groups())
        if _month_first():
            first, second = second, first
        return _full_year(third, figures.group(3)), second, first
    month: int | None = None
    numbers: list[str] = []
    for word in re.findall(r"\d+|[^\W\d_]+", plain):
        if word.isdigit():
            numbers.append(word)
        elif word not in ("st", "nd", "rd", "th", "of", "de"):
            if month is not None:
                raise _not_a_date()
            month = _month(word)
    if month is None or not 1 <= len(numbers) <= 2:
        raise _not_a_date()
    if len(numbers) == 1:
        return _full_year(int(numbers[0]), numbers[0]), month, None
    day, year = (numbers[1], numbers[0]) if len(numbers[0]) == 4 else (numbers[0], numbers[1])
    return _full_year(int(year), year), month, int(day)


def _not_a_date() -> ValueError:
    return ValueError(_("Write a date such as 4 Apr 2026, Apr 2026, 2026 or about May 2019."))


def _full_year(year: int, written: str) -> int:
    if len(written) == 4:
        return year
    if len(written) == 2:
        return 2000 + year
    raise ValueError(_("Write the year with four figures."))


def _month_first() -> bool:
    pattern = QLocale().dateFormat(QLocale.FormatType.ShortFormat)
    return 0 <= pattern.find("M") < pattern.find("d")


def _month(word: str) -> int:
    if len(word) >= 3:
        for locale in (QLocale(), QLocale(QLocale.Language.English)):
            for month in range(1, 13):
                if fold(locale.monthName(month)).startswith(word.rstrip(".")):
                    return month
    raise _not_a_date()
