"""Whose egg: the candidate parents of the eggs of a pen, a hen or a batch, from stays and matings.

The rules are those of `studbook.season.paternity`; this module puts the record into its terms.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from studbook.book.husbandry.rows import Batch, ConditionKind, Husbandry, MatingKind, Stay
from studbook.book.ids import BatchId, BirdId, PenId
from studbook.book.records import Basis, Bird, Pair, Sex
from studbook.season.paternity import (
    CandidatePair,
    Candidates,
    HenExposure,
    Meeting,
    MeetingKind,
    NotLaying,
    candidate_pairs,
    mixed,
    outside,
)
from studbook.season.practice import Practice, practice
from studbook.season.species import all_species, species

_KINDS = {
    MatingKind.VISIT: MeetingKind.VISIT,
    MatingKind.BORROWED: MeetingKind.VISIT,
    MatingKind.INSEMINATION: MeetingKind.INSEMINATION,
}

_NOT_LAYING = {
    ConditionKind.BROODY: NotLaying.BROODY,
    ConditionKind.MOULTING: NotLaying.MOULTING,
    ConditionKind.NOT_LAYING: NotLaying.OTHER,
}


@dataclass(frozen=True)
class Whose:
    """Who the parents of a batch can be. `said` is true when the keeper said so in place of the stays."""

    pairs: tuple[Pair, ...]
    candidates: Candidates
    said: bool = False


@dataclass(frozen=True)
class WhoseEgg:
    """Answers whose an egg is from the birds and the year of one moment; what it works out it keeps."""

    birds: Mapping[BirdId, Bird]
    year: Husbandry

    @cached_property
    def _practices(self) -> dict[str, Practice]:
        return {}

    def practice(self, code: str) -> Practice:
        """The figures of practice of a species, the keeper's own among them."""
        if code not in self._practices:
            own = {
                figure.name: figure.value for figure in self.year.figures.values() if figure.species == code
            }
            self._practices[code] = practice(code if code in all_species() else "chicken", own)
        return self._practices[code]

    @cached_property
    def _meetings(self) -> dict[BirdId, tuple[Meeting, ...]]:
        return {}

    def meetings(self, hen: BirdId) -> tuple[Meeting, ...]:
        """Every cock the hen met: in pens, by visit or insemination, and before she came to the flock."""
        if hen not in self._meetings:
            self._meetings[hen] = tuple(self._meet(hen))
        return self._meetings[hen]

    def _meet(self, hen: BirdId) -> Iterator[Meeting]:
        bird = self.birds.get(hen)
        if bird is not None and bird.arrived is not None and bird.arrived.is_known:
            arrived = bird.arrived.latest
            ripe = (
                bird.hatched.earliest + timedelta(days=_laying_age_days(bird))
                if bird.hatched.is_known
                else None
            )
            if ripe is None or ripe <= arrived:
                yield outside(arrived)
        for stay in self.year.stays_of.get(hen, ()):
            for other in self.year.stays_in.get(stay.pen, ()):
                cock = self.birds.get(other.bird)
                if cock is not None and cock.sex is Sex.COCK and cock.id != hen:
                    yield from _together(stay, other, self._last_day(stay), self._last_day(other), cock)
        for mating in self.year.matings_of.get(hen, ()):
            yield Meeting(mating.cock, mating.since, mating.until, _KINDS[mating.kind])

    def _last_day(self, stay: Stay) -> date | None:
        """The last day of a stay: a bird that left the flock left its pen, whatever the stay says."""
        bird = self.birds.get(stay.bird)
        left = bird.left.latest if bird is not None and bird.left.is_known else None
        days = [day for day in (stay.until, left) if day is not None]
        return min(days) if days else None

    def hens_there(self, pen: PenId, first: date, last: date) -> tuple[tuple[Bird, float], ...]:
        """The birds of a pen that are not cocks, each with the share of the days she was there."""
        days: dict[BirdId, int] = {}
        for stay in self.year.stays_in.get(pen, ()):
            bird = self.birds.get(stay.bird)
            if bird is None or bird.sex is Sex.COCK:
                continue
            begin, end = max(first, stay.since), min(last, self._last_day(stay) or last)
            if begin <= end:
                days[stay.bird] = days.get(stay.bird, 0) + (end - begin).days + 1
        total = (last - first).days + 1
        return tuple((self.birds[bird], min(1.0, count / total)) for bird, count in days.items())

    def _exposure(self, hen: Bird, weight: float, first: date, last: date, colour: str) -> HenExposure:
        return HenExposure(hen.id, self.meetings(hen.id), self._why_not(hen, first, last, colour), weight)

    def _why_not(self, hen: Bird, first: date, last: date, colour: str) -> NotLaying | None:
        if hen.hatched.is_known and last < hen.hatched.earliest + timedelta(days=_laying_age_days(hen)):
            return NotLaying.TOO_YOUNG
        for condition in self.year.conditions_of.get(hen.id, ()):
            whole = condition.since <= first and (condition.until is None or last <= condition.until)
            if condition.kind is ConditionKind.EGG_COLOUR:
                if whole and colour and condition.text.casefold() != colour.casefold():
                    return NotLaying.EGG_COLOUR
            elif whole:
                return _NOT_LAYING[condition.kind]
        return None

    def of_pen(
        self, pen: PenId, first: date, last: date, code: str = "chicken", colour: str = ""
    ) -> Candidates:
        """The candidate pairs of an egg gathered in a pen, laid between two days."""
        hens = self.hens_there(pen, first, last)
        exposures = [self._exposure(hen, weight, first, last, colour) for hen, weight in hens]
        return candidate_pairs(exposures, first, self.practice(code), last)

    def of_hen(self, hen: BirdId, first: date, last: date, code: str = "chicken") -> Candidates:
        """The candidate pairs of an egg of one hen: she is certain, her cocks may not be."""
        exposure = HenExposure(hen, self.meetings(hen))
        found = candidate_pairs([exposure], first, self.practice(code), last)
        # an egg of a hen no cock counts for is still hers
        return found if found.pairs else Candidates((CandidatePair(None, hen, 1.0),), (), found.left_out)

    def of_batch(self, batch: Batch) -> Whose:
        """Who the parents of a batch can be: as the keeper said, else as the stays say."""
        root = self.root(batch)
        said = self.year.pairs_of.get(batch.id) or self.year.pairs_of.get(root.id, ())
        found = self._found(root)
        if said:
            pairs = tuple(Pair(pair.sire, pair.dam, pair.weight, Basis.STAYS, pair.reason) for pair in said)
            return Whose(pairs, found, said=True)
        return Whose(tuple(Pair(_id(p.sire), _id(p.dam), p.weight, Basis.STAYS) for p in found.pairs), found)

    def root(self, batch: Batch) -> Batch:
        """The batch the eggs were first set in."""
        seen = {batch.id}
        while batch.moved_from is not None and batch.moved_from not in seen:
            seen.add(batch.moved_from)
            batch = self.year.batches[batch.moved_from]
        return batch

    def _found(self, batch: Batch) -> Candidates:
        code = self.year.sittings[batch.sitting].species
        among = self.year.mixed_into.get(batch.id, ())
        own = batch.eggs - sum(other.eggs for other in among)
        lots = [(self._lot(batch, batch.pen, batch.hen, batch.laid_from, batch.laid_to, code), own)]
        lots += [
            (self._lot(batch, other.pen, other.hen, other.laid_from, other.laid_to, code), other.eggs)
            for other in among
        ]
        return lots[0][0] if len(lots) == 1 else mixed(lots)

    def _lot(
        self,
        batch: Batch,
        pen: PenId | None,
        hen: BirdId | None,
        laid_from: date | None,
        laid_to: date | None,
        code: str,
    ) -> Candidates:
        first, last = self.laying_days(batch, laid_from, laid_to)
        if hen is not None:
            return self.of_hen(hen, first, last, code)
        if pen is not None:
            return self.of_pen(pen, first, last, code, batch.colour)
        return Candidates(())

    def laying_days(self, batch: Batch, laid_from: date | None, laid_to: date | None) -> tuple[date, date]:
        """The first and last day on which eggs were laid; untold, within the usual time of storage."""
        sitting = self.year.sittings[batch.sitting]
        stored = timedelta(days=self.practice(sitting.species).storage_warn_days)
        last = laid_to or (sitting.set_on if laid_from is None else max(laid_from, sitting.set_on))
        first = laid_from or last - stored
        return min(first, last), last

    def pairs_of_birds(self, batches: Mapping[BatchId, Batch]) -> dict[BirdId, tuple[Pair, ...]]:
        """The pairs that the eggs of these batches give each bird registered from them."""
        found: dict[BirdId, tuple[Pair, ...]] = {}
        for batch_id, batch in batches.items():
            registered = self.year.birds_of.get(batch_id, ())
            if registered:
                found.update(dict.fromkeys(registered, self.of_batch(batch).pairs))
        return found


def _id(bird: object) -> BirdId | None:
    return None if bird is None else BirdId(str(bird))


def _laying_age_days(bird: Bird) -> int:
    return species(bird.species).laying_age_days if bird.species in all_species() else 0


def _together(
    stay: Stay, other: Stay, last: date | None, other_last: date | None, cock: Bird
) -> Iterator[Meeting]:
    """The meeting of a hen's stay with a cock's stay in the same pen."""
    begin = max(stay.since, other.since)
    ends = [day for day in (last, other_last) if day is not None]
    end = min(ends) if ends else None
    if end is not None and end < begin:
        return
    # one left on the day the other came: a change of pens, not a meeting
    if end == begin and (last == other.since or other_last == stay.since):
        return
    ripe = None
    if cock.hatched.is_known and cock.species in all_species():
        ripe = cock.hatched.earliest + timedelta(days=species(cock.species).fertile_age_days)
    yield Meeting(cock.id, begin, end, MeetingKind.PEN, ripe)
