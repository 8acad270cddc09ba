"""Fertility trials: which eggs count, what a result shows, how far hens and cocks differ."""

from datetime import date, timedelta
from fractions import Fraction
from itertools import product
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.season.binomial import beta_share, chance_of_at_least, interval, upper_limit
from studbook.season.fertility import (
    HenCount,
    Prior,
    TrialReason,
    TrialVerdict,
    chance_to_pass,
    counting,
    days_of_laying,
    eggs_needed,
    first_day_with,
    heterogeneity,
    judge,
    probability_better,
    short_days,
    trial_dates,
    trial_plans,
)
from studbook.season.paternity import Meeting, outside
from studbook.season.practice import practice

FOWL = practice("chicken")
JANUARY = date(2027, 1, 4)


def days(number: int) -> timedelta:
    return timedelta(number)


def three_hens(*fertile_of: tuple[int, int]) -> list[HenCount]:
    return [
        HenCount(name, *counts) for name, counts in zip(("Hazel", "Sloe", "Rowan"), fertile_of, strict=True)
    ]


@given(st.integers(1, 60), st.data(), st.floats(0.001, 0.999))
def test_the_chance_of_a_count_is_the_sum_of_its_binomial_terms(n, data, share):
    k = data.draw(st.integers(1, n))
    exact = Fraction(share)
    terms = sum(comb(n, i) * exact**i * (1 - exact) ** (n - i) for i in range(k, n + 1))
    assert chance_of_at_least(k, n, share) == pytest.approx(float(terms), rel=1e-11, abs=1e-300)


@given(st.integers(1, 300), st.data())
def test_intervals_hold_the_share_and_mirror(n, data):
    k = data.draw(st.integers(0, n))
    found, mirrored = interval(k, n), interval(n - k, n)
    assert 0 <= found.lower <= k / n <= found.upper <= 1
    assert found.lower == pytest.approx(1 - mirrored.upper, abs=1e-12)
    assert interval(k, n, 0.99).lower <= found.lower


def test_nothing_seen_has_no_share_and_rules_nothing_out():
    found = interval(0, 0)
    assert found.share is None
    assert (found.lower, found.upper) == (0, 1)


@pytest.mark.parametrize(("k", "n", "level"), [(3, 2, 0.95), (-1, 2, 0.95), (1, 2, 1.0), (1, 2, 0.0)])
def test_impossible_counts_and_levels_are_refused(k, n, level):
    with pytest.raises(ValueError, match="not"):
        interval(k, n, level)


def test_thousands_of_eggs_are_no_trouble():
    found = interval(10_800, 12_000)
    assert found.lower == pytest.approx(0.9 - 1.96 * (0.09 / 12_000) ** 0.5, abs=2e-4)
    assert beta_share(0.5, 6000, 6000) == pytest.approx(0.5)


@given(st.floats(0.5, 0.97), st.floats(0.5, 0.99), st.integers(0, 3))
def test_the_eggs_needed_are_the_fewest(share, confidence, clear_allowed):
    eggs = eggs_needed(share, confidence, clear_allowed)
    assert chance_to_pass(share, eggs, clear_allowed) <= 1 - confidence
    assert eggs - 1 <= clear_allowed or chance_to_pass(share, eggs - 1, clear_allowed) > 1 - confidence


def test_a_plan_that_allows_clear_eggs_asks_for_more_and_fails_good_cocks_less_often():
    none, one, two = trial_plans()
    assert none.eggs < one.eggs < two.eggs
    assert none.good_passes < one.good_passes < two.good_passes


@pytest.mark.parametrize(("share", "confidence", "clear"), [(1.0, 0.95, 0), (0.85, 1.0, 0), (0.85, 0.95, -1)])
def test_a_plan_without_an_answer_is_refused(share, confidence, clear):
    with pytest.raises(ValueError, match="lie between"):
        eggs_needed(share, confidence, clear)


def test_a_plan_of_thousands_of_eggs_is_refused():
    with pytest.raises(ValueError, match="2000"):
        eggs_needed(0.9999)


def test_days_of_laying_follow_the_rate():
    assert days_of_laying(19, 4, 0.5) == 10
    assert days_of_laying(20, 4, 0.5) == 10
    with pytest.raises(ValueError, match="laying hens"):
        days_of_laying(19, 0, 0.5)


def test_a_hen_without_an_earlier_cock_counts_when_covered():
    found = counting([Meeting("Exe", JANUARY, None)], "Exe", FOWL)
    assert found.counts_from == JANUARY + days(7)
    assert found.clear_from is None
    assert not found.counts(JANUARY + days(6))
    assert found.counts(JANUARY + days(7))


