"""The weight eggs lose during a sitting, from its log, against the usual band."""

from collections.abc import Callable
from dataclasses import dataclass

from studbook.book.husbandry.rows import Husbandry, Reading, Sitting
from studbook.planning.sittings.days import kind_of
from studbook.season.incubation import LossVerdict, WeightLoss, weight_loss
from studbook.words import _

PerCent = Callable[[float], str]
"""Writes a share from 0 to 1 in per cent."""

_FIRST_WEIGHING = 1
"""Eggs weighed a day after setting still count as weighed when they were set."""


@dataclass(frozen=True, slots=True)
class Weighing:
    """A weighing of the log with what it says; `loss` is None where there is nothing to compare with."""

    reading: Reading
    mean_g: float
    loss: WeightLoss | None


def weighings(year: Husbandry, sitting: Sitting) -> tuple[Weighing, ...]:
    """Every weighing of a sitting, by the mean of an egg, since clear eggs are taken out on the way."""
    kind = kind_of(sitting)
    found: list[Weighing] = []
    first_g: float | None = None
    for reading in year.readings_of.get(sitting.id, ()):
        if reading.weight is None or not reading.weighed:
            continue
        day = (reading.on - sitting.set_on).days
        mean_g = reading.weight / reading.weighed
        loss = None
        if first_g is None:
            if day <= _FIRST_WEIGHING:
                first_g = mean_g
        elif 0 < mean_g <= first_g:
            loss = weight_loss(kind, day, first_g, mean_g)
        found.append(Weighing(reading, mean_g, loss))
    return tuple(found)


def loss_sentence(loss: WeightLoss, per_cent: PerCent) -> str:
    """How the eggs lose weight: "lost 6.1 % by day 8, usual 4.9 to 6.2 %"; much or little with its usual cause."""
    lost, low, high = (per_cent(share) for share in (loss.lost, loss.usual.low, loss.usual.high))
    text = {
        LossVerdict.USUAL: _(
            "By day {day} the eggs have lost {lost} of their weight; {low} to {high} is usual."
        ),
        LossVerdict.LITTLE: _(
            "By day {day} the eggs have lost only {lost} of their weight; {low} to {high} is usual. As a rule the air "
            "is too moist."
        ),
        LossVerdict.MUCH: _(
            "By day {day} the eggs have lost {lost} of their weight; {low} to {high} is usual. As a rule the air is "
            "too dry."
        ),
    }[loss.verdict]
    return text.format(day=loss.day, lost=lost, low=low, high=high)
