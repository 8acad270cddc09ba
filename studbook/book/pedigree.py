"""The pedigree of a book as arrays, by convention and cautious.

By convention an unknown parent is unrelated to every other bird. The cautious pedigree does not
take unknown for new blood: an unknown parent of a home-hatched bird is the mean of the birds of
its sex that could have been it. Only what is impossible excludes a bird.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from studbook.book.origins import OriginSources, origin_sources
from studbook.book.records import Bird, BirdId, OriginId, Row, Sex, Snapshot, Status
from studbook.genetics.pedigree import UNKNOWN, Pedigree, parents_first
from studbook.season.species import Species, all_species, species

# later than any date, and still so after some thousand generations are taken off
_NEVER = 10_000_000


@dataclass(frozen=True, eq=False)
class BookPedigree:
    """The pedigree of a snapshot.

    Attributes
    ----------
    pedigree
        n nodes: the b birds of the snapshot, the means of possible parents, the related origins.
    nodes
        (b,) the node of each `Row`.
    rows
        (n,) the `Row` of each node, `UNKNOWN` for a node that is no bird.
    origins
        The origin of each node that stands for one.
    sources
        The origins that draw genes from each node that is such a shared source.
    """

    pedigree: Pedigree
    nodes: NDArray[np.int32]
    rows: NDArray[np.int32]
    origins: dict[int, OriginId]
    sources: dict[int, tuple[OriginId, ...]] = field(default_factory=dict)

    def row(self, node: int) -> Row:
        """The bird of a node."""
        return Row(int(self.rows[node]))

    def share_ancestors(self, bird: Row, other: Row) -> bool:
        """True when some bird or origin is behind both."""
        behind = self.pedigree.with_ancestors([self.nodes[bird]])
        return bool(np.isin(behind, self.pedigree.with_ancestors([self.nodes[other]])).any())


def conventional_pedigree(snapshot: Snapshot) -> BookPedigree:
    """The pedigree with every unknown parent unrelated, unless an origin says otherwise."""
    building = _Building(snapshot)
    return building.finished(building.birds_in_order())


def cautious_pedigree(snapshot: Snapshot, progress: Callable[[float], None] | None = None) -> BookPedigree:
    """The pedigree with unknown parents of home-hatched birds among those that could have been it.

    `progress` hears the share done; an exception it raises ends the work.
    """
    told = progress or _untold
    building = _Building(snapshot)
    told(0.3)
    flock = _Flock(snapshot, building.recorded)
    told(0.5)
    clutches: dict[_Clutch, list[int]] = {}
    for row, bird in enumerate(snapshot.birds):
        if _is_incomplete(bird):
            for place, sex in enumerate((Sex.COCK, Sex.HEN)):
                if any(pair[place] == UNKNOWN for pair in building.pairs[row]):
                    clutches.setdefault(flock.clutch(row, sex), []).append(row)
    possible: dict[_Clutch, NDArray[np.intp]] = {}
    for number, clutch in enumerate(clutches):
        possible[clutch] = flock.possible_parents(clutch)
        told(0.5 + 0.2 * number / len(clutches))
    orderly = all(np.all(flock.latest[rows] < clutch.latest) for clutch, rows in possible.items())
    if not orderly:
        possible = _without_loops(building, flock, clutches, possible)

    means: dict[bytes, int] = {}
    before: dict[int, int] = {}
    for clutch, chicks in clutches.items():
        candidates = possible[clutch]
        if not len(candidates):
            continue
        if len(candidates) == 1:
            parent = int(candidates[0])
        else:
            parent = means.setdefault(candidates.tobytes(), len(building.pairs))
            if parent == len(building.pairs):
                building.add_mean(candidates.tolist())
            before[parent] = min(before.get(parent, _NEVER), clutch.latest)
        for chick in chicks:
            building.fill(chick, clutch.sex, parent)
    told(0.8)
    if not orderly:
        return building.finished(parents_first([_known(pairs) for pairs in building.pairs]))
    # a mean stands before the birds hatched on its day, a bird after all that could be its parent
    birds = [(int(flock.latest[row]), 1, row) for row in range(len(snapshot.birds))]
    return building.finished(
        [
            *building.sources(),
            *(
                node
                for _, _, node in sorted([*birds, *((latest, 0, mean) for mean, latest in before.items())])
            ),
        ]
    )


def _untold(_share: float) -> None:
    """Progress nobody hears."""


def recorded_pedigree(snapshot: Snapshot) -> Pedigree:
    """The pedigree by `Row` as written in the record, without anything assumed."""
    pairs = [_recorded_pairs(snapshot, bird) for bird in snapshot.birds]
    return _pedigree(pairs, np.full(len(pairs), np.nan))


def known_pedigree(snapshot: Snapshot) -> Pedigree:
    """The pedigree by `Row` without placeholders as parents: how much is known of each bird."""
    pairs = [
        [
            (
                UNKNOWN if sire != UNKNOWN and snapshot.birds[sire].placeholder else sire,
                UNKNOWN if dam != UNKNOWN and snapshot.birds[dam].placeholder else dam,
                weight,
            )
            for sire, dam, weight in _recorded_pairs(snapshot, bird)
        ]
        for bird in snapshot.birds
    ]
    return _pedigree(pairs, np.full(len(pairs), np.nan))


def home_hatched_without_parents(snapshot: Snapshot) -> NDArray[np.intp]:
    """The rows of birds of whom neither parent is known though they were certainly hatched at home.

    That is: not declared founders, not bought in, and hatched when the flock held a cock and a hen
    old enough. The first birds of a book are none of them, declared or not.
    """
    unparented = [
        row
        for row, bird in enumerate(snapshot.birds)
        if not (bird.sires or bird.dams)
        and bird.hatched.is_known
        and bird.arrived is None
        and not (bird.is_founder or bird.placeholder)
    ]
    if not unparented:
        return np.zeros(0, dtype=np.intp)
    pairs = [_recorded_pairs(snapshot, bird) for bird in snapshot.birds]
    flock, rows = _Flock(snapshot, pairs), np.array(unparented, dtype=np.intp)
    return rows[flock.had_breeder(rows, Sex.COCK) & flock.had_breeder(rows, Sex.HEN)]


_Pair = tuple[int, int, float]


class _Building:
    """A pedigree while it is put together: birds by row, then means and origins behind them."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._birds = len(snapshot.birds)
        self.recorded = [_recorded_pairs(snapshot, bird) for bird in snapshot.birds]
        self.pairs = list(self.recorded)
        self._variance: list[float] = [np.nan] * self._birds
        self._origins: dict[int, OriginId] = {}
        self._sources: dict[int, tuple[OriginId, ...]] = {}
        self._add_origins(origin_sources(snapshot.origins, snapshot.origin_relations))
        nodes = {origin: node for node, origin in self._origins.items()}
        for row, bird in enumerate(snapshot.birds):
            node = nodes.get(bird.origin) if bird.origin is not None else None
            if node is not None:
                self.fill(row, Sex.COCK, node)
                self.fill(row, Sex.HEN, node)

    def _add_origins(self, found: OriginSources) -> None:
        drawn: dict[OriginId, list[_Pair]] = {}
        for shared in found.shared:
            source = self._add([], shared.variance)
            self._sources[source] = tuple(shared.shares)
            for origin, share in shared.shares.items():
                drawn.setdefault(origin, []).append((source, source, share))
        for origin, variance in found.own.items():
            pairs = drawn.get(origin, [])
            if pairs:
                pairs.append((UNKNOWN, UNKNOWN, 1 - sum(share for _sire, _dam, share in pairs)))
            if pairs or variance > 0:
                self._origins[self._add(pairs, variance)] = origin

    def _add(self, pairs: list[_Pair], variance: float) -> int:
        self.pairs.append(pairs)
        self._variance.append(variance)
        return len(self.pairs) - 1

    def add_mean(self, candidates: Sequence[int]) -> int:
        """A node for the mean of `candidates`."""
        return self._add([(row, row, 1 / len(candidates)) for row in candidates], 0.0)

    def fill(self, row: int, sex: Sex, parent: int) -> None:
        """Put `parent` where this parent of the bird is unknown."""
        self.pairs[row] = [
            (
                parent if sex is Sex.COCK and sire == UNKNOWN else sire,
                parent if sex is Sex.HEN and dam == UNKNOWN else dam,
                weight,
            )
            for sire, dam, weight in self.pairs[row]
        ]

    def sources(self) -> Iterable[int]:
        """The nodes of the related origins and of what they share."""
        return [*self._sources, *self._origins]

    def birds_in_order(self) -> list[int]:
        """Origins, then the birds in the order of the snapshot."""
        return [*self.sources(), *range(self._birds)]

    def finished(self, order: Sequence[int]) -> BookPedigree:
        """The pedigree with its nodes in `order`, which has parents before offspring."""
        place = np.full(len(self.pairs) + 1, UNKNOWN, dtype=np.int32)
        place[list(order)] = np.arange(len(order), dtype=np.int32)
        pairs = [
            [(int(place[sire]), int(place[dam]), weight) for sire, dam, weight in self.pairs[node]]
            for node in order
        ]
        rows = np.array([node if node < self._birds else UNKNOWN for node in order], dtype=np.int32)
        return BookPedigree(
            _pedigree(pairs, np.array(self._variance)[list(order)]),
            place[: self._birds],
            rows,
            {int(place[node]): origin for node, origin in self._origins.items()},
            {int(place[node]): origins for node, origins in self._sources.items()},
        )


