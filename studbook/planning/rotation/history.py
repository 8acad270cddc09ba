"""A rotation over the years: who served each family, where he was from, F of the pullets and what was expected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum

import numpy as np

from studbook.book.husbandry.choosing_rows import Rotation
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.book.relatedness import Relatedness
from studbook.genetics.rotation import rotation_course
from studbook.planning.candidates import is_old_enough
from studbook.planning.pens.board import is_there, stays_on
from studbook.planning.rotation.foresight import USUAL_HENS
from studbook.planning.rotation.homes import home_of
from studbook.season.calendar import season_planned

AHEAD = 5
"""So many generations beyond the present one are expected."""


class CockFrom(Enum):
    """Where a cock that served was from, as the scheme sees it."""

    BEFORE = "before"  # the family before, as it should be
    OWN = "own"
    OTHER = "other"
    BEGAN = "began"  # one of the birds the rotation began with
    OUTSIDE = "outside"  # bought in later
    NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True)
class FamilyYear:
    """One family in one season.

    Attributes
    ----------
    cocks
        Who served: the sires of its chicks, else the cocks that were in the pen in spring.
    origin, home
        Where the first of them was from.
    chicks
        The birds hatched of the pen in the season.
    pullets
        Those of them that are hens.
    mean, low, high
        Their F; None without pullets.
    expected
        The mean F to be expected of them by the scheme from the birds it began with, None where that is not known.
    """

    season: int
    pen: PenId
    cocks: tuple[BirdId, ...]
    origin: CockFrom | None
    home: PenId | None
    chicks: tuple[BirdId, ...]
    pullets: tuple[BirdId, ...]
    mean: float | None
    low: float | None
    high: float | None
    expected: float | None


@dataclass(frozen=True, slots=True)
class SeasonMean:
    """All pullets of a season."""

    season: int
    mean: float
    low: float
    high: float
    count: int


@dataclass(frozen=True)
class RotationHistory:
    """What a rotation came to beside what was to be expected of it.

    Attributes
    ----------
    hens
        The hens of each pen when it began.
    came
        The F of the pullets, season by season.
    by_scheme
        The mean F of the hens to be expected by season, from unrelated birds: the first is that of the birds it
        began with.
    from_these
        The same from the birds it really began with, as they were related; None where they are not all known.
    closed
        What one pen alone, of the mean size, would come to.
    """

    rotation: Rotation
    first_season: int
    hens: tuple[int, ...]
    years: tuple[FamilyYear, ...]
    came: tuple[SeasonMean, ...]
    by_scheme: tuple[float, ...]
    from_these: tuple[float, ...] | None
    closed: tuple[float, ...]

    def generation(self, season: int) -> int:
        """Which generation the pullets of a season are, if each season is one."""
        return season - self.first_season + 1


def history_of(
    snapshot: Snapshot, rotation: Rotation, species: str, season: int, relatedness: Relatedness
) -> RotationHistory:
    """A rotation from its first season to the one planned."""
    year = snapshot.husbandry
    pens = tuple(place.pen for place in year.pens_of_rotation.get(rotation.id, ()))
    first = season_planned(rotation.begun)
    last = rotation.ended.year if rotation.ended is not None else season
    cocks, hens = _began_with(snapshot, rotation, pens, species, first)
    numbers = tuple(len(of_pen) or USUAL_HENS for of_pen in hens)
    generations = max(0, last - first) + 1 + AHEAD
    by_scheme = rotation_course(numbers, generations)
    from_these = None
    if all(cocks) and all(hens):
        began = [bird for cock, of_pen in zip(cocks, hens, strict=True) for bird in (cock, *of_pen) if bird]
        from_these = rotation_course(numbers, generations, relatedness.kinship(began, began))
    closed = rotation_course([max(1, round(sum(numbers) / len(numbers)))], generations)
    flock = [
        bird
        for bird in snapshot.birds
        if bird.species == species
        and not bird.placeholder
        and not bird.is_founder
        and bird.hatched.is_known
        and bird.hatched.latest >= rotation.begun
        and first <= (bird.hatched.year or 0) <= last
    ]
    of: dict[tuple[int, PenId], list[Bird]] = {}
    for bird in flock:
        home = home_of(snapshot, bird).pen
        if home in pens and home is not None:
            of.setdefault((bird.hatched.year or 0, home), []).append(bird)
    inbreeding = relatedness.inbreeding
    years = []
    for season_ in range(first, last + 1):
        for place, pen in enumerate(pens):
            chicks = of.get((season_, pen), [])
            served = _served(snapshot, pen, season_, chicks)
            # who serves in the season that is still planned is not settled
            if not chicks and (not served or season_ >= season):
                continue
            pullets = [bird for bird in chicks if bird.sex is Sex.HEN]
            found = np.array([inbreeding[snapshot.rows[bird.id]] for bird in pullets])
            origin, home = _origin(snapshot, served, rotation, pens, place)
            expected = from_these if from_these is not None else by_scheme
            years.append(
                FamilyYear(
                    season_,
                    pen,
                    served,
                    origin,
                    home,
                    tuple(bird.id for bird in chicks),
                    tuple(bird.id for bird in pullets),
                    float(found.mean()) if len(found) else None,
                    float(found.min()) if len(found) else None,
                    float(found.max()) if len(found) else None,
                    float(expected.by_pen[season_ - first + 1, place]),
                )
            )
    return RotationHistory(
        rotation,
        first,
        numbers,
        tuple(years),
        tuple(_means(snapshot, years, inbreeding.tolist())),
        tuple(by_scheme.hens.tolist()),
        tuple(from_these.hens.tolist()) if from_these is not None else None,
        tuple(closed.hens.tolist()),
    )


def _began_with(
    snapshot: Snapshot, rotation: Rotation, pens: Sequence[PenId], species: str, first: int
) -> tuple[list[BirdId | None], list[list[BirdId]]]:
    """The cock and the hens of each pen when it began; in the first spring where they came later."""
    for day in (rotation.begun, date(first, 4, 1)):
        now = stays_on(snapshot.husbandry, day)
        grown = [
            bird
            for bird in snapshot.birds
            if bird.species == species and is_there(bird, day) and is_old_enough(bird, day)
        ]
        inside = {pen: [bird for bird in grown if bird.id in now and now[bird.id].pen == pen] for pen in pens}
        cocks = [next((bird.id for bird in inside[pen] if bird.sex is Sex.COCK), None) for pen in pens]
        hens = [[bird.id for bird in inside[pen] if bird.sex is Sex.HEN] for pen in pens]
        if all(cocks) and all(hens):
            break
    return cocks, hens


def _served(snapshot: Snapshot, pen: PenId, season: int, chicks: Sequence[Bird]) -> tuple[BirdId, ...]:
    """The cocks of a pen in a season, the sire of most chicks first."""
    sires = Counter(bird.sire for bird in chicks if bird.sire is not None and snapshot.has(bird.sire))
    if sires:
        return tuple(BirdId(sire) for sire, _number in sires.most_common() if sire is not None)
    first, last = date(season, 2, 1), date(season, 6, 30)
    return tuple(
        dict.fromkeys(
            stay.bird
            for stay in snapshot.husbandry.stays_in.get(pen, ())
            if stay.since <= last
            and (stay.until is None or stay.until > first)
            and snapshot.has(stay.bird)
            and snapshot.bird(stay.bird).sex is Sex.COCK
            and is_old_enough(snapshot.bird(stay.bird), last)
        )
    )


def _origin(
    snapshot: Snapshot, served: Sequence[BirdId], rotation: Rotation, pens: Sequence[PenId], place: int
) -> tuple[CockFrom | None, PenId | None]:
    """Where the first cock that served was from."""
    if not served:
        return None, None
    cock = snapshot.bird(served[0])
    if not cock.hatched.is_known or cock.hatched.latest < rotation.begun:
        return CockFrom.BEGAN, None
    if cock.is_founder:
        return CockFrom.OUTSIDE, None
    home = home_of(snapshot, cock).pen
    if home is None:
        return CockFrom.NOT_KNOWN, None
    if home == pens[place - 1]:
        return CockFrom.BEFORE, home
    return (CockFrom.OWN if home == pens[place] else CockFrom.OTHER), home


def _means(snapshot: Snapshot, years: Sequence[FamilyYear], inbreeding: Sequence[float]) -> list[SeasonMean]:
    found: dict[int, list[float]] = {}
    for row in years:
        for bird in row.pullets:
            found.setdefault(row.season, []).append(inbreeding[snapshot.rows[bird]])
    return [
        SeasonMean(season, float(np.mean(shares)), min(shares), max(shares), len(shares))
        for season, shares in sorted(found.items())
    ]
