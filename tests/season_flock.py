"""A small flock with pens for tests of the year, built through the door."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from studbook.book.changes import AddBirds, Enter, MoveBirds
from studbook.book.door import Book
from studbook.book.husbandry.rows import Batch, EggFate, Fate, House, Machine, Pen, Sitting
from studbook.book.ids import BatchId, BirdId, EggFateId, HouseId, MachineId, PenId, SittingId
from studbook.book.records import Sex
from tests.flock import bird, new_book


@dataclass(frozen=True)
class Yard:
    """An open book with two pens: Usk with Avens and Betony in the first, Lune with Cowslip in the second."""

    book: Book
    usk: BirdId
    lune: BirdId
    avens: BirdId
    betony: BirdId
    cowslip: BirdId
    orchard: PenId
    lane: PenId
    machine: MachineId


SINCE = date(2026, 1, 10)


def new_yard(path: Path) -> Yard:
    book = new_book(path)
    usk = bird(book, "W24-01", Sex.COCK, "2024-04-02", name="Usk", founder=True)
    lune = bird(book, "W24-02", Sex.COCK, "2024-04-03", name="Lune", founder=True)
    avens = bird(book, "W24-11", Sex.HEN, "2024-04-04", name="Avens", founder=True)
    betony = bird(book, "W24-12", Sex.HEN, "2024-04-05", name="Betony", founder=True)
    cowslip = bird(book, "W24-13", Sex.HEN, "2024-04-06", name="Cowslip", founder=True)
    book.apply(AddBirds((usk, lune, avens, betony, cowslip)))
    house = House(HouseId(book.new_id()), "Orchard house", 1)
    orchard = Pen(PenId(book.new_id()), "Orchard", house.id, 1, room_large=8)
    lane = Pen(PenId(book.new_id()), "Lane", house.id, 2, room_large=8)
    machine = Machine(MachineId(book.new_id()), "Cabinet", 48)
    book.apply(Enter((house, orchard, lane, machine)))
    book.apply(MoveBirds((usk.id, avens.id, betony.id), orchard.id, SINCE))
    book.apply(MoveBirds((lune.id, cowslip.id), lane.id, SINCE))
    return Yard(book, usk.id, lune.id, avens.id, betony.id, cowslip.id, orchard.id, lane.id, machine.id)


def set_eggs(
    yard: Yard, eggs: int, laid: date, *, pen: PenId | None = None, hen: BirdId | None = None
) -> Batch:
    """Eggs laid on one day, set three days later in the machine."""
    set_on = date.fromordinal(laid.toordinal() + 3)
    sitting = Sitting(SittingId(yard.book.new_id()), set_on, machine=yard.machine)
    batch = Batch(
        BatchId(yard.book.new_id()), sitting.id, eggs, pen=pen, hen=hen, laid_from=laid, laid_to=laid
    )
    yard.book.apply(Enter((sitting, batch)))
    return batch


def hatch(yard: Yard, batch: Batch, chicks: int, on: date) -> None:
    yard.book.apply(Enter((EggFate(EggFateId(""), batch.id, Fate.HATCHED, chicks, on),)))
