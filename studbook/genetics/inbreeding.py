"""Inbreeding of every bird, exactly and without an n × n matrix.

The relationship matrix is A = T D T'. A node's row of T is the weighted mean over its candidate
pairs of half the sire's row plus half the dam's; D holds its sampling variance. Only relationships
between parents are needed, so birds that never bred drop out and full sibs cost nothing extra.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.gene_flow import GeneFlow, levels
from studbook.genetics.pedigree import UNKNOWN, Pedigree, spans

# Columns swept at once hold at most this many numbers (16 MB).
BLOCK_NUMBERS = 2_000_000


@dataclass(frozen=True, eq=False)
class Diagonals:
    """The diagonals of A and of D.

    Attributes
    ----------
    self_relationship
        (n,) A[i, i] = 1 + F for a bird, twice its kinship with itself.
    sampling_variance
        (n,) D[i, i], what chance adds to a node beyond its parents.
    """

    self_relationship: NDArray[np.float64]
    sampling_variance: NDArray[np.float64]


def inbreeding(pedigree: Pedigree) -> NDArray[np.float64]:
    """The inbreeding coefficient F of each bird (n,), from 0 to 1; NaN for a node that is no bird.

    F is Σ p·f(sire, dam) over the candidate pairs: the chance that both genes at a locus descend
    from one ancestral gene. An unknown parent is unrelated to all others, so F is then 0.

    >>> inbreeding(Pedigree.of_parents([-1, -1, 0, 0, 2], [-1, -1, 1, 1, 3])).tolist()
    [0.0, 0.0, 0.0, 0.0, 0.25]

    References
    ----------
    Wright 1922, American Naturalist 56:330-338. Henderson 1988, Journal of Animal Science
    66:1614-1621. Pérez-Enciso & Fernando 1992, Theoretical and Applied Genetics 84:173-179.
    """
    return np.where(pedigree.is_bird, diagonals(pedigree).self_relationship - 1, np.nan)


def diagonals(pedigree: Pedigree) -> Diagonals:
    """The self-relationship and the sampling variance of each node.

    By the indirect method on the parents only: one column of A for each sire and each mixture of
    parents, level by level, as a column needs the variances of its ancestors.

    References
    ----------
    Colleau 2002, Genetics Selection Evolution 34:409-421. Sargolzaei, Iwaisaki & Colleau 2005,
    Journal of Animal Breeding and Genetics 122:325-331.
    """
    families = _Families(pedigree)
    finding = _Finding(pedigree, families)
    breeding = pedigree.part(families.parents.astype(np.int32))
    flow = GeneFlow(breeding)
    level = levels(breeding)
    sires, sire_starts = np.unique(families.sire, return_index=True)
    sire_ends = np.append(sire_starts[1:], len(families.sire))
    mixture_level = _mixture_levels(pedigree, families, level)
    width = max(1, BLOCK_NUMBERS // max(len(breeding), 1))
    variance = np.zeros(len(breeding))
    for step in range(int(level.max(initial=-1)) + 1):
        rows = np.flatnonzero(level == step)
        finding.find(families.parents[rows])
        variance[flow.place[rows]] = finding.sampling_variance[families.parents[rows]]

        ready = np.flatnonzero(level[sires] == step)
        for begin in range(0, len(ready), width):
            block = ready[begin : begin + width]
            columns = np.zeros((len(breeding), len(block)))
            columns[flow.place[sires[block]], np.arange(len(block))] = 1
            couples = spans(sire_starts[block], sire_ends[block])
            column = np.repeat(np.arange(len(block)), sire_ends[block] - sire_starts[block])
            dams = families.dam[couples]
            _relate(flow, columns, variance, step, int(level[dams].max()))
            finding.related[couples] = columns[flow.place[dams], column]

        ready = np.flatnonzero(mixture_level == step)
        for begin in range(0, len(ready), width):
            block = ready[begin : begin + width]
            columns = np.zeros((len(breeding), len(block)))
            for place, mixture in enumerate(block):
                parents, shares = _mixture(pedigree, families, mixture)
                columns[flow.place[parents], place] = shares
            mixed = columns.copy()
            _relate(flow, columns, variance, step, step)
            finding.mixture_self[block] = np.einsum("ij,ij->j", mixed, columns)
    finding.find(np.flatnonzero(np.isnan(finding.self_relationship)))
    return finding.found()


class _Families:
    """What has to be known of the parents: which relationships, and of which mixtures the mean.

    Attributes
    ----------
    parents
        (P,) rows of all nodes with offspring, ascending.
    place
        (n,) place of each row in `parents`.
    mated
        (m,) index into `sire`, `dam` of each pair of the pedigree with both parents known, else -1;
        -1 also for the pairs of a mean, which are no couples.
    sire, dam
        (u,) places of the distinct couples, sorted by sire.
    mixed
        (n,) index of the mixture each node with several pairs descends from, else -1.
    mixtures
        One node's row for each mixture, ascending.
    """

    def __init__(self, pedigree: Pedigree) -> None:
        n = len(pedigree)
        links = pedigree.links
        self.parents = np.unique(links.parent).astype(np.intp)
        self.place = np.full(n + 1, UNKNOWN, dtype=np.intp)
        self.place[self.parents] = np.arange(len(self.parents))
        both = (pedigree.sire != UNKNOWN) & (pedigree.dam != UNKNOWN)
        # a mean of several has no inbreeding of its own to find
        both &= ~(pedigree.is_mean & (np.diff(pedigree.first) > 1))[pedigree.child]
        sire, dam = self.place[pedigree.sire[both]], self.place[pedigree.dam[both]]
        couples, index = np.unique(sire * max(len(self.parents), 1) + dam, return_inverse=True)
        self.sire, self.dam = np.divmod(couples, max(len(self.parents), 1))
        self.mated = np.full(len(pedigree.sire), UNKNOWN, dtype=np.intp)
        self.mated[both] = index
        known: dict[bytes, int] = {}
        rows: list[int] = []
        self.mixed = np.full(n, UNKNOWN, dtype=np.intp)
        several = (np.diff(pedigree.first) > 1) & (np.diff(links.first) > 0)
        for row in np.flatnonzero(several).tolist():
            part = slice(links.first[row], links.first[row + 1])
            key = links.parent[part].tobytes() + links.share[part].tobytes()
            if key not in known:
                known[key] = len(rows)
                rows.append(row)
            self.mixed[row] = known[key]
        self.mixtures = np.array(rows, dtype=np.intp)


class _Finding:
    """The diagonals while they are found, level by level."""

    def __init__(self, pedigree: Pedigree, families: _Families) -> None:
        n = len(pedigree)
        self.pedigree, self.families = pedigree, families
        self.self_relationship = np.full(n, np.nan)
        self.sampling_variance = np.full(n, np.nan)
        # filled by the caller before a level is asked that needs them
        self.related = np.full(len(families.sire), np.nan)
        self.mixture_self = np.full(len(families.mixtures), np.nan)

    def find(self, rows: NDArray[np.intp]) -> None:
        """Find both diagonals of `rows`, whose parents' relationships are known."""
        pedigree, families = self.pedigree, self.families
        sizes = pedigree.first[rows + 1] - pedigree.first[rows]
        pairs = spans(pedigree.first[rows], pedigree.first[rows + 1])
        sire, dam, mated = pedigree.sire[pairs], pedigree.dam[pairs], families.mated[pairs]
        related = np.where(mated == UNKNOWN, 0.0, np.append(self.related, 0.0)[mated])
        owner = np.repeat(np.arange(len(rows)), sizes)
        inbreeding = np.bincount(owner, pedigree.weight[pairs] * related / 2, minlength=len(rows))

        # the self-relationship of the mixture of parents: of one pair (A_ss + A_dd + 2 A_sd) / 4
        known = np.append(self.self_relationship, 0.0)
        of_pair = (known[sire] + known[dam] + 2 * related) / 4
        inherited = np.bincount(owner, of_pair, minlength=len(rows))
        mixed = families.mixed[rows]
        several = mixed != UNKNOWN
        inherited[several] = self.mixture_self[mixed[several]]

        bird = np.isnan(pedigree.variance[rows])
        variance = np.where(bird, 1 + inbreeding - inherited, pedigree.variance[rows])
        self.sampling_variance[rows] = variance
        self.self_relationship[rows] = np.where(bird, 1 + inbreeding, inherited + variance)

    def found(self) -> Diagonals:
        return Diagonals(self.self_relationship, self.sampling_variance)


def _relate(
    flow: GeneFlow, columns: NDArray[np.float64], variance: NDArray[np.float64], top: int, reach: int
) -> None:
    """Replace columns, zero above level `top`, by A times them, right up to level `reach`."""
    flow.gather(columns, top)
    columns *= variance[:, None]
    flow.spread(columns, reach)


def _mixture(
    pedigree: Pedigree, families: _Families, mixture: int
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """The places of the parents in one mixture and their shares."""
    links, row = pedigree.links, families.mixtures[mixture]
    part = slice(links.first[row], links.first[row + 1])
    return families.place[links.parent[part]], links.share[part]


def _mixture_levels(pedigree: Pedigree, families: _Families, level: NDArray[np.intp]) -> NDArray[np.intp]:
    """The level of the highest parent of each mixture."""
    return np.array(
        [level[_mixture(pedigree, families, mixture)[0]].max() for mixture in range(len(families.mixtures))],
        dtype=np.intp,
    )
