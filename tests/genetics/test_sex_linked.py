"""Genes on the Z chromosome: the fast way against the definition."""

import numpy as np
import pytest
from hypothesis import given

from studbook.genetics.pedigree import UNKNOWN, Pedigree
from studbook.genetics.sex_linked import z_linked
from tests.zoo import ZOO, doubtful_pedigrees, named_pedigree

EXACT = {"rtol": 0, "atol": 1e-12}


def hens_of(pedigree: Pedigree) -> np.ndarray:
    """The birds that are dams somewhere."""
    hen = np.zeros(len(pedigree), dtype=bool)
    dams = pedigree.dam[pedigree.is_bird[pedigree.child]]
    hen[dams[dams != UNKNOWN]] = True
    # the candidates of a mean of dams are hens
    for mean in np.flatnonzero(hen & pedigree.is_mean):
        named = pedigree.sire[pedigree.first[mean] : pedigree.first[mean + 1]]
        hen[named[named != UNKNOWN]] = True
    return hen & pedigree.is_bird


def z_kinship_table(pedigree: Pedigree, hen: np.ndarray) -> np.ndarray:
    """Z kinship gene by gene: a hen's one Z is her sire's, a cock has one of each parent."""
    n = len(pedigree)
    table = np.zeros((n + 1, n + 1))  # the last row is of the unknown
    for row in range(n):
        pairs = range(pedigree.first[row], pedigree.first[row + 1])
        inherited = 0.0
        for pair in pairs:
            sire, dam, weight = pedigree.sire[pair], pedigree.dam[pair], pedigree.weight[pair]
            parents = [sire] if hen[row] else [sire, dam]
            for parent in parents:
                table[row, :row] += weight / len(parents) * table[parent, :row]
            inherited += weight * table[sire, dam]
        if hen[row]:
            table[row, row] = 1
        elif pedigree.is_bird[row]:
            table[row, row] = (1 + inherited) / 2
        else:
            known = [
                (parent, pedigree.weight[pair] / 2)
                for pair in pairs
                for parent in (pedigree.sire[pair], pedigree.dam[pair])
            ]
            table[row, row] = pedigree.variance[row] / 2 + sum(
                share * table[row, parent] if parent != UNKNOWN else 0 for parent, share in known
            )
        table[:row, row] = table[row, :row]
    return table[:n, :n]


SEXED = [
    name
    for name, pedigree in ZOO.items()
    if not np.isin(pedigree.sire[pedigree.is_bird[pedigree.child]], np.flatnonzero(hens_of(pedigree))).any()
]


def test_most_of_the_zoo_has_cocks_as_sires():
    assert {"pairs that belong together", "a mean of three hens", "founders of two related yards"} <= set(
        SEXED
    )


@pytest.mark.parametrize("name", SEXED)
def test_z_kinship_of_the_zoo_is_that_of_the_table(name):
    pedigree = ZOO[name]
    hen = hens_of(pedigree)
    table = z_kinship_table(pedigree, hen)
    found, every = z_linked(pedigree, hen), np.arange(len(pedigree))
    np.testing.assert_allclose(found.kinship(every, every), table, **EXACT)
    cock = pedigree.is_bird & ~hen
    np.testing.assert_allclose(found.inbreeding, np.where(cock, 2 * np.diag(table) - 1, np.nan), **EXACT)


@given(doubtful_pedigrees())
def test_z_kinship_of_random_flocks_is_that_of_the_table(pedigree):
    hen = np.arange(len(pedigree)) % 2 == 1
    table, every = z_kinship_table(pedigree, hen), np.arange(len(pedigree))
    found = z_linked(pedigree, hen).kinship(every, every)
    np.testing.assert_allclose(found, table, **EXACT)
    np.testing.assert_array_less(-1e-12, np.linalg.eigvalsh(found))


def test_a_hen_has_no_inbreeding_of_z_rather_than_none():
    pedigree, rows = named_pedigree("X,S,D")
    found = z_linked(pedigree, np.arange(3) == rows["D"]).inbreeding
    assert np.isnan(found[rows["D"]])
    assert found[rows["X"]] == 0


def test_a_hen_as_sire_is_refused():
    pedigree, rows = named_pedigree("X,S,D")
    with pytest.raises(ValueError, match=rf"rows \[{rows['S']}\]: a sire"):
        z_linked(pedigree, [True] * 3)
    with pytest.raises(ValueError, match=rf"rows \[{rows['D']}\]: a dam"):
        z_linked(pedigree, [False] * 3)


def test_an_empty_book_has_no_z():
    assert z_linked(ZOO["empty"], []).inbreeding.shape == (0,)
