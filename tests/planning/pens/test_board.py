"""The pen board: who is where on any day, what room is left, when a pen is clear, and what their chicks would be."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from studbook.book.changes import (
    AddBirds,
    Correct,
    Enter,
    MoveBirds,
    SetApart,
    SetStatus,
    Together,
)
from studbook.book.husbandry.rows import Apart, Condition, ConditionKind, House, Move, Pen
from studbook.book.ids import ApartId, ConditionId, HouseId, MoveId, PenId
from studbook.book.records import Sex, Status
from studbook.book.relatedness import Relatedness, Unknown
from studbook.dates import PartialDate
from studbook.planning.pens.board import Room, board, room_left
from studbook.planning.pens.telling import figure_lines
from studbook.season.practice import ApartReason
from tests.flock import TODAY, bird
from tests.planning.pens.conftest import teller
from tests.season_flock import SINCE, Yard

LATER = date(2026, 3, 1)


def test_each_pen_tells_its_birds_and_since_when(yard: Yard) -> None:
    found = board(yard.book.snapshot(), TODAY)
    orchard = found.pen(yard.orchard)
    assert orchard is not None
    assert [cock.bird for cock in orchard.cocks] == [yard.usk]
    assert [hen.bird for hen in orchard.hens] == [yard.avens, yard.betony]
    assert (orchard.hens_per_cock, orchard.since) == (2.0, SINCE)
    assert orchard.room == Room(large=5)
    assert found.loose == ()


def test_a_past_day_shows_the_pens_as_they_were(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.avens,), yard.lane, LATER))
    snapshot = yard.book.snapshot()
    before = board(snapshot, LATER - timedelta(1), TODAY).pen(yard.orchard)
    on_the_day = board(snapshot, LATER, TODAY)
    assert before is not None
    assert yard.avens in [hen.bird for hen in before.hens]
    orchard, lane = on_the_day.pen(yard.orchard), on_the_day.pen(yard.lane)
    assert orchard is not None
    assert lane is not None
    assert [hen.bird for hen in orchard.hens] == [yard.betony]
    assert [hen.bird for hen in lane.hens] == [yard.avens, yard.cowslip]
    assert orchard.since == LATER
    assert board(snapshot, date(2025, 6, 1), TODAY).loose == (
        yard.usk,
        yard.lune,
        yard.avens,
        yard.betony,
        yard.cowslip,
    )


def test_a_bird_that_left_stands_where_it_was_on_the_days_before(yard: Yard) -> None:
    yard.book.apply(SetStatus((yard.betony,), Status.SOLD, PartialDate.of(LATER)))
    snapshot = yard.book.snapshot()
    for day, there in ((LATER - timedelta(1), True), (LATER, False), (TODAY, False)):
        found = board(snapshot, day, TODAY)
        orchard = found.pen(yard.orchard)
        assert orchard is not None
        assert (yard.betony in [hen.bird for hen in orchard.hens]) is there
        assert yard.betony not in found.loose


def test_pens_stand_in_walking_order_those_on_their_own_last(yard: Yard) -> None:
    barn = House(HouseId(yard.book.new_id()), "Barn", 0)
    loft = Pen(PenId(yard.book.new_id()), "Loft", barn.id, 9)
    ark = Pen(PenId(yard.book.new_id()), "Ark", None, 0)
    yard.book.apply(Enter((barn, loft, ark)))
    found = board(yard.book.snapshot(), TODAY)
    assert [pen.pen.name for pen in found.pens] == ["Loft", "Orchard", "Lane", "Ark"]
    assert found.houses[-1].house is None


def test_a_closed_pen_is_on_the_board_of_its_days_only(yard: Yard) -> None:
    ark = Pen(PenId(yard.book.new_id()), "Ark", closed=LATER)
    yard.book.apply(Enter((ark,)))
    snapshot = yard.book.snapshot()
    assert board(snapshot, LATER - timedelta(1), TODAY).pen(ark.id) is not None
    assert board(snapshot, LATER, TODAY).pen(ark.id) is None


def test_birds_apart_are_in_no_pen_and_not_loose(yard: Yard) -> None:
    yard.book.apply(
        SetApart(Apart(ApartId(""), yard.avens, ApartReason.HURT, LATER, "porch", LATER + timedelta(3)))
    )
    found = board(yard.book.snapshot(), TODAY)
    assert [row.bird for row in found.apart] == [yard.avens]
    assert found.loose == ()
    before = board(yard.book.snapshot(), LATER - timedelta(1), TODAY)
    assert before.apart == ()


def test_planned_moves_stand_at_both_pens_and_not_on_a_past_day(yard: Yard) -> None:
    day = date(2027, 2, 20)
    yard.book.apply(Enter((Move(MoveId(""), yard.avens, yard.lane, day),)))
    snapshot = yard.book.snapshot()
    found = board(snapshot, TODAY)
    orchard, lane = found.pen(yard.orchard), found.pen(yard.lane)
    assert orchard is not None
    assert lane is not None
    assert [move.bird for move in orchard.going] == [yard.avens]
    assert [move.bird for move in lane.coming] == [yard.avens]
    assert orchard.coming == lane.going == ()
    assert board(snapshot, LATER, TODAY).moves == ()


def test_a_condition_stands_at_the_hen_until_it_ends(yard: Yard) -> None:
    row = Condition(ConditionId(yard.book.new_id()), yard.avens, ConditionKind.BROODY, LATER)
    yard.book.apply(Enter((row,)))

    def noted(day: date) -> list[ConditionKind]:
        orchard = board(yard.book.snapshot(), day, TODAY).pen(yard.orchard)
        assert orchard is not None
        return [each.kind for hen in orchard.hens if hen.bird == yard.avens for each in hen.conditions]

    assert noted(LATER - timedelta(1)) == []
    assert noted(LATER) == [ConditionKind.BROODY]
    ended = Condition(row.id, row.bird, row.kind, row.since, LATER + timedelta(9))
    yard.book.apply(Correct((row,), (ended,)))
    assert noted(LATER + timedelta(8)) == [ConditionKind.BROODY]
    assert noted(LATER + timedelta(9)) == []


@pytest.mark.parametrize(
    ("large", "bantams", "breeds", "left"),
    [
        (8, None, ["Andalusian"] * 3, Room(large=5)),
        (None, 6, ["Andalusian bantam"] * 2, Room(bantams=4)),
        # half the pen is taken by 4 of 8 large fowl: half of 12 bantams fit as well
        (8, 12, ["Andalusian"] * 4, Room(large=4, bantams=6)),
        # 3 of 12 bantams and 2 of 8 large fowl take half
        (8, 12, ["Pekin"] * 3 + ["Andalusian"] * 2, Room(large=4, bantams=6)),
        (8, 12, ["Sebright bantam"], Room(large=7, bantams=11)),
        (2, 3, ["Andalusian"] * 3, Room(large=-1, bantams=-2)),
        (None, None, ["Andalusian"], Room()),
    ],
)
def test_room_left_counts_large_fowl_and_bantams(
    yard: Yard, large: int | None, bantams: int | None, breeds: list[str], left: Room
) -> None:
    pen = Pen(PenId("p"), "Ark", room_large=large, room_bantams=bantams)
    birds = [replace(bird(yard.book, "", Sex.HEN, "2025-02-01"), breed=breed) for breed in breeds]
    assert room_left(pen, birds, TODAY) == left


def test_chicks_with_their_mother_take_no_room(yard: Yard) -> None:
    pen = Pen(PenId("p"), "Ark", room_large=2)
    chick = bird(yard.book, "", Sex.UNKNOWN, "2027-02-01")
    grown = bird(yard.book, "", Sex.HEN, "2025-02-01")
    assert room_left(pen, [grown, chick, chick], TODAY) == Room(large=1)


def test_a_pen_is_clear_when_the_last_of_its_hens_is(yard: Yard) -> None:
    # common practice for fowl: 28 days after the parting; a pen is covered a week after the cock came (Hutt 1949)
    came = date(2027, 2, 1)
    yard.book.apply(
        Together(
            (MoveBirds((yard.usk,), None, came), MoveBirds((yard.lune,), yard.orchard, came)), "exchange"
        )
    )
    orchard = board(yard.book.snapshot(), TODAY).pen(yard.orchard)
    assert orchard is not None
    assert orchard.clear == came + timedelta(28)
    assert orchard.covered == came + timedelta(7)
    assert orchard.certain == came + timedelta(28)
    say = teller(yard.book.snapshot())
    assert "clear from 2027-03-01" in [say(line) for line in figure_lines(orchard, TODAY)]
    before = board(yard.book.snapshot(), came - timedelta(1), TODAY).pen(yard.orchard)
    assert before is not None
    assert before.clear is None


def test_the_chicks_of_each_pair_carry_the_cautious_figure(yard: Yard) -> None:
    sib = bird(yard.book, "W26-01", Sex.HEN, "2026-04-02", name="Sib", sire=yard.usk, dam=yard.avens)
    yard.book.apply(AddBirds((sib,)))
    yard.book.apply(MoveBirds((sib.id,), yard.orchard, date(2027, 2, 1)))
    snapshot = yard.book.snapshot()
    found = board(snapshot, TODAY, relatedness=Relatedness(snapshot, Unknown.FLOCK))
    # father and daughter: F of the chicks 1/4 (Wright 1922)
    assert found.pairs[yard.usk, sib.id] == pytest.approx(0.25)
    assert found.pairs[yard.usk, yard.avens] == pytest.approx(0.0)
    orchard = found.pen(yard.orchard)
    assert orchard is not None
    assert orchard.mean_expected == pytest.approx(0.25 / 3)
    say = teller(snapshot)
    assert "F of the chicks 8.3 %, at most 25.0 %" in [say(line) for line in figure_lines(orchard, TODAY)]


def test_an_empty_pen_says_so(yard: Yard) -> None:
    ark = Pen(PenId(yard.book.new_id()), "Ark", room_large=4, room_bantams=6)
    yard.book.apply(Enter((ark,)))
    snapshot = yard.book.snapshot()
    found = board(snapshot, TODAY).pen(ark.id)
    assert found is not None
    lines = [teller(snapshot)(line) for line in figure_lines(found, TODAY)]
    assert lines == ["empty", "room for 4 large or 6 bantams"]
