"""The keeper's walk: houses and pens in the order they are come to, and what is where."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from studbook.book.husbandry.rows import Apart, House, Husbandry, Pen, Sitting
from studbook.book.ids import HouseId, PenId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.planning.candidates import kind_of
from studbook.planning.pens.board import open_pens, walking_houses


@dataclass(frozen=True, slots=True)
class Stop:
    """A house of the walk with its open pens; `house` is None for pens that stand in none."""

    house: House | None
    pens: tuple[Pen, ...]


def stops(year: Husbandry, on: date) -> tuple[Stop, ...]:
    """Every house with its pens open on a day, in walking order; pens without a house come last."""
    pens = open_pens(year, on)
    found = [
        Stop(house, tuple(pen for pen in pens if pen.house == house.id)) for house in walking_houses(year)
    ]
    alone = tuple(pen for pen in pens if pen.house not in year.houses)
    return (*found, Stop(None, alone)) if alone else tuple(found)


def pens_on_the_walk(year: Husbandry, on: date) -> Iterator[tuple[House | None, Pen]]:
    """The open pens in walking order, each with its house."""
    for stop in stops(year, on):
        for pen in stop.pens:
            yield stop.house, pen


def birds_in(snapshot: Snapshot, pen: PenId, on: date) -> tuple[Bird, ...]:
    """The living birds of a pen on a day, cocks first, then by mark and name."""
    year = snapshot.husbandry
    there = [
        snapshot.bird(stay.bird)
        for stay in year.stays_in.get(pen, ())
        if stay.covers(on) and stay == year.stay_on(stay.bird, on) and snapshot.has(stay.bird)
    ]
    living = [bird for bird in there if bird.is_living or (bird.left.is_known and on < bird.left.earliest)]
    return tuple(sorted(living, key=lambda bird: (bird.sex is not Sex.COCK, bird.mark, bird.name)))


def layers_in(snapshot: Snapshot, pen: PenId, on: date) -> tuple[Bird, ...]:
    """The birds of a pen that are no cocks and old enough to lay."""
    return tuple(
        bird
        for bird in birds_in(snapshot, pen, on)
        if bird.sex is not Sex.COCK and kind_of(bird).may_breed(Sex.HEN.value, bird.hatched, on)
    )


def house_of_bird(year: Husbandry, bird: Bird, on: date) -> HouseId | None:
    """The house of the pen a bird is in."""
    stay = year.stay_on(bird.id, on)
    return year.pens[stay.pen].house if stay is not None else None


def house_of_apart(snapshot: Snapshot, apart: Apart, on: date) -> HouseId | None:
    """Where a bird set apart is to be looked at: the house of its pen, else the house or pen its place names."""
    year = snapshot.husbandry
    if (stay := year.stay_on(apart.bird, on)) is not None:
        return year.pens[stay.pen].house
    place = apart.place.strip().casefold()
    for house in year.houses.values():
        if house.name.casefold() == place:
            return house.id
    pen = year.pen_named(apart.place)
    return pen.house if pen is not None else None


def house_of_sitting(snapshot: Snapshot, sitting: Sitting, on: date) -> HouseId | None:
    """The house of the broody that sits; None for a machine or a broody in no pen."""
    broody = sitting.broody
    if broody is None or not snapshot.has(broody):
        return None
    return house_of_bird(snapshot.husbandry, snapshot.bird(broody), on)
