"""What every sheet of the yard shares: whose yard, which day, and the press."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol

from studbook.book.records import Bird, Snapshot
from studbook.dates import PartialDate
from studbook.papers import press
from studbook.papers.wording import date_text
from studbook.planning.candidates import kind_of
from studbook.words import _

PAPERS = {"A4": "a4", "Letter": "us-letter"}


@dataclass(frozen=True, slots=True)
class Head:
    """What stands on every sheet of a book: the yard (else its keeper) and the day it was printed for."""

    yard: str
    on: date


class Sheet(Protocol):
    """The content of a sheet: facts, no layout.

    Attributes
    ----------
    template
        The file of ``resources/papers`` that prints it.
    title
        What the document is called.
    head
        Whose yard, which day.
    """

    @property
    def template(self) -> str: ...

    @property
    def title(self) -> str: ...

    @property
    def head(self) -> Head: ...

    def data(self) -> Mapping[str, Any]:
        """Every word of the sheet, in the user's language, as its template reads it."""


@dataclass(frozen=True, slots=True)
class BirdLine:
    """A bird as it is always written, shape, mark, name, and in words what it is."""

    shape: str
    mark: str
    name: str
    described: str

    def data(self) -> dict[str, str]:
        """The same for a template."""
        return {"shape": self.shape, "mark": self.mark, "name": self.name, "described": self.described}


def head_of(snapshot: Snapshot, on: date) -> Head:
    """The head of the sheets of a book."""
    return Head(snapshot.details.yard or snapshot.details.keeper, on)


def bird_line(bird: Bird, on: date) -> BirdLine:
    """The line of a bird on a day."""
    described = (kind_of(bird).what_called(bird.sex.value, bird.hatched, on), bird.colour, bird.breed)
    name = bird.name or ("" if bird.mark else bird.called)
    return BirdLine(bird.sex.value, bird.mark, name, ", ".join(part for part in described if part))


def named(bird: Bird) -> str:
    """Name and mark in a sentence, as much as there is."""
    if bird.name and bird.mark:
        return _("{name} ({mark})").format(name=bird.name, mark=bird.mark)
    return bird.called if bird.mark or not bird.name else bird.name


def full_day(day: date) -> str:
    """A day with its weekday: ``Sunday, 14 February 2027``."""
    return _("{weekday}, {date}").format(
        weekday=weekdays()[day.weekday()], date=date_text(PartialDate.of(day))
    )


def plain_day(day: date) -> str:
    """A day without its weekday: ``14 February 2027``."""
    return date_text(PartialDate.of(day))


def short_day(day: date) -> str:
    """A day for the head of a column: ``Sun 14``."""
    return _("{weekday} {day}").format(weekday=short_weekdays()[day.weekday()], day=day.day)


def weekdays() -> tuple[str, ...]:
    """The days of the week, Monday first."""
    return (
        _("Monday"),
        _("Tuesday"),
        _("Wednesday"),
        _("Thursday"),
        _("Friday"),
        _("Saturday"),
        _("Sunday"),
    )


def short_weekdays() -> tuple[str, ...]:
    """The same for a narrow column."""
    return (_("Mon"), _("Tue"), _("Wed"), _("Thu"), _("Fri"), _("Sat"), _("Sun"))


def render_sheet(sheet: Sheet, paper: str = "A4") -> bytes:
    """The sheet as PDF/A-2b, ``A4`` or ``Letter``; the same content gives the same bytes.

    Raises
    ------
    Unprintable
        If no font has a character.
    """
    return press.print_pdf(sheet.template, _printed(sheet, paper))


def preview_sheet(
    sheet: Sheet, paper: str = "A4", picture_format: str = "svg", ppi: float = press.PREVIEW_PPI
) -> tuple[bytes, ...]:
    """The same pages as pictures, ``svg`` or ``png``.

    Raises
    ------
    Unprintable
        As `render_sheet` does.
    """
    return press.preview(sheet.template, _printed(sheet, paper), None, picture_format, ppi)


def _printed(sheet: Sheet, paper: str) -> dict[str, Any]:
    on = sheet.head.on
    return {
        "paper": PAPERS[paper],
        "look": press.look(),
        "document": {
            "title": sheet.title,
            "author": sheet.head.yard,
            "date": [on.year, on.month, on.day],
        },
        "foot": {
            "yard": sheet.head.yard,
            "printed": _("printed for {day}").format(day=plain_day(on)),
            "page": _("page {page} of {pages}"),
        },
        **sheet.data(),
    }
