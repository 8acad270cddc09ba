"""What a keeper may decide for the years ahead, and what comes of it: frozen and free of arrays."""

from dataclasses import dataclass

from studbook.book.records import BirdId, OriginId
from studbook.book.relatedness import Unknown
from studbook.genetics.breeding_policy import Keep

MOST_POLICIES = 4
"""So many are compared at once."""

LEAST_YEARS, MOST_YEARS = 1, 60
YEARS = 20
REPLICATES = 1_000
MOST_REPLICATES = 20_000
SEED = 20_270_214

LIMIT = 0.25
"""The mean F that is told when the flock passes it: chicks of full sibs."""

CHICKS = 60
"""Chicks reared a year where the book does not tell."""


@dataclass(frozen=True, slots=True)
class Yard:
    """Where a cock may be bought: a known origin, or one not in the book.

    `kinship` is, of a yard not in the book, the kinship of its birds with each bird of the flock and with each
    other; 0 is unrelated.
    """

    origin: OriginId | None = None
    kinship: float = 0.0


UNRELATED = Yard()


@dataclass(frozen=True, slots=True)
class BuyIn:
    """A cock bought in every so many years, or once with `every` None; `first` is the season, counted from 1."""

    every: int | None
    first: int
    yard: Yard = UNRELATED


@dataclass(frozen=True, slots=True)
class Policy:
    """How the flock would be bred on.

    Attributes
    ----------
    name
        What it is called in sentences and pictures.
    cocks, hens_per_cock
        The breeders of a season.
    keep
        Which young birds are kept to breed from.
    replaced
        Share of the hens replaced by pullets each year, the oldest going first.
    seasons
        How many seasons a cock serves.
    mate_apart
        Close matings are avoided: each hen goes to the least related cock with room.
    rotate
        Pullets stay in their dam's pen, cockerels move on to the next.
    doubtful
        Share of the chicks whose sire is not known for certain.
    chicks
        Chicks reared a year to choose from.
    """

    name: str
    cocks: int
    hens_per_cock: int
    keep: Keep = Keep.RANDOM
    replaced: float = 0.5
    seasons: int = 1
    mate_apart: bool = False
    rotate: bool = False
    doubtful: float = 0.0
    chicks: int = CHICKS
    buy_in: BuyIn | None = None

    @property
    def hens(self) -> int:
        """The hens of a season."""
        return self.cocks * self.hens_per_cock

    @property
    def is_by_chance(self) -> bool:
        """True when young birds are kept and mated by chance, so that the exact expectation is that of it."""
        return self.keep is Keep.RANDOM and not self.rotate and not self.mate_apart


@dataclass(frozen=True, slots=True)
class Span:
    """The mean of all runs, and between what nine of ten lie (from the 5th to the 95th in a hundred)."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Passing:
    """When the mean F of the chicks first passes a limit.

    Attributes
    ----------
    limit
        The F.
    year
        The first hatch year in which the mean of all runs is above it; None: not in the years looked at.
    early, late
        Between which hatch years it is passed in nine of ten runs; None where not within those years.
    share
        Share of the runs that pass it within the years looked at.
    """

    limit: float
    year: int | None
    early: int | None
    late: int | None
    share: float


@dataclass(frozen=True, slots=True)
class FounderChance:
    """A founder of today's flock, and the chance that a gene of it is still there at the end."""

    founder: BirdId
    kept: float


@dataclass(frozen=True)
class Course:
    """What a policy comes to, year by year.

    Attributes
    ----------
    inbreeding
        Mean F of the chicks of each hatch year.
    diversity
        Gene diversity of the breeders chosen after it.
    founders
        Founders of today's flock still present in those breeders.
    exact_inbreeding, exact_diversity
        What random mating of the same numbers is expected to come to.
    passing
        When F passes the limit.
    chances
        What becomes of each founder, the one in most danger first.
    """

    policy: Policy
    inbreeding: tuple[Span, ...]
    diversity: tuple[Span, ...]
    founders: tuple[Span, ...]
    exact_inbreeding: tuple[float, ...]
    exact_diversity: tuple[float, ...]
    passing: Passing
    chances: tuple[FounderChance, ...]


@dataclass(frozen=True)
class Forecast:
    """Up to four policies compared from the same start.

    Attributes
    ----------
    first_year
        The hatch year of the first chicks.
    cocks, hens
        The birds of today that may breed then.
    inbreeding
        Mean F of those birds.
    diversity, founders
        Gene diversity of them today, and the founders behind them.
    """

    unknown: Unknown
    first_year: int
    years: int
    replicates: int
    seed: int
    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    inbreeding: float
    diversity: float
    founders: float
    courses: tuple[Course, ...]

    @property
    def hatch_years(self) -> tuple[int, ...]:
        """The hatch years looked at."""
        return tuple(range(self.first_year, self.first_year + self.years))


class NoFlock(ValueError):  # noqa: N818 - says what is the matter
    """There is no cock or no hen to breed on with."""
