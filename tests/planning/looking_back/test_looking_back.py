"""A plan beside its season: whose the chicks are, what became of them, and what is said of it."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from studbook.book.changes import Enter
from studbook.book.records import BirdId, Snapshot
from studbook.book.relatedness import Relatedness
from studbook.planning.looking_back.report import Change, PlanBack, Tally, between, look_back, plans_of
from studbook.planning.looking_back.telling import (
    company_words,
    compared,
    differently,
    eggs_words,
    standing_words,
)
from studbook.planning.sentences import Sentence, plain
from tests.flock import TODAY
from tests.planning.flock import flock
from tests.planning.looking_back.season import LEFT, plan_of_season, season
from tests.season_flock import Yard, new_yard


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    made = season(tmp_path / "withybrook.studbook")
    yield made
    made.book.close()


def back_on(snapshot: Snapshot, today: date = TODAY) -> PlanBack:
    (plan,) = plans_of(snapshot, "chicken")
    return look_back(snapshot, plan, Relatedness(snapshot), today)


def said(sentences: tuple[Sentence, ...], snapshot: Snapshot) -> list[str]:
    def called(bird: BirdId) -> str:
        return snapshot.bird(bird).name

    return [plain(sentence, called, lambda number, places: f"{number:.{places}f}") for sentence in sentences]


def test_chicks_are_of_the_pen_their_egg_was_set_from(yard: Yard) -> None:
    back = back_on(yard.book.snapshot())
    orchard, lane = back.pens
    assert (len(orchard.chicks), len(lane.chicks), back.elsewhere) == (3, 1, ())
    assert (orchard.share, lane.share) == (0.75, 0.25)
    assert (orchard.planned_share, lane.planned_share) == (pytest.approx(2 / 3), pytest.approx(1 / 3))
    assert (orchard.eggs.set_under, orchard.eggs.ended, orchard.eggs.clear, orchard.eggs.hatched) == (
        12,
        12,
        5,
        3,
    )
    assert back.eggs.set_under == 16


def test_what_became_of_them_is_counted(yard: Yard) -> None:
    back = back_on(yard.book.snapshot())
    assert back.pens[0].tally == Tally(chicks=3, living=2, kept=1, handed_over=1)
    assert back.pens[1].tally == Tally(chicks=1, living=1)
    assert back.tally == Tally(chicks=4, living=3, kept=1, handed_over=1)
    assert back.is_over


def test_the_figures_that_came_stand_beside_those_foreseen(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    back = back_on(snapshot)
    assert back.inbreeding == 0.0  # founders of no common yard
    assert back.plan.inbreeding == 0.0
    # living: two of the Orchard (one sire, two dams alike likely: f = 1/8 + 1/2 · 1/8) and one of the Lane
    assert back.living_kinship == pytest.approx((1 / 8 + 1 / 16) / 3)
    assert back.kept_kinship is None
    figures = {found.key: found for found in compared(back)}
    assert figures["chicks"].before == ("6",)
    assert figures["chicks"].value == ("4",)
    assert "Ballou" in figures["kinship"].method.sources[0]


def test_who_left_is_told_and_a_lost_cock_is_a_lesson(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    back = back_on(snapshot)
    lane = back.pens[1]
    assert lane.left == (Change(yard.lune, LEFT),)
    assert back.pens[0].left == back.pens[0].never_came == back.pens[0].came == ()
    assert "Lune left on 2026-04-10." in said(company_words(lane, snapshot), snapshot)
    lessons = said(differently(back, snapshot), snapshot)
    assert "Lane: Lune left on 2026-04-10. Have a proven cock in reserve for such a case." in lessons
    assert "Orchard: 5 of 12 eggs were clear. Candle his first eggs earlier in the season." in lessons
    assert any(text.startswith("Lane: none of its chicks was kept to breed.") for text in lessons)


def test_the_season_is_told_in_a_sentence(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    back = back_on(snapshot)
    assert said((standing_words(back),), snapshot) == [
        "4 chicks, 3 in the flock now, 1 kept to breed, 1 sold, given or lent."
    ]
    assert said((eggs_words(back.pens[0]),), snapshot) == ["12 eggs set: 5 clear, 3 hatched."]


def test_a_plan_whose_season_is_to_come_has_nothing_to_say_yet(tmp_path: Path) -> None:
    yard = new_yard(tmp_path / "withybrook.studbook")
    yard.book.apply(Enter(plan_of_season(yard, 2027, TODAY)))
    snapshot = yard.book.snapshot()
    back = back_on(snapshot)
    assert not back.is_over
    assert said((standing_words(back),), snapshot) == [
        "Nothing has hatched yet: what comes of it will stand here."
    ]
    assert differently(back, snapshot) == ()
    late = back_on(snapshot, date(2027, 8, 1))
    assert late.is_over
    assert all("nothing hatched" in text for text in said(differently(late, snapshot), snapshot))
    yard.book.close()


def test_a_season_as_foreseen_has_no_lesson(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    back = back_on(snapshot)
    orchard = back.pens[0]
    fine = replace(orchard, eggs=replace(orchard.eggs, clear=1), share=orchard.planned_share)
    alike = replace(back, pens=(fine,), living_kinship=back.plan.kinship)
    assert said(differently(alike, snapshot), snapshot) == [
        "It came as foreseen: by these figures there is nothing to do differently."
    ]


def test_closer_and_uneven_seasons_have_theirs(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    back = back_on(snapshot)
    pen = replace(back.pens[0], inbreeding=0.06, share=0.9)
    lessons = said(
        differently(replace(back, pens=(pen,), living_kinship=back.plan.kinship + 0.05), snapshot), snapshot
    )
    assert any("closer bred than foreseen, 6.00 % instead of 0.00 %" in text for text in lessons)
    assert (
        "Orchard gave 90 % of the chicks where 67 % was planned: set fewer of its eggs next time." in lessons
    )
    assert any("keep some of every pen" in text for text in lessons)


def test_the_kinship_of_different_birds_leaves_each_with_itself_out() -> None:
    # full sibs 1/4, half sibs 1/8 (Falconer & Mackay 1996, table 5.1): two chicks of Bramble and one of Sloe
    found = between(Relatedness(flock()), [BirdId("Tamar"), BirdId("Hazel"), BirdId("Bryony")])
    assert found == pytest.approx((1 / 4 + 1 / 8 + 1 / 8) / 3)
    assert between(Relatedness(flock()), [BirdId("Tamar")]) is None
