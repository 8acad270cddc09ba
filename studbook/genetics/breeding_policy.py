"""What a forward simulation starts from, and the rules by which the flock is bred on."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

NO_FOUNDER = -1
"""The founder of a gene that came from none that is counted."""

NO_PEN = -1
"""The pen of a bird that is in none."""


class Keep(StrEnum):
    """Which of the year's young birds are kept to breed from.

    By chance; those that add least to the mean kinship of the next generation (Ballou & Lacy 1995, in Population
    Management for Survival and Recovery, 76-111); or so that half the sum of the founders' squared shares counts
    as well, which is what mean kinship would be had no gene been lost by chance. Balancing shares alone would
    keep whole families of sibs.
    """

    RANDOM = "random"
    LEAST_RELATED = "least-related"
    FOUNDER_BALANCED = "founder-balanced"


@dataclass(frozen=True, slots=True)
class NewBlood:
    """A cock bought in before season `first`, and again every so many years; once if `every` is None.

    `source` is the place of his yard in `Start.source_kinship`.
    """

    first: int
    every: int | None = None
    source: int = 0

    def arrives(self, season: int) -> bool:
        """True when one comes before this season; the first is 1."""
        later = season - self.first
        return later == 0 or (later > 0 and self.every is not None and later % self.every == 0)


@dataclass(frozen=True, slots=True)
class Breeding:
    """How the flock is bred on, year by year.

    Attributes
    ----------
    cocks, hens
        The breeders of a season.
    chicks
        Chicks reared a year to choose from, one half of them cockerels.
    keep
        Which of them are kept.
    replaced
        Share of the hens replaced by pullets each year, the oldest going first.
    seasons
        How many seasons a cock serves.
    mate_apart
        Hens go to the cock least related to them by the record, in equal groups; else chance groups them.
    rotate
        One pen to each cock; pullets stay in their dam's pen, cockerels move on to the next.
    doubtful
        Share of the chicks whose sire is recorded as any of the cocks; whom to keep and whom to mate is
        then chosen by what is recorded.
    new_blood
        Cocks bought in.

    Raises
    ------
    ValueError
        If a number is out of range, or more young birds are wanted than are reared.
    """

    cocks: int
    hens: int
    chicks: int = 60
    keep: Keep = Keep.RANDOM
    replaced: float = 0.5
    seasons: int = 1
    mate_apart: bool = False
    rotate: bool = False
    doubtful: float = 0.0
    new_blood: NewBlood | None = None

    @property
    def is_by_record(self) -> bool:
        """True when the keeper's choices rest on what is recorded of the birds."""
        return self.keep is not Keep.RANDOM or (self.mate_apart and not self.rotate)

    def __post_init__(self) -> None:
        if self.cocks < 1 or self.hens < self.cocks:
            raise ValueError("there is at least one cock, and a hen for each")
        if not 0 <= self.replaced <= 1 or not 0 <= self.doubtful <= 1:
            raise ValueError("shares are from 0 to 1")
        if self.seasons < 1:
            raise ValueError("a cock serves a season at least")
        if self.chicks // 2 < max(self.cocks, round(self.replaced * self.hens)):
            raise ValueError("more young birds are wanted than are reared")
        if self.new_blood is not None and (self.new_blood.first < 1 or (self.new_blood.every or 1) < 1):
            raise ValueError("seasons are counted from 1")


@dataclass(frozen=True, eq=False)
class Start:
    """The flock as it stands: n birds, k founders behind them, s yards a cock may come from.

    Attributes
    ----------
    kinship
        (n, n) f of each bird with each, (1 + F)/2 with itself.
    is_cock
        (n,) True for a cock or cockerel, False for a hen or pullet.
    born
        (n,) when each hatched, in any unit that grows with time.
    pen
        (n,) the breeding pen each is in, `NO_PEN` for none.
    shares
        (n, k) the share of each founder in each bird's genes.
    genes
        (n, 2, d) which founder each of the two genes of a bird came from, in d gene drops; int32,
        `NO_FOUNDER` where it is none of the k.
    source_kinship
        (s, n) kinship of a bird of each yard with each bird of the flock.
    source_self
        (s,) kinship of two different birds of each yard, half its γ.
    """

    kinship: NDArray[np.float64]
    is_cock: NDArray[np.bool_]
    born: NDArray[np.float64]
    pen: NDArray[np.int64]
    shares: NDArray[np.float64]
    genes: NDArray[np.int32]
    source_kinship: NDArray[np.float64]
    source_self: NDArray[np.float64]

    def __post_init__(self) -> None:
        n = len(self.is_cock)
        if self.kinship.shape != (n, n) or self.genes.shape[:2] != (n, 2) or len(self.shares) != n:
            raise ValueError("the arrays of the start differ in length")
        if not self.is_cock.any() or self.is_cock.all():
            raise ValueError("there is no cock or no hen to start with")

    @property
    def founders(self) -> int:
        """k, how many founders are counted."""
        return int(self.shares.shape[1])

    @classmethod
    def unrelated(cls, cocks: int, hens: int, drops: int = 1) -> "Start":
        """Founders: cocks, then hens, unrelated and not inbred, with one unrelated yard to buy from."""
        n = cocks + hens
        labels = np.arange(n, dtype=np.int32)[:, None, None]
        return cls(
            np.eye(n) / 2,
            np.arange(n) < cocks,
            np.zeros(n),
            np.full(n, NO_PEN),
            np.eye(n),
            np.broadcast_to(labels, (n, 2, drops)).copy(),
            np.zeros((1, n)),
            np.zeros(1),
        )
