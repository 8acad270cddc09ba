"""The pens as a keeper has them or has planned them: what a better plan is measured against."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from studbook.book.husbandry.rows import Husbandry
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Sex, Snapshot
from studbook.planning.best_pens.wishes import BestPen
from studbook.planning.candidates import is_old_enough
from studbook.planning.pens.board import is_there, stays_on, walking_moves, walking_pens


@dataclass(frozen=True, slots=True)
class Company:
    """Cocks and hens that run together; a planned pen has one cock."""

    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    place: PenId | None = None

    @property
    def breeds(self) -> bool:
        """True with a cock and a hen."""
        return bool(self.cocks and self.hens)


def company(pen: BestPen) -> Company:
    """A pen of a plan as the company it makes."""
    return Company((pen.cock,), pen.hens, pen.place)


def whereabouts(snapshot: Snapshot, today: date) -> dict[BirdId, PenId]:
    """Where each bird of the flock is once every planned move is carried out; birds in no pen are left out."""
    year = snapshot.husbandry
    held = {bird: stay.pen for bird, stay in stays_on(year, today).items()}
    for move in walking_moves(year):
        if move.pen is None:
            held.pop(move.bird, None)
        else:
            held[move.bird] = move.pen
    return {
        bird: pen for bird, pen in held.items() if snapshot.has(bird) and is_there(snapshot.bird(bird), today)
    }


def present_pens(snapshot: Snapshot, species: str, today: date) -> tuple[Company, ...]:
    """The breeding pens of a species as they stand with what is planned already, in walking order."""
    return companies(snapshot, species, today, whereabouts(snapshot, today))


def companies(
    snapshot: Snapshot, species: str, today: date, held: Mapping[BirdId, PenId]
) -> tuple[Company, ...]:
    """The pens in which a grown cock and a grown hen of a species are together."""
    cocks: dict[PenId, list[BirdId]] = {}
    hens: dict[PenId, list[BirdId]] = {}
    for bird_id, pen in held.items():
        bird = snapshot.bird(bird_id)
        if bird.species != species or bird.sex is Sex.UNKNOWN or not is_old_enough(bird, today):
            continue
        (cocks if bird.sex is Sex.COCK else hens).setdefault(pen, []).append(bird_id)
    year = snapshot.husbandry
    both = [year.pens[pen] for pen in cocks if pen in hens and pen in year.pens]

    def called(birds: list[BirdId]) -> tuple[BirdId, ...]:
        return tuple(sorted(birds, key=lambda bird: snapshot.bird(bird).called.casefold()))

    return tuple(
        Company(called(cocks[pen.id]), called(hens[pen.id]), pen.id) for pen in walking_pens(year, both)
    )


def bred_in(snapshot: Snapshot, species: str, since: date, today: date) -> frozenset[PenId]:
    """The pens in which a cock and a hen of a species were together between two days."""
    year = snapshot.husbandry
    found = set()
    for pen, stays in year.stays_in.items():
        spans: dict[Sex, list[tuple[date, date]]] = {Sex.COCK: [], Sex.HEN: []}
        for stay in stays:
            if not snapshot.has(stay.bird):
                continue
            bird = snapshot.bird(stay.bird)
            until = min(stay.until or today, today)
            begun = max(stay.since, since)
            if (
                bird.species == species
                and bird.sex in spans
                and begun <= until
                and is_old_enough(bird, until)
            ):
                spans[bird.sex].append((begun, until))
        if any(
            max(first, other_first) <= min(last, other_last)
            for first, last in spans[Sex.COCK]
            for other_first, other_last in spans[Sex.HEN]
        ):
            found.add(pen)
    return frozenset(found)


def planned_breeding(year: Husbandry, pens: tuple[Company, ...]) -> frozenset[PenId]:
    """The open pens of some companies."""
    return frozenset(
        pen.place
        for pen in pens
        if pen.place is not None and pen.place in year.pens and year.pens[pen.place].closed is None
    )