def test_an_earlier_cock_is_found_in_the_meetings_and_waited_for_strictly():
    meetings = [Meeting("Dart", date(2026, 11, 1), JANUARY), Meeting("Exe", JANUARY, None)]
    found = counting(meetings, "Exe", FOWL)
    assert found.clear_from == found.counts_from == JANUARY + days(35)
    long_gone = [Meeting("Dart", date(2026, 6, 1), date(2026, 8, 1)), Meeting("Exe", JANUARY, None)]
    assert counting(long_gone, "Exe", FOWL).counts_from == JANUARY + days(7)


def test_a_bought_hen_waits_for_the_unknown_cock_of_her_yard():
    found = counting([outside(JANUARY - days(5)), Meeting("Exe", JANUARY, None)], "Exe", FOWL)
    assert found.counts_from == JANUARY + days(30)


def test_a_hen_who_still_runs_with_another_cock_never_counts():
    meetings = [Meeting("Dart", date(2026, 11, 1), None), Meeting("Exe", JANUARY, None)]
    found = counting(meetings, "Exe", FOWL)
    assert found.counts_from is None
    assert found.others == ("Dart",)
    assert not found.counts(JANUARY + days(100))


def test_the_count_ends_when_the_cock_leaves_or_another_comes():
    left = counting([Meeting("Exe", JANUARY, JANUARY + days(20))], "Exe", FOWL)
    assert left.counts(JANUARY + days(20))
    assert not left.counts(JANUARY + days(21))
    joined = [Meeting("Exe", JANUARY, None), Meeting("Dart", JANUARY + days(15), None)]
    assert counting(joined, "Exe", FOWL).until == JANUARY + days(15)
    too_short = counting([Meeting("Exe", JANUARY, JANUARY + days(3))], "Exe", FOWL)
    assert too_short.counts_from is None


def test_a_hen_he_never_met_does_not_count():
    assert counting([Meeting("Dart", JANUARY, None)], "Exe", FOWL).counts_from is None


def test_nineteen_of_nineteen_are_shown_good():
    result = judge(three_hens((7, 7), (6, 6), (6, 6)), FOWL)
    assert result.verdict is TrialVerdict.SHOWN_GOOD
    assert result.reasons == (TrialReason.LIMIT_REACHED,)
    assert result.lower_limit >= 0.85
    assert [hen for hen, _interval in result.by_hen] == ["Hazel", "Sloe", "Rowan"]


def test_ten_of_ten_show_little():
    result = judge(three_hens((4, 4), (3, 3), (3, 3)), FOWL, set_on=JANUARY)
    assert result.verdict is TrialVerdict.NOT_SHOWN
    assert TrialReason.TOO_FEW_EGGS in result.reasons


def test_a_weak_result_in_january_asks_for_a_second_test():
    result = judge(three_hens((5, 7), (4, 6), (5, 7)), FOWL, set_on=JANUARY)
    assert result.verdict is TrialVerdict.WEAK_TEST_AGAIN
    assert TrialReason.EARLY_IN_YEAR in result.reasons
    in_may = judge(three_hens((5, 7), (4, 6), (5, 7)), FOWL, set_on=date(2027, 5, 4))
    assert in_may.verdict is TrialVerdict.NOT_SHOWN
    assert TrialReason.BELOW_LIMIT in in_may.reasons


def test_a_poor_result_is_tested_again_whenever_it_was():
    result = judge(three_hens((0, 7), (1, 6), (0, 7)), FOWL, set_on=date(2027, 5, 4))
    assert result.verdict is TrialVerdict.WEAK_TEST_AGAIN
    assert TrialReason.POOR in result.reasons
    assert TrialReason.APPARENT_FERTILITY in result.reasons


def test_nothing_seen_shows_nothing():
    result = judge([HenCount("Hazel", 0, 0)], FOWL)
    assert result.verdict is TrialVerdict.NOTHING_SEEN
    assert result.whole.share is None


def test_the_hens_part_in_a_result_is_named():
    result = judge(three_hens((9, 9), (9, 9), (0, 9)), FOWL)
    assert TrialReason.HENS_DIFFER in result.reasons
    assert result.heterogeneity is not None
    assert result.heterogeneity < 0.001
    assert TrialReason.FEW_HENS in judge([HenCount("Hazel", 9, 9)], FOWL).reasons
    assert TrialReason.HENS_NOT_KNOWN in judge([HenCount(None, 9, 9)], FOWL).reasons


