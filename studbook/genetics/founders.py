"""Where the genes of a set of birds come from: founders, their contributions, and what is left.

A founder is a bird without known parents, or an unknown parent of a bird with only one known: each
such unknown half is a founder of its own, so that contributions always sum to 1. An origin is no
founder: its birds are, whatever relationship is assumed between them. A mean of birds passes genes
on from each of them; where one of them is unknown, the bird that descends from the mean has an
unknown half.
"""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.gene_flow import GeneFlow
from studbook.genetics.inbreeding import BLOCK_NUMBERS, Diagonals
from studbook.genetics.kinship import mean_kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree

_WHOLE = 1 - 1e-9


class Part(IntEnum):
    """Which founder a row stands for: the bird itself, its unknown sire or its unknown dam."""

    BIRD = 0
    SIRE = 1
    DAM = 2


@dataclass(frozen=True, eq=False)
class Founders:
    """The k founders of a pedigree, by row.

    Attributes
    ----------
    row
        (k,) the founder, or the bird whose parent is unknown.
    part
        (k,) `Part` of each.
    share
        (k,) share of the genes of `row` that come from this founder: 1 for a bird without parents,
        ½ for an unknown parent, less if another candidate is known.
    """

    row: NDArray[np.int32]
    part: NDArray[np.int8]
    share: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.row)


@dataclass(frozen=True, eq=False)
class Cohorts:
    """What k founders contribute to the birds of each of y years.

    Attributes
    ----------
    cohort
        (y,) the years, ascending.
    birds
        (y,) how many birds each has.
    contribution
        (y, k) from 0 to 1; the rows sum to 1.
    """

    cohort: NDArray[np.int64]
    birds: NDArray[np.int64]
    contribution: NDArray[np.float64]


def founders(pedigree: Pedigree, incomplete: ArrayLike = ()) -> Founders:
    """The founders of a pedigree, those without descendants included.

    Of the rows in `incomplete` (home-hatched birds that were never founders) two unknown parents
    count as two founders, not the bird as one.

    >>> found = founders(Pedigree.of_parents([-1, -1, 0, 2], [-1, -1, 1, -1]))
    >>> found.row.tolist(), found.part.tolist(), found.share.tolist()
    ([0, 1, 3], [0, 0, 2], [1.0, 1.0, 0.5])
    """
    n = len(pedigree)
    unknown = _unknown_share(pedigree)
    halves = np.zeros((n, 2))
    for place, parent in enumerate((pedigree.sire, pedigree.dam)):
        halves[:, place] = np.bincount(pedigree.child, pedigree.weight * unknown[parent], minlength=n) / 2
    halves[np.diff(pedigree.first) == 0] = 0.5
    halves[~pedigree.is_bird] = 0
    whole = halves.sum(axis=1) > _WHOLE
    whole[np.asarray(incomplete, dtype=np.intp)] = False
    share = np.column_stack([whole, np.where(whole[:, None], 0.0, halves)])
    row, part = np.nonzero(share)
    return Founders(row.astype(np.int32), part.astype(np.int8), share[row, part])


def contributions(pedigree: Pedigree, rows: ArrayLike) -> NDArray[np.float64]:
    """The share of the genes of `rows` that came down through each node (n,), from 0 to 1.

    A bird of the set counts for its own genes. The numbers of founders sum to 1, those of all
    nodes do not: a gene passes through many birds.
    """
    chosen = birds_only(pedigree, rows)
    return _carried(pedigree, chosen, np.ones((len(chosen), 1)) / max(len(chosen), 1))[:, 0]


def founder_contributions(pedigree: Pedigree, rows: ArrayLike, among: Founders) -> NDArray[np.float64]:
    """The expected share of the genes of `rows` that come from each founder (k,); they sum to 1.

    References
    ----------
    Lacy 1989, Zoo Biology 8:111-123.
    """
    shares: NDArray[np.float64] = contributions(pedigree, rows)[among.row] * among.share
    return shares


