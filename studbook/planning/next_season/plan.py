"""A season planned backwards: the wish, what it takes, and what may come of it."""

from dataclasses import dataclass, replace
from datetime import date

from studbook.book.husbandry.rows import Machine
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Snapshot
from studbook.planning.next_season.figures import FlockFigures, flock_figures, with_own
from studbook.planning.next_season.schedule import Lying, Means, Schedule, last_setting, schedule
from studbook.planning.next_season.wish import CHANCES, SPAN, Way, Wish, laying_hens, machines_in_use
from studbook.planning.pens.board import open_pens, room_left, stays_on
from studbook.planning.sittings.days import plan_of
from studbook.season.backwards import Yield, chances, eggs_for, yield_of
from studbook.season.incubation import Incubation, incubation, kinds_of
from studbook.season.practice import Practice, practice

_SMALL_KINDS = {"chicken": "bantam", "duck": "call duck"}


@dataclass(frozen=True, slots=True)
class RoomForThem:
    """The room of the pens in use: all their places, those free now, and pens whose size is not told."""

    places: int
    free: int
    untold: int


@dataclass(frozen=True)
class SeasonPlan:
    """What a wish takes, and what may come of it.

    Attributes
    ----------
    eggs
        The fewest eggs for the wish; None when no number does.
    by_chance
        The fewest eggs for each of `CHANCES`.
    expected
        What those eggs come to; None without eggs.
    reachable
        The chance with the eggs that can still be set, where that is fewer; None otherwise.
    surplus
        Cockerels to be expected beyond those wanted.
    """

    wish: Wish
    species: str
    figures: FlockFigures
    kind: Incubation
    practice: Practice
    means: Means
    machines: tuple[Machine, ...]
    eggs: int | None
    by_chance: tuple[tuple[float, int | None], ...]
    expected: Yield | None
    schedule: Schedule
    reachable: float | None
    room: RoomForThem

    @property
    def surplus(self) -> float:
        """The cockerels to be expected beyond those wanted."""
        if self.expected is None:
            return 0.0
        return max(0.0, self.expected.cockerels.mean - self.wish.cockerels)


def plan_season(snapshot: Snapshot, species: str, wish: Wish, today: date) -> SeasonPlan:
    """What a wish takes of this flock, and what may come of it.

    Raises
    ------
    ValueError
        If a number of the wish is below 0.
    """
    figures, kind = _figures(snapshot, species, wish, today)
    own = {row.name: row.value for row in snapshot.husbandry.figures.values() if row.species == species}
    days = practice(species, own)
    machines = machines_in_use(snapshot) if wish.way is Way.MACHINE else ()
    means = _means(snapshot, species, wish, figures, days, machines)
    chain = figures.chain
    shares = sorted({*CHANCES, wish.chance})
    by_share = dict(zip(shares, eggs_for(chain, wish.pullets, wish.cockerels, tuple(shares)), strict=True))
    eggs = by_share[wish.chance]
    made = schedule(eggs or 0, means, kind, wish.choose_on, wish.age_days, today, days.covered_days)
    possible = (eggs or 0) - made.missing - made.late
    reachable = None
    if eggs and possible < eggs:
        reachable = float(chances(chain, wish.pullets, wish.cockerels, possible)[possible])
    return SeasonPlan(
        wish,
        species,
        figures,
        kind,
        days,
        means,
        machines,
        eggs,
        tuple((share, by_share[share]) for share in shares),
        yield_of(chain, eggs, SPAN) if eggs else None,
        made,
        reachable,
        room_for_them(snapshot, figures.is_small, today),
    )


def _figures(snapshot: Snapshot, species: str, wish: Wish, today: date) -> tuple[FlockFigures, Incubation]:
    kinds = kinds_of(species) or kinds_of("chicken")
    usual = incubation(kinds[0])
    figures = flock_figures(
        snapshot, species, wish.way, last_setting(wish.choose_on, usual, wish.age_days), today, wish.age_days
    )
    figures = replace(
        figures,
        fertile=with_own(figures.fertile, wish.fertile, figures.usual),
        hatched=with_own(figures.hatched, wish.hatched, figures.usual),
        reared=with_own(figures.reared, wish.reared, figures.usual),
    )
    small = _SMALL_KINDS.get(species)
    return figures, incubation(small) if figures.is_small and small in kinds and small else usual


def _means(
    snapshot: Snapshot,
    species: str,
    wish: Wish,
    figures: FlockFigures,
    days: Practice,
    machines: tuple[Machine, ...],
) -> Means:
    told = [machine.places for machine in machines]
    places = sum(place for place in told if place is not None) if told and None not in told else None
    broody = figures.broody.eggs if figures.broody is not None and wish.way is Way.BROODY else None
    return Means(
        laying_hens(snapshot, species) if wish.hens is None else wish.hens,
        figures.laying.per_hen_day,
        figures.usual.fit.value,
        max(1, days.storage_warn_days),
        places if wish.way is Way.MACHINE else None,
        broody,
        _lying(snapshot, machines),
    )


def _lying(snapshot: Snapshot, machines: tuple[Machine, ...]) -> tuple[Lying, ...]:
    """The eggs that lie in machines already, until their chicks have hatched."""
    year = snapshot.husbandry
    keys = {machine.id for machine in machines}
    found = []
    for sitting in year.sittings.values():
        if sitting.machine in keys and sitting.closed is None:
            left = sum(max(0, year.eggs_left(batch)) for batch in year.batches_of.get(sitting.id, ()))
            if left:
                days = plan_of(sitting)
                found.append(Lying(sitting.set_on, days.due_last, left))
    return tuple(found)


def room_for_them(snapshot: Snapshot, is_small: bool, today: date) -> RoomForThem:
    """The places of the pens in use on a day, all of them and those free."""
    year = snapshot.husbandry
    inside: dict[PenId, list[BirdId]] = {}
    for bird, stay in stays_on(year, today).items():
        inside.setdefault(stay.pen, []).append(bird)
    places = free = untold = 0
    for pen in open_pens(year, today):
        room = pen.room_bantams if is_small else pen.room_large
        birds = [snapshot.bird(bird) for bird in inside.get(pen.id, ()) if snapshot.has(bird)]
        left = room_left(pen, birds, today)
        more = left.bantams if is_small else left.large
        if room is None or more is None:
            untold += 1
            continue
        places, free = places + room, free + max(0, more)
    return RoomForThem(places, free, untold)
