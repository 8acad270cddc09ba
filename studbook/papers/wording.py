"""How papers write dates, shares and marks: in words, in the user's language."""

from studbook.book.records import Mark
from studbook.book.wording import mark_kind_word
from studbook.dates import PartialDate
from studbook.words import _


def date_text(when: PartialDate) -> str:
    """The date as a person writes it: ``14 April 2021``, ``about May 2019``, ``2017``; empty when unknown."""
    if when.year is None:
        return ""
    if when.month is None:
        text = str(when.year)
    elif when.day is None:
        text = _("{month} {year}").format(month=_month(when.month), year=when.year)
    else:
        text = _("{day} {month} {year}").format(day=when.day, month=_month(when.month), year=when.year)
    return _("about {date}").format(date=text) if when.about else text


def year_text(when: PartialDate) -> str:
    """The year alone, with its "about" when only the year is known at all."""
    if when.year is None:
        return ""
    return date_text(PartialDate(when.year, about=when.about and when.month is None))


def mark_text(mark: Mark) -> str:
    """A mark with its kind, colour, size and place: ``ring W21-04, blue, left leg``."""
    kind = mark_kind_word(mark.kind)
    first = _("{kind} {code}").format(kind=kind, code=mark.code) if mark.code else kind
    return ", ".join(part for part in (first, mark.colour, mark.size, mark.place) if part)


def _month(number: int) -> str:
    return (
        _("January"),
        _("February"),
        _("March"),
        _("April"),
        _("May"),
        _("June"),
        _("July"),
        _("August"),
        _("September"),
        _("October"),
        _("November"),
        _("December"),
    )[number - 1]