@dataclass(frozen=True, slots=True)
class _Clutch:
    """Birds hatched at one time whose sire (or dam) is asked for."""

    species: str
    sex: Sex
    earliest: int
    latest: int


@dataclass(frozen=True, eq=False)
class _Breeders:
    """The birds of one sex and species, in the order in which they could first have a chick.

    Attributes
    ----------
    rows, able_from, last_chick
        (c,) each bird, and the days between which its chicks can hatch.
    """

    rows: NDArray[np.intp]
    able_from: NDArray[np.int64]
    last_chick: NDArray[np.int64]

    def between(self, earliest: int, latest: int) -> NDArray[np.intp]:
        """The rows, ascending, of those that can have a chick hatched between two days."""
        able = np.searchsorted(self.able_from, latest, side="right")
        return np.sort(self.rows[:able][self.last_chick[:able] >= earliest])


class _Flock:
    """Who could have been a parent of whom, by sex, species, age and presence.

    Attributes
    ----------
    earliest, latest
        (b,) the days between which each bird hatched, also by what is known of its certain parents
        and of its offspring; a parent's `latest` is always before its offspring's.
    """

    def __init__(self, snapshot: Snapshot, pairs: Sequence[Sequence[_Pair]]) -> None:
        birds = snapshot.birds
        self._birds = birds
        self._sex = np.array([bird.sex.value for bird in birds], dtype=object)
        self._species = np.array([bird.species for bird in birds], dtype=object)
        self._real = np.array([not bird.placeholder for bird in birds], dtype=bool)
        self._gap = np.array([_gap_days(bird) for bird in birds], dtype=np.int64)
        self.earliest, self.latest = self._hatch_bounds(birds, pairs)
        self._arrived = np.array(
            [bird.arrived.earliest.toordinal() if bird.arrived else 0 for bird in birds], dtype=np.int64
        )
        self._last_chick = np.array([_last_chick(bird) for bird in birds], dtype=np.int64)
        self._breeders: dict[tuple[str, Sex], _Breeders] = {}

    def clutch(self, row: int, sex: Sex) -> _Clutch:
        """What decides who could have been this parent of a bird."""
        return _Clutch(self._birds[row].species, sex, int(self.earliest[row]), int(self.latest[row]))

    def possible_parents(self, clutch: _Clutch) -> NDArray[np.intp]:
        """The rows of the birds that could have been it, ascending."""
        kind = (clutch.species, clutch.sex)
        if kind not in self._breeders:
            rows = self._of_kind(*kind)
            able_from = np.maximum(self.earliest[rows] + self._gap[rows], self._arrived[rows])
            order = np.argsort(able_from)
            rows = rows[order]
            self._breeders[kind] = _Breeders(rows, able_from[order], self._last_chick[rows])
        return self._breeders[kind].between(clutch.earliest, clutch.latest)

    def _of_kind(self, kind: str, sex: Sex) -> NDArray[np.intp]:
        return np.flatnonzero(self._real & (self._sex == sex.value) & (self._species == kind))

    def had_breeder(self, rows: NDArray[np.intp], sex: Sex) -> NDArray[np.bool_]:
        """Whether a bird of this sex was certainly there and old enough to be the parent of each (r,)."""
        found = np.zeros(len(rows), dtype=bool)
        for kind in set(self._species[rows]):
            breeders = self._of_kind(kind, sex)
            able_from = np.maximum(self.latest[breeders] + self._gap[breeders], self._arrived[breeders])
            order = np.argsort(able_from)
            # up to each breeder, the last day on which a chick of it or of an older one can hatch
            last_chick = np.maximum.accumulate(np.append(0, self._last_chick[breeders][order]))
            chicks = np.flatnonzero(self._species[rows] == kind)
            able = np.searchsorted(able_from[order], self.earliest[rows[chicks]], side="right")
            found[chicks] = last_chick[able] >= self.latest[rows[chicks]]
        return found

    def _hatch_bounds(
        self, birds: Sequence[Bird], pairs: Sequence[Sequence[_Pair]]
    ) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        # plain numbers: reading single ones out of an array takes several times as long
        gap = self._gap.tolist()
        earliest = [bird.hatched.earliest.toordinal() for bird in birds]
        latest = [bird.hatched.latest.toordinal() if bird.hatched.is_known else _NEVER for bird in birds]
        for row in range(len(birds)):
            for older in _certain(pairs[row]):
                earliest[row] = max(earliest[row], earliest[older] + gap[older])
        for row in range(len(birds) - 1, -1, -1):
            for sire, dam, _weight in pairs[row]:
                for older in (sire, dam):
                    if older != UNKNOWN:
                        latest[older] = min(latest[older], latest[row] - gap[older])
        return np.array(earliest, dtype=np.int64), np.array(latest, dtype=np.int64)


