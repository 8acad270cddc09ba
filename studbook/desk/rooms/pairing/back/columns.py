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
        _share("foreseen", _("F foreseen"), lambda line: line.pen.expected, 2),
        _share("came", _("F come"), lambda line: line.pen.inbreeding, 2),
        _share("planned_share", _("Share planned"), lambda line: line.pen.planned_share, 0),
        _share("share", _("Share come"), lambda line: line.pen.share, 0),
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


def _share(key: str, title: str, value: Callable[[PenLine], float | None], decimals: int) -> Column[PenLine]:
    def text(line: PenLine) -> str:
        found = value(line)
        return percent_text(found, decimals) if found is not None else MISSING

    return Column(key, title, text, value, right=True)


def _count(key: str, title: str, value: Callable[[PenLine], int]) -> Column[PenLine]:
    return Column(key, title, lambda line: str(value(line)), value, right=True)
