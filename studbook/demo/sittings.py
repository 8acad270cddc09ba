"""The sittings of 2025 and 2026, from the eggs set to the chicks hatched: under broodies and in the cabinet.

What was set of each hen and where its eggs were lost is told here; how the chicks are registered, marked and named
is told in `hatches`, which finds the eggs of a brood by its species, its year and its number.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from typing import Any

from studbook.book import changes
from studbook.book.husbandry.rows import (
    Batch,
    BatchPair,
    Candling,
    EggFate,
    EggUse,
    EggUseKind,
    Fate,
    MixedIn,
    Reading,
    Sitting,
)
from studbook.book.ids import (
    BatchId,
    BatchPairId,
    CandlingId,
    EggFateId,
    EggUseId,
    MixedInId,
    ReadingId,
    SittingId,
)
from studbook.demo import story
from studbook.demo.ledger import DUCKS, FOWL, Kind, Ledger
from studbook.demo.trials import CABINET

FIRST_LOOK_DAY = 8
DAYS = {FOWL: 21, DUCKS: 26}
"""From setting to hatching; call ducks are two days quicker than their species."""

LOCKDOWN_DAY = {FOWL: 18, DUCKS: 23}


@dataclass(frozen=True, slots=True)
class Lot:
    """Eggs of one hen, or of one pen, in a sitting, and their losses; the others hatched.

    Attributes
    ----------
    of
        The hen who was seen to lay them, else the pen they were gathered in.
    laid
        The first and last day of laying, as ``02-27 03-06``.
    died
        How many of the hatched died on their first day and were never registered.
    mixed
        How many of them come from another pen, and which.
    said
        The pair the keeper gives them in place of what the stays say (the dam empty if nobody saw her), and why.
    """

    of: str
    eggs: int
    laid: str
    clear: int = 0
    early: int = 0
    late: int = 0
    pipped: int = 0
    broken: int = 0
    died: int = 0
    helped: int = 0
    mixed: tuple[int, str] | None = None
    said: tuple[str, str, str] | None = None
    compartment: str = ""

    @property
    def hatched(self) -> int:
        """The chicks that came out."""
        return self.eggs - self.clear - self.early - self.late - self.pipped - self.broken


@dataclass(frozen=True, slots=True)
class Sat:
    """A sitting under `broody` (and a `second` one), or in the cabinet."""

    hatched: str
    lots: tuple[Lot, ...]
    broody: str = ""
    second: str = ""
    kind: Kind = FOWL
    weights: tuple[tuple[int, float], ...] = ()
    note: str = ""

    @property
    def set_on(self) -> date:
        """The day the eggs were put under the hen or into the cabinet."""
        return date.fromisoformat(self.hatched) - timedelta(days=DAYS[self.kind])


SITTINGS = (
    Sat(
        "2025-03-29",
        (
            Lot("Comfrey", 8, "02-28 03-07", clear=1, late=1, pipped=1, compartment="1"),
            Lot("Knapweed", 7, "02-28 03-07", clear=1, died=1, compartment="2"),
        ),
        weights=((0, 882.0), (7, 839.5), (18, 672.5)),
    ),
    Sat(
        "2025-04-19",
        (Lot("Tormentil", 6, "03-21 03-28", clear=1, late=1), Lot("Rowan", 4, "03-21 03-26", clear=2)),
        broody="Rowan",
        second="Primrose",
        note="Two hens on one nest; neither will give it up.",
    ),
    Sat(
        "2025-05-10",
        (
            Lot("Agrimony", 8, "04-11 04-18", clear=1, early=1, pipped=1, compartment="1"),
            Lot("Eyebright", 7, "04-11 04-18", clear=2, early=1, helped=1, compartment="2"),
        ),
    ),
    Sat(
        "2025-05-31",
        (
            Lot(
                "Top pen",
                11,
                "05-01 05-09",
                clear=2,
                early=1,
                late=1,
                said=("Swale", "", "Laid away in the nettles; nobody saw whose they were."),
            ),
        ),
        broody="Lovage",
    ),
    Sat(
        "2025-06-01",
        (Lot("Watermint", 6, "04-29 05-05", clear=1, early=1, late=1),),
        broody="Watermint",
        kind=DUCKS,
    ),
    Sat(
        "2026-03-28",
        (
            Lot("Damson", 7, "02-27 03-06", clear=1, early=1, late=1, compartment="1"),
            Lot("Knapweed", 6, "02-27 03-06", clear=1, late=1, compartment="2"),
            Lot("Comfrey", 7, "02-27 03-06", clear=1, pipped=1, died=1, helped=1, compartment="3"),
        ),
        weights=((0, 1164.0), (7, 1108.5), (14, 897.0), (18, 866.5)),
    ),
    Sat(
        "2026-04-18",
        (
            Lot("Rowan", 6, "03-20 03-27", clear=1, early=1),
            Lot("Harebell", 5, "03-20 03-27", clear=1, late=1),
        ),
        broody="Eyebright",
    ),
    Sat(
        "2026-05-09",
        (
            Lot("Agrimony", 7, "04-10 04-17", clear=2, late=1, compartment="1"),
            Lot("Selfheal", 6, "04-10 04-17", early=1, broken=1, compartment="2"),
        ),
    ),
    Sat(
        "2026-05-23",
        (Lot("Brooklime", 7, "04-18 04-26", clear=2, early=1, late=1),),
        broody="Sedge",
        kind=DUCKS,
    ),
    Sat(
        "2026-05-30",
        (
            Lot("Foxglove", 6, "05-01 05-08", clear=1, late=1),
            Lot("Bindweed", 6, "05-01 05-08", early=1, pipped=1),
        ),
        broody="Willowherb",
    ),
    Sat(
        "2026-06-11",
        (
            Lot("Rowan", 5, "05-15 05-20", clear=1, late=1, compartment="Rowan"),
            Lot(
                "Bottom pen",
                8,
                "05-14 05-20",
                clear=2,
                early=1,
                late=1,
                mixed=(3, "Long pen"),
                compartment="mixed",
            ),
        ),
        note="The week after Kent went and Swale came; two baskets tipped into one on the kitchen table.",
    ),
    # these went as day-olds and never came into the book as birds
    Sat("2026-06-29", (Lot("Bottom pen", 6, "06-02 06-07", clear=1, late=1),), broody="Harebell"),
)

NEST_LEFT = ("2026-06-06", "Bindweed", "Long pen", 7, "05-31 06-05", "2026-06-15")
"""Set on, under whom, eggs of which pen, how many, laid when, and the day they were found cold."""

LEFT_CLEAR, LEFT_EARLY, LEFT_LATE, LEFT_HATCHED = 2, 1, 2, 2
"""What became of those eggs: the living ones went under the hen that sat beside her."""

DAY_OLDS_TO = "Joss Merriden"


def plan_sittings(ledger: Ledger) -> None:
    """Put every sitting into the diary."""
    for sat in SITTINGS:
        ledger.diary.plan(sat.set_on, partial(_set, ledger, sat))
    set_on, found = (date.fromisoformat(day) for day in (NEST_LEFT[0], NEST_LEFT[-1]))
    sitting, batch = SittingId(ledger.book.new_id()), BatchId(ledger.book.new_id())
    ledger.diary.plan(set_on, partial(_set_under_a_fickle_hen, ledger, sitting, batch))
    ledger.diary.plan(found, partial(_move_cold_eggs, ledger, sitting, batch))


def days_of(laid: str, year: int) -> tuple[date, date]:
    """The first and last day of laying of ``02-27 03-06``."""
    first, last = (date.fromisoformat(f"{year}-{day}") for day in laid.split())
    return first, last


def _broods_of(sat: Sat) -> tuple[tuple[str, int, int], ...]:
    """The species, year and number of each brood that hatched of a sitting, in the order of its lots."""
    year, day = int(sat.hatched[:4]), sat.hatched[5:]
    season = next(season for season in story.SEASONS if season.year == year)
    broods = season.ducklings if sat.kind is DUCKS else season.broods
    return tuple(
        (sat.kind.species, year, number)
        for number, brood in enumerate(broods)
        if (brood.hatched, brood.rearer) == (day, sat.broody)
    )


def _set(ledger: Ledger, sat: Sat) -> None:
    sitting = Sitting(
        SittingId(ledger.book.new_id()),
        sat.set_on,
        species=sat.kind.species,
        broody=ledger.named[sat.broody] if sat.broody else None,
        second_broody=ledger.named[sat.second] if sat.second else None,
        machine=None if sat.broody else ledger.machines[CABINET],
        days=DAYS[DUCKS] if sat.kind is DUCKS else None,
        note=sat.note,
    )
    batches = tuple(_batch(ledger, sitting, lot) for lot in sat.lots)
    rows: list[Any] = [sitting, *batches]
    for lot, batch in zip(sat.lots, batches, strict=True):
        rows += _doubts(ledger, lot, batch)
    ledger.apply(changes.Enter(tuple(rows)), why="Eggs set")
    broods = _broods_of(sat)
    if broods:
        ledger.batches.update(zip(broods, (batch.id for batch in batches), strict=True))

    def plan(day: int, deed: partial[None]) -> None:
        ledger.diary.plan(sat.set_on + timedelta(days=day), deed)

    plan(FIRST_LOOK_DAY, partial(_look_first, ledger, sat, batches))
    plan(LOCKDOWN_DAY[sat.kind], partial(_lock_down, ledger, sat, sitting, batches))
    plan(DAYS[sat.kind], partial(_count_out, ledger, sat, sitting.id, batches))


def _batch(ledger: Ledger, sitting: Sitting, lot: Lot) -> Batch:
    first, last = days_of(lot.laid, sitting.set_on.year)
    return Batch(
        BatchId(ledger.book.new_id()),
        sitting.id,
        lot.eggs,
        pen=ledger.pens.get(lot.of),
        hen=ledger.named.get(lot.of),
        laid_from=first,
        laid_to=last,
    )


def _doubts(ledger: Ledger, lot: Lot, batch: Batch) -> list[MixedIn | BatchPair]:
    """What makes the parents of a lot uncertain."""
    found: list[MixedIn | BatchPair] = []
    if lot.mixed is not None:
        eggs, pen = lot.mixed
        found.append(
            MixedIn(MixedInId(""), batch.id, eggs, ledger.pens[pen], None, batch.laid_from, batch.laid_to)
        )
    if lot.said is not None:
        sire, dam, reason = lot.said
        hen = ledger.named[dam] if dam else None
        found.append(BatchPair(BatchPairId(""), batch.id, ledger.named[sire], hen, 1.0, reason))
    return found


def _fate(
    batch: Batch, fate: Fate, eggs: int, on: date, helped: int = 0, died: int = 0
) -> tuple[EggFate, ...]:
    return (EggFate(EggFateId(""), batch.id, fate, eggs, on, helped, died),) if eggs else ()


def _look_first(ledger: Ledger, sat: Sat, batches: tuple[Batch, ...]) -> None:
    """Clear eggs are taken out; one that may have stopped is left for the second look."""
    today = ledger.diary.today
    rows: list[Any] = []
    for lot, batch in zip(sat.lots, batches, strict=True):
        alive = lot.eggs - lot.clear - lot.broken - lot.early
        rows.append(
            Candling(CandlingId(""), batch.id, today, alive=alive, clear=lot.clear, doubtful=lot.early)
        )
        rows += _fate(batch, Fate.CLEAR, lot.clear, today)
        rows += _fate(batch, Fate.BROKEN, lot.broken, today)
    ledger.apply(changes.Enter(tuple(rows)), why="Candled, first look")


def _lock_down(ledger: Ledger, sat: Sat, sitting: Sitting, batches: tuple[Batch, ...]) -> None:
    """The second look; in the cabinet turning stops, and the eggs of each hen go into a compartment of their own."""
    today = ledger.diary.today
    rows: list[Any] = []
    for lot, batch in zip(sat.lots, batches, strict=True):
        alive = lot.eggs - lot.clear - lot.broken - lot.early
        rows.append(Candling(CandlingId(""), batch.id, today, alive=alive, early_dead=lot.early))
        rows += _fate(batch, Fate.EARLY_DEAD, lot.early, today)
    rows += _log(sat, sitting)
    looked = changes.Enter(tuple(rows))
    if sat.broody:
        ledger.apply(looked, why="Candled, second look")
    else:
        parted = tuple(
            replace(batch, compartment=lot.compartment) for lot, batch in zip(sat.lots, batches, strict=True)
        )
        turned = changes.Correct((sitting, *batches), (replace(sitting, parted=today), *parted))
        title = f"candle and part the eggs set {sitting.set_on}"
        ledger.apply(changes.Together((looked, turned), title), why="Turning stopped")


def _log(sat: Sat, sitting: Sitting) -> list[Reading]:
    """The log of a sitting whose eggs were weighed: every third day, and the weight on the days told."""
    weights = dict(sat.weights)
    if not weights:
        return []
    eggs = sum(lot.eggs for lot in sat.lots)
    left = eggs - sum(lot.clear + lot.broken for lot in sat.lots)
    readings = []
    for day in sorted({*range(0, LOCKDOWN_DAY[sat.kind], 3), *weights}):
        weight = weights.get(day)
        weighed = None if weight is None else eggs if day < FIRST_LOOK_DAY else left
        readings.append(
            Reading(
                ReadingId(""),
                sitting.id,
                sat.set_on + timedelta(days=day),
                "07:30",
                37.6 + (day % 5 - 2) / 10,
                47.0 + day * 3 % 7,
                weight,
                weighed,
            )
        )
    return readings


def _count_out(ledger: Ledger, sat: Sat, sitting_id: SittingId, batches: tuple[Batch, ...]) -> None:
    today = ledger.diary.today
    rows: list[Any] = []
    for lot, batch in zip(sat.lots, batches, strict=True):
        rows += _fate(batch, Fate.LATE_DEAD, lot.late, today)
        rows += _fate(batch, Fate.PIPPED_DEAD, lot.pipped, today)
        rows += _fate(batch, Fate.HATCHED, lot.hatched, today, lot.helped, lot.died)
    if not _broods_of(sat):
        rows += _day_olds(ledger, sat, sitting_id)
    sitting = ledger.book.snapshot().husbandry.sittings[sitting_id]
    closed = changes.Correct((sitting,), (replace(sitting, closed=today),))
    title = f"count out the eggs set {sitting.set_on}"
    ledger.apply(changes.Together((changes.Enter(tuple(rows)), closed), title))


def _set_under_a_fickle_hen(ledger: Ledger, sitting_id: SittingId, batch_id: BatchId) -> None:
    _set_on, hen, pen, eggs, laid, _found = NEST_LEFT
    today = ledger.diary.today
    first, last = days_of(laid, today.year)
    sitting = Sitting(sitting_id, today, broody=ledger.named[hen])
    batch = Batch(batch_id, sitting_id, eggs, ledger.pens[pen], laid_from=first, laid_to=last)
    ledger.apply(changes.Enter((sitting, batch)), why="Eggs set")


def _move_cold_eggs(ledger: Ledger, sitting_id: SittingId, batch_id: BatchId) -> None:
    """The hen has left her nest; what lives of her eggs goes under the other one."""
    today = ledger.diary.today
    year = ledger.book.snapshot().husbandry
    batch, sitting = year.batches[batch_id], year.sittings[sitting_id]
    other = max(year.sittings.values(), key=lambda one: one.set_on)
    alive = batch.eggs - LEFT_CLEAR - LEFT_EARLY
    looked = Candling(CandlingId(""), batch_id, today, alive, LEFT_CLEAR, LEFT_EARLY, note="Nest cold")
    fates = (
        *_fate(batch, Fate.CLEAR, LEFT_CLEAR, today),
        *_fate(batch, Fate.EARLY_DEAD, LEFT_EARLY, today),
    )
    ledger.apply(changes.Enter((looked, *fates)), why="She left them on Sunday night")
    moved = changes.MoveEggs(batch_id, other.id, alive, today)
    closed = changes.Correct((sitting,), (replace(sitting, closed=today),))
    ledger.apply(changes.Together((moved, closed), f"move {alive} eggs to another sitting"))


def _day_olds(ledger: Ledger, sat: Sat, sitting_id: SittingId) -> list[Any]:
    """The eggs that had been moved here hatch with the others, and all chicks go as day-olds."""
    today = ledger.diary.today
    taker = ledger.contacts[DAY_OLDS_TO]
    (moved,) = (
        batch
        for batch in ledger.book.snapshot().husbandry.batches_of[sitting_id]
        if batch.moved_from is not None
    )
    hatched = ((ledger.pens[lot.of], lot.hatched) for lot in sat.lots)
    sold = (
        EggUse(EggUseId(""), today, EggUseKind.DAY_OLDS_SOLD, chicks, pen, taker=taker)
        for pen, chicks in (*hatched, (moved.pen, LEFT_HATCHED))
    )
    return [
        *_fate(moved, Fate.LATE_DEAD, LEFT_LATE, today),
        *_fate(moved, Fate.HATCHED, LEFT_HATCHED, today),
        *sold,
    ]
