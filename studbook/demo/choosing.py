"""Who was chosen to breed at Withybrook and why, the pair that is not wanted again, and the pens as planned."""

from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from studbook.book import changes
from studbook.book.husbandry.choosing_rows import Ban, Choice, Verdict
from studbook.book.ids import BanId, ChoiceId
from studbook.book.relatedness import Relatedness, Unknown
from studbook.demo.ledger import Ledger
from studbook.demo.pens import NEXT_PENS, NEXT_PENS_DECIDED
from studbook.planning.best_pens.by_hand import Kin, worth_of
from studbook.planning.best_pens.keeping import plan_rows
from studbook.planning.best_pens.present import company
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Proof, Wishes

DIGITS = 6
"""What a plan predicted is written so exactly that it is the same on every machine."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """What was decided of some birds for a season on an evening, with one reason for all of them."""

    on: str
    season: int
    verdict: Verdict
    birds: str
    reason: str


CHOSEN = (
    Chosen("2025-12-13", 2026, Verdict.CHOSEN, "Swale", "Proven last spring; calm with the hens."),
    Chosen(
        "2025-12-13", 2026, Verdict.CHOSEN, "Teign", "Best of the young cocks: lacing clean, stands square."
    ),
    Chosen("2025-12-13", 2026, Verdict.RESERVE, "Kent", "If January clears him he takes the bottom pen."),
    Chosen("2025-12-13", 2026, Verdict.CHOSEN, "Rowan Tormentil Knapweed", "Older hens that still lay well."),
    Chosen("2025-12-13", 2026, Verdict.CHOSEN, "Willowherb Bindweed Damson", "For a cock from another line."),
    Chosen("2025-12-13", 2026, Verdict.CHOSEN, "Comfrey Agrimony Selfheal Eyebright", "Steady, good shell."),
    Chosen("2025-12-13", 2026, Verdict.RESERVE, "Harebell Foxglove", "Young; if there is room in February."),
    Chosen(
        "2026-12-12", 2027, Verdict.CHOSEN, "Kent", "Two seasons fertile; least kin of the top pen's hens."
    ),
    Chosen(
        "2026-12-12", 2027, Verdict.CHOSEN, "Teign", "Fertile, sound feet, and his chicks grew on evenly."
    ),
    Chosen("2026-12-12", 2027, Verdict.CHOSEN, "Calder", "Broadest of the year; on trial over Christmas."),
    Chosen("2026-12-12", 2027, Verdict.RESERVE, "Otter", "Waits for his second trial."),
    Chosen("2026-12-12", 2027, Verdict.NO, "Swale", "Sired more of last year's chicks than the others."),
    Chosen("2026-12-12", 2027, Verdict.NO, "Guelder", "Light and slow from a chick; not from her."),
    Chosen("2026-12-12", 2027, Verdict.RESERVE, "Comfrey", "Goes broody early: keep her for sitting."),
    Chosen(
        "2026-12-12",
        2027,
        Verdict.CHOSEN,
        "Knapweed Foxglove Willowherb Burnet Figwort Agrimony Harebell Selfheal Rowan Bindweed Ramsons",
        "Sound, in lay by February.",
    ),
)

NOT_WANTED = ("2026-12-12", "Swale", "Comfrey", "Two seasons of soft, small chicks.")


@dataclass(frozen=True, slots=True)
class Planned:
    """The pens of a season as the keeper put them together: for each pen its name, the cock and the hens."""

    on: str
    season: int
    name: str
    reasons: str
    pens: tuple[tuple[str, str], ...]
    chicks: int
    note: str = ""


PLANNED = (
    Planned(
        "2026-01-24",
        2026,
        "Three pens",
        "Teign to the young hens he shares least with, Swale to the steady ones, Kent if January clears him.",
        (
            ("Bottom pen", "Kent Rowan Tormentil Knapweed Harebell"),
            ("Long pen", "Teign Willowherb Bindweed Damson Foxglove"),
            ("Top pen", "Swale Comfrey Agrimony Selfheal Eyebright"),
        ),
        40,
        "Kent's spur cost the bottom pen its cock in May: have a reserve proven by then.",
    ),
    Planned(
        NEXT_PENS_DECIDED,
        2027,
        "Three pens again",
        "Calder gets the hens furthest from Nidd, Kent the young ones, Teign the rest. Swale stands back.",
        tuple((pen, names) for _on, pen, names in NEXT_PENS if pen != "Cock run"),
        45,
    ),
)


def plan_choosing(ledger: Ledger) -> None:
    """Put the evenings of choosing into the diary."""
    for on in sorted({chosen.on for chosen in CHOSEN}):
        group = tuple(chosen for chosen in CHOSEN if chosen.on == on)
        ledger.diary.plan(date.fromisoformat(on), partial(_choose, ledger, group))
    ledger.diary.plan(date.fromisoformat(NOT_WANTED[0]), partial(_ban, ledger))
    for planned in PLANNED:
        ledger.diary.plan(date.fromisoformat(planned.on), partial(_keep_plan, ledger, planned))


def _choose(ledger: Ledger, group: tuple[Chosen, ...]) -> None:
    rows = tuple(
        Choice(
            ChoiceId(""), ledger.named[name], chosen.season, chosen.verdict, ledger.diary.today, chosen.reason
        )
        for chosen in group
        for name in chosen.birds.split()
    )
    ledger.apply(changes.Enter(rows), why=f"Who may breed in {group[0].season}")


def _ban(ledger: Ledger) -> None:
    _on, cock, hen, reason = NOT_WANTED
    row = Ban(BanId(""), ledger.named[cock], ledger.named[hen], ledger.diary.today, reason)
    ledger.apply(changes.Enter((row,)))


def _keep_plan(ledger: Ledger, planned: Planned) -> None:
    """Write the pens of a season with what they predicted on the day."""
    snapshot = ledger.book.snapshot()
    named = [
        (ledger.pens[pen], [ledger.named[name] for name in names.split()]) for pen, names in planned.pens
    ]
    birds = [bird for _pen, inside in named for bird in inside]
    table = Relatedness(snapshot, Unknown.FLOCK).kinship(birds, birds).round(DIGITS).tolist()
    kin: Kin = {
        (one, other): share
        for one, row in zip(birds, table, strict=True)
        for other, share in zip(birds, row, strict=True)
    }
    pens = tuple(
        BestPen(cock, tuple(hens), round(sum(kin[cock, hen] for hen in hens) / len(hens), DIGITS), place)
        for place, (cock, *hens) in named
    )
    wishes = Wishes(
        tuple(pen.cock for pen in pens),
        tuple(hen for pen in pens for hen in pen.hens),
        len(pens),
        max(len(pen.hens) for pen in pens),
    )
    worth = worth_of([company(pen) for pen in pens], kin, wishes)
    assert worth is not None
    worth = replace(worth, inbreeding=round(worth.inbreeding, DIGITS), kinship=round(worth.kinship, DIGITS))
    plan = PensPlan(pens, worth.inbreeding, worth.kinship, worth.objective, 0.0, Proof.BEST_SO_FAR)
    rows = plan_rows(
        ledger.book.new_id,
        plan,
        wishes,
        worth,
        kin,
        planned.season,
        ledger.diary.today,
        name=planned.name,
        reasons=planned.reasons,
        note=planned.note,
        is_own=True,
        chicks=planned.chicks,
    )
    ledger.apply(changes.Enter(rows), why=f"Pens of {planned.season}")
