"""The pen board: who is in which pen on a day, how many hens a cock has, what their chicks would be, what room is left.

A board is of the evening of its day: a bird moved on that day stands in the pen it came to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from studbook.book.husbandry.rows import Apart, Condition, House, Husbandry, Move, Pen, Stay
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BirdId, HouseId, PenId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.planning.candidates import is_old_enough, kind_of
from studbook.planning.limits import LIMIT
from studbook.planning.pens.asking import asking
from studbook.planning.pens.weight import takes_bantam_room
from studbook.season.paternity import Meeting, clear_date
from studbook.words import fold

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness

Pairs = Mapping[tuple[BirdId, BirdId], float]
"""The F that the chicks of a cock and a hen would have, in the cautious figure."""


@dataclass(frozen=True, slots=True)
class Occupant:
    """A bird in a pen: its stay, what is noted of a hen, and the F of her chicks with each cock that is there."""

    bird: BirdId
    stay: Stay
    conditions: tuple[Condition, ...] = ()
    expected: tuple[tuple[BirdId, float], ...] = ()

    @property
    def worst(self) -> float | None:
        """The highest F of her chicks; None where it is not known or there is no cock."""
        return max((share for _cock, share in self.expected), default=None)


@dataclass(frozen=True, slots=True)
class Room:
    """How many birds more a pen takes, all of one size; None where its capacity is not said. Below 0: too many."""

    large: int | None = None
    bantams: int | None = None

    @property
    def is_over(self) -> bool:
        """True when the pen holds more than it should."""
        return (self.large or 0) < 0 or (self.bantams or 0) < 0


@dataclass(frozen=True)
class PenOn:
    """One pen on a day.

    Attributes
    ----------
    cocks, hens, young
        Who is in it: cocks and hens old enough to breed, then birds that are not or whose sex is unknown.
    since
        The day from which the company is as it is.
    clear
        The day from which eggs of its hens cannot be by an earlier cock; None where there was none.
    covered
        The day from which the cocks there now cover every hen; None without cocks or hens.
    coming, going
        The planned moves into it and out of it.
    """

    pen: Pen
    cocks: tuple[Occupant, ...] = ()
    hens: tuple[Occupant, ...] = ()
    young: tuple[Occupant, ...] = ()
    room: Room = Room()
    since: date | None = None
    clear: date | None = None
    covered: date | None = None
    coming: tuple[Move, ...] = ()
    going: tuple[Move, ...] = ()

    @property
    def occupants(self) -> tuple[Occupant, ...]:
        """Everybody in it: cocks, hens, then the others."""
        return (*self.cocks, *self.hens, *self.young)

    @property
    def hens_per_cock(self) -> float | None:
        """How many hens each cock has; None without either."""
        return len(self.hens) / len(self.cocks) if self.cocks and self.hens else None

    @property
    def mean_expected(self) -> float | None:
        """The mean F of the chicks over all pairs in it; None where it is not known."""
        shares = [share for hen in self.hens for _cock, share in hen.expected]
        return sum(shares) / len(shares) if shares else None

    @property
    def certain(self) -> date | None:
        """The day from which every egg is by a cock that is there now: clear of the earlier and covered."""
        return max((day for day in (self.clear, self.covered) if day is not None), default=None)


@dataclass(frozen=True)
class HouseOn:
    """The pens of a house in walking order; `house` is None for pens that stand on their own."""

    house: House | None
    pens: tuple[PenOn, ...]


@dataclass(frozen=True)
class Board:
    """Who is where on a day.

    Attributes
    ----------
    houses
        The houses in walking order, then the pens that stand on their own.
    loose
        The birds of the flock in no pen and not apart.
    apart
        The birds set apart on that day.
    moves
        The planned moves, the earliest first; none on a board of a past day.
    limit
        The expected F above which a pair is too close.
    """

    day: date
    houses: tuple[HouseOn, ...] = ()
    loose: tuple[BirdId, ...] = ()
    apart: tuple[Apart, ...] = ()
    moves: tuple[Move, ...] = ()
    limit: float = LIMIT

    @property
    def pens(self) -> tuple[PenOn, ...]:
        """Every pen in walking order."""
        return tuple(pen for house in self.houses for pen in house.pens)

    @property
    def pairs(self) -> Pairs:
        """The F of the chicks of every pair of which it is known."""
        return {
            (cock, hen.bird): share for pen in self.pens for hen in pen.hens for cock, share in hen.expected
        }

    def pen(self, pen_id: PenId) -> PenOn | None:
        """One pen of the board."""
        return next((found for found in self.pens if found.pen.id == pen_id), None)

    def with_pairs(self, pairs: Pairs) -> Board:
        """The same board with figures that are known already."""
        houses = (
            replace(house, pens=tuple(_with_figures(pen, pairs) for pen in house.pens))
            for house in self.houses
        )
        return replace(self, houses=tuple(houses))


def board(
    snapshot: Snapshot,
    day: date,
    today: date | None = None,
    relatedness: Relatedness | None = None,
    limit: float = LIMIT,
) -> Board:
    """The pen board of a day.

    `today` (by default `day`) decides whether planned moves are still to come. Without `relatedness`, best the
    cautious one, no F is given. `limit` is handed on to the warnings.
    """
    year = snapshot.husbandry
    here = {bird.id: bird for bird in snapshot.birds if is_there(bird, day)}
    stays = {bird: stay for bird, stay in stays_on(year, day).items() if bird in here}
    aparts = tuple(apart for apart in _aparts_on(year, day) if apart.bird in here)
    is_past = today is not None and day < today
    moves = () if is_past else tuple(move for move in walking_moves(year) if snapshot.has(move.bird))
    inside: dict[PenId, list[Stay]] = {}
    for stay in stays.values():
        inside.setdefault(stay.pen, []).append(stay)
    whose = asking(snapshot)
    pens = {
        pen.id: _pen_on(snapshot, pen, inside.get(pen.id, ()), day, moves, whose)
        for pen in year.pens.values()
        if is_open(pen, day) or pen.id in inside
    }
    if relatedness is not None:
        expected = expected_pairs(pens.values(), relatedness)
        pens = {pen_id: _with_figures(pen, expected) for pen_id, pen in pens.items()}
    taken = {*stays, *(apart.bird for apart in aparts)}
    loose = sorted((bird for bird in here.values() if bird.id not in taken), key=_order_of_birds)
    houses = tuple(_houses(year, pens))
    return Board(day, houses, tuple(bird.id for bird in loose), aparts, moves, limit)


def is_there(bird: Bird, day: date) -> bool:
    """True for a bird that was in the flock on the evening of a day, as far as its dates tell."""
    if bird.placeholder or bird.struck is not None:
        return False
    if bird.hatched.is_known and bird.hatched.earliest > day:
        return False
    if bird.arrived is not None and bird.arrived.is_known and bird.arrived.earliest > day:
        return False
    return bird.is_living or (bird.left.is_known and bird.left.earliest > day)


def stays_on(year: Husbandry, day: date) -> dict[BirdId, Stay]:
    """The stay of each bird on the evening of a day."""
    found: dict[BirdId, Stay] = {}
    for stay in year.stays.values():
        if stay.since <= day and (stay.until is None or day < stay.until):
            held = found.get(stay.bird)
            if held is None or held.since <= stay.since:
                found[stay.bird] = stay
    return found


def is_open(pen: Pen, day: date) -> bool:
    """True for a pen that was not closed by that day."""
    return pen.closed is None or day < pen.closed


def open_pens(year: Husbandry, day: date) -> tuple[Pen, ...]:
    """The pens in use on a day, in walking order."""
    return walking_pens(year, (pen for pen in year.pens.values() if is_open(pen, day)))


def walking_pens(year: Husbandry, pens: Iterable[Pen]) -> tuple[Pen, ...]:
    """Pens in the order of the keeper's walk: house by house, those on their own last."""
    order = {house.id: place for place, house in enumerate(walking_houses(year))}

    def key(pen: Pen) -> tuple[int, int, str]:
        return order.get(pen.house, len(order)) if pen.house else len(order), pen.position, fold(pen.name)

    return tuple(sorted(pens, key=key))


