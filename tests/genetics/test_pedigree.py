"""The pedigree arrays: what they refuse, and how they are cut and ordered."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.pedigree import UNKNOWN, Pedigree, parents_first
from tests.zoo import ZOO, doubtful_pedigrees, pedigree_of


@pytest.mark.parametrize(
    ("nodes", "rows", "reason"),
    [
        ([[], [(2, UNKNOWN, 1.0)], []], [1], "before its offspring"),
        ([[(0, UNKNOWN, 1.0)]], [0], "before its offspring"),
        ([[], [(-2, UNKNOWN, 1.0)]], [1], "no row"),
        ([[], [], [(0, 1, 0.5)], [(0, 1, 0.6), (0, UNKNOWN, 0.5)]], [2, 3], "sum to 1"),
        ([[], [], [(0, 1, 1.5), (0, UNKNOWN, -0.5)]], [2], "weight"),
    ],
)
def test_impossible_pedigrees_are_refused_with_their_rows(nodes, rows, reason):
    with pytest.raises(ValueError, match=reason) as refused:
        pedigree_of(nodes)
    assert refused.value.args[1] == rows


def test_columns_of_different_length_are_refused():
    with pytest.raises(ValueError, match="length"):
        Pedigree.of_pairs([0, 1], [UNKNOWN], [UNKNOWN, UNKNOWN], [1.0])


def test_certain_parents_make_one_pair_each():
    pedigree = Pedigree.of_parents([UNKNOWN, UNKNOWN, 0], [UNKNOWN, UNKNOWN, 1])
    assert pedigree.weight.tolist() == [1, 1, 1]
    assert pedigree.is_bird.all()


def test_links_name_each_parent_once_with_its_share():
    links = pedigree_of([[], [], [], [(0, 1, 0.7), (0, 2, 0.3)]]).links
    assert links.parent.tolist() == [0, 1, 2]
    np.testing.assert_allclose(links.share, [0.5, 0.35, 0.15])


@given(doubtful_pedigrees(), st.data())
def test_the_part_with_the_ancestors_keeps_every_pair(pedigree, data):
    asked = data.draw(st.lists(st.integers(0, len(pedigree) - 1), min_size=1))
    rows = pedigree.with_ancestors(asked)
    part = pedigree.part(rows)
    assert set(asked) <= set(rows.tolist())
    for place, row in enumerate(rows):
        mine = slice(part.first[place], part.first[place + 1])
        whole = slice(pedigree.first[row], pedigree.first[row + 1])
        for here, there in ((part.sire, pedigree.sire), (part.dam, pedigree.dam)):
            named = [UNKNOWN if parent == UNKNOWN else int(rows[parent]) for parent in here[mine]]
            assert named == there[whole].tolist()


def test_ancestors_leave_out_the_rest_of_the_flock():
    assert ZOO["sire only"].with_ancestors([1]).tolist() == [0, 1]


def test_parents_come_first():
    order = parents_first([[2], [0, 2], [], [1]])
    assert order == [2, 0, 1, 3]


def test_a_loop_is_refused_with_its_rows():
    with pytest.raises(ValueError, match="ancestor") as refused:
        parents_first([[2], [0], [1], []])
    assert set(refused.value.args[1]) == {0, 1, 2}
