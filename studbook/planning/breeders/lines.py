"""One line for each bird that may breed in a season: all that speaks for and against it, in frozen rows.

Free of arrays, so that the window holds them. Weights, faults and temper of a bird will stand in `Line` once the record
has them; a line says nothing of what the record does not know.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from studbook.book.husbandry.choosing_rows import Choice, Verdict
from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.planning.bloodlines.report import Fate, FounderKey, Standing

if TYPE_CHECKING:
    # numpy comes with some of it, and the window holds these rows before it needs numbers
    from studbook.book.husbandry.rows import Apart
    from studbook.book.relatedness import Unknown
    from studbook.planning.care.trials import TrialStudy
    from studbook.season.binomial import Interval


@dataclass(frozen=True, slots=True)
class AtRisk:
    """A founder about to be lost that a bird carries.

    Attributes
    ----------
    share
        The expected share of the bird's own genes that come from it.
    carriers
        How many living birds carry it, this one included.
    """

    key: FounderKey
    fate: Fate
    share: float
    carriers: int


@dataclass(frozen=True, slots=True)
class Parting:
    """What becomes of the flock if one bird goes; the same figures as of the `Flock` without it.

    `expected` and `kinship` are None where no cock, or no hen, would be left to breed.

    Attributes
    ----------
    breeds
        Whether the bird counts among those that may breed; if not, its going leaves the next generation as it is.
    last_of
        The founders of which it is the last living bird by the record, whatever unknown parents may have been.
    """

    gene_diversity: float | None
    expected: float | None
    kinship: float | None
    breeds: bool
    last_of: tuple[FounderKey, ...] = ()


@dataclass(frozen=True, slots=True)
class Flock:
    """The flock as it is: all its living birds, and those of them that may breed.

    Attributes
    ----------
    living
        How many birds live, the young included.
    gene_diversity
        1 less the mean kinship of the living.
    cocks, hens
        How many may breed: all old enough by the season but those marked "no".
    expected
        F of the next generation: the mean kinship of these cocks with these hens.
    kinship
        The mean kinship of the next generation, c′Kc, each cock and each hen giving alike.
    """

    living: int
    gene_diversity: float | None
    cocks: int
    hens: int
    expected: float | None
    kinship: float | None


@dataclass(frozen=True, slots=True)
class Line:
    """One bird that may breed.

    Attributes
    ----------
    is_grown
        Old enough today; otherwise only by the season.
    age_days
        None when its hatch is not known.
    kinship
        Its mean kinship with the living flock, in the figure asked for; `by_convention` and `cautious` are both.
    rank
        1 for the lowest mean kinship of the living.
    at_risk
        The founders about to be lost that it carries, the one with the fewest carriers first.
    trial
        The last fertility trial of a cock of which eggs were seen.
    offspring, living_offspring
        How many birds of the book may be its chicks, and how many of them live.
    fertile, hatched
        Of the eggs that were certainly its own: fertile of those seen, and hatched of those set.
    choice, earlier
        What was decided for the season, and for the seasons before, the latest first.
    """

    bird: Bird
    is_grown: bool
    age_days: int | None
    kinship: float
    by_convention: float
    cautious: float
    rank: int
    standing: Standing
    inbreeding: float
    generations: float
    at_risk: tuple[AtRisk, ...]
    trial: TrialStudy | None
    apart: Apart | None
    offspring: int
    living_offspring: int
    fertile: Interval | None
    hatched: Interval | None
    choice: Choice | None
    earlier: tuple[Choice, ...]
    parting: Parting

    @property
    def verdict(self) -> Verdict | None:
        """What was decided for the season; None while nothing is."""
        return self.choice.verdict if self.choice is not None else None

    @property
    def is_cock(self) -> bool:
        """True for a cock; every other bird here is a hen."""
        return self.bird.sex is Sex.COCK

    @property
    def is_tested(self) -> bool:
        """True when fertile eggs of its own were seen."""
        seen = (self.trial.result.whole if self.trial is not None else None, self.fertile)
        return any(each is not None and each.count > 0 for each in seen)


@dataclass(frozen=True, slots=True)
class Lines:
    """Every bird that may breed in a season, and the flock it belongs to."""

    unknown: Unknown
    species: str
    season: int
    flock: Flock
    lines: tuple[Line, ...]

    def marked(self, verdict: Verdict) -> tuple[Line, ...]:
        """The birds so marked."""
        return tuple(line for line in self.lines if line.verdict is verdict)


def with_choices(lines: Iterable[Line], snapshot: Snapshot, season: int) -> tuple[Line, ...]:
    """The same lines with what is decided now; birds that have gone are left out."""
    year = snapshot.husbandry
    kept = (line for line in lines if snapshot.has(line.bird.id) and snapshot.bird(line.bird.id).is_living)
    return tuple(
        replace(
            line,
            bird=snapshot.bird(line.bird.id),
            choice=year.choice_for(line.bird.id, season),
            earlier=earlier_choices(snapshot, line.bird.id, season),
        )
        for line in kept
    )


def earlier_choices(snapshot: Snapshot, bird: BirdId, season: int) -> tuple[Choice, ...]:
    """What was decided of a bird for the seasons before, the latest first."""
    return tuple(choice for choice in snapshot.husbandry.choices_of.get(bird, ()) if choice.season < season)


def usual_numbers(lines: Lines) -> tuple[int, int]:
    """How many to propose: as many as are marked chosen; else a third of the cocks and two thirds of the hens.

    Two cocks at least where there are two: a flock on one cock halves what its next generation can be.
    """
    found = []
    for is_cock in (True, False):
        free = [line for line in lines.lines if line.is_cock is is_cock and line.verdict is not Verdict.NO]
        chosen = sum(line.verdict is Verdict.CHOSEN for line in free)
        share = max(2, round(len(free) / 3)) if is_cock else max(2, round(2 * len(free) / 3))
        found.append(chosen or min(share, len(free)))
    return found[0], found[1]
