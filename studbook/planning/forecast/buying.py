"""When to buy in a cock and from where: what one bought cock does to a flock bred on under a policy."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.genetics.breeding_policy import Start
from studbook.genetics.expected_breeding import expected
from studbook.genetics.forward import simulate
from studbook.planning.bloodlines.flock import Ways
from studbook.planning.forecast.policy import LIMIT, SEED, YEARS, BuyIn, Policy, Yard
from studbook.planning.forecast.running import breeding_of
from studbook.planning.forecast.start import flock_start

ALIKE = 0.003
"""Seasons whose mean F over the years differs by less are equally good to buy in."""

RUNS = 60
"""Runs for each season and yard; what the policies differ by is far more than their error."""

Told = Callable[[float], None]
_Course = tuple[NDArray[np.float64], NDArray[np.float64]]


@dataclass(frozen=True)
class Newcomer:
    """What one cock of a yard would do.

    Attributes
    ----------
    gamma
        The relationship γ assumed of the yard's birds with each other; 0 for one not in the book.
    with_flock
        His mean kinship with the hens of today.
    inbreeding, diversity
        Year by year, if he comes for the first season.
    passes
        For each season before which he may come, the hatch year in which F first passes the limit; None is
        not in these years.
    means
        For each season before which he may come, the mean of F over all years.
    best
        The hatch years for which he does most: F passes the limit latest, and is then lowest on the mean.
    best_inbreeding
        Year by year, if he comes for the first of these.
    """

    yard: Yard
    gamma: float
    with_flock: float
    inbreeding: tuple[float, ...]
    diversity: tuple[float, ...]
    passes: tuple[int | None, ...]
    means: tuple[float, ...]
    best: tuple[int, ...]
    best_inbreeding: tuple[float, ...]


@dataclass(frozen=True)
class BuyingIn:
    """What bought cocks would do to a flock bred on under a policy.

    Attributes
    ----------
    inbreeding, diversity
        Year by year without any.
    passes
        The hatch year in which F passes the limit without any; None is not in these years.
    newcomers
        One for each yard, the one that helps most first.
    """

    policy: Policy
    first_year: int
    limit: float
    inbreeding: tuple[float, ...]
    diversity: tuple[float, ...]
    passes: int | None
    newcomers: tuple[Newcomer, ...]

    @property
    def years(self) -> int:
        """How many years are looked at."""
        return len(self.inbreeding)


def buying_in(
    snapshot: Snapshot,
    today: date,
    policy: Policy,
    *,
    species: str,
    years: int = YEARS,
    limit: float = LIMIT,
    unknown: Unknown = Unknown.FLOCK,
    progress: Told | None = None,
    ways: Ways | None = None,
) -> BuyingIn:
    """One cock bought from each known origin, and from an unrelated yard, in each of the years ahead.

    Where the policy keeps and mates by chance the figures are the exact expectation, else the mean of some runs.
    `progress` hears the share done; an exception it raises ends the work.

    Raises
    ------
    NoFlock, TooMany
        If there is no cock or no hen to breed on with, or there are too many birds.
    Impossible
        If the policy cannot be.
    """
    told = progress or (lambda _share: None)
    alone = replace(policy, buy_in=None)
    breeding_of(alone, 0)
    start = flock_start(snapshot, today, species, (), unknown, lambda share: told(0.1 * share), ways)
    arrays = start.arrays
    without, diversity = _bred_on(arrays, alone, 0, years)
    gammas = {origin.id: origin.self_relationship for origin in snapshot.origins}
    # yards alike in the numbers, as unrelated ones mostly are, are bred out once
    alike: dict[bytes, list[_Course]] = {}
    newcomers = []
    for place, yard in enumerate(start.yards):
        key = arrays.source_kinship[place].tobytes() + arrays.source_self[place].tobytes()
        if key not in alike:
            alike[key] = []
            for season in range(1, years + 1):
                bought = replace(policy, buy_in=BuyIn(None, season, yard))
                alike[key].append(_bred_on(arrays, bought, place, years))
                told(0.1 + 0.9 * (place + season / years) / len(start.yards))
        courses = alike[key]
        passes = tuple(_first_over(inbreeding, limit, start.season) for inbreeding, _left in courses)
        means = tuple(float(inbreeding.mean()) for inbreeding, _left in courses)
        inbreeding, left = courses[0]
        best = _best(passes, means, start.season)
        newcomers.append(
            Newcomer(
                yard,
                0.0 if yard.origin is None else gammas[yard.origin],
                float(arrays.source_kinship[place][~arrays.is_cock].mean()),
                tuple(inbreeding.tolist()),
                tuple(left.tolist()),
                passes,
                means,
                best,
                tuple(courses[best[0] - start.season][0].tolist()),
            )
        )
    told(1.0)
    return BuyingIn(
        policy,
        start.season,
        limit,
        tuple(without.tolist()),
        tuple(diversity.tolist()),
        _first_over(without, limit, start.season),
        tuple(sorted(newcomers, key=lambda newcomer: min(newcomer.means))),
    )


def _bred_on(arrays: Start, policy: Policy, source: int, years: int) -> _Course:
    """Mean F of the chicks and gene diversity by year: exact where chance alone keeps and mates."""
    breeding = breeding_of(policy, source)
    if policy.is_by_chance:
        return expected(arrays, breeding, years)
    found = simulate(arrays, breeding, years, RUNS, np.random.Generator(np.random.PCG64(SEED)))
    return found.inbreeding.mean(axis=1), found.diversity.mean(axis=1)


def _first_over(inbreeding: NDArray[np.float64], limit: float, first_year: int) -> int | None:
    over = np.flatnonzero(inbreeding > limit)
    return first_year + int(over[0]) if len(over) else None


def _best(passes: tuple[int | None, ...], means: tuple[float, ...], first_year: int) -> tuple[int, ...]:
    never = first_year + len(passes)
    latest = max(year or never for year in passes)
    left = [place for place, year in enumerate(passes) if (year or never) == latest]
    least = min(means[place] for place in left)
    return tuple(first_year + place for place in left if means[place] <= least + ALIKE)
