"""A kept plan beside its season: who was in the pens, what hatched, how inbred it is and what became of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from studbook.book.husbandry.choosing_rows import Plan, PlannedBird, PlannedPen, Verdict
from studbook.book.husbandry.rows import Batch, Fate, Husbandry
from studbook.book.ids import BatchId, BirdId, PenId, PlanId, PlannedPenId
from studbook.book.records import DEAD, HANDED_OVER, Bird, Sex, Snapshot, Status
from studbook.planning.candidates import is_old_enough
from studbook.season.calendar import CHOSEN_FROM_MONTH, season_planned

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness


@dataclass(frozen=True, slots=True)
class Tally:
    """What became of chicks; `kept` are those marked to breed, or in reserve, for a later season."""

    chicks: int = 0
    living: int = 0
    kept: int = 0
    handed_over: int = 0
    died: int = 0
    lost: int = 0


@dataclass(frozen=True, slots=True)
class Eggs:
    """The eggs of a pen that were set, trials left out: how many, and of those with a known end how many were clear."""

    set_under: int = 0
    ended: int = 0
    clear: int = 0
    hatched: int = 0


@dataclass(frozen=True, slots=True)
class Change:
    """A bird that left a pen before its season was over, or came into it, and the day."""

    bird: BirdId
    on: date


@dataclass(frozen=True)
class PenBack:
    """One planned pen and what came of it.

    Attributes
    ----------
    expected, inbreeding
        The mean F of its chicks as it was foreseen, and as it is known now (None without chicks).
    planned_share, share
        The share of all chicks it was to give, and the one it gave (None while there are no chicks).
    others
        How many of its chicks are not certainly, or perhaps not at all, by the planned cock.
    never_came
        Birds of the plan that were never in the pen; empty where the plan named no place.
    without
        Hens of the plan that are a possible dam of no chick.
    """

    cock: BirdId | None
    hens: tuple[BirdId, ...]
    place: PenId | None
    expected: float
    planned_share: float
    chicks: tuple[BirdId, ...]
    tally: Tally
    eggs: Eggs
    inbreeding: float | None
    share: float | None
    others: int
    never_came: tuple[BirdId, ...]
    left: tuple[Change, ...]
    came: tuple[Change, ...]
    without: tuple[BirdId, ...]


@dataclass(frozen=True)
class PlanBack:
    """A plan and what came of it.

    Attributes
    ----------
    is_over
        True once the birds of the next season are being chosen.
    elsewhere
        Chicks of the season that are of none of the planned pens.
    inbreeding
        The mean F of the chicks of the planned pens; None without any.
    living_kinship, kept_kinship
        The mean kinship of two different chicks that live, and of two that are kept to breed; None of fewer than two.
    """

    plan: Plan
    pens: tuple[PenBack, ...]
    is_over: bool
    elsewhere: tuple[BirdId, ...]
    tally: Tally
    eggs: Eggs
    inbreeding: float | None
    living_kinship: float | None
    kept_kinship: float | None

    @property
    def chicks(self) -> tuple[BirdId, ...]:
        """The chicks of the planned pens."""
        return tuple(chick for pen in self.pens for chick in pen.chicks)


def plans_of(snapshot: Snapshot, species: str) -> tuple[Plan, ...]:
    """The kept plans of a species, the latest season first."""
    year = snapshot.husbandry
    found = [
        plan
        for plan in year.plans.values()
        if any(snapshot.bird(bird).species == species for bird in _birds(snapshot, plan.id))
    ]
    return tuple(sorted(found, key=lambda plan: (plan.season, plan.made), reverse=True))


def look_back(snapshot: Snapshot, plan: Plan, relatedness: Relatedness, today: date) -> PlanBack:
    """What came of a plan by a day; F and kinship are those of `relatedness`, as the book knows them now."""
    year = snapshot.husbandry
    rows = year.pens_of_plan.get(plan.id, ())
    planned = {row.id: year.birds_of_planned_pen.get(row.id, ()) for row in rows}
    species = next((snapshot.bird(bird).species for bird in _birds(snapshot, plan.id)), "")
    chicks = [
        bird
        for bird in snapshot.birds
        if bird.species == species
        and bird.hatched.year == plan.season
        and not bird.placeholder
        and not bird.is_founder
    ]
    home = {chick.id: _pen_of(snapshot, chick, rows, planned) for chick in chicks}
    count = sum(place is not None for place in home.values())
    pens = tuple(
        _pen_back(snapshot, plan, row, planned[row.id], home, count, relatedness, today) for row in rows
    )
    of_plan = tuple(chick for pen in pens for chick in pen.chicks)
    living = [chick for chick in of_plan if snapshot.bird(chick).is_living]
    kept = [chick for chick in of_plan if is_kept(year, chick, plan.season)]
    return PlanBack(
        plan,
        pens,
        season_planned(today) > plan.season,
        tuple(chick for chick, place in home.items() if place is None),
        tally(snapshot, of_plan, plan.season),
        _sum_of_eggs(pen.eggs for pen in pens),
        _mean_inbreeding(snapshot, of_plan, relatedness),
        between(relatedness, living),
        between(relatedness, kept),
    )


def between(relatedness: Relatedness, birds: Sequence[BirdId]) -> float | None:
    """The mean kinship of two different birds out of some; None of fewer than two.

    It is what c′Kc of their parents foresees for two chicks taken at random; a bird with itself is left out, since
    a prediction knows of no single chick.
    """
    count = len(birds)
    if count < 2:
        return None
    figures = relatedness.kinship(birds, birds)
    return float((figures.sum() - figures.trace()) / (count * (count - 1)))


def is_kept(year: Husbandry, bird: BirdId, season: int) -> bool:
    """True for a bird that is marked to breed, or as a reserve, for a season after its own."""
    return any(
        choice.season > season and choice.verdict is not Verdict.NO
        for choice in year.choices_of.get(bird, ())
    )


def tally(snapshot: Snapshot, chicks: Iterable[BirdId], season: int) -> Tally:
    """What became of chicks hatched in a season."""
    birds = [snapshot.bird(chick) for chick in chicks]
    return Tally(
        len(birds),
        sum(bird.is_living for bird in birds),
        sum(is_kept(snapshot.husbandry, bird.id, season) for bird in birds),
        sum(bird.status in HANDED_OVER for bird in birds),
        sum(bird.status in DEAD for bird in birds),
        sum(bird.status is Status.LOST for bird in birds),
    )


def _birds(snapshot: Snapshot, plan: PlanId) -> tuple[BirdId, ...]:
    year = snapshot.husbandry
    return tuple(
        row.bird
        for pen in year.pens_of_plan.get(plan, ())
        for row in year.birds_of_planned_pen.get(pen.id, ())
        if snapshot.has(row.bird)
    )


def _pen_of(
    snapshot: Snapshot,
    chick: Bird,
    rows: Sequence[PlannedPen],
    planned: Mapping[PlannedPenId, Sequence[PlannedBird]],
) -> PlannedPen | None:
    """The planned pen a chick is of: by the pen of its egg, else by the one pen its dam or its sire stood in."""
    year = snapshot.husbandry
    batch = _root(year, year.batch_of.get(chick.id))
    if batch is not None and batch.pen is not None:
        return next((row for row in rows if row.pen == batch.pen), None)
    for parents in ((batch.hen,) if batch is not None and batch.hen is not None else chick.dams, chick.sires):
        found = {row.id: row for row in rows for each in planned[row.id] if each.bird in parents}
        if len(found) == 1:
            return next(iter(found.values()))
    return None


def _root(year: Husbandry, batch: BatchId | None) -> Batch | None:
    """The batch as it was first set, before its eggs were moved to another sitting."""
    found = year.batches.get(batch) if batch is not None else None
    while found is not None and found.moved_from is not None and found.moved_from in year.batches:
        found = year.batches[found.moved_from]
    return found


def _pen_back(
    snapshot: Snapshot,
    plan: Plan,
    row: PlannedPen,
    birds: Sequence[PlannedBird],
    home: Mapping[BirdId, PlannedPen | None],
    count: int,
    relatedness: Relatedness,
    today: date,
) -> PenBack:
    here = [each for each in birds if snapshot.has(each.bird)]
    cocks = [each.bird for each in here if snapshot.bird(each.bird).sex is Sex.COCK]
    hens = tuple(each.bird for each in here if each.bird not in cocks)
    cock = cocks[0] if cocks else None
    chicks = tuple(chick for chick, place in home.items() if place is not None and place.id == row.id)
    dams = {dam for chick in chicks for dam in snapshot.bird(chick).dams}
    never, left, came = _company(snapshot, plan, row.pen, [each.bird for each in here], today)
    return PenBack(
        cock,
        hens,
        row.pen,
        row.expected,
        2 * sum(each.share for each in here if each.bird in hens),
        chicks,
        tally(snapshot, chicks, plan.season),
        _eggs(snapshot.husbandry, row.pen, hens, plan.season),
        _mean_inbreeding(snapshot, chicks, relatedness),
        len(chicks) / count if count else None,
        sum(snapshot.bird(chick).sire != cock for chick in chicks),
        never,
        left,
        came,
        tuple(hen for hen in hens if chicks and hen not in dams),
    )


def _company(
    snapshot: Snapshot, plan: Plan, pen: PenId | None, birds: Sequence[BirdId], today: date
) -> tuple[tuple[BirdId, ...], tuple[Change, ...], tuple[Change, ...]]:
    """Who of a plan never came, who left before the season was over, and which grown birds came besides."""
    first, last = plan.made, min(today, date(plan.season, CHOSEN_FROM_MONTH, 1))
    if pen is None or last < first:
        return (), (), ()
    stays = [
        stay
        for stay in snapshot.husbandry.stays_in.get(pen, ())
        if stay.since <= last and (stay.until is None or stay.until > first) and snapshot.has(stay.bird)
    ]
    there = {stay.bird for stay in stays}
    if not there.intersection(birds):
        return (), (), ()  # the plan was not carried out here at all, or not yet
    never = tuple(bird for bird in birds if bird not in there)
    ends: dict[BirdId, date | None] = {}
    for stay in stays:
        ends[stay.bird] = stay.until
    left = tuple(
        Change(bird, until)
        for bird, until in ends.items()
        if bird in birds and until is not None and until < last
    )
    begun: dict[BirdId, date] = {}
    for stay in stays:
        bird = snapshot.bird(stay.bird)
        if stay.bird not in birds and bird.sex is not Sex.UNKNOWN and is_old_enough(bird, stay.since):
            begun.setdefault(stay.bird, stay.since)
    came = tuple(Change(bird, since) for bird, since in begun.items() if since > first)
    return never, left, came


def _eggs(year: Husbandry, pen: PenId | None, hens: Sequence[BirdId], season: int) -> Eggs:
    """The eggs of a pen, or of a hen of it, set in a season, each counted where it was set first."""
    set_under = ended = clear = hatched = 0
    for batch in year.batches.values():
        root = _root(year, batch.id)
        sitting = year.sittings.get(batch.sitting)
        if root is None or sitting is None or root.trial is not None or sitting.set_on.year != season:
            continue
        is_here = root.pen == pen if root.pen is not None else root.hen in hens
        if not is_here:
            continue
        if batch.moved_from is None:
            set_under += batch.eggs
        for fate in year.fates_of.get(batch.id, ()):
            if fate.fate is not Fate.MOVED:
                ended += fate.eggs
            clear += fate.eggs * (fate.fate is Fate.CLEAR)
            hatched += fate.eggs * (fate.fate is Fate.HATCHED)
    return Eggs(set_under, ended, clear, hatched)


def _sum_of_eggs(parts: Iterable[Eggs]) -> Eggs:
    held = list(parts)
    return Eggs(
        sum(part.set_under for part in held),
        sum(part.ended for part in held),
        sum(part.clear for part in held),
        sum(part.hatched for part in held),
    )


def _mean_inbreeding(snapshot: Snapshot, chicks: Sequence[BirdId], relatedness: Relatedness) -> float | None:
    if not chicks:
        return None
    figures = relatedness.inbreeding
    return float(sum(figures[snapshot.rows[chick]] for chick in chicks) / len(chicks))
