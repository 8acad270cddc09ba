"""What else a year holds: broodies and moults, meetings outside the pens, the keeper's own jobs and their ticks."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial

from studbook.book import changes
from studbook.book.husbandry.rows import (
    Condition,
    ConditionKind,
    Every,
    Job,
    Mating,
    MatingKind,
    Tick,
)
from studbook.book.ids import ConditionId, JobId, MatingId, TickId
from studbook.demo.ledger import Ledger
from studbook.planning.diary.agenda import LOOK_BACK, due
from studbook.planning.diary.task import Kind

BROODY, MOULTING = ConditionKind.BROODY, ConditionKind.MOULTING
NOT_LAYING, COLOUR = ConditionKind.NOT_LAYING, ConditionKind.EGG_COLOUR

CONDITIONS = (
    (BROODY, "Sloe", "2018-04-02", "2018-06-20"),
    (MOULTING, "Betony", "2020-09-05", "2020-10-24"),
    (BROODY, "Cicely", "2023-03-31", "2023-06-10"),
    (MOULTING, "Rowan", "2024-09-08", "2024-10-13"),
    (BROODY, "Rowan", "2025-03-27", "2025-06-07"),
    (BROODY, "Primrose", "2025-03-27", "2025-06-07"),
    (BROODY, "Watermint", "2025-05-06", "2025-07-12"),
    (BROODY, "Lovage", "2025-05-08", "2025-07-12"),
    (BROODY, "Comfrey", "2025-08-18", "2025-08-24"),
    (BROODY, "Eyebright", "2026-03-26", "2026-06-13"),
    (BROODY, "Sedge", "2026-04-26", "2026-06-27"),
    (BROODY, "Willowherb", "2026-05-07", "2026-07-11"),
    (BROODY, "Bindweed", "2026-06-05", "2026-06-16"),
    (NOT_LAYING, "Tormentil", "2026-06-18", "2026-06-27"),
    (BROODY, "Harebell", "2026-06-07", "2026-07-25"),
    (MOULTING, "Willowherb", "2026-09-05", "2026-12-12"),
    (MOULTING, "Rowan", "2026-09-12", "2026-10-17"),
    (MOULTING, "Knapweed", "2026-09-26", "2026-11-14"),
    (MOULTING, "Comfrey", "2026-10-03", "2026-11-21"),
    (BROODY, "Comfrey", "2027-02-10", ""),
)
"""What kept hens from laying: since when, until when."""

EGG_COLOURS = (("Knapweed", "2025-02-08", "cream"), ("Harebell", "2026-02-14", "chalk white"))


@dataclass(frozen=True, slots=True)
class Met:
    """A cock and a hen outside the pens; a cock not of this yard is told in `outside`."""

    written: str
    hen: str
    kind: MatingKind
    since: str
    until: str
    cock: str = ""
    outside: str = ""
    note: str = ""


MATINGS = (
    Met(
        "2022-06-26",
        "Celandine",
        MatingKind.VISIT,
        "2022-06-25",
        "2022-06-26",
        "Tees",
        note="To see whether she still can; no egg of hers was set.",
    ),
    Met(
        "2025-06-22",
        "Honeysuckle",
        MatingKind.BORROWED,
        "2025-06-14",
        "2025-06-22",
        outside="A black cock of Callum Strathorn",
        note="Five eggs set with him at Craigend; all clear.",
    ),
    Met("2026-06-14", "Agrimony", MatingKind.VISIT, "2026-06-13", "2026-06-14", "Teign"),
)


@dataclass(frozen=True, slots=True)
class Chore:
    """A job of the keeper's own."""

    text: str
    starts: str
    every: Every
    house: str = ""
    note: str = ""


CHORES = (
    Chore("Clean the water lines", "2026-01-04", Every.WEEKS),
    Chore(
        "Look under the perches for red mite",
        "2026-01-31",
        Every.MONTHS,
        "Orchard house",
        "By torch, after dark.",
    ),
    Chore("Order rings for the new year", "2025-11-15", Every.YEARS),
    Chore("Bleach the pond house drinkers", "2026-03-01", Every.MONTHS, "Pond house"),
    Chore("Mend the pop-hole slide before the pens are set", "2027-02-13", Every.ONCE, "Lane house"),
)
CHORES_WRITTEN = "2026-01-03"

