"""Relationship matrices printed in textbooks, course notes and papers."""

from fractions import Fraction

import numpy as np
import pytest

from studbook.genetics.gene_flow import GeneFlow
from studbook.genetics.inbreeding import diagonals, inbreeding
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import Pedigree
from tests.zoo import named_pedigree

MRODE = "1,-,-; 2,-,-; 3,1,2; 4,1,-; 5,4,3; 6,5,2"
HENDERSON = "1,-,-; 2,-,-; 3,1,-; 4,1,2; 5,3,4; 6,1,4; 7,5,6"


def relationships(pedigree: Pedigree) -> np.ndarray:
    """The additive relationships of all birds, twice their kinships."""
    every = np.arange(len(pedigree))
    return 2 * kinship(pedigree, every, every)


def numbers(text: str) -> list[float]:
    return [float(Fraction(part)) for part in text.split()]


def symmetric(upper: list[str]) -> np.ndarray:
    """A matrix from the rows of its upper triangle."""
    n = len(upper)
    table = np.zeros((n, n))
    for row, text in enumerate(upper):
        table[row, row:] = numbers(text)
        table[row:, row] = table[row, row:]
    return table


def inverse(pedigree: Pedigree) -> np.ndarray:
    """A⁻¹ = (I - P)' D⁻¹ (I - P), P holding each bird's shares of its parents."""
    links = pedigree.links
    rest = np.eye(len(pedigree))
    rest[links.child, links.parent] -= links.share
    return rest.T @ np.diag(1 / diagonals(pedigree).sampling_variance) @ rest


def test_mrode_table_2_1_relationships():
    """Mrode 2014, Linear Models for the Prediction of Animal Breeding Values, 3rd ed., pp. 22-27."""
    pedigree, _ = named_pedigree(MRODE)
    expected = symmetric(
        ["1 0 1/2 1/2 1/2 1/4", "1 1/2 0 1/4 5/8", "1 1/4 5/8 9/16", "1 5/8 5/16", "9/8 11/16", "9/8"]
    )
    np.testing.assert_allclose(relationships(pedigree), expected, rtol=0, atol=1e-15)
    assert inbreeding(pedigree).tolist() == [0, 0, 0, 0, 0.125, 0.125]
    assert diagonals(pedigree).sampling_variance.tolist() == [1, 1, 0.5, 0.75, 0.5, 15 / 32]


def test_mrode_table_2_1_gene_flow():
    """The same book, p. 27: T, which says how much of each animal came down from each other, and A = T D T'."""
    pedigree, _ = named_pedigree(MRODE)
    flow = GeneFlow(pedigree)
    columns = np.eye(len(pedigree))[flow.order]
    flow.spread(columns)
    descent = columns[flow.place]
    expected = ["1 0 0 0 0 0", "0 1 0 0 0 0", "1/2 1/2 1 0 0 0", "1/2 0 0 1 0 0", "1/2 1/4 1/2 1/2 1 0"]
    expected.append("1/4 5/8 1/4 1/4 1/2 1")
    assert descent.tolist() == [numbers(row) for row in expected]
    variance = np.diag(diagonals(pedigree).sampling_variance)
    np.testing.assert_allclose(descent @ variance @ descent.T, relationships(pedigree), rtol=0, atol=1e-15)


def test_mrode_inverse_needs_the_inbreeding_of_the_parents():
    """The same book: the true inverse. Its p. 27 shows the rules that leave inbreeding out."""
    pedigree, _ = named_pedigree(MRODE)
    expected = symmetric(
        [
            "11/6 1/2 -1 -2/3 0 0",
            "61/30 -1 0 8/15 -16/15",
            "5/2 1/2 -1 0",
            "11/6 -1 0",
            "38/15 -16/15",
            "32/15",
        ]
    )
    np.testing.assert_allclose(inverse(pedigree), expected, rtol=0, atol=1e-14)


def test_mrode_example_4_1_inverse():
    """The same book, p. 64; the pedigree is read from the printed matrix."""
    pedigree, rows = named_pedigree("1,-,-; 2,-,-; 3,-,-; 4,1,2; 5,3,-; 6,1,5; 7,3,4; 8,1,7")
    expected = symmetric(
        [
            "5/2 1/2 0 -1 1/2 -1 1/2 -1",
            "3/2 0 -1 0 0 0 0",
            "11/6 1/2 -2/3 0 -1 0",
            "5/2 0 0 -1 0",
            "11/6 -1 0 0",
            "2 0 0",
            "5/2 -1",
            "2",
        ]
    )
    np.testing.assert_allclose(inverse(pedigree), expected, rtol=0, atol=1e-14)
    assert inbreeding(pedigree)[rows["8"]] == 0.125


