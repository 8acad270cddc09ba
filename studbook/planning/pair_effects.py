"""What a pair does beyond the F of its chicks: to the gene diversity of the flock, and how much of F is recent."""

from collections.abc import Callable, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.book.records import BirdId, Snapshot
from studbook.book.relatedness import Relatedness


class FlockKinship:
    """The mean kinship of the birds of a book with the living birds of one species; found once, when asked for."""

    def __init__(self, snapshot: Snapshot, relatedness: Relatedness, species: str) -> None:
        self.snapshot, self.relatedness, self.species = snapshot, relatedness, species

    @cached_property
    def birds(self) -> tuple[BirdId, ...]:
        """The flock: the living birds of the species."""
        return tuple(bird.id for bird in self.snapshot.living if bird.species == self.species)

    @cached_property
    def mean(self) -> float:
        """The mean kinship of the flock over all pairs, each bird with itself included; NaN for none."""
        return float(self.of(self.birds).mean()) if self.birds else float("nan")

    def of(self, birds: Sequence[BirdId]) -> NDArray[np.float64]:
        """The mean kinship of each of some birds with the flock (b,); NaN when there is none."""
        rows = self.snapshot.rows
        return self._by_row[np.array([rows[bird] for bird in birds], dtype=np.intp)]

    @cached_property
    def _by_row(self) -> NDArray[np.float64]:
        if not self.birds:
            return np.full(len(self.snapshot.birds), np.nan)
        every = [bird.id for bird in self.snapshot.birds]
        return self.relatedness.mean_kinship(every, self.birds)


def diversity_effects(
    size: int,
    mean: float,
    sires: ArrayLike,
    dams: ArrayLike,
    expected: NDArray[np.float64],
) -> NDArray[np.float64]:
    """The change of gene diversity when one chick of a pair joins a flock: (c, h), NaN for no flock.

    The flock has N = `size` birds and the mean kinship m = `mean`, each bird with itself included; its gene
    diversity is 1 − m. A chick of sire s and dam d has the kinship (m_s + m_d)/2 with the flock on the
    average, where m_s and m_d are theirs (`sires` (c,), `dams` (h,)), and (1 + f)/2 with itself, f being
    `expected` (c, h). So

        m' = (N² m + N (m_s + m_d) + (1 + f)/2) / (N + 1)²,   effect = m − m'.

    References
    ----------
    Gene diversity: Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76-111. The
    rest is the kinship of a bird by those of its parents (Falconer & Mackay 1996, chapter 5).

    Examples
    --------
    Two unrelated founders (m = 1/4) and their chick: the nine kinships add up to 2.5.

    >>> float(diversity_effects(2, 0.25, [0.25], [0.25], np.zeros((1, 1)))[0, 0]) == 0.25 - 2.5 / 9
    True
    """
    if not size:
        return np.full(expected.shape, np.nan)
    parents = np.asarray(sires)[:, None] + np.asarray(dams)[None, :]
    after: NDArray[np.float64] = (size**2 * mean + size * parents + (1 + expected) / 2) / (size + 1) ** 2
    return mean - after


def on_diversity(
    flock: FlockKinship, cocks: Sequence[BirdId], hens: Sequence[BirdId], expected: NDArray[np.float64]
) -> NDArray[np.float64]:
    """`diversity_effects` of each cock with each hen on a flock of the book."""
    return diversity_effects(len(flock.birds), flock.mean, flock.of(cocks), flock.of(hens), expected)


def recent_and_old(
    by_convention: Relatedness,
    cocks: Sequence[BirdId],
    hens: Sequence[BirdId],
    generations: int,
    progress: Callable[[float], None] | None = None,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The recent part of F of the chicks (c, h) and the old one; together they are F by convention.

    `progress` hears the share done; an exception it raises ends the work.
    """
    whole = by_convention.kinship(cocks, hens)
    recent = by_convention.recent_kinship(cocks, hens, generations, progress)
    # what is left of a difference of two sums is not below nothing
    return recent, np.maximum(whole - recent, 0.0)
