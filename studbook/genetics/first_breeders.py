"""Who breeds in the first season of a simulation: some of the birds there are."""

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.breeding_policy import Breeding, Keep, Start
from studbook.genetics.choosing_young import chosen

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def first_candidates(start: Start, breeding: Breeding) -> tuple[Ints, Ints]:
    """The cocks among whom chance chooses, and the hens of the first season, the oldest first."""
    hens = np.flatnonzero(~start.is_cock)
    youngest = hens[np.argsort(-start.born[hens], kind="stable")][: breeding.hens]
    return np.flatnonzero(start.is_cock), _oldest_first(start, youngest)


def first_breeders(
    start: Start, breeding: Breeding, replicates: int, rng: np.random.Generator
) -> tuple[Ints, Ints]:
    """The cocks (r, m) and hens (h,), the oldest first, that breed in the first season."""
    cocks, hens = first_candidates(start, breeding)
    count = min(breeding.cocks, len(cocks))
    if breeding.keep is Keep.RANDOM:
        drawn = rng.permuted(np.tile(cocks, (replicates, 1)), axis=1)[:, :count]
        return drawn, hens
    relation = start.kinship
    if breeding.keep is Keep.FOUNDER_BALANCED:
        relation = relation + start.shares @ start.shares.T / 2
    every = np.flatnonzero(~start.is_cock)
    best_cocks = _best(relation, cocks, every, count, rng)
    best_hens = _best(relation, every, best_cocks, min(breeding.hens, len(every)), rng)
    return np.tile(best_cocks, (replicates, 1)), _oldest_first(start, best_hens)


def _best(relation: Floats, among: Ints, beside: Ints, count: int, rng: np.random.Generator) -> Ints:
    """The birds of one sex, `count` of them, that add least to the mean kinship beside those of the other."""
    own = relation[np.ix_(among, among)]
    taken = chosen(
        own[None],
        np.diagonal(own)[None],
        relation[np.ix_(among, beside)].mean(axis=1)[None] / 2,
        [0.5 / count] * count,
        [np.ones(len(among), dtype=bool)] * count,
        np.ones((1, len(among)), dtype=np.int64),
        rng,
    )
    best: Ints = among[np.sort(taken[0])]
    return best


def _oldest_first(start: Start, hens: Ints) -> Ints:
    order: Ints = hens[np.argsort(start.born[hens], kind="stable")]
    return order
