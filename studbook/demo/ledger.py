"""What the keeper has at hand while writing: the book, the day, who is who, which rings are used."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from studbook.book.changes.change import Change
from studbook.book.door import Book
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BatchId, HouseId, MachineId, PenId
from studbook.book.records import Bird, BirdId, ContactId, Entry, Mark, MarkId, MarkKind, OriginId, Pair, Sex
from studbook.dates import PartialDate
from studbook.demo import story
from studbook.demo.diary import Diary

SEED = "Withybrook"


@dataclass(frozen=True, slots=True)
class Kind:
    """What differs between the two flocks: words, rings and the age at which they go on."""

    species: str
    breed: str
    comb: str
    ring_series: str
    cock_ring: str
    hen_ring: str
    ring_age_days: int


FOWL = Kind("chicken", "Andalusian", "single", "W", "18 mm", "16 mm", 63)
DUCKS = Kind("duck", "Call Duck", "", "D", "11 mm", "11 mm", 35)


class Ledger:
    """One playing of the story.

    Attributes
    ----------
    named
        The id of each bird the story names.
    raised
        By species and year, the chicks that are not to stay.
    houses, pens, machines
        The id of each by its name.
    batches
        The eggs of each brood whose sitting is in the book, by species, year and number of the brood.
    """

    def __init__(self, book: Book, diary: Diary) -> None:
        self.book = book
        self.diary = diary
        self.named: dict[str, BirdId] = {}
        self.raised: dict[tuple[str, int], list[BirdId]] = defaultdict(list)
        self.houses: dict[str, HouseId] = {}
        self.pens: dict[str, PenId] = {}
        self.machines: dict[str, MachineId] = {}
        self.batches: dict[tuple[str, int, int], BatchId] = {}
        self._rings_used: dict[str, int] = defaultdict(int)

    @property
    def today(self) -> PartialDate:
        """The day that is being played."""
        return PartialDate.of(self.diary.today)

    @cached_property
    def contacts(self) -> dict[str, ContactId]:
        """The contacts by name; all are entered on the first day."""
        return {contact.name: contact.id for contact in self.book.snapshot().contacts}

    @cached_property
    def origins(self) -> dict[str, OriginId]:
        """The origins by name; all are entered on the first day."""
        return {origin.name: origin.id for origin in self.book.snapshot().origins}

    def apply(self, change: Change, why: str = "") -> Entry:
        """Write a change into the book."""
        return self.book.apply(change, why)

    def bird(self, bird_id: BirdId) -> Bird:
        """A bird as it stands today."""
        return self.book.snapshot().bird(bird_id)

    def bird_named(self, name: str) -> Bird:
        """A bird of the story as it stands today."""
        return self.bird(self.named[name])

    def growers(self, kind: Kind, year: int) -> list[Bird]:
        """The young birds of a year that are here and not to stay."""
        raised = (self.bird(chick) for chick in self.raised[kind.species, year])
        return [bird for bird in raised if bird.is_living]

    def next_ring(self, kind: Kind, sex: Sex, year: int, colour: str) -> Mark:
        """The next ring of a year's series, put on today."""
        series = f"{kind.ring_series}{year % 100:02d}"
        self._rings_used[series] += 1
        return replace(ring(kind, sex, f"{series}-{self._rings_used[series]:02d}", colour), since=self.today)

    def pairs_of_eggs(self, batch: BatchId) -> tuple[Pair, ...]:
        """The candidate pairs that stays and the keeper give to a batch of eggs."""
        snapshot = self.book.snapshot()
        asking = WhoseEgg({bird.id: bird for bird in snapshot.birds}, snapshot.husbandry)
        return asking.of_batch(snapshot.husbandry.batches[batch]).pairs

    def pairs(self, parents: str) -> tuple[Pair, ...]:
        """The candidate pairs the story writes as `parents`."""
        candidates = parse_parents(parents)
        reason = ""
        if len(candidates) > 1:
            one_dam = len({dam for _sire, dam, _weight in candidates}) == 1
            reason = "two cocks in one pen" if one_dam else "eggs of two pens mixed"
        return tuple(
            Pair(self.named[sire], self.named[dam] if dam else None, weight, reason=reason)
            for sire, dam, weight in candidates
        )


def ring(kind: Kind, sex: Sex, code: str, colour: str = "") -> Mark:
    """A ring on the right leg of a cock or the left of a hen."""
    is_cock = sex is Sex.COCK
    size = kind.cock_ring if is_cock else kind.hen_ring
    return Mark(MarkId(""), MarkKind.RING, code, "right leg" if is_cock else "left leg", colour, size)


def parse_parents(text: str) -> tuple[tuple[str, str, float], ...]:
    """The candidate pairs `text` names: sire, dam (empty when nobody saw her), weight.

    >>> parse_parents("Dart × Vetch 0.6 / Lune × ? 0.4")
    (('Dart', 'Vetch', 0.6), ('Lune', '', 0.4))
    """
    pairs = []
    for pair in text.split(" / "):
        sire, _times, dam, *weight = pair.split()
        pairs.append((sire, "" if dam == "?" else dam, float(weight[0]) if weight else 1.0))
    return tuple(pairs)


def sex_of(name: str) -> Sex:
    """The sex a bird's name tells."""
    return Sex.COCK if name in story.COCKS else Sex.HEN


def on_day(year: int, day: str) -> date:
    """A day of a year written ``04-24``."""
    return date.fromisoformat(f"{year}-{day}")
