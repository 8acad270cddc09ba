"""The small flock of the year with a sitting under way, a bird apart, a move and a job, and a yard of many pens."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from studbook.book.changes import Enter, MoveBirds, SetApart
from studbook.book.husbandry.rows import (
    Apart,
    Batch,
    Every,
    House,
    Husbandry,
    Job,
    Move,
    Pen,
    Sitting,
    Stay,
)
from studbook.book.ids import ApartId, BatchId, HouseId, JobId, MoveId, PenId, SittingId, StayId
from studbook.book.records import Bird, BirdId, BookDetails, Mark, MarkId, MarkKind, Sex, Snapshot
from studbook.dates import PartialDate
from studbook.season.practice import ApartReason
from tests.flock import TODAY
from tests.season_flock import Yard, new_yard

SET_ON = TODAY - timedelta(days=8)
LONG = "The lower pen beyond the old orchard wall, by the second water trough"


def evening_yard(path: Path) -> tuple[Yard, Snapshot]:
    """Two houses: pens Orchard and Lane in the first, an empty one in the second, which comes first on the walk."""
    yard = new_yard(path)
    book = yard.book
    far = House(HouseId(book.new_id()), "Far house", 0)
    empty = Pen(PenId(book.new_id()), "Nook", far.id, 1, room_large=2, room_bantams=4, note="hospital corner")
    book.apply(Enter((far, empty)))
    cabinet = Sitting(SittingId(book.new_id()), SET_ON, machine=yard.machine)
    broody = Sitting(SittingId(book.new_id()), TODAY - timedelta(days=20), broody=yard.cowslip)
    eggs = [
        Batch(
            BatchId(book.new_id()),
            cabinet.id,
            12,
            pen=yard.orchard,
            laid_from=SET_ON - timedelta(5),
            laid_to=SET_ON,
        ),
        Batch(
            BatchId(book.new_id()), cabinet.id, 7, hen=yard.cowslip, laid_from=SET_ON, compartment="tray 2"
        ),
        Batch(BatchId(book.new_id()), broody.id, 9, outside="eggs of Fallow Yard"),
    ]
    book.apply(Enter((cabinet, broody, *eggs)))
    book.apply(
        SetApart(
            Apart(
                ApartId(""),
                yard.betony,
                ApartReason.HURT,
                TODAY - timedelta(days=4),
                review=TODAY,
                place="Nook",
            )
        )
    )
    lane_house = next(
        house.id for house in book.snapshot().husbandry.houses.values() if house.name != "Far house"
    )
    book.apply(
        Enter(
            (
                Move(MoveId(""), yard.lune, yard.orchard, TODAY),
                Move(MoveId(""), yard.usk, yard.lane, TODAY + timedelta(days=3)),
                Job(
                    JobId(""), "Dust bath: new sand", TODAY - timedelta(days=14), Every.WEEKS, 2, house=far.id
                ),
                Job(JobId(""), "Oil the hinges", TODAY + timedelta(days=1), house=lane_house),
                Job(JobId(""), "Fill the lamp", TODAY),
            )
        )
    )
    return yard, book.snapshot()


def exchanged_yard(path: Path) -> tuple[Yard, Snapshot]:
    """Lune took the place of Usk on 1 February."""
    yard = new_yard(path)
    yard.book.apply(MoveBirds((yard.usk,), None, date(2027, 2, 1)))
    yard.book.apply(MoveBirds((yard.lune,), yard.orchard, date(2027, 2, 1)))
    return yard, yard.book.snapshot()


def large_yard(pens: int, hens: int) -> Snapshot:
    """Many pens in four houses, a cock and some hens in each; names are as long as keepers make them."""
    houses = [House(HouseId(f"h{number}"), f"House {number + 1}", number) for number in range(4)]
    made, stays, birds = [], [], []
    for number in range(pens):
        name = LONG if number == 2 else f"Pen {number + 1}"
        pen = Pen(PenId(f"p{number}"), name, houses[number * 4 // pens].id, number, room_large=hens + 2)
        made.append(pen)
        for place in range(hens + 1):
            code = f"W25-{number:02d}{place:02d}"
            bird = Bird(
                BirdId(code),
                name="Queen-of-the-Meadows of the Long Hedge" if place == 1 else f"Hen {place}",
                breed="Andalusian",
                colour="blue",
                sex=Sex.HEN if place else Sex.COCK,
                hatched=PartialDate(2025, 4, 14),
                marks=(Mark(MarkId(code), MarkKind.RING, code),),
            )
            birds.append(bird)
            stays.append(Stay(StayId(code), bird.id, pen.id, date(2027, 1, 10)))
    year = Husbandry(
        houses={house.id: house for house in houses},
        pens={pen.id: pen for pen in made},
        stays={stay.id: stay for stay in stays},
    )
    details = BookDetails(id="", keeper="Ada Thorn", yard="Withybrook")
    return replace(Snapshot(1, details, tuple(birds)), husbandry=year)