def test_eggs_left_out_are_said():
    assert TrialReason.EGGS_LEFT_OUT in judge([HenCount("Hazel", 9, 9)], FOWL, left_out=3).reasons


def test_short_days_are_those_of_the_hemisphere():
    assert short_days(JANUARY)
    assert not short_days(JANUARY, southern=True)
    assert short_days(date(2027, 6, 4), southern=True)
    assert short_days(date(2027, 8, 31), southern=True)
    assert not short_days(date(2027, 3, 1))


@given(st.lists(st.tuples(st.integers(0, 4), st.integers(1, 4)), min_size=2, max_size=4))
def test_the_chance_of_hens_differing_agrees_with_counting_every_table(rows):
    counts = [(min(fertile, seen), seen) for fertile, seen in rows]
    total = sum(fertile for fertile, _seen in counts)

    def spread(fertile):
        return sum(Fraction(k * k, seen) for k, (_fertile, seen) in zip(fertile, counts, strict=True))

    observed = spread([fertile for fertile, _seen in counts])
    least = every = 0
    for table in product(*(range(seen + 1) for _fertile, seen in counts)):
        if sum(table) == total:
            ways = 1
            for k, (_fertile, seen) in zip(table, counts, strict=True):
                ways *= comb(seen, k)
            every += ways
            least += ways if spread(table) >= observed else 0
    found = heterogeneity([HenCount(hen, *row) for hen, row in enumerate(counts)])
    assert found == pytest.approx(least / every)


def test_a_large_table_of_hens_is_drawn_and_agrees_with_the_exact_one():
    alike = [HenCount(hen, 5, 10) for hen in range(12)]
    unlike_numbers = [HenCount(hen, 5, 8 + hen % 7) for hen in range(14)]
    assert heterogeneity(alike) == 1.0
    assert heterogeneity(unlike_numbers) == heterogeneity(unlike_numbers)
    assert 0.5 < heterogeneity(unlike_numbers) <= 1


def test_one_hen_alone_cannot_differ():
    assert heterogeneity([HenCount("Hazel", 3, 9), HenCount("Hazel", 9, 9)]) is None


@given(st.integers(0, 30), st.integers(0, 30), st.integers(0, 30), st.integers(0, 30))
def test_one_cock_or_the_other_is_better(fertile, clear, other_fertile, other_clear):
    first = (fertile, fertile + clear)
    second = (other_fertile, other_fertile + other_clear)
    assert probability_better(*first, *second) + probability_better(*second, *first) == pytest.approx(1)
    assert probability_better(*first, *first) == pytest.approx(0.5)


def test_a_prior_belief_pulls_a_comparison_towards_even():
    even = probability_better(10, 10, 6, 10)
    assert 0.5 < probability_better(10, 10, 6, 10, Prior(20, 5)) < even
    with pytest.raises(ValueError, match="whole numbers"):
        probability_better(1, 2, 1, 2, Prior(0, 1))
    with pytest.raises(ValueError, match="not possible"):
        probability_better(3, 2, 1, 2)


def test_a_hen_cannot_have_more_fertile_eggs_than_seen():
    with pytest.raises(ValueError, match="not possible"):
        HenCount("Hazel", 3, 2)


def test_the_day_on_which_enough_eggs_were_gathered():
    gathered = [(JANUARY + days(2), 9), (JANUARY, 6), (JANUARY + days(1), 5)]
    assert first_day_with(gathered, 11) == JANUARY + days(1)
    assert first_day_with(gathered, 21) is None


def test_the_days_of_a_trial_follow_from_when_its_hens_count():
    hens = [counting([Meeting("Exe", JANUARY, None)], "Exe", FOWL) for _hen in range(4)]
    planned = trial_dates(JANUARY, hens, eggs=19, eggs_per_hen_day=0.5, candling_day=8)
    assert planned.counts_from == JANUARY + days(7)
    assert planned.laid_by == JANUARY + days(16)
    assert (planned.set_on, planned.candled_on) == (JANUARY + days(17), JANUARY + days(25))
    with pytest.raises(ValueError, match="will count"):
        trial_dates(JANUARY, [], eggs=19, eggs_per_hen_day=0.5, candling_day=8)


def test_the_upper_limit_of_none_of_many_follows_the_rule_of_three():
    assert upper_limit(0, 100) == pytest.approx(3 / 100, rel=0.03)
