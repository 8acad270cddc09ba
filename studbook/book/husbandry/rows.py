"""The rows of the year as the rest of the program sees them: frozen, free of any database.

Days are exact local dates. A span of days includes its first and its last day: a bird moved on a day is in the
pen it left and in the pen it came to on that day.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from functools import cached_property
from typing import Any, TypeVar

from studbook.book.husbandry.choosing_rows import (
    Ban,
    Choice,
    Plan,
    PlannedBird,
    PlannedPen,
    Rotation,
    RotationPen,
)
from studbook.book.ids import (
    ApartId,
    BanId,
    BatchId,
    BatchPairId,
    BirdId,
    CandlingId,
    ChoiceId,
    CollectionId,
    ConditionId,
    ContactId,
    EggFateId,
    EggUseId,
    FigureId,
    HatchlingId,
    HouseId,
    JobId,
    MachineId,
    MatingId,
    MixedInId,
    MoveId,
    OriginId,
    PenId,
    PlanId,
    PlannedBirdId,
    PlannedPenId,
    ReadingId,
    RotationId,
    RotationPenId,
    SittingId,
    StayId,
    TickId,
    TrialHenId,
    TrialId,
)
from studbook.season.practice import ApartReason

K = TypeVar("K")
V = TypeVar("V")


@dataclass(frozen=True, slots=True)
class House:
    """A building with pens; `position` is its place on the keeper's walk."""

    id: HouseId
    name: str
    position: int = 0
    note: str = ""


@dataclass(frozen=True, slots=True)
class Pen:
    """Where a group of birds is kept. Capacities are birds; None is not said. `closed` is its last day."""

    id: PenId
    name: str
    house: HouseId | None = None
    position: int = 0
    room_large: int | None = None
    room_bantams: int | None = None
    closed: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Stay:
    """One bird in one pen from a day to a day; `until` is None while it is there."""

    id: StayId
    bird: BirdId
    pen: PenId
    since: date
    until: date | None = None
    note: str = ""

    def covers(self, day: date) -> bool:
        """True when the bird was in the pen on that day."""
        return self.since <= day and (self.until is None or day <= self.until)


@dataclass(frozen=True, slots=True)
class Move:
    """A planned move: the bird goes to `pen` (None: out of its pen) on a day to come."""

    id: MoveId
    bird: BirdId
    pen: PenId | None
    on: date
    note: str = ""


class MatingKind(StrEnum):
    """How a cock met a hen outside a pen."""

    VISIT = "visit"
    BORROWED = "borrowed cock"
    INSEMINATION = "insemination"


@dataclass(frozen=True, slots=True)
class Mating:
    """A dated meeting outside a pen. A cock not in the book is told in `outside`."""

    id: MatingId
    hen: BirdId
    kind: MatingKind
    since: date
    until: date
    cock: BirdId | None = None
    outside: str = ""
    note: str = ""


class ConditionKind(StrEnum):
    """What keeps a hen out of the possible dams, or tells her eggs from others."""

    BROODY = "broody"
    MOULTING = "moulting"
    NOT_LAYING = "not laying"
    EGG_COLOUR = "egg colour"


@dataclass(frozen=True, slots=True)
class Condition:
    """A hen's condition over days; `text` is the colour of her eggs where that is its kind."""

    id: ConditionId
    bird: BirdId
    kind: ConditionKind
    since: date
    until: date | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Collection:
    """Eggs gathered on a day from one pen, or from one hen when she is known.

    `weights` are those of single eggs in grams, as many as were weighed.
    """

    id: CollectionId
    on: date
    eggs: int
    pen: PenId | None = None
    hen: BirdId | None = None
    weights: tuple[float, ...] = ()
    colour: str = ""
    note: str = ""


class EggUseKind(StrEnum):
    """What becomes of eggs that are not set, and of day-olds that never enter the book."""

    SOLD = "sold for hatching"
    GIVEN = "given for hatching"
    EATEN = "eaten"
    SPOILED = "spoiled"
    DAY_OLDS_SOLD = "day-olds sold"


