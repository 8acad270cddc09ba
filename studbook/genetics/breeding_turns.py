"""Who leaves and who comes from one season to the next: the same in every replicate of a simulation.

Each breeder has a place: cocks first, then hens. A place passes to a young bird, to a bought one, or keeps its
bird, by rules that draw no chance; chance decides only which young bird it is.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.breeding_policy import NO_PEN, Breeding

YOUNG, BOUGHT = -1, -2
"""What stands for the bird of a place that is new: hatched at home, or bought in."""


@dataclass(frozen=True, eq=False)
class Turn:
    """From one season to the next.

    Attributes
    ----------
    cocks, hens
        How many breed in the season that ends.
    place
        (n,) for each breeder of the next season its place in this one, `YOUNG` or `BOUGHT`.
    next_cocks
        How many of `place` are cocks.
    pen
        (hens,) the pen of each hen of this season.
    dam_pen
        (n,) from which pen the dam of each young bird must be, `NO_PEN` for any.
    """

    cocks: int
    hens: int
    place: NDArray[np.int64]
    next_cocks: int
    pen: NDArray[np.int64]
    dam_pen: NDArray[np.int64]

    @property
    def young(self) -> NDArray[np.int64]:
        """The places of the next season filled by young birds."""
        return np.flatnonzero(self.place == YOUNG)

    @property
    def bought(self) -> NDArray[np.int64]:
        """The places filled by bought cocks."""
        return np.flatnonzero(self.place == BOUGHT)

    @property
    def kept(self) -> NDArray[np.int64]:
        """The places whose bird stays."""
        return np.flatnonzero(self.place >= 0)


def turns(breeding: Breeding, cocks: int, pens: Sequence[int], years: int) -> Iterator[Turn]:
    """The turns after each of `years` seasons.

    `cocks` are there in the first season, and one hen for each of `pens` (from `pens_of_hens`), the oldest
    first.
    """
    served = [place % breeding.seasons for place in range(cocks)]
    pen = list(pens)
    age = list(range(len(pen), 0, -1))
    leave = 0.0
    for season in range(1, years + 1):
        place, dam_pen = _cocks(breeding, served, season)
        next_cocks = len(place)
        leave += breeding.replaced * len(pen)
        leaving = min(int(leave + 1e-9), len(pen))
        leave -= leaving
        gone = set(sorted(range(len(pen)), key=lambda hen: -age[hen])[:leaving])
        place += [YOUNG if hen in gone else cocks + hen for hen in range(len(pen))]
        dam_pen += [pen[hen] if hen in gone else NO_PEN for hen in range(len(pen))]
        age = [0 if hen in gone else age[hen] + 1 for hen in range(len(pen))]
        next_pen = list(pen)
        while len(next_pen) < breeding.hens:
            next_pen.append(_emptiest(breeding, next_pen))
            age.append(0)
            place.append(YOUNG)
            dam_pen.append(next_pen[-1] if next_pen[-1] in pen else NO_PEN)
        yield Turn(cocks, len(pen), np.array(place), next_cocks, np.array(pen), np.array(dam_pen))
        cocks, pen = next_cocks, next_pen


def pens_of_hens(breeding: Breeding, now: Sequence[int]) -> list[int]:
    """The pen, 0 to cocks - 1, in which each hen starts; `NO_PEN` for all where nothing rotates.

    The pens they are in `now` are kept where there are enough cocks for them, the fullest first, and as far as
    equal shares of hens allow; every pen gets a hen.
    """
    if not breeding.rotate:
        return [NO_PEN] * len(now)
    count = Counter(pen for pen in now if pen != NO_PEN)
    known = sorted(count, key=lambda pen: (-count[pen], pen))[: breeding.cocks]
    share = -(-len(now) // breeding.cocks)
    made: list[int] = []
    for pen in now:
        place = known.index(pen) if pen in known else NO_PEN
        made.append(place if made.count(place) < share else NO_PEN)
    for hen, pen in enumerate(made):
        if pen == NO_PEN:
            made[hen] = _emptiest(breeding, made)
    for pen in range(min(breeding.cocks, len(made))):
        if pen not in made:
            fullest = Counter(made).most_common(1)[0][0]
            made[made.index(fullest)] = pen
    return made


def _cocks(breeding: Breeding, served: list[int], season: int) -> tuple[list[int], list[int]]:
    """The places of the next season's cocks, and the pens of their dams; `served` is brought forward."""
    count = len(served)
    place, dam_pen = [], []
    for cock in range(breeding.cocks):
        goes = cock >= count or served[cock] + 1 >= breeding.seasons
        place.append(YOUNG if goes else cock)
        dam_pen.append((cock - 1) % breeding.cocks if goes and breeding.rotate else NO_PEN)
    if breeding.new_blood is not None and breeding.new_blood.arrives(season + 1):
        new = [cock for cock in range(breeding.cocks) if place[cock] == YOUNG]
        at = new[0] if new else max(range(breeding.cocks), key=lambda cock: served[cock])
        place[at], dam_pen[at] = BOUGHT, NO_PEN
    served[:] = [
        served[cock] + 1 if place[cock] >= 0 else cock % breeding.seasons if cock >= count else 0
        for cock in range(breeding.cocks)
    ]
    return place, dam_pen


def _emptiest(breeding: Breeding, pens: Sequence[int]) -> int:
    return min(range(breeding.cocks), key=lambda pen: pens.count(pen)) if breeding.rotate else NO_PEN