def test_henderson_1976_relationships_and_inverse():
    """Henderson 1976, Biometrics 32:69-83 (from memory); its rows begin Fernando & Grossman 1990."""
    pedigree, _ = named_pedigree(HENDERSON)
    expected = symmetric(
        [
            "1 0 1/2 1/2 1/2 3/4 5/8",
            "1 0 1/2 1/4 1/4 1/4",
            "1 1/4 5/8 3/8 1/2",
            "1 5/8 3/4 11/16",
            "9/8 9/16 27/32",
            "5/4 29/32",
            "41/32",
        ]
    )
    np.testing.assert_allclose(relationships(pedigree), expected, rtol=0, atol=1e-15)
    assert inbreeding(pedigree).tolist() == numbers("0 0 0 0 1/8 1/4 9/32")
    assert diagonals(pedigree).sampling_variance.tolist() == numbers("1 1 3/4 1/2 1/2 1/2 13/32")
    expected = symmetric(
        [
            "7/3 1/2 -2/3 -1/2 0 -1 0",
            "3/2 0 -1 0 0 0",
            "11/6 1/2 -1 0 0",
            "3 -1 -1 0",
            "34/13 8/13 -16/13",
            "34/13 -16/13",
            "32/13",
        ]
    )
    np.testing.assert_allclose(inverse(pedigree), expected, rtol=0, atol=1e-14)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("X,-,-", "1"),
        ("X,S,-", "3/4"),
        ("X,S,D", "1/2"),
        # both known: 1/2 - (Fs + Fd)/4; one known: 3/4 - Fp/4, with F = 1/4
        ("C,A,B; D,A,B; S,C,D; X,S,H", "7/16"),
        ("C,A,B; D,A,B; S,C,D; X,S,-", "11/16"),
    ],
)
def test_the_general_rule_of_the_sampling_variance(text, expected):
    """University of Guelph, animal breeding course notes 1999."""
    pedigree, rows = named_pedigree(text)
    assert diagonals(pedigree).sampling_variance[rows["X"]] == float(Fraction(expected))


def test_royal_veterinary_and_agricultural_university_example():
    """Population genetics, online textbook, Danish Royal Veterinary and Agricultural University, 4.4-4.5.

    It prints F of 7 as 0.218: cut off, not rounded.
    """
    pedigree, _ = named_pedigree("1,-,-; 2,1,-; 3,1,-; 4,1,-; 5,3,2; 6,3,4; 7,5,6")
    found = relationships(pedigree)
    assert inbreeding(pedigree)[4:].tolist() == [0.125, 0.125, 7 / 32]
    assert found[:4, 6].tolist() == numbers("1/2 7/16 5/8 7/16")
    assert found[4, 5:].tolist() == numbers("7/16 25/32")
    assert found[5:, 6].tolist() == numbers("25/32 39/32")


def test_florida_covariance_table():
    """University of Florida, animal breeding course sheet: the covariance table with its answers."""
    pedigree, rows = named_pedigree("Z,-,-; T,-,-; R,Z,T; A,R,T; B,R,T; D,A,B; S,R,D; X,S,D")
    found = relationships(pedigree)
    order = [rows[name] for name in ["Z", "T", "R", "A", "B", "D", "S", "X"]]
    assert found[rows["X"], order].tolist() == [
        0.3125,
        0.6875,
        0.8125,
        0.9375,
        0.9375,
        1.21875,
        1.21875,
        1.53125,
    ]
    own = inbreeding(pedigree)
    assert [own[rows[name]] for name in ["A", "B", "D", "S", "X"]] == [0.25, 0.25, 0.375, 0.375, 0.53125]
    planned = kinship(pedigree, [rows["Z"], rows["D"], rows["X"]], [rows["X"], rows["Z"], rows["S"]])
    assert np.diag(planned).tolist() == [0.15625, 0.125, 0.609375]


def test_guelph_lesson_7():
    """University of Guelph course notes, lesson 7 (B_GG seen there; F of G computed afresh)."""
    pedigree, rows = named_pedigree("D,A,B; E,A,C; F,E,D; G,F,B")
    own = inbreeding(pedigree)
    assert own[rows["F"]] == own[rows["G"]] == 0.125
    assert diagonals(pedigree).sampling_variance[rows["G"]] == 15 / 32
