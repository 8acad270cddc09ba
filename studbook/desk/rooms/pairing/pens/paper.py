"""The planned pens on paper: a line for each hen, with her cock, his place and the F of their chicks."""

from collections.abc import Sequence
from dataclasses import dataclass

from studbook.book.records import Snapshot
from studbook.desk.table_paper import TablePaper
from studbook.desk.tables import Column
from studbook.desk.wording import bird_text, percent_text
from studbook.planning.best_pens.by_hand import Kin
from studbook.planning.best_pens.wishes import BestPen
from studbook.planning.pens.naming import pen_name
from studbook.words import _


@dataclass(frozen=True)
class HenOnPaper:
    """One line: the words of its cells."""

    place: str
    cock: str
    hen: str
    expected: str


def pens_paper(pens: Sequence[BestPen], kin: Kin, snapshot: Snapshot, season: int, remark: str) -> TablePaper:
    """The pens of a plan; place and cock stand on the first line of each."""
    rows = []
    for pen in pens:
        place = pen_name(snapshot.husbandry, pen.place) if pen.place is not None else _("no place yet")
        cock = bird_text(snapshot.bird(pen.cock))
        for number, hen in enumerate(pen.hens):
            is_first = number == 0
            rows.append(
                HenOnPaper(
                    place if is_first else "",
                    cock if is_first else "",
                    bird_text(snapshot.bird(hen)),
                    percent_text(kin[pen.cock, hen]),
                )
            )
    columns = (
        Column[HenOnPaper]("place", _("Pen"), lambda row: row.place, width=18),
        Column[HenOnPaper]("cock", _("Cock"), lambda row: row.cock, width=24),
        Column[HenOnPaper]("hen", _("Hen"), lambda row: row.hen, width=24),
        Column[HenOnPaper]("f", _("F of the chicks"), lambda row: row.expected, right=True),
    )
    return TablePaper(_("Pens of {season}").format(season=season), remark, columns, rows)