def walking_houses(year: Husbandry) -> tuple[House, ...]:
    """The houses in walking order."""
    return tuple(sorted(year.houses.values(), key=lambda house: (house.position, fold(house.name))))


def walking_moves(year: Husbandry) -> tuple[Move, ...]:
    """The planned moves, the earliest first."""
    return tuple(sorted(year.moves.values(), key=lambda move: move.on))


def _aparts_on(year: Husbandry, day: date) -> Iterable[Apart]:
    return sorted(
        (
            apart
            for apart in year.aparts.values()
            if apart.since <= day and (apart.until is None or day < apart.until)
        ),
        key=lambda apart: apart.since,
    )


def _houses(year: Husbandry, pens: Mapping[PenId, PenOn]) -> Iterable[HouseOn]:
    by_house: dict[HouseId | None, list[PenOn]] = {}
    for pen in walking_pens(year, (found.pen for found in pens.values())):
        house = pen.house if pen.house in year.houses else None
        by_house.setdefault(house, []).append(pens[pen.id])
    for found in walking_houses(year):
        if found.id in by_house:
            yield HouseOn(found, tuple(by_house[found.id]))
    if None in by_house:
        yield HouseOn(None, tuple(by_house[None]))


def _order_of_birds(bird: Bird) -> tuple[int, str]:
    return list(Sex).index(bird.sex), fold(bird.called)


