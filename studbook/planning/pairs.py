"""Whom with whom: the expected inbreeding of every possible pair, and for each hen the cocks that suit her.

Everything here is a plain function of a snapshot, its `Relatedness` and the day; what it gives is frozen.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from studbook.book.records import Bird, BirdId, Snapshot
from studbook.book.relatedness import Explanation, Relatedness, Unknown
from studbook.genetics.relationship import Degree, Relationship
from studbook.planning.candidates import is_old_enough
from studbook.planning.forbidden_pairs import bar_of, bars
from studbook.planning.heredity_cautions import NOTHING_KNOWN, Heredity
from studbook.planning.limits import CLOSE, FREE, SAME, Bar, Rules
from studbook.planning.pair_effects import FlockKinship, on_diversity, recent_and_old
from studbook.planning.pair_methods import GENERATIONS
from studbook.planning.pens.warnings import proven_cocks
from studbook.planning.sentences import Sentence
from studbook.season.practice import ApartReason

WELL_KNOWN = 2.0
"""Complete generation equivalents with all grandparents known; below, a low figure is worth little."""

SUGGESTED = 3
"""How many cocks are proposed for each hen."""

PATHS_LISTED = 4
"""How many paths through each common ancestor are listed; their count is always exact."""


class Caution(StrEnum):
    """What speaks against a pair."""

    SAME_BIRD = "same bird"
    PARENT = "parent and chick"
    FULL_SIBS = "full sibs"
    CLOSE = "close"
    OVER_LIMIT = "over the limit"
    COCK_TOO_YOUNG = "cock too young"
    HEN_TOO_YOUNG = "hen too young"
    SHARED_PARENT = "shared parent"
    BANNED = "banned"
    COCK_UNTESTED = "cock untested"
    COCK_APART = "cock apart"
    HEN_APART = "hen apart"


OF_ONE_BIRD = frozenset({Caution.COCK_UNTESTED, Caution.COCK_APART, Caution.HEN_APART})
"""What speaks against a bird with whatever mate: said once of the flock, and again of an opened pair."""


@dataclass(frozen=True, slots=True)
class Prospect:
    """One cock for one hen.

    Attributes
    ----------
    expected
        The F their chicks would have.
    relationship
        What the cock is to the hen.
    cock_generations, hen_generations
        Complete generation equivalents known of each.
    flock_kinship
        The mean kinship of the cock with the flock: low means that he carries what is rare in it.
    """

    cock: BirdId
    hen: BirdId
    expected: float
    relationship: Relationship
    cock_generations: float
    hen_generations: float
    flock_kinship: float
    cautions: tuple[Caution, ...] = ()
    bar: Bar = FREE

    @property
    def less_known(self) -> BirdId:
        """The one of the two of whose ancestors less is known."""
        return self.cock if self.cock_generations <= self.hen_generations else self.hen

    @property
    def generations(self) -> float:
        """How much is known of the less known one."""
        return min(self.cock_generations, self.hen_generations)


@dataclass(frozen=True, slots=True)
class HenAdvice:
    """The cocks for one hen, the best first, `SUGGESTED` at most.

    `within` counts those under the limit, `free` those under it that are not unwanted for another reason.
    """

    hen: BirdId
    within: int
    free: int
    prospects: tuple[Prospect, ...] = ()


@dataclass(frozen=True, eq=False)
class Matrix:
    """The expected F of every pair of some cocks (c,) and hens (h,).

    Attributes
    ----------
    unknown
        How unknown parents are taken in every figure here.
    expected
        The F of the chicks (c, h).
    bars
        The `Bar` flags of each pair (c, h): why it is not wanted.
    ranked
        For each hen the places of the cocks that suit her best (at most `SUGGESTED`, h).
    flock
        The mean kinship of every bird with the living birds of the species of the cocks; None without pairs.
    """

    unknown: Unknown
    rules: Rules
    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    expected: NDArray[np.float64]
    bars: NDArray[np.uint8]
    ranked: NDArray[np.intp]
    flock: FlockKinship | None

    @property
    def limit(self) -> float:
        """The expected F above which a pair is not wanted."""
        return self.rules.limit


@dataclass(frozen=True)
class Advice:
    """What is advised on the pairs of a matrix, hen by hen."""

    matrix: Matrix
    by_hen: tuple[HenAdvice, ...]

    @property
    def hens_without(self) -> tuple[BirdId, ...]:
        """The hens for whom no cock stays within the limit."""
        return tuple(advice.hen for advice in self.by_hen if not advice.within)

    @property
    def hens_without_free(self) -> tuple[BirdId, ...]:
        """The hens for whom a cock stays within the limit, but none that is wanted."""
        return tuple(advice.hen for advice in self.by_hen if advice.within and not advice.free)


@dataclass(frozen=True)
class PairStudy:
    """One pair opened up: `prospect` and `explanation` in the figure asked for, and F both ways.

    Attributes
    ----------
    recent, old
        The parts of F by convention: from ancestors within `generations`, and from farther ones.
    diversity, on_diversity
        The gene diversity of the flock, and what one kept chick does to it; NaN when there is no flock.
    hen_flock_kinship
        The mean kinship of the hen with the flock.
    heredity
        What is to be minded of what the two may hand down.
    """

    prospect: Prospect
    unknown: Unknown
    explanation: Explanation
    by_convention: float
    cautious: float
    recent: float
    old: float
    generations: int
    diversity: float
    on_diversity: float
    hen_flock_kinship: float
    heredity: tuple[Sentence, ...] = ()


def expect(
    snapshot: Snapshot,
    relatedness: Relatedness,
    cocks: Sequence[BirdId],
    hens: Sequence[BirdId],
    rules: Rules | None = None,
    flock: FlockKinship | None = None,
) -> Matrix:
    """The matrix of expected F.

    A lower expected F ranks first; where two are equal, the cock less related to the flock, since
    his blood is the rarer. A cock not wanted for another reason than the limit comes after all others.
    With `flock`, made with the same `relatedness`, mean kinships are not found again.
    """
    rules = Rules() if rules is None else rules
    if not cocks or not hens:
        shape = len(cocks), len(hens)
        nothing = np.zeros(shape), np.zeros(shape, dtype=np.uint8), np.zeros((0, len(hens)), dtype=np.intp)
        return Matrix(relatedness.unknown, rules, tuple(cocks), tuple(hens), *nothing, None)
    kind = snapshot.bird(cocks[0]).species
    if flock is None or flock.species != kind:
        flock = FlockKinship(snapshot, relatedness, kind)
    expected = relatedness.kinship(cocks, hens)
    barred = bars(snapshot, cocks, hens, expected, rules)
    unwanted = (barred & np.uint8(Bar.SHARED_PARENT | Bar.BANNED)) > 0
    ranked = rank(np.where(unwanted, 1 + expected, expected), flock.of(cocks), SUGGESTED)
    return Matrix(relatedness.unknown, rules, tuple(cocks), tuple(hens), expected, barred, ranked, flock)


def rank(figures: NDArray[np.float64], kinship: NDArray[np.float64], most: int) -> NDArray[np.intp]:
    """The places of the cocks with the lowest figures (c, h) for each hen, the best first: (at most `most`, h).

    Of cocks with the same figure the one with the lower `kinship` (c,) comes first, then the earlier one.
    """
    order = np.argsort(np.where(np.isnan(kinship), 0.0, kinship), kind="stable")
    left = np.rint(figures[order] / SAME)
    found = np.empty((min(most, len(order)), figures.shape[1]), dtype=np.intp)
    every = np.arange(figures.shape[1])
    for place in range(len(found)):
        # the first of equals, and they stand in the order that decides
        best = left.argmin(axis=0)
        found[place] = order[best]
        left[best, every] = np.inf
    return found


def advise(
    snapshot: Snapshot,
    relatedness: Relatedness,
    matrix: Matrix,
    today: date,
    most: int | None = None,
    progress: Callable[[float], None] | None = None,
) -> Advice:
    """Hen by hen, the cocks that suit her; `relatedness` is the one the matrix was made with.

    With `most`, cocks are named for the first hens alone; how many stay within the limit is told of all.
    `progress` hears the share done; an exception it raises ends the work.
    """
    asked = _Prospects(snapshot, relatedness, today)
    named = len(matrix.hens) if most is None else min(most, len(matrix.hens))
    within = ((matrix.bars & np.uint8(Bar.OVER_LIMIT)) == 0).sum(axis=0).tolist()
    free = (matrix.bars == 0).sum(axis=0).tolist()
    in_flock = matrix.flock.of(matrix.cocks).tolist() if matrix.flock is not None else []
    by_hen = []
    for place, hen in enumerate(matrix.hens):
        prospects: tuple[Prospect, ...] = ()
        if place < named:
            prospects = tuple(
                asked.prospect(
                    matrix.cocks[row],
                    hen,
                    float(matrix.expected[row, place]),
                    in_flock[row],
                    Bar(int(matrix.bars[row, place])),
                )
                for row in matrix.ranked[:, place].tolist()
            )
            if progress is not None:
                progress((place + 1) / named)
        by_hen.append(HenAdvice(hen, within[place], free[place], prospects))
    return Advice(matrix, tuple(by_hen))


def study(
    snapshot: Snapshot,
    by_convention: Relatedness,
    cautious: Relatedness,
    unknown: Unknown,
    cock: BirdId,
    hen: BirdId,
    today: date,
    rules: Rules | None = None,
    flock: FlockKinship | None = None,
    generations: int = GENERATIONS,
    heredity: Heredity = NOTHING_KNOWN,
) -> PairStudy:
    """One pair with everything there is to say about it; `flock` is made with the way asked for."""
    rules = Rules() if rules is None else rules
    asked = cautious if unknown is Unknown.FLOCK else by_convention
    kind = snapshot.bird(cock).species
    if flock is None or flock.species != kind:
        flock = FlockKinship(snapshot, asked, kind)
    figures = {way.unknown: float(way.kinship([cock], [hen])[0, 0]) for way in (by_convention, cautious)}
    expected = figures[unknown]
    in_flock = flock.of([cock, hen]).tolist()
    recent, old = recent_and_old(by_convention, [cock], [hen], generations)
    return PairStudy(
        _Prospects(snapshot, asked, today).prospect(
            cock, hen, expected, in_flock[0], bar_of(snapshot, cock, hen, expected, rules)
        ),
        unknown,
        asked.explain(cock, hen, PATHS_LISTED),
        figures[Unknown.UNRELATED],
        figures[Unknown.FLOCK],
        float(recent[0, 0]),
        float(old[0, 0]),
        generations,
        1 - flock.mean,
        float(on_diversity(flock, [cock], [hen], np.array([[expected]]))[0, 0]),
        in_flock[1],
        heredity.cautions(cock, hen),
    )


class _Prospects:
    """Makes prospects on one day; what speaks against single birds is found once."""

    def __init__(self, snapshot: Snapshot, relatedness: Relatedness, today: date) -> None:
        self._snapshot, self._relatedness, self._today = snapshot, relatedness, today
        self._proven = proven_cocks(snapshot, today)

    def prospect(
        self, cock: BirdId, hen: BirdId, expected: float, flock_kinship: float, bar: Bar
    ) -> Prospect:
        relationship = self._relatedness.relationship(hen, cock)
        generations, rows = self._relatedness.generations, self._snapshot.rows
        return Prospect(
            cock,
            hen,
            expected,
            relationship,
            float(generations[rows[cock]]),
            float(generations[rows[hen]]),
            flock_kinship,
            tuple(self._cautions(relationship, cock, hen, expected, bar)),
            bar,
        )

    def _cautions(
        self, relationship: Relationship, cock_id: BirdId, hen_id: BirdId, expected: float, bar: Bar
    ) -> list[Caution]:
        if relationship.degree is Degree.SAME:
            return [Caution.SAME_BIRD]
        cock, hen = self._snapshot.bird(cock_id), self._snapshot.bird(hen_id)
        found: list[Caution] = []
        if relationship.degree in (Degree.PARENT, Degree.OFFSPRING):
            found.append(Caution.PARENT)
        elif relationship.degree is Degree.FULL_SIB:
            found.append(Caution.FULL_SIBS)
        for caution, holds in (
            (Caution.CLOSE, expected > CLOSE - SAME),
            (Caution.OVER_LIMIT, Bar.OVER_LIMIT in bar),
            (Caution.SHARED_PARENT, Bar.SHARED_PARENT in bar),
            (Caution.BANNED, Bar.BANNED in bar),
            (Caution.COCK_TOO_YOUNG, not is_old_enough(cock, self._today)),
            (Caution.HEN_TOO_YOUNG, not is_old_enough(hen, self._today)),
            (Caution.COCK_UNTESTED, self._is_untested(cock)),
            (Caution.COCK_APART, apart_reason(self._snapshot, cock_id, self._today) is not None),
            (Caution.HEN_APART, apart_reason(self._snapshot, hen_id, self._today) is not None),
        ):
            if holds:
                found.append(caution)
        return found

    def _is_untested(self, cock: Bird) -> bool:
        return is_untested(self._snapshot, cock, self._proven)


def is_untested(snapshot: Snapshot, cock: Bird, proven: frozenset[BirdId]) -> bool:
    """True for a cock of whom no trial was decided "keep" and no chick that is certainly his hatched."""
    if cock.id in proven:
        return False
    return not any(snapshot.bird(chick).sire == cock.id for chick in snapshot.offspring.get(cock.id, ()))


def apart_reason(snapshot: Snapshot, bird: BirdId, day: date) -> ApartReason | None:
    """Why a bird is apart on a day; None when it is not, or only for its own fertility trial."""
    for row in snapshot.husbandry.apart_of.get(bird, ()):
        ends = row.until is None or row.until > day
        if row.since <= day and ends and row.reason is not ApartReason.TRIAL:
            return row.reason
    return None
