"""What came of eggs that were set: fertility, hatch of set and of fertile, and where the losses fell.

Fertility counts only eggs whose state was seen. A clear egg by candling may have died in its first hours, so it
is apparent fertility. Eggs that were broken or taken away count as set, and as neither fertile nor clear.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass, fields
from enum import Enum
from functools import cache
from typing import Any

from studbook.places import resource
from studbook.season.binomial import Interval, interval, lower_limit
from studbook.season.practice import Evidence
from studbook.words import _


class Stage(Enum):
    """Where losses fall."""

    CLEAR = "clear"
    EARLY = "early"
    LATE = "late"
    PIPPED = "pipped"
    FIRST_DAY = "first day"


@dataclass(frozen=True, slots=True)
class Counts:
    """The eggs of a sitting, a pen, a hen or a week, by their fates.

    Attributes
    ----------
    eggs
        Eggs set here.
    moved_in, moved
        Eggs that came from other sittings, and that went to other ones (their fate is counted there).
    alive
        Eggs still under the hen or in the machine, last seen alive.
    clear, early_dead, late_dead, pipped_dead, hatched, broken, removed
        Eggs by their final fate.
    helped, died_first_day
        Of the hatched: chicks helped from the shell, and those that died on their first day.

    Raises
    ------
    ValueError
        If a number is below zero, fates exceed the eggs there were, or more chicks were helped or died than
        hatched.
    """

    eggs: int = 0
    clear: int = 0
    early_dead: int = 0
    late_dead: int = 0
    pipped_dead: int = 0
    hatched: int = 0
    broken: int = 0
    removed: int = 0
    moved: int = 0
    moved_in: int = 0
    alive: int = 0
    helped: int = 0
    died_first_day: int = 0

    def __post_init__(self) -> None:
        if any(getattr(self, field.name) < 0 for field in fields(self)):
            raise ValueError("no number of eggs is below zero")
        if self.unseen < 0:
            raise ValueError(
                f"{self.eggs + self.moved_in - self.unseen} fates for {self.eggs + self.moved_in} eggs"
            )
        if max(self.helped, self.died_first_day) > self.hatched:
            raise ValueError("more chicks were helped or died than hatched")

    def __add__(self, other: "Counts") -> "Counts":
        return Counts(**{f.name: getattr(self, f.name) + getattr(other, f.name) for f in fields(self)})

    @property
    def set_here(self) -> int:
        """The eggs whose fate is counted here: set and moved in, less those moved on."""
        return self.eggs + self.moved_in - self.moved

    @property
    def fertile(self) -> int:
        """The eggs seen to be fertile."""
        return self.early_dead + self.late_dead + self.pipped_dead + self.hatched + self.alive

    @property
    def unseen(self) -> int:
        """The eggs of which nothing is known yet."""
        return self.set_here - self.clear - self.fertile - self.broken - self.removed

    @property
    def is_over(self) -> bool:
        """True when eggs were set and each has its final fate."""
        return self.eggs + self.moved_in > 0 and self.unseen == 0 and self.alive == 0


def total(counts: Iterable[Counts]) -> Counts:
    """All of them together."""
    return sum(counts, Counts())


@dataclass(frozen=True, slots=True)
class Look:
    """One thing guides say to look at, as the table has it, with its source."""

    english: str
    evidence: Evidence
    source: str

    @property
    def text(self) -> str:
        """What to look at, in the user's language."""
        return _(self.english)


@dataclass(frozen=True, slots=True)
class Loss:
    """The losses of one stage.

    Attributes
    ----------
    share
        Lost of the eggs (of clear ones: of those seen; of the first day: of the hatched; else of the fertile)
        with the exact interval.
    usual
        The share below which nothing is pointed out, from memory.
    stands_out
        True if more than that were lost than chance explains (one-sided limit of the same level).
    """

    stage: Stage
    share: Interval
    usual: float
    stands_out: bool
    look_at: tuple[Look, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of the eggs, each share with its exact interval.

    Attributes
    ----------
    fertility
        Fertile of those whose state was seen; known as soon as eggs were candled.
    hatch_of_set, hatch_of_fertile
        Hatched of all set here and of the fertile; ``None`` until each egg has its fate.
    losses
        By stage, in the order of time.
    """

    counts: Counts
    fertility: Interval
    hatch_of_set: Interval | None
    hatch_of_fertile: Interval | None
    losses: tuple[Loss, ...]

    @property
    def standing_out(self) -> tuple[Loss, ...]:
        """The stages with more losses than usual."""
        return tuple(loss for loss in self.losses if loss.stands_out)


def outcome(counts: Counts, level: float = 0.95) -> Outcome:
    """What came of the eggs, with intervals of this level.

    Raises
    ------
    ValueError
        If `level` is not between 0 and 1.

    Examples
    --------
    >>> outcome(Counts(eggs=12, clear=2, hatched=9, late_dead=1)).fertility.share
    0.8333333333333334
    """
    of_set = interval(counts.hatched, counts.set_here, level) if counts.is_over else None
    of_fertile = interval(counts.hatched, counts.fertile, level) if counts.is_over else None
    lost = (
        (Stage.CLEAR, counts.clear, counts.clear + counts.fertile),
        (Stage.EARLY, counts.early_dead, counts.fertile),
        (Stage.LATE, counts.late_dead, counts.fertile),
        (Stage.PIPPED, counts.pipped_dead, counts.fertile),
        (Stage.FIRST_DAY, counts.died_first_day, counts.hatched),
    )
    return Outcome(
        counts,
        interval(counts.fertile, counts.fertile + counts.clear, level),
        of_set,
        of_fertile,
        tuple(_loss(stage, dead, of, level) for stage, dead, of in lost),
    )


def caution() -> str:
    """The sentence to stand beside what guides say to look at, in the user's language."""
    return _(_table()["caution"])


def _loss(stage: Stage, dead: int, of: int, level: float) -> Loss:
    row = _table()["stages"][stage.value]
    looks = tuple(Look(look["text"], Evidence(look["evidence"]), look["source"]) for look in row["look"])
    stands_out = dead > 0 and lower_limit(dead, of, level) > row["usual"]
    return Loss(stage, interval(dead, of, level), row["usual"], stands_out, looks)


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(resource("outcome.json").read_text(encoding="utf-8"))
    return table
