"""Inbreeding under random mating of a few sires with more dams: the exact recursion for separate generations."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class RandomMating:
    """What random mating leads to, by generation; generation 0 is the start.

    Attributes
    ----------
    inbreeding
        (g + 1,) mean F of the birds of each generation, from 0 to 1.
    kinship
        (g + 1,) mean kinship of two different birds of it, which is F of the next.
    """

    inbreeding: NDArray[np.float64]
    kinship: NDArray[np.float64]


def random_mating(
    cocks: int, hens: int, generations: int, inbreeding: float = 0.0, kinship: float = 0.0
) -> RandomMating:
    """The exact expectation with `cocks` sires and `hens` dams a generation, every chick's parents drawn by chance.

    `inbreeding` and `kinship` are those of the first breeders: F of each, and the kinship of two different
    ones. F(t + 1) = φ(t); φ(t + 1) = ½ φ + ¼ [(1/Nm)(1 + F)/2 + (1 − 1/Nm) φ] + ¼ [the same with Nf], all of
    generation t. The one-number formula 1 − (1 − 1/(2 Ne))^t is only near it.

    >>> random_mating(1, 1, 3).inbreeding.tolist()
    [0.0, 0.0, 0.25, 0.375]

    Raises
    ------
    ValueError
        If there is no cock or no hen, or fewer than 0 generations are asked for.

    References
    ----------
    Wright 1931, Genetics 16:97-159. Crow & Kimura 1970, An Introduction to Population Genetics Theory.
    """
    if cocks < 1 or hens < 1 or generations < 0:
        raise ValueError("there is at least one cock and one hen, and no negative number of generations")
    found = np.empty((2, generations + 1))
    found[:, 0] = inbreeding, kinship
    for t in range(generations):
        f, phi = found[:, t]
        half = phi / 2
        for parents in (cocks, hens):
            half += ((1 + f) / 2 / parents + (1 - 1 / parents) * phi) / 4
        found[:, t + 1] = phi, half
    return RandomMating(found[0], found[1])
