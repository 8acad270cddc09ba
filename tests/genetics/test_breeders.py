"""Effective size from the numbers of breeders: what the formulas must keep to."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.breeders import (
    HIGHEST_RATE,
    effective_size,
    equalised_families,
    fluctuating_size,
    inbreeding_after,
    overlapping_generations,
    rate_of_inbreeding,
    rate_per_year,
    size_of_rate,
    unequal_families,
)

NUMBERS = st.integers(1, 1000)


@given(NUMBERS, NUMBERS)
def test_the_rarer_sex_limits_the_flock(cocks, hens):
    assert effective_size(cocks, hens) <= min(4 * min(cocks, hens), cocks + hens) + 1e-9
    assert effective_size(cocks, hens) == effective_size(hens, cocks)


@given(NUMBERS, NUMBERS, st.floats(1, 5))
def test_rates_per_year_and_per_generation_differ_by_the_interval(cocks, hens, interval_years):
    """Hill 1972: per year (1/8M + 1/8F) / L²; per generation L times that."""
    found = overlapping_generations(cocks, hens, interval_years)
    per_year = (1 / (8 * cocks) + 1 / (8 * hens)) / interval_years**2
    assert found.rate_per_year == pytest.approx(per_year)
    assert found.rate_per_generation == pytest.approx(per_year * interval_years)
    assert found.effective_size == pytest.approx(1 / (2 * found.rate_per_generation))


@given(NUMBERS, NUMBERS)
def test_a_generation_of_one_year_is_wright(cocks, hens):
    assert overlapping_generations(cocks, hens, 1).effective_size == pytest.approx(
        effective_size(cocks, hens)
    )


@given(st.floats(0.5, 1e6))
def test_size_and_rate_are_two_ways_to_say_it(size):
    assert size_of_rate(rate_of_inbreeding(size)) == pytest.approx(size)


@given(NUMBERS)
def test_equal_families_of_equal_sexes_double_the_size(cocks):
    assert equalised_families(cocks, cocks) == pytest.approx(2 * effective_size(cocks, cocks))


@given(st.lists(st.floats(1, 1000), min_size=1))
def test_a_changing_flock_lies_between_its_extremes(sizes):
    assert min(sizes) * (1 - 1e-9) <= fluctuating_size(sizes) <= np.mean(sizes) * (1 + 1e-9)


def test_a_line_per_year_is_the_line_per_generation_by_the_interval():
    assert rate_per_year(HIGHEST_RATE, 2) == 0.005


def test_no_cock_is_no_flock():
    assert effective_size(0, 12) == 0
    assert overlapping_generations(0, 3, 2).effective_size == 0
    assert np.isnan(overlapping_generations(0, 3, 2).rate_per_year)
    assert fluctuating_size([10, 0]) == 0
    assert np.isnan(fluctuating_size([]))
    assert size_of_rate(0) == np.inf
    assert inbreeding_after(0.01, 0) == 0


@pytest.mark.parametrize(
    "ask",
    [
        lambda: effective_size(-1, 3),
        lambda: rate_of_inbreeding(0),
        lambda: size_of_rate(-0.1),
        lambda: rate_per_year(0.01, 0),
        lambda: unequal_families(10, -1),
        lambda: equalised_families(5, 4),
        lambda: overlapping_generations(1, 3, 0),
        lambda: fluctuating_size([3, -1]),
    ],
)
def test_impossible_numbers_are_refused(ask):
    with pytest.raises(ValueError, match=r"below|above|at least"):
        ask()
