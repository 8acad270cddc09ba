"""The tables of the year, beside those of the birds; see `rows` for what each holds."""

from datetime import date

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from studbook.book.husbandry.rows import (
    ConditionKind,
    Decision,
    EggUseKind,
    Every,
    Fate,
    MatingKind,
)
from studbook.book.models import Journaled
from studbook.season.practice import ApartReason


class HouseRow(Journaled):
    """A building with pens; `position` is its place on the keeper's walk."""

    __tablename__ = "house"

    name: Mapped[str]
    position: Mapped[int] = mapped_column(default=0)
    note: Mapped[str] = mapped_column(default="")


class PenRow(Journaled):
    """Where a group of birds is kept. Capacities are birds; None is not said. `closed` is its last day."""

    __tablename__ = "pen"

    name: Mapped[str]
    house_key: Mapped[int | None] = mapped_column(ForeignKey("house.key"))
    position: Mapped[int] = mapped_column(default=0)
    room_large: Mapped[int | None]
    room_bantams: Mapped[int | None]
    closed: Mapped[date | None]
    note: Mapped[str] = mapped_column(default="")


class StayRow(Journaled):
    """One bird in one pen from a day to a day; `until` is None while it is there."""

    __tablename__ = "stay"

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    pen_key: Mapped[int] = mapped_column(ForeignKey("pen.key"), index=True)
    since: Mapped[date]
    until: Mapped[date | None]
    note: Mapped[str] = mapped_column(default="")


class MoveRow(Journaled):
    """A planned move: the bird goes to `pen` (None: out of its pen) on a day to come."""

    __tablename__ = "move"

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    pen_key: Mapped[int | None] = mapped_column(ForeignKey("pen.key"), index=True)
    on: Mapped[date]
    note: Mapped[str] = mapped_column(default="")


class MatingRow(Journaled):
    """A dated meeting outside a pen. A cock not in the book is told in `outside`."""

    __tablename__ = "mating"

    hen_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    kind: Mapped[MatingKind]
    since: Mapped[date]
    until: Mapped[date]
    cock_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"), index=True)
    outside: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")


class ConditionRow(Journaled):
    """A hen's condition over days; `text` is the colour of her eggs where that is its kind."""

    __tablename__ = "condition"

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    kind: Mapped[ConditionKind]
    since: Mapped[date]
    until: Mapped[date | None]
    text: Mapped[str] = mapped_column(default="")


class CollectionRow(Journaled):
    """Eggs gathered on a day from one pen, or from one hen when she is known."""

    __tablename__ = "collection"
    __table_args__ = (CheckConstraint("eggs >= 0", name="eggs"), {"sqlite_strict": True})

    on: Mapped[date]
    eggs: Mapped[int]
    pen_key: Mapped[int | None] = mapped_column(ForeignKey("pen.key"), index=True)
    hen_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"), index=True)
    weights: Mapped[tuple[float, ...]] = mapped_column(default=())
    colour: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")


class EggUseRow(Journaled):
    """Eggs (or day-olds) that left without becoming birds of the book."""

    __tablename__ = "egg_use"
    __table_args__ = (CheckConstraint("eggs > 0", name="eggs"), {"sqlite_strict": True})

    on: Mapped[date]
    kind: Mapped[EggUseKind]
    eggs: Mapped[int]
    pen_key: Mapped[int | None] = mapped_column(ForeignKey("pen.key"), index=True)
    hen_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"), index=True)
    taker_key: Mapped[int | None] = mapped_column(ForeignKey("contact.key"))
    note: Mapped[str] = mapped_column(default="")


class MachineRow(Journaled):
    """An incubator or hatcher; `places` is how many eggs it takes."""

    __tablename__ = "machine"

    name: Mapped[str]
    places: Mapped[int | None]
    note: Mapped[str] = mapped_column(default="")
    retired: Mapped[date | None]


class SittingRow(Journaled):
    """Eggs set on one day under one broody (or two that share) or in one machine."""

    __tablename__ = "sitting"

    set_on: Mapped[date]
    name: Mapped[str] = mapped_column(default="")
    species: Mapped[str] = mapped_column(default="chicken")
    broody_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"))
    second_broody_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"))
    machine_key: Mapped[int | None] = mapped_column(ForeignKey("machine.key"))
    days: Mapped[int | None]
    parted: Mapped[date | None]
    closed: Mapped[date | None]
    note: Mapped[str] = mapped_column(default="")


class TrialRow(Journaled):
    """A fertility trial of one cock: eggs of named hens, laid from `counts_from`, set and candled to judge him."""

    __tablename__ = "trial"

    cock_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    begun: Mapped[date]
    counts_from: Mapped[date]
    ends: Mapped[date | None]
    pen_key: Mapped[int | None] = mapped_column(ForeignKey("pen.key"), index=True)
    eggs_wanted: Mapped[int] = mapped_column(default=19)
    share: Mapped[float] = mapped_column(default=0.85)
    confidence: Mapped[float] = mapped_column(default=0.95)
    decision: Mapped[Decision] = mapped_column(default=Decision.OPEN)
    decided: Mapped[date | None]
    reason: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")


class TrialHenRow(Journaled):
    """One hen of a fertility trial."""

    __tablename__ = "trial_hen"

    trial_key: Mapped[int] = mapped_column(ForeignKey("trial.key"), index=True)
    hen_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)


