"""Inbreeding of every bird, exactly and without an n × n matrix.

The relationship matrix is A = T D T'. A node's row of T is the weighted mean over its candidate
pairs of half the sire's row plus half the dam's; D holds its sampling variance. Only relationships
between parents are needed, so birds that never bred drop out and full sibs cost nothing extra.

Two ways lead there, level by level. Where few birds breed at a time, a table of those that still
will is carried along; else one column of A is swept for each sire.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.gene_flow import (
    BLOCK_NUMBERS,
    Columns,
    Relations,
    by_level,
    kernels_for,
    levels,
)
from studbook.genetics.pedigree import UNKNOWN, Pedigree, spans


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


def inbreeding(pedigree: Pedigree, progress: Callable[[float], None] | None = None) -> NDArray[np.float64]:
    """The inbreeding coefficient F of each bird (n,), from 0 to 1; NaN for a node that is no bird.

    F is Σ p·f(sire, dam) over the candidate pairs: the chance that both genes at a locus descend
    from one ancestral gene. An unknown parent is unrelated to all others, so F is then 0.
    `progress` hears the share done; an exception it raises ends the work.

    >>> inbreeding(Pedigree.of_parents([-1, -1, 0, 0, 2], [-1, -1, 1, 1, 3])).tolist()
    [0.0, 0.0, 0.0, 0.0, 0.25]

    References
    ----------
    Wright 1922, American Naturalist 56:330-338. Henderson 1988, Journal of Animal Science
    66:1614-1621. Pérez-Enciso & Fernando 1992, Theoretical and Applied Genetics 84:173-179.
    """
    return np.where(pedigree.is_bird, diagonals(pedigree, progress).self_relationship - 1, np.nan)


def diagonals(pedigree: Pedigree, progress: Callable[[float], None] | None = None) -> Diagonals:
    """The self-relationship and the sampling variance of each node.

    By the indirect method on the parents only: one column of A for each sire and each mixture of
    parents, level by level, as a column needs the variances of its ancestors. `progress` hears the
    share done; an exception it raises ends the work.

    References
    ----------
    Colleau 2002, Genetics Selection Evolution 34:409-421. Sargolzaei, Iwaisaki & Colleau 2005,
    Journal of Animal Breeding and Genetics 122:325-331.
    """
    unknown = np.full(len(pedigree), np.nan)
    return _found(pedigree, Diagonals(unknown, unknown.copy()), progress)


def extended(
    pedigree: Pedigree, known: Diagonals, progress: Callable[[float], None] | None = None
) -> Diagonals:
    """The diagonals of a pedigree whose first nodes had `known` before the last ones were added.

    Only the added nodes are found, on their ancestors alone; the parents of the first nodes must
    be what they were. `progress` hears the share done; an exception it raises ends the work.
    """
    before = len(known.self_relationship)
    rows = pedigree.with_ancestors(np.arange(before, len(pedigree)))
    new = rows >= before
    start = Diagonals(np.full(len(rows), np.nan), np.full(len(rows), np.nan))
    start.self_relationship[~new] = known.self_relationship[rows[~new]]
    start.sampling_variance[~new] = known.sampling_variance[rows[~new]]
    found = _found(pedigree.part(rows), start, progress)
    return Diagonals(
        np.concatenate([known.self_relationship, found.self_relationship[new]]),
        np.concatenate([known.sampling_variance, found.sampling_variance[new]]),
    )


def _found(pedigree: Pedigree, start: Diagonals, progress: Callable[[float], None] | None) -> Diagonals:
    """Fill in and return the diagonals that are NaN in `start`."""
    families = _Families(pedigree, np.isnan(start.self_relationship))
    front = _Front(families) if families.asked.all() else None
    if front is not None and front.is_narrow:
        finding = _Finding(families, np.arange(len(pedigree.sire)), len(pedigree.sire), start)
        front.walk(finding, progress)
    else:
        first, mates, couple = families.couples()
        finding = _Finding(families, couple, len(mates), start)
        _sweep(finding, first, mates, progress)
    finding.find(np.flatnonzero(np.isnan(start.self_relationship)))
    return start


class _Families:
    """What has to be known of the parents: which relationships, and of which mixtures the mean.

    Attributes
    ----------
    asked
        (n,) True for a node whose diagonals are to be found.
    parents
        (p,) rows of all nodes with offspring, ascending.
    breeding
        The pedigree of the parents alone; (p,) `level` of each, and their `order` by level.
    sire, dam
        (m,) places in `parents` of each pair whose relationship is needed; else both `UNKNOWN`. A
        mean has none: it has no inbreeding of its own.
    mixed
        (n,) the mixture of parents each node with several pairs descends from, else -1.
    mixtures
        The parents by place and their shares, one column for each mixture.
    """

    def __init__(self, pedigree: Pedigree, asked: NDArray[np.bool_]) -> None:
        self.pedigree = pedigree
        self.asked = asked
        self.parents = pedigree.parents
        self.breeding = pedigree.part(self.parents)
        self.level = levels(self.breeding)
        self.order = by_level(self.level)
        place = np.full(len(pedigree) + 1, UNKNOWN, dtype=np.int32)
        place[self.parents] = np.arange(len(self.parents), dtype=np.int32)
        sire, dam = place[pedigree.sire], place[pedigree.dam]
        needed = (sire != UNKNOWN) & (dam != UNKNOWN)
        if not asked.all():
            needed &= asked[pedigree.child]
        sizes = np.diff(pedigree.first)
        several = np.flatnonzero((sizes > 1) & asked)
        if len(several):
            needed &= ~(pedigree.is_mean & (sizes > 1))[pedigree.child]
        self.sire = np.where(needed, sire, UNKNOWN)
        self.dam = np.where(needed, dam, UNKNOWN)

        links = pedigree.links_of(several)
        index: dict[bytes, int] = {}
        distinct: list[int] = []
        self.mixed = np.full(len(pedigree), UNKNOWN, dtype=np.int32)
        for number, row in enumerate(several.tolist()):
            part = slice(links.first[number], links.first[number + 1])
            key = links.parent[part].tobytes() + links.share[part].tobytes()
            if key not in index:
                index[key] = len(distinct)
                distinct.append(number)
            self.mixed[row] = index[key]
        self.mixtures = Columns(links.first.astype(np.int64), place[links.parent], links.share).some(
            np.array(distinct, dtype=np.intp)
        )

    def couples(self) -> tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.int32]]:
        """Where the distinct mates of each sire begin (p + 1,), the mates (u,), the couple of each pair (m,)."""
        count = len(self.parents)
        kernels = kernels_for(len(self.pedigree))
        if kernels is not None:
            found: tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.int32]]
            found = kernels.couples(self.sire, self.dam, count)
            return found
        needed = np.flatnonzero(self.sire != UNKNOWN)
        key = self.sire[needed].astype(np.int64) * max(count, 1) + self.dam[needed]
        couples, index = np.unique(key, return_inverse=True)
        sires, mates = np.divmod(couples, max(count, 1))
        couple = np.full(len(self.sire), UNKNOWN, dtype=np.int32)
        couple[needed] = index
        return np.searchsorted(sires, np.arange(count + 1)), mates.astype(np.int32), couple

    def mixture_levels(self) -> NDArray[np.intp]:
        """The level of the highest parent of each mixture; -1 of one of nobody."""
        level = np.full(len(self.mixtures), -1, dtype=np.intp)
        number = np.repeat(np.arange(len(level)), np.diff(self.mixtures.first))
        np.maximum.at(level, number, self.level[self.mixtures.row])
        return level


class _Finding:
    """The diagonals while they are found, level by level.

    Attributes
    ----------
    couple
        (m,) the couple of each pair, or -1.
    related
        (u,) relationship of each couple, and `mixture_self` (x,) the self-relationship of each
        mixture: to be filled in before a node is asked for that needs them.
    """

    def __init__(
        self, families: _Families, couple: NDArray[np.integer], couples: int, found: Diagonals
    ) -> None:
        self.families = families
        self.couple = couple
        # the last place stands for no couple
        self.related = np.zeros(couples + 1)
        self.mixture_self = np.zeros(len(families.mixtures))
        self.found = found

    def find(self, rows: NDArray[np.integer]) -> None:
        """Find both diagonals of `rows`, whose parents' relationships are known."""
        families, pedigree, found = self.families, self.families.pedigree, self.found
        kernels = kernels_for(len(pedigree))
        if kernels is not None:
            kernels.find(
                rows.astype(np.int32),
                pedigree.first,
                pedigree.sire,
                pedigree.dam,
                pedigree.weight,
                pedigree.variance,
                self.couple,
                self.related,
                families.mixed,
                self.mixture_self,
                found.self_relationship,
                found.sampling_variance,
            )
            return
        begin, end = pedigree.first[rows], pedigree.first[rows + 1]
        pairs = spans(begin, end)
        owner = np.repeat(np.arange(len(rows)), end - begin)
        related = self.related[self.couple[pairs]]
        inbreeding = np.bincount(owner, pedigree.weight[pairs] * related / 2, minlength=len(rows))

        # the self-relationship of the mixture of parents: of one pair (A_ss + A_dd + 2 A_sd) / 4
        known = np.append(found.self_relationship, 0.0)
        of_pair = (known[pedigree.sire[pairs]] + known[pedigree.dam[pairs]] + 2 * related) / 4
        inherited = np.bincount(owner, of_pair, minlength=len(rows))
        mixed = families.mixed[rows]
        several = mixed != UNKNOWN
        inherited[several] = self.mixture_self[mixed[several]]

        bird = np.isnan(pedigree.variance[rows])
        variance = np.where(bird, 1 + inbreeding - inherited, pedigree.variance[rows])
        found.sampling_variance[rows] = variance
        found.self_relationship[rows] = np.where(bird, 1 + inbreeding, inherited + variance)


