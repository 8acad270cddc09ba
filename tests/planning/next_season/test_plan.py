"""A whole season planned backwards, in numbers and in sentences."""

from dataclasses import replace
from datetime import date

import pytest

from studbook.book.husbandry.rows import Pen
from studbook.book.ids import PenId
from studbook.planning.next_season.days import DayKind, diary_jobs, diary_jobs_before, season_days
from studbook.planning.next_season.methods import SeasonFigure, explained
from studbook.planning.next_season.plan import SeasonPlan, plan_season
from studbook.planning.next_season.telling import (
    answer_sentence,
    expected_sentences,
    means_sentences,
    room_sentences,
    surplus_sentences,
    warnings,
)
from studbook.planning.next_season.wish import Way, Wish, usual_wish
from studbook.season.backwards import Chain, chances, rate_seen
from tests.planning.next_season.flock import TODAY, Seasons

WISH = Wish(8, 3, 0.9, date(2027, 10, 1), 150, Way.MACHINE)


@pytest.fixture
def seasons() -> Seasons:
    """Two seasons alike: 34 of 40 fertile, 26 of 34 hatched, 40 of 50 chicks reared."""
    made = Seasons()
    made.hens(12)
    for year in (2025, 2026):
        made.sitting(f"{year}-03-08", clear=3, late_dead=4, hatched=13)
        made.chicks(year, reared=14, lost=5)
    made.laying("2026-03-01", 40, 6)
    return made


def iso(day: date) -> str:
    return day.isoformat()


def planned(seasons: Seasons, wish: Wish = WISH, today: date = TODAY) -> SeasonPlan:
    return plan_season(seasons.snapshot(), "chicken", wish, today)


def test_the_eggs_are_the_fewest_that_give_the_chance(seasons: Seasons) -> None:
    # the twelve living hens were chicks of 2025 too, and grew up
    chain = Chain(rate_seen(34, 40), rate_seen(26, 34), rate_seen(40, 50))
    found = planned(seasons)
    assert found.figures.chain == chain
    assert found.eggs is not None
    table = chances(chain, 8, 3, 120)
    assert table[found.eggs] >= 0.9 > table[found.eggs - 1]


def test_a_surer_wish_takes_more_eggs(seasons: Seasons) -> None:
    eggs = [eggs for _chance, eggs in planned(seasons).by_chance]
    assert eggs == sorted(eggs)
    assert len(set(eggs)) == 4


def test_the_answer_names_birds_day_chance_and_eggs(seasons: Seasons) -> None:
    found = planned(seasons)
    assert answer_sentence(found, iso) == (
        f"To have at least 8 pullets and 3 cockerels to choose from on 2027-10-01 with 9 chances in 10, "
        f"set {found.eggs} eggs."
    )
    assert found.expected is not None
    said = " ".join(expected_sentences(found))
    assert f"{found.expected.pullets.low} to {found.expected.pullets.high} pullets" in said


def test_only_cockerels_or_nothing_wished(seasons: Seasons) -> None:
    assert "at least 3 cockerels to choose" in answer_sentence(
        planned(seasons, replace(WISH, pullets=0)), iso
    )
    nothing = planned(seasons, replace(WISH, pullets=0, cockerels=0))
    assert nothing.eggs == 0
    assert answer_sentence(nothing, iso).startswith("Say how many")
    assert season_days(nothing) == ()


def test_surplus_males_are_told_with_a_caution(seasons: Seasons) -> None:
    found = planned(seasons)
    assert found.expected is not None
    assert found.surplus == pytest.approx(found.expected.cockerels.mean - 3)
    said = " ".join(surplus_sentences(found))
    assert f"{round(found.surplus)} more than you want" in said
    assert "without pain" in said
    assert "Local rules and a vet decide" in said


def test_room_is_that_of_the_pens_in_use(seasons: Seasons) -> None:
    seasons.pens.append(Pen(PenId("lane"), "Lane"))
    found = planned(seasons)
    assert (found.room.places, found.room.free, found.room.untold) == (20, 8, 1)
    said = " ".join(room_sentences(found))
    assert "8 of 20 places free" in said
    assert "Of 1 pen the book does not say" in said


