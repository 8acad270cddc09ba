"""Laying rates from eggs and from the days hens were there."""

from datetime import date

import pytest

from studbook.season.laying import Gathered, Presence, laying_rate, weekly_rates

MONDAY = date(2027, 3, 1)


def day(of_march: int) -> date:
    return date(2027, 3, of_march)


def test_eggs_per_hen_and_day():
    hens = [Presence("Hazel", day(1)), Presence("Sloe", day(1), day(5))]
    rate = laying_rate([Gathered(day(2), 2), Gathered(day(9), 1)], hens, day(1), day(10))
    assert rate.hen_days == 10 + 5
    assert rate.eggs == 3
    assert rate.per_hen_day == pytest.approx(0.2)


def test_a_hen_told_twice_on_a_day_counts_once():
    hens = [Presence("Hazel", day(1), day(5)), Presence("Hazel", day(5), day(8))]
    assert laying_rate([], hens, day(1), day(31)).hen_days == 8


def test_eggs_of_days_without_hens_are_told_apart():
    rate = laying_rate(
        [Gathered(day(9), 4), Gathered(day(2), 1), Gathered(date(2027, 4, 1), 7)],
        [Presence("Hazel", day(1), day(5))],
        day(1),
        day(31),
    )
    assert (rate.eggs, rate.strayed) == (1, 4)


def test_without_hens_there_is_no_rate():
    assert laying_rate([], [], day(1), day(2)).per_hen_day is None
    assert laying_rate([], [Presence("Hazel", day(9))], day(1), day(2)).per_hen_day is None


def test_weeks_run_from_monday_to_sunday_and_add_up():
    hens = [Presence("Hazel", day(1))]
    eggs = [Gathered(day(number), 1) for number in range(3, 20)]
    weeks = weekly_rates(eggs, hens, day(3), day(16))
    assert [(week.first, week.last) for week in weeks] == [
        (day(3), day(7)),
        (day(8), day(14)),
        (day(15), day(16)),
    ]
    whole = laying_rate(eggs, hens, day(3), day(16))
    assert sum(week.eggs for week in weeks) == whole.eggs == 14
    assert sum(week.hen_days for week in weeks) == whole.hen_days


def test_wrong_days_and_counts_are_refused():
    with pytest.raises(ValueError, match="before the first"):
        laying_rate([], [], day(2), day(1))
    with pytest.raises(ValueError, match="before the first"):
        weekly_rates([], [], day(2), day(1))
    with pytest.raises(ValueError, match="gathered"):
        laying_rate([Gathered(day(1), -1)], [], day(1), day(2))
