"""Planning backwards: how many eggs to set so that enough pullets and cockerels are there to choose from.

An egg set is fertile, hatches, is reared, and is a pullet or a cockerel; each stage has a rate that is not known
exactly. Every rate is a beta distribution, so the number that gets through a stage is beta-binomial, and the
chances of the whole chain are summed exactly, without draws.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

MOST_EGGS = 1200
"""So many eggs at most are reckoned with; who needs more has a wish that no rate of the kind can fill."""

PULLET_SHARE = 0.5
"""Half of the chicks are pullets: Hutt 1949, Genetics of the Fowl, from memory (49 cockerels in 100 are usual)."""

_LEAST_CERTAIN = 2.0
"""A rate is never less certain than if nothing were known of it: the beta distribution of 1 and 1."""


@dataclass(frozen=True, slots=True)
class Rate:
    """What is believed of a rate: the beta distribution with these two parameters, both above 0."""

    successes: float
    failures: float

    def __post_init__(self) -> None:
        if not (self.successes > 0 and self.failures > 0):
            raise ValueError("the parameters of a rate are above 0")

    @property
    def mean(self) -> float:
        """The rate to be expected."""
        return self.successes / self.certainty

    @property
    def certainty(self) -> float:
        """How firmly it is believed, in eggs or chicks seen."""
        return self.successes + self.failures


def rate_seen(reached: int, of: int) -> Rate:
    """The rate after `reached` of `of`, if every rate from 0 to 1 was equally likely before.

    Raises
    ------
    ValueError
        If that is not possible.

    References
    ----------
    Bayes 1763, Philosophical Transactions 53:370-418 (the rule of succession: (k + 1) / (n + 2)).
    """
    if not 0 <= reached <= of:
        raise ValueError(f"{reached} of {of} is not possible")
    return Rate(1.0 + reached, 1.0 + of - reached)


def rate_of_practice(share: float, weight: float) -> Rate:
    """A rate told by practice, believed as firmly as if `weight` eggs or chicks had been seen."""
    return Rate(share * weight, (1 - share) * weight)


@dataclass(frozen=True, slots=True)
class Between:
    """How much more seasons differ than chance alone explains.

    Attributes
    ----------
    correlation
        The intra-class correlation of what belongs to one season, 0 to 1; 0 when chance explains it.
    rate
        What is believed of the rate of the season to come.
    """

    correlation: float
    rate: Rate


def rate_between(seasons: Sequence[tuple[int, int]]) -> Between:
    """The rate of a season to come from those that were, each as (reached, of).

    The mean is that of all together. Its spread is what the seasons differ by beyond chance, found by moments, and
    what is not known of the mean; with fewer than three seasons nothing can be said of the former, and the rate is
    that of `rate_seen`.

    Raises
    ------
    ValueError
        If a season is not possible.

    References
    ----------
    Kleinman 1973, Journal of the American Statistical Association 68:46-54 (weights by size; from memory).
    """
    if any(not 0 <= reached <= of for reached, of in seasons):
        raise ValueError("a season has more reached than there were")
    told = [(reached, of) for reached, of in seasons if of]
    reached, of = sum(k for k, _n in told), sum(n for _k, n in told)
    pooled = rate_seen(reached, of)
    groups = len(told)
    if groups < 3 or not 0 < reached < of:
        return Between(0.0, pooled)
    share = reached / of
    spread = math.fsum(n * (k / n - share) ** 2 for k, n in told)
    squares = math.fsum(n * n for _k, n in told) / of
    chance = share * (1 - share)
    correlation = (spread - chance * (groups - 1)) / (chance * (of - squares - (groups - 1)))
    if not correlation > 0:
        return Between(0.0, pooled)
    correlation = min(correlation, 1.0)
    of_mean = math.fsum(n * n * (correlation + (1 - correlation) / n) for _k, n in told) / of**2
    certainty = 1 / (correlation + of_mean) - 1
    certainty = min(max(certainty, _LEAST_CERTAIN), pooled.certainty)
    return Between(correlation, Rate(pooled.mean * certainty, (1 - pooled.mean) * certainty))


@dataclass(frozen=True, slots=True)
class Chain:
    """The rates of an egg's way: fertile, hatched of the fertile, reared of the hatched."""

    fertile: Rate
    hatched: Rate
    reared: Rate

    @property
    def stages(self) -> tuple[Rate, Rate, Rate]:
        """The rates in the order of time."""
        return (self.fertile, self.hatched, self.reared)

    @property
    def mean(self) -> float:
        """The share of the eggs set that is to be expected as grown birds."""
        return math.prod(rate.mean for rate in self.stages)


