"""Whom with whom: the expected inbreeding of every possible pair, and for each hen the cocks that suit her.

Everything here is a plain function of a snapshot, its `Relatedness` and the day; the advice is frozen
and free of arrays, so that the window can hold it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from studbook.book.records import Bird, BirdId, Snapshot
from studbook.book.relatedness import Explanation, Relatedness, Unknown
from studbook.genetics.relationship import Degree, Relationship
from studbook.planning.candidates import is_old_enough
from studbook.planning.limits import CLOSE, LIMIT, SAME, is_over

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
    """The cocks for one hen, the best first, `SUGGESTED` at most; `within` counts those under the limit."""

    hen: BirdId
    within: int
    prospects: tuple[Prospect, ...] = ()


@dataclass(frozen=True)
class Matrix:
    """The expected F of every pair of some cocks and hens.

    Attributes
    ----------
    unknown
        How unknown parents are taken in every figure here.
    expected
        The F of the chicks: a row for each cock, in it a figure for each hen.
    ranked
        For each hen the places of the cocks that suit her best, `SUGGESTED` at most.
    flock_kinship
        The mean kinship of each cock with the living birds of his species.
    cock_means, hen_means
        The mean of the figures of each cock and of each hen; empty without pairs.
    """

    unknown: Unknown
    limit: float
    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    expected: tuple[tuple[float, ...], ...]
    ranked: tuple[tuple[int, ...], ...]
    flock_kinship: tuple[float, ...]
    cock_means: tuple[float, ...] = ()
    hen_means: tuple[float, ...] = ()


@dataclass(frozen=True)
class Advice:
    """What is advised on the pairs of a matrix, hen by hen."""

    matrix: Matrix
    by_hen: tuple[HenAdvice, ...]

    @property
    def hens_without(self) -> tuple[BirdId, ...]:
        """The hens for whom no cock stays within the limit."""
        return tuple(advice.hen for advice in self.by_hen if not advice.within)


@dataclass(frozen=True)
class PairStudy:
    """One pair opened up: `prospect` and `explanation` in the figure asked for, and F both ways."""

    prospect: Prospect
    unknown: Unknown
    explanation: Explanation
    by_convention: float
    cautious: float


def expect(
    snapshot: Snapshot,
    relatedness: Relatedness,
    cocks: Sequence[BirdId],
    hens: Sequence[BirdId],
    limit: float = LIMIT,
) -> Matrix:
    """The matrix of expected F.

    A lower expected F ranks first; where two are equal, the cock less related to the flock, since
    his blood is the rarer.
    """
    if not cocks or not hens:
        nothing = tuple(() for _cock in cocks), tuple(() for _hen in hens)
        return Matrix(relatedness.unknown, limit, tuple(cocks), tuple(hens), *nothing, ())
    figures = relatedness.kinship(cocks, hens)
    expected: list[list[float]] = figures.tolist()
    in_flock = _flock_kinship(snapshot, relatedness, cocks)
    ranked = tuple(
        tuple(
            sorted(
                range(len(cocks)),
                key=lambda row: (round(expected[row][place] / SAME), in_flock[row], row),
            )[:SUGGESTED]
        )
        for place in range(len(hens))
    )
    return Matrix(
        relatedness.unknown,
        limit,
        tuple(cocks),
        tuple(hens),
        tuple(tuple(row) for row in expected),
        ranked,
        tuple(in_flock),
        tuple(figures.mean(axis=1).tolist()),
        tuple(figures.mean(axis=0).tolist()),
    )


def advise(
    snapshot: Snapshot, relatedness: Relatedness, matrix: Matrix, today: date, most: int | None = None
) -> Advice:
    """Hen by hen, the cocks that suit her; `relatedness` is the one the matrix was made with.

    With `most`, cocks are named for the first hens alone; how many stay within the limit is told of all.
    """
    by_hen = []
    for place, hen in enumerate(matrix.hens):
        prospects = tuple(
            _prospect(
                snapshot,
                relatedness,
                matrix.cocks[row],
                hen,
                matrix.expected[row][place],
                matrix.flock_kinship[row],
                today,
                matrix.limit,
            )
            for row in (matrix.ranked[place] if most is None or place < most else ())
        )
        within = sum(not is_over(row[place], matrix.limit) for row in matrix.expected if row)
        by_hen.append(HenAdvice(hen, within, prospects))
    return Advice(matrix, tuple(by_hen))


def study(
    snapshot: Snapshot,
    by_convention: Relatedness,
    cautious: Relatedness,
    unknown: Unknown,
    cock: BirdId,
    hen: BirdId,
    today: date,
    limit: float = LIMIT,
) -> PairStudy:
    """One pair with everything there is to say about it."""
    asked = cautious if unknown is Unknown.FLOCK else by_convention
    figures = {way.unknown: float(way.kinship([cock], [hen])[0, 0]) for way in (by_convention, cautious)}
    in_flock = _flock_kinship(snapshot, asked, [cock])[0]
    return PairStudy(
        _prospect(snapshot, asked, cock, hen, figures[unknown], in_flock, today, limit),
        unknown,
        asked.explain(cock, hen, PATHS_LISTED),
        figures[Unknown.UNRELATED],
        figures[Unknown.FLOCK],
    )


def _flock_kinship(snapshot: Snapshot, relatedness: Relatedness, cocks: Sequence[BirdId]) -> list[float]:
    """The mean kinship of each cock with the living birds of his species."""
    kind = snapshot.bird(cocks[0]).species
    flock = [bird.id for bird in snapshot.living if bird.species == kind] or list(cocks)
    mean: list[float] = relatedness.kinship(cocks, flock).mean(axis=1).tolist()
    return mean


def _prospect(
    snapshot: Snapshot,
    relatedness: Relatedness,
    cock: BirdId,
    hen: BirdId,
    expected: float,
    flock_kinship: float,
    today: date,
    limit: float,
) -> Prospect:
    relationship = relatedness.relationship(hen, cock)
    return Prospect(
        cock,
        hen,
        expected,
        relationship,
        float(relatedness.generations[snapshot.rows[cock]]),
        float(relatedness.generations[snapshot.rows[hen]]),
        flock_kinship,
        tuple(_cautions(relationship, snapshot.bird(cock), snapshot.bird(hen), expected, today, limit)),
    )


def _cautions(
    relationship: Relationship, cock: Bird, hen: Bird, expected: float, today: date, limit: float
) -> list[Caution]:
    if relationship.degree is Degree.SAME:
        return [Caution.SAME_BIRD]
    found: list[Caution] = []
    if relationship.degree in (Degree.PARENT, Degree.OFFSPRING):
        found.append(Caution.PARENT)
    elif relationship.degree is Degree.FULL_SIB:
        found.append(Caution.FULL_SIBS)
    if expected > CLOSE - SAME:
        found.append(Caution.CLOSE)
    if is_over(expected, limit):
        found.append(Caution.OVER_LIMIT)
    if not is_old_enough(cock, today):
        found.append(Caution.COCK_TOO_YOUNG)
    if not is_old_enough(hen, today):
        found.append(Caution.HEN_TOO_YOUNG)
    return found
