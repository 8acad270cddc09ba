"""A plan made into planned moves: who goes where on a day, who is there already, and who is in the way."""

from collections.abc import Iterable, Sequence
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
    snapshot: Snapshot, pens: Sequence[BestPen], wishes: Wishes, today: date
) -> tuple[BestPen, ...]:
    """The pens in the places where most of their birds are already or will be, as far as they are large enough."""
    if not wishes.places:
        return tuple(pens)
    later = whereabouts(snapshot, today)
    fits = {place.pen: place.hens for place in wishes.places}

    def held(at: int, place: PenId) -> int:
        return sum(later.get(bird) == place for bird in (pens[at].cock, *pens[at].hens))

    order = sorted(
        ((at, place) for at in range(len(pens)) for place in fits),
        key=lambda pair: (-held(*pair), pair[0]),
    )
    taken: dict[int, PenId] = {}
    for at, place in order:
        room = fits[place]
        has_room = room is None or len(pens[at].hens) <= room
        if at not in taken and place not in taken.values() and has_room and held(at, place):
            taken[at] = place
    free = [place for place in fits if place not in taken.values()]
    free.sort(key=lambda place: float("inf") if fits[place] is None else float(fits[place] or 0))
    for at in sorted((at for at in range(len(pens)) if at not in taken), key=lambda at: len(pens[at].hens)):
        fitting = [place for place in free if fits[place] is None or len(pens[at].hens) <= (fits[place] or 0)]
        if not fitting:
            return tuple(pens)  # they fit as they were placed, and not in another way that was found
        taken[at] = fitting[0]
        free.remove(fitting[0])
    return tuple(replace(pen, place=taken[at]) for at, pen in enumerate(pens))
