"""How much of a pedigree is known."""

import numpy as np
import pytest

from studbook.genetics.completeness import ancestor_count, generation_equivalents, generations_known
from studbook.genetics.pedigree import UNKNOWN
from tests.zoo import ZOO, named_pedigree, pedigree_of


def test_each_complete_generation_counts_one():
    pedigree, rows = named_pedigree("S,a,b; D,c,d; X,S,D")
    assert generation_equivalents(pedigree)[rows["X"]] == 2
    assert generations_known(pedigree)[rows["X"]] == 2
    assert ancestor_count(pedigree, rows["X"]) == 6


def test_half_a_generation_counts_half():
    """One grandparent of four is a quarter of a generation."""
    pedigree, rows = named_pedigree("S,a,-; X,S,D")
    assert generation_equivalents(pedigree)[rows["X"]] == 1.25
    assert generations_known(pedigree)[rows["X"]] == 2


def test_an_ancestor_met_twice_is_one_bird_but_counts_twice_for_completeness():
    pedigree, rows = named_pedigree("S,a,b; D,a,b; X,S,D")
    assert ancestor_count(pedigree, rows["X"]) == 4
    assert generation_equivalents(pedigree)[rows["X"]] == 2


def test_a_doubtful_parent_counts_by_its_weight():
    pedigree = pedigree_of([[], [(0, UNKNOWN, 0.6), (UNKNOWN, UNKNOWN, 0.4)]])
    assert generation_equivalents(pedigree)[1] == pytest.approx(0.3)


def test_founders_have_nothing_behind_them():
    assert not generation_equivalents(ZOO["founders only"]).any()
    assert ancestor_count(ZOO["founders only"], 1) == 0


def test_completeness_of_a_chain_grows_by_one_a_generation():
    found = generation_equivalents(ZOO["full sib chain"])
    np.testing.assert_allclose(found, np.repeat(np.arange(13), 2))


def test_an_empty_book_has_no_completeness():
    assert generation_equivalents(ZOO["empty"]).shape == (0,)
