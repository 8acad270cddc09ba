"""Days of incubation, storage and hatching results against published guides and a worked example."""

from datetime import date, timedelta

import pytest

from studbook.season.incubation import StorageGrade, incubation, plan, storage, storage_temperature
from studbook.season.outcome import Counts, outcome
from studbook.season.practice import practice

SET = date(2027, 3, 1)

# University of Nebraska incubation guide, Table I, and a table of a US extension bulletin seen as a copy.
PUBLISHED_DAYS = [
    ("chicken", 21, 21, 18),
    ("duck", 28, 28, 25),
    ("muscovy duck", 33, 37, 31),
    ("goose", 29, 31, 27),
    ("turkey", 28, 28, 25),
    ("guinea fowl", 26, 28, 25),
    ("japanese quail", 17, 18, 15),
    ("pheasant", 23, 28, 21),
    ("pigeon", 16, 19, 14),
]


@pytest.mark.parametrize(("kind", "first", "last", "transfer"), PUBLISHED_DAYS)
def test_published_days_lie_in_the_window_of_the_hatch(kind, first, last, transfer):
    """University of Nebraska, Table I; extension bulletin: days of incubation and the day turning stops."""
    planned = plan(SET, kind)
    assert planned.due_first <= SET + timedelta(first)
    assert planned.due_last >= SET + timedelta(last)
    assert first <= planned.day(planned.due) <= last
    assert planned.lockdown == SET + timedelta(transfer)


def test_bantams_hatch_a_day_before_large_fowl():
    """Common practice: 20 to 21 days, often 19 to 20."""
    bantam = plan(SET, "bantam")
    assert (bantam.day(bantam.due_first), bantam.day(bantam.due_last)) == (19, 21)


def test_temperature_in_moving_and_in_still_air():
    """Mississippi State University Extension: 100 °F in moving air, 102 °F in still air; a bulletin: 99.5 °F."""
    climate = incubation("chicken").climate
    assert climate.moving_air_c.low == pytest.approx((99.5 - 32) / 1.8, abs=0.05)
    assert climate.moving_air_c.high == pytest.approx((100 - 32) / 1.8, abs=0.05)
    assert climate.still_air_c == pytest.approx((102 - 32) / 1.8, abs=0.05)


def test_humidity_covers_what_the_services_print():
    """Mississippi State: 58 to 60 %, then at least 65 %; another state's service: 45 to 55 %."""
    climate = incubation("chicken").climate
    assert 45 in climate.humidity
    assert 60 in climate.humidity
    assert climate.hatcher_humidity.low == 65


@pytest.mark.parametrize(("code", "weeks"), [("chicken", 3), ("turkey", 4), ("japanese quail", 2)])
def test_outer_limits_of_storage(code, weeks):
    """Mississippi State University Extension: a week at most; outer limits three, four and two weeks."""
    figures = practice(code)

    def grade(days):
        return storage(SET - timedelta(days), SET, SET, figures).grade

    assert grade(7) is StorageGrade.FRESH
    assert grade(8) is StorageGrade.AGEING
    assert grade(7 * weeks) is StorageGrade.AGEING
    assert grade(7 * weeks + 1) is StorageGrade.OLD


@pytest.mark.parametrize(("days", "low", "high"), [(3, 20, 22), (6, 17, 19), (9, 15, 17), (14, 14, 15)])
def test_storage_temperature_by_planned_days(days, low, high):
    """A hatchery consultant's table: 2-4, 4-7, 7-10 and more than 10 days."""
    advised = storage_temperature(days)
    assert (advised.low, advised.high) == (low, high)


def test_worked_example_of_hatching_results():
    """An agricultural e-course: 2000 set, 93 infertile, 1728 hatched: fertility 95.35 %, 90.6 % of fertile."""
    found = outcome(Counts(eggs=2000, clear=93, hatched=1728, late_dead=2000 - 93 - 1728))
    assert found.fertility.share == pytest.approx(0.9535)
    assert found.hatch_of_fertile.share == pytest.approx(0.90614, abs=5e-6)
    assert found.hatch_of_set.share == pytest.approx(0.864)
    assert found.fertility.share * found.hatch_of_fertile.share == pytest.approx(found.hatch_of_set.share)
