"""How long a generation lasts, and how fast each bird's inbreeding rose by the generation."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.pedigree import Pedigree


@dataclass(frozen=True, slots=True)
class Interval:
    """The mean age of parents at the hatch of the offspring that followed them.

    Attributes
    ----------
    days
        Mean age in days; NaN when no age is known.
    offspring
        How many offspring it rests on, a doubtful parent counted by its weight.
    """

    days: float
    offspring: float


@dataclass(frozen=True, slots=True)
class GenerationIntervals:
    """The generation interval along the four paths of descent."""

    sire_to_son: Interval
    sire_to_daughter: Interval
    dam_to_son: Interval
    dam_to_daughter: Interval

    @property
    def days(self) -> float:
        """The generation interval: the mean of the four paths, each counted alike.

        Where one path of a parent is not known its other path stands for both; NaN when nothing is
        known of sires or nothing of dams.
        """
        sires = _mean_known(self.sire_to_son.days, self.sire_to_daughter.days)
        dams = _mean_known(self.dam_to_son.days, self.dam_to_daughter.days)
        return (sires + dams) / 2


@dataclass(frozen=True, slots=True)
class RealisedSize:
    """The effective population size by the inbreeding that came about.

    Attributes
    ----------
    effective_size
        Ne; infinite when none of the birds is inbred, NaN without birds.
    standard_error
        Of Ne; NaN for fewer than two birds or where Ne is infinite.
    increase
        Mean increase in inbreeding per generation, 1 / (2 Ne).
    birds
        How many birds have enough pedigree to count.
    """

    effective_size: float
    standard_error: float
    increase: float
    birds: int


def generation_intervals(
    pedigree: Pedigree, hatched_day: ArrayLike, hen: ArrayLike, cock: ArrayLike, rows: ArrayLike | None = None
) -> GenerationIntervals:
    """The generation intervals of the parents of `rows`, by default of all birds with offspring.

    Only offspring that were bred from carry the line on, hence the default. `hatched_day` (n,) counts
    days from any day, NaN where not known; `hen` and `cock` (n,) say which birds are surely of a
    sex. Offspring of unknown sex and parents that stand for several birds are left out.

    References
    ----------
    Hill 1974, Animal Production 18:117-139.
    """
    day = np.append(np.asarray(hatched_day, dtype=np.float64), np.nan)
    day[:-1][~pedigree.is_bird] = np.nan
    chosen = np.zeros(len(pedigree), dtype=bool)
    chosen[pedigree.links.parent if rows is None else np.asarray(rows, dtype=np.intp)] = True
    child = pedigree.child
    son, daughter = (
        np.asarray(sex, dtype=bool)[child] & chosen[child] & pedigree.is_bird[child] for sex in (cock, hen)
    )

    def interval(parent: NDArray[np.int32], of: NDArray[np.bool_]) -> Interval:
        age_days = day[child] - day[parent]
        counted = of & ~np.isnan(age_days)
        weight = pedigree.weight[counted]
        offspring = float(weight.sum())
        return Interval(float(weight @ age_days[counted]) / offspring if offspring else np.nan, offspring)

    return GenerationIntervals(
        interval(pedigree.sire, son),
        interval(pedigree.sire, daughter),
        interval(pedigree.dam, son),
        interval(pedigree.dam, daughter),
    )


def individual_increase(inbreeding: ArrayLike, generations: ArrayLike) -> NDArray[np.float64]:
    """The increase in inbreeding per generation of each bird (n,): 1 - (1 - F)^(1 / (t - 1)).

    `generations` (n,) are the complete generation equivalents t. NaN where no more than the parents
    are known (t ≤ 1), since F could not show yet, and for a node that is no bird.

    >>> individual_increase([0.19, 0.0, 0.25], [3.0, 1.0, 2.0]).round(12).tolist()
    [0.1, nan, 0.25]

    References
    ----------
    Gutiérrez, Cervantes & Goyache 2009, Journal of Animal Breeding and Genetics 126:327-332.
    """
    coefficient = np.asarray(inbreeding, dtype=np.float64)
    known = np.asarray(generations, dtype=np.float64)
    increase = np.full(coefficient.shape, np.nan)
    enough = known > 1
    increase[enough] = 1 - (1 - coefficient[enough]) ** (1 / (known[enough] - 1))
    return increase


def realised_size(increase: ArrayLike) -> RealisedSize:
    """The realised effective size by the individual increases in inbreeding, NaN left out.

    Ne = 1 / (2 mean ΔF), with the standard error 2 Ne² σ / √N. The birds should be one generation
    or the living flock, not the whole book.

    References
    ----------
    Gutiérrez, Cervantes & Goyache 2009, Journal of Animal Breeding and Genetics 126:327-332.
    """
    values = np.asarray(increase, dtype=np.float64)
    values = values[~np.isnan(values)]
    if not len(values):
        return RealisedSize(np.nan, np.nan, np.nan, 0)
    mean = float(values.mean())
    if mean <= 0:
        return RealisedSize(np.inf, np.nan, mean, len(values))
    size = 1 / (2 * mean)
    if len(values) < 2:
        return RealisedSize(size, np.nan, mean, len(values))
    error = 2 * size**2 * float(values.std(ddof=1)) / len(values) ** 0.5
    return RealisedSize(size, error, mean, len(values))


def _mean_known(first: float, second: float) -> float:
    known = [value for value in (first, second) if not np.isnan(value)]
    return sum(known) / len(known) if known else np.nan