def chances(chain: Chain, pullets: int, cockerels: int, most: int = MOST_EGGS) -> NDArray[np.float64]:
    """The chance of at least so many pullets and so many cockerels from 0, 1, … `most` eggs: (most + 1,).

    Worked backwards: the chance given the birds reared, from it that given the chicks hatched, and so on.

    Raises
    ------
    ValueError
        If a number is below 0.
    """
    if min(pullets, cockerels, most) < 0:
        raise ValueError("no number of birds or eggs is below 0")
    chance = _sexes(pullets, cockerels, most)
    for rate in reversed(chain.stages):
        chance = _through(rate, most) @ chance
    return np.clip(chance, 0.0, 1.0)


def eggs_for(
    chain: Chain, pullets: int, cockerels: int, wanted: Sequence[float], most: int = MOST_EGGS
) -> tuple[int | None, ...]:
    """The fewest eggs that give so many pullets and cockerels with each of the `wanted` chances.

    ``None`` where `most` eggs do not reach it.

    Examples
    --------
    >>> sure = Rate(1e12, 1.0)
    >>> eggs_for(Chain(sure, sure, sure), 1, 0, (0.4, 0.9))
    (1, 4)
    """
    found: list[int | None] = []
    reach = 32
    table = chances(chain, pullets, cockerels, min(reach, most))
    for share in wanted:
        while table[-1] < share and len(table) <= most:
            reach *= 2
            table = chances(chain, pullets, cockerels, min(reach, most))
        at_least = np.flatnonzero(table >= share)
        found.append(int(at_least[0]) if len(at_least) else None)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Expected:
    """A number to be expected: its mean, and from `low` to `high` in at least so many seasons as were asked for."""

    mean: float
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Yield:
    """What so many eggs come to."""

    eggs: int
    fertile: Expected
    hatched: Expected
    reared: Expected
    pullets: Expected
    cockerels: Expected


def yield_of(chain: Chain, eggs: int, level: float = 0.8) -> Yield:
    """What so many eggs come to, each number with the span it keeps to in `level` of the seasons.

    Raises
    ------
    ValueError
        If `eggs` is below 0.
    """
    if eggs < 0:
        raise ValueError("the number of eggs is not below 0")
    likely = np.zeros(eggs + 1)
    likely[eggs] = 1.0
    found = []
    for rate in chain.stages:
        likely = likely @ _through(rate, eggs)
        found.append(_expected(likely, level))
    fertile, hatched, reared = found
    pullets = likely @ _binomial(PULLET_SHARE, eggs)
    cockerels = likely @ _binomial(1 - PULLET_SHARE, eggs)
    return Yield(eggs, fertile, hatched, reared, _expected(pullets, level), _expected(cockerels, level))


def _expected(likely: NDArray[np.float64], level: float) -> Expected:
    tail = (1 - level) / 2
    below = np.cumsum(likely)
    low = int(np.searchsorted(below, tail + 1e-12))
    high = int(np.searchsorted(below, 1 - tail - 1e-12))
    last = len(likely) - 1
    return Expected(float(likely @ np.arange(len(likely))), min(low, last), min(high, last))


def _through(rate: Rate, most: int) -> NDArray[np.float64]:
    """The chance that k of n get through, for n and k from 0 to `most`: (n, k), the beta-binomial distribution.

    References
    ----------
    Skellam 1948, Journal of the Royal Statistical Society B 10:257-261.
    """
    place = np.arange(most)
    ways = _sum_from_zero(np.log(place + 1.0))  # log k!
    a = _sum_from_zero(np.log(rate.successes + place))
    b = _sum_from_zero(np.log(rate.failures + place))
    both = _sum_from_zero(np.log(rate.certainty + place))
    n, k = np.ogrid[: most + 1, : most + 1]
    lost = np.maximum(n - k, 0)
    log_chance = ways[n] - ways[k] - ways[lost] + a[k] + b[lost] - both[n]
    return np.where(k <= n, np.exp(np.minimum(log_chance, 0.0)), 0.0)


def _binomial(share: float, most: int) -> NDArray[np.float64]:
    """The chance of k of n, each with the chance `share`, for n and k from 0 to `most`: (n, k)."""
    ways = _sum_from_zero(np.log(np.arange(most) + 1.0))
    n, k = np.ogrid[: most + 1, : most + 1]
    lost = np.maximum(n - k, 0)
    log_chance = ways[n] - ways[k] - ways[lost] + k * math.log(share) + lost * math.log1p(-share)
    return np.where(k <= n, np.exp(np.minimum(log_chance, 0.0)), 0.0)


def _sexes(pullets: int, cockerels: int, most: int) -> NDArray[np.float64]:
    """The chance that of n birds so many at least are pullets and so many cockerels: (most + 1,)."""
    table = _binomial(PULLET_SHARE, most)
    n, k = np.ogrid[: most + 1, : most + 1]
    enough: NDArray[np.float64] = np.where((k >= pullets) & (n - k >= cockerels), table, 0.0).sum(axis=1)
    return enough


def _sum_from_zero(terms: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.concatenate([[0.0], np.cumsum(terms)])
