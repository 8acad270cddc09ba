"""Policies bred out from one start, many times each, and what they come to."""

from collections.abc import Callable, Sequence
from datetime import date

import numpy as np
from numpy.typing import NDArray

from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.genetics.breeding_policy import Breeding, NewBlood
from studbook.genetics.expected_breeding import expected
from studbook.genetics.forward import Simulation, simulate
from studbook.planning.bloodlines.flock import Ways
from studbook.planning.forecast.policy import (
    LIMIT,
    REPLICATES,
    SEED,
    YEARS,
    Course,
    Forecast,
    FounderChance,
    Passing,
    Policy,
    Span,
    checked,
)
from studbook.planning.forecast.start import FlockStart, flock_start

LOW, HIGH = 0.05, 0.95
"""Between these shares of the runs lie nine of ten."""

_READY = 0.1

Told = Callable[[float], None]


def forecast(
    snapshot: Snapshot,
    today: date,
    policies: Sequence[Policy],
    *,
    species: str,
    years: int = YEARS,
    replicates: int = REPLICATES,
    seed: int = SEED,
    limit: float = LIMIT,
    unknown: Unknown = Unknown.FLOCK,
    progress: Told | None = None,
    ways: Ways | None = None,
) -> Forecast:
    """The living birds of a species bred on for some years under each policy, `replicates` times.

    The same seed gives the same runs. `progress` hears the share done; an exception it raises ends the work.

    Raises
    ------
    NoFlock, TooMany
        If there is no cock or no hen to breed on with, or there are too many birds.
    Impossible
        If a policy cannot be.
    ValueError
        If there is no policy.
    """
    if not policies:
        raise ValueError("there is no policy")
    told = progress or (lambda _share: None)
    yards = [policy.buy_in.yard for policy in map(checked, policies) if policy.buy_in is not None]
    start = flock_start(
        snapshot, today, species, yards, unknown, lambda share: told(_READY * share), ways, seed
    )
    courses = []
    for place, policy in enumerate(policies):
        breeding = breeding_of(policy, 0 if policy.buy_in is None else start.source(policy.buy_in.yard))

        def heard(share: float, place: int = place) -> None:
            told(_READY + (1 - _READY) * (place + share) / len(policies))

        # every policy meets the same chances
        rng = np.random.Generator(np.random.PCG64(seed))
        found = simulate(start.arrays, breeding, years, replicates, rng, heard)
        courses.append(_course(policy, breeding, start, found, limit))
    arrays = start.arrays
    cocks = int(arrays.is_cock.sum())
    return Forecast(
        unknown,
        start.season,
        years,
        replicates,
        seed,
        start.birds[:cocks],
        start.birds[cocks:],
        float((2 * np.diagonal(arrays.kinship) - 1).mean()),
        1 - float(arrays.kinship.mean()),
        float(found.first_founders.mean()),
        tuple(courses),
    )


def breeding_of(policy: Policy, source: int) -> Breeding:
    """A policy in the terms of the simulation; `source` is the place of the yard it buys from.

    Raises
    ------
    Impossible
        If it cannot be.
    """
    checked(policy)
    blood = policy.buy_in
    return Breeding(
        policy.cocks,
        policy.hens,
        policy.chicks,
        policy.keep,
        policy.replaced,
        policy.seasons,
        policy.mate_apart,
        policy.rotate,
        policy.doubtful,
        None if blood is None else NewBlood(blood.first, blood.every, source),
    )


def _course(policy: Policy, breeding: Breeding, start: FlockStart, found: Simulation, limit: float) -> Course:
    inbreeding, diversity = expected(start.arrays, breeding, len(found.inbreeding))
    order = np.argsort(found.kept, kind="stable").tolist()
    return Course(
        policy,
        _spans(found.inbreeding),
        _spans(found.diversity),
        _spans(found.founders),
        _spans(found.founders / np.maximum(found.first_founders, 1e-9)),
        tuple(inbreeding.tolist()),
        tuple(diversity.tolist()),
        passing(found.inbreeding, limit, start.season),
        tuple(FounderChance(start.founders[place], float(found.kept[place])) for place in order),
    )


def passing(inbreeding: NDArray[np.float64], limit: float, first_year: int) -> Passing:
    """When the mean F of the chicks (y, r) first passes a limit, on the mean and in nine of ten runs."""
    years, _runs = inbreeding.shape
    above = inbreeding > limit
    # a run that never passes it counts as passing after the last year
    first = np.where(above.any(axis=0), above.argmax(axis=0), years)
    early, late = np.quantile(first, (LOW, HIGH), method="inverted_cdf").astype(int).tolist()
    mean = inbreeding.mean(axis=1) > limit
    return Passing(
        limit,
        first_year + int(mean.argmax()) if mean.any() else None,
        first_year + early if early < years else None,
        first_year + late if late < years else None,
        float(above.any(axis=0).mean()),
    )


def _spans(values: NDArray[np.float64]) -> tuple[Span, ...]:
    low, high = np.quantile(values, (LOW, HIGH), axis=1)
    rows = zip(values.mean(axis=1).tolist(), low.tolist(), high.tolist(), strict=True)
    return tuple(Span(*row) for row in rows)
