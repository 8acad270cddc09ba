"""The egg tally: one week, a line for each pen in the order of the walk, a box for each day."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from studbook.book.records import Snapshot
from studbook.papers.sheets.sheet import Head, head_of, named, plain_day, short_day
from studbook.planning.eggs.week import WEEK_DAYS, TallyRow, monday, tally_rows
from studbook.words import _, plural

SPARE_LINES = 3


@dataclass(frozen=True, slots=True)
class TallyLine:
    """A line of the sheet: a pen or a hen, the house it stands in, and a few words about it."""

    name: str
    house: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class EggTally:
    """A week's sheet; `begins` is its Monday."""

    head: Head
    begins: date
    lines: tuple[TallyLine, ...]

    @property
    def template(self) -> str:
        return "egg_tally.typ"

    @property
    def title(self) -> str:
        return _("Egg tally, week of {day}").format(day=plain_day(self.begins))

    def data(self) -> Mapping[str, Any]:
        days = [self.begins + timedelta(days=number) for number in range(WEEK_DAYS)]
        houses = groupby(self.lines, key=lambda line: line.house)
        return {
            "words": {
                "title": _("Egg tally"),
                "week": _("{first} to {last}").format(first=plain_day(days[0]), last=plain_day(days[-1])),
                "pen": _("Pen"),
                "week_sum": _("Week"),
                "total": _("All"),
                "spare": SPARE_LINES,
                "how": _(
                    "Every egg found, soft, cracked and floor eggs too. A hen seen on her nest gets a line of her own "
                    "below. The lines stand in the order of the walk, as the room Eggs asks for them."
                ),
                "notes": _("Notes"),
                "none": _("No pen with hens of laying age is in the book yet: use the empty lines."),
            },
            "days": [short_day(day) for day in days],
            "houses": [
                {"house": house, "lines": [{"name": line.name, "remark": line.remark} for line in lines]}
                for house, lines in houses
            ],
        }


def egg_tally(snapshot: Snapshot, today: date, week: date | None = None) -> EggTally:
    """The sheet of the week a day lies in (this week's by default), its lines those of the entry grid."""
    begins = monday(week or today)
    rows = tally_rows(snapshot, begins, today)
    return EggTally(head_of(snapshot, today), begins, tuple(_line(snapshot, row) for row in rows))


def _line(snapshot: Snapshot, row: TallyRow) -> TallyLine:
    if row.source.hen is not None:
        return TallyLine(named(snapshot.bird(row.source.hen)), _("Hens by their nests"))
    # None: the book does not say how many were there
    most = max((day.hens for day in row.days if day.hens is not None), default=0)
    hens = plural("{count} hen", "{count} hens", most).format(count=most) if most else ""
    return TallyLine(row.name, row.house, hens)
