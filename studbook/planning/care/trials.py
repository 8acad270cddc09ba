"""The fertility trials of the book: hen by hen whose eggs count from which day, and what was seen of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from studbook.book.husbandry.rows import Batch, Husbandry, Trial
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BirdId, TrialId
from studbook.book.records import Bird, Snapshot
from studbook.planning.care.seen import Seen, seen_of
from studbook.season.fertility import Counting, HenCount, TrialResult, counting, judge
from studbook.season.practice import Practice


@dataclass(frozen=True)
class HenOfTrial:
    """One hen's part in a trial.

    Attributes
    ----------
    counting
        From which day until when her eggs tell of the cock alone, from the stays.
    counted, left_out
        What was seen of her eggs that count, and of those that do not.
    """

    hen: BirdId
    counting: Counting
    counted: Seen
    left_out: Seen


@dataclass(frozen=True)
class TrialStudy:
    """A trial with what its eggs show so far.

    Attributes
    ----------
    pooled, pooled_left_out
        Eggs of which it is not known which hen laid them; they count when those of every hen do.
    set_on
        The day the first of its eggs were set; None while none are.
    """

    trial: Trial
    cock: Bird
    practice: Practice
    hens: tuple[HenOfTrial, ...]
    pooled: Seen
    pooled_left_out: Seen
    set_on: date | None
    result: TrialResult

    @property
    def counted(self) -> Seen:
        """All eggs that count."""
        return sum((hen.counted for hen in self.hens), self.pooled)

    @property
    def left_out(self) -> Seen:
        """All eggs that do not count, since they may be another cock's or were laid too early."""
        return sum((hen.left_out for hen in self.hens), self.pooled_left_out)


@dataclass(frozen=True)
class Trials:
    """Studies of the trials of one snapshot; each is worked out once, when it is asked for."""

    snapshot: Snapshot

    @cached_property
    def whose_egg(self) -> WhoseEgg:
        """Answers whom each hen met."""
        birds = {bird.id: bird for bird in (*self.snapshot.birds, *self.snapshot.struck)}
        return WhoseEgg(birds, self.snapshot.husbandry)

    @cached_property
    def _studies(self) -> dict[TrialId, TrialStudy]:
        return {}

    @cached_property
    def _of_cock(self) -> Mapping[BirdId, tuple[Trial, ...]]:
        found: dict[BirdId, list[Trial]] = {}
        for trial in self.all:
            found.setdefault(trial.cock, []).append(trial)
        return {cock: tuple(trials) for cock, trials in found.items()}

    @cached_property
    def _of_hen(self) -> Mapping[BirdId, tuple[Trial, ...]]:
        found: dict[BirdId, list[Trial]] = {}
        for trial in self.all:
            for hen in self.snapshot.husbandry.hens_of.get(trial.id, ()):
                found.setdefault(hen, []).append(trial)
        return {hen: tuple(trials) for hen, trials in found.items()}

    @cached_property
    def all(self) -> tuple[Trial, ...]:
        """Every trial of a cock of the book, the last begun first."""
        trials = [trial for trial in self.snapshot.husbandry.trials.values() if self.snapshot.has(trial.cock)]
        return tuple(sorted(trials, key=lambda trial: trial.begun, reverse=True))

    def of_cock(self, cock: BirdId) -> tuple[Trial, ...]:
        """The trials of a cock, the last begun first."""
        return self._of_cock.get(cock, ())

    def of_hen(self, hen: BirdId) -> tuple[Trial, ...]:
        """The trials in which a hen took part, the last begun first."""
        return self._of_hen.get(hen, ())

    def study(self, trial: Trial) -> TrialStudy:
        """What the eggs of a trial show so far."""
        if trial.id not in self._studies:
            self._studies[trial.id] = self._study(trial)
        return self._studies[trial.id]

    def _study(self, trial: Trial) -> TrialStudy:
        year = self.snapshot.husbandry
        cock = self.snapshot.bird(trial.cock)
        figures = self.whose_egg.practice(cock.species)
        batches = year.batches_of_trial.get(trial.id, ())
        named = dict.fromkeys(year.hens_of.get(trial.id, ()))
        named |= dict.fromkeys(batch.hen for batch in batches if batch.hen is not None)
        hens = tuple(self._hen(trial, hen, batches, figures) for hen in named)
        pooled = pooled_left_out = Seen()
        for batch in batches:
            if _is_of_one_hen(year, batch):
                continue
            if hens and all(self._counts(trial, batch, hen.counting) for hen in hens):
                pooled += seen_of(year, batch)
            else:
                pooled_left_out += seen_of(year, batch)
        days = [year.sittings[batch.sitting].set_on for batch in batches if batch.moved_from is None]
        set_on = min(days, default=None)
        counts = [HenCount(hen.hen, hen.counted.fertile, hen.counted.seen) for hen in hens]
        if pooled.eggs:
            counts.append(HenCount(None, pooled.fertile, pooled.seen))
        left_out = sum(hen.left_out.eggs for hen in hens) + pooled_left_out.eggs
        result = judge(
            counts,
            figures,
            share=trial.share,
            confidence=trial.confidence,
            set_on=set_on,
            left_out=left_out,
        )
        return TrialStudy(trial, cock, figures, hens, pooled, pooled_left_out, set_on, result)

    def _hen(self, trial: Trial, hen: BirdId, batches: tuple[Batch, ...], figures: Practice) -> HenOfTrial:
        year = self.snapshot.husbandry
        last = _last_day(trial, batches)
        # whom she met when it was over says nothing of its eggs
        meetings = [
            meeting
            for meeting in self.whose_egg.meetings(hen)
            if meeting.first is None or meeting.first <= last
        ]
        found = counting(meetings, trial.cock, figures)
        counted = left_out = Seen()
        for batch in batches:
            if batch.hen != hen or not _is_of_one_hen(year, batch):
                continue
            seen = seen_of(year, batch)
            if self._counts(trial, batch, found):
                counted += seen
            else:
                left_out += seen
        return HenOfTrial(hen, found, counted, left_out)

    def _counts(self, trial: Trial, batch: Batch, found: Counting) -> bool:
        """True when every egg of the batch was laid on a day that counts; an untold first day is the trial's."""
        first, last = self.whose_egg.laying_days(batch, batch.laid_from or trial.counts_from, batch.laid_to)
        return first >= trial.counts_from and found.counts(first) and found.counts(last)


def _last_day(trial: Trial, batches: tuple[Batch, ...]) -> date:
    """The last day a trial can reach to: its end or the last laying day of its eggs, whichever is later."""
    days = [batch.laid_to for batch in batches if batch.laid_to is not None]
    if trial.ends is not None:
        days.append(trial.ends)
    return max(days, default=date.max)


def _is_of_one_hen(year: Husbandry, batch: Batch) -> bool:
    """True when the hen of all its eggs is known."""
    return batch.hen is not None and batch.id not in year.mixed_into
