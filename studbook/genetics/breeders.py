"""Effective population size from the numbers of breeders, and what it means for inbreeding.

Rates are per generation unless the name says per year. They are never mixed: a rate per year is one
per generation divided by the generation interval.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

HIGHEST_RATE = 0.01
"""Increase in inbreeding per generation that a flock should stay under: 1 %, which is Ne 50.

FAO 2013, In vivo conservation of animal genetic resources, Guidelines 14.
"""


@dataclass(frozen=True, slots=True)
class OverlappingSize:
    """The effective size of a flock that keeps birds several seasons.

    Attributes
    ----------
    effective_size
        Ne, per generation.
    rate_per_generation, rate_per_year
        Increase in inbreeding.
    """

    effective_size: float
    rate_per_generation: float
    rate_per_year: float


def effective_size(cocks: float, hens: float) -> float:
    """Ne = 4 NmNf / (Nm + Nf), for separate generations and families of chance size.

    >>> effective_size(1, 10)
    3.6363636363636362

    References
    ----------
    Wright 1931, Genetics 16:97-159.
    """
    _refuse_below(0, cocks=cocks, hens=hens)
    return 4 * cocks * hens / (cocks + hens) if cocks and hens else 0.0


def rate_of_inbreeding(size: float) -> float:
    """ΔF = 1 / (2 Ne), per generation.

    References
    ----------
    Wright 1931, Genetics 16:97-159.
    """
    if size <= 0:
        raise ValueError("an effective size is above 0")
    return 1 / (2 * size)


def size_of_rate(rate: float) -> float:
    """Ne = 1 / (2 ΔF) of an increase in inbreeding per generation; infinite when there is none."""
    _refuse_below(0, rate=rate)
    return 1 / (2 * rate) if rate else np.inf


def inbreeding_after(rate: float, generations: float) -> float:
    """F = 1 - (1 - ΔF)^t, the mean inbreeding after t generations of this rate.

    References
    ----------
    Wright 1931, Genetics 16:97-159.
    """
    left: float = (1 - rate) ** generations
    return 1 - left


def rate_per_year(rate: float, interval_years: float) -> float:
    """The rate per year of a rate per generation; `interval_years` is the generation interval.

    >>> rate_per_year(HIGHEST_RATE, 2.5)
    0.004
    """
    if interval_years <= 0:
        raise ValueError("a generation interval is above 0")
    return rate / interval_years


def unequal_families(breeders: float, variance: float) -> float:
    """Ne = (4 N - 2) / (Vk + 2) of N breeders in a flock that keeps its size.

    Vk is the variance of the number of offspring bred from, of which each breeder leaves two on the
    average: about 2 by chance, 0 when all leave the same number.

    >>> unequal_families(20, 0)
    39.0

    References
    ----------
    Wright 1938, Science 87:430-431. Crow & Kimura 1970, An Introduction to Population Genetics
    Theory.
    """
    _refuse_below(0, breeders=breeders, variance=variance)
    return (4 * breeders - 2) / (variance + 2)


def equalised_families(cocks: float, hens: float) -> float:
    """Ne when every cock leaves one son and every hen one daughter to breed from.

    ΔF = 3 / (32 Nm) + 1 / (32 Nf), at least as many hens as cocks.

    Raises
    ------
    ValueError
        If there is no cock, or there are fewer hens than cocks.

    References
    ----------
    Gowe, Robertson & Latter 1959, Poultry Science 38:462-471.
    """
    if not 0 < cocks <= hens:
        raise ValueError("there is at least one cock, and a hen for each")
    return size_of_rate(3 / (32 * cocks) + 1 / (32 * hens))


def overlapping_generations(new_cocks: float, new_hens: float, interval_years: float) -> OverlappingSize:
    """The effective size when birds breed for several seasons.

    `new_cocks` and `new_hens` are the birds that breed for the first time in a year, not all that
    breed in it; `interval_years` is the generation interval. Ne = 4 MFL / (M + F) with families of
    chance size; ΔF per year is (1 / 8M + 1 / 8F) / L².

    Raises
    ------
    ValueError
        If a number is below 0 or the interval is not above 0.

    References
    ----------
    Hill 1972, Theoretical Population Biology 3:278-289.
    """
    _refuse_below(0, new_cocks=new_cocks, new_hens=new_hens)
    if interval_years <= 0:
        raise ValueError("a generation interval is above 0")
    size = effective_size(new_cocks, new_hens) * interval_years
    if not size:
        return OverlappingSize(0.0, np.nan, np.nan)
    rate = rate_of_inbreeding(size)
    return OverlappingSize(size, rate, rate_per_year(rate, interval_years))


def fluctuating_size(sizes: ArrayLike) -> float:
    """Ne over several generations, the harmonic mean of their effective sizes; NaN of none.

    One generation in a narrow place counts far more than many good ones.

    References
    ----------
    Wright 1938, Science 87:430-431.
    """
    each = np.asarray(sizes, dtype=np.float64)
    if (each < 0).any():
        raise ValueError("an effective size is not below 0")
    if not len(each):
        return np.nan
    return len(each) / float((1 / each).sum()) if each.all() else 0.0


def _refuse_below(least: float, **numbers: float) -> None:
    low = [name.replace("_", " ") for name, number in numbers.items() if not number >= least]
    if low:
        raise ValueError(f"{', '.join(low)}: not below {least}")
