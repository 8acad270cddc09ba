"""A small invented flock for tests of the record, built through the door."""

import itertools
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from studbook.book.changes import AddBirds
from studbook.book.door import Book
from studbook.book.opening import create_book, open_book
from studbook.book.records import Bird, BirdId, BookDetails, Mark, MarkId, MarkKind, Pair, Sex
from studbook.dates import PartialDate

TODAY = date(2027, 2, 14)


def clock() -> datetime:
    return datetime(2027, 2, 14, 9, 30, tzinfo=UTC)


def counted_ids() -> Callable[[], str]:
    """Ids that repeat from run to run."""
    numbers = itertools.count(1)
    return lambda: f"00000000-0000-4000-8000-{next(numbers):012d}"


def new_book(path: Path) -> Book:
    details = BookDetails(id="", keeper="Ada Thorn", yard="Withybrook", breed="Andalusian")
    return create_book(path, details, clock=clock, ids=counted_ids(), today=TODAY)


def reopened(book: Book) -> Book:
    book.close()
    return open_book(book.path, clock=clock, today=TODAY)


def ring(code: str) -> tuple[Mark, ...]:
    return (Mark(MarkId(""), MarkKind.RING, code),)


def bird(
    book: Book,
    mark: str,
    sex: Sex = Sex.UNKNOWN,
    hatched: str = "2024-04-12",
    *,
    name: str = "",
    sire: BirdId | None = None,
    dam: BirdId | None = None,
    founder: bool = False,
) -> Bird:
    """A bird to add, with an id of its own so that others of the batch can name it."""
    return Bird(
        BirdId(book.new_id()),
        name=name,
        sex=sex,
        hatched=PartialDate.parse(hatched),
        breed="Andalusian",
        founder=founder,
        marks=ring(mark) if mark else (),
        pairs=(Pair(sire, dam),) if sire or dam else (),
    )


def add(book: Book, *birds: Bird) -> None:
    book.apply(AddBirds(birds))


def founders(book: Book) -> tuple[BirdId, BirdId]:
    """A cock Severn (W23-01) and a hen Sorrel (W23-02), both founders."""
    severn = bird(book, "W23-01", Sex.COCK, "2023-04-02", name="Severn", founder=True)
    sorrel = bird(book, "W23-02", Sex.HEN, "2023-05-20", name="Sorrel", founder=True)
    add(book, severn, sorrel)
    return severn.id, sorrel.id
