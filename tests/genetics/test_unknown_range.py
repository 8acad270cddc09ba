"""What an unknown parent hides: each candidate put in its place, the slow way and the fast."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from studbook.genetics.founders import Part
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from studbook.genetics.unknown_range import unknown_range
from tests.zoo import ZOO, doubtful_pedigrees, named_pedigree, pedigree_of, relationship_table


def filled_kinship(
    pedigree: Pedigree, first: int, second: int, child: int, part: Part, candidate: int
) -> float:
    """The kinship in a pedigree in which the candidate is the parent; offspring of the child come last."""
    offspring = [row for row in range(len(pedigree)) if child in pedigree.with_ancestors([row])]
    order = [row for row in range(len(pedigree)) if row not in offspring] + offspring
    place = {row: number for number, row in enumerate(order)} | {UNKNOWN: UNKNOWN}
    nodes = []
    for row in order:
        pairs = [
            (int(pedigree.sire[pair]), int(pedigree.dam[pair]), float(pedigree.weight[pair]))
            for pair in range(pedigree.first[row], pedigree.first[row + 1])
        ]
        if row == child:
            pairs = pairs or [(UNKNOWN, UNKNOWN, 1.0)]
            pairs = [
                (
                    candidate if part is Part.SIRE and sire == UNKNOWN else sire,
                    candidate if part is Part.DAM and dam == UNKNOWN else dam,
                    weight,
                )
                for sire, dam, weight in pairs
            ]
        nodes.append([(place[sire], place[dam], weight) for sire, dam, weight in pairs])
    variance = {place[int(row)]: float(pedigree.variance[row]) for row in np.flatnonzero(~pedigree.is_bird)}
    return float(relationship_table(pedigree_of(nodes, variance))[place[first], place[second]] / 2)


def unknown_parts(pedigree: Pedigree) -> list[tuple[int, Part]]:
    """The birds and the parent of theirs that is unknown, or may be."""
    found = []
    for row in np.flatnonzero(pedigree.is_bird).tolist():
        pairs = slice(pedigree.first[row], pedigree.first[row + 1])
        for part, parents in ((Part.SIRE, pedigree.sire[pairs]), (Part.DAM, pedigree.dam[pairs])):
            if not len(parents) or UNKNOWN in parents:
                found.append((row, part))
    return found


def possible(pedigree: Pedigree, child: int) -> list[int]:
    return [
        row
        for row in np.flatnonzero(pedigree.is_bird).tolist()
        if child not in pedigree.with_ancestors([row])
    ]


@pytest.mark.parametrize("name", ZOO)
def test_each_candidate_of_the_zoo_gives_the_kinship_of_the_filled_pedigree(name):
    pedigree = ZOO[name]
    last = np.flatnonzero(pedigree.is_bird)[-2:].tolist()
    for child, part in unknown_parts(pedigree)[:4]:
        candidates = possible(pedigree, child)[:6]
        for first, second in ((last[0], last[-1]), (last[-1], last[-1]), (0, last[-1])):
            found = unknown_range(pedigree, first, second, child, part, candidates)
            expected = [
                filled_kinship(pedigree, first, second, child, part, candidate) for candidate in candidates
            ]
            np.testing.assert_allclose(found.kinship, expected, rtol=0, atol=1e-12)


@given(doubtful_pedigrees(max_size=9), st.data())
def test_each_candidate_of_random_flocks_gives_the_kinship_of_the_filled_pedigree(pedigree, data):
    open_parts = unknown_parts(pedigree)
    assume(open_parts)
    child, part = data.draw(st.sampled_from(open_parts))
    first = data.draw(st.integers(0, len(pedigree) - 1))
    second = data.draw(st.integers(0, len(pedigree) - 1))
    candidates = possible(pedigree, child)
    found = unknown_range(pedigree, first, second, child, part, candidates)
    expected = [filled_kinship(pedigree, first, second, child, part, candidate) for candidate in candidates]
    np.testing.assert_allclose(found.kinship, expected, rtol=0, atol=1e-12)


def test_a_hen_of_unknown_sire_may_be_the_daughter_of_the_cock():
    pedigree, rows = named_pedigree("X,-,D; B,A,E")
    cocks = [rows["A"], rows["B"]]
    found = unknown_range(pedigree, rows["A"], rows["X"], rows["X"], Part.SIRE, cocks)
    assert found.recorded == 0
    assert found.kinship.tolist() == [0.25, 0.125]
    assert (found.best, found.worst, found.likely) == (0.125, 0.25, 0.1875)
    weighted = unknown_range(pedigree, rows["A"], rows["X"], rows["X"], Part.SIRE, cocks, weight=[3, 1])
    assert weighted.likely == 0.21875
    assert weighted.weight.tolist() == [0.75, 0.25]


def test_an_unknown_behind_neither_bird_hides_nothing():
    pedigree, rows = named_pedigree("X,-,D; B,A,E; C,A,E")
    found = unknown_range(pedigree, rows["B"], rows["C"], rows["X"], Part.SIRE, [rows["A"]])
    assert found.kinship.tolist() == [0.25]
    assert found.recorded == 0.25


def test_without_candidates_the_range_is_not_known():
    pedigree, rows = named_pedigree("X,-,D")
    found = unknown_range(pedigree, rows["D"], rows["X"], rows["X"], Part.SIRE, [])
    assert found.recorded == 0.25
    assert np.isnan([found.best, found.worst, found.likely]).all()


def test_what_cannot_be_the_parent_is_refused():
    pedigree, rows = named_pedigree("X,S,-; Y,X,E")
    x = rows["X"]
    with pytest.raises(ValueError, match="not unknown"):
        unknown_range(pedigree, x, rows["E"], x, Part.SIRE, [rows["E"]])
    with pytest.raises(ValueError, match=rf"rows \[{rows['Y']}\]"):
        unknown_range(pedigree, x, rows["E"], x, Part.DAM, [rows["Y"]])
    with pytest.raises(ValueError, match="sire or a dam"):
        unknown_range(pedigree, x, rows["E"], x, Part.BIRD, [rows["E"]])
    with pytest.raises(ValueError, match="positive weight"):
        unknown_range(pedigree, x, rows["E"], x, Part.DAM, [rows["E"]], weight=[0])
