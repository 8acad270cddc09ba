"""The best cocks and hens to keep, what each swap would cost, and how the keeper's own choice compares."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import lgamma, log
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from studbook.book.husbandry.choosing_rows import Verdict
from studbook.book.records import BirdId
from studbook.genetics.best_set import best_set
from studbook.genetics.breeding_stock import Stock, next_kinship, stock, swap_changes

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness
    from studbook.planning.breeders.lines import Lines

SWAPS_TOLD = 60
"""So many of the cheapest swaps are listed."""

OTHERS = 3
"""So many of the next best sets are told."""

SECONDS = 10.0
"""So long is looked for a better set before the best so far is shown."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """How many to keep of whom.

    Attributes
    ----------
    cocks, hens
        The birds to choose among.
    keep_cocks, keep_hens
        How many of each are kept.
    must_stay, must_go
        Birds that are in every set, and in none.
    """

    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    keep_cocks: int
    keep_hens: int
    must_stay: frozenset[BirdId] = frozenset()
    must_go: frozenset[BirdId] = frozenset()


@dataclass(frozen=True, slots=True)
class Swap:
    """A kept bird for another of its sex: by how much c′Kc and F of the next generation change."""

    goes: BirdId
    comes: BirdId
    change: float
    expected_change: float


@dataclass(frozen=True, slots=True)
class Kept:
    """A set of birds to keep: the mean kinship and the mean F of the next generation."""

    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    kinship: float
    expected: float


@dataclass(frozen=True, slots=True)
class Best:
    """The best set that was found.

    Attributes
    ----------
    bound
        No set of these numbers has a lower mean kinship.
    is_proven
        True when no set is better.
    gap
        How much better another set could be at most, as a share of the figure.
    sets
        How many sets there are to choose from, as a power of ten.
    swaps
        The cheapest swaps, the least first; the cheapest of each kept bird is among them.
    others
        The next best sets, the best first; of birds that are alike only one is told.
    others_proven
        True when no better set is missing between them.
    own
        The keeper's own choice, where both cocks and hens are marked as chosen.
    """

    wanted: Wanted
    kept: Kept
    bound: float
    is_proven: bool
    gap: float
    sets: float
    swaps: tuple[Swap, ...]
    others: tuple[Kept, ...]
    others_proven: bool
    own: Kept | None

    @property
    def birds(self) -> tuple[BirdId, ...]:
        """All of them, the cocks first."""
        return (*self.kept.cocks, *self.kept.hens)


def wanted(
    lines: Lines,
    keep_cocks: int,
    keep_hens: int,
    stay: frozenset[BirdId] = frozenset(),
    go: frozenset[BirdId] = frozenset(),
) -> Wanted:
    """What to choose from: every bird that may breed; one marked "no" must go, and those in `go` that need not stay."""
    return Wanted(
        tuple(line.bird.id for line in lines.lines if line.is_cock),
        tuple(line.bird.id for line in lines.lines if not line.is_cock),
        keep_cocks,
        keep_hens,
        stay,
        frozenset(line.bird.id for line in lines.marked(Verdict.NO)) | (go - stay),
    )


def best_to_keep(
    relatedness: Relatedness,
    asked: Wanted,
    chosen: Sequence[BirdId] = (),
    *,
    seconds: float = SECONDS,
    is_stopped: Callable[[], bool] | None = None,
    told: Callable[[float, float], None] | None = None,
) -> Best:
    """The best set; `chosen` are the birds the keeper has marked, to compare with.

    Raises
    ------
    ValueError
        If there is no such set; its second argument is "cocks", "hens" or "both".
    """
    birds = (*asked.cocks, *asked.hens)
    place = {bird: number for number, bird in enumerate(birds)}
    is_cock = np.arange(len(birds)) < len(asked.cocks)
    table = relatedness.kinship(birds, birds) if birds else np.zeros((0, 0))
    among = stock(
        table,
        is_cock,
        asked.keep_cocks,
        asked.keep_hens,
        sorted(place[bird] for bird in asked.must_stay if bird in place),
        sorted(place[bird] for bird in asked.must_go if bird in place),
    )
    found = best_set(among, seconds=seconds, is_stopped=is_stopped, told=told, others=OTHERS)
    marked = np.zeros(len(birds), dtype=bool)
    marked[[place[bird] for bird in chosen if bird in place]] = True
    return Best(
        asked,
        _kept(among, birds, found.chosen),
        found.bound,
        found.is_proven,
        found.gap,
        _count(among),
        _swaps(among, birds, found.chosen),
        tuple(_kept(among, birds, other) for other, _figure in found.others),
        found.others_proven,
        _kept(among, birds, marked) if marked[is_cock].any() and marked[~is_cock].any() else None,
    )


def _kept(among: Stock, birds: Sequence[BirdId], chosen: NDArray[np.bool_]) -> Kept:
    cock, hen = chosen & among.is_cock, chosen & ~among.is_cock
    return Kept(
        tuple(birds[place] for place in np.flatnonzero(cock).tolist()),
        tuple(birds[place] for place in np.flatnonzero(hen).tolist()),
        next_kinship(among.kinship, among.is_cock, chosen),
        float(among.kinship[np.ix_(cock, hen)].mean()),
    )


def _swaps(among: Stock, birds: Sequence[BirdId], chosen: NDArray[np.bool_]) -> tuple[Swap, ...]:
    """The cheapest swaps of all, and the cheapest of each kept bird."""
    change = swap_changes(among, chosen)
    possible = np.argwhere(~np.isnan(change))
    order = np.argsort(change[possible[:, 0], possible[:, 1]], kind="stable")
    told: list[tuple[int, int]] = []
    seen: set[int] = set()
    for number in order.tolist():
        goes, comes = (int(each) for each in possible[number])
        if len(told) < SWAPS_TOLD or goes not in seen:
            told.append((goes, comes))
            seen.add(goes)
    with_cocks = among.kinship @ (chosen & among.is_cock) / among.cocks
    with_hens = among.kinship @ (chosen & ~among.is_cock) / among.hens
    made = []
    for goes, comes in told:
        # a cock's F is with the hens kept, a hen's with the cocks
        mates = with_hens if among.is_cock[goes] else with_cocks
        count = among.cocks if among.is_cock[goes] else among.hens
        made.append(
            Swap(
                birds[goes],
                birds[comes],
                float(change[goes, comes]),
                float(mates[comes] - mates[goes]) / count,
            )
        )
    return tuple(made)


def _count(among: Stock) -> float:
    """How many sets there are, as a power of ten."""
    total = 0.0
    for sex, wanted_number in ((True, among.cocks), (False, among.hens)):
        part = (among.is_cock == sex) & ~among.must_go
        fixed = int((part & among.must_stay).sum())
        n, k = int(part.sum()) - fixed, wanted_number - fixed
        total += lgamma(n + 1) - lgamma(k + 1) - lgamma(n - k + 1)
    return total / log(10)
