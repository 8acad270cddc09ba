"""Whom a keeper keeps and puts together, for many replicates at once: by the least increase of mean kinship."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

_NONE_LEFT, _WRONG_PEN = 1e6, 1e9
_TIE = 1e-9

Floats = NDArray[np.float64]


def chosen(
    relation: Floats,
    own: Floats,
    to_others: Floats,
    weights: Sequence[float],
    allowed: Sequence[NDArray[np.bool_]],
    available: NDArray[np.int64],
    rng: np.random.Generator,
) -> NDArray[np.int64]:
    """Which of c candidates is taken by each pick, one after the other: (r, picks).

    Each pick takes the candidate that adds least to w′Kw, the mean kinship of those that breed, w being their
    weights: the pick's share of the next generation's genes.

    Parameters
    ----------
    relation
        (r, c, c) kinship of two birds of two candidates; of two birds of one candidate on the diagonal.
    own
        (r, c) kinship of a bird of each candidate with itself.
    to_others
        (r, c) weighted sum of its kinship with the birds that breed already.
    weights
        Of each pick.
    allowed
        (c,) for each pick, the candidates it may take.
    available
        (r, c) how many birds each candidate has; none is taken from an empty one while there are others.
        It is counted down.
    """
    replicates = np.arange(len(own))
    base = to_others.copy()
    taken = np.empty((len(own), len(weights)), dtype=np.int64)
    for pick, (weight, fit) in enumerate(zip(weights, allowed, strict=True)):
        score = 2 * base + weight * own + rng.random(own.shape) * _TIE
        score += np.where(available > 0, 0.0, _NONE_LEFT) + np.where(fit, 0.0, _WRONG_PEN)
        taken[:, pick] = score.argmin(axis=1)
        base += weight * relation[replicates, taken[:, pick]]
        available[replicates, taken[:, pick]] -= 1
    return taken


def mated_by_chance(replicates: int, cocks: int, hens: int, rng: np.random.Generator) -> NDArray[np.int64]:
    """The cock of each hen (r, hens): equal groups, put together by chance."""
    groups = rng.permuted(np.tile(np.arange(cocks), (replicates, 1)), axis=1)
    dealt = groups[:, np.arange(hens) % cocks]
    mated: NDArray[np.int64] = rng.permuted(dealt, axis=1)
    return mated


def mated_apart(kinship: Floats, rng: np.random.Generator) -> NDArray[np.int64]:
    """The cock of each hen (r, hens) in equal groups, each hen in turn to the least related with room.

    `kinship` is (r, cocks, hens).
    """
    replicates, cocks, hens = kinship.shape
    rows = np.arange(replicates)
    share, odd = divmod(hens, cocks)
    given = np.zeros((replicates, cocks), dtype=np.int64)
    # so many cocks still take one hen more than the others
    more = np.full(replicates, odd)
    mated = np.empty((replicates, hens), dtype=np.int64)
    turn = rng.permuted(np.tile(np.arange(hens), (replicates, 1)), axis=1)
    jitter = rng.random((replicates, cocks)) * _TIE
    for place in range(hens):
        hen = turn[:, place]
        has_room = (given < share) | ((given == share) & (more > 0)[:, None])
        score = kinship[rows, :, hen] + jitter + np.where(has_room, 0.0, _NONE_LEFT)
        cock = score.argmin(axis=1)
        mated[rows, hen] = cock
        more -= given[rows, cock] == share
        given[rows, cock] += 1
    return mated
