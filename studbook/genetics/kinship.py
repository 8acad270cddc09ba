"""Kinship of chosen birds by the indirect method on their ancestors only."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.compiled import kernels_for
from studbook.genetics.gene_flow import Columns, Relations, related_to
from studbook.genetics.inbreeding import BLOCK_NUMBERS, Diagonals, diagonals
from studbook.genetics.pedigree import Pedigree


def kinship(
    pedigree: Pedigree,
    rows: ArrayLike,
    columns: ArrayLike,
    known: Diagonals | None = None,
    progress: Callable[[float], None] | None = None,
) -> NDArray[np.float64]:
    """The kinship f of each of `rows` with each of `columns`: (r, c), from 0 to 1.

    f is the chance that a gene drawn from one bird and a gene drawn from the other descend from one
    ancestral gene; it is the F their chicks would have, and f of a bird with itself is (1 + F) / 2.
    Others report the additive relationship, which is twice this. `known` spares finding the
    diagonals of a pedigree again. `progress` hears the share done; an exception it raises ends the
    work.

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
        _relationships(pedigree, left, right, known, progress)
        if len(right) <= len(left)
        else _relationships(pedigree, right, left, known, progress).T
    )
    # of a bird with itself it is known to the last digit
    same, row, column = np.intersect1d(left, right, assume_unique=True, return_indices=True)
    distinct[row, column] = known.self_relationship[same]
    return distinct[np.ix_(left_again, right_again)] / 2


def mean_kinship(
    pedigree: Pedigree,
    rows: ArrayLike,
    known: Diagonals | None = None,
    among: ArrayLike | None = None,
) -> NDArray[np.float64]:
    """The mean kinship of each of `rows` with all birds of `among`: (r,); by default with all `rows`.

    A bird that is in both counts with itself. The mean of the living among the living is the mean
    kinship of the flock; gene diversity is 1 less it.

    References
    ----------
    Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76-111.
    """
    asked = np.asarray(rows, dtype=np.int32)
    others = asked if among is None else np.asarray(among, dtype=np.int32)
    known = diagonals(pedigree) if known is None else known
    # half the share of each, as kinship is half the relationship
    shares = np.zeros(len(pedigree))
    np.add.at(shares, others, 0.5 / max(len(others), 1))
    return related_to(pedigree, shares, known.sampling_variance)[asked]


def _relationships(
    pedigree: Pedigree,
    rows: NDArray[np.int32],
    columns: NDArray[np.int32],
    known: Diagonals,
    progress: Callable[[float], None] | None,
) -> NDArray[np.float64]:
    """The additive relationship of `rows` with `columns`, swept in blocks of columns."""
    ancestors, part = pedigree.behind(np.concatenate([rows, columns]))
    relations = Relations(part, known.sampling_variance[ancestors], kernels_for(len(pedigree)), BLOCK_NUMBERS)
    wanted = np.searchsorted(ancestors, rows)
    found = relations.between(
        Columns.of_nodes(np.searchsorted(ancestors, columns)),
        np.arange(len(columns) + 1) * len(rows),
        np.tile(wanted, len(columns)),
        None if progress is None else lambda done: progress(done / len(columns)),
    )
    return found.reshape(len(columns), len(rows)).T
