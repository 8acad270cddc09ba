"""Several candidate pairs: Henderson 1988, Journal of Animal Science 66:1614-1621.

The pedigree and its probabilities are public; the average matrix was computed afresh in exact
fractions and equals the weighted mean over the twelve pedigrees that are possible.
"""

from fractions import Fraction
from itertools import product

import numpy as np
import pytest

from studbook.genetics.inbreeding import inbreeding
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN
from tests.zoo import pedigree_of, relationship_table

# animal 4 is a dam of three and a possible sire of one: right for the numbers, refused at entry
CANDIDATES = {
    1: [],
    2: [],
    3: [(1, 2, 1.0)],
    4: [(1, 2, 1.0)],
    5: [(3, 4, 1.0)],
    6: [(3, None, 1.0)],
    7: [(3, 6, 0.6), (5, 6, 0.4)],
    8: [(1, 4, 0.3), (5, 4, 0.7)],
    9: [(1, 6, 0.3), (4, 6, 0.6), (5, 6, 0.1)],
    10: [(1, 4, 1.0)],
}

AVERAGE = [
    [1, 0, 0.5, 0.5, 0.5, 0.25, 0.375, 0.575, 0.45, 0.75],
    [1, 0.5, 0.5, 0.5, 0.25, 0.375, 0.425, 0.3, 0.25],
    [1, 0.5, 0.75, 0.5, 0.7, 0.5875, 0.5125, 0.5],
    [1, 0.75, 0.25, 0.425, 0.8375, 0.5375, 0.75],
    [1.25, 0.375, 0.6625, 0.8875, 0.55, 0.625],
    [1, 0.725, 0.29375, 0.63125, 0.25],
    [1.225, 0.500625, 0.579375, 0.4],
    [1.3375, 0.52875, 0.70625],
    [1.13125, 0.49375],
    [1.25],
]


def by_row(pairs):
    return [
        (sire - 1 if sire else UNKNOWN, dam - 1 if dam else UNKNOWN, weight) for sire, dam, weight in pairs
    ]


HENDERSON = pedigree_of([by_row(pairs) for pairs in CANDIDATES.values()])


def test_inbreeding_of_the_sample():
    found = inbreeding(HENDERSON)
    expected = ["0", "0", "0", "0", "1/4", "0", "9/40", "27/80", "21/160", "1/4"]
    np.testing.assert_allclose(found, [float(Fraction(text)) for text in expected], rtol=0, atol=1e-15)


def test_the_average_relationships_of_the_sample():
    every = np.arange(len(HENDERSON))
    found = 2 * kinship(HENDERSON, every, every)
    for row, expected in enumerate(AVERAGE):
        np.testing.assert_allclose(found[row, row:], expected, rtol=0, atol=1e-14)


def test_the_average_is_the_mean_over_all_possible_pedigrees():
    every = np.arange(len(HENDERSON))
    mean = np.zeros((len(HENDERSON), len(HENDERSON)))
    for choice in product(*(by_row(pairs) or [None] for pairs in CANDIDATES.values())):
        chance = np.prod([pair[2] for pair in choice if pair])
        certain = [[(pair[0], pair[1], 1.0)] if pair else [] for pair in choice]
        mean += chance * relationship_table(pedigree_of(certain))
    np.testing.assert_allclose(2 * kinship(HENDERSON, every, every), mean, rtol=0, atol=1e-14)


@pytest.mark.parametrize("cocks", [2, 3, 5])
def test_a_pen_of_equally_likely_cocks(cocks):
    """Pérez-Enciso & Fernando 1992, Theoretical and Applied Genetics 84:173-179: each gives 1/k."""
    hen, daughter = cocks, cocks + 1
    nodes = [[] for _ in range(cocks + 1)] + [[(0, hen, 1.0)]]
    nodes.append([(cock, daughter, 1 / cocks) for cock in range(cocks)])
    found = pedigree_of(nodes)
    assert inbreeding(found)[-1] == pytest.approx(0.25 / cocks, abs=1e-15)