def _pen_on(
    snapshot: Snapshot, pen: Pen, inside: Sequence[Stay], day: date, moves: Sequence[Move], whose: WhoseEgg
) -> PenOn:
    year = snapshot.husbandry
    birds = sorted(
        ((snapshot.bird(stay.bird), stay) for stay in inside), key=lambda found: _order_of_birds(found[0])
    )
    cocks: list[Occupant] = []
    hens: list[Occupant] = []
    young: list[Occupant] = []
    for bird, stay in birds:
        occupant = Occupant(bird.id, stay, conditions_on(year, bird.id, day))
        if bird.sex is Sex.UNKNOWN or not is_old_enough(bird, day):
            young.append(occupant)
        else:
            (cocks if bird.sex is Sex.COCK else hens).append(occupant)
    names = tuple(cock.bird for cock in cocks)
    there = {stay.bird for stay in inside}
    return PenOn(
        pen,
        tuple(cocks),
        tuple(hens),
        tuple(young),
        room_left(pen, [bird for bird, _stay in birds], day),
        _company_since(year, pen.id, inside, day),
        _clear(hens, names, day, whose, snapshot),
        _covered(hens, names, day, whose, snapshot),
        tuple(move for move in moves if move.pen == pen.id and move.bird not in there),
        tuple(move for move in moves if move.bird in there and move.pen != pen.id),
    )


def conditions_on(year: Husbandry, bird: BirdId, day: date) -> tuple[Condition, ...]:
    """What is noted of a bird on the evening of a day."""
    return tuple(
        condition
        for condition in year.conditions_of.get(bird, ())
        if condition.since <= day and (condition.until is None or day < condition.until)
    )


