"""Kinship of chosen birds by the indirect method on their ancestors only."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.gene_flow import GeneFlow
from studbook.genetics.inbreeding import BLOCK_NUMBERS, Diagonals, diagonals
from studbook.genetics.pedigree import Pedigree


def kinship(
    pedigree: Pedigree, rows: ArrayLike, columns: ArrayLike, known: Diagonals | None = None
) -> NDArray[np.float64]:
    """The kinship f of each of `rows` with each of `columns`: (r, c), from 0 to 1.

    f is the chance that a gene drawn from one bird and a gene drawn from the other descend from one
    ancestral gene; it is the F their chicks would have, and f of a bird with itself is (1 + F) / 2.
    Others report the additive relationship, which is twice this. `known` spares finding the
    diagonals of a pedigree again.

    >>> kinship(Pedigree.of_parents([-1, -1, 0, 0], [-1, -1, 1, 1]), [0, 2], [2, 3]).tolist()
    [[0.25, 0.25], [0.5, 0.25]]

    References
    ----------
    Colleau 2002, Genetics Selection Evolution 34:409-421.
    """
    known = diagonals(pedigree) if known is None else known
    left, left_again = np.unique(np.asarray(rows, dtype=np.int32), return_inverse=True)
    right, right_again = np.unique(np.asarray(columns, dtype=np.int32), return_inverse=True)
    # fewer columns are fewer sweeps
    distinct = (
        _relationships(pedigree, left, right, known)
        if len(right) <= len(left)
        else _relationships(pedigree, right, left, known).T
    )
    return distinct[np.ix_(left_again, right_again)] / 2


def mean_kinship(pedigree: Pedigree, rows: ArrayLike, known: Diagonals | None = None) -> NDArray[np.float64]:
    """The mean kinship of each of `rows` with all of them, itself included: (r,).

    Their own mean is the mean kinship of the flock; gene diversity is 1 less it.

    References
    ----------
    Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76-111.
    """
    chosen = np.asarray(rows, dtype=np.int32)
    known = diagonals(pedigree) if known is None else known
    ancestors = pedigree.with_ancestors(chosen)
    flow = GeneFlow(pedigree.part(ancestors))
    places = flow.place[np.searchsorted(ancestors, chosen)]
    shares = np.bincount(places, minlength=len(ancestors))[:, None] / max(len(chosen), 1)
    flow.gather(shares)
    shares *= known.sampling_variance[ancestors][flow.order, None]
    flow.spread(shares)
    mean: NDArray[np.float64] = shares[places, 0] / 2
    return mean


def _relationships(
    pedigree: Pedigree, rows: NDArray[np.int32], columns: NDArray[np.int32], known: Diagonals
) -> NDArray[np.float64]:
    """The additive relationship of `rows` with `columns`, swept in blocks of columns."""
    ancestors = pedigree.with_ancestors(np.concatenate([rows, columns]))
    flow = GeneFlow(pedigree.part(ancestors))
    variance = known.sampling_variance[ancestors][flow.order, None]
    places = flow.place[np.searchsorted(ancestors, rows)]
    starts = flow.place[np.searchsorted(ancestors, columns)]
    result = np.empty((len(rows), len(columns)))
    width = max(1, BLOCK_NUMBERS // max(len(ancestors), 1))
    for begin in range(0, len(columns), width):
        block = starts[begin : begin + width]
        swept = np.zeros((len(ancestors), len(block)))
        swept[block, np.arange(len(block))] = 1
        flow.gather(swept)
        swept *= variance
        flow.spread(swept)
        result[:, begin : begin + width] = swept[places]
    return result
