"""The evening round: one walk through the houses, and of each only what it needs tonight."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from studbook.book.ids import HouseId
from studbook.book.records import Snapshot
from studbook.papers.sheets.sheet import Head, full_day, head_of
from studbook.papers.sheets.walk import Stop, birds_in, layers_in, stops
from studbook.words import _


@dataclass(frozen=True, slots=True)
class Blank:
    """A place to write a number: what it is of, and the number the book expects (None: say nothing)."""

    of: str
    expected: int | None = None


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One thing to do on the round.

    Attributes
    ----------
    house
        Where; None for what stands in no house.
    blanks
        Places to write a number; a line without any gets one long line to write on when `asks` is true.
    """

    text: str
    house: HouseId | None = None
    blanks: tuple[Blank, ...] = ()
    asks: bool = True


@dataclass(frozen=True, slots=True)
class RoundStop:
    """A house of the walk and what it needs."""

    house: str
    lines: tuple[RoundLine, ...]


@dataclass(frozen=True, slots=True)
class EveningRound:
    """The whole sheet, in walking order."""

    head: Head
    stops: tuple[RoundStop, ...]

    @property
    def template(self) -> str:
        return "evening_round.typ"

    @property
    def title(self) -> str:
        return _("Evening round, {day}").format(day=full_day(self.head.on))

    def data(self) -> Mapping[str, Any]:
        return {
            "words": {
                "title": _("Evening round"),
                "day": full_day(self.head.on),
                "none": _("The book has no houses and pens yet, and nothing is due tonight."),
                "caution": _(
                    "A bird that looks ill is set apart first and asked about after; a vet decides, and some diseases "
                    "must be reported."
                ),
                "notes": _("Seen on the way"),
                "expected": _("of {count}"),
            },
            "stops": [
                {"house": stop.house, "lines": [_line_data(line) for line in stop.lines]}
                for stop in self.stops
            ],
        }


def evening_round(snapshot: Snapshot, today: date, lines: Iterable[RoundLine]) -> EveningRound:
    """The round of an evening: the eggs and the birds of each house, with the `lines` the diary asks for between.

    A house in which nothing lives and of which nothing is asked is left out.
    """
    asked = tuple(lines)
    walk = stops(snapshot.husbandry, today)
    known = {stop.house.id for stop in walk if stop.house is not None}
    elsewhere = tuple(line for line in asked if line.house not in known)
    found = []
    for stop in walk:
        if stop.house is None:
            continue
        own = tuple(line for line in asked if line.house == stop.house.id)
        found.append(_stop(snapshot, stop, stop.house.name, own, today))
    alone = next((stop for stop in walk if stop.house is None), Stop(None, ()))
    found.append(_stop(snapshot, alone, _("Elsewhere") if known else _("The yard"), elsewhere, today))
    return EveningRound(head_of(snapshot, today), tuple(stop for stop in found if stop.lines))


def _stop(snapshot: Snapshot, stop: Stop, name: str, asked: Sequence[RoundLine], today: date) -> RoundStop:
    eggs = tuple(Blank(pen.name) for pen in stop.pens if layers_in(snapshot, pen.id, today))
    counts = tuple((pen, len(birds_in(snapshot, pen.id, today))) for pen in stop.pens)
    birds = tuple(Blank(pen.name, count) for pen, count in counts if count)
    house = stop.house.id if stop.house is not None else None
    lines = [RoundLine(_("Gather the eggs"), house, eggs)] if eggs else []
    lines += asked
    if birds:
        lines.append(RoundLine(_("Count the birds"), house, birds))
        lines.append(RoundLine(_("Shut the pop hole"), house, asks=False))
    return RoundStop(name, tuple(lines))


def _line_data(line: RoundLine) -> dict[str, Any]:
    return {
        "text": line.text,
        "asks": line.asks and not line.blanks,
        "blanks": [
            {"of": blank.of, "expected": "" if blank.expected is None else str(blank.expected)}
            for blank in line.blanks
        ],
    }