@dataclass(frozen=True, slots=True)
class EggUse:
    """Eggs (or day-olds) that left without becoming birds of the book."""

    id: EggUseId
    on: date
    kind: EggUseKind
    eggs: int
    pen: PenId | None = None
    hen: BirdId | None = None
    taker: ContactId | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Machine:
    """An incubator or hatcher; `places` is how many eggs it takes."""

    id: MachineId
    name: str
    places: int | None = None
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Sitting:
    """Eggs set on one day under one broody (or two that share) or in one machine.

    `days` are the keeper's own incubation days, None for those of the species. `parted` is the day the eggs were
    parted into compartments, `closed` the day the sitting was counted out.
    """

    id: SittingId
    set_on: date
    name: str = ""
    species: str = "chicken"
    broody: BirdId | None = None
    second_broody: BirdId | None = None
    machine: MachineId | None = None
    days: int | None = None
    parted: date | None = None
    closed: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Batch:
    """The eggs of a sitting that share what is known of their parents.

    They come from a pen, from one hen, from another sitting (`moved_from`), or from outside the book (`outside`
    tells what was told of their parents). `colour` is that of
    the shell where it tells hens apart; `compartment` names where they lie apart to hatch.
    """

    id: BatchId
    sitting: SittingId
    eggs: int
    pen: PenId | None = None
    hen: BirdId | None = None
    laid_from: date | None = None
    laid_to: date | None = None
    colour: str = ""
    compartment: str = ""
    moved_from: BatchId | None = None
    outside: str = ""
    origin: OriginId | None = None
    trial: TrialId | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class MixedIn:
    """Some of a batch's eggs that come from another pen or hen and cannot be told from the others."""

    id: MixedInId
    batch: BatchId
    eggs: int
    pen: PenId | None = None
    hen: BirdId | None = None
    laid_from: date | None = None
    laid_to: date | None = None


@dataclass(frozen=True, slots=True)
class BatchPair:
    """A candidate pair the keeper gives to a batch in place of what the stays say, with the reason."""

    id: BatchPairId
    batch: BatchId
    sire: BirdId | None
    dam: BirdId | None
    weight: float
    reason: str


@dataclass(frozen=True, slots=True)
class Candling:
    """What was seen of a batch on a day, in eggs; it may be repeated and decides nothing by itself."""

    id: CandlingId
    batch: BatchId
    on: date
    alive: int = 0
    clear: int = 0
    early_dead: int = 0
    late_dead: int = 0
    doubtful: int = 0
    pipped: int = 0
    note: str = ""

    @property
    def seen(self) -> int:
        """The eggs looked at."""
        return self.alive + self.clear + self.early_dead + self.late_dead + self.doubtful + self.pipped


class Fate(StrEnum):
    """The one final fate of an egg that was set."""

    CLEAR = "clear"
    EARLY_DEAD = "early dead"
    LATE_DEAD = "late dead"
    PIPPED_DEAD = "pipped and dead"
    HATCHED = "hatched"
    BROKEN = "broken"
    REMOVED = "removed"
    MOVED = "moved"


@dataclass(frozen=True, slots=True)
class EggFate:
    """So many eggs of a batch came to this end. Of hatched ones, how many were helped or died on the first day."""

    id: EggFateId
    batch: BatchId
    fate: Fate
    eggs: int
    on: date | None = None
    helped: int = 0
    died: int = 0
    note: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """A line of a sitting's log: degrees Celsius, per cent of relative humidity, grams of `weighed` eggs together."""

    id: ReadingId
    sitting: SittingId
    on: date
    at: str = ""
    temperature: float | None = None
    humidity: float | None = None
    weight: float | None = None
    weighed: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Hatchling:
    """The batch a bird hatched from: the way from the record of an egg to its chick."""

    id: HatchlingId
    bird: BirdId
    batch: BatchId


class Decision(StrEnum):
    """What the keeper made of a fertility trial."""

    OPEN = "open"
    KEEP = "keep"
    SELL = "sell"
    AGAIN = "test again"


@dataclass(frozen=True, slots=True)
class Trial:
    """A fertility trial of one cock: eggs of named hens, laid from `counts_from`, set and candled to judge him."""

    id: TrialId
    cock: BirdId
    begun: date
    counts_from: date
    ends: date | None = None
    pen: PenId | None = None
    eggs_wanted: int = 19
    share: float = 0.85
    confidence: float = 0.95
    decision: Decision = Decision.OPEN
    decided: date | None = None
    reason: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class TrialHen:
    """One hen of a fertility trial."""

    id: TrialHenId
    trial: TrialId
    hen: BirdId


@dataclass(frozen=True, slots=True)
class Apart:
    """A bird set apart: why, where, since when, when to look at it again, and how it ended."""

    id: ApartId
    bird: BirdId
    reason: ApartReason
    since: date
    place: str = ""
    review: date | None = None
    until: date | None = None
    outcome: str = ""
    note: str = ""


class Every(StrEnum):
    """The unit in which a job comes round."""

    ONCE = "once"
    DAYS = "days"
    WEEKS = "weeks"
    MONTHS = "months"
    YEARS = "years"


@dataclass(frozen=True, slots=True)
class Job:
    """One of the keeper's own jobs, once or every so many days, weeks, months or years."""

    id: JobId
    text: str
    starts: date
    every: Every = Every.ONCE
    count: int = 1
    until: date | None = None
    house: HouseId | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Tick:
    """A task of the diary marked as done. `task` is the diary's lasting name of it."""

    id: TickId
    task: str
    on: date
    note: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of practice the keeper set in place of the program's, such as the days until a hen is clear."""

    id: FigureId
    species: str
    name: str
    value: float
    note: str = ""


