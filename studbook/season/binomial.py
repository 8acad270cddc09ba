"""Exact binomial limits and comparisons for small samples, without a library that is slow to load."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Interval:
    """What the share of a whole may be, given `count` of `of` seen.

    Attributes
    ----------
    lower, upper
        The limits, from 0 to 1; the interval is 0 to 1 if nothing was seen.
    level
        The confidence of the two limits together.
    """

    count: int
    of: int
    lower: float
    upper: float
    level: float

    @property
    def share(self) -> float | None:
        """The share seen; ``None``, not zero, if nothing was seen."""
        return self.count / self.of if self.of else None


def interval(k: int, n: int, level: float = 0.95) -> Interval:
    """The exact two-sided interval for `k` of `n`; it takes the n as independent, which eggs of one hen are not.

    Raises
    ------
    ValueError
        If not 0 <= k <= n, or `level` is not between 0 and 1.

    References
    ----------
    Clopper & Pearson 1934, Biometrika 26:404-413.

    Examples
    --------
    >>> round(interval(10, 10).lower, 4)
    0.6915
    """
    tail = (1 - _level(level)) / 2
    return Interval(k, n, _lower(k, n, tail), 1 - _lower(n - k, n, tail), level)


def lower_limit(k: int, n: int, confidence: float = 0.95) -> float:
    """The one-sided lower limit: at least this share, with that confidence; `ValueError` as in `interval`."""
    return _lower(k, n, 1 - _level(confidence))


def upper_limit(k: int, n: int, confidence: float = 0.95) -> float:
    """The one-sided upper limit: at most this share, with that confidence; `ValueError` as in `interval`."""
    return 1 - _lower(n - k, n, 1 - _level(confidence))


def chance_of_at_least(k: int, n: int, share: float) -> float:
    """The chance of `k` or more of `n` if the true share is `share`."""
    if k <= 0:
        return 1.0
    if k > n:
        return 0.0
    return beta_share(share, k, n - k + 1)


def probability_greater(first: tuple[int, int], second: tuple[int, int]) -> float:
    """The chance that a draw from the first beta distribution exceeds one from the second; exact.

    Each is given by its two whole parameters, 1 or more. The sum has as many terms as the first's first one:
    Σ B(a2 + i, b1 + b2) / ((b1 + i) B(1 + i, b1) B(a2, b2)), i below a1.
    """
    (a1, b1), (a2, b2) = first, second
    if min(a1, b1, a2, b2) < 1:
        raise ValueError("the parameters of a beta distribution here are whole numbers from 1")
    total = math.fsum(
        math.exp(_log_beta(a2 + i, b1 + b2) - math.log(b1 + i) - _log_beta(1 + i, b1) - _log_beta(a2, b2))
        for i in range(a1)
    )
    return min(1.0, total)


def _level(level: float) -> float:
    if not 0 < level < 1:
        raise ValueError(f"a confidence of {level} is not between 0 and 1")
    return level


def _lower(k: int, n: int, tail: float) -> float:
    """The share at which `k` or more of `n` has the chance `tail`."""
    if not 0 <= k <= n:
        raise ValueError(f"{k} of {n} is not possible")
    if k == 0:
        return 0.0
    low, high = 0.0, 1.0
    while high - low > 4e-16 * high:
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if chance_of_at_least(k, n, middle) < tail:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _log_beta(a: float, b: float) -> float:
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def beta_share(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function I_x(a, b), from 0 to 1.

    References
    ----------
    NIST Digital Library of Mathematical Functions 8.17.4 and, for the continued fraction, 8.17.22.
    """
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    if x > (a + 1) / (a + b + 2):
        return 1.0 - beta_share(1 - x, b, a)
    front = math.exp(a * math.log(x) + b * math.log1p(-x) - _log_beta(a, b)) / a
    return front * _beta_fraction(x, a, b)


_SMALLEST = 1e-300
_AGREED = 1e-15


def _beta_fraction(x: float, a: float, b: float) -> float:
    """The continued fraction of I_x(a, b), by the method of Lentz in the form of Thompson & Barnett 1986."""
    value = c = 1.0
    d = 0.0
    term = 0
    while True:
        m = term // 2
        if term == 0:
            numerator = 1.0
        elif term % 2 == 0:
            numerator = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        else:
            numerator = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        d = 1 / _kept_from_zero(1 + numerator * d)
        c = _kept_from_zero(1 + numerator / c)
        value *= c * d
        term += 1
        if abs(c * d - 1) < _AGREED or term > _MOST_TERMS:
            return value - 1


_MOST_TERMS = 5000


def _kept_from_zero(value: float) -> float:
    return value if abs(value) > _SMALLEST else _SMALLEST
