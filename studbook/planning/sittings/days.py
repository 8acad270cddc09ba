"""The days of a sitting: which row of the incubation table it follows, and when what is due."""

from datetime import date

from studbook.book.husbandry.rows import Batch, Husbandry, Sitting
from studbook.season.incubation import Incubation, IncubationPlan, incubation, kinds_of, plan
from studbook.words import _, later

_KINDS = {
    "chicken": later("large fowl"),
    "bantam": later("bantam"),
    "duck": later("duck"),
    "call duck": later("call duck"),
    "muscovy duck": later("Muscovy duck"),
    "goose": later("goose"),
    "turkey": later("turkey"),
    "guinea fowl": later("guinea fowl"),
    "japanese quail": later("Japanese quail"),
    "pheasant": later("pheasant"),
    "pigeon": later("pigeon"),
}


def kind_word(kind: str) -> str:
    """What a kind of egg is called."""
    return _(_KINDS.get(kind, kind))


def kind_of(sitting: Sitting) -> Incubation:
    """The row of the table a sitting follows.

    The record keeps the species and the keeper's own days: days that are those of another kind of the species (20
    of a chicken: a bantam's) mean that kind.
    """
    kinds = [incubation(name) for name in kinds_of(sitting.species)]
    return next((kind for kind in kinds if kind.days == sitting.days), kinds[0])


def plan_of(sitting: Sitting, set_on: date | None = None) -> IncubationPlan:
    """The days of a sitting; `set_on` for eggs that were set on another day and moved in."""
    kind = kind_of(sitting)
    own = None if sitting.days in (None, kind.days) else sitting.days
    return plan(set_on or sitting.set_on, kind, own)


def days_kept(kind: str, days: int | None) -> int | None:
    """What the record keeps of a kind of egg and the keeper's own days; None for those of the species."""
    row = incubation(kind)
    usual = incubation(kinds_of(row.species)[0])
    wanted = days or row.days
    return None if wanted == usual.days else wanted


def root_of(year: Husbandry, batch: Batch) -> Batch:
    """The batch the eggs were first set in."""
    seen = {batch.id}
    while batch.moved_from is not None and batch.moved_from not in seen:
        seen.add(batch.moved_from)
        batch = year.batches[batch.moved_from]
    return batch


def set_on_of(year: Husbandry, batch: Batch) -> date:
    """The day the eggs of a batch were first set, whatever sitting they have come to."""
    return year.sittings[root_of(year, batch).sitting].set_on
