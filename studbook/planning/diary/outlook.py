"""What the tasks are derived from: the book on a day, the days asked about, and how names and days are written."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from studbook.book.husbandry.rows import Husbandry, Tick
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Snapshot
from studbook.season.practice import Practice
from studbook.words import _

DayText = Callable[[date], str]
"""Writes a day for the reader."""


@dataclass(frozen=True)
class Outlook:
    """The book as it is today, looked at from the day `first` to the day `last`."""

    snapshot: Snapshot
    first: date
    last: date
    today: date
    day_text: DayText = date.isoformat

    @property
    def year(self) -> Husbandry:
        """The rows of the year."""
        return self.snapshot.husbandry

    @cached_property
    def whose(self) -> WhoseEgg:
        """Answers whom a hen met, and what is practice."""
        birds = (*self.snapshot.birds, *self.snapshot.struck)
        return WhoseEgg({bird.id: bird for bird in birds}, self.year)

    @cached_property
    def _ticks(self) -> Mapping[str, tuple[Tick, ...]]:
        found: dict[str, tuple[Tick, ...]] = {}
        for tick in self.year.ticks.values():
            found[tick.task] = (*found.get(tick.task, ()), tick)
        return found

    def ticks(self, key: str) -> tuple[Tick, ...]:
        """The marks that a task is done."""
        return self._ticks.get(key, ())

    def practice(self, code: str) -> Practice:
        """The figures of practice of a species, the keeper's own among them."""
        return self.whose.practice(code)

    def living(self, bird: BirdId | None) -> Bird | None:
        """The bird, if it is in the flock."""
        found = self.snapshot.bird(bird) if bird is not None and self.snapshot.has(bird) else None
        return found if found is not None and found.is_living else None

    def called(self, bird: BirdId | None) -> str:
        """Mark and name of a bird."""
        if bird is None or not self.snapshot.has(bird):
            return _("a bird struck out")
        found = self.snapshot.bird(bird)
        return " ".join(part for part in (found.mark, found.name) if part) or found.called

    def listed(self, birds: Iterable[BirdId]) -> str:
        """Birds one after the other."""
        return _(", ").join(self.called(bird) for bird in birds)

    def pen_called(self, pen: PenId | None) -> str:
        """The name of a pen."""
        found = self.year.pens.get(pen) if pen is not None else None
        return found.name if found is not None else _("no pen")