def _sweep(
    finding: _Finding,
    mates_first: NDArray[np.int64],
    mates: NDArray[np.int32],
    progress: Callable[[float], None] | None,
) -> None:
    """Find what the parents need by sweeping one column for each sire and each mixture of parents."""
    families = finding.families
    parents, level = families.parents, families.level
    relations = Relations(
        families.breeding, np.zeros(len(parents)), kernels_for(len(families.pedigree)), BLOCK_NUMBERS
    )
    mixture_level = families.mixture_levels()
    has_mates = np.diff(mates_first) > 0
    todo = int(has_mates.sum()) + len(families.mixtures)
    done = 0

    def report(columns: int) -> None:
        if progress is not None:
            progress((done + columns) / todo)

    ends = np.cumsum(np.bincount(level, minlength=1)).tolist()
    for step, (begin, end) in enumerate(zip([0, *ends[:-1]], ends, strict=True)):
        rows = families.order[begin:end]
        finding.find(parents[rows[families.asked[parents[rows]]]])
        relations.variance[rows] = finding.found.sampling_variance[parents[rows]]

        cocks = rows[has_mates[rows]]
        first, last = mates_first[cocks], mates_first[cocks + 1]
        couples = spans(first, last)
        wanted_first = np.append(0, np.cumsum(last - first))
        finding.related[couples] = relations.between(
            Columns.of_nodes(cocks), wanted_first, mates[couples], report
        )
        done += len(cocks)

        ready = np.flatnonzero(mixture_level == step)
        mixtures = families.mixtures.some(ready)
        related = relations.between(mixtures, mixtures.first, mixtures.row, report)
        number = np.repeat(np.arange(len(ready)), np.diff(mixtures.first))
        finding.mixture_self[ready] = np.bincount(number, mixtures.share * related, minlength=len(ready))
        done += len(ready)


class _Front:
    """The table of relationships between the parents that still have offspring to come.

    It is carried from level to level: birds enter it with their level and leave it with their last
    offspring, so that a deep and narrow book needs no more room than its breeders of one time.
    """

    def __init__(self, families: _Families) -> None:
        self._families = families
        level = families.level
        self._reached = int(level.max(initial=-1)) + 1
        self._event = np.maximum(level_of(families.sire, level), level_of(families.dam, level))
        self._mixture_level = families.mixture_levels()
        links = families.breeding.links
        last = level.copy()
        np.maximum.at(last, links.parent, level[links.child])
        needed = np.flatnonzero(families.sire != UNKNOWN)
        for parent in (families.sire[needed], families.dam[needed]):
            np.maximum.at(last, parent, self._event[needed])
        number = np.repeat(np.arange(len(families.mixtures)), np.diff(families.mixtures.first))
        np.maximum.at(last, families.mixtures.row, self._mixture_level[number])
        self._last = last
        self._entering = np.bincount(level, minlength=self._reached)
        self._leaving = np.bincount(last, minlength=self._reached)
        present = np.cumsum(self._entering) - np.append(0, np.cumsum(self._leaving))[: self._reached]
        self._width = int(present.max(initial=0))
