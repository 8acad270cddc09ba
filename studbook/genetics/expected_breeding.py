"""The exact expectation of a flock bred on by chance, season by season, with overlapping generations."""

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.breeding_policy import NO_PEN, Breeding, Start
from studbook.genetics.breeding_turns import turns
from studbook.genetics.first_breeders import first_candidates

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def expected(start: Start, breeding: Breeding, years: int) -> tuple[Floats, Floats]:
    """The exact expectation under random mating with the same numbers: F of the chicks and gene diversity.

    Both (y,): of the chicks of each year, and of the breeders chosen after it. Young birds are kept and mated by
    chance, whatever the rules say of keeping, close matings, rotation and doubtful parentage; numbers, replacement,
    seasons and bought cocks are as the rules say. The expected kinship of all pairs of breeders is carried forward,
    a young bird being the mean of all cocks and the mean of all hens; kinship is linear in it, so nothing is
    approximate. For separate generations it is the two-sex recursion of `random_mating` where the hens divide into
    equal groups.

    >>> inbreeding, diversity = expected(Start.unrelated(1, 1), Breeding(1, 1, replaced=1), 4)
    >>> inbreeding.tolist()
    [0.0, 0.25, 0.375, 0.5]

    References
    ----------
    Wright 1931, Genetics 16:97-159. Emik & Terrill 1949, Journal of Heredity 40:51-55 (the tabular method).
    """
    chance = Breeding(
        breeding.cocks,
        breeding.hens,
        breeding.chicks,
        replaced=breeding.replaced,
        seasons=breeding.seasons,
        new_blood=breeding.new_blood,
    )
    cocks, hens = first_candidates(start, chance)
    count = min(breeding.cocks, len(cocks))
    kinship = _mean_start(
        start, cocks, hens, count, 0 if breeding.new_blood is None else breeding.new_blood.source
    )
    if chance.new_blood is not None and chance.new_blood.arrives(1):
        kinship = _bought_first(kinship)
    inbreeding, diversity = np.empty(years), np.empty(years)
    for year, turn in enumerate(turns(chance, count, [NO_PEN] * len(hens), years)):
        sires = slice(0, turn.cocks)
        dams = slice(turn.cocks, turn.cocks + turn.hens)
        inbreeding[year] = kinship[sires, dams].mean()
        weights = np.zeros((len(turn.place) + 1, len(kinship)))
        weights[turn.kept, turn.place[turn.kept]] = 1
        weights[turn.bought, -1] = 1
        weights[-1, -1] = 1
        weights[turn.young, sires] = 0.5 / turn.cocks
        weights[turn.young, dams] = 0.5 / turn.hens
        following = weights @ kinship @ weights.T
        # two chicks have one sire a little more often when the groups of hens are not equal
        same = _same_sire(turn.cocks, turn.hens)
        sire_part = kinship[sires, sires]
        alike = float(np.diagonal(sire_part).mean())
        unlike = (sire_part.sum() - np.trace(sire_part)) / max(turn.cocks * (turn.cocks - 1), 1)
        more = (same - 1 / turn.cocks) * (alike - unlike) / 4
        following[np.ix_(turn.young, turn.young)] += more
        following[turn.young, turn.young] = (1 + inbreeding[year]) / 2
        following[turn.bought, turn.bought] = (1 + kinship[-1, -1]) / 2
        kinship = following
        diversity[year] = 1 - kinship[:-1, :-1].mean()
    return inbreeding, diversity


def _same_sire(cocks: int, hens: int) -> float:
    """Chance that two chicks of any hens have one sire, the hens in groups as equal as can be."""
    groups = np.bincount(np.arange(hens) % cocks, minlength=cocks)
    return float((groups**2).sum()) / hens**2


def _mean_start(start: Start, cocks: Ints, hens: Ints, count: int, source: int) -> Floats:
    """The expected kinship when `count` of some cocks are drawn by chance beside all `hens`; last the yard."""
    m, h = count, len(hens)
    found = np.empty((m + h + 1, m + h + 1))
    among = start.kinship[np.ix_(cocks, cocks)]
    found[:m, :m] = (among.sum() - np.trace(among)) / max(len(cocks) * (len(cocks) - 1), 1)
    np.fill_diagonal(found[:m, :m], np.trace(among) / len(cocks))
    found[:m, m:-1] = start.kinship[np.ix_(cocks, hens)].mean(axis=0)
    found[m:-1, :m] = found[:m, m:-1].T
    found[m:-1, m:-1] = start.kinship[np.ix_(hens, hens)]
    outside = start.source_kinship[source]
    found[-1, :m] = outside[cocks].mean()
    found[-1, m:-1] = outside[hens]
    found[-1, -1] = start.source_self[source]
    found[:-1, -1] = found[-1, :-1]
    return found


def _bought_first(kinship: Floats) -> Floats:
    made = kinship.copy()
    made[0] = kinship[-1]
    made[:, 0] = kinship[-1]
    made[0, 0] = (1 + kinship[-1, -1]) / 2
    made[0, -1] = made[-1, 0] = kinship[-1, -1]
    return made
