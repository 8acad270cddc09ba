"""Parents as a list writes them: certain, several, weighted, or in pairs that belong together."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from studbook.book.importing.values import weight_of
from studbook.words import _

_CROSS = re.compile(r"\s*×\s*|\s+[xX]\s+")
# figures such as 0.333 three times are meant to be one
_ROUNDING = 0.0015

Side = TypeVar("Side")


@dataclass(frozen=True, slots=True)
class Share:
    """One candidate of a cell: what was written, and its weight."""

    written: str
    weight: float


def shares_of(text: str) -> tuple[Share, ...]:
    """The candidates of a cell such as ``A12``, ``A12 | A15`` or ``A12=0.7 | A15=0.3``.

    Without weights every candidate has the same. Weights summing to 1 within rounding are made to.

    Raises
    ------
    ValueError
        With a sentence, if a candidate is empty or twice, or the weights are incomplete, not positive or do
        not sum to 1.
    """
    parts = [part.strip() for part in text.split("|")]
    names: list[str] = []
    weights: list[float | None] = []
    for part in parts:
        name, equals, weight = part.rpartition("=")
        name = name.strip() if equals else part
        if not name:
            raise ValueError(_("“{text}” leaves a candidate empty: write its mark or “?”.").format(text=text))
        if name in names:
            raise ValueError(_("“{text}” names “{name}” twice: write it once.").format(text=text, name=name))
        names.append(name)
        try:
            weights.append(weight_of(weight) if equals else None)
        except ValueError:
            message = _("“{weight}” is no weight: write a share above 0 such as 0.7.")
            raise ValueError(message.format(weight=weight.strip())) from None
    given = [weight for weight in weights if weight is not None]
    if not given:
        return tuple(Share(name, 1 / len(names)) for name in names)
    if len(given) < len(names):
        raise ValueError(
            _("“{text}” gives a weight to some candidates only: give all or none.").format(text=text)
        )
    total = math.fsum(given)
    if abs(total - 1) > _ROUNDING:
        message = _("The weights in “{text}” sum to {total:.4g}: make them sum to 1.")
        raise ValueError(message.format(text=text, total=total))
    scale = 1.0 if abs(total - 1) < 1e-9 else total
    return tuple(Share(name, weight / scale) for name, weight in zip(names, given, strict=True))


def sides_of(pair: str) -> tuple[str, str]:
    """Sire and dam of a pair written ``A12 x B07`` or ``A12 × B07``.

    Raises
    ------
    ValueError
        With a sentence, if it is not two sides.
    """
    sides = [side.strip() for side in _CROSS.split(pair)]
    if len(sides) != 2 or not all(sides):
        raise ValueError(
            _("“{pair}” is no pair: write sire x dam, with “?” for one not known.").format(pair=pair)
        )
    return sides[0], sides[1]


def crosses(
    sires: Sequence[tuple[Side, float]], dams: Sequence[tuple[Side, float]]
) -> tuple[tuple[Side, Side, float], ...]:
    """Every sire with every dam, for doubt that is independent on both sides."""
    return tuple(
        (sire, dam, sire_weight * dam_weight) for sire, sire_weight in sires for dam, dam_weight in dams
    )
