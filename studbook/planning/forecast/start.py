"""The flock as it stands, as the arrays from which it is simulated forward."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from studbook.book.husbandry.choosing_rows import Verdict
from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.book.relatedness import Unknown
from studbook.genetics.breeding_policy import NO_FOUNDER, NO_PEN, Start
from studbook.genetics.founders import Part, founder_shares
from studbook.genetics.gene_drop import founders_of_genes
from studbook.genetics.kinship import kinship
from studbook.planning.bloodlines.flock import Flock, Ways
from studbook.planning.candidates import kind_of
from studbook.planning.forecast.policy import MOST_BREEDERS, UNRELATED, NoFlock, TooMany, Yard
from studbook.season.calendar import season_planned

DROPS = 2_048
"""Gene drops that tell whose genes today's birds carry; each run takes some of them."""

FIRST_MONTH = 3
"""A bird breeds in the first season if it is old enough by this month of it."""

Told = Callable[[float], None]


@dataclass(frozen=True, eq=False)
class FlockStart:
    """The birds that may breed on, with their arrays.

    Attributes
    ----------
    season
        The hatch year of the first chicks.
    birds
        The bird of each row of `arrays`, cocks first.
    founders
        The founder of each column of `arrays.shares`; unknown parents are none.
    yards
        The yard of each row of `arrays.source_kinship`.
    """

    unknown: Unknown
    season: int
    birds: tuple[BirdId, ...]
    founders: tuple[BirdId, ...]
    yards: tuple[Yard, ...]
    arrays: Start

    def source(self, yard: Yard) -> int:
        """The place of a yard among the sources."""
        return self.yards.index(yard)


def may_breed_on(snapshot: Snapshot, today: date, species: str) -> list[Bird]:
    """The living birds old enough for the season that is planned, cocks first; those marked "no" left out."""
    season = season_planned(today)
    by = max(today, date(season, FIRST_MONTH, 1))
    found: list[Bird] = []
    for sex in (Sex.COCK, Sex.HEN):
        able = [
            bird
            for bird in snapshot.living
            if bird.species == species and bird.sex is sex and kind_of(bird).may_breed(sex, bird.hatched, by)
        ]
        wanted = [bird for bird in able if not _is_refused(snapshot, bird, season)]
        found += wanted or able
    return found


def flock_start(
    snapshot: Snapshot,
    today: date,
    species: str,
    yards: Iterable[Yard] = (),
    unknown: Unknown = Unknown.FLOCK,
    progress: Told | None = None,
    ways: Ways | None = None,
    seed: int = 1,
) -> FlockStart:
    """The start of a species; yards a cock may come from are the unrelated one, the book's origins and `yards`.

    `progress` hears the share done; an exception it raises ends the work. `ways` of the same snapshot spare
    what was worked out before.

    Raises
    ------
    NoFlock
        If there is no cock or no hen.
    TooMany
        If there are more than can be begun with.
    """
    birds = may_breed_on(snapshot, today, species)
    sexes = {bird.sex for bird in birds}
    if len(sexes) < 2:
        raise NoFlock("no cock or no hen")
    if len(birds) > 2 * MOST_BREEDERS:
        raise TooMany(len(birds))
    told = _never_falling(progress)
    flock = Flock(snapshot, unknown, species, lambda share: told(0.4 * share), ways)
    way, among = flock.asked, flock.founders
    nodes = way.nodes(np.array([snapshot.rows[bird.id] for bird in birds], dtype=np.intp))
    told(0.5)
    shares = founder_shares(way.pedigree, nodes, among)
    whole = np.flatnonzero((among.part == Part.BIRD) & (shares.max(axis=0) > 0))
    rng = np.random.Generator(np.random.PCG64(seed))
    genes = founders_of_genes(way.pedigree, nodes, rng, DROPS, among, lambda share: told(0.5 + 0.4 * share))
    label = np.full(len(among), NO_FOUNDER, dtype=np.int32)
    label[whole] = np.arange(len(whole), dtype=np.int32)
    known = [UNRELATED, *(Yard(origin.id) for origin in snapshot.origins)]
    every = tuple(dict.fromkeys([*known, *yards]))
    source_kinship, source_self = _sources(flock, every, nodes)
    start = Start(
        kinship(way.pedigree, nodes, nodes, way.known),
        np.array([bird.sex is Sex.COCK for bird in birds]),
        np.array([_born(bird) for bird in birds], dtype=np.float64),
        _pens(snapshot, birds, today),
        shares[:, whole],
        label[genes],
        source_kinship,
        source_self,
    )
    told(1.0)
    return FlockStart(
        unknown,
        season_planned(today),
        tuple(bird.id for bird in birds),
        tuple(flock.key(int(place)).bird for place in whole),
        every,
        start,
    )


def _never_falling(progress: Told | None) -> Told:
    """A progress that stays where it is when an earlier stage is told again."""
    most = 0.0

    def told(share: float) -> None:
        nonlocal most
        most = max(most, share)
        if progress is not None:
            progress(most)

    return told


def _is_refused(snapshot: Snapshot, bird: Bird, season: int) -> bool:
    choice = snapshot.husbandry.choice_for(bird.id, season)
    return choice is not None and choice.verdict is Verdict.NO


def _born(bird: Bird) -> int:
    """The latest day it can have hatched; one of unknown age counts as the oldest."""
    return bird.hatched.latest.toordinal() if bird.hatched.is_known else 0


def _pens(snapshot: Snapshot, birds: Sequence[Bird], today: date) -> NDArray[np.int64]:
    stays = [snapshot.husbandry.stay_on(bird.id, today) for bird in birds]
    places = {pen: place for place, pen in enumerate(dict.fromkeys(stay.pen for stay in stays if stay))}
    return np.array([places[stay.pen] if stay else NO_PEN for stay in stays], dtype=np.int64)


def _sources(
    flock: Flock, yards: Sequence[Yard], nodes: NDArray[np.int32]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The kinship of a bird of each yard with each bird (s, n), and with another bird of it (s,)."""
    way = flock.asked
    of_origin = {origin: node for node, origin in way.book.origins.items()}
    with_birds, among = np.zeros((len(yards), len(nodes))), np.zeros(len(yards))
    for place, yard in enumerate(yards):
        if yard.origin is None:
            with_birds[place] = among[place] = yard.kinship
        elif yard.origin in of_origin:
            node = np.array([of_origin[yard.origin]], dtype=np.int32)
            with_birds[place] = kinship(way.pedigree, node, nodes, way.known)[0]
            among[place] = kinship(way.pedigree, node, node, way.known)[0, 0]
    return with_birds, among
