"""What the bloodlines of a flock come to: frozen rows of plain numbers, free of arrays.

A figure that is not defined (of no birds, of too little pedigree) is None, never 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from studbook.book.records import BirdId, ContactId, OriginId, Status
from studbook.dates import PartialDate

if TYPE_CHECKING:
    # numpy comes with it, and the window holds these rows before it needs numbers
    from studbook.book.relatedness import Unknown


class Half(StrEnum):
    """What of a bird counts as a founder: itself, or its unknown sire or unknown dam."""

    WHOLE = "bird"
    SIRE = "sire"
    DAM = "dam"


@dataclass(frozen=True, slots=True)
class FounderKey:
    """Which founder is meant: the bird, or the unknown parent of the bird that `half` says."""

    bird: BirdId
    half: Half = Half.WHOLE

    @property
    def is_unknown_parent(self) -> bool:
        """True for a parent nobody recorded."""
        return self.half is not Half.WHOLE


class Fate(StrEnum):
    """How a founder stands in the living flock, and the reason if it is at risk.

    LOST: no living bird descends from it. ONE_BIRD, FEW_BIRDS: so few living birds carry it.
    FADING: more carry a little, but at more than half of the places of the genome nothing of it is left.
    UNKNOWN_PARENT: nobody knows who it was, most likely a bird of the flock; nothing to rescue.
    """

    SAFE = "safe"
    FADING = "fading"
    FEW_BIRDS = "few birds"
    ONE_BIRD = "one bird"
    LOST = "lost"
    UNKNOWN_PARENT = "unknown parent"

    @property
    def is_at_risk(self) -> bool:
        """True for a founder that is about to be lost."""
        return self in (Fate.FADING, Fate.FEW_BIRDS, Fate.ONE_BIRD)


@dataclass(frozen=True, slots=True)
class Carrier:
    """A bird that carries a founder's genes; `share` is the expected share of its own genes."""

    bird: BirdId
    share: float


@dataclass(frozen=True, slots=True)
class Founder:
    """One founder of the flock.

    Attributes
    ----------
    contribution
        Expected share of the genes of the counted birds; over all founders they sum to 1.
    retained
        Expected share of its two genes still in the counted birds, by gene drop; at most ½ for an
        unknown parent, of which one gene at most came down.
    kept
        Chance that at least one of them is: the share of its genome of which anything is left.
    by_year
        Its share in the home-hatched birds of each of the report's `years`.
    carriers
        The living birds that carry most of it, the most first, `CARRIERS_TOLD` at most.
    carrier_count
        How many living birds carry it.
    """

    key: FounderKey
    contribution: float
    retained: float
    kept: float
    by_year: tuple[float, ...]
    carriers: tuple[Carrier, ...]
    carrier_count: int
    fate: Fate


CARRIERS_TOLD = 12


@dataclass(frozen=True, slots=True)
class HatchYear:
    """The home-hatched birds of one year: how many, their mean F both ways, what is known of them.

    `generations` is their mean of complete generation equivalents.
    """

    year: int
    birds: int
    by_convention: float
    cautious: float
    generations: float


@dataclass(frozen=True, slots=True)
class Trend:
    """How fast inbreeding rises.

    Attributes
    ----------
    interval_years
        The generation interval L; None if no parent's age is known.
    yearly_limit
        The 1 % per generation of the FAO guidelines as a rate per year: divided by L.
    yearly_rise
        The increase in inbreeding per year of the figure asked for, by hatch year; None of fewer
        than three years.
    """

    interval_years: float | None
    yearly_limit: float | None
    yearly_rise: float | None

    @property
    def is_too_fast(self) -> bool | None:
        """True when it rises faster than the limit; None if one of them is not known."""
        if self.yearly_rise is None or self.yearly_limit is None:
            return None
        return self.yearly_rise > self.yearly_limit


@dataclass(frozen=True, slots=True)
class RealisedSize:
    """Ne by the inbreeding that came about, per generation, always by convention.

    `size` is None without birds of enough pedigree, infinite when none of them is inbred; `error`
    is its standard error, `birds` how many it rests on.
    """

    size: float | None
    error: float | None
    birds: int


@dataclass(frozen=True, slots=True)
class BreedersSize:
    """Ne by the breeders, for a flock that keeps birds several seasons.

    Attributes
    ----------
    new_cocks, new_hens
        Mean number of birds that bred for the first time in a year, over `years` hatch years.
    size
        Ne, per generation; None without a generation interval or breeders of either sex.
    per_generation, per_year
        The increase in inbreeding it leads to.
    size_with_cock, size_with_hen
        Ne if one cock, or one hen, more began to breed each year.
    """

    new_cocks: float
    new_hens: float
    years: tuple[int, ...]
    size: float | None
    per_generation: float | None
    per_year: float | None
    size_with_cock: float | None = None
    size_with_hen: float | None = None


class Standing(StrEnum):
    """How much a living bird adds to the flock's diversity, by its mean kinship.

    RARE: carries what few others carry. COVERED: well covered by kin. LOOKS_RARE: rare only because
    parents of it are unknown; counted cautiously it is not.
    """

    RARE = "rare"
    MIDDLING = "middling"
    COVERED = "covered"
    LOOKS_RARE = "looks rare"