def _without_loops(
    building: _Building,
    flock: _Flock,
    clutches: dict[_Clutch, list[int]],
    possible: dict[_Clutch, NDArray[np.intp]],
) -> dict[_Clutch, NDArray[np.intp]]:
    """The possible parents less those that may themselves descend from the clutch.

    Where dates are so vague that two birds could each be the ancestor of the other, the one that
    certainly hatched by an earlier day may be the parent, the other not.
    """
    # loading takes 130 ms, and only vague dates ask for it
    import networkx

    graph = networkx.DiGraph()
    graph.add_edges_from(
        (parent, chick) for chick, pairs in enumerate(building.pairs) for parent in _known(pairs)
    )
    for clutch, chicks in clutches.items():
        graph.add_edges_from((clutch, chick) for chick in chicks)
        graph.add_edges_from((parent, clutch) for parent in possible[clutch].tolist())
    knot = {
        node: number
        for number, nodes in enumerate(networkx.strongly_connected_components(graph))
        for node in nodes
    }
    return {
        clutch: np.array(
            [
                parent
                for parent in rows.tolist()
                if flock.latest[parent] < clutch.latest or knot[parent] != knot[clutch]
            ],
            dtype=np.intp,
        )
        for clutch, rows in possible.items()
    }


def _is_incomplete(bird: Bird) -> bool:
    """True for a home-hatched bird whose unknown parents must have been birds of the flock."""
    if bird.is_founder or bird.placeholder:
        return False
    return bird.hatched.is_known or bool(bird.sires or bird.dams)


