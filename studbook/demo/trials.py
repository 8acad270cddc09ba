"""Fertility trials of young cocks: each January some eggs of each are set and candled on day 8.

Nothing is hatched in January: what is alive on day 8 has shown what it was to show and is taken out.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial

from studbook.book import changes
from studbook.book.husbandry.rows import (
    Batch,
    Candling,
    Decision,
    EggFate,
    Fate,
    Sitting,
    Trial,
    TrialHen,
)
from studbook.book.ids import BatchId, CandlingId, EggFateId, SittingId, TrialHenId, TrialId
from studbook.demo.ledger import Ledger

CANDLED_ON_DAY = 8
CABINET = "Cabinet"


@dataclass(frozen=True, slots=True)
class Tested:
    """A trial of one cock.

    Attributes
    ----------
    eggs
        Hen, eggs of hers that were set, and how many of them were clear; ``None`` while they are not candled.
    decision, reason
        What was made of it on the day of candling.
    """

    cock: str
    pen: str
    begun: str
    counts_from: str
    set_on: str
    ends: str
    eggs: tuple[tuple[str, int, int | None], ...]
    decision: Decision = Decision.OPEN
    reason: str = ""
    note: str = ""


TRIALS = (
    Tested(
        "Exe",
        "Long pen",
        "2024-01-06",
        "2024-01-13",
        "2024-01-19",
        "2024-01-27",
        (("Damson", 4, 0), ("Medlar", 3, 0), ("Lovage", 3, 0)),
        Decision.KEEP,
        "Ten of ten.",
    ),
    Tested(
        "Swale",
        "Top pen",
        "2025-01-04",
        "2025-01-11",
        "2025-01-17",
        "2025-01-25",
        (("Rowan", 6, 0), ("Comfrey", 6, 1)),
        Decision.KEEP,
        "Goes to the top pen.",
    ),
    Tested(
        "Kent",
        "Bottom pen",
        "2025-01-04",
        "2025-01-11",
        "2025-01-17",
        "2025-01-25",
        (("Tormentil", 4, 1), ("Selfheal", 3, 1), ("Eyebright", 3, 2)),
        Decision.AGAIN,
        "Too few to say. Kept over; tested again next January.",
    ),
    Tested(
        "Kent",
        "Bottom pen",
        "2026-01-03",
        "2026-01-10",
        "2026-01-16",
        "2026-01-24",
        (("Rowan", 4, 0), ("Tormentil", 4, 1), ("Knapweed", 4, 0)),
        Decision.KEEP,
        "Nothing wrong with him.",
    ),
    Tested(
        "Teign",
        "Long pen",
        "2026-01-03",
        "2026-01-10",
        "2026-01-16",
        "2026-01-24",
        (("Willowherb", 6, 0), ("Bindweed", 6, 0)),
        Decision.KEEP,
        "Goes to the long pen.",
    ),
    Tested(
        "Calder",
        "Long pen",
        "2026-12-26",
        "2027-01-02",
        "2027-01-15",
        "2027-01-23",
        (("Rowan", 7, 0), ("Foxglove", 6, 0), ("Figwort", 6, 0)),
        Decision.KEEP,
        "Nineteen of nineteen, frost or no frost.",
    ),
    Tested(
        "Otter",
        "Bottom pen",
        "2026-12-26",
        "2027-01-02",
        "2027-01-15",
        "2027-01-23",
        (("Knapweed", 4, 2), ("Agrimony", 3, 2), ("Selfheal", 3, 2)),
        Decision.AGAIN,
        "Hard frost all week, his comb was touched. Stays with his hens and is tested again.",
    ),
    Tested(
        "Otter",
        "Bottom pen",
        "2027-01-24",
        "2027-01-26",
        "2027-02-09",
        "2027-02-17",
        (("Knapweed", 7, None), ("Agrimony", 6, None), ("Selfheal", 6, None)),
        note="Second trial, milder nights.",
    ),
)


def plan_trials(ledger: Ledger) -> None:
    """Put every trial into the diary: begun, set, candled and decided."""

    def plan(on: date, deed: partial[None]) -> None:
        ledger.diary.plan(on, deed)

    trials = {tested: TrialId(ledger.book.new_id()) for tested in TRIALS}
    for tested, trial in trials.items():
        plan(date.fromisoformat(tested.begun), partial(_begin, ledger, tested, trial))
    for set_on in sorted({tested.set_on for tested in TRIALS}):
        together = {tested: trial for tested, trial in trials.items() if tested.set_on == set_on}
        plan(date.fromisoformat(set_on), partial(_set, ledger, together))


def _begin(ledger: Ledger, tested: Tested, trial_id: TrialId) -> None:
    trial = Trial(
        trial_id,
        ledger.named[tested.cock],
        ledger.diary.today,
        date.fromisoformat(tested.counts_from),
        date.fromisoformat(tested.ends),
        ledger.pens[tested.pen],
        eggs_wanted=sum(eggs for _hen, eggs, _clear in tested.eggs),
        note=tested.note,
    )
    hens = (TrialHen(TrialHenId(""), trial.id, ledger.named[hen]) for hen, _eggs, _clear in tested.eggs)
    ledger.apply(changes.Enter((trial, *hens)), why=f"Trial of {tested.cock}")


def _set(ledger: Ledger, together: dict[Tested, TrialId]) -> None:
    """Set the eggs of every cock that is on trial this month in one sitting, parted by hen."""
    today = ledger.diary.today
    cocks = " and ".join(tested.cock for tested in together)
    sitting = Sitting(
        SittingId(ledger.book.new_id()), today, f"Trial of {cocks}", machine=ledger.machines[CABINET]
    )
    batches: list[tuple[Batch, int]] = []
    rows: list[Sitting | Batch] = [sitting]
    for tested, trial in together.items():
        for hen, eggs, clear in tested.eggs:
            batch = Batch(
                BatchId(ledger.book.new_id()),
                sitting.id,
                eggs,
                hen=ledger.named[hen],
                laid_from=date.fromisoformat(tested.counts_from),
                laid_to=today - timedelta(days=1),
                trial=trial,
            )
            rows.append(batch)
            if clear is not None:
                batches.append((batch, clear))
    ledger.apply(changes.Enter(tuple(rows)), why=sitting.name)
    if batches:
        candled = today + timedelta(days=CANDLED_ON_DAY)
        ledger.diary.plan(candled, partial(_candle, ledger, sitting, batches))
        for tested, trial_id in together.items():
            ledger.diary.plan(candled, partial(_decide, ledger, tested, trial_id))


def _candle(ledger: Ledger, sitting: Sitting, batches: list[tuple[Batch, int]]) -> None:
    today = ledger.diary.today
    rows: list[Candling | EggFate] = []
    for batch, clear in batches:
        rows.append(Candling(CandlingId(""), batch.id, today, alive=batch.eggs - clear, clear=clear))
        if clear:
            rows.append(EggFate(EggFateId(""), batch.id, Fate.CLEAR, clear, today))
        if batch.eggs > clear:
            note = "alive on day 8"
            rows.append(EggFate(EggFateId(""), batch.id, Fate.REMOVED, batch.eggs - clear, today, note=note))
    closed = changes.Correct((sitting,), (replace(sitting, closed=today),))
    title = f"candle and count out {sitting.name}"
    ledger.apply(changes.Together((changes.Enter(tuple(rows)), closed), title))


def _decide(ledger: Ledger, tested: Tested, trial_id: TrialId) -> None:
    trial = ledger.book.snapshot().husbandry.trials[trial_id]
    decided = replace(trial, decision=tested.decision, decided=ledger.diary.today, reason=tested.reason)
    ledger.apply(changes.Correct((trial,), (decided,)), why=f"{tested.cock}: {tested.decision.value}")
