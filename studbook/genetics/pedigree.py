"""A pedigree as arrays: nodes with weighted candidate parents, parents before offspring.

A node is nearly always a bird. Two others make uncertain and related founders exact without a
second algorithm: the *mean* of several birds (sampling variance 0) and a *source* whose birds are
related among each other (sampling variance γ, no parents).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.compiled import kernels_for

UNKNOWN = -1
"""The row of a parent that is not known."""

_TOLERANCE = 1e-9


@dataclass(frozen=True, eq=False)
class Links:
    """Who passes genes to whom: one entry per node and distinct known parent.

    Attributes
    ----------
    first
        (n + 1,) where each node's entries begin.
    child, parent
        (l,) rows; sorted by child, then parent.
    share
        (l,) share of the child's genes that come from this parent: ½ for a certain sire.
    """

    first: NDArray[np.int32]
    child: NDArray[np.int32]
    parent: NDArray[np.int32]
    share: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Pedigree:
    """n nodes with their candidate pairs in compressed rows; parents come before offspring.

    Attributes
    ----------
    first
        (n + 1,) int32: the pairs of node i are ``first[i]:first[i + 1]``; none for a founder.
    sire, dam
        (m,) int32: rows of the parents of each pair, `UNKNOWN` where not known.
    weight
        (m,) float64: chance of each pair; the weights of a node sum to 1.
    variance
        (n,) float64: sampling variance of a node that is no bird (0 for a mean of its parents,
        γ for a source); NaN for a bird, whose variance follows from its parents.

    Raises
    ------
    ValueError
        If a parent does not come before its offspring, a row is out of range, weights are not
        positive or do not sum to 1: the message names the rows.
    """

    first: NDArray[np.int32]
    sire: NDArray[np.int32]
    dam: NDArray[np.int32]
    weight: NDArray[np.float64]
    variance: NDArray[np.float64]

    def __post_init__(self) -> None:
        pairs = len(self.sire)
        if len(self.dam) != pairs or len(self.weight) != pairs:
            raise ValueError("sire, dam and weight differ in length")
        if len(self.first) != len(self.variance) + 1:
            raise ValueError("first needs one entry more than there are nodes")
        if self.first[0] != 0 or self.first[-1] != pairs or np.any(np.diff(self.first) < 0):
            raise ValueError("first does not divide the pairs among the nodes")
        child = self.child
        for name, parent in (("sire", self.sire), ("dam", self.dam)):
            _refuse(child, parent < UNKNOWN, f"the {name} is no row")
            _refuse(child, parent >= child, f"the {name} does not come before its offspring")
        possible = (self.weight > 0) & (self.weight <= 1 + _TOLERANCE)
        _refuse(child, ~possible, "a weight is not above 0 and at most 1")
        total = np.bincount(child, self.weight, minlength=len(self))
        rows = np.arange(len(self))
        uneven = (np.abs(total - 1) > _TOLERANCE) & (np.diff(self.first) > 0)
        _refuse(rows, uneven, "the weights of the pairs do not sum to 1")
        _refuse(rows, self.variance < 0, "a sampling variance is below 0")

    def __len__(self) -> int:
        return len(self.variance)

    @classmethod
    def of_pairs(
        cls,
        first: ArrayLike,
        sire: ArrayLike,
        dam: ArrayLike,
        weight: ArrayLike,
        variance: ArrayLike | None = None,
    ) -> Self:
        """The pedigree with these candidate pairs; every node is a bird unless `variance` is given."""
        rows = np.asarray(first, dtype=np.int32)
        return cls(
            rows,
            np.asarray(sire, dtype=np.int32),
            np.asarray(dam, dtype=np.int32),
            np.asarray(weight, dtype=np.float64),
            np.full(len(rows) - 1, np.nan) if variance is None else np.asarray(variance, dtype=np.float64),
        )

    @classmethod
    def of_parents(cls, sire: ArrayLike, dam: ArrayLike) -> Self:
        """The pedigree of birds whose parents are certain or `UNKNOWN`; (n,) each.

        >>> len(Pedigree.of_parents([-1, -1, 0], [-1, -1, 1]))
        3
        """
        n = np.asarray(sire).size
        return cls.of_pairs(np.arange(n + 1), sire, dam, np.ones(n))

    @cached_property
    def child(self) -> NDArray[np.int32]:
        """(m,) the node each pair belongs to."""
        return np.repeat(np.arange(len(self), dtype=np.int32), np.diff(self.first))

    @property
    def is_bird(self) -> NDArray[np.bool_]:
        """(n,) True for a bird, False for a mean or a source."""
        bird: NDArray[np.bool_] = np.isnan(self.variance)
        return bird

    @property
    def is_mean(self) -> NDArray[np.bool_]:
        """(n,) True for a node that stands for the mean of its parents."""
        mean: NDArray[np.bool_] = (self.variance == 0) & (np.diff(self.first) > 0)
        return mean

    @cached_property
    def links(self) -> Links:
        """The pairs taken apart: every parent once per node, with its share."""
        return self.links_of(np.arange(len(self)))

    def links_of(self, rows: NDArray[np.integer]) -> Links:
        """The links of some nodes alone; ``first[i]`` is then of the node at ``rows[i]``."""
        sizes = self.first[rows + 1] - self.first[rows]
        pairs = spans(self.first[rows], self.first[rows + 1])
        sire, dam = self.sire[pairs], self.dam[pairs]
        place = np.repeat(np.arange(len(rows)), 2 * sizes)
        parent = np.column_stack([np.minimum(sire, dam), np.maximum(sire, dam)]).ravel()
        share = np.repeat(self.weight[pairs] / 2, 2)
        # of a single pair the two are in order already
        several = np.flatnonzero(sizes[place] > 1)
        order = several[np.lexsort((parent[several], place[several]))]
        parent[several], share[several] = parent[order], share[order]
        known = parent != UNKNOWN
        place, parent, share = place[known], parent[known], share[known]
        again = (place[1:] == place[:-1]) & (parent[1:] == parent[:-1])
        if again.any():
            fresh = np.flatnonzero(np.append(True, ~again))
            place, parent, share = place[fresh], parent[fresh], np.add.reduceat(share, fresh)
        count = np.bincount(place, minlength=len(rows))
        first = np.append(0, np.cumsum(count)).astype(np.int32)
        return Links(first, rows[place].astype(np.int32), parent, share)

    @cached_property
    def parents(self) -> NDArray[np.int32]:
        """(p,) the nodes with offspring, ascending."""
        found = np.zeros(len(self) + 1, dtype=bool)
        found[self.sire] = True
        found[self.dam] = True
        # the last place stands for UNKNOWN, which is -1
        return np.flatnonzero(found[:-1]).astype(np.int32)

    def with_ancestors(self, rows: ArrayLike) -> NDArray[np.int32]:
        """The rows and all their possible ancestors, each once, ascending."""
        wave = np.asarray(rows, dtype=np.int32)
        kernels = kernels_for(len(self))
        if kernels is not None:
            ancestors: NDArray[np.int32] = kernels.with_ancestors(self.first, self.sire, self.dam, wave)
            return ancestors
        found = np.zeros(len(self) + 1, dtype=bool)
        found[wave] = True
        wave = np.flatnonzero(found).astype(np.int32)
        # the last place stands for UNKNOWN, which is -1
        found[-1] = True
        while len(wave):
            pairs = spans(self.first[wave], self.first[wave + 1])
            parents = np.concatenate([self.sire[pairs], self.dam[pairs]])
            wave = np.unique(parents[~found[parents]])
            found[wave] = True
        return np.flatnonzero(found[:-1]).astype(np.int32)

    def behind(self, rows: ArrayLike) -> tuple[NDArray[np.int32], Self]:
        """The rows with all their possible ancestors, ascending, and the pedigree of these alone."""
        kernels = kernels_for(len(self))
        if kernels is None:
            found = self.with_ancestors(rows)
            return found, self.part(found)
        wave = np.asarray(rows, dtype=np.int32)
        found, first, old, sire, dam = kernels.behind(self.first, self.sire, self.dam, wave)
        return found, self._checked(first, sire, dam, self.weight[old], self.variance[found])

    def part(self, rows: NDArray[np.int32]) -> Self:
        """The pedigree of `rows` alone, ascending; a parent that is not among them becomes unknown."""
        kernels = kernels_for(len(self))
        if kernels is not None:
            first, old, sire, dam = kernels.part(self.first, self.sire, self.dam, rows)
            return self._checked(first, sire, dam, self.weight[old], self.variance[rows])
        # the last place stands for UNKNOWN, which is -1
        place = np.full(len(self) + 1, UNKNOWN, dtype=np.int32)
        place[rows] = np.arange(len(rows), dtype=np.int32)
        begin, end = self.first[rows], self.first[rows + 1]
        pairs = spans(begin, end)
        return self._checked(
            np.append(0, np.cumsum(end - begin)).astype(np.int32),
            place[self.sire[pairs]],
            place[self.dam[pairs]],
            self.weight[pairs],
            self.variance[rows],
        )

    @classmethod
    def _checked(
        cls,
        first: NDArray[np.int32],
        sire: NDArray[np.int32],
        dam: NDArray[np.int32],
        weight: NDArray[np.float64],
        variance: NDArray[np.float64],
    ) -> Self:
        """A part of a pedigree, which needs no second look: that took longer than to cut it out."""
        made = cls.__new__(cls)
        made.__dict__.update(first=first, sire=sire, dam=dam, weight=weight, variance=variance)
        return made


def spans(start: NDArray[np.signedinteger], stop: NDArray[np.signedinteger]) -> NDArray[np.int64]:
    """The numbers of all ranges ``start[i]:stop[i]`` one after the other."""
    sizes = (stop - start).astype(np.int64)
    begin = np.cumsum(sizes) - sizes
    numbers: NDArray[np.int64] = np.arange(int(sizes.sum())) + np.repeat(start - begin, sizes)
    return numbers


def parents_first(parents: Sequence[Sequence[int]]) -> list[int]:
    """The nodes 0 … n - 1 in an order in which every parent precedes its offspring.

    Raises
    ------
    ValueError
        If a node is its own ancestor; the second argument holds the rows of one loop.
    """
    # loading takes 130 ms, and most pedigrees come in order
    import networkx

    graph = networkx.DiGraph()
    graph.add_nodes_from(range(len(parents)))
    graph.add_edges_from((parent, child) for child, known in enumerate(parents) for parent in known)
    try:
        return list(networkx.lexicographical_topological_sort(graph))
    except networkx.NetworkXUnfeasible:
        loop = [parent for parent, _ in networkx.find_cycle(graph)]
        raise ValueError(f"rows {loop}: each is an ancestor of the next", loop) from None


def _refuse(rows: NDArray[np.integer], wrong: NDArray[np.bool_], reason: str) -> None:
    if wrong.any():
        named = np.unique(rows[wrong]).tolist()
        raise ValueError(f"rows {named}: {reason}", named)
