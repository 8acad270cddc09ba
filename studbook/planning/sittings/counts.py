"""The eggs of a sitting counted: set, left, what became of them, and the chicks not yet in the book."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from studbook.book.husbandry.rows import Batch, Candling, Fate, Husbandry, Sitting


@dataclass(frozen=True, slots=True)
class EggCount:
    """Eggs of one batch or of a whole sitting.

    Attributes
    ----------
    eggs
        Eggs that came in; parting some off within the sitting changes nothing.
    left
        Eggs without an end yet.
    fates
        Eggs by their end.
    helped, died
        Of the chicks hatched: helped out of the shell, died on the first day.
    registered
        Chicks in the book.
    """

    eggs: int = 0
    left: int = 0
    fates: Mapping[Fate, int] = field(default_factory=dict)
    helped: int = 0
    died: int = 0
    registered: int = 0

    @property
    def hatched(self) -> int:
        """Chicks that hatched."""
        return self.fates.get(Fate.HATCHED, 0)

    @property
    def unregistered(self) -> int:
        """Chicks that hatched and lived their first day, and are not in the book yet."""
        return max(0, self.hatched - self.died - self.registered)


def count_batch(year: Husbandry, batch: Batch) -> EggCount:
    """The eggs of one batch."""
    fates = year.fates_of.get(batch.id, ())
    by_fate: dict[Fate, int] = {}
    for fate in fates:
        by_fate[fate.fate] = by_fate.get(fate.fate, 0) + fate.eggs
    return EggCount(
        batch.eggs,
        batch.eggs - sum(by_fate.values()),
        by_fate,
        sum(fate.helped for fate in fates),
        sum(fate.died for fate in fates),
        len(year.birds_of.get(batch.id, ())),
    )


def count_sitting(year: Husbandry, sitting: Sitting) -> EggCount:
    """The eggs of all batches of a sitting; eggs parted off within it count once."""
    batches = year.batches_of.get(sitting.id, ())
    own = {batch.id for batch in batches}
    within = sum(batch.eggs for batch in batches if batch.moved_from in own)
    counts = [count_batch(year, batch) for batch in batches]
    fates: dict[Fate, int] = {Fate.MOVED: -within}
    for count in counts:
        for fate, eggs in count.fates.items():
            fates[fate] = fates.get(fate, 0) + eggs
    return EggCount(
        sum(count.eggs for count in counts) - within,
        sum(count.left for count in counts),
        {fate: eggs for fate, eggs in fates.items() if eggs > 0},
        sum(count.helped for count in counts),
        sum(count.died for count in counts),
        sum(count.registered for count in counts),
    )


def last_candling(year: Husbandry, batch: Batch) -> Candling | None:
    """What was seen last of a batch, of those it was parted from as well; None if it was never candled."""
    seen = {batch.id}
    while True:
        found = year.candlings_of.get(batch.id, ())
        if found:
            return found[-1]
        if batch.moved_from is None or batch.moved_from in seen:
            return None
        seen.add(batch.moved_from)
        batch = year.batches[batch.moved_from]


def with_eggs(year: Husbandry, batches: Iterable[Batch]) -> tuple[Batch, ...]:
    """The batches that still have eggs without an end."""
    return tuple(batch for batch in batches if year.eggs_left(batch) > 0)
