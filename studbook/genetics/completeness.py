"""How much of a pedigree is known."""

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.gene_flow import GeneFlow, levels
from studbook.genetics.pedigree import Pedigree


def generation_equivalents(pedigree: Pedigree) -> NDArray[np.float64]:
    """The complete generation equivalents of each node (n,): Σ (½)^g over its known ancestors.

    An ancestor g generations back counts (½)^g, so both parents known are 1, both parents and all
    four grandparents 2; a candidate parent counts by its weight.

    >>> generation_equivalents(Pedigree.of_parents([-1, -1, 0, 2], [-1, -1, 1, -1])).tolist()
    [0.0, 0.0, 1.0, 1.0]

    References
    ----------
    Maignel, Boichard & Verrier 1996, Interbull Bulletin 14:49-54.
    """
    links = pedigree.links
    known = np.bincount(links.child, links.share, minlength=len(pedigree))
    flow = GeneFlow(pedigree)
    column: NDArray[np.float64] = known[flow.order, None].astype(np.float64)
    flow.spread(column)
    equivalents: NDArray[np.float64] = column[flow.place, 0]
    return equivalents


def generations_known(pedigree: Pedigree) -> NDArray[np.intp]:
    """How many generations back the farthest known ancestor of each node lies (n,)."""
    return levels(pedigree)


def ancestor_count(pedigree: Pedigree, row: int) -> int:
    """How many distinct ancestors of a node are known; every candidate parent is counted."""
    return len(pedigree.with_ancestors([row])) - 1
