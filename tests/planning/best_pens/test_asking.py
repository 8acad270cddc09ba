"""What is proposed to a keeper who asks for next season's pens."""

from studbook.book.husbandry.choosing_rows import Verdict
from studbook.book.ids import BirdId
from studbook.planning.best_pens.asking import LeftOut, propose, second_yard
from studbook.planning.best_pens.present import Company
from studbook.planning.best_pens.wishes import Place
from studbook.season.practice import ApartReason
from tests.planning.best_pens.yard import (
    ATTIC,
    AWAY,
    CRATE,
    LANE,
    ORCHARD,
    apart,
    ban,
    choice,
    move,
    yard,
)
from tests.planning.flock import TODAY, flock


def test_every_grown_bird_is_proposed_unless_marked() -> None:
    wishes = propose(yard(), "chicken", 2026, TODAY).wishes
    assert set(wishes.cocks) == {"Dart", "Tamar", "Wye"}
    assert set(wishes.hens) == {"Hazel", "Bryony", "Elder"}


def test_no_and_reserve_are_left_out_with_the_keepers_reason() -> None:
    found = propose(
        yard(choice("Wye", Verdict.RESERVE, "young"), choice("Elder", Verdict.NO, "crooked toe")),
        "chicken",
        2026,
        TODAY,
    )
    assert "Wye" not in found.wishes.cocks
    assert "Elder" not in found.wishes.hens
    assert {(out.bird, out.why, out.reason) for out in found.left_out} == {
        ("Wye", LeftOut.RESERVE, "young"),
        ("Elder", LeftOut.NO, "crooked toe"),
    }
    assert found.reserve == ("Wye",)
    assert found.wishes.reserve_males == 0  # the keeper has named his reserve


def test_a_choice_of_another_season_says_nothing() -> None:
    found = propose(yard(choice("Elder", Verdict.NO, season=2025)), "chicken", 2026, TODAY)
    assert "Elder" in found.wishes.hens


def test_a_hurt_bird_waits_unless_it_was_chosen() -> None:
    hurt = apart("Elder", ApartReason.HURT)
    assert "Elder" not in propose(yard(hurt), "chicken", 2026, TODAY).wishes.hens
    chosen = propose(yard(hurt, choice("Elder", Verdict.CHOSEN)), "chicken", 2026, TODAY)
    assert "Elder" in chosen.wishes.hens
    broody = propose(yard(apart("Elder", ApartReason.BROODY)), "chicken", 2026, TODAY)
    assert "Elder" in broody.wishes.hens


def test_pens_that_bred_are_proposed_with_room_beside_the_cock() -> None:
    found = propose(yard(), "chicken", 2026, TODAY)
    assert found.wishes.pens == 1
    assert found.wishes.places == (Place(ORCHARD, 3),)
    assert found.wishes.reserve_males == 1
    by_pen = {place.pen.id: place.hens for place in found.places}
    assert by_pen == {ORCHARD: 3, LANE: 2, ATTIC: None}  # the crate takes no hen beside a cock
    assert CRATE not in by_pen


def test_planned_moves_count_as_made() -> None:
    found = propose(yard(move("Elder", LANE), move("Bryony", LANE)), "chicken", 2026, TODAY)
    assert found.present == (
        Company((BirdId("Tamar"),), (BirdId("Hazel"),), ORCHARD),
        Company((BirdId("Dart"),), (BirdId("Bryony"), BirdId("Elder")), LANE),
    )
    assert found.moves_planned
    assert found.wishes.pens == 2
    assert {place.pen for place in found.wishes.places} == {ORCHARD, LANE}


def test_without_pens_there_are_no_places_and_a_pen_for_each_cock() -> None:
    found = propose(flock(), "chicken", 2026, TODAY)
    assert (found.places, found.wishes.places, found.present) == ((), (), ())
    assert found.wishes.pens == 3


def test_pairs_not_wanted_are_told_and_need_not_be_wished_again() -> None:
    found = propose(yard(ban("Tamar", "Hazel")), "chicken", 2026, TODAY)
    assert [(row.cock, row.hen) for row in found.bans] == [("Tamar", "Hazel")]
    assert found.wishes.never == ()


def test_a_house_can_be_the_second_yard() -> None:
    places = (Place(ORCHARD, 3), Place(ATTIC))
    assert second_yard(yard(), AWAY, places) == (Place(ORCHARD, 3), Place(ATTIC, None, second_yard=True))
    assert second_yard(yard(), None, places) == places
