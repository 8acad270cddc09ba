"""The parents that stays give: which birds a change of the year touches, and their new candidate pairs.

The door writes them in the transaction of the change, so that what stays say and what birds carry never part.
"""

from collections.abc import Collection, Iterable, Mapping
from datetime import date, timedelta
from typing import Any

from studbook.book.husbandry import rows
from studbook.book.husbandry.rows import Husbandry
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BatchId, BirdId
from studbook.book.records import Basis, Bird, Pair, Snapshot

_LONGEST_DAYS = 366
"""No figure of practice is longer: a change of stays reaches no further than this behind its end."""

_OF_BATCH = (rows.MixedIn, rows.BatchPair, rows.Hatchling)
_PLACES = {rows.Stay: "stays", rows.Mating: "matings", rows.Condition: "conditions"}


def derived_pairs(
    before: Snapshot,
    after: Snapshot,
    birds: Mapping[BirdId, Bird],
    touched: Mapping[type[Any], Collection[str]],
    touched_birds: Collection[BirdId],
) -> dict[BirdId, tuple[Pair, ...]]:
    """The pairs that stays give to each bird whose eggs a change may have touched.

    Parameters
    ----------
    birds
        Every bird after the change, struck ones too.
    touched, touched_birds
        The ids of the rows of the year, by kind, and of the birds that the change touched.
    """
    year = after.husbandry
    if not year.hatchlings:
        return {}
    batches = _touched_batches(before.husbandry, year, touched)
    window = _window(before, year, birds, touched, touched_birds)
    asking = WhoseEgg(birds, year)
    if window is not None:
        for batch_id in year.birds_of:
            root = asking.root(year.batches[batch_id])
            first, last = asking.laying_days(root, root.laid_from, root.laid_to)
            mixed = year.mixed_into.get(root.id, ())
            first = min([first, *(lot.laid_from for lot in mixed if lot.laid_from)])
            last = max([last, *(lot.laid_to for lot in mixed if lot.laid_to)])
            if window[0] <= last and first <= window[1]:
                batches.add(batch_id)
    chosen = {batch_id: year.batches[batch_id] for batch_id in batches if batch_id in year.batches}
    return asking.pairs_of_birds(chosen)


def _touched_batches(
    before: Husbandry, after: Husbandry, touched: Mapping[type[Any], Collection[str]]
) -> set[BatchId]:
    """The batches a change names, with those that were moved out of them."""
    found = {BatchId(row_id) for row_id in touched.get(rows.Batch, ())}
    for kind, place in zip(_OF_BATCH, ("mixed_in", "batch_pairs", "hatchlings"), strict=True):
        for row_id in touched.get(kind, ()):
            for year in (before, after):
                row = getattr(year, place).get(row_id)
                if row is not None:
                    found.add(row.batch)
    reached = set(found)
    while reached:
        reached = {batch.id for batch in after.batches.values() if batch.moved_from in reached} - found
        found |= reached
    return found


def _window(
    before: Snapshot,
    year: Husbandry,
    birds: Mapping[BirdId, Bird],
    touched: Mapping[type[Any], Collection[str]],
    touched_birds: Collection[BirdId],
) -> tuple[date, date] | None:
    """The laying days whose answer a change may alter, or None."""
    if touched.get(rows.Figure):
        return date.min, date.max
    spans: list[tuple[date, date]] = []
    for kind, place in _PLACES.items():
        for row_id in touched.get(kind, ()):
            old, new = getattr(before.husbandry, place).get(row_id), getattr(year, place).get(row_id)
            spans.append(_differing_days(old, new))
    for bird_id in touched_birds:
        spans += _days_of_bird(_known(before, bird_id), birds.get(bird_id), year)
    if not spans:
        return None
    last = max(end for _start, end in spans)
    reach = date.max - timedelta(days=_LONGEST_DAYS)
    return min(start for start, _end in spans), date.max if last > reach else last + timedelta(
        days=_LONGEST_DAYS
    )


def _known(before: Snapshot, bird_id: BirdId) -> Bird | None:
    return before.bird(bird_id) if before.has(bird_id) else None


def _differing_days(old: Any, new: Any) -> tuple[date, date]:
    """The days on which two states of a span differ; a state that is not there covers no day."""
    if old is None or new is None:
        row = old or new
        return row.since, row.until or date.max
    ends = [row.until or date.max for row in (old, new)]
    same = all(
        getattr(old, name, None) == getattr(new, name, None)
        for name in ("since", "bird", "pen", "hen", "cock", "kind", "text")
    )
    return (min(ends) if same else min(old.since, new.since)), max(ends)


def _days_of_bird(old: Bird | None, new: Bird | None, year: Husbandry) -> Iterable[tuple[date, date]]:
    """The days on which what a bird is or was alters whose eggs there may be."""
    if old is None or new is None or not (new.id in year.stays_of or new.id in year.matings_of):
        return
    if (old.sex, old.hatched, old.arrived, old.species) != (new.sex, new.hatched, new.arrived, new.species):
        yield min(old.hatched.earliest, new.hatched.earliest), date.max
    elif old.left != new.left:
        yield min(old.left.earliest if old.left.is_known else date.max, new.left.earliest), date.max


def moved_parents(before: Snapshot, after: Snapshot) -> tuple[BirdId, ...]:
    """The birds of both moments whose parents, worked out from stays, are others or weigh otherwise."""
    return tuple(
        bird.id
        for bird in after.birds
        if before.has(bird.id)
        and before.bird(bird.id).pairs != bird.pairs
        and any(pair.basis is Basis.STAYS for pair in (*bird.pairs, *before.bird(bird.id).pairs))
    )
