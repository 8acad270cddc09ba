"""A plan made into planned moves."""

from datetime import date

from studbook.book.ids import BirdId, PenId
from studbook.planning.best_pens.moves import Stranger, fewest_moves, moves_of_plan
from studbook.planning.best_pens.wishes import BestPen, Place, Wishes
from tests.planning.best_pens.yard import LANE, ORCHARD, move, yard
from tests.planning.flock import TODAY

DAY = date(2026, 2, 21)


def pen(cock: str, hens: str, place: PenId | None) -> BestPen:
    return BestPen(BirdId(cock), tuple(map(BirdId, hens.split())), 0.0, place)


PLAN = (pen("Tamar", "Bryony", ORCHARD), pen("Dart", "Hazel Elder", LANE))


def test_birds_that_are_there_stay_and_the_others_are_planned() -> None:
    found = moves_of_plan(yard(), PLAN, DAY, TODAY, note="plan 1")
    assert {(row.bird, row.pen, row.on, row.note) for row in found.moves} == {
        ("Hazel", LANE, DAY, "plan 1"),
        ("Elder", LANE, DAY, "plan 1"),
    }
    assert set(found.there) == {"Tamar", "Bryony", "Dart"}
    assert found.strangers == found.replaced == found.homeless == ()


def test_a_planned_move_that_fits_is_kept_and_one_that_does_not_is_taken_back() -> None:
    right, wrong = move("Hazel", LANE), move("Elder", ORCHARD)
    found = moves_of_plan(yard(right, wrong), PLAN, DAY, TODAY)
    assert [row.bird for row in found.moves] == ["Elder"]
    assert "Hazel" in found.there
    assert found.replaced == (wrong,)


def test_a_bird_that_is_there_and_would_leave_stays() -> None:
    leaving = move("Bryony", LANE)
    found = moves_of_plan(yard(leaving), PLAN, DAY, TODAY)
    assert found.replaced == (leaving,)
    assert "Bryony" in found.there


def test_birds_not_of_the_plan_are_told_and_move_out_when_asked() -> None:
    plan = (pen("Dart", "Bryony", ORCHARD),)
    told = moves_of_plan(yard(), plan, DAY, TODAY)
    assert set(told.strangers) == {Stranger(BirdId("Tamar"), ORCHARD), Stranger(BirdId("Hazel"), ORCHARD)}
    assert [row.bird for row in told.moves] == ["Dart"]
    made = moves_of_plan(yard(), plan, DAY, TODAY, out=[BirdId("Tamar")], out_to=LANE)
    assert {(row.bird, row.pen) for row in made.moves} == {("Dart", ORCHARD), ("Tamar", LANE)}


def test_a_bird_planned_to_come_stays_where_it_is_when_asked() -> None:
    coming = move("Wye", ORCHARD)
    told = moves_of_plan(yard(coming), PLAN, DAY, TODAY)
    assert told.strangers == (Stranger(BirdId("Wye"), ORCHARD, comes=True),)
    assert told.replaced == ()
    made = moves_of_plan(yard(coming), PLAN, DAY, TODAY, out=[BirdId("Wye")])
    assert made.replaced == (coming,)
    assert "Wye" not in [row.bird for row in made.moves]


def test_a_pen_without_a_place_plans_nothing() -> None:
    found = moves_of_plan(yard(), (pen("Wye", "Elder", None),), DAY, TODAY)
    assert found.moves == ()
    assert found.homeless == ("Wye",)


def wishes(*places: Place) -> Wishes:
    return Wishes((), (), 2, 9, places=places)


def test_pens_stand_where_most_of_their_birds_are_already() -> None:
    plan = (pen("Tamar", "Bryony", LANE), pen("Dart", "Hazel Elder", ORCHARD))
    asked = wishes(Place(ORCHARD, 3), Place(LANE, 2))
    assert [found.place for found in fewest_moves(yard(), plan, asked, TODAY)] == [ORCHARD, LANE]


def test_a_place_that_is_too_small_is_not_taken() -> None:
    plan = (pen("Tamar", "Bryony", LANE), pen("Dart", "Hazel Elder", ORCHARD))
    asked = wishes(Place(ORCHARD, 3), Place(LANE, 1))
    assert [found.place for found in fewest_moves(yard(), plan, asked, TODAY)] == [LANE, ORCHARD]


def test_a_pen_stays_in_its_yard_and_leaves_the_reserve_its_place() -> None:
    plan = (pen("Tamar", "Bryony", LANE),)
    away = wishes(Place(ORCHARD, 3, second_yard=True), Place(LANE, 2))
    assert [found.place for found in fewest_moves(yard(), plan, away, TODAY)] == [LANE]
    home = wishes(Place(ORCHARD, 3), Place(LANE, 2))
    assert [found.place for found in fewest_moves(yard(), plan, home, TODAY)] == [ORCHARD]
    assert [found.place for found in fewest_moves(yard(), plan, home, TODAY, taken=[ORCHARD])] == [LANE]
