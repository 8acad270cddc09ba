"""Planning backwards: chances of a chain of doubtful rates, against definitions told another way."""

import math
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.season.backwards import (
    Chain,
    Rate,
    chances,
    eggs_for,
    rate_between,
    rate_of_practice,
    rate_seen,
    yield_of,
)

parameters = st.floats(0.5, 60)
rates = st.builds(Rate, parameters, parameters)
chains = st.builds(Chain, rates, rates, rates)


def known(share: float) -> Rate:
    """A rate that is as good as certain."""
    return Rate(share * 1e13, (1 - share) * 1e13)


def binomial_tail(least: int, n: int, share: float) -> float:
    return sum(math.comb(n, k) * share**k * (1 - share) ** (n - k) for k in range(least, n + 1))


def test_with_known_rates_it_is_the_binomial_distribution():
    chain = Chain(known(0.9), known(0.8), known(0.5))
    found = chances(chain, 3, 0, 40)
    for eggs in (3, 10, 25, 40):
        assert found[eggs] == pytest.approx(binomial_tail(3, eggs, 0.9 * 0.8 * 0.5 / 2), abs=1e-9)


def test_both_sexes_with_known_rates_is_the_multinomial_distribution():
    """Counted egg by egg: each comes to a pullet, a cockerel or nothing."""
    chain = Chain(known(0.9), known(0.8), known(0.75))
    each = 0.9 * 0.8 * 0.75 / 2
    eggs = 8
    expected = sum(
        math.factorial(eggs)
        / (math.factorial(p) * math.factorial(c) * math.factorial(eggs - p - c))
        * each ** (p + c)
        * (1 - 2 * each) ** (eggs - p - c)
        for p, c in product(range(eggs + 1), repeat=2)
        if p >= 2 and c >= 1 and p + c <= eggs
    )
    assert chances(chain, 2, 1, eggs)[eggs] == pytest.approx(expected, abs=1e-9)


def test_doubtful_rates_against_draws():
    """100,000 seasons drawn rate by rate and egg by egg; the standard error is below 0.0016."""
    chain = Chain(rate_seen(40, 48), rate_seen(30, 40), rate_seen(22, 30))
    rng = np.random.default_rng(1763)
    eggs, seasons = 34, 100_000
    left = np.full(seasons, eggs)
    for rate in chain.stages:
        left = rng.binomial(left, rng.beta(rate.successes, rate.failures, seasons))
    pullets = rng.binomial(left, 0.5)
    found = np.mean((pullets >= 6) & (left - pullets >= 3))
    assert chances(chain, 6, 3, eggs)[eggs] == pytest.approx(found, abs=0.006)
    outcome = yield_of(chain, eggs)
    assert outcome.reared.mean == pytest.approx(left.mean(), abs=0.06)
    assert outcome.pullets.low == np.quantile(pullets, 0.1, method="inverted_cdf")
    assert outcome.pullets.high == np.quantile(pullets, 0.9, method="inverted_cdf")


@given(chains, st.integers(0, 8), st.integers(0, 8))
def test_more_eggs_never_lessen_the_chance_and_more_wishes_never_raise_it(chain, pullets, cockerels):
    found = chances(chain, pullets, cockerels, 40)
    assert (np.diff(found) >= -1e-9).all()
    assert ((found >= 0) & (found <= 1)).all()
    assert (chances(chain, pullets + 1, cockerels, 40) <= found + 1e-9).all()
    np.testing.assert_allclose(found, chances(chain, cockerels, pullets, 40), atol=1e-9)


@given(chains, st.integers(0, 120))
def test_means_multiply_and_spans_hold_them_all(chain, eggs):
    found = yield_of(chain, eggs)
    assert found.fertile.mean == pytest.approx(eggs * chain.fertile.mean, abs=1e-6)
    assert found.hatched.mean == pytest.approx(eggs * chain.fertile.mean * chain.hatched.mean, abs=1e-6)
    assert found.reared.mean == pytest.approx(eggs * chain.mean, abs=1e-6)
    assert found.pullets.mean == pytest.approx(found.reared.mean / 2, abs=1e-6)
    for part in (found.fertile, found.hatched, found.reared, found.pullets, found.cockerels):
        assert 0 <= part.low <= part.high <= eggs


@given(chains, st.integers(1, 4), st.integers(0, 3))
def test_the_fewest_eggs_are_enough_and_one_fewer_is_not(chain, pullets, cockerels):
    shares = (0.5, 0.8)
    table = chances(chain, pullets, cockerels, 200)
    for share, eggs in zip(shares, eggs_for(chain, pullets, cockerels, shares, 200), strict=True):
        if eggs is None:
            assert table[-1] < share
        else:
            assert table[eggs] >= share - 1e-12
            assert table[eggs - 1] < share


def test_a_wish_no_number_of_eggs_fills_is_none():
    hopeless = Chain(rate_of_practice(0.01, 20), known(0.8), known(0.8))
    assert eggs_for(hopeless, 8, 4, (0.9,), 300) == (None,)


def test_the_rule_of_succession():
    """Laplace's rule: after k of n the chance of the next is (k + 1) / (n + 2)."""
    assert rate_seen(9, 12).mean == pytest.approx(10 / 14)
    assert rate_seen(0, 0).mean == 0.5
    with pytest.raises(ValueError, match="not possible"):
        rate_seen(3, 2)


def test_seasons_that_differ_by_chance_alone_are_taken_together():
    alike = rate_between([(8, 10), (16, 20), (12, 15), (24, 30)])
    assert alike.correlation == 0
    assert alike.rate == rate_seen(60, 75)


def test_seasons_that_differ_more_than_by_chance_make_the_next_less_certain():
    seasons = [(28, 30), (29, 30), (27, 30), (12, 30), (28, 30)]
    found = rate_between(seasons)
    assert found.correlation > 0.1
    together = rate_seen(124, 150)
    assert found.rate.mean == pytest.approx(together.mean)
    assert found.rate.certainty < together.certainty / 4


def test_the_correlation_is_found_again_in_seasons_that_were_drawn_with_it():
    """Beta-binomial seasons of 40 chicks at a correlation of 0.2: the estimate by moments comes near it."""
    rng = np.random.default_rng(1973)
    parameter = 1 / 0.2 - 1
    shares = rng.beta(0.7 * parameter, 0.3 * parameter, 2000)
    seasons = [(int(rng.binomial(40, share)), 40) for share in shares]
    assert rate_between(seasons).correlation == pytest.approx(0.2, abs=0.02)


def test_two_seasons_say_nothing_of_how_seasons_differ():
    assert rate_between([(10, 10), (2, 10)]).rate == rate_seen(12, 20)
    assert rate_between([]).rate == rate_seen(0, 0)