TICKED_UP_TO = date(2027, 2, 13)
"""The last evening on which the diary was gone through; it is every fourth Saturday."""
BETWEEN_TICKS = 28

EXCUSED = ("2027-02-01", "Guelder", "No ring until her shank has healed.")

LEFT_UNDONE = frozenset({"Mend the pop-hole slide before the pens are set"})


def plan_chores(ledger: Ledger) -> None:
    """Put conditions, matings, jobs and the weekly ticks into the diary."""

    def plan(on: str, deed: partial[None]) -> None:
        ledger.diary.plan(date.fromisoformat(on), deed)

    for kind, hen, since, until in CONDITIONS:
        condition = ConditionId(ledger.book.new_id())
        plan(since, partial(_note, ledger, condition, kind, hen))
        if until:
            plan(until, partial(_end, ledger, condition, f"{hen}: {kind.value}, over"))
    for hen, since, colour in EGG_COLOURS:
        plan(since, partial(_note, ledger, ConditionId(ledger.book.new_id()), COLOUR, hen, colour))
    for met in MATINGS:
        plan(met.written, partial(_mate, ledger, met))
    plan(CHORES_WRITTEN, partial(_write_chores, ledger))
    evening = TICKED_UP_TO
    first = date.fromisoformat(CHORES_WRITTEN)
    while evening > first:
        ledger.diary.plan(evening, partial(_tick, ledger))
        evening -= timedelta(days=BETWEEN_TICKS)
    plan(EXCUSED[0], partial(_excuse, ledger))


def _note(ledger: Ledger, condition: ConditionId, kind: ConditionKind, hen: str, text: str = "") -> None:
    row = Condition(condition, ledger.named[hen], kind, ledger.diary.today, text=text)
    ledger.apply(changes.Enter((row,)), why=f"{hen}: {text or kind.value}")


def _end(ledger: Ledger, condition_id: ConditionId, why: str) -> None:
    condition = ledger.book.snapshot().husbandry.conditions[condition_id]
    ledger.apply(changes.Correct((condition,), (replace(condition, until=ledger.diary.today),)), why)


def _mate(ledger: Ledger, met: Met) -> None:
    mating = Mating(
        MatingId(""),
        ledger.named[met.hen],
        met.kind,
        date.fromisoformat(met.since),
        date.fromisoformat(met.until),
        ledger.named[met.cock] if met.cock else None,
        met.outside,
        met.note,
    )
    ledger.apply(changes.Enter((mating,)))


def _write_chores(ledger: Ledger) -> None:
    jobs = (
        Job(
            JobId(""),
            chore.text,
            date.fromisoformat(chore.starts),
            chore.every,
            house=ledger.houses[chore.house] if chore.house else None,
            note=chore.note,
        )
        for chore in CHORES
    )
    ledger.apply(changes.Enter(tuple(jobs)))


def _tick(ledger: Ledger) -> None:
    """Tick the jobs done since the diary was gone through last; eggs and birds have rows of their own to tell."""
    today = ledger.diary.today
    first = today - timedelta(days=BETWEEN_TICKS - 1)
    done = tuple(
        Tick(TickId(""), task.key, task.day)
        for task in due(ledger.book.snapshot(), first, today, today)
        if task.kind in (Kind.JOB, Kind.RINGS) and not task.is_done and task.words not in LEFT_UNDONE
    )
    if done:
        ledger.apply(changes.Enter(done), why="Gone through the diary")


def _excuse(ledger: Ledger) -> None:
    """A bird that has no ring for a good reason is not asked about every day."""
    name, note = EXCUSED[1:]
    today = ledger.diary.today
    done = tuple(
        Tick(TickId(""), task.key, today, note)
        for task in due(ledger.book.snapshot(), today - LOOK_BACK, today, today)
        if task.kind is Kind.MARKS and task.birds == (ledger.named[name],) and not task.is_done
    )
    ledger.apply(changes.Enter(done), why=note)
