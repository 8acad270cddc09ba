"""From which expected F on a pair is close, and over the keeper's limit."""

LIMIT = 0.125
"""The expected F above which a pair is greyed unless the keeper says otherwise: chicks of half sibs."""

CLOSE = 0.125
"""From the chicks of half sibs on, less hatch and vigour are to be expected (common practice)."""

SAME = 1e-9
"""Figures closer than this are equal."""


def is_over(expected: float, limit: float) -> bool:
    """True when a figure is above the limit; exactly at it is not."""
    return expected > limit + SAME
