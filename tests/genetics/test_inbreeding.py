"""Inbreeding and kinship: the fast way against the definition, over odd and random flocks."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.inbreeding import diagonals, inbreeding
from studbook.genetics.kinship import kinship, mean_kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from tests.zoo import ZOO, certain_pedigrees, doubtful_pedigrees, pedigree_of, relationship_table

EXACT = {"rtol": 0, "atol": 1e-12}


def all_kinships(pedigree: Pedigree) -> np.ndarray:
    every = np.arange(len(pedigree))
    return kinship(pedigree, every, every)


@pytest.mark.parametrize("name", ZOO)
def test_inbreeding_of_the_zoo_is_that_of_the_table(name):
    pedigree = ZOO[name]
    table = relationship_table(pedigree)
    expected = np.where(pedigree.is_bird, np.diag(table) - 1, np.nan)
    np.testing.assert_allclose(inbreeding(pedigree), expected, **EXACT)


@pytest.mark.parametrize("name", ZOO)
def test_self_relationship_of_every_node_is_that_of_the_table(name):
    pedigree = ZOO[name]
    table = relationship_table(pedigree)
    np.testing.assert_allclose(diagonals(pedigree).self_relationship, np.diag(table), **EXACT)


@pytest.mark.parametrize("name", ZOO)
def test_kinship_of_the_zoo_is_half_the_table(name):
    pedigree = ZOO[name]
    np.testing.assert_allclose(all_kinships(pedigree), relationship_table(pedigree) / 2, **EXACT)


@given(st.one_of(certain_pedigrees(), doubtful_pedigrees()))
def test_random_flocks_agree_with_the_table(pedigree):
    table = relationship_table(pedigree)
    np.testing.assert_allclose(inbreeding(pedigree), np.diag(table) - 1, **EXACT)
    np.testing.assert_allclose(all_kinships(pedigree), table / 2, **EXACT)


@given(doubtful_pedigrees())
def test_kinship_is_symmetric_and_bounded(pedigree):
    found = all_kinships(pedigree)
    np.testing.assert_allclose(found, found.T, **EXACT)
    assert found.min() >= 0
    assert found.max() <= 1
    assert np.all(np.diag(found) >= 0.5)
    np.testing.assert_array_less(-1e-12, np.linalg.eigvalsh(found))


@given(doubtful_pedigrees())
def test_inbreeding_is_the_weighted_kinship_of_the_parents(pedigree):
    found, table = inbreeding(pedigree), all_kinships(pedigree)
    for row in range(len(pedigree)):
        pairs = range(pedigree.first[row], pedigree.first[row + 1])
        expected = sum(
            pedigree.weight[pair] * table[pedigree.sire[pair], pedigree.dam[pair]]
            for pair in pairs
            if UNKNOWN not in (pedigree.sire[pair], pedigree.dam[pair])
        )
        assert found[row] == pytest.approx(expected, abs=1e-12)


@given(doubtful_pedigrees())
def test_sire_and_dam_may_change_places(pedigree):
    swapped = Pedigree.of_pairs(pedigree.first, pedigree.dam, pedigree.sire, pedigree.weight)
    np.testing.assert_allclose(all_kinships(swapped), all_kinships(pedigree), **EXACT)


@given(doubtful_pedigrees(), st.randoms(use_true_random=False))
def test_the_order_of_entry_changes_nothing(pedigree, random):
    """Any other order with parents first gives each bird the same numbers."""
    order: list[int] = []
    links = pedigree.links
    waiting = set(range(len(pedigree)))
    while waiting:
        ready = [
            row
            for row in sorted(waiting)
            if not waiting.intersection(links.parent[links.first[row] : links.first[row + 1]].tolist())
        ]
        chosen = random.choice(ready)
        order.append(chosen)
        waiting.remove(chosen)
    place = {row: number for number, row in enumerate(order)} | {UNKNOWN: UNKNOWN}
    nodes = [
        [
            (place[int(pedigree.sire[pair])], place[int(pedigree.dam[pair])], float(pedigree.weight[pair]))
            for pair in range(pedigree.first[row], pedigree.first[row + 1])
        ]
        for row in order
    ]
    again = pedigree_of(nodes)
    np.testing.assert_allclose(all_kinships(again), all_kinships(pedigree)[np.ix_(order, order)], **EXACT)


@given(doubtful_pedigrees())
def test_an_unrelated_bird_changes_nothing(pedigree):
    def shifted(parent: int) -> int:
        return parent if parent == UNKNOWN else parent + 1

    nodes = [[]] + [
        [
            (
                shifted(int(pedigree.sire[pair])),
                shifted(int(pedigree.dam[pair])),
                float(pedigree.weight[pair]),
            )
            for pair in range(pedigree.first[row], pedigree.first[row + 1])
        ]
        for row in range(len(pedigree))
    ]
    found = all_kinships(pedigree_of(nodes))
    np.testing.assert_allclose(found[1:, 1:], all_kinships(pedigree), **EXACT)
    assert not found[0, 1:].any()


@given(certain_pedigrees())
def test_a_pair_split_in_parts_is_still_certain(pedigree):
    nodes = [
        [(int(sire), int(dam), 0.25), (int(sire), int(dam), 0.75)]
        for sire, dam in zip(pedigree.sire, pedigree.dam, strict=True)
    ]
    np.testing.assert_allclose(all_kinships(pedigree_of(nodes)), all_kinships(pedigree), **EXACT)


@given(doubtful_pedigrees(max_size=8), st.data())
def test_a_mean_of_birds_is_the_same_as_naming_each(pedigree, data):
    """A chick of the mean of several cocks has the numbers of a chick with that many candidates."""
    cocks = list(range(0, len(pedigree), 2))
    parts = np.array([data.draw(st.integers(1, 9)) for _ in cocks], dtype=float)
    parts /= parts.sum()
    dam = data.draw(st.sampled_from([UNKNOWN, *range(1, len(pedigree), 2)]))
    known = [
        [
            (int(pedigree.sire[pair]), int(pedigree.dam[pair]), float(pedigree.weight[pair]))
            for pair in range(pedigree.first[row], pedigree.first[row + 1])
        ]
        for row in range(len(pedigree))
    ]
    named = pedigree_of([*known, [(cock, dam, part) for cock, part in zip(cocks, parts, strict=True)]])
    mean = len(pedigree)
    meant = pedigree_of(
        [*known, [(cock, cock, part) for cock, part in zip(cocks, parts, strict=True)], [(mean, dam, 1.0)]],
        {mean: 0.0},
    )
    birds = [*range(len(pedigree)), mean + 1]
    np.testing.assert_allclose(kinship(meant, birds, birds), all_kinships(named), **EXACT)
    assert inbreeding(meant)[mean + 1] == pytest.approx(inbreeding(named)[mean], abs=1e-12)


@pytest.mark.parametrize("cocks", [1, 2, 3, 7])
def test_a_pen_of_equally_likely_cocks_gives_each_an_equal_part(cocks):
    hen = cocks
    nodes = [[] for _ in range(cocks + 1)]
    nodes.append([(cock, hen, 1 / cocks) for cock in range(cocks)])
    found = kinship(pedigree_of(nodes), range(cocks), [cocks + 1])
    np.testing.assert_allclose(found, np.full((cocks, 1), 0.25 / cocks), **EXACT)


def test_eggs_of_two_pens_mixed_are_not_crossed():
    """Two unrelated pairs whose cocks are each related to the other's hen by ¼: their chick is not inbred."""
    first_cock, first_hen, second_cock, second_hen = 4, 5, 6, 7
    nodes = [[], [], [], []]
    # half sibs across the pens (additive relationship ¼): cock 4 with hen 7, cock 6 with hen 5
    nodes += [[(0, UNKNOWN, 1.0)], [(2, UNKNOWN, 1.0)], [(2, UNKNOWN, 1.0)], [(0, UNKNOWN, 1.0)]]
    together = pedigree_of([*nodes, [(first_cock, first_hen, 0.5), (second_cock, second_hen, 0.5)]])
    crossed = pedigree_of(
        [
            *nodes,
            [(cock, hen, 0.25) for cock in (first_cock, second_cock) for hen in (first_hen, second_hen)],
        ]
    )
    assert kinship(together, [first_cock], [second_hen])[0, 0] == 0.125
    assert inbreeding(together)[8] == 0
    assert inbreeding(crossed)[8] == 0.0625


