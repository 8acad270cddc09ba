"""The eggs gathered from January 2026 on, pen by pen and day by day, and what became of those not set.

Hens whose eggs were set by name went into the trap nest while those eggs were laid; all others are told by pen.
The book is written up on Saturdays.
"""

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial
from random import Random

from studbook.book import changes
from studbook.book.husbandry.rows import Collection, ConditionKind, EggUse, EggUseKind, Husbandry
from studbook.book.ids import BirdId, CollectionId, EggUseId, PenId
from studbook.book.records import Bird, Sex
from studbook.demo.ledger import DUCKS, SEED, Ledger
from studbook.demo.sittings import NEST_LEFT, SITTINGS, days_of
from studbook.demo.trials import TRIALS
from studbook.season.species import species

FIRST_DAY, LAST_DAY = date(2026, 1, 4), date(2027, 2, 13)

LAID = (0.24, 0.42, 0.58, 0.62, 0.58, 0.5, 0.42, 0.32, 0.16, 0.06, 0.05, 0.12)
"""Eggs per hen and day, by month."""

LAID_BY_DUCKS = (0, 0, 0.35, 0.6, 0.35, 0.1, 0, 0, 0, 0, 0, 0)

EGG_WEIGHT, EGG_SPREAD = 62.0, 3.5
"""Grams, of the eggs weighed: those of the trap nests on Saturdays."""


@dataclass(frozen=True, slots=True)
class Handed:
    """Eggs for hatching that went to somebody."""

    on: str
    kind: EggUseKind
    pen: str
    eggs: int
    taker: str


HANDED = (
    Handed("2026-03-14", EggUseKind.SOLD, "Top pen", 6, "Lise Nørbæk"),
    Handed("2026-04-25", EggUseKind.SOLD, "Long pen", 6, "Hugh Fennimoor"),
    Handed("2026-05-02", EggUseKind.GIVEN, "Bottom pen", 6, "Withy Lane School"),
    Handed("2026-05-16", EggUseKind.SOLD, "Far pond", 6, "Joss Merriden"),
)


def plan_gathering(ledger: Ledger) -> None:
    """Have each week's eggs written up on its Saturday."""
    trapped = _trapped(ledger)
    saturday = FIRST_DAY + timedelta(days=6)
    while saturday <= LAST_DAY:
        ledger.diary.plan(saturday, partial(_write_up, ledger, trapped))
        saturday += timedelta(days=7)


def _trapped(ledger: Ledger) -> dict[str, list[tuple[date, date, int]]]:
    """The days on which each hen was trap-nested, with the eggs she laid on them."""
    found: dict[str, list[tuple[date, date, int]]] = {}
    for sat in SITTINGS:
        if sat.set_on >= FIRST_DAY:
            for lot in sat.lots:
                first, last = days_of(lot.laid, sat.set_on.year)
                found.setdefault(lot.of, []).append((first, last, lot.eggs))
    for tested in TRIALS:
        last = date.fromisoformat(tested.set_on) - timedelta(days=1)
        first = date.fromisoformat(tested.counts_from)
        if first >= FIRST_DAY:
            for hen, eggs, _clear in tested.eggs:
                found.setdefault(hen, []).append((first, last, eggs))
    return {name: spans for name, spans in found.items() if name not in ledger.pens}


def _write_up(ledger: Ledger, trapped: dict[str, list[tuple[date, date, int]]]) -> None:
    snapshot = ledger.book.snapshot()
    year = snapshot.husbandry
    saturday = ledger.diary.today
    rng = Random(f"{SEED} eggs {saturday}")
    in_trap = {ledger.named[name]: spans for name, spans in trapped.items() if name in ledger.named}
    rows: list[Collection | EggUse] = []
    left: Counter[PenId] = Counter()
    for day in (saturday - timedelta(days=back) for back in range(6, -1, -1)):
        for pen in year.pens:
            hens = [snapshot.bird(stay.bird) for stay in year.stays_in.get(pen, ()) if stay.covers(day)]
            others = 0
            for hen in dict.fromkeys(hens):
                spans = [span for span in in_trap.get(hen.id, ()) if span[0] <= day <= span[1]]
                if spans:
                    rows += _from_trap(hen.id, day, spans[0], rng)
                elif _lays(year, hen, day) and rng.random() < _rate(hen, day):
                    others += 1
            if others:
                rows.append(Collection(CollectionId(""), day, others, pen))
                left[pen] += others
    rows += _used(ledger, left)
    if rows:
        ledger.apply(changes.Enter(tuple(rows)), why="Eggs of the week")


