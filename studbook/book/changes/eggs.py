"""Changes of eggs and sittings: moving eggs between sittings, and chicks registered from their batch."""

from dataclasses import dataclass, replace
from datetime import date

from studbook.book.changes.birds import Chick, add_birds
from studbook.book.errors import Problem, RecordProblems
from studbook.book.husbandry.rows import Batch, EggFate, Fate, Hatchling
from studbook.book.husbandry.tables import put
from studbook.book.ids import BatchId, BirdId, EggFateId, HatchlingId, SittingId
from studbook.book.records import Bird, Snapshot
from studbook.book.writing import Writing
from studbook.dates import PartialDate
from studbook.words import _, plural


@dataclass(frozen=True, slots=True)
class MoveEggs:
    """Move eggs of a batch to another sitting, as when a second broody takes some over."""

    batch: BatchId
    to: SittingId
    eggs: int
    on: date
    compartment: str = ""

    def label(self, before: Snapshot) -> str:
        text = plural(
            "move {count} egg to another sitting", "move {count} eggs to another sitting", self.eggs
        )
        return text.format(count=self.eggs)

    def write(self, writing: Writing) -> None:
        source = batch_of(writing, self.batch)
        put(writing, EggFate(EggFateId(""), source.id, Fate.MOVED, self.eggs, self.on))
        moved = replace(
            source,
            id=BatchId(writing.fresh_id()),
            sitting=self.to,
            eggs=self.eggs,
            moved_from=source.id,
            compartment=self.compartment,
        )
        put(writing, moved)


@dataclass(frozen=True, slots=True)
class PartBatch:
    """Part some eggs of a batch off into a batch of their own within its sitting, before anything befell them."""

    batch: BatchId
    eggs: int
    compartment: str

    def label(self, before: Snapshot) -> str:
        return _("part eggs into a compartment")

    def write(self, writing: Writing) -> None:
        source = batch_of(writing, self.batch)
        if not 0 < self.eggs < writing.before.husbandry.eggs_left(source):
            message = _("{count} eggs cannot be parted off: enter fewer than the eggs still in the batch.")
            raise RecordProblems((Problem("count", message.format(count=self.eggs), field="eggs"),))
        put(writing, EggFate(EggFateId(""), source.id, Fate.MOVED, self.eggs))
        put(
            writing,
            replace(
                source,
                id=BatchId(writing.fresh_id()),
                eggs=self.eggs,
                moved_from=source.id,
                compartment=self.compartment,
            ),
        )


@dataclass(frozen=True, slots=True)
class RegisterChicks:
    """Register the chicks of one batch: their parents are those of its eggs, found by the door.

    `rearer` is the bird that leads them, by default the broody of the sitting.
    """

    batch: BatchId
    hatched: date
    chicks: tuple[Chick, ...]
    rearer: BirdId | None = None
    breed: str = ""

    def label(self, before: Snapshot) -> str:
        text = plural(
            "register {count} chick hatched {date}",
            "register {count} chicks hatched {date}",
            len(self.chicks),
        )
        return text.format(count=len(self.chicks), date=self.hatched)

    def write(self, writing: Writing) -> None:
        if not self.chicks:
            message = _("The hatch has no chick: enter how many hatched.")
            raise RecordProblems((Problem("empty", message, field="chicks"),))
        batch = batch_of(writing, self.batch)
        sitting = writing.before.husbandry.sittings[batch.sitting]
        birds = tuple(
            Bird(
                id=BirdId(writing.fresh_id()),
                name=chick.name,
                species=sitting.species,
                breed=self.breed,
                sex=chick.sex,
                hatched=PartialDate.of(self.hatched),
                colour=chick.colour,
                note=chick.note or batch.outside,
                founder=bool(batch.outside) and batch.origin is None,
                origin=batch.origin,
                rearer=self.rearer or sitting.broody,
                marks=chick.marks,
            )
            for chick in self.chicks
        )
        add_birds(writing, birds)
        for bird in birds:
            put(writing, Hatchling(HatchlingId(""), bird.id, batch.id))


def batch_of(writing: Writing, batch: BatchId) -> Batch:
    """The batch as it stood before the change.

    Raises
    ------
    RecordProblems
        If the book has none of this id.
    """
    found = writing.before.husbandry.batches.get(batch)
    if found is None:
        message = _("The batch of eggs is no longer in the book: undo brings it back.")
        raise RecordProblems((Problem("missing", message),))
    return found
