"""Jobs that come round: their days, month ends and leap years."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.season.recurring import Recurrence, Unit


def test_the_last_of_the_month_stays_the_last():
    job = Recurrence(date(2027, 1, 31), Unit.MONTHS)
    assert job.between(date(2027, 1, 1), date(2027, 5, 31)) == (
        date(2027, 1, 31),
        date(2027, 2, 28),
        date(2027, 3, 31),
        date(2027, 4, 30),
        date(2027, 5, 31),
    )


def test_a_leap_day_comes_every_year():
    job = Recurrence(date(2028, 2, 29), Unit.YEARS)
    assert job.between(date(2028, 1, 1), date(2032, 12, 31)) == (
        date(2028, 2, 29),
        date(2029, 2, 28),
        date(2030, 2, 28),
        date(2031, 2, 28),
        date(2032, 2, 29),
    )


def test_weeks_keep_their_weekday_across_the_year():
    job = Recurrence(date(2026, 12, 18), Unit.WEEKS, 2)
    assert job.between(date(2026, 12, 20), date(2027, 1, 31)) == (
        date(2027, 1, 1),
        date(2027, 1, 15),
        date(2027, 1, 29),
    )


def test_once_is_once():
    job = Recurrence(date(2027, 3, 1), Unit.ONCE)
    assert job.between(date(2027, 1, 1), date(2027, 12, 31)) == (date(2027, 3, 1),)
    assert job.between(date(2027, 3, 2), date(2027, 12, 31)) == ()
    assert job.next_from(date(2027, 3, 2)) is None


def test_a_job_ends_on_its_last_day():
    job = Recurrence(date(2027, 3, 1), Unit.DAYS, 3, until=date(2027, 3, 7))
    assert job.between(date(2027, 1, 1), date(2027, 12, 31)) == (
        date(2027, 3, 1),
        date(2027, 3, 4),
        date(2027, 3, 7),
    )
    assert job.next_from(date(2027, 3, 5)) == date(2027, 3, 7)
    assert job.next_from(date(2027, 3, 8)) is None


def test_the_end_of_the_calendar_is_the_end():
    assert Recurrence(date(9999, 12, 1), Unit.MONTHS).next_from(date(9999, 12, 2)) is None
    assert Recurrence(date(9999, 12, 30), Unit.DAYS, 3).next_from(date(9999, 12, 31)) is None


@given(
    st.dates(date(2000, 1, 1), date(2040, 1, 1)),
    st.sampled_from([Unit.DAYS, Unit.WEEKS, Unit.MONTHS, Unit.YEARS]),
    st.integers(1, 14),
    st.dates(date(2000, 1, 1), date(2060, 1, 1)),
    st.integers(0, 900),
)
def test_a_later_window_is_a_part_of_the_whole(starts, unit, count, first, span):
    job = Recurrence(starts, unit, count)
    last = first + timedelta(span)
    part = job.between(first, last)
    whole = job.between(starts, last)
    assert part == tuple(day for day in whole if day >= first)
    assert len(set(whole)) == len(whole)
    assert job.next_from(first) == (part[0] if part else job.next_from(last + timedelta(1)))


def test_a_job_that_never_comes_or_ends_before_it_begins_is_refused():
    with pytest.raises(ValueError, match="comes round"):
        Recurrence(date(2027, 3, 1), Unit.DAYS, 0)
    with pytest.raises(ValueError, match="before it begins"):
        Recurrence(date(2027, 3, 1), Unit.DAYS, 1, until=date(2027, 2, 1))
