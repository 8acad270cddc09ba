"""Old and recent inbreeding, and inbreeding by founder, against their definitions."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.founders import founder_shares, founders, without_origins
from studbook.genetics.inbreeding import inbreeding
from studbook.genetics.kinship import kinship
from studbook.genetics.old_and_recent import (
    partial_inbreeding,
    recent_inbreeding,
    recent_kinship,
    recent_kinships,
)
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from tests.zoo import ZOO, doubtful_pedigrees, named_pedigree, pedigree_of, relationship_table

EXACT = {"rtol": 0, "atol": 1e-12}
FLOCKS = [name for name, pedigree in ZOO.items() if pedigree.is_bird.any()]


def distance(pedigree: Pedigree, start: int) -> dict[int, int]:
    """How many generations back each ancestor lies on the shortest way; a mean is no generation."""
    found = {start: 0}

    def walk(node: int, steps: int) -> None:
        for pair in range(pedigree.first[node], pedigree.first[node + 1]):
            for parent in (int(pedigree.sire[pair]), int(pedigree.dam[pair])):
                if parent != UNKNOWN:
                    back = steps if pedigree.is_mean[node] and node != start else steps + 1
                    if back < found.get(parent, len(pedigree) + 1):
                        found[parent] = back
                        walk(parent, back)

    walk(start, 0)
    return found


def recent_by_definition(pedigree: Pedigree, bird: int, generations: int) -> float:
    """The inbreeding in a pedigree from which all farther birds were struck."""
    origin = ~pedigree.is_bird & ~pedigree.is_mean
    near = {row for row, back in distance(pedigree, bird).items() if back <= generations and not origin[row]}

    def kept(row: int) -> int:
        return row if row in near else UNKNOWN

    nodes = [
        [
            (kept(int(pedigree.sire[pair])), kept(int(pedigree.dam[pair])), float(pedigree.weight[pair]))
            for pair in range(pedigree.first[row], pedigree.first[row + 1])
        ]
        for row in range(len(pedigree))
    ]
    variance = {int(row): float(pedigree.variance[row]) for row in np.flatnonzero(~pedigree.is_bird)}
    return float(relationship_table(pedigree_of(nodes, variance))[bird, bird] - 1)


@pytest.mark.parametrize("generations", [1, 2, 3, 5])
@pytest.mark.parametrize("name", FLOCKS)
def test_recent_inbreeding_of_the_zoo(name, generations):
    pedigree = ZOO[name]
    birds = np.flatnonzero(pedigree.is_bird)
    found = recent_inbreeding(pedigree, birds, generations)
    expected = [recent_by_definition(pedigree, bird, generations) for bird in birds]
    np.testing.assert_allclose(found, expected, **EXACT)


@given(doubtful_pedigrees(), st.integers(1, 5))
def test_recent_inbreeding_of_random_flocks(pedigree, generations):
    birds = np.arange(len(pedigree))
    found = recent_inbreeding(pedigree, birds, generations)
    expected = [recent_by_definition(pedigree, bird, generations) for bird in birds]
    np.testing.assert_allclose(found, expected, **EXACT)


@given(doubtful_pedigrees())
def test_farther_back_there_is_more_and_in_the_end_all(pedigree):
    birds = np.arange(len(pedigree))
    steps = [recent_inbreeding(pedigree, birds, generations) for generations in (1, 2, 3, 12)]
    for nearer, farther in pairwise(steps):
        assert np.all(nearer <= farther + 1e-12)
    np.testing.assert_allclose(steps[-1], inbreeding(pedigree), **EXACT)


@pytest.mark.parametrize(
    ("generations", "expected"), [(1, 0), (2, 1 / 4), (3, 3 / 8), (4, 1 / 2), (5, 19 / 32)]
)
def test_full_sibs_mated_for_long(generations, expected):
    """The F of so many generations of full-sib mating (Falconer & Mackay 1996), however old the line."""
    assert recent_inbreeding(ZOO["full sib chain"], [24], generations)[0] == expected


def test_a_daughter_mated_to_her_sire_is_recent_already_in_the_parents():
    pedigree, rows = named_pedigree("D,S,E; X,S,D")
    assert recent_inbreeding(pedigree, [rows["X"]], 1)[0] == 0.25
    assert recent_kinship(pedigree, rows["S"], rows["D"], 1) == 0.25


@given(doubtful_pedigrees(), st.integers(1, 4), st.data())
def test_recent_inbreeding_of_chicks_to_come(pedigree, generations, data):
    sire = data.draw(st.integers(0, len(pedigree) - 1))
    dam = data.draw(st.integers(0, len(pedigree) - 1))
    nodes = [
        [
            (int(pedigree.sire[pair]), int(pedigree.dam[pair]), float(pedigree.weight[pair]))
            for pair in range(pedigree.first[row], pedigree.first[row + 1])
        ]
        for row in range(len(pedigree))
    ]
    hatched = pedigree_of([*nodes, [(sire, dam, 1.0)]])
    expected = recent_inbreeding(hatched, [len(pedigree)], generations)[0]
    assert recent_kinship(pedigree, sire, dam, generations) == pytest.approx(expected, abs=1e-12)


def test_what_an_origin_brings_is_old():
    pedigree = ZOO["founders of two related yards"]
    assert inbreeding(pedigree)[5] > 0
    assert recent_inbreeding(pedigree, [5], 9)[0] == 0


def test_no_generation_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        recent_inbreeding(ZOO["full sib chain"], [24], 0)
    with pytest.raises(ValueError, match="at least one"):
        recent_kinship(ZOO["full sib chain"], 24, 25, 0)


def kinship_by_founder(pedigree: Pedigree, genes: np.ndarray) -> np.ndarray:
    """The chance that two genes are one gene of a founder (n, n), of whom each node has `genes` (n,)."""
    n = len(pedigree)
    table = np.zeros((n + 1, n + 1))
    for row in range(n):
        own = 0.0
        for pair in range(pedigree.first[row], pedigree.first[row + 1]):
            sire, dam, weight = pedigree.sire[pair], pedigree.dam[pair], pedigree.weight[pair]
            table[row, :row] += weight / 2 * (table[sire, :row] + table[dam, :row])
            own += weight * table[sire, dam]
        table[:row, row] = table[row, :row]
        if pedigree.is_bird[row]:
            table[row, row] = (genes[row] + own) / 2
        else:
            for pair in range(pedigree.first[row], pedigree.first[row + 1]):
                for parent in (pedigree.sire[pair], pedigree.dam[pair]):
                    table[row, row] += pedigree.weight[pair] / 2 * table[min(row, parent), row]
    return table[:n, :n]


def check_partial_inbreeding(pedigree: Pedigree) -> None:
    birds = np.flatnonzero(pedigree.is_bird)
    found = partial_inbreeding(pedigree, birds)
    among = founders(pedigree)
    known = without_origins(pedigree)
    genes = np.zeros((len(pedigree), len(among)))
    genes[birds] = founder_shares(pedigree, birds, among)
    for number in range(len(among)):
        table = kinship_by_founder(known, genes[:, number])
        expected = 2 * np.diag(table)[birds] - genes[birds, number]
        np.testing.assert_allclose(found.by_founder[:, number], expected, **EXACT)
    total = found.by_founder.sum(axis=1) + found.by_origin
    np.testing.assert_allclose(total, inbreeding(pedigree)[birds], **EXACT)


@pytest.mark.parametrize("name", FLOCKS)
def test_inbreeding_by_founder_of_the_zoo(name):
    check_partial_inbreeding(ZOO[name])


@given(doubtful_pedigrees(max_size=10))
def test_inbreeding_by_founder_of_random_flocks_sums_to_all(pedigree):
    check_partial_inbreeding(pedigree)


def test_inbreeding_to_the_sire_is_his_alone():
    """A daughter mated back to her sire: the chick can only carry his genes twice."""
    pedigree, rows = named_pedigree("D,S,E; X,S,D")
    found = partial_inbreeding(pedigree, [rows["X"]])
    by_row = dict(zip(found.founders.row.tolist(), found.by_founder[0], strict=True))
    assert by_row == {rows["S"]: 0.25, rows["E"]: 0.0}


def test_what_comes_from_a_related_yard_is_told_apart():
    pedigree = ZOO["founders of two related yards"]
    found = partial_inbreeding(pedigree, [5, 7])
    # f of two birds of a yard with self-relationship 0.3
    assert found.by_origin[0] == pytest.approx(kinship(pedigree, [2], [3])[0, 0])
    assert found.by_founder[0].sum() == 0
    assert found.by_founder[1].sum() > 0


@pytest.mark.parametrize("generations", [1, 2, 3])
@pytest.mark.parametrize("name", FLOCKS)
def test_many_pairs_at_once_are_each_as_alone(name, generations):
    pedigree = ZOO[name]
    birds = np.flatnonzero(pedigree.is_bird)[-16:]
    found = recent_kinships(pedigree, birds, birds[::-1], generations)
    alone = [[recent_kinship(pedigree, one, other, generations) for other in birds[::-1]] for one in birds]
    np.testing.assert_allclose(found, alone, **EXACT)


@given(doubtful_pedigrees(), st.integers(1, 4))
def test_many_pairs_of_random_flocks(pedigree, generations):
    birds = np.arange(len(pedigree))[-8:]
    found = recent_kinships(pedigree, birds, birds, generations)
    alone = [[recent_kinship(pedigree, one, other, generations) for other in birds] for one in birds]
    np.testing.assert_allclose(found, alone, **EXACT)
