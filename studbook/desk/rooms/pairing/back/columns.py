"""The pens of a plan as a table: foreseen and come, side by side."""

from collections.abc import Callable
from dataclasses import dataclass

from studbook.book.records import Bird
from studbook.desk.tables import Column, Paint
from studbook.desk.wording import MISSING, bird_text, percent_text
from studbook.planning.looking_back.report import PenBack
from studbook.words import _


@dataclass(frozen=True)
class PenLine:
    """One pen of the table, with what it and its hens are called, and its cock."""

    number: int
    called: str
    cock: Bird | None
    hens: str
    pen: PenBack


def columns() -> tuple[Column[PenLine], ...]:
    """The columns of the table."""
    return (
        Column("pen", _("Pen"), lambda line: line.called, width=16),
        Column(
            "cock",
            _("Cock"),
            lambda line: bird_text(line.cock) if line.cock is not None else MISSING,
            width=22,
            paint=Paint.BIRD,
            bird=lambda line: line.cock,
        ),
        _share(
            "foreseen",
            _("F foreseen"),
            lambda line: line.pen.expected,
            2,
            _("The mean kinship of the planned pairs on the day of the plan."),
        ),
        _share(
            "came",
            _("F come"),
            lambda line: line.pen.inbreeding,
            2,
            _("The mean F of the chicks of the pen in the book, by their parents as they are known now."),
        ),
        _share(
            "planned_share",
            _("Share planned"),
            lambda line: line.pen.planned_share,
            0,
            _("The share of all chicks the pen was to give, by the eggs wanted of its hens."),
        ),
        _share(
            "share",
            _("Share come"),
            lambda line: line.pen.share,
            0,
            _("The share of the chicks of all planned pens that are of this one."),
        ),
        _count("chicks", _("Chicks"), lambda line: line.pen.tally.chicks),
        _count("living", _("In the flock"), lambda line: line.pen.tally.living),
        _count("kept", _("Kept to breed"), lambda line: line.pen.tally.kept),
        _count("handed_over", _("Sold or given"), lambda line: line.pen.tally.handed_over),
        _count("died", _("Died"), lambda line: line.pen.tally.died + line.pen.tally.lost),
        _count("eggs", _("Eggs set"), lambda line: line.pen.eggs.set_under),
        _count("clear", _("Clear"), lambda line: line.pen.eggs.clear),
        _count("hatched", _("Hatched"), lambda line: line.pen.eggs.hatched),
        Column("hens", _("Hens of the plan"), lambda line: line.hens, width=40),
    )


def _share(
    key: str, title: str, value: Callable[[PenLine], float | None], decimals: int, explained: str
) -> Column[PenLine]:
    def text(line: PenLine) -> str:
        found = value(line)
        return percent_text(found, decimals) if found is not None else MISSING

    return Column(key, title, text, value, right=True, explained=explained)


def _count(key: str, title: str, value: Callable[[PenLine], int]) -> Column[PenLine]:
    return Column(key, title, lambda line: str(value(line)), value, right=True)