class BatchRow(Journaled):
    """The eggs of a sitting that share what is known of their parents."""

    __tablename__ = "batch"
    __table_args__ = (CheckConstraint("eggs > 0", name="eggs"), {"sqlite_strict": True})

    sitting_key: Mapped[int] = mapped_column(ForeignKey("sitting.key"), index=True)
    eggs: Mapped[int]
    pen_key: Mapped[int | None] = mapped_column(ForeignKey("pen.key"), index=True)
    hen_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"), index=True)
    laid_from: Mapped[date | None]
    laid_to: Mapped[date | None]
    colour: Mapped[str] = mapped_column(default="")
    compartment: Mapped[str] = mapped_column(default="")
    moved_from_key: Mapped[int | None] = mapped_column(ForeignKey("batch.key"))
    outside: Mapped[str] = mapped_column(default="")
    origin_key: Mapped[int | None] = mapped_column(ForeignKey("origin.key"))
    trial_key: Mapped[int | None] = mapped_column(ForeignKey("trial.key"), index=True)
    note: Mapped[str] = mapped_column(default="")


class MixedInRow(Journaled):
    """Some of a batch's eggs that come from another pen or hen and cannot be told from the others."""

    __tablename__ = "mixed_in"
    __table_args__ = (CheckConstraint("eggs > 0", name="eggs"), {"sqlite_strict": True})

    batch_key: Mapped[int] = mapped_column(ForeignKey("batch.key"), index=True)
    eggs: Mapped[int]
    pen_key: Mapped[int | None] = mapped_column(ForeignKey("pen.key"), index=True)
    hen_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"), index=True)
    laid_from: Mapped[date | None]
    laid_to: Mapped[date | None]


class BatchPairRow(Journaled):
    """A candidate pair the keeper gives to a batch in place of what the stays say, with the reason."""

    __tablename__ = "batch_pair"
    __table_args__ = (CheckConstraint("weight > 0 AND weight <= 1", name="weight"), {"sqlite_strict": True})

    batch_key: Mapped[int] = mapped_column(ForeignKey("batch.key"), index=True)
    sire_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"))
    dam_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"))
    weight: Mapped[float]
    reason: Mapped[str]


class CandlingRow(Journaled):
    """What was seen of a batch on a day, in eggs; it may be repeated and decides nothing by itself."""

    __tablename__ = "candling"

    batch_key: Mapped[int] = mapped_column(ForeignKey("batch.key"), index=True)
    on: Mapped[date]
    alive: Mapped[int] = mapped_column(default=0)
    clear: Mapped[int] = mapped_column(default=0)
    early_dead: Mapped[int] = mapped_column(default=0)
    late_dead: Mapped[int] = mapped_column(default=0)
    doubtful: Mapped[int] = mapped_column(default=0)
    pipped: Mapped[int] = mapped_column(default=0)
    note: Mapped[str] = mapped_column(default="")


class EggFateRow(Journaled):
    """So many eggs of a batch came to this end. Of hatched ones, how many were helped or died on the first day."""

    __tablename__ = "egg_fate"
    __table_args__ = (CheckConstraint("eggs > 0", name="eggs"), {"sqlite_strict": True})

    batch_key: Mapped[int] = mapped_column(ForeignKey("batch.key"), index=True)
    fate: Mapped[Fate]
    eggs: Mapped[int]
    on: Mapped[date | None]
    helped: Mapped[int] = mapped_column(default=0)
    died: Mapped[int] = mapped_column(default=0)
    note: Mapped[str] = mapped_column(default="")


class ReadingRow(Journaled):
    """A line of a sitting's log: degrees Celsius, per cent of relative humidity, grams of `weighed` eggs together."""

    __tablename__ = "reading"

    sitting_key: Mapped[int] = mapped_column(ForeignKey("sitting.key"), index=True)
    on: Mapped[date]
    at: Mapped[str] = mapped_column(default="")
    temperature: Mapped[float | None]
    humidity: Mapped[float | None]
    weight: Mapped[float | None]
    weighed: Mapped[int | None]
    note: Mapped[str] = mapped_column(default="")


class HatchlingRow(Journaled):
    """The batch a bird hatched from: the way from the record of an egg to its chick."""

    __tablename__ = "hatchling"

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    batch_key: Mapped[int] = mapped_column(ForeignKey("batch.key"), index=True)


class ApartRow(Journaled):
    """A bird set apart: why, where, since when, when to look at it again, and how it ended."""

    __tablename__ = "apart"

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    reason: Mapped[ApartReason]
    since: Mapped[date]
    place: Mapped[str] = mapped_column(default="")
    review: Mapped[date | None]
    until: Mapped[date | None]
    outcome: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")


class JobRow(Journaled):
    """One of the keeper's own jobs, once or every so many days, weeks, months or years."""

    __tablename__ = "job"
    __table_args__ = (CheckConstraint("count > 0", name="count"), {"sqlite_strict": True})

    text: Mapped[str]
    starts: Mapped[date]
    every: Mapped[Every] = mapped_column(default=Every.ONCE)
    count: Mapped[int] = mapped_column(default=1)
    until: Mapped[date | None]
    house_key: Mapped[int | None] = mapped_column(ForeignKey("house.key"))
    note: Mapped[str] = mapped_column(default="")


class TickRow(Journaled):
    """A task of the diary marked as done. `task` is the diary's lasting name of it."""

    __tablename__ = "tick"

    task: Mapped[str]
    on: Mapped[date]
    note: Mapped[str] = mapped_column(default="")


class FigureRow(Journaled):
    """A figure of practice the keeper set in place of the program's, such as the days until a hen is clear."""

    __tablename__ = "figure"

    species: Mapped[str]
    name: Mapped[str]
    value: Mapped[float]
    note: Mapped[str] = mapped_column(default="")