def room_left(pen: Pen, birds: Iterable[Bird], day: date) -> Room:
    """How many birds more a pen takes: large fowl, or bantams in their place.

    A pen with a figure for each size is filled by shares; with one figure every bird takes one place. Chicks with
    their mother take none.
    """
    counted = [bird for bird in birds if not _is_chick(bird, day)]
    bantams = sum(takes_bantam_room(bird) for bird in counted)
    large = len(counted) - bantams
    if pen.room_large is not None and pen.room_bantams is not None:
        if not pen.room_large or not pen.room_bantams:
            return Room(pen.room_large - large, pen.room_bantams - bantams)
        free = 1 - large / pen.room_large - bantams / pen.room_bantams
        return Room(_whole(free * pen.room_large), _whole(free * pen.room_bantams))
    if pen.room_large is not None:
        return Room(large=pen.room_large - len(counted))
    if pen.room_bantams is not None:
        return Room(bantams=pen.room_bantams - len(counted))
    return Room()


def _whole(places: float) -> int:
    """Whole places in a share of room: a part of one is none, and a part too much is one too many."""
    return int((places + 1e-9) // 1)


def _is_chick(bird: Bird, day: date) -> bool:
    return bird.hatched.is_known and (day - bird.hatched.latest).days < kind_of(bird).chick_until_days


def _company_since(year: Husbandry, pen: PenId, inside: Iterable[Stay], day: date) -> date | None:
    """The day of the last coming or going; None for an empty pen."""
    came = [stay.since for stay in inside]
    if not came:
        return None
    went = [stay.until for stay in year.stays_in.get(pen, ()) if stay.until is not None and stay.until <= day]
    return max(came + went)


def meetings_by(whose: WhoseEgg, hen: BirdId, day: date) -> tuple[Meeting, ...]:
    """The meetings of a hen as they stood on the evening of a day."""
    return tuple(
        replace(meeting, last=None) if meeting.last is not None and meeting.last > day else meeting
        for meeting in whose.meetings(hen)
        if meeting.first is None or meeting.first <= day
    )


def _clear(
    hens: Iterable[Occupant], cocks: tuple[BirdId, ...], day: date, whose: WhoseEgg, snapshot: Snapshot
) -> date | None:
    days = [
        clear_date(
            meetings_by(whose, hen.bird, day),
            whose.practice(snapshot.bird(hen.bird).species),
            kept=cocks,
        )
        for hen in hens
    ]
    return max((found for found in days if found is not None), default=None)


def _covered(
    hens: Sequence[Occupant], cocks: tuple[BirdId, ...], day: date, whose: WhoseEgg, snapshot: Snapshot
) -> date | None:
    """The day from which the last of the hens is covered by one of the cocks."""
    days: list[date] = []
    for hen in hens if cocks else ():
        covered = timedelta(whose.practice(snapshot.bird(hen.bird).species).covered_days)
        begun = [
            meeting.counts_from
            for meeting in meetings_by(whose, hen.bird, day)
            if meeting.cock in cocks and meeting.last is None and meeting.counts_from is not None
        ]
        if begun:
            days.append(min(begun) + covered)
    return max(days, default=None)


def expected_pairs(pens: Iterable[PenOn], relatedness: Relatedness) -> Pairs:
    """The F of the chicks of every cock and hen that share a pen."""
    shared = [pen for pen in pens if pen.cocks and pen.hens]
    cocks = list(dict.fromkeys(cock.bird for pen in shared for cock in pen.cocks))
    hens = list(dict.fromkeys(hen.bird for pen in shared for hen in pen.hens))
    if not cocks or not hens:
        return {}
    figures = relatedness.kinship(cocks, hens)
    row = {cock: place for place, cock in enumerate(cocks)}
    column = {hen: place for place, hen in enumerate(hens)}
    return {
        (cock.bird, hen.bird): float(figures[row[cock.bird], column[hen.bird]])
        for pen in shared
        for cock in pen.cocks
        for hen in pen.hens
    }


def _with_figures(pen: PenOn, expected: Pairs) -> PenOn:
    if not pen.cocks:
        return pen
    hens = tuple(
        replace(
            hen,
            expected=tuple(
                (cock.bird, expected[cock.bird, hen.bird])
                for cock in pen.cocks
                if (cock.bird, hen.bird) in expected
            ),
        )
        for hen in pen.hens
    )
    return replace(pen, hens=hens)