def _kind(bird: Bird) -> Species:
    return species(bird.species if bird.species in all_species() else "chicken")


def _gap_days(bird: Bird) -> int:
    """The least days between the hatch of a parent and of its chick."""
    kind = _kind(bird)
    sexes = (Sex.COCK, Sex.HEN) if bird.sex is Sex.UNKNOWN else (bird.sex,)
    return min(kind.parent_age_days(sex) for sex in sexes) + kind.incubation_days


def _last_chick(bird: Bird) -> int:
    """The last day a chick of a bird can hatch: eggs fertilised or laid before it left hatch after."""
    if bird.status is Status.LIVING or not bird.left.is_known:
        return _NEVER
    kind = _kind(bird)
    span_days = kind.storage_days + kind.incubation_days
    if bird.sex is not Sex.HEN:
        span_days += kind.fertile_span_days
    return bird.left.latest.toordinal() + span_days


def _recorded_pairs(snapshot: Snapshot, bird: Bird) -> list[_Pair]:
    """The candidate pairs of a bird by row, weights made to sum to 1; one unknown pair if it has none."""
    rows: Mapping[BirdId | None, int] = snapshot.rows  # type: ignore[assignment]  # None is no key of it
    pairs = [pair for pair in bird.pairs if pair.weight > 0]
    if not pairs:
        return [(UNKNOWN, UNKNOWN, 1.0)]
    total = sum(pair.weight for pair in pairs)
    return [
        (rows.get(pair.sire, UNKNOWN), rows.get(pair.dam, UNKNOWN), pair.weight / total) for pair in pairs
    ]


def _certain(pairs: Sequence[_Pair]) -> list[int]:
    """The sire and the dam in some pairs, where they are known for certain."""
    sire, dam, _weight = pairs[0]
    if len(pairs) > 1:
        sire = sire if all(pair[0] == sire for pair in pairs) else UNKNOWN
        dam = dam if all(pair[1] == dam for pair in pairs) else UNKNOWN
    return [parent for parent in (sire, dam) if parent != UNKNOWN]


def _known(pairs: Iterable[_Pair]) -> list[int]:
    """The distinct known parents in some pairs."""
    return sorted({parent for sire, dam, _ in pairs for parent in (sire, dam)} - {UNKNOWN})


def _pedigree(nodes: Sequence[Sequence[_Pair]], variance: NDArray[np.float64]) -> Pedigree:
    flat = [pair for pairs in nodes for pair in pairs]
    return Pedigree.of_pairs(
        np.cumsum([0, *(len(pairs) for pairs in nodes)]),
        np.array([sire for sire, _, _ in flat], dtype=np.int32),
        np.array([dam for _, dam, _ in flat], dtype=np.int32),
        np.array([weight for _, _, weight in flat], dtype=np.float64),
        variance,
    )