def test_two_founders_of_one_yard_share_half_its_self_relationship():
    """Legarra et al. 2015, Genetics 200:455-468: founders have the metafounder as both parents."""
    pedigree = pedigree_of([[], [(0, 0, 1.0)], [(0, 0, 1.0)], []], {0: 0.4})
    assert kinship(pedigree, [1], [2, 3]).tolist() == [[0.2, 0.0]]
    assert inbreeding(pedigree)[1] == pytest.approx(0.2, abs=1e-12)


def test_kinship_keeps_the_order_and_the_repeats_asked_for():
    pedigree = ZOO["full sib chain"]
    table = relationship_table(pedigree) / 2
    rows, columns = [9, 3, 9, 0], [4, 4, 1, 20, 2, 8]
    np.testing.assert_allclose(kinship(pedigree, rows, columns), table[np.ix_(rows, columns)], **EXACT)
    np.testing.assert_allclose(kinship(pedigree, columns, rows), table[np.ix_(columns, rows)], **EXACT)


def test_kinship_of_nobody_is_empty():
    assert kinship(ZOO["full sib chain"], [], [1, 2]).shape == (0, 2)


@given(doubtful_pedigrees())
def test_mean_kinship_counts_each_bird_with_itself(pedigree):
    chosen = list(range(0, len(pedigree), 2))
    expected = all_kinships(pedigree)[np.ix_(chosen, chosen)].mean(axis=1)
    np.testing.assert_allclose(mean_kinship(pedigree, chosen), expected, **EXACT)


def test_mean_kinship_of_unrelated_birds():
    found = mean_kinship(ZOO["founders only"], [0, 1, 2])
    np.testing.assert_allclose(found, np.full(3, 1 / 6), **EXACT)


def test_small_blocks_give_the_same_numbers(monkeypatch):
    pedigree = ZOO["deep and narrow"]
    table = relationship_table(pedigree)
    monkeypatch.setattr("studbook.genetics.inbreeding.BLOCK_NUMBERS", 1)
    monkeypatch.setattr("studbook.genetics.kinship.BLOCK_NUMBERS", 1)
    np.testing.assert_allclose(inbreeding(pedigree), np.diag(table) - 1, **EXACT)
    np.testing.assert_allclose(all_kinships(pedigree), table / 2, **EXACT)