@dataclass(frozen=True, slots=True)
class RankedBird:
    """A living bird by its mean kinship with the flock, itself included.

    Ranks begin at 1 with the lowest mean kinship, equal figures share a rank; `generations` are the
    complete generation equivalents known of it.
    """

    bird: BirdId
    by_convention: float
    cautious: float
    rank_by_convention: int
    rank_cautious: int
    generations: float
    inbreeding: float
    standing: Standing


@dataclass(frozen=True)
class BloodlinesReport:
    """Everything the bloodlines of a flock come to.

    Figures are of the counted birds: the living of `species`, or all birds when `counts_living` is
    False. What needs a choice follows `unknown`; what exists both ways says so.

    Attributes
    ----------
    founders
        The largest contribution first; the lost ones last.
    years
        The hatch years of the home-hatched birds, ascending: `Founder.by_year` is in their order.
    recent_inbreeding
        The part of `mean_inbreeding_by_convention` that comes from ancestors within
        `RECENT_GENERATIONS`.
    replicates
        How many gene drops were made: fewer in a very large book.
    ranking
        The living birds, the lowest mean kinship first (by the figure asked for).
    """

    unknown: Unknown
    species: str | None
    counts_living: bool
    birds: int
    living: int
    founders: tuple[Founder, ...]
    years: tuple[HatchYear, ...]
    trend: Trend
    mean_kinship: float | None
    gene_diversity: float | None
    founder_equivalents: float | None
    ancestor_equivalents: float | None
    founder_genome_equivalents: float | None
    allele_retention_equivalents: float | None
    mean_inbreeding: float | None
    mean_inbreeding_by_convention: float | None
    mean_inbreeding_cautious: float | None
    recent_inbreeding: float | None
    generations: float | None
    realised: RealisedSize
    breeders: BreedersSize
    ranking: tuple[RankedBird, ...]
    replicates: int

    @property
    def at_risk(self) -> tuple[Founder, ...]:
        """The founders about to be lost, the one with the smallest chance of being there first."""
        return tuple(
            sorted((founder for founder in self.founders if founder.fate.is_at_risk), key=lambda f: f.kept)
        )

    @property
    def lost(self) -> tuple[Founder, ...]:
        """The founders of which no living bird carries anything."""
        return tuple(founder for founder in self.founders if founder.fate is Fate.LOST)


RECENT_GENERATIONS = 3
"""Inbreeding from ancestors within so many generations is recent: a grandsire's sire still counts."""


@dataclass(frozen=True, slots=True)
class FounderView:
    """One founder followed through the flock.

    Attributes
    ----------
    descendants
        Every bird that carries it, living or not, parents before offspring; the founder left out.
    carriers
        The living birds that carry it, the most first.
    by_year
        Its share in the home-hatched birds of each hatch year.
    """

    key: FounderKey
    descendants: tuple[Carrier, ...]
    carriers: tuple[Carrier, ...]
    by_year: tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class Borrowing:
    """What having a bird here for one season would do, as `calling_home` works it out.

    `chicks` are added to the living flock, from equal shares of the `mates`; a borrowed bird goes back,
    one that `stays` was only lent and is counted in the flock again.
    """

    chicks: int
    mates: int
    retained_before: float
    retained_after: float
    kept_before: float
    kept_after: float
    kinship_before: float
    kinship_after: float
    stays: bool = False


@dataclass(frozen=True, slots=True)
class AwayBird:
    """A bird lent, sold or given away that may still live and carries a founder.

    Attributes
    ----------
    share
        The expected share of its genes that come from the founder.
    age_years
        None when its hatch is not known.
    taker
        Who has it, if the book says.
    borrowing
        None if there is no mate for it in the flock.
    """

    bird: BirdId
    share: float
    age_years: float | None
    status: Status
    left: PartialDate
    taker: ContactId | None
    borrowing: Borrowing | None

    @property
    def is_lent(self) -> bool:
        """True for a bird that is the keeper's own still."""
        return self.status is Status.LENT


@dataclass(frozen=True, slots=True)
class Call:
    """A founder that is fading or lost, and the birds elsewhere that carry it, the best to ask for first.

    `found` counts all of them, `birds` holds the best `BIRDS_CALLED`.
    """

    founder: FounderKey
    found: int
    birds: tuple[AwayBird, ...]


BIRDS_CALLED = 5


@dataclass(frozen=True, slots=True)
class OriginFigures:
    """The figures of the living flock that an assumed relationship of an origin's birds moves."""

    mean_inbreeding: float | None
    mean_kinship: float | None
    gene_diversity: float | None
    founder_genome_equivalents: float | None


@dataclass(frozen=True, slots=True)
class OriginEffect:
    """What assuming another relationship γ would do; `founders` counts the birds of the origin in the book.

    It is that of the origin's birds with each other, or with those of an `other` origin.
    """

    origin: OriginId
    other: OriginId | None
    gamma_before: float
    gamma_after: float
    founders: int
    before: OriginFigures
    after: OriginFigures
