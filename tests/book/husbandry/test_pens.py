"""Moving birds between pens: one stay at a time, nothing before a hatch or after a death, undo to the row."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from studbook.book.changes import (
    CarryOut,
    Correct,
    EndApart,
    Enter,
    MoveBirds,
    SetApart,
    SetStatus,
    Withdraw,
)
from studbook.book.errors import RecordProblems
from studbook.book.husbandry.rows import Apart, Move, Pen, Stay
from studbook.book.ids import ApartId, BirdId, MoveId, PenId, StayId
from studbook.book.records import Status
from studbook.dates import PartialDate
from studbook.season.practice import ApartReason
from tests.flock import reopened
from tests.season_flock import SINCE, Yard, new_yard

LATER = date(2026, 3, 1)


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    yard = new_yard(tmp_path / "flock.db")
    yield yard
    yard.book.close()


def stays(yard: Yard, bird: BirdId) -> list[tuple[PenId, date, date | None]]:
    held = yard.book.snapshot().husbandry.stays_of.get(bird, ())
    return [(stay.pen, stay.since, stay.until) for stay in held]


def test_a_move_ends_one_stay_and_begins_the_next_on_the_same_day(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.avens,), yard.lane, LATER))
    assert stays(yard, yard.avens) == [(yard.orchard, SINCE, LATER), (yard.lane, LATER, None)]
    yard.book.undo()
    assert stays(yard, yard.avens) == [(yard.orchard, SINCE, None)]


def test_a_bird_moved_twice_on_one_day_was_never_in_the_pen_between(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.avens,), yard.lane, LATER))
    yard.book.apply(MoveBirds((yard.avens,), yard.orchard, LATER))
    assert [pen for pen, _since, _until in stays(yard, yard.avens)] == [yard.orchard, yard.orchard]


def test_a_move_told_late_ends_where_the_next_stay_begins(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.avens,), None, LATER))
    yard.book.apply(MoveBirds((yard.avens,), yard.lane, date(2026, 2, 1)))
    assert stays(yard, yard.avens) == [
        (yard.orchard, SINCE, date(2026, 2, 1)),
        (yard.lane, date(2026, 2, 1), LATER),
    ]


def test_a_bird_is_in_one_pen_at_a_time(yard: Yard) -> None:
    with pytest.raises(RecordProblems, match=r"Orchard|Lane") as refused:
        yard.book.apply(Enter((Stay(StayId(""), yard.avens, yard.lane, date(2026, 2, 1)),)))
    assert refused.value.problems[0].birds == ("W24-11",)


@pytest.mark.parametrize("since", [date(2024, 4, 3), date(2027, 3, 1)])
def test_a_stay_lies_between_the_hatch_and_today(yard: Yard, since: date) -> None:
    yard.book.apply(MoveBirds((yard.avens,), None, SINCE))
    with pytest.raises(RecordProblems):
        yard.book.apply(Enter((Stay(StayId(""), yard.avens, yard.lane, since),)))


def test_a_bird_that_died_leaves_its_pen_and_its_plans(yard: Yard) -> None:
    yard.book.apply(Enter((Move(MoveId(""), yard.avens, yard.lane, date(2027, 3, 1)),)))
    yard.book.apply(SetStatus((yard.avens,), Status.DIED, PartialDate.of(LATER)))
    assert stays(yard, yard.avens) == [(yard.orchard, SINCE, LATER)]
    assert not yard.book.snapshot().husbandry.moves
    yard.book.undo()
    assert stays(yard, yard.avens) == [(yard.orchard, SINCE, None)]
    assert len(yard.book.snapshot().husbandry.moves) == 1


def test_a_planned_move_is_carried_out_on_the_day_it_was_made(yard: Yard) -> None:
    yard.book.apply(Enter((Move(MoveId(""), yard.avens, yard.lane, date(2027, 2, 20)),)))
    move = next(iter(yard.book.snapshot().husbandry.moves.values()))
    yard.book.apply(CarryOut((move,), date(2027, 2, 14)))
    assert stays(yard, yard.avens)[-1] == (yard.lane, date(2027, 2, 14), None)
    assert not yard.book.snapshot().husbandry.moves


def test_a_bird_set_apart_leaves_its_pen_and_comes_back(yard: Yard) -> None:
    apart = Apart(ApartId(yard.book.new_id()), yard.avens, ApartReason.ILL, LATER, "hospital crate")
    yard.book.apply(SetApart(apart))
    assert stays(yard, yard.avens) == [(yard.orchard, SINCE, LATER)]
    with pytest.raises(RecordProblems, match="apart already"):
        yard.book.apply(SetApart(Apart(ApartId(""), yard.avens, ApartReason.HURT, LATER)))
    yard.book.apply(EndApart(apart.id, date(2026, 3, 20), "well again", yard.orchard))
    assert stays(yard, yard.avens)[-1] == (yard.orchard, date(2026, 3, 20), None)
    held = yard.book.snapshot().husbandry.aparts[apart.id]
    assert (held.until, held.outcome) == (date(2026, 3, 20), "well again")


def test_a_pen_with_birds_is_neither_closed_nor_taken_out(yard: Yard) -> None:
    orchard = yard.book.snapshot().husbandry.pens[yard.orchard]
    closed = Pen(orchard.id, orchard.name, orchard.house, orchard.position, closed=LATER)
    with pytest.raises(RecordProblems, match="cannot be closed"):
        yard.book.apply(Correct((orchard,), (closed,)))
    with pytest.raises(RecordProblems, match="stays"):
        yard.book.apply(Withdraw((orchard,)))
    with pytest.raises(RecordProblems, match="called orchard already"):
        yard.book.apply(Enter((Pen(PenId(""), "orchard"),)))


def test_the_year_reads_the_same_after_reopening(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.avens,), yard.lane, LATER))
    before = yard.book.snapshot().husbandry
    with reopened(yard.book) as book:
        assert book.snapshot().husbandry == before
        assert not [problem for problem in book.check() if problem.is_error]
