"""What came of the eggs that were set, by pen, cock, hen, broody, machine or week."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from functools import lru_cache
from operator import is_

from studbook.book.husbandry.rows import Batch, Fate, Husbandry, MixedIn, Sitting
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BatchId, BirdId, MachineId, PenId, SittingId
from studbook.book.records import Pair, Snapshot
from studbook.planning.eggs.week import monday
from studbook.planning.sittings.counts import last_candling
from studbook.season.outcome import Counts, Loss, Outcome, outcome, total


class By(Enum):
    """By what the eggs are taken together."""

    PEN = "pen"
    COCK = "cock"
    HEN = "hen"
    BROODY = "broody"
    MACHINE = "machine"
    WEEK = "week"


@dataclass(frozen=True, slots=True)
class Group:
    """Whose eggs a line is of; more than one means that they cannot be told apart, none that nothing is told.

    Attributes
    ----------
    birds
        Cocks, hens or broodies; ``None`` among cocks or hens is one that is not known.
    week
        The Monday of the week in which they were set.
    outside
        Eggs that came from outside the book.
    """

    by: By
    birds: tuple[BirdId | None, ...] = ()
    pens: tuple[PenId, ...] = ()
    machine: MachineId | None = None
    week: date | None = None
    outside: bool = False

    @property
    def is_told(self) -> bool:
        """True when something is known of where the eggs belong."""
        return bool(
            any(bird is not None for bird in self.birds)
            or self.pens
            or self.machine
            or self.week
            or self.outside
        )

    @property
    def is_certain(self) -> bool:
        """True when the eggs belong to one alone."""
        return self.is_told and len(self.birds) <= 1 and len(self.pens) <= 1


@dataclass(frozen=True, slots=True)
class OutcomeRow:
    """One line: whose eggs, of which sittings, and what came of them.

    Attributes
    ----------
    taken_alive
        Eggs seen alive and then taken away, as in a fertility trial: they tell of fertility, and of no hatch.
    outcome
        Of all eggs.
    over
        Of the eggs that tell of a hatch: those of sittings in which every egg has met its end.
    """

    group: Group
    sittings: frozenset[SittingId]
    taken_alive: int
    outcome: Outcome
    over: Outcome

    @property
    def counts(self) -> Counts:
        """The eggs by their fates; those taken away alive are among the alive."""
        return self.outcome.counts

    @property
    def losses(self) -> tuple[Loss, ...]:
        """By stage: clear eggs of all that were seen, later losses of those that tell of a hatch."""
        return (*self.outcome.losses[:1], *self.over.losses[1:])

    @property
    def standing_out(self) -> tuple[Loss, ...]:
        """The stages with more losses than usual."""
        return tuple(loss for loss in self.losses if loss.stands_out)

    @property
    def under_way(self) -> int:
        """The eggs that still lie under a hen or in a machine."""
        return self.counts.unseen + self.counts.alive - self.taken_alive


@dataclass(frozen=True)
class Parents:
    """The candidate pairs of each batch: the slow part, kept while stays and eggs set stay the same."""

    basis: tuple[object, ...]
    pairs: dict[BatchId, tuple[Pair, ...]] = field(default_factory=dict)


def parents_of_eggs(snapshot: Snapshot, known: Parents | None = None) -> Parents:
    """Whose the eggs of each batch may be; `known` is given back while it still holds."""
    year = snapshot.husbandry
    basis = (
        snapshot.birds, year.stays, year.matings, year.conditions, year.sittings, year.batches,
        year.mixed_in, year.batch_pairs, year.figures,
    )  # fmt: skip
    if known is not None and all(map(_same, basis, known.basis)):
        return known
    asking = WhoseEgg({bird.id: bird for bird in snapshot.birds}, year)
    return Parents(basis, {batch.id: asking.of_batch(batch).pairs for batch in year.batches.values()})


def _same(new: object, old: object) -> bool:
    """True for the very same rows; the birds stand in a fresh tuple after every change."""
    if isinstance(new, tuple) and isinstance(old, tuple):
        return len(new) == len(old) and all(map(is_, new, old))
    return new is old


def seasons(snapshot: Snapshot) -> tuple[int, ...]:
    """The years in which eggs were set, the latest first."""
    return tuple(
        sorted({sitting.set_on.year for sitting in snapshot.husbandry.sittings.values()}, reverse=True)
    )


def outcomes(
    snapshot: Snapshot, by: By, season: int | None = None, parents: Parents | None = None
) -> tuple[OutcomeRow, ...]:
    """A line for each group of eggs set in `season` (all seasons by default).

    Weeks come in order; others by the eggs set, the most first. Eggs that cannot be told apart have a line of
    their own and count for none of those they may belong to.
    """
    year = snapshot.husbandry
    asked = _Asked(year, parents_of_eggs(snapshot, parents) if by in (By.COCK, By.HEN) else None)
    found: dict[Group, list[tuple[Batch, Counts]]] = {}
    for batch in year.batches.values():
        sitting = year.sittings[batch.sitting]
        if season is not None and sitting.set_on.year != season:
            continue
        group = asked.group(by, batch, sitting)
        found.setdefault(group, []).append((batch, batch_counts(year, batch)))
    rows = [_row(year, group, eggs) for group, eggs in found.items()]
    if by is By.WEEK:
        return tuple(sorted(rows, key=lambda row: row.group.week or date.min))
    return tuple(
        sorted(rows, key=lambda row: (not row.group.is_told, not row.group.is_certain, -row.counts.set_here))
    )


def all_together(by: By, rows: Iterable[OutcomeRow]) -> OutcomeRow:
    """The eggs of all lines as one."""
    lines = tuple(rows)
    return OutcomeRow(
        Group(by),
        frozenset[SittingId]().union(*(row.sittings for row in lines)),
        sum(row.taken_alive for row in lines),
        _outcome(total(row.counts for row in lines)),
        _outcome(total(row.over.counts for row in lines)),
    )


def outcome_of(snapshot: Snapshot, group: Group, batches: Iterable[Batch]) -> OutcomeRow:
    """What came of the eggs of some batches taken together."""
    year = snapshot.husbandry
    return _row(year, group, [(batch, batch_counts(year, batch)) for batch in batches])


def _row(year: Husbandry, group: Group, eggs: list[tuple[Batch, Counts]]) -> OutcomeRow:
    return OutcomeRow(
        group,
        frozenset(batch.sitting for batch, _counts in eggs),
        sum(counts.alive - _left_alive(year, batch) for batch, counts in eggs),
        _outcome(total(counts for _batch, counts in eggs)),
        _outcome(total(counts for batch, counts in eggs if counts.is_over and _is_over(year, batch.sitting))),
    )


def _is_over(year: Husbandry, sitting: SittingId) -> bool:
    return not any(year.eggs_left(batch) for batch in year.batches_of[sitting])


@lru_cache(maxsize=4096)
def _outcome(counts: Counts) -> Outcome:
    """Exact limits take a while to find, and most lines are the same as before."""
    return outcome(counts)


class _Asked:
    """Finds the group of a batch."""

    def __init__(self, year: Husbandry, parents: Parents | None) -> None:
        self._year = year
        self._parents = parents

    def group(self, by: By, batch: Batch, sitting: Sitting) -> Group:
        match by:
            case By.PEN:
                return self._by_pen(batch)
            case By.COCK:
                return self._by_parent(By.COCK, batch, lambda pair: pair.sire)
            case By.HEN:
                return self._by_parent(By.HEN, batch, lambda pair: pair.dam)
            case By.BROODY:
                both = (sitting.broody, sitting.second_broody)
                return Group(By.BROODY, birds=tuple(bird for bird in both if bird is not None))
            case By.MACHINE:
                return Group(By.MACHINE, machine=sitting.machine)
            case By.WEEK:
                return Group(By.WEEK, week=monday(sitting.set_on))

    def _root(self, batch: Batch) -> Batch:
        seen = {batch.id}
        while batch.moved_from is not None and batch.moved_from not in seen:
            seen.add(batch.moved_from)
            batch = self._year.batches[batch.moved_from]
        return batch

    def _by_pen(self, batch: Batch) -> Group:
        """The pen the eggs were gathered in; those of a trap-nested hen, the pen she was in then."""
        root = self._root(batch)
        pens = set()
        lots: tuple[Batch | MixedIn, ...] = (root, *self._year.mixed_into.get(root.id, ()))
        for lot in lots:
            pen = lot.pen
            if lot.hen is not None:
                laid = lot.laid_from or lot.laid_to or self._year.sittings[root.sitting].set_on
                stay = self._year.stay_on(lot.hen, laid)
                pen = stay.pen if stay is not None else pen
            if pen is not None:
                pens.add(pen)
        order = list(self._year.pens)
        return Group(
            By.PEN, pens=tuple(sorted(pens, key=order.index)), outside=not pens and bool(root.outside)
        )

    def _by_parent(self, by: By, batch: Batch, parent: Callable[[Pair], BirdId | None]) -> Group:
        assert self._parents is not None
        pairs = self._parents.pairs[batch.id]
        found = dict.fromkeys(parent(pair) for pair in sorted(pairs, key=lambda pair: -pair.weight))
        named = sorted(found, key=lambda bird: (bird is None, bird or ""))
        return Group(by, birds=tuple(named), outside=not pairs and bool(self._root(batch).outside))


def batch_counts(year: Husbandry, batch: Batch) -> Counts:
    """The eggs of one batch by their fates; alive are those last seen so that have no fate or were taken away."""
    by_fate: dict[Fate, int] = {}
    helped = died = 0
    for fate in year.fates_of.get(batch.id, ()):
        by_fate[fate.fate] = by_fate.get(fate.fate, 0) + fate.eggs
        helped, died = helped + fate.helped, died + fate.died
    arrived = batch.moved_from is not None
    taken_alive = _taken_alive(year, batch)
    return Counts(
        eggs=0 if arrived else batch.eggs,
        moved_in=batch.eggs if arrived else 0,
        clear=by_fate.get(Fate.CLEAR, 0),
        early_dead=by_fate.get(Fate.EARLY_DEAD, 0),
        late_dead=by_fate.get(Fate.LATE_DEAD, 0),
        pipped_dead=by_fate.get(Fate.PIPPED_DEAD, 0),
        hatched=by_fate.get(Fate.HATCHED, 0),
        broken=by_fate.get(Fate.BROKEN, 0),
        removed=by_fate.get(Fate.REMOVED, 0) - taken_alive,
        moved=by_fate.get(Fate.MOVED, 0),
        alive=_left_alive(year, batch) + taken_alive,
        helped=helped,
        died_first_day=died,
    )


_ALIVE_UNTIL_THEN = (Fate.EARLY_DEAD, Fate.LATE_DEAD, Fate.PIPPED_DEAD, Fate.HATCHED, Fate.MOVED)


def _alive(year: Husbandry, batch: Batch) -> int:
    """The eggs seen alive at the last candling whose end was not seen since."""
    seen = last_candling(year, batch)
    if seen is None:
        return 0
    since = sum(
        fate.eggs
        for fate in year.fates_of.get(batch.id, ())
        if fate.fate in _ALIVE_UNTIL_THEN and (fate.on is None or fate.on > seen.on)
    )
    return max(0, seen.alive + seen.pipped - since)


def _left_alive(year: Husbandry, batch: Batch) -> int:
    """Those of them that still lie there."""
    left = year.eggs_left(batch)
    return min(left, _alive(year, batch)) if left else 0


def _taken_alive(year: Husbandry, batch: Batch) -> int:
    """Those of them that were taken away on the day of the candling or later."""
    seen = last_candling(year, batch)
    if seen is None:
        return 0
    taken = sum(
        fate.eggs
        for fate in year.fates_of.get(batch.id, ())
        if fate.fate is Fate.REMOVED and (fate.on is None or fate.on >= seen.on)
    )
    return min(taken, _alive(year, batch) - _left_alive(year, batch))
