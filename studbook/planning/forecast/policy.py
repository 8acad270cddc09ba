"""What a keeper may decide for the years ahead, and what comes of it: frozen and free of arrays."""

from dataclasses import dataclass

from studbook.book.records import BirdId, OriginId
from studbook.book.relatedness import Unknown
from studbook.genetics.breeding_policy import Keep
from studbook.words import _

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

MOST_BREEDERS = 300
"""So many breed in a season at most, and so many of each sex are begun with: each run keeps their kinship."""


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
    founders, founder_share
        Founders of today's flock still present in those breeders at a place of the genome, on the mean, and as
        a share of those that today's birds have there.
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
    founder_share: tuple[Span, ...]
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


class TooMany(ValueError):  # noqa: N818 - says what is the matter
    """There are more birds than can be bred on with; `count` of them."""

    def __init__(self, count: int) -> None:
        super().__init__(f"{count} birds are too many to breed on with")
        self.count = count


class Impossible(ValueError):  # noqa: N818 - says what is the matter
    """A policy that cannot be: `reason` says why in the user's language."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


def checked(policy: Policy) -> Policy:
    """The policy, if it can be bred out.

    Raises
    ------
    Impossible
        If more young birds are kept than are reared, or too many breed in a season.
    """
    wanted = max(policy.cocks, round(policy.replaced * policy.hens))
    if policy.cocks + policy.hens > MOST_BREEDERS:
        text = _("{count} breeders are too many: a forecast takes {most} at most.")
        raise Impossible(text.format(count=policy.cocks + policy.hens, most=MOST_BREEDERS))
    if policy.chicks // 2 < wanted:
        text = _(
            "{chicks} chicks a year are too few: {count} young birds of one sex are kept each year, so rear "
            "{least}."
        )
        raise Impossible(text.format(chicks=policy.chicks, count=wanted, least=2 * wanted))
    return policy