def _lays(year: Husbandry, hen: Bird, day: date) -> bool:
    """True when a hen is of age, and neither broody nor in the moult."""
    if hen.sex is Sex.COCK or day < hen.hatched.earliest + timedelta(
        days=species(hen.species).laying_age_days + 60
    ):
        return False
    return not any(
        condition.kind is not ConditionKind.EGG_COLOUR
        and condition.since <= day
        and (condition.until is None or day <= condition.until)
        for condition in year.conditions_of.get(hen.id, ())
    )


def _rate(hen: Bird, day: date) -> float:
    rates = LAID_BY_DUCKS if hen.species == DUCKS.species else LAID
    return rates[day.month - 1]


def _from_trap(hen: BirdId, day: date, span: tuple[date, date, int], rng: Random) -> list[Collection]:
    """The egg a trapped hen laid on a day of those on which she laid so many."""
    first, last, eggs = span
    days, number = (last - first).days + 1, (day - first).days
    if number * eggs // days == (number + 1) * eggs // days:
        return []
    weights = (round(rng.gauss(EGG_WEIGHT, EGG_SPREAD) * 2) / 2,) if day.weekday() == 5 else ()
    return [Collection(CollectionId(""), day, 1, hen=hen, weights=weights)]


def _used(ledger: Ledger, left: Counter[PenId]) -> list[EggUse]:
    """What became of the week's eggs: some were handed over, those to be set are kept, the kitchen has the rest."""
    today = ledger.diary.today
    uses: list[EggUse] = []
    for handed in HANDED:
        if date.fromisoformat(handed.on) == today:
            pen, taker = ledger.pens[handed.pen], ledger.contacts[handed.taker]
            eggs = min(handed.eggs, left[pen])
            uses.append(EggUse(EggUseId(""), today, handed.kind, eggs, pen, taker=taker))
            left[pen] -= eggs
    for pen, eggs in _kept_for_setting(ledger):
        left[pen] -= eggs
    for pen, eggs in left.items():
        if eggs > 0 and today < LAST_DAY:
            uses.append(EggUse(EggUseId(""), today, EggUseKind.EATEN, eggs, pen))
    return uses


def _kept_for_setting(ledger: Ledger) -> list[tuple[PenId, int]]:
    """Eggs of pens, not of trapped hens, laid this week and set now or later."""
    week = ledger.diary.today - timedelta(days=6), ledger.diary.today
    lots = [(sat.set_on, lot.of, lot.eggs, lot.laid) for sat in SITTINGS for lot in sat.lots]
    for sat in SITTINGS:
        lots += [(sat.set_on, lot.mixed[1], lot.mixed[0], lot.laid) for lot in sat.lots if lot.mixed]
        lots += [(sat.set_on, lot.of, -lot.mixed[0], lot.laid) for lot in sat.lots if lot.mixed is not None]
    set_on, _hen, pen, eggs, laid, _found = NEST_LEFT
    lots.append((date.fromisoformat(set_on), pen, eggs, laid))
    found = []
    for on, of, number, days in lots:
        first, last = days_of(days, on.year)
        if of in ledger.pens and first <= week[1] and week[0] <= last:
            share = (min(last, week[1]) - max(first, week[0])).days + 1
            found.append((ledger.pens[of], round(number * share / ((last - first).days + 1))))
    return found
