"""A small invented flock whose answers are known by hand.

Severn × Bramble gave Tamar and Hazel (full sibs); Severn × Sloe gave Bryony, so she is half sib to both.
Dart is bought in from Alder Yard; Wye and Elder hatched here, Elder's dam and both of Wye's parents
unknown, long after the others.
"""

from datetime import date

from studbook.book.records import (
    Bird,
    BirdId,
    BookDetails,
    Mark,
    MarkId,
    MarkKind,
    Origin,
    OriginId,
    Pair,
    Sex,
    Snapshot,
    Status,
)
from studbook.dates import PartialDate

TODAY = date(2026, 2, 14)
ALDER_YARD = Origin(OriginId("alder"), "Alder Yard")


def bird(
    name: str, sex: Sex, hatched: str, mark: str = "", sire: str = "", dam: str = "", **facts: object
) -> Bird:
    """A bird whose id is its name."""
    marks = (Mark(MarkId(f"mark {mark}"), MarkKind.RING, mark),) if mark else ()
    pairs = (Pair(BirdId(sire) or None, BirdId(dam) or None),) if sire or dam else ()
    return Bird(
        BirdId(name),
        name=name,
        sex=sex,
        hatched=PartialDate.parse(hatched),
        marks=marks,
        pairs=pairs,
        **facts,  # type: ignore[arg-type]
    )


def flock(*more: Bird) -> Snapshot:
    """The flock, with `more` birds behind it."""
    gone = {"status": Status.SOLD, "left": PartialDate.parse("2022-10-01"), "founder": True}
    birds = (
        bird("Severn", Sex.COCK, "2020-04-01", "W20-01", **gone),
        bird("Bramble", Sex.HEN, "2020-04-01", "W20-02", **gone),
        bird("Sloe", Sex.HEN, "2020-04-01", "W20-03", **gone),
        bird("Dart", Sex.COCK, "2021-05-01", "A21-09", origin=ALDER_YARD.id),
        bird("Tamar", Sex.COCK, "2022-04-01", "W22-01", "Severn", "Bramble"),
        bird("Hazel", Sex.HEN, "2022-04-01", "W22-02", "Severn", "Bramble"),
        bird("Bryony", Sex.HEN, "2022-04-01", "W22-03", "Severn", "Sloe"),
        bird("Wye", Sex.COCK, "2024-04-01", "W24-01"),
        bird("Elder", Sex.HEN, "2024-04-01", "W24-02", "Tamar"),
        bird("Lune", Sex.COCK, "2026-01-20", "W26-01", "Tamar", "Hazel"),
    )
    return Snapshot(1, BookDetails("book", yard="Withybrook"), (*birds, *more), origins=(ALDER_YARD,))
