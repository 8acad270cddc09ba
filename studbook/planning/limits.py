"""From which expected F on a pair is close, and what a keeper does not want of a pair."""

from dataclasses import dataclass
from enum import IntFlag

LIMIT = 0.125
"""The expected F above which a pair is greyed unless the keeper says otherwise: chicks of half sibs."""

CLOSE = 0.125
"""From the chicks of half sibs on, less hatch and vigour are to be expected (common practice)."""

SAME = 1e-9
"""Figures closer than this are equal."""


@dataclass(frozen=True, slots=True)
class Rules:
    """What the keeper does not want of a pair; the pairs banned one by one stand in the record.

    Attributes
    ----------
    limit
        The highest F of the chicks.
    no_shared_parent
        Neither full nor half sibs, however low their figure.
    """

    limit: float = LIMIT
    no_shared_parent: bool = False


class Bar(IntFlag):
    """Why a pair is not wanted. It bars nobody from anything: it is only said."""

    OVER_LIMIT = 1
    SHARED_PARENT = 2
    BANNED = 4


FREE = Bar(0)
"""Nothing is against a pair."""


def is_over(expected: float, limit: float) -> bool:
    """True when a figure is above the limit; exactly at it is not."""
    return expected > limit + SAME
