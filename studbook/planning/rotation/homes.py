"""Of which pen a bird is: where its dam was when the egg was laid."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from enum import Enum

from studbook.book.husbandry.rows import Batch, Husbandry, MixedIn
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Snapshot
from studbook.dates import Precision
from studbook.planning.candidates import kind_of
from studbook.planning.sittings.days import root_of

_STORED_DAYS = 4
"""An egg is some days old when it is set: so many are taken where nothing was written down."""


class Known(Enum):
    """From what the pen of a bird is known."""

    EGGS = "eggs"  # the record of the eggs it hatched from
    DAM = "dam"  # where its dam was when the egg must have been laid
    NOT = "not"


@dataclass(frozen=True, slots=True)
class Home:
    """The pen a bird is of; None when it is not known, or when `pens` tells more than one that it may be of."""

    pen: PenId | None
    known: Known
    pens: tuple[PenId, ...] = ()


NOWHERE = Home(None, Known.NOT)


def home_of(snapshot: Snapshot, bird: Bird) -> Home:
    """Of which pen a home-hatched bird is; bought birds are of none."""
    if bird.is_founder or bird.placeholder:
        return NOWHERE
    year = snapshot.husbandry
    batch = year.batch_of.get(bird.id)
    if batch is not None and batch in year.batches:
        found = tuple(dict.fromkeys(_pens_of_eggs(year, year.batches[batch])))
        if found:
            return Home(found[0] if len(found) == 1 else None, Known.EGGS, found)
    found = tuple(dict.fromkeys(_pens_of_dams(year, bird)))
    if not found:
        return NOWHERE
    return Home(found[0] if len(found) == 1 else None, Known.DAM, found)


def _pens_of_eggs(year: Husbandry, batch: Batch) -> Iterable[PenId]:
    """The pens the eggs of a batch were gathered in; of a trap-nested hen, the pen she was in then."""
    root = root_of(year, batch)
    lots: tuple[Batch | MixedIn, ...] = (root, *year.mixed_into.get(root.id, ()))
    for lot in lots:
        if lot.hen is not None:
            laid = lot.laid_from or lot.laid_to or year.sittings[root.sitting].set_on
            stay = year.stay_on(lot.hen, laid)
            if stay is not None:
                yield stay.pen
        elif lot.pen is not None:
            yield lot.pen


def _pens_of_dams(year: Husbandry, bird: Bird) -> Iterable[PenId]:
    """The pens its candidate dams were in when its egg must have been laid."""
    if bird.hatched.precision is not Precision.DAY:
        return
    laid = bird.hatched.earliest - timedelta(kind_of(bird).incubation_days + _STORED_DAYS)
    dams: tuple[BirdId, ...] = bird.dams
    if any(pair.dam is None for pair in bird.pairs):
        return
    for dam in dams:
        stay = year.stay_on(dam, laid)
        if stay is not None:
            yield stay.pen
