"""What a keeper wishes of next season's pens, and what a plan of pens is.

Frozen and free of arrays, so that the window and the command line hold them and the record keeps them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from studbook.book.ids import BirdId, PenId
from studbook.book.relatedness import Unknown

WEIGHT = 0.5
"""How much the mean F of the chicks counts against the kinship of the next generation, unless said otherwise."""


@dataclass(frozen=True, slots=True)
class Place:
    """A pen that may be used: how many hens it takes beside the cock (None: any number), in the second yard or not."""

    pen: PenId
    hens: int | None = None
    second_yard: bool = False


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is asked for.

    Attributes
    ----------
    cocks, hens
        The birds to choose among.
    pens
        At most so many pens, one cock in each.
    least_hens, most_hens
        How many hens a cock that is used gets.
    hens_placed
        How many hens are placed; None places every one.
    limit
        The F of chicks above which a pair is not allowed; None allows all.
    weight
        Between 0, "keep the lines for later", and 1, "avoid close mating now".
    places
        The pens there are; empty puts no bound on the room of a pen.
    together, never
        Birds that must be in one pen, and birds that must not.
    eggs
        How many eggs (or chicks) are wanted of a hen against the others; 1 by default.
    most_share
        The largest share of the next generation's genes that a bird may give (a cock of all hens gives 0.5).
    reserve_males
        How many cocks that get no pen are kept in reserve, in the second yard where there is one: `placing` says
        which and where.
    unknown
        How unknown parents are taken.
    """

    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    pens: int
    most_hens: int
    least_hens: int = 1
    hens_placed: int | None = None
    limit: float | None = None
    weight: float = WEIGHT
    places: tuple[Place, ...] = ()
    together: tuple[tuple[BirdId, BirdId], ...] = ()
    never: tuple[tuple[BirdId, BirdId], ...] = ()
    eggs: Mapping[BirdId, float] = field(default_factory=dict)
    most_share: Mapping[BirdId, float] = field(default_factory=dict)
    reserve_males: int = 0
    unknown: Unknown = Unknown.FLOCK


class Proof(StrEnum):
    """How sure it is that there is no better plan."""

    OPTIMAL = "optimal"
    BEST_SO_FAR = "best so far"
    STOPPED = "stopped"
    IMPOSSIBLE = "impossible"


@dataclass(frozen=True, slots=True)
class BestPen:
    """One cock with his hens; `inbreeding` is the mean F of the chicks, each hen counting by the eggs wanted of her."""

    cock: BirdId
    hens: tuple[BirdId, ...]
    inbreeding: float
    place: PenId | None = None


@dataclass(frozen=True, slots=True)
class PensPlan:
    """Pens with what they would do.

    Attributes
    ----------
    inbreeding
        The mean F of the chicks.
    kinship
        The mean kinship of the next generation, c′Kc.
    objective
        weight × inbreeding + (1 − weight) × kinship: the smaller the better.
    bound
        A proven lower bound of the objective of any plan that meets the wishes.
    reserve
        The cocks kept in reserve, the one least related to what is in the pens of the first yard first.
    reserve_places
        Those of them who have a place in the second yard, each with it.
    """

    pens: tuple[BestPen, ...]
    inbreeding: float
    kinship: float
    objective: float
    bound: float
    proof: Proof
    reserve: tuple[BirdId, ...] = ()
    reserve_places: tuple[tuple[BirdId, PenId], ...] = ()

    @property
    def gap(self) -> float:
        """How much better another plan could be at most, as a share of the objective."""
        if self.objective <= 0:
            return 0.0
        return max(0.0, (self.objective - self.bound) / self.objective)
