"""Pairs that had eggs or chicks before: what came of the eggs, and how the chicks did."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from studbook.book.husbandry.rows import Batch
from studbook.book.records import Bird, BirdId, Snapshot
from studbook.planning.candidates import kind_of
from studbook.planning.eggs.outcome import (
    By,
    Group,
    OutcomeRow,
    Parents,
    batch_counts,
    outcome_of,
    parents_of_eggs,
)

_CERTAIN = 1 - 1e-9


@dataclass(frozen=True, slots=True)
class EarlierPairing:
    """What the book knows of a pair that was together before.

    Attributes
    ----------
    seasons
        The years in which eggs that are certainly theirs were set or chicks hatched, ascending.
    eggs
        What came of the eggs that are certainly theirs; None when none were set.
    doubtful_eggs
        How many eggs more may be theirs, and cannot be told from those of others.
    chicks
        The birds of the book that are certainly theirs.
    doubtful_chicks
        How many birds more may be theirs.
    living
        Of the chicks, those alive in the flock or lent.
    kept
        Of the chicks, those that were still the keeper's at breeding age.
    """

    cock: BirdId
    hen: BirdId
    seasons: tuple[int, ...]
    eggs: OutcomeRow | None
    doubtful_eggs: int
    chicks: tuple[BirdId, ...]
    doubtful_chicks: int
    living: int
    kept: int

    @property
    def is_certain(self) -> bool:
        """True when some eggs or chicks are theirs beyond doubt."""
        return self.eggs is not None or bool(self.chicks)


@dataclass
class _Found:
    """The eggs and chicks of a pair while they are gathered."""

    batches: list[Batch] = field(default_factory=list)
    doubtful_batches: list[Batch] = field(default_factory=list)
    chicks: list[Bird] = field(default_factory=list)
    doubtful_chicks: int = 0


@dataclass(frozen=True)
class EarlierPairings:
    """The pairs of a book that were together before, by cock and hen.

    Attributes
    ----------
    marks
        True for a pair with eggs or chicks that are certainly theirs, False for one that may have had some.
    parents
        Whose the eggs of each batch may be, for the next asking.
    """

    snapshot: Snapshot
    today: date
    parents: Parents
    marks: Mapping[tuple[BirdId, BirdId], bool]
    _found: Mapping[tuple[BirdId, BirdId], _Found]

    def of(self, cock: BirdId, hen: BirdId) -> EarlierPairing | None:
        """How a pair did before; None when nothing is known of it."""
        found = self._found.get((cock, hen))
        if found is None:
            return None
        year = self.snapshot.husbandry
        eggs = outcome_of(self.snapshot, Group(By.COCK, (cock,)), found.batches) if found.batches else None
        hatched = {chick.hatched.year for chick in found.chicks}
        seasons = {year.sittings[batch.sitting].set_on.year for batch in found.batches}
        return EarlierPairing(
            cock,
            hen,
            tuple(sorted(seasons | {season for season in hatched if season is not None})),
            eggs,
            sum(batch_counts(year, batch).set_here for batch in found.doubtful_batches),
            tuple(chick.id for chick in found.chicks),
            found.doubtful_chicks,
            sum(chick.is_ours for chick in found.chicks),
            sum(was_kept(chick, self.today) for chick in found.chicks),
        )


def earlier_pairings(snapshot: Snapshot, today: date, known: Parents | None = None) -> EarlierPairings:
    """The pairs that had eggs or chicks; `known` spares finding whose eggs are whose while it still holds.

    A batch or a chick with one candidate pair is certainly theirs; with several, or with one that is not
    certain, it may be theirs and counts for nobody alone.
    """
    parents = parents_of_eggs(snapshot, known)
    found: dict[tuple[BirdId, BirdId], _Found] = {}
    for batch_id, pairs in parents.pairs.items():
        for pair in pairs:
            if pair.sire is None or pair.dam is None:
                continue
            of_pair = found.setdefault((pair.sire, pair.dam), _Found())
            certain = pair.weight >= _CERTAIN
            batch = snapshot.husbandry.batches[batch_id]
            (of_pair.batches if certain else of_pair.doubtful_batches).append(batch)
    for bird in snapshot.birds:
        if bird.placeholder:
            continue
        for pair in bird.pairs:
            if pair.sire is None or pair.dam is None:
                continue
            of_pair = found.setdefault((pair.sire, pair.dam), _Found())
            if pair.weight >= _CERTAIN:
                of_pair.chicks.append(bird)
            else:
                of_pair.doubtful_chicks += 1
    marks = {pair: bool(each.batches or each.chicks) for pair, each in found.items()}
    return EarlierPairings(snapshot, today, parents, marks, found)


def was_kept(bird: Bird, today: date) -> bool:
    """True for a home-hatched bird that was still the keeper's when it was old enough to breed."""
    if not bird.hatched.is_known:
        return bird.is_ours
    grown = bird.hatched.latest + timedelta(days=kind_of(bird).parent_age_days(bird.sex))
    if bird.is_ours:
        return grown <= today
    return bird.left.is_known and grown <= bird.left.latest
