"""How fast inbreeding rises, how long a generation lasts, and how large the flock is in effect."""

import math
from collections import defaultdict
from collections.abc import Sequence
from datetime import date

import numpy as np
from numpy.typing import NDArray

from studbook.book.pedigree import BookPedigree
from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.book.relatedness import Unknown
from studbook.genetics import generations
from studbook.genetics.breeders import HIGHEST_RATE, overlapping_generations, rate_per_year
from studbook.planning.bloodlines.report import BreedersSize, HatchYear, RealisedSize, Trend

_DAYS_A_YEAR = 365.25

TREND_YEARS = 10
"""The rise is told of the last so many hatch years."""

BREEDING_YEARS = 5
"""New breeders are counted over the last so many years."""

_FEWEST_YEARS = 3


def trend(years: Sequence[HatchYear], unknown: Unknown, interval_years: float | None) -> Trend:
    """The rise of F by hatch year and the limit it should stay under."""
    limit = rate_per_year(HIGHEST_RATE, interval_years) if interval_years else None
    return Trend(interval_years, limit, _yearly_rise(years[-TREND_YEARS:], unknown))


def _yearly_rise(years: Sequence[HatchYear], unknown: Unknown) -> float | None:
    """ΔF per year: 1 - exp of the slope of ln(1 - F) on hatch year, each year weighted by its birds."""
    if len(years) < _FEWEST_YEARS:
        return None
    year = np.array([each.year for each in years], dtype=np.float64)
    weight = np.array([each.birds for each in years], dtype=np.float64)
    coefficient = np.array(
        [each.cautious if unknown is Unknown.FLOCK else each.by_convention for each in years]
    )
    if (coefficient >= 1).any():
        return None
    left = np.log1p(-coefficient)
    off = year - np.average(year, weights=weight)
    slope = float((weight * off) @ left / ((weight * off) @ off))
    return -math.expm1(slope)


def generation_interval_years(snapshot: Snapshot, book: BookPedigree, rows: NDArray[np.intp]) -> float | None:
    """The mean age of parents at the hatch of the offspring that were bred from; None if not known."""
    count = len(book.pedigree)
    hatched_day = np.full(count, np.nan)
    sexes = {sex: np.zeros(count, dtype=bool) for sex in Sex}
    breeding = []
    for row in rows.tolist():
        bird, node = snapshot.birds[row], book.nodes[row]
        sexes[bird.sex][node] = True
        if bird.hatched.is_known:
            hatched_day[node] = (bird.hatched.earliest.toordinal() + bird.hatched.latest.toordinal()) / 2
        if bird.id in snapshot.offspring:
            breeding.append(node)
    found = generations.generation_intervals(
        book.pedigree, hatched_day, sexes[Sex.HEN], sexes[Sex.COCK], np.array(breeding, dtype=np.intp)
    )
    return found.days / _DAYS_A_YEAR if found.days > 0 else None


def realised_size(inbreeding: NDArray[np.float64], known: NDArray[np.float64]) -> RealisedSize:
    """Ne by the increase in inbreeding of each counted bird; `known` are its generation equivalents."""
    found = generations.realised_size(generations.individual_increase(inbreeding, known))
    return RealisedSize(
        None if math.isnan(found.effective_size) else found.effective_size,
        None if math.isnan(found.standard_error) else found.standard_error,
        found.birds,
    )


def breeders_size(
    snapshot: Snapshot, rows: NDArray[np.intp], today: date, interval_years: float | None
) -> BreedersSize:
    """Ne by the birds that bred for the first time in each of the last years.

    A parent in doubt counts by its weight, an unknown one not at all. The first hatch year of a book
    is left out if there are others: every breeder is new in it.
    """
    birds = [snapshot.birds[row] for row in rows.tolist()]
    first, weight = _first_hatches(birds)
    hatches = sorted({bird.hatched.year for bird in birds if bird.hatched.year and bird.pairs})
    latest = today.year if today.year in hatches else today.year - 1
    years = tuple(range(latest - BREEDING_YEARS + 1, latest + 1))
    if hatches:
        beginning = hatches[0] + (1 if hatches[-1] > hatches[0] else 0)
        years = tuple(year for year in years if year >= beginning)
    new = dict.fromkeys(Sex, 0.0)
    for parent, year in first.items():
        if year in years and snapshot.has(parent):
            new[snapshot.bird(parent).sex] += min(1.0, weight[parent])
    span = max(len(years), 1)
    cocks, hens = new[Sex.COCK] / span, new[Sex.HEN] / span
    if not interval_years or not cocks or not hens:
        return BreedersSize(cocks, hens, years, None, None, None)
    found = overlapping_generations(cocks, hens, interval_years)
    return BreedersSize(
        cocks,
        hens,
        years,
        found.effective_size,
        found.rate_per_generation,
        found.rate_per_year,
        overlapping_generations(cocks + 1, hens, interval_years).effective_size,
        overlapping_generations(cocks, hens + 1, interval_years).effective_size,
    )


def _first_hatches(birds: Sequence[Bird]) -> tuple[dict[BirdId, int], dict[BirdId, float]]:
    """The year of each parent's first chick, and the greatest weight it has as a parent in that year."""
    first: dict[BirdId, int] = {}
    weight: dict[BirdId, float] = {}
    for chick in birds:
        if chick.hatched.year is None:
            continue
        shares: dict[BirdId, float] = defaultdict(float)
        for pair in chick.pairs:
            for parent in (pair.sire, pair.dam):
                if parent is not None:
                    shares[parent] += pair.weight
        for parent, share in shares.items():
            if chick.hatched.year < first.get(parent, chick.hatched.year + 1):
                first[parent], weight[parent] = chick.hatched.year, share
            elif chick.hatched.year == first[parent]:
                weight[parent] = max(weight[parent], share)
    return first, weight
