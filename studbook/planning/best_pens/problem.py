"""The wishes for next season's pens with the kinship of all birds to choose among: all that a plan is made from.

Single wishes can be taken back, which is how their cost is found, and which of them collide.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from studbook.book.ids import BirdId
from studbook.book.records import Snapshot
from studbook.book.relatedness import Relatedness
from studbook.planning.best_pens.wishes import Wishes


class WishKind(StrEnum):
    """What a wish is about."""

    LIMIT = "limit"
    PENS = "pens"
    MOST_HENS = "most hens"
    LEAST_HENS = "least hens"
    HENS_PLACED = "hens placed"
    PLACES = "places"
    TOGETHER = "together"
    NEVER = "never"
    BAN = "ban"
    SHARE = "share"
    RESERVE = "reserve"


@dataclass(frozen=True, slots=True)
class Wish:
    """One wish that can be taken back, with the birds it names.

    A limit that names hens is the limit for those hens alone.
    """

    kind: WishKind
    birds: tuple[BirdId, ...] = ()


@dataclass(frozen=True, eq=False)
class Problem:
    """What is wished for, and how the birds are related.

    Attributes
    ----------
    kinship
        f of all cocks and then all hens with each other, (c + h, c + h), in the order of the wishes.
    bans
        The pairs (cock, hen) the keeper does not want together, whatever the wishes say.
    unlimited
        Hens for whom the limit of F is taken back.
    any_number
        True when any number of hens may be placed: only whether there are such pens is asked then.
    """

    wishes: Wishes
    kinship: NDArray[np.float64]
    bans: tuple[tuple[BirdId, BirdId], ...] = ()
    unlimited: frozenset[BirdId] = frozenset()
    any_number: bool = False

    def __post_init__(self) -> None:
        wishes, birds = self.wishes, self.birds
        if len(set(birds)) < len(birds):
            raise ValueError("a bird is named twice among the cocks and hens")
        if self.kinship.shape != (len(birds), len(birds)):
            raise ValueError("kinship must have a row and a column for each cock and hen")
        if not 0 <= wishes.weight <= 1:
            raise ValueError("the weight must lie between 0 and 1")
        if any(eggs <= 0 for eggs in wishes.eggs.values()):
            raise ValueError("the eggs wanted of a hen must be more than 0")
        if wishes.pens < 1 or wishes.most_hens < 1:
            raise ValueError("there must be at least one pen and one hen for a cock")

    @property
    def birds(self) -> tuple[BirdId, ...]:
        """All birds to choose among, the cocks first: the order of `kinship`."""
        return self.wishes.cocks + self.wishes.hens

    @property
    def expected(self) -> NDArray[np.float64]:
        """F of the chicks of each cock with each hen (c, h)."""
        count = len(self.wishes.cocks)
        return self.kinship[:count, count:]

    @property
    def placed(self) -> int:
        """How many hens are to be placed."""
        wanted, there = self.wishes.hens_placed, len(self.wishes.hens)
        return there if wanted is None else min(wanted, there)

    @property
    def in_force(self) -> tuple[Wish, ...]:
        """Every wish that says something."""
        wishes = self.wishes
        found = [Wish(WishKind.PENS), Wish(WishKind.MOST_HENS), Wish(WishKind.HENS_PLACED)]
        if wishes.limit is not None:
            found.append(Wish(WishKind.LIMIT))
        if wishes.least_hens > 1:
            found.append(Wish(WishKind.LEAST_HENS))
        if wishes.places:
            found.append(Wish(WishKind.PLACES))
        if wishes.reserve_males:
            found.append(Wish(WishKind.RESERVE))
        found += [Wish(WishKind.TOGETHER, pair) for pair in wishes.together]
        found += [Wish(WishKind.NEVER, pair) for pair in wishes.never]
        found += [Wish(WishKind.BAN, pair) for pair in self.bans]
        there = set(self.birds)
        found += [Wish(WishKind.SHARE, (bird,)) for bird in wishes.most_share if bird in there]
        return tuple(found)

    def without(self, *taken_back: Wish) -> "Problem":
        """The same with some wishes taken back."""
        left = self
        for wish in taken_back:
            left = _without(left, wish)
        return left


def problem_of(snapshot: Snapshot, relatedness: Relatedness, wishes: Wishes) -> Problem:
    """The wishes with the kinship of a book and the bans of its keeper.

    Takes the kinship of every bird with every other at once, by the way of taking unknown parents that
    `relatedness` has.
    """
    birds = wishes.cocks + wishes.hens
    kinship = relatedness.kinship(birds, birds)
    cocks, hens = set(wishes.cocks), set(wishes.hens)
    bans = tuple(
        (cock, hen) for cock, hen in snapshot.husbandry.banned_pairs if cock in cocks and hen in hens
    )
    return Problem(wishes, (kinship + kinship.T) / 2, bans)


def _without(problem: Problem, wish: Wish) -> Problem:
    wishes = problem.wishes
    match wish.kind:
        case WishKind.LIMIT if wish.birds:
            return replace(problem, unlimited=problem.unlimited | set(wish.birds))
        case WishKind.LIMIT:
            wishes = replace(wishes, limit=None)
        case WishKind.PENS:
            wishes = replace(wishes, pens=max(len(wishes.cocks), wishes.pens))
        case WishKind.MOST_HENS:
            wishes = replace(wishes, most_hens=max(len(wishes.hens), wishes.most_hens))
        case WishKind.LEAST_HENS:
            wishes = replace(wishes, least_hens=1)
        case WishKind.HENS_PLACED:
            return replace(problem, any_number=True)
        case WishKind.PLACES:
            wishes = replace(wishes, places=())
        case WishKind.RESERVE:
            wishes = replace(wishes, reserve_males=0)
        case WishKind.TOGETHER:
            wishes = replace(wishes, together=_less(wishes.together, wish.birds))
        case WishKind.NEVER:
            wishes = replace(wishes, never=_less(wishes.never, wish.birds))
        case WishKind.BAN:
            return replace(problem, bans=_less(problem.bans, wish.birds))
        case WishKind.SHARE:
            shares = {bird: most for bird, most in wishes.most_share.items() if bird not in wish.birds}
            wishes = replace(wishes, most_share=shares)
    return replace(problem, wishes=wishes)


def _less(
    pairs: Sequence[tuple[BirdId, BirdId]], birds: tuple[BirdId, ...]
) -> tuple[tuple[BirdId, BirdId], ...]:
    return tuple(pair for pair in pairs if set(pair) != set(birds))
