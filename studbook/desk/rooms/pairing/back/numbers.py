"""What came of a plan, found on a worker thread and handed over as frozen rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from studbook.book.husbandry.choosing_rows import Plan
from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.planning.best_pens.keeping import wishes_from
from studbook.planning.looking_back.report import PlanBack, look_back

if TYPE_CHECKING:
    from studbook.desk.rooms.pairing.page import Kinship


@dataclass(frozen=True)
class Answer:
    """A plan, what came of it, and whether its figures are the cautious ones."""

    plan: Plan
    back: PlanBack
    cautious: bool


class Numbers:
    """Looks back on the plans of one snapshot; ask on a worker thread."""

    def __init__(self, snapshot: Snapshot, kinship: Kinship) -> None:
        self._snapshot = snapshot
        self._kinship = kinship

    def look(self, plan: Plan, today: date) -> Answer:
        """What came of a plan, in the figures it was made with: cautious unless its wishes say otherwise."""
        wishes = wishes_from(plan.wishes)
        cautious = wishes is None or wishes.unknown is Unknown.FLOCK
        return Answer(plan, look_back(self._snapshot, plan, self._kinship.asked(cautious), today), cautious)
