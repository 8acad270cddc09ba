"""The flow of genes through a pedigree: the matrix T of A = T D T', swept level by level.

T[i, j] is the chance that a gene of node i comes down from node j. It is never written out: a
vector is multiplied by T by passing values from parents to offspring, and by T' by passing them
back (Colleau 2002, Genetics Selection Evolution 34:409-421).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.pedigree import Pedigree


@dataclass(frozen=True, eq=False)
class _Step:
    """The links whose child stands on one level, grouped once by child and once by parent."""

    children: slice
    parent: NDArray[np.intp]
    share: NDArray[np.float64]
    child_starts: NDArray[np.intp]
    giving_child: NDArray[np.intp]
    giving_share: NDArray[np.float64]
    parent_starts: NDArray[np.intp]
    parents: NDArray[np.intp]


class GeneFlow:
    """T of one pedigree, ready to be swept over columns of values.

    Columns are held with the nodes in the order of `order`: by level (founders are level 0, a bird
    stands one above the higher of its parents), so that a level is a slice.

    Attributes
    ----------
    order
        (n,) row of the node at each place.
    place
        (n,) place of each row.
    level_ends
        For each level the place after its last node.
    """

    def __init__(self, pedigree: Pedigree) -> None:
        links = pedigree.links
        level = levels(pedigree)
        self.order = np.argsort(level, kind="stable")
        self.place = np.empty_like(self.order)
        self.place[self.order] = np.arange(len(self.order))
        self.level_ends = np.cumsum(np.bincount(level)) if len(level) else np.zeros(0, dtype=np.intp)
        child, parent = self.place[links.child], self.place[links.parent]
        by_child = np.lexsort((parent, child))
        child, parent, share = child[by_child], parent[by_child], links.share[by_child]
        cuts = np.searchsorted(child, self.level_ends)
        self._steps = [
            _step(child[low:high], parent[low:high], share[low:high], slice(begin, end))
            for low, high, begin, end in zip(
                cuts[:-1], cuts[1:], self.level_ends[:-1], self.level_ends[1:], strict=True
            )
        ]

    def gather(self, columns: NDArray[np.float64], level: int | None = None) -> None:
        """Replace `columns` (n, k), zero above `level`, by T' times them: offspring pass to parents."""
        steps = self._steps if level is None else self._steps[:level]
        for step in reversed(steps):
            given = columns[step.giving_child] * step.giving_share[:, None]
            columns[step.parents] += np.add.reduceat(given, step.parent_starts, axis=0)

    def spread(self, columns: NDArray[np.float64], level: int | None = None) -> None:
        """Replace `columns` (n, k) up to `level` by T times them: parents pass to offspring."""
        steps = self._steps if level is None else self._steps[:level]
        for step in steps:
            received = columns[step.parent] * step.share[:, None]
            columns[step.children] += np.add.reduceat(received, step.child_starts, axis=0)


def levels(pedigree: Pedigree) -> NDArray[np.intp]:
    """The level of each node (n,): 0 without known parents, else one above its highest parent."""
    links = pedigree.links
    level = np.zeros(len(pedigree), dtype=np.intp)
    has_parents = np.flatnonzero(np.diff(links.first))
    if not len(has_parents):
        return level
    starts = links.first[has_parents]
    while True:
        raised = np.maximum.reduceat(level[links.parent], starts) + 1
        if np.array_equal(raised, level[has_parents]):
            return level
        level[has_parents] = raised


def _step(
    child: NDArray[np.intp], parent: NDArray[np.intp], share: NDArray[np.float64], children: slice
) -> _Step:
    by_parent = np.argsort(parent, kind="stable")
    parents, parent_starts = np.unique(parent[by_parent], return_index=True)
    child_starts = np.searchsorted(child, np.arange(children.start, children.stop))
    return _Step(
        children, parent, share, child_starts, child[by_parent], share[by_parent], parent_starts, parents
    )
