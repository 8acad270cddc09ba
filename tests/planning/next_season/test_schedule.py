"""Lots and days counted backwards from the day one chooses."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from studbook.planning.next_season.schedule import Lying, Means, last_setting, schedule
from studbook.season.incubation import incubation

FOWL = incubation("chicken")
CHOOSE_ON = date(2027, 10, 1)
TODAY = date(2027, 2, 14)


def planned(eggs: int, means: Means, today: date = TODAY):  # type: ignore[no-untyped-def]
    return schedule(eggs, means, FOWL, CHOOSE_ON, 150, today, 7)


def test_the_last_day_is_age_and_incubation_before_the_choice() -> None:
    """1 October less 150 days is 4 May; less the 22 days a late egg takes, 12 April."""
    assert last_setting(CHOOSE_ON, FOWL, 150) == date(2027, 4, 12)


def test_one_lot_is_set_on_the_last_day() -> None:
    found = planned(20, Means(12, 0.5, 0.9, 7, places=60))
    (lot,) = found.settings
    assert (lot.eggs, lot.set_on, lot.ready) == (20, date(2027, 4, 12), date(2027, 10, 1))
    # 5.4 eggs fit to set a day: twenty take four days
    assert lot.collect_from == date(2027, 4, 8)
    assert found.join == date(2027, 4, 1)


def test_more_eggs_than_a_week_gives_are_set_in_even_lots() -> None:
    found = planned(48, Means(12, 0.5, 0.9, 7, places=60))
    assert [(lot.eggs, lot.set_on) for lot in found.settings] == [
        (24, date(2027, 4, 5)),
        (24, date(2027, 4, 12)),
    ]


def test_broodies_get_whole_sittings() -> None:
    found = planned(48, Means(12, 0.5, 0.9, 7, per_broody=11))
    assert [(lot.eggs, lot.sittings) for lot in found.settings] == [(15, 2), (33, 3)]
    assert found.sittings == 5


def test_a_small_machine_is_filled_anew_only_when_it_is_empty() -> None:
    found = planned(36, Means(30, 0.5, 0.9, 7, places=24))
    assert found.missing == 0
    for lot in found.settings:
        beside = sum(other.eggs for other in found.settings if lot.set_on <= other.set_on < lot.plan.due_last)
        assert beside <= 24


def test_eggs_already_in_the_machine_leave_less_room() -> None:
    lying = (Lying(date(2027, 4, 1), date(2027, 4, 23), 50),)
    found = planned(20, Means(12, 0.5, 0.9, 7, places=60, lying=lying))
    assert found.missing == 0
    assert found.settings[-1].eggs == 10


def test_what_should_have_been_set_is_late_and_what_cannot_be_laid_is_missing() -> None:
    late = planned(48, Means(12, 0.5, 0.9, 7, places=60), date(2027, 4, 7))
    assert (late.late, late.missing) == (24, 0)
    assert planned(48, Means(0, 0.5, 0.9, 7, places=60)).missing == 48
    assert planned(48, Means(12, 0.5, 0.9, 7, places=0)).missing == 48


means = st.builds(
    Means,
    st.integers(0, 40),
    st.floats(0.05, 1),
    st.floats(0.5, 1),
    st.integers(1, 14),
    st.one_of(st.none(), st.integers(0, 80)),
    st.one_of(st.none(), st.integers(1, 15)),
)


@given(st.integers(0, 200), means)
def test_every_egg_is_in_a_lot_or_missing_and_no_lot_breaks_its_limits(eggs: int, means: Means) -> None:
    found = planned(eggs, means)
    assert found.eggs + found.missing == eggs
    days = [lot.set_on for lot in found.settings]
    assert days == sorted(set(days))
    assert all(day <= found.last_set for day in days)
    for lot in found.settings:
        assert 0 < lot.eggs <= means.eggs_per_lot
        assert lot.set_on - lot.collect_from <= timedelta(means.keep_days)
        assert lot.ready <= CHOOSE_ON
        if means.per_broody is not None:
            assert lot.eggs <= lot.sittings * means.per_broody
        if means.places is not None:
            hatched = lot.set_on + timedelta(FOWL.last_day)
            assert sum(o.eggs for o in found.settings if lot.set_on <= o.set_on < hatched) <= means.places
