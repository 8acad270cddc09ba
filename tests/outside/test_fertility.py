"""Small samples and the time eggs stay fertile: published tables, worked examples and spans."""

from datetime import date, timedelta

import pytest

from studbook.season.binomial import interval, lower_limit, upper_limit
from studbook.season.fertility import HenCount, chance_to_pass, eggs_needed, heterogeneity, probability_better
from studbook.season.paternity import Meeting, Verdict, clear_date, sires_of_egg
from studbook.season.practice import practice

MARCH = date(2027, 3, 1)


@pytest.mark.parametrize(
    ("k", "n", "lower", "upper"),
    [
        (10, 10, 0.691503, 1),
        (12, 12, 0.735352, 1),
        (20, 20, 0.831567, 1),
        (30, 30, 0.884297, 1),
        (0, 10, 0, 0.308497),
        (0, 12, 0, 0.264648),
        (5, 10, 0.187086, 0.812914),
        (8, 12, 0.348876, 0.900754),
        (18, 20, 0.683017, 0.987651),
        (27, 30, 0.734712, 0.978883),
        (45, 50, 0.781865, 0.966725),
        (85, 100, 0.764692, 0.913546),
    ],
)
def test_exact_intervals(k, n, lower, upper):
    """Clopper & Pearson 1934, Biometrika 26:404-413; values of SciPy 1.17 `binomtest`, method "exact"."""
    found = interval(k, n)
    assert found.lower == pytest.approx(lower, abs=6e-7)
    assert found.upper == pytest.approx(upper, abs=6e-7)


def test_the_interval_of_the_scipy_manual():
    """SciPy documentation of `BinomTestResult.proportion_ci`: 7 of 50."""
    found = interval(7, 50)
    assert found.lower == pytest.approx(0.0581917003, abs=6e-11)
    assert found.upper == pytest.approx(0.2673960025, abs=6e-11)


@pytest.mark.parametrize(("n", "limit"), [(10, 0.7411), (12, 0.7791), (20, 0.8609), (30, 0.9050)])
def test_lower_limit_when_every_egg_is_fertile(n, limit):
    """The limit is the n-th root of 1 - confidence (the success run theorem)."""
    assert lower_limit(n, n) == pytest.approx(limit, abs=6e-5)
    assert lower_limit(n, n) == pytest.approx(0.05 ** (1 / n), abs=1e-12)


@pytest.mark.parametrize("n", [50, 100, 300])
def test_rule_of_three(n):
    """Hanley & Lippman-Hand 1983, JAMA 249:1743-1745: none of n rules out more than about 3/n."""
    assert upper_limit(0, n) == pytest.approx(3 / n, rel=0.035)


def test_nineteen_of_nineteen():
    """0.85^19 < 0.05 <= 0.85^18, and a cock of true 95 % passes with a chance of 0.95^19 = 0.3774."""
    assert eggs_needed(0.85, 0.95) == 19
    assert lower_limit(19, 19) == pytest.approx(0.8541, abs=6e-5)
    assert chance_to_pass(0.95, 19) == pytest.approx(0.3774, abs=6e-5)


@pytest.mark.parametrize(
    ("share", "confidence", "numbers"),
    [(0.90, 0.90, (22, 38, 52)), (0.90, 0.95, (29, 46, 61)), (0.95, 0.95, (59, 93, 124))],
)
def test_sample_sizes_with_failures_allowed(share, confidence, numbers):
    """Tables of sample sizes for a demonstration test with 0, 1 and 2 failures (binomial; from memory)."""
    assert tuple(eggs_needed(share, confidence, failures) for failures in range(3)) == numbers


def test_the_better_of_two_by_hand():
    """Even prior, one of one against none of one: ∫∫ over x > y of 2x · 2(1 - y) = 5/6.

    Three of three against two of three: 1 - Σ of the closed form of beta integrals = 11/14, by hand from
    ∫ 4x³ · (4x³ - 3x⁴) dx = 16/7 - 12/8.
    """
    assert probability_better(1, 1, 0, 1) == pytest.approx(5 / 6, abs=1e-12)
    assert probability_better(3, 3, 2, 3) == pytest.approx(11 / 14, abs=1e-12)


def test_two_hens_are_fishers_exact_test():
    """Fisher 1935, The Design of Experiments: three of four cups against one of four, p = 34/70."""
    assert heterogeneity([HenCount("a", 3, 4), HenCount("b", 1, 4)]) == pytest.approx(34 / 70)


def test_how_long_eggs_of_fowl_stay_fertile():
    """Hutt 1949, Genetics of the Fowl: first fertile egg after 19.5 hours at the earliest and 57 to 66 hours on
    average, a pen well covered by day 6 or 7; fertile 10.7 to 14.8 days on average after the male is removed,
    with records of 29 and 32 days."""
    fowl = practice("chicken")
    assert fowl.earliest_days == 1
    assert 6 <= fowl.covered_days <= 7
    assert 10.7 <= fowl.usual_lasting_days <= 14.8
    gone = [Meeting("cock", date(2027, 1, 1), MARCH)]
    assert sires_of_egg(gone, MARCH + timedelta(32), fowl).verdict is Verdict.CERTAIN
    assert (clear_date(gone, fowl, strict=True) - MARCH).days > 32


def test_two_weeks_after_an_exchange_the_new_cock_prevails():
    """University of Maine Bulletin 2072: new sperm tends to win, but wait two weeks; fertility may last three."""
    fowl = practice("chicken")
    meetings = [Meeting("old", date(2027, 1, 1), MARCH), Meeting("new", MARCH, None)]
    sires = sires_of_egg(meetings, MARCH + timedelta(14), fowl)
    assert sires.shares[0].cock == "new"
    assert sires.shares[0].weight > 0.9
    assert sires.verdict is Verdict.SEVERAL
    assert sires_of_egg(meetings, MARCH + timedelta(21), fowl).verdict is Verdict.SEVERAL


def test_turkeys_stay_fertile_for_at_least_four_weeks():
    """University of Maine Bulletin 2072: turkeys up to four weeks; trade practice waits four to six and more."""
    turkey = practice("turkey")
    assert turkey.usual_lasting_days >= 28
    assert turkey.clear_days >= 42
    assert turkey.lasting_days >= 8 * 7
