"""The days of a sitting, the age of eggs and the weight they lose."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.season.incubation import (
    LossVerdict,
    StorageGrade,
    all_incubations,
    incubation,
    kinds_of,
    plan,
    storage,
    weight_loss,
)
from studbook.season.practice import practice
from studbook.season.species import all_species

FOWL = practice("chicken")
SET = date(2027, 3, 1)


def test_every_species_has_its_kind_and_the_same_days():
    for code, row in all_species().items():
        assert kinds_of(code)[0] == code
        assert incubation(code).days == row.incubation_days
    assert kinds_of("chicken") == ("chicken", "bantam")
    assert kinds_of("duck") == ("duck", "call duck")


@pytest.mark.parametrize("kind", all_incubations())
def test_the_days_of_every_kind_are_in_order(kind):
    eggs = incubation(kind)
    planned = plan(SET, eggs)
    assert SET < planned.lockdown < planned.due_first <= planned.due <= planned.due_last
    assert planned.candlings
    for candling in planned.candlings:
        assert SET < candling.on <= candling.until <= planned.lockdown
    assert eggs.source
    assert eggs.candling_source
    assert eggs.climate.source


@pytest.mark.parametrize(
    ("set_on", "lockdown", "due"),
    [
        (date(2027, 3, 1), date(2027, 3, 19), date(2027, 3, 22)),
        (date(2027, 1, 20), date(2027, 2, 7), date(2027, 2, 10)),
        (date(2027, 2, 15), date(2027, 3, 5), date(2027, 3, 8)),
        (date(2028, 2, 15), date(2028, 3, 4), date(2028, 3, 7)),
        (date(2026, 12, 20), date(2027, 1, 7), date(2027, 1, 10)),
    ],
)
def test_the_day_of_setting_is_day_nought_across_months_and_leap_days(set_on, lockdown, due):
    planned = plan(set_on, "chicken")
    assert planned.lockdown == lockdown
    assert planned.due == due
    assert planned.day(set_on) == 0
    assert planned.day(planned.due) == 21


@given(st.dates(date(1990, 1, 1), date(2100, 1, 1)), st.integers(17, 25))
def test_the_keepers_own_days_move_the_transfer_and_the_window(set_on, days):
    planned = plan(set_on, "chicken", days)
    assert planned.due - set_on == timedelta(days)
    assert planned.due - planned.lockdown == timedelta(3)
    assert planned.due_last - planned.due_first == timedelta(2)
    assert all(candling.until <= planned.lockdown for candling in planned.candlings)


@pytest.mark.parametrize("days", [0, 9, 61])
def test_days_no_egg_takes_are_refused(days):
    with pytest.raises(ValueError, match="between 10 and 60"):
        plan(SET, "chicken", days)


def test_an_unknown_kind_is_refused():
    with pytest.raises(KeyError):
        plan(SET, "dragon")


def test_the_oldest_egg_gives_the_grade():
    found = storage(SET - timedelta(9), SET - timedelta(1), SET, FOWL)
    assert (found.youngest_days, found.oldest_days, found.grade) == (1, 9, StorageGrade.AGEING)
    own = practice("chicken", {"storage_warn_days": 10})
    assert storage(SET - timedelta(9), SET, SET, own).grade is StorageGrade.FRESH


def test_an_egg_laid_after_it_was_set_is_refused():
    with pytest.raises(ValueError, match="after it was set"):
        storage(SET, SET + timedelta(1), SET, FOWL)
    with pytest.raises(ValueError, match="before the first"):
        storage(SET, SET - timedelta(1), SET, FOWL)


def test_weight_is_lost_in_even_steps_up_to_the_transfer():
    eggs = incubation("chicken")
    whole, half = eggs.expected_loss(18), eggs.expected_loss(9)
    assert half.low == pytest.approx(whole.low / 2)
    assert eggs.expected_loss(0).high == 0
    assert eggs.expected_loss(21) == whole
    with pytest.raises(ValueError, match="before it is set"):
        eggs.expected_loss(-1)


@pytest.mark.parametrize(
    ("weight", "verdict"), [(56.0, LossVerdict.LITTLE), (52.8, LossVerdict.USUAL), (49.0, LossVerdict.MUCH)]
)
def test_weight_lost_stands_beside_the_usual_band(weight, verdict):
    assert weight_loss(incubation("chicken"), 18, 60.0, weight).verdict is verdict


def test_eggs_do_not_gain_weight():
    with pytest.raises(ValueError, match="lose weight"):
        weight_loss(incubation("chicken"), 7, 60.0, 61.0)
