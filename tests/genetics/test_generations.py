"""How long a generation lasts and how fast inbreeding rose."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.completeness import generation_equivalents
from studbook.genetics.generations import generation_intervals, individual_increase, realised_size
from studbook.genetics.inbreeding import inbreeding
from tests.zoo import ZOO, named_pedigree, pedigree_of

COCK, HEN = np.array([1, 0, 1, 0, 1, 1], dtype=bool), np.array([0, 1, 0, 1, 0, 0], dtype=bool)


def test_each_path_has_the_mean_age_of_its_parents():
    """Cock 0 and hen 1 have son 2 and daughter 3, who have the chick 4; chick 5 never bred."""
    pedigree = pedigree_of([[], [], [(0, 1, 1.0)], [(0, 1, 1.0)], [(2, 3, 1.0)], [(0, 1, 1.0)]])
    found = generation_intervals(pedigree, [0, 100, 400, 800, 1500, 9000], HEN, COCK)
    assert (found.sire_to_son.days, found.sire_to_son.offspring) == (400, 1)
    assert found.sire_to_daughter.days == 800
    assert found.dam_to_son.days == 300
    assert found.dam_to_daughter.days == 700
    assert found.days == 550


def test_the_offspring_to_count_may_be_given():
    pedigree = pedigree_of([[], [], [(0, 1, 1.0)], [(0, 1, 1.0)], [(2, 3, 1.0)], [(0, 1, 1.0)]])
    found = generation_intervals(pedigree, [0, 100, 400, 800, 1500, 9000], HEN, COCK, rows=[4, 5])
    assert found.sire_to_son.days == (1100 + 9000) / 2
    assert np.isnan(found.sire_to_daughter.days)
    assert found.days == (5050 + (700 + 8900) / 2) / 2


def test_a_doubtful_parent_counts_by_its_weight():
    pedigree = pedigree_of([[], [], [(0, 1, 0.75), (-1, 1, 0.25)]])
    found = generation_intervals(pedigree, [0, 0, 365], HEN[:3], COCK[:3], rows=[2])
    assert (found.sire_to_son.days, found.sire_to_son.offspring) == (365, 0.75)
    assert found.dam_to_son.offspring == 1


def test_without_dates_no_interval_is_known():
    pedigree = pedigree_of([[], [], [(0, 1, 1.0)]])
    found = generation_intervals(pedigree, [np.nan, 0, 365], HEN[:3], COCK[:3], rows=[2])
    assert np.isnan(found.sire_to_son.days)
    assert found.sire_to_son.offspring == 0
    assert np.isnan(found.days)


def test_a_mean_has_no_age():
    pedigree = ZOO["a mean of three hens"]
    sexes = np.ones(len(pedigree), dtype=bool)
    found = generation_intervals(pedigree, np.arange(len(pedigree)) * 100.0, ~sexes, sexes, rows=[5])
    assert found.sire_to_son.days == 500
    assert np.isnan(found.dam_to_son.days)


@given(st.floats(0, 0.5), st.floats(1.25, 15))
def test_a_steady_rise_is_found_whatever_the_depth(rate, generations):
    coefficient = 1 - (1 - rate) ** (generations - 1)
    assert individual_increase([coefficient], [generations])[0] == pytest.approx(rate, abs=1e-9)


def test_a_bird_of_which_only_the_parents_are_known_says_nothing():
    pedigree, _ = named_pedigree("X,S,D")
    assert np.isnan(individual_increase(inbreeding(pedigree), generation_equivalents(pedigree))).all()


def test_realised_size_of_two_birds_by_hand():
    """Increases .1 and .2: mean .15, Ne 10/3, σ = .1/√2, error 2 (10/3)² σ / √2 = 10/9."""
    found = realised_size([0.1, np.nan, 0.2])
    assert found.effective_size == pytest.approx(10 / 3)
    assert found.standard_error == pytest.approx(10 / 9)
    assert (found.birds, found.increase) == (2, pytest.approx(0.15))


def test_realised_size_where_it_cannot_be_known():
    assert np.isnan(realised_size([np.nan]).effective_size)
    assert realised_size([np.nan]).birds == 0
    assert realised_size([0.0, 0.0]).effective_size == np.inf
    assert realised_size([0.25]).effective_size == 2
    assert np.isnan(realised_size([0.25]).standard_error)
