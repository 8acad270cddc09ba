"""What the page shows of one rotation, made on a worker."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from studbook.book.husbandry.choosing_rows import Rotation
from studbook.book.records import Bird, Snapshot
from studbook.desk.rooms.pairing.page import Kinship
from studbook.drawing.charts.years import YearChart, YearLine, YearPoint
from studbook.planning.sentences import Sentence
from studbook.words import _

if TYPE_CHECKING:
    from studbook.planning.bloodlines.methods import Method
    from studbook.planning.rotation.history import FamilyYear, RotationHistory
    from studbook.planning.rotation.scheme import Ask, Scheme

DayText = Callable[[date], str]


@dataclass(frozen=True)
class AskRow:
    """One bird with where it belongs."""

    ask: Ask
    bird: Bird
    home: str
    now: str
    to: str
    why: str
    known: str
    planned: date | None
    opened: tuple[Sentence, ...]


@dataclass(frozen=True)
class YearRow:
    """One family in one season."""

    year: FamilyYear
    pen: str
    cock: Bird | None
    cocks: str
    origin: str
    opened: tuple[Sentence, ...]


@dataclass(frozen=True)
class Answer:
    """A rotation with its sentences, its moves, its years and its picture."""

    rotation: Rotation
    scheme: Scheme
    history: RotationHistory
    summary: tuple[str, ...]
    families: tuple[tuple[str, tuple[Sentence, ...]], ...]
    season: tuple[Sentence, ...]
    deviations: tuple[Sentence, ...]
    asks: tuple[AskRow, ...]
    expected: tuple[Sentence, ...]
    years: tuple[YearRow, ...]
    chart: YearChart
    methods: tuple[Method, ...]


def answer(
    snapshot: Snapshot,
    kinship: Kinship,
    rotation: Rotation,
    species: str,
    season: int,
    today: date,
    day_text: DayText,
) -> Answer:
    """All that is shown of a rotation, by the cautious figures."""
    from studbook.planning.pens.naming import pen_name
    from studbook.planning.rotation.history import history_of
    from studbook.planning.rotation.methods import came_method, expectation_method
    from studbook.planning.rotation.scheme import scheme_of
    from studbook.planning.rotation.telling import (
        deviation_sentence,
        expectation_sentences,
        family_sentences,
        season_sentences,
        summary,
    )

    year = snapshot.husbandry
    related = kinship.asked(cautious=True)
    scheme = scheme_of(snapshot, rotation, species, season, today, related)
    history = history_of(snapshot, rotation, species, season, related)
    return Answer(
        rotation,
        scheme,
        history,
        summary(scheme, year, day_text),
        tuple(
            (pen_name(year, family.pen), family_sentences(scheme, family, snapshot))
            for family in scheme.families
        ),
        season_sentences(scheme, snapshot),
        tuple(deviation_sentence(one, scheme, snapshot) for one in scheme.deviations),
        _asks(scheme, snapshot),
        expectation_sentences(history),
        _years(history, snapshot),
        _chart(history),
        (expectation_method(history), came_method()),
    )


def _asks(scheme: Scheme, snapshot: Snapshot) -> tuple[AskRow, ...]:
    from studbook.planning.pens.naming import pen_name
    from studbook.planning.rotation.telling import ask_sentences, known_text, reason_text

    year = snapshot.husbandry
    if scheme.rotation.ended is not None:
        return ()
    return tuple(
        AskRow(
            ask,
            snapshot.bird(ask.bird),
            pen_name(year, ask.home.pen) if ask.home.pen is not None else "",
            pen_name(year, ask.now),
            pen_name(year, ask.to),
            reason_text(ask, year),
            known_text(ask) if ask.home.pen is not None else "",
            ask.planned.on if ask.planned is not None else None,
            ask_sentences(ask, year),
        )
        for ask in scheme.asks
    )


def _years(history: RotationHistory, snapshot: Snapshot) -> tuple[YearRow, ...]:
    from studbook.planning.pens.naming import pen_name
    from studbook.planning.rotation.telling import origin_text, year_sentences

    year = snapshot.husbandry
    return tuple(
        YearRow(
            row,
            pen_name(year, row.pen),
            snapshot.bird(row.cocks[0]) if row.cocks else None,
            _(", ").join(snapshot.bird(cock).called for cock in row.cocks),
            origin_text(row, year),
            year_sentences(row, history, snapshot),
        )
        for row in history.years
    )


def _chart(history: RotationHistory) -> YearChart:
    """F of the pullets by season beside the two expectations; the first point is the birds it began with."""
    hens = sum(history.hens)

    def line(name: str, shares: tuple[float, ...]) -> YearLine:
        points = tuple(
            YearPoint(history.first_season - 1 + generation, share, hens)
            for generation, share in enumerate(shares)
        )
        return YearLine(name, points, quiet=True)

    lines = [line(_("unrelated at first"), history.by_scheme)]
    if history.from_these is not None:
        lines.append(line(_("from your birds"), history.from_these))
    if history.came:
        points = tuple(YearPoint(row.season, row.mean, row.count, row.low, row.high) for row in history.came)
        lines.append(YearLine(_("what came"), points))
    return YearChart(_("F of the pullets, and what was to be expected"), tuple(lines), height=240.0)
