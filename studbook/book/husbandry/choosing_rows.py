"""The rows of choosing as the rest of the program sees them: who may breed, who may not meet, plans and rotations.

A season is named by the year its chicks hatch in. What a plan predicted stands in it as it was on the day it was made.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from studbook.book.ids import (
    BanId,
    BirdId,
    ChoiceId,
    PenId,
    PlanId,
    PlannedBirdId,
    PlannedPenId,
    RotationId,
    RotationPenId,
)


class Verdict(StrEnum):
    """What the keeper decided of a bird for a season."""

    CHOSEN = "chosen"
    RESERVE = "reserve"
    NO = "no"


@dataclass(frozen=True, slots=True)
class Choice:
    """What the keeper decided of a bird for one season, and why; the reason is kept for the years after."""

    id: ChoiceId
    bird: BirdId
    season: int
    verdict: Verdict
    on: date
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Ban:
    """A cock and a hen the keeper does not want together, and why."""

    id: BanId
    cock: BirdId
    hen: BirdId
    since: date
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """The pens planned for a season, with the reasons and the predictions of the day.

    Attributes
    ----------
    wishes
        What was asked for, as the JSON of `studbook.planning.best_pens.wishes`.
    reasons
        Why these pens, in sentences.
    weight
        How much the mean F of the chicks counted against the kinship of the next generation, 0 to 1.
    inbreeding, kinship
        The mean F of the chicks and the mean kinship of the next generation that were predicted.
    bound
        A proven lower bound of the objective; None when the pens are the keeper's own.
    present_inbreeding, present_kinship
        The same two figures for the pens as they stood on that day; None where there were none.
    chicks
        How many chicks were hoped for; None is not said.
    """

    id: PlanId
    season: int
    made: date
    name: str = ""
    wishes: str = "{}"
    reasons: str = ""
    weight: float = 0.5
    inbreeding: float = 0.0
    kinship: float = 0.0
    bound: float | None = None
    present_inbreeding: float | None = None
    present_kinship: float | None = None
    chicks: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class PlannedPen:
    """One pen of a plan; `pen` is where it shall stand, None while that is open. `expected`: mean F of its chicks."""

    id: PlannedPenId
    plan: PlanId
    position: int
    expected: float
    pen: PenId | None = None


@dataclass(frozen=True, slots=True)
class PlannedBird:
    """One bird of a planned pen: its share of the next generation, F of a hen's chicks, and what was said of it."""

    id: PlannedBirdId
    planned_pen: PlannedPenId
    bird: BirdId
    share: float
    expected: float | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Rotation:
    """Pen families between which young cocks move on, round and round, while pullets stay in their dams' pen."""

    id: RotationId
    name: str
    begun: date
    ended: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class RotationPen:
    """One pen of a rotation; its cockerels go to the pen of the next position, those of the last to the first."""

    id: RotationPenId
    rotation: RotationId
    pen: PenId
    position: int
