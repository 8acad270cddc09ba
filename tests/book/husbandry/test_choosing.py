"""Who may breed, pairs not wanted, plans and rotations: kept, refused in a sentence, taken back."""

import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from studbook.book.changes import Enter, Withdraw
from studbook.book.errors import RecordProblems
from studbook.book.husbandry.choosing_rows import (
    Ban,
    Choice,
    Plan,
    PlannedBird,
    PlannedPen,
    Rotation,
    RotationPen,
    Verdict,
)
from studbook.book.ids import (
    BanId,
    ChoiceId,
    PlanId,
    PlannedBirdId,
    PlannedPenId,
    RotationId,
    RotationPenId,
)
from studbook.book.opening import open_book
from tests.flock import TODAY
from tests.season_flock import Yard, new_yard


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return new_yard(tmp_path / "yard.db")


def refused(yard: Yard, *rows: Any) -> str:
    with pytest.raises(RecordProblems) as found:
        yard.book.apply(Enter(rows))
    return found.value.problems[0].message


def chosen(yard: Yard, season: int = 2027, verdict: Verdict = Verdict.CHOSEN) -> Choice:
    return Choice(ChoiceId(""), yard.usk, season, verdict, TODAY, "calm and broad")


def test_a_choice_is_kept_with_its_reason_and_taken_back(yard: Yard) -> None:
    yard.book.apply(Enter((chosen(yard), chosen(yard, 2026, Verdict.RESERVE))))
    year = yard.book.snapshot().husbandry
    found = year.choice_for(yard.usk, 2027)
    assert found is not None
    assert (found.verdict, found.reason) == (Verdict.CHOSEN, "calm and broad")
    assert [choice.season for choice in year.choices_of[yard.usk]] == [2027, 2026]
    yard.book.undo()
    assert not yard.book.snapshot().husbandry.choices


def test_a_second_choice_for_a_season_is_refused(yard: Yard) -> None:
    yard.book.apply(Enter((chosen(yard),)))
    assert refused(yard, chosen(yard)) == (
        "It is noted already whether W24-01 may breed in 2027: correct that instead."
    )
    assert len(yard.book.snapshot().husbandry.choices) == 1


def test_a_pair_not_wanted_is_a_cock_and_a_hen_named_once(yard: Yard) -> None:
    ban = Ban(BanId(""), yard.usk, yard.avens, TODAY, "soft shells last year")
    yard.book.apply(Enter((ban,)))
    assert yard.book.snapshot().husbandry.banned_pairs[yard.usk, yard.avens].reason == ban.reason
    assert "noted already as a pair you do not want" in refused(yard, ban)
    assert "W24-11 is a hen" in refused(yard, Ban(BanId(""), yard.avens, yard.betony, TODAY))


def plan_of(yard: Yard) -> tuple[Any, ...]:
    plan = Plan(PlanId(yard.book.new_id()), 2027, TODAY, "Two pens", inbreeding=0.05, kinship=0.2, bound=0.12)
    pens = [PlannedPen(PlannedPenId(yard.book.new_id()), plan.id, place, 0.05) for place in (2, 1)]
    birds = [
        PlannedBird(PlannedBirdId(""), pens[0].id, yard.usk, 0.5),
        PlannedBird(PlannedBirdId(""), pens[0].id, yard.avens, 0.5, 0.05, "least related to Usk"),
    ]
    return (plan, *pens, *birds)


def test_a_plan_keeps_its_pens_birds_and_predictions(yard: Yard) -> None:
    rows = plan_of(yard)
    yard.book.apply(Enter(rows))
    year = yard.book.snapshot().husbandry
    plan = next(iter(year.plans.values()))
    first, second = year.pens_of_plan[plan.id]
    assert (plan.inbreeding, plan.kinship, plan.bound) == (0.05, 0.2, 0.12)
    assert (first.position, second.position) == (1, 2)
    assert [planned.bird for planned in year.birds_of_planned_pen[second.id]] == [yard.usk, yard.avens]
    yard.book.apply(Withdraw((plan, *year.planned_pens.values(), *year.planned_birds.values())))
    assert not yard.book.snapshot().husbandry.plans


def test_a_bird_stands_once_in_a_plan(yard: Yard) -> None:
    rows = plan_of(yard)
    twice = PlannedBird(PlannedBirdId(""), rows[2].id, yard.usk, 0.5)
    assert refused(yard, *rows, twice) == ("W24-01 stands in the plan twice: take it out of one of the pens.")
    assert not yard.book.snapshot().husbandry.plans


def test_a_rotation_moves_between_two_pens_at_least_and_each_stands_once(yard: Yard) -> None:
    rotation = Rotation(RotationId(yard.book.new_id()), "Two families", date(2026, 1, 10))
    places = [
        RotationPen(RotationPenId(""), rotation.id, pen, place)
        for place, pen in enumerate((yard.lane, yard.orchard), 1)
    ]
    assert "needs two pens at least" in refused(yard, rotation, places[0])
    assert "stands in the rotation" in refused(yard, rotation, *places, places[0])
    yard.book.apply(Enter((rotation, *places)))
    held = yard.book.snapshot().husbandry.pens_of_rotation[rotation.id]
    assert [place.pen for place in held] == [yard.lane, yard.orchard]


def test_a_book_from_before_choosing_is_opened_and_takes_choices(tmp_path: Path) -> None:
    path = tmp_path / "old.db"
    shutil.copyfile(Path(__file__).parent.parent / "released" / "year" / "version_3.db", path)
    with open_book(path, today=TODAY) as book:
        assert book.check() == ()
        year = book.snapshot().husbandry
        assert (len(year.stays), len(year.batches), len(year.choices)) == (5, 1, 0)
        usk = next(bird for bird in book.snapshot().birds if bird.name == "Usk")
        book.apply(Enter((Choice(ChoiceId(""), usk.id, 2027, Verdict.NO, TODAY, "too old"),)))
        assert book.snapshot().husbandry.choice_for(usk.id, 2027) is not None
        assert book.check() == ()