def founder_shares(pedigree: Pedigree, rows: ArrayLike, among: Founders) -> NDArray[np.float64]:
    """The expected share of each bird's own genes that come from each founder (r, k)."""
    chosen = birds_only(pedigree, rows)
    shares = np.empty((len(chosen), len(among)))
    width = max(1, BLOCK_NUMBERS // max(len(pedigree), 1))
    for begin in range(0, len(chosen), width):
        block = chosen[begin : begin + width]
        carried = _carried(pedigree, block, np.eye(len(block)))
        shares[begin : begin + width] = carried[among.row].T * among.share
    return shares


def cohort_contributions(pedigree: Pedigree, rows: ArrayLike, cohort: ArrayLike, among: Founders) -> Cohorts:
    """What each founder contributes to the birds of each cohort; `cohort` (r,) is the year of each row."""
    chosen = birds_only(pedigree, rows)
    years, index, birds = np.unique(
        np.asarray(cohort, dtype=np.int64), return_inverse=True, return_counts=True
    )
    contribution = np.empty((len(years), len(among)))
    width = max(1, BLOCK_NUMBERS // max(len(pedigree), 1))
    for begin in range(0, len(years), width):
        block = np.arange(begin, min(begin + width, len(years)))
        given = (index[:, None] == block) / birds[block]
        contribution[block] = _carried(pedigree, chosen, given)[among.row].T * among.share
    return Cohorts(years, birds.astype(np.int64), contribution)


def effective_number(contribution: ArrayLike) -> float:
    """1 / Σp²: how many equal contributions would be as even as these; NaN without any.

    Of the contributions of founders it is the effective number of founders f_e, of the marginal
    contributions of ancestors the effective number of ancestors f_a.

    >>> effective_number([0.5, 0.25, 0.25])
    2.6666666666666665

    References
    ----------
    Lacy 1989, Zoo Biology 8:111-123. Boichard, Maignel & Verrier 1997, Genetics Selection
    Evolution 29:5-23.
    """
    squares = float(np.square(np.asarray(contribution, dtype=np.float64)).sum())
    return 1 / squares if squares else np.nan


def flock_mean_kinship(pedigree: Pedigree, rows: ArrayLike, known: Diagonals | None = None) -> float:
    """The mean kinship over all pairs of `rows`, each bird with itself included; NaN of no birds.

    Gene diversity is 1 less it.

    References
    ----------
    Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76-111.
    """
    chosen = birds_only(pedigree, rows)
    return float(mean_kinship(pedigree, chosen, known).mean()) if len(chosen) else np.nan


def founder_genome_equivalents(flock_kinship: float) -> float:
    """1 / (2 × mean kinship): how many unrelated founders would have the gene diversity of the flock.

    Exact, unlike `allele_retention_equivalents`, which goes by the same name elsewhere and differs.

    References
    ----------
    Lacy 1995, Zoo Biology 14:565-577.
    """
    return 1 / (2 * flock_kinship) if flock_kinship else np.nan


def allele_retention_equivalents(contribution: ArrayLike, retention: ArrayLike) -> float:
    """1 / Σ(p² / r), counting alleles kept; NaN without any.

    `contribution` (k,) is p of each founder, `retention` (k,) the share r of its two genes still
    present. A founder none of whose genes was ever found present adds nothing.

    References
    ----------
    Lacy 1989, Zoo Biology 8:111-123.
    """
    share, kept = np.asarray(contribution, dtype=np.float64), np.asarray(retention, dtype=np.float64)
    present = (share > 0) & (kept > 0)
    total = float((share[present] ** 2 / kept[present]).sum())
    return 1 / total if total else np.nan


def without_origins(pedigree: Pedigree) -> Pedigree:
    """The same pedigree with the birds of every origin unrelated: origins are no parents of theirs."""
    origin = np.append(_is_origin(pedigree), False)
    return Pedigree(
        pedigree.first,
        np.where(origin[pedigree.sire], UNKNOWN, pedigree.sire).astype(np.int32),
        np.where(origin[pedigree.dam], UNKNOWN, pedigree.dam).astype(np.int32),
        pedigree.weight,
        pedigree.variance,
    )


def birds_only(pedigree: Pedigree, rows: ArrayLike) -> NDArray[np.intp]:
    """The rows, if all of them are birds.

    Raises
    ------
    ValueError
        If one is a mean or an origin.
    """
    chosen = np.asarray(rows, dtype=np.intp)
    others = np.unique(chosen[~pedigree.is_bird[chosen]]).tolist()
    if others:
        raise ValueError(f"rows {others}: no birds", others)
    return chosen


def _is_origin(pedigree: Pedigree) -> NDArray[np.bool_]:
    return ~pedigree.is_bird & ~pedigree.is_mean


def _unknown_share(pedigree: Pedigree) -> NDArray[np.float64]:
    """The share of unknown birds in what stands for each parent (n + 1,); the last is of `UNKNOWN`."""
    share = np.append(_is_origin(pedigree).astype(np.float64), 1.0)
    for mean in np.flatnonzero(pedigree.is_mean):
        pairs = slice(pedigree.first[mean], pedigree.first[mean + 1])
        parents = share[pedigree.sire[pairs]] + share[pedigree.dam[pairs]]
        share[mean] = pedigree.weight[pairs] @ parents / 2
    return share


def _carried(pedigree: Pedigree, rows: NDArray[np.intp], given: NDArray[np.float64]) -> NDArray[np.float64]:
    """What passes through each node (n, c) when each of `rows` is given the numbers `given` (r, c)."""
    ancestors = pedigree.with_ancestors(rows)
    flow = GeneFlow(pedigree.part(ancestors))
    columns = np.zeros((len(ancestors), given.shape[1]))
    np.add.at(columns, flow.place[np.searchsorted(ancestors, rows)], given)
    flow.gather(columns)
    carried = np.zeros((len(pedigree), given.shape[1]))
    carried[ancestors] = columns[flow.place]
    return carried
