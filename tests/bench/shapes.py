"""Pedigrees to measure on, made with fixed seeds: how many parents there are decides, not how many birds."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.pedigree import UNKNOWN, Pedigree


@dataclass(frozen=True)
class Shape:
    """How a pedigree is bred.

    Attributes
    ----------
    birds
        About how many birds there are in all.
    flocks, seasons
        How many flocks breed side by side, and for how many years.
    new_cocks, new_hens
        How many each flock takes on each season from the last hatch.
    cock_seasons, hen_seasons
        For how many seasons each of them breeds.
    cocks_from_elsewhere, hens_from_elsewhere
        Chance that a new breeder comes from another flock.
    """

    title: str
    birds: int
    flocks: int
    seasons: int
    new_cocks: int
    new_hens: int
    cock_seasons: int
    hen_seasons: int
    cocks_from_elsewhere: float = 0.0
    hens_from_elsewhere: float = 0.0


SHAPES = {
    "flock": Shape("closed flock of 5,000", 5_000, 1, 40, 3, 6, 1, 2),
    "hundred": Shape("society of 100,000", 100_000, 40, 30, 1, 4, 1, 2, 0.5, 0.2),
    "deep": Shape("deep 100,000, 20 breeders a season", 100_000, 1, 300, 4, 16, 1, 1),
    "million": Shape("society of 1,000,000", 1_000_000, 400, 30, 1, 4, 1, 2, 0.5, 0.2),
}


@dataclass(frozen=True, eq=False)
class Bred:
    """The birds of a shape (n,): parents, the season each hatched in and its flock; odd rows are hens."""

    sire: NDArray[np.int32]
    dam: NDArray[np.int32]
    season: NDArray[np.int32]
    flock: NDArray[np.int32]

    @property
    def pedigree(self) -> Pedigree:
        """All of them."""
        return Pedigree.of_parents(self.sire, self.dam)


def bred(shape: Shape, extra_flocks: int = 0, seed: int = 20) -> Bred:
    """The birds of a shape, and one more hatch of the first `extra_flocks` flocks after its last season."""
    rng = np.random.default_rng(seed)
    chicks = shape.birds // (shape.flocks * shape.seasons) // 2 * 2
    spread = np.array([chicks] * (shape.flocks * shape.seasons))
    short = (shape.birds - spread.sum()) // 2
    spread[:short] += 2
    hatches = rng.permutation(spread).reshape(shape.seasons, shape.flocks)
    sires, dams, seasons, flocks = [], [], [], []
    last: list[NDArray[np.int64]] = []
    cocks: list[list[NDArray[np.int64]]] = [[] for _ in range(shape.flocks)]
    hens: list[list[NDArray[np.int64]]] = [[] for _ in range(shape.flocks)]
    begin = 0
    for season in range(shape.seasons + (extra_flocks > 0)):
        hatched = []
        for flock in range(shape.flocks if season < shape.seasons else extra_flocks):
            size = int(hatches[season, flock]) if season < shape.seasons else int(hatches[-1, flock])
            if season == 0:
                sire = dam = np.full(size, UNKNOWN)
            else:
                _take_on(rng, cocks, last, flock, 0, shape.new_cocks, shape.cocks_from_elsewhere)
                _take_on(rng, hens, last, flock, 1, shape.new_hens, shape.hens_from_elsewhere)
                del cocks[flock][: -shape.cock_seasons], hens[flock][: -shape.hen_seasons]
                sire = rng.choice(np.concatenate(cocks[flock]), size)
                dam = rng.choice(np.concatenate(hens[flock]), size)
            sires.append(sire)
            dams.append(dam)
            seasons.append(np.full(size, season))
            flocks.append(np.full(size, flock))
            hatched.append(np.arange(begin, begin + size))
            begin += size
        last = hatched
    return Bred(*(np.concatenate(each).astype(np.int32) for each in (sires, dams, seasons, flocks)))


def _take_on(
    rng: np.random.Generator,
    breeders: list[list[NDArray[np.int64]]],
    last: list[NDArray[np.int64]],
    flock: int,
    sex: int,
    count: int,
    elsewhere: float,
) -> None:
    """Add the new cocks (sex 0) or hens (1) of a flock, each from its own last hatch or another's."""
    home = last[flock][sex::2]
    chosen = rng.choice(home, min(count, len(home)), replace=False)
    away = rng.random(len(chosen)) < elsewhere
    for place in np.flatnonzero(away):
        other = int(rng.integers(len(last)))
        chosen[place] = rng.choice(last[other][sex::2])
    breeders[flock].append(chosen)
