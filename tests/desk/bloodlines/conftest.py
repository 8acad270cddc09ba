"""The window in the room Bloodlines, on a small flock whose answers are known by hand.

Severn × Bramble gave Tamar and Hazel, full sibs; Tamar × Hazel gave Lune and Yarrow (F 25 %). Severn × Sloe
gave Bryony, who was sold to Ida Fell: nothing of Sloe is left here. Elder left no chick. Wye hatched here of
parents nobody wrote down. Dart is bought in from Alder Yard and gave Teasel with Hazel.
"""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from studbook.book.changes import AddBirds, AddContact, AddOrigin
from studbook.book.opening import create_book
from studbook.book.records import (
    Bird,
    BirdId,
    BookDetails,
    Contact,
    ContactId,
    Mark,
    MarkId,
    MarkKind,
    Origin,
    OriginId,
    Pair,
    Sex,
    Status,
)
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.rooms.bloodlines.room import BloodlinesRoom
from studbook.desk.window import Window

TODAY = date(2026, 2, 14)
ALDER_YARD = Origin(OriginId("alder"), "Alder Yard")
IDA = Contact(ContactId("ida"), "Ida Fell", address="3 Quarry Row")


def bird(name: str, sex: Sex, hatched: str, mark: str, sire: str = "", dam: str = "") -> Bird:
    """A bird whose id is its name."""
    return Bird(
        BirdId(name),
        name=name,
        sex=sex,
        hatched=PartialDate.parse(hatched),
        marks=(Mark(MarkId(f"mark {mark}"), MarkKind.RING, mark),),
        pairs=(Pair(BirdId(sire) or None, BirdId(dam) or None),) if sire or dam else (),
    )


def flock() -> tuple[Bird, ...]:
    """All birds, parents first."""
    begun = [
        replace(bird(*facts), founder=True, status=Status.DIED, left=PartialDate.parse("2024-01-10"))
        for facts in (
            ("Severn", Sex.COCK, "2020-04-01", "W20-01"),
            ("Bramble", Sex.HEN, "2020-04-01", "W20-02"),
            ("Sloe", Sex.HEN, "2020-04-01", "W20-03"),
            ("Elder", Sex.HEN, "2020-04-01", "W20-04"),
        )
    ]
    bryony = bird("Bryony", Sex.HEN, "2022-04-01", "W22-03", "Severn", "Sloe")
    return (
        *begun,
        replace(bird("Dart", Sex.COCK, "2021-05-01", "A21-09"), origin=ALDER_YARD.id),
        bird("Tamar", Sex.COCK, "2022-04-01", "W22-01", "Severn", "Bramble"),
        bird("Hazel", Sex.HEN, "2022-04-01", "W22-02", "Severn", "Bramble"),
        replace(bryony, status=Status.SOLD, left=PartialDate.parse("2023-09-02"), taker=IDA.id),
        bird("Wye", Sex.COCK, "2023-04-01", "W23-01"),
        bird("Lune", Sex.COCK, "2024-04-01", "W24-01", "Tamar", "Hazel"),
        bird("Yarrow", Sex.HEN, "2024-04-02", "W24-02", "Tamar", "Hazel"),
        bird("Teasel", Sex.HEN, "2025-04-02", "W25-01", "Dart", "Hazel"),
    )


@pytest.fixture
def narrowing_book(tmp_path: Path) -> Path:
    """The flock as a book."""
    path = tmp_path / "withybrook.studbook"
    details = BookDetails("", keeper="Ada Thorn", yard="Withybrook")
    with create_book(path, details, today=TODAY) as book:
        book.apply(AddOrigin(ALDER_YARD))
        book.apply(AddContact(IDA))
        book.apply(AddBirds(flock()))
    return path


@pytest.fixture
def room(window: Window, narrowing_book: Path) -> BloodlinesRoom:
    """The room with its report on view."""
    window.context.record.open(narrowing_book, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    entered = window.go("bloodlines")
    settle(window)
    assert isinstance(entered, BloodlinesRoom)
    return entered


def id_of(room: BloodlinesRoom, name: str) -> BirdId:
    """The bird with this name; the book gives its own ids."""
    snapshot = room.context.record.snapshot
    assert snapshot is not None
    return next(bird.id for bird in snapshot.birds if bird.name == name)
