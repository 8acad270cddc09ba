"""Kinship of the usual matings and F of repeated systems of mating.

Wright 1922, American Naturalist 56:330-338; Falconer & Mackay 1996, Introduction to Quantitative
Genetics, chapter 5 (its table of decimal columns from memory).
"""

from fractions import Fraction

import numpy as np
import pytest

from studbook.genetics.explanation import explain
from studbook.genetics.inbreeding import inbreeding
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN
from tests.zoo import named_pedigree, pedigree_of

FIRST_COUSINS = "C,A,B; D,A,B; G,C,E; I,K,D; "

MATINGS = {
    "parent and offspring": (Fraction(1, 4), "C,A,B; X,A,C"),
    "full sibs": (Fraction(1, 4), "C,A,B; D,A,B; X,C,D"),
    "half sibs": (Fraction(1, 8), "C,A,B; D,A,E; X,C,D"),
    "three-quarter sibs": (Fraction(3, 16), "D1,A,B; D2,A,B; C,S,D1; D,S,D2; X,C,D"),
    "grandparent and grandoffspring": (Fraction(1, 8), "C,A,B; D,E,C; X,A,D"),
    "uncle and niece": (Fraction(1, 8), "C,A,B; D,A,B; G,E,D; X,C,G"),
    "half-uncle and niece": (Fraction(1, 16), "C,A,B; D,A,E; G,K,D; X,C,G"),
    "double first cousins": (Fraction(1, 8), "C,A,B; D,A,B; L,E,K; M,E,K; G,C,L; I,M,D; X,G,I"),
    "first cousins": (Fraction(1, 16), FIRST_COUSINS + "X,G,I"),
    "half first cousins": (Fraction(1, 32), "C,A,B; D,A,B2; G,C,E; I,K,D; X,G,I"),
    "first cousins once removed": (Fraction(1, 32), FIRST_COUSINS + "I2,Z,I; X,G,I2"),
    "second cousins": (Fraction(1, 64), FIRST_COUSINS + "G2,Y,G; I2,Z,I; X,G2,I2"),
}


@pytest.mark.parametrize("mating", MATINGS)
def test_the_usual_matings(mating):
    expected, text = MATINGS[mating]
    pedigree, rows = named_pedigree(text)
    sire, dam = (name.strip() for name in text.split(";")[-1].split(",")[1:])
    assert inbreeding(pedigree)[rows["X"]] == expected
    assert kinship(pedigree, [rows[sire]], [rows[dam]])[0, 0] == expected
    assert explain(pedigree, rows[sire], rows[dam]).kinship == expected


def test_repeated_full_sib_mating():
    """F of the offspring of full sibs, generation after generation, from 1/4 to 1815/2048."""
    nodes = [[], []]
    for generation in range(11):
        cock, hen = 2 * generation, 2 * generation + 1
        nodes += [[(cock, hen, 1.0)], [(cock, hen, 1.0)]]
    expected = ["1/4", "3/8", "1/2", "19/32", "43/64", "47/64", "201/256", "423/512", "55/64", "1815/2048"]
    assert inbreeding(pedigree_of(nodes))[4::2].tolist() == [float(Fraction(text)) for text in expected]


def test_mating_to_the_younger_parent_equals_full_sib_mating():
    nodes = [[], [], [(0, 1, 1.0)]]
    for row in range(3, 13):
        # each bird is mated to the younger of its parents
        nodes.append([(row - 2, row - 1, 1.0)])
    expected = ["1/4", "3/8", "1/2", "19/32", "43/64", "47/64", "201/256", "423/512", "55/64", "1815/2048"]
    assert inbreeding(pedigree_of(nodes))[3:].tolist() == [float(Fraction(text)) for text in expected]


def test_repeated_half_sib_mating():
    """One cock a generation with his half sisters, each of another dam: F = (1 + 6 F' + F'') / 8."""
    mates = 200
    cock, hens = 0, list(range(1, mates + 1))
    nodes: list = [[] for _ in range(mates + 1)]
    found = []
    for _ in range(9):
        first = len(nodes)
        nodes += [[(cock, hen, 1.0)] for hen in hens]
        found.append(first)
        # one half brother with all others; there is one hen fewer each time
        cock, hens = first, list(range(first + 1, first + len(hens)))
    expected = [0, 0.125, 0.21875, 0.3046875, 0.380859, 0.448730, 0.509155, 0.562958, 0.610863]
    np.testing.assert_allclose(inbreeding(pedigree_of(nodes))[found], expected, atol=5e-7)


def test_repeated_backcross_to_one_cock():
    """F = (1 - (1/2)^t) / 2 for a sire that is not inbred."""
    nodes: list = [[], [], *([(0, row, 1.0)] for row in range(1, 9))]
    expected = ["0", "1/4", "3/8", "7/16", "15/32", "31/64", "63/128", "127/256"]
    assert inbreeding(pedigree_of(nodes))[2:].tolist() == [float(Fraction(text)) for text in expected]


def test_full_sibs_of_full_sibs_by_identity_coefficients():
    """Condensed coefficients (2,1,4,1,4,1,7,10,2)/32 give 3/8 (documented for an IBD simulation package)."""
    pedigree, rows = named_pedigree("C,A,B; D,A,B; X,C,D; Y,C,D")
    delta = np.array([2, 1, 4, 1, 4, 1, 7, 10, 2]) / 32
    expected = delta[0] + (delta[2] + delta[4] + delta[6]) / 2 + delta[7] / 4
    assert kinship(pedigree, [rows["X"]], [rows["Y"]])[0, 0] == expected == 0.375


def test_a_bird_with_an_unknown_parent_is_not_inbred():
    assert inbreeding(pedigree_of([[], [(0, UNKNOWN, 1.0)], [(0, UNKNOWN, 1.0)]])).tolist() == [0, 0, 0]
