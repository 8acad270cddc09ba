"""Axes: from numbers to places, with round ticks, and years that are never halved."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
_YEAR_STEPS = (1, 2, 5, 10, 20, 25, 50, 100)


@dataclass(frozen=True, slots=True)
class Scale:
    """Numbers from `low` to `high` laid out from `start` to `end` pixels."""

    low: float
    high: float
    start: float
    end: float

    def place(self, number: float) -> float:
        """Where a number lies; all lie at the middle of a scale without extent."""
        if self.high == self.low:
            return (self.start + self.end) / 2
        return self.start + (number - self.low) / (self.high - self.low) * (self.end - self.start)


def round_top(most: float, steps: int = 4) -> tuple[float, float]:
    """The least round number not below `most`, reached in about `steps` round steps, and the step.

    >>> round_top(0.187)
    (0.2, 0.05)
    """
    if most <= 0:
        return 1.0, 1.0 / steps
    rough = most / steps
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * step for step in _STEPS if power * step >= rough - 1e-12)
    return round(step * math.ceil(most / step - 1e-9), 12), step


def round_span(least: float, most: float, steps: int) -> tuple[float, float, float]:
    """Round numbers below and above, with a round step; from 0 on unless all lie far from it.

    >>> round_span(0.151, 0.243, 5)
    (0.14, 0.26, 0.02)
    >>> round_span(0.02, 0.1, 5)
    (0.0, 0.1, 0.02)
    """
    steps = max(steps, 2)
    if least < most / 3 or most <= 0:
        top, step = round_top(max(most, 0.01), steps)
        return 0.0, top, step
    _top, step = round_top(max(most - least, 0.01), steps)
    return (
        round(step * math.floor(least / step + 1e-9), 12),
        round(step * math.ceil(most / step - 1e-9), 12),
        step,
    )


def ticks(low: float, high: float, step: float) -> tuple[float, ...]:
    """The round numbers from `low` to `high`.

    >>> ticks(0, 0.2, 0.05)
    (0.0, 0.05, 0.1, 0.15, 0.2)
    """
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return tuple(round(number * step, 12) for number in range(first, last + 1))


def decimals(step: float) -> int:
    """The decimals in per cent that tell ticks `step` apart from each other.

    >>> decimals(0.05), decimals(0.025)
    (0, 1)
    """
    hundredfold = step * 100
    return 0 if abs(hundredfold - round(hundredfold)) < 1e-9 else 1 if hundredfold >= 0.1 else 2


def year_ticks(years: Sequence[int], most: int) -> tuple[int, ...]:
    """At most `most` whole years from the first to the last, evenly apart.

    >>> year_ticks(range(2017, 2027), 5)
    (2018, 2020, 2022, 2024, 2026)
    """
    first, last = min(years), max(years)
    step = next((step for step in _YEAR_STEPS if (last - first) // step + 1 <= max(most, 1)), _YEAR_STEPS[-1])
    start = first + (last - first) % step if step <= 2 else -(-first // step) * step
    return tuple(range(start, last + 1, step))
