"""What the book tells of fertility, hatch, survival and laying, and when the usual figures stand in."""

from datetime import date

import pytest

from studbook.planning.next_season.figures import FlockFigures, flock_figures
from studbook.planning.next_season.practice import usual_figures
from studbook.planning.next_season.wish import Way
from studbook.season.binomial import interval
from studbook.season.practice import WeightClass
from studbook.season.species import all_species
from tests.planning.next_season.flock import TODAY, Seasons

LAST_SET = date(2027, 4, 12)


def figures(seasons: Seasons, way: Way = Way.MACHINE) -> FlockFigures:
    return flock_figures(seasons.snapshot(), "chicken", way, LAST_SET, TODAY, 150)


def test_shares_are_the_flocks_own_with_the_exact_interval() -> None:
    seasons = Seasons()
    seasons.sitting("2025-03-08", clear=4, early_dead=2, late_dead=2, hatched=12)
    seasons.sitting("2026-03-07", clear=3, late_dead=3, hatched=14)
    found = figures(seasons)
    assert [(row.season, row.reached, row.of) for row in found.fertile.seasons] == [
        (2025, 16, 20),
        (2026, 17, 20),
    ]
    assert found.fertile.seen == interval(33, 40)
    assert found.fertile.rate.mean == pytest.approx(34 / 42)
    assert found.hatched.seen == interval(26, 33)
    assert found.fertile.usual is None


def test_trials_say_nothing_of_the_fertility_of_a_season() -> None:
    seasons = Seasons()
    seasons.sitting("2026-01-16", trial=True, clear=10, removed=12)
    seasons.sitting("2026-03-07", clear=2, hatched=20)
    found = figures(seasons)
    assert found.fertile.seen == interval(20, 22)
    assert found.fertile.left_out == 10


def test_a_way_of_hatching_speaks_for_itself_where_it_has_enough_eggs() -> None:
    seasons = Seasons()
    seasons.sitting("2025-03-08", late_dead=10, hatched=15)
    seasons.sitting("2025-03-29", broody=True, late_dead=1, hatched=9)
    machine, broody = figures(seasons), figures(seasons, Way.BROODY)
    assert (machine.hatched.way, machine.hatched.seen) == (Way.MACHINE, interval(15, 25))
    assert (broody.hatched.way, broody.hatched.seen) == (None, interval(24, 35))


def test_too_few_eggs_leave_it_to_the_usual_figure() -> None:
    seasons = Seasons()
    seasons.sitting("2026-03-07", clear=9, hatched=3)
    found = figures(seasons)
    usual = usual_figures("chicken")
    assert found.fertile.usual == usual.fertile
    assert found.fertile.seen == interval(3, 12)
    assert found.fertile.rate.mean == pytest.approx(usual.fertile.value)
    assert found.fertile.rate.certainty == pytest.approx(usual.weight)


def test_birds_parted_with_young_were_neither_lost_nor_reared() -> None:
    seasons = Seasons()
    seasons.chicks(2025, reared=20, lost=5, sold=7)
    found = figures(seasons)
    assert found.reared.seen == interval(20, 25)
    assert found.reared.left_out == 7


def test_chicks_not_yet_old_enough_are_not_counted() -> None:
    seasons = Seasons()
    seasons.chicks(2026, reared=20, lost=5)
    early = flock_figures(seasons.snapshot(), "chicken", Way.MACHINE, LAST_SET, date(2026, 8, 1), 150)
    assert early.reared.seen.of == 0
    assert figures(seasons).reared.seen.of == 25


def test_chicks_that_died_on_the_first_day_count_as_lost_though_never_entered() -> None:
    seasons = Seasons()
    seasons.chicks(2026, reared=20, lost=0)
    seasons.sitting("2026-04-10", hatched=23, died=3)
    assert figures(seasons).reared.seen == interval(20, 23)


def test_a_fox_year_makes_the_next_season_less_certain() -> None:
    alike, foxed = Seasons(), Seasons()
    for season, lost, fox in ((2022, 4, 1), (2023, 4, 1), (2024, 4, 1), (2025, 4, 13), (2026, 4, 4)):
        alike.chicks(season, 25 - lost, lost)
        foxed.chicks(season, 25 - fox, fox)
    even, uneven = figures(alike).reared, figures(foxed).reared
    assert even.rate.mean == pytest.approx(uneven.rate.mean)
    assert (even.correlation, uneven.correlation > 0) == (0.0, True)
    assert uneven.rate.certainty < even.rate.certainty / 3


def test_laying_is_eggs_of_hen_days_in_the_weeks_of_setting() -> None:
    seasons = Seasons()
    seasons.hens(10)
    seasons.laying("2026-02-20", 40, 6)
    seasons.laying("2026-08-01", 30, 1)
    found = figures(seasons).laying
    assert (found.eggs, found.hen_days, found.seasons) == (240, 400, (2026,))
    assert found.per_hen_day == pytest.approx(0.6)


def test_broodies_get_what_they_were_given() -> None:
    seasons = Seasons()
    seasons.hens(3)
    for day, eggs in (("2025-03-29", 9), ("2025-05-10", 12), ("2026-03-28", 10)):
        seasons.sitting(day, broody=True, hatched=eggs)
    found = figures(seasons)
    assert found.broody is not None
    assert (found.broody.eggs, found.broody.sittings, found.broody.usual) == (10, 3, None)
    assert found.kind is WeightClass.LIGHT


def test_an_empty_book_leaves_all_to_the_usual_figures() -> None:
    found = figures(Seasons())
    assert [step.usual is None for step in found.steps] == [False] * 3
    assert found.laying.usual is not None
    assert found.broody is not None
    assert found.broody.usual is not None


@pytest.mark.parametrize("species", list(all_species()))
def test_every_species_has_usual_figures_that_say_where_they_are_from(species: str) -> None:
    usual = usual_figures(species)
    for figure in (usual.fertile, usual.hatched, usual.reared, usual.fit, usual.laying):
        assert 0 < figure.value <= 1
        assert figure.source
    assert 20 <= usual.age.value <= 400
    assert all(figure.value >= 1 for figure in usual.broody.values())
