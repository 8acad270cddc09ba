"""A small season through the door: Usk with Avens and Betony in the Orchard, Lune with Cowslip in the Lane.

The plan of 2026 puts them so. Of the Orchard 12 eggs are set and 3 hatch, of the Lane 4 and 1; then Lune leaves in
April, and Usk's pen loses Betony to nobody. One chick of the Orchard is sold, one is marked to breed in 2027.
"""

from collections.abc import Iterator
from datetime import date
from itertools import count
from pathlib import Path

from studbook.book.changes import Enter, MoveBirds, RegisterChicks, SetStatus
from studbook.book.changes.birds import Chick
from studbook.book.husbandry.choosing_rows import Choice, Verdict
from studbook.book.husbandry.rows import Batch, EggFate, Fate
from studbook.book.ids import BirdId, ChoiceId, EggFateId
from studbook.book.records import Snapshot, Status
from studbook.book.relatedness import Relatedness
from studbook.dates import PartialDate
from studbook.planning.best_pens.by_hand import worth_of
from studbook.planning.best_pens.keeping import Rows, plan_rows
from studbook.planning.best_pens.present import company
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Proof, Wishes
from tests.season_flock import Yard, hatch, new_yard, set_eggs

MADE = date(2026, 1, 12)
LAID, HATCHED = date(2026, 3, 1), date(2026, 3, 25)
LEFT = date(2026, 4, 10)


def _ids() -> Iterator[str]:
    return (f"00000000-0000-4000-9000-{number:012d}" for number in count(1))


def plan_of_season(yard: Yard, season: int = 2026, made: date = MADE) -> Rows:
    """The rows of a plan that puts the birds where they are."""
    wishes = Wishes((yard.usk, yard.lune), (yard.avens, yard.betony, yard.cowslip), 2, 3)
    birds = (*wishes.cocks, *wishes.hens)
    figures = Relatedness(yard.book.snapshot()).kinship(birds, birds).tolist()
    kin = {
        (one, other): figures[row][column]
        for row, one in enumerate(birds)
        for column, other in enumerate(birds)
    }
    pens = (
        BestPen(yard.usk, (yard.avens, yard.betony), 0.0, yard.orchard),
        BestPen(yard.lune, (yard.cowslip,), 0.0, yard.lane),
    )
    worth = worth_of([company(pen) for pen in pens], kin, wishes)
    assert worth is not None
    plan = PensPlan(pens, worth.inbreeding, worth.kinship, worth.objective, worth.objective, Proof.OPTIMAL)
    ids = _ids()
    return plan_rows(
        lambda: next(ids),
        plan,
        wishes,
        worth,
        kin,
        season,
        made,
        name="Two pens",
        reasons="Usk is calm.",
        of_hens={yard.avens: "She lays well."},
        chicks=6,
    )


def brood(yard: Yard, batch: Batch, chicks: int, clear: int) -> tuple[BirdId, ...]:
    """Chicks of a batch, all others of its eggs dead in the shell but those that were clear."""
    book = yard.book
    hatch(yard, batch, chicks, HATCHED)
    rest = batch.eggs - chicks - clear
    book.apply(
        Enter(
            (
                EggFate(EggFateId(""), batch.id, Fate.CLEAR, clear),
                EggFate(EggFateId(""), batch.id, Fate.LATE_DEAD, rest),
            )
        )
    )
    before = {bird.id for bird in book.snapshot().birds}
    book.apply(RegisterChicks(batch.id, HATCHED, (Chick(),) * chicks))
    return tuple(bird.id for bird in book.snapshot().birds if bird.id not in before)


def season(path: Path) -> Yard:
    """The yard after its season; the book stays open."""
    yard = new_yard(path)
    book = yard.book
    book.apply(Enter(plan_of_season(yard)))
    first, second, _third = brood(yard, set_eggs(yard, 12, LAID, pen=yard.orchard), 3, clear=5)
    brood(yard, set_eggs(yard, 4, LAID, pen=yard.lane), 1, clear=1)
    book.apply(MoveBirds((yard.lune,), None, LEFT))
    book.apply(SetStatus((first,), Status.SOLD, PartialDate.parse("2026-07-01")))
    book.apply(Enter((Choice(ChoiceId(""), second, 2027, Verdict.CHOSEN, date(2026, 12, 1)),)))
    return yard


def now(yard: Yard) -> Snapshot:
    return yard.book.snapshot()