@dataclass(frozen=True)
class Husbandry:
    """Every row of the year, by id in the order of writing."""

    houses: Mapping[HouseId, House] = field(default_factory=dict)
    pens: Mapping[PenId, Pen] = field(default_factory=dict)
    stays: Mapping[StayId, Stay] = field(default_factory=dict)
    moves: Mapping[MoveId, Move] = field(default_factory=dict)
    matings: Mapping[MatingId, Mating] = field(default_factory=dict)
    conditions: Mapping[ConditionId, Condition] = field(default_factory=dict)
    collections: Mapping[CollectionId, Collection] = field(default_factory=dict)
    egg_uses: Mapping[EggUseId, EggUse] = field(default_factory=dict)
    machines: Mapping[MachineId, Machine] = field(default_factory=dict)
    sittings: Mapping[SittingId, Sitting] = field(default_factory=dict)
    trials: Mapping[TrialId, Trial] = field(default_factory=dict)
    trial_hens: Mapping[TrialHenId, TrialHen] = field(default_factory=dict)
    batches: Mapping[BatchId, Batch] = field(default_factory=dict)
    mixed_in: Mapping[MixedInId, MixedIn] = field(default_factory=dict)
    batch_pairs: Mapping[BatchPairId, BatchPair] = field(default_factory=dict)
    candlings: Mapping[CandlingId, Candling] = field(default_factory=dict)
    egg_fates: Mapping[EggFateId, EggFate] = field(default_factory=dict)
    readings: Mapping[ReadingId, Reading] = field(default_factory=dict)
    hatchlings: Mapping[HatchlingId, Hatchling] = field(default_factory=dict)
    aparts: Mapping[ApartId, Apart] = field(default_factory=dict)
    jobs: Mapping[JobId, Job] = field(default_factory=dict)
    ticks: Mapping[TickId, Tick] = field(default_factory=dict)
    figures: Mapping[FigureId, Figure] = field(default_factory=dict)
    choices: Mapping[ChoiceId, Choice] = field(default_factory=dict)
    bans: Mapping[BanId, Ban] = field(default_factory=dict)
    plans: Mapping[PlanId, Plan] = field(default_factory=dict)
    planned_pens: Mapping[PlannedPenId, PlannedPen] = field(default_factory=dict)
    planned_birds: Mapping[PlannedBirdId, PlannedBird] = field(default_factory=dict)
    rotations: Mapping[RotationId, Rotation] = field(default_factory=dict)
    rotation_pens: Mapping[RotationPenId, RotationPen] = field(default_factory=dict)

    @cached_property
    def stays_of(self) -> Mapping[BirdId, tuple[Stay, ...]]:
        """The stays of each bird, earliest first."""
        return _grouped(sorted(self.stays.values(), key=_since), lambda stay: stay.bird)

    @cached_property
    def stays_in(self) -> Mapping[PenId, tuple[Stay, ...]]:
        """The stays in each pen, earliest first."""
        return _grouped(sorted(self.stays.values(), key=_since), lambda stay: stay.pen)

    @cached_property
    def matings_of(self) -> Mapping[BirdId, tuple[Mating, ...]]:
        """The matings of each hen, earliest first."""
        return _grouped(sorted(self.matings.values(), key=_since), lambda mating: mating.hen)

    @cached_property
    def conditions_of(self) -> Mapping[BirdId, tuple[Condition, ...]]:
        """The conditions of each bird, earliest first."""
        return _grouped(sorted(self.conditions.values(), key=_since), lambda condition: condition.bird)

    @cached_property
    def collections_on(self) -> Mapping[date, tuple[Collection, ...]]:
        """The collections of each day."""
        return _grouped(self.collections.values(), _on)

    @cached_property
    def batches_of(self) -> Mapping[SittingId, tuple[Batch, ...]]:
        """The batches of each sitting."""
        return _grouped(self.batches.values(), lambda batch: batch.sitting)

    @cached_property
    def batches_of_trial(self) -> Mapping[TrialId, tuple[Batch, ...]]:
        """The batches set to judge each trial."""
        found = _grouped(self.batches.values(), lambda batch: batch.trial)
        return {trial: batches for trial, batches in found.items() if trial is not None}

    @cached_property
    def mixed_into(self) -> Mapping[BatchId, tuple[MixedIn, ...]]:
        """The eggs of other pens or hens mixed into each batch."""
        return _grouped(self.mixed_in.values(), lambda mixed: mixed.batch)

    @cached_property
    def pairs_of(self) -> Mapping[BatchId, tuple[BatchPair, ...]]:
        """The pairs the keeper gave each batch."""
        return _grouped(self.batch_pairs.values(), lambda pair: pair.batch)

    @cached_property
    def candlings_of(self) -> Mapping[BatchId, tuple[Candling, ...]]:
        """The candlings of each batch, earliest first."""
        return _grouped(sorted(self.candlings.values(), key=_on), lambda candling: candling.batch)

    @cached_property
    def fates_of(self) -> Mapping[BatchId, tuple[EggFate, ...]]:
        """The fates of the eggs of each batch."""
        return _grouped(self.egg_fates.values(), lambda fate: fate.batch)

    @cached_property
    def readings_of(self) -> Mapping[SittingId, tuple[Reading, ...]]:
        """The log of each sitting, earliest first."""
        return _grouped(
            sorted(self.readings.values(), key=lambda reading: (reading.on, reading.at)),
            lambda reading: reading.sitting,
        )

    @cached_property
    def birds_of(self) -> Mapping[BatchId, tuple[BirdId, ...]]:
        """The birds registered from each batch."""
        found = _grouped(self.hatchlings.values(), lambda hatchling: hatchling.batch)
        return {batch: tuple(hatchling.bird for hatchling in of_batch) for batch, of_batch in found.items()}

    @cached_property
    def batch_of(self) -> Mapping[BirdId, BatchId]:
        """The batch each bird hatched from, where it is known."""
        return {hatchling.bird: hatchling.batch for hatchling in self.hatchlings.values()}

    @cached_property
    def hens_of(self) -> Mapping[TrialId, tuple[BirdId, ...]]:
        """The hens of each trial."""
        found = _grouped(self.trial_hens.values(), lambda row: row.trial)
        return {trial: tuple(row.hen for row in rows) for trial, rows in found.items()}

    @cached_property
    def apart_of(self) -> Mapping[BirdId, tuple[Apart, ...]]:
        """The times each bird was apart, earliest first."""
        return _grouped(sorted(self.aparts.values(), key=_since), lambda apart: apart.bird)

    @cached_property
    def choices_of(self) -> Mapping[BirdId, tuple[Choice, ...]]:
        """What was decided of each bird, the latest season first."""
        return _grouped(
            sorted(self.choices.values(), key=lambda choice: -choice.season), lambda choice: choice.bird
        )

    @cached_property
    def banned_pairs(self) -> Mapping[tuple[BirdId, BirdId], Ban]:
        """The pairs the keeper does not want, by cock and hen."""
        return {(ban.cock, ban.hen): ban for ban in self.bans.values()}

    @cached_property
    def pens_of_plan(self) -> Mapping[PlanId, tuple[PlannedPen, ...]]:
        """The pens of each plan in their order."""
        return _grouped(
            sorted(self.planned_pens.values(), key=lambda planned: planned.position),
            lambda planned: planned.plan,
        )

    @cached_property
    def birds_of_planned_pen(self) -> Mapping[PlannedPenId, tuple[PlannedBird, ...]]:
        """The birds of each planned pen, in the order of writing."""
        return _grouped(self.planned_birds.values(), lambda planned: planned.planned_pen)

    @cached_property
    def pens_of_rotation(self) -> Mapping[RotationId, tuple[RotationPen, ...]]:
        """The pens of each rotation in their order."""
        return _grouped(
            sorted(self.rotation_pens.values(), key=lambda place: place.position),
            lambda place: place.rotation,
        )

    def choice_for(self, bird: BirdId, season: int) -> Choice | None:
        """What was decided of a bird for one season."""
        return next((choice for choice in self.choices_of.get(bird, ()) if choice.season == season), None)

    def stay_on(self, bird: BirdId, day: date) -> Stay | None:
        """The stay of the bird on that day; of a move on that very day, the one it came to."""
        found = [stay for stay in self.stays_of.get(bird, ()) if stay.covers(day)]
        return found[-1] if found else None

    def pen_named(self, name: str) -> Pen | None:
        """The open pen of this name, without regard to case."""
        wanted = name.strip().casefold()
        return next(
            (pen for pen in self.pens.values() if pen.closed is None and pen.name.casefold() == wanted), None
        )

    def eggs_left(self, batch: Batch) -> int:
        """The eggs of a batch that have no fate yet."""
        return batch.eggs - sum(fate.eggs for fate in self.fates_of.get(batch.id, ()))

    def hatched(self, batch: BatchId) -> int:
        """The chicks that hatched of a batch."""
        return sum(fate.eggs for fate in self.fates_of.get(batch, ()) if fate.fate is Fate.HATCHED)


def _since(row: Any) -> date:
    since: date = row.since
    return since


def _on(row: Any) -> date:
    on: date = row.on
    return on


def _grouped(rows: Iterable[V], key: Callable[[V], K]) -> dict[K, tuple[V, ...]]:
    found: dict[K, list[V]] = {}
    for row in rows:
        found.setdefault(key(row), []).append(row)
    return {name: tuple(of_name) for name, of_name in found.items()}