def test_too_late_is_told_with_the_chance_that_is_left(seasons: Seasons) -> None:
    assert warnings(planned(seasons), TODAY, iso) == ()
    late = date(2027, 4, 7)
    found = planned(seasons, today=late)
    said = " ".join(warnings(found, late, iso))
    assert f"{found.schedule.late} eggs should have been set before today" in said
    assert found.reachable is not None
    assert found.reachable < 0.9
    gone = planned(seasons, today=date(2027, 6, 1))
    assert gone.reachable == 0


def test_a_flock_without_hens_says_so(seasons: Seasons) -> None:
    found = planned(seasons, replace(WISH, hens=0))
    assert warnings(found, TODAY, iso) == ("The flock has no hens that could lay these eggs.",)


def test_broodies_are_told_by_number(seasons: Seasons) -> None:
    found = planned(seasons, replace(WISH, way=Way.BROODY))
    said = " ".join(means_sentences(found, iso))
    assert f"That takes {found.schedule.sittings} broodies, 11 eggs under each at most." in said


def test_the_days_become_jobs_and_are_known_again(seasons: Seasons) -> None:
    snapshot = seasons.snapshot()
    found = plan_season(snapshot, "chicken", WISH, TODAY)
    days = season_days(found)
    assert [day.kind for day in days[:2]] == [DayKind.JOIN, DayKind.COLLECT]
    assert days[-1].kind is DayKind.CHOOSE
    assert sum(day.eggs for day in days) == found.eggs
    jobs = diary_jobs(snapshot, found, TODAY)
    assert [job.starts for job in jobs] == [day.on for day in days]
    year = replace(snapshot.husbandry, jobs={str(number): job for number, job in enumerate(jobs)})
    after = replace(snapshot, husbandry=year)
    assert diary_jobs_before(after, found, TODAY) == jobs
    # what has passed stays as it was
    assert diary_jobs_before(after, found, days[-1].on) == jobs[-1:]


@pytest.mark.parametrize("which", list(SeasonFigure))
def test_every_figure_opens_its_explanation(seasons: Seasons, which: SeasonFigure) -> None:
    opened = explained(which, planned(seasons, replace(WISH, way=Way.BROODY)))
    assert opened.title
    assert opened.told


def test_the_usual_wish_is_for_the_autumn_of_the_season(seasons: Seasons) -> None:
    wish = usual_wish(seasons.snapshot(), "chicken", 2027)
    assert (wish.choose_on, wish.way) == (date(2027, 10, 1), Way.MACHINE)
    seasons.machines = []
    assert usual_wish(seasons.snapshot(), "chicken", 2027).way is Way.BROODY


def test_a_share_of_the_keepers_own_takes_the_place_of_the_books(seasons: Seasons) -> None:
    own = planned(seasons, replace(WISH, fertile=0.6))
    assert own.figures.fertile.rate.mean == pytest.approx(0.6)
    assert own.figures.fertile.seen == planned(seasons).figures.fertile.seen
    before = planned(seasons).eggs
    assert own.eggs is not None
    assert before is not None
    assert own.eggs > before
    told = " ".join(explained(SeasonFigure.FERTILE, own).told)
    assert "a share of your own" in told
    assert "34 of 40" in told


def test_eggs_that_lie_in_the_machine_take_its_places(seasons: Seasons) -> None:
    assert planned(seasons).means.lying == ()
    seasons.sitting("2027-02-10", hatched=30)
    seasons.fates.pop()
    (lying,) = planned(seasons).means.lying
    assert (lying.since, lying.until, lying.eggs) == (date(2027, 2, 10), date(2027, 3, 4), 30)


def test_the_days_of_collecting_are_told(seasons: Seasons) -> None:
    found = planned(seasons)
    days = (found.schedule.settings[-1].set_on - found.schedule.settings[0].collect_from).days
    assert f"collected over {days} days." in means_sentences(found, iso)[0]
