"""The sittings of one moment, with what the page asks of them worked out once."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from PySide6.QtCore import QLocale

from studbook.book.husbandry.rows import Batch, Husbandry, Sitting
from studbook.book.husbandry.whose_egg import Whose, WhoseEgg
from studbook.book.ids import BirdId, SittingId
from studbook.book.records import Bird, Snapshot
from studbook.desk.wording import bird_text, day_text
from studbook.planning.pens.whose import WhoseWords
from studbook.planning.sentences import Sentence, plain
from studbook.planning.sittings.minding import Remark, remarks
from studbook.planning.sittings.names import batch_text, sitting_text
from studbook.planning.sittings.standing import Standing, standing_of, standing_sentence


@dataclass(frozen=True)
class View:
    """A snapshot as the page sees it on a day."""

    snapshot: Snapshot
    today: date

    @property
    def year(self) -> Husbandry:
        """The rows of the year."""
        return self.snapshot.husbandry

    @cached_property
    def birds(self) -> dict[BirdId, Bird]:
        """The birds by id."""
        return {bird.id: bird for bird in self.snapshot.birds}

    @cached_property
    def asking(self) -> WhoseEgg:
        """Answers whose an egg is."""
        return WhoseEgg(self.birds, self.year)

    @cached_property
    def open(self) -> tuple[Sitting, ...]:
        """The sittings under way, the next to hatch first."""
        found = [sitting for sitting in self.year.sittings.values() if sitting.closed is None]
        return tuple(sorted(found, key=lambda sitting: self.standing(sitting).plan.due))

    @cached_property
    def past(self) -> tuple[Sitting, ...]:
        """The sittings that were closed, the latest first."""
        found = [sitting for sitting in self.year.sittings.values() if sitting.closed is not None]
        return tuple(sorted(found, key=lambda sitting: sitting.set_on, reverse=True))

    @cached_property
    def _standings(self) -> dict[SittingId, Standing]:
        return {}

    def standing(self, sitting: Sitting) -> Standing:
        """Where a sitting stands today."""
        if sitting.id not in self._standings:
            self._standings[sitting.id] = standing_of(self.year, sitting, self.today)
        return self._standings[sitting.id]

    def sentence(self, sitting: Sitting) -> str:
        """Where a sitting stands, in words."""
        return standing_sentence(self.standing(sitting), day_text)

    def remarks(self, sitting: Sitting) -> tuple[Remark, ...]:
        """What to mind about a sitting."""
        return remarks(self.snapshot, self.asking, sitting, self.today, day_text)

    def batches(self, sitting: Sitting) -> tuple[Batch, ...]:
        """The batches of a sitting."""
        return self.year.batches_of.get(sitting.id, ())

    def whose(self, batch: Batch) -> Whose:
        """Whose the eggs of a batch are."""
        return self.asking.of_batch(batch)

    def called(self, sitting: Sitting) -> str:
        """What a sitting is called."""
        return sitting_text(self.snapshot, sitting, day_text)

    def batch_called(self, batch: Batch) -> str:
        """What a batch is called."""
        return batch_text(self.snapshot, batch)

    def written(self, *sentences: Sentence) -> str:
        """Sentences as one text."""
        return " ".join(plain(each, self._bird_called, _number) for each in sentences)

    def told(self, words: WhoseWords) -> str:
        """Whose an egg is, a line each for the verdict, the candidates and the reasons."""
        candidates = " · ".join(self.written(each) for each in words.candidates)
        lines = (self.written(words.verdict), candidates, self.written(*words.reasons, *words.left_out))
        return "\n".join(line for line in lines if line)

    def _bird_called(self, bird: BirdId) -> str:
        return bird_text(self.birds[bird]) if bird in self.birds else ""


def _number(value: float, decimals: int) -> str:
    return QLocale().toString(value, "f", decimals)
