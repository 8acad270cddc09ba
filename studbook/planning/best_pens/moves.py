"""A plan made into planned moves: who goes where on a day, who is there already, and who is in the way."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from studbook.book.husbandry.rows import Move
from studbook.book.ids import BirdId, MoveId, PenId
from studbook.book.records import Snapshot
from studbook.planning.best_pens.present import whereabouts
from studbook.planning.best_pens.wishes import BestPen, Wishes
from studbook.planning.pens.board import is_there, stays_on


@dataclass(frozen=True, slots=True)
class Stranger:
    """A bird that is in a pen of the plan and not of it; `comes` when it is only planned to go there."""

    bird: BirdId
    pen: PenId
    comes: bool = False


@dataclass(frozen=True)
class MovesOfPlan:
    """What a plan asks for in the pens.

    Attributes
    ----------
    moves
        The moves to be planned.
    there
        Birds that are where they belong already, or are planned to go there.
    replaced
        Planned moves of the birds that lead elsewhere and are taken back.
    strangers
        Birds that would be in a pen of the plan and are not of it.
    homeless
        The cocks whose pens have no place yet: nothing can be planned for them.
    """

    moves: tuple[Move, ...]
    there: tuple[BirdId, ...]
    replaced: tuple[Move, ...]
    strangers: tuple[Stranger, ...]
    homeless: tuple[BirdId, ...]


def moves_of_plan(
    snapshot: Snapshot,
    pens: Sequence[BestPen],
    on: date,
    today: date,
    *,
    out: Iterable[BirdId] = (),
    out_to: PenId | None = None,
    note: str = "",
) -> MovesOfPlan:
    """The moves a plan asks for on a day.

    Of the strangers in `out`, those who are in a pen of the plan go to `out_to` on the same day (None: no pen), and
    those who are only planned to come stay where they are.
    """
    year = snapshot.husbandry
    now = {bird: stay.pen for bird, stay in stays_on(year, today).items()}
    going: dict[BirdId, list[Move]] = {}
    for move in year.moves.values():
        going.setdefault(move.bird, []).append(move)
    wanted: dict[BirdId, PenId | None] = {
        bird: pen.place for pen in pens if pen.place is not None for bird in (pen.cock, *pen.hens)
    }
    places = {pen.place for pen in pens if pen.place is not None}
    later = whereabouts(snapshot, today)
    strangers = tuple(
        Stranger(bird, pen, now.get(bird) != pen)
        for bird, pen in later.items()
        if pen in places and bird not in wanted and is_there(snapshot.bird(bird), today)
    )
    leaving = [stranger for stranger in strangers if stranger.bird in set(out)]
    wanted.update(dict.fromkeys((stranger.bird for stranger in leaving if not stranger.comes), out_to))
    moves, there = [], []
    replaced = [
        move
        for stranger in leaving
        if stranger.comes
        for move in going.get(stranger.bird, ())
        if move.pen == stranger.pen
    ]
    for bird, place in wanted.items():
        planned = going.get(bird, [])
        fitting = [move for move in planned if move.pen == place]
        if fitting:
            replaced += [move for move in planned if move is not fitting[-1]]
            there.append(bird)
            continue
        replaced += planned
        if now.get(bird) == place:
            there.append(bird)
        else:
            moves.append(Move(MoveId(""), bird, place, on, note))
    return MovesOfPlan(
        tuple(moves),
        tuple(there),
        tuple(replaced),
        strangers,
        tuple(pen.cock for pen in pens if pen.place is None),
    )


def fewest_moves(
    snapshot: Snapshot,
    pens: Sequence[BestPen],
    wishes: Wishes,
    today: date,
    taken: Iterable[PenId] = (),
) -> tuple[BestPen, ...]:
    """The pens in the places where most of their birds are already or will be, as far as they are large enough.

    A pen stays in the yard it was given; places in `taken`, where reserve males go, are left to them.
    """
    if not wishes.places or any(pen.place is None for pen in pens):
        return tuple(pens)
    later = whereabouts(snapshot, today)
    away = {place.pen for place in wishes.places if place.second_yard}
    kept = set(taken)
    places: dict[int, PenId] = {}
    for yard in (False, True):
        fits = {
            place.pen: place.hens
            for place in wishes.places
            if place.second_yard is yard and place.pen not in kept
        }
        own = {at: pen for at, pen in enumerate(pens) if (pen.place in away) is yard}
        places |= _arranged(own, fits, later) or {at: pen.place for at, pen in own.items() if pen.place}
    return tuple(replace(pen, place=places[at]) for at, pen in enumerate(pens))


def _arranged(
    pens: Mapping[int, BestPen], fits: Mapping[PenId, int | None], later: Mapping[BirdId, PenId]
) -> dict[int, PenId]:
    """A place for each pen, that with most of its birds first; empty when they do not all fit so."""

    def held(at: int, place: PenId) -> int:
        return sum(later.get(bird) == place for bird in (pens[at].cock, *pens[at].hens))

    def has_room(at: int, place: PenId) -> bool:
        room = fits[place]
        return room is None or len(pens[at].hens) <= room

    found: dict[int, PenId] = {}
    order = sorted(((at, place) for at in pens for place in fits), key=lambda pair: (-held(*pair), pair[0]))
    for at, place in order:
        if at not in found and place not in found.values() and has_room(at, place) and held(at, place):
            found[at] = place
    free = [place for place in fits if place not in found.values()]
    free.sort(key=lambda place: float("inf") if fits[place] is None else float(fits[place] or 0))
    for at in sorted((at for at in pens if at not in found), key=lambda at: len(pens[at].hens)):
        fitting = [place for place in free if has_room(at, place)]
        if not fitting:
            return {}
        found[at] = fitting[0]
        free.remove(fitting[0])
    return found
