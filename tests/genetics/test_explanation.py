"""The explanation of a pair: its parts add up, and its paths are Wright's."""

import tracemalloc
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import networkx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.explanation import explain
from studbook.genetics.inbreeding import diagonals
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from tests.zoo import ZOO, certain_pedigrees, doubtful_pedigrees, pedigree_of


def lines(graph: networkx.DiGraph, start: int, end: int) -> list[tuple[int, ...]]:
    """All lines of descent from a bird back to an ancestor."""
    if start == end:
        return [(start,)]
    return [tuple(line) for line in networkx.all_simple_paths(graph, start, end)]


def paths_by_counting(
    pedigree: Pedigree, first: int, second: int
) -> Iterator[tuple[int, tuple[int, ...], float]]:
    """Every path of Wright 1922 (American Naturalist 56:330-338): ancestor, path, contribution."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(len(pedigree)))
    links = pedigree.links
    for child, parent, share in zip(links.child, links.parent, links.share, strict=True):
        graph.add_edge(int(child), int(parent), share=float(share))
    own = diagonals(pedigree).self_relationship / 2
    for ancestor in graph:
        for up in lines(graph, first, ancestor):
            for down in lines(graph, second, ancestor):
                if set(up) & set(down) == {ancestor}:
                    chance = own[ancestor]
                    for line in (up, down):
                        for child, parent in pairwise(line):
                            chance *= graph.edges[child, parent]["share"]
                    yield ancestor, up + down[-2::-1], chance


def check_against_counting(pedigree: Pedigree, first: int, second: int) -> None:
    found = explain(pedigree, first, second)
    counted: dict[int, dict[tuple[int, ...], float]] = {}
    for ancestor, path, chance in paths_by_counting(pedigree, first, second):
        counted.setdefault(ancestor, {})[path] = chance
    assert {ancestor.row for ancestor in found.ancestors} == set(counted)
    for ancestor in found.ancestors:
        expected = counted[ancestor.row]
        assert ancestor.contribution == pytest.approx(sum(expected.values()), abs=1e-12)
        assert ancestor.path_count == len(expected)
        assert set(ancestor.paths) == set(expected) if len(expected) <= 100 else len(ancestor.paths) == 100
        strengths = [expected[path] for path in ancestor.paths]
        np.testing.assert_allclose(strengths, sorted(expected.values(), reverse=True)[:100], rtol=1e-12)


@given(st.one_of(certain_pedigrees(10), doubtful_pedigrees(9)), st.data())
def test_random_pairs_agree_with_counting_paths(pedigree, data):
    if not len(pedigree):
        return
    first = data.draw(st.integers(0, len(pedigree) - 1))
    second = data.draw(st.integers(0, len(pedigree) - 1))
    check_against_counting(pedigree, first, second)


@given(doubtful_pedigrees(), st.data())
def test_contributions_add_up_to_the_kinship(pedigree, data):
    first = data.draw(st.integers(0, len(pedigree) - 1))
    second = data.draw(st.integers(0, len(pedigree) - 1))
    found = explain(pedigree, first, second)
    expected = kinship(pedigree, [first], [second])[0, 0]
    assert found.kinship == pytest.approx(expected, abs=1e-12)
    assert sum(ancestor.contribution for ancestor in found.ancestors) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("name", [name for name in ZOO if len(ZOO[name])])
def test_contributions_of_the_zoo_add_up(name):
    pedigree = ZOO[name]
    last = len(pedigree) - 1
    for first in range(len(pedigree)):
        if pedigree.is_bird[first]:
            found = explain(pedigree, first, last, path_limit=1)
            assert found.kinship == pytest.approx(kinship(pedigree, [first], [last])[0, 0], abs=1e-12)


def test_full_sibs_meet_in_both_parents():
    found = explain(pedigree_of([[], [], [(0, 1, 1.0)], [(0, 1, 1.0)]]), 2, 3)
    assert found.kinship == 0.25
    assert [(a.row, a.contribution, a.path_count, a.paths) for a in found.ancestors] == [
        (1, 0.125, 1, ((2, 1, 3),)),
        (0, 0.125, 1, ((2, 0, 3),)),
    ]


def test_a_bird_meets_its_parent_in_the_parent():
    found = explain(pedigree_of([[], [], [(0, 1, 1.0)]]), 2, 0)
    assert [(a.row, a.contribution, a.paths) for a in found.ancestors] == [(0, 0.25, ((2, 0),))]


def test_a_bird_meets_itself_in_itself():
    pedigree = pedigree_of([[], [], [(0, 1, 1.0)], [(0, 1, 1.0)], [(2, 3, 1.0)]])
    found = explain(pedigree, 4, 4)
    assert [(a.row, a.contribution, a.paths) for a in found.ancestors] == [(4, 0.625, ((4,),))]


def test_unrelated_birds_have_nothing_to_explain():
    found = explain(ZOO["founders only"], 0, 1)
    assert found.kinship == 0
    assert found.ancestors == ()


def test_a_mean_is_passed_through_and_never_met_in():
    """Two chicks of one mean of three hens meet in the hens and in what lies behind them."""
    pedigree = ZOO["a mean of three hens"]
    found = explain(pedigree, 5, 6)
    mean = 4
    assert mean not in {ancestor.row for ancestor in found.ancestors}
    assert all(mean not in path for ancestor in found.ancestors for path in ancestor.paths)
    named = pedigree_of(
        [
            [],
            [],
            [(0, 1, 1.0)],
            [(0, 1, 1.0)],
            [(0, 1, 0.5), (0, 2, 0.25), (0, 3, 0.25)],
            [(0, 1, 0.5), (0, 2, 0.25), (0, 3, 0.25)],
        ]
    )
    expected = explain(named, 4, 5)
    same_row = {5: 4, 6: 5}

    def renamed(ancestors):
        return {
            ancestor.row: (
                pytest.approx(ancestor.contribution, abs=1e-12),
                ancestor.path_count,
                {tuple(same_row.get(row, row) for row in path) for path in ancestor.paths},
            )
            for ancestor in ancestors
        }

    assert renamed(found.ancestors) == {
        ancestor.row: (ancestor.contribution, ancestor.path_count, set(ancestor.paths))
        for ancestor in expected.ancestors
    }


def test_paths_without_end_are_counted_and_the_strongest_given():
    """Sixty generations of full sibs: more paths than anyone could list, all counted."""
    nodes = [[], []]
    for generation in range(60):
        cock, hen = 2 * generation, 2 * generation + 1
        nodes += [[(cock, hen, 1.0)], [(cock, hen, 1.0)]]
    pedigree = pedigree_of(nodes)
    found = explain(pedigree, 120, 121)
    by_row = {ancestor.row: ancestor for ancestor in found.ancestors}
    # two lines that must not meet: two ways a generation until they meet in a founder
    assert by_row[0].path_count == 2**59
    assert len(by_row[0].paths) == 100
    assert len(set(by_row[0].paths)) == 100
    assert by_row[119].paths == ((120, 119, 121),)
    assert found.kinship == pytest.approx(kinship(pedigree, [120], [121])[0, 0], abs=1e-12)


def test_paths_are_limited_as_asked():
    found = explain(ZOO["full sib chain"], 20, 21, path_limit=3)
    assert max(len(ancestor.paths) for ancestor in found.ancestors) == 3


@given(doubtful_pedigrees(), st.data())
def test_paths_of_the_foremost_ancestors_are_those_of_all(pedigree, data):
    first = data.draw(st.integers(0, len(pedigree) - 1))
    second = data.draw(st.integers(0, len(pedigree) - 1))
    count = data.draw(st.integers(0, 3))
    whole = explain(pedigree, first, second)
    found = explain(pedigree, first, second, foremost=count)
    assert found.ancestors[:count] == whole.ancestors[:count]
    assert found.ancestors[count:] == tuple(replace(each, paths=()) for each in whole.ancestors[count:])
    parts = [each.contribution for each in whole.ancestors]
    assert parts == sorted(parts, reverse=True)


def many_ancestors(generations: int = 400, cocks: int = 4, hens: int = 8) -> Pedigree:
    """A closed flock over so many generations: each breeder is behind nearly every later bird."""
    rng = np.random.default_rng(4)
    size = cocks + hens
    sire = np.full(size * generations + 2, UNKNOWN)
    dam = sire.copy()
    for begin in range(size, len(sire), size):
        end = min(begin + size, len(sire))
        sire[begin:end] = begin - size + rng.integers(cocks, size=end - begin)
        dam[begin:end] = begin - size + cocks + rng.integers(hens, size=end - begin)
    return Pedigree.of_parents(sire, dam)


def test_thousands_of_ancestors_are_explained_in_little_memory():
    """Tables of ancestors × ancestors would take 50 MB each; the parts still add up."""
    pedigree = many_ancestors()
    known = diagonals(pedigree)
    last = len(pedigree) - 1
    assert len(pedigree.with_ancestors([last - 1, last])) > 2_500
    tracemalloc.start()
    found = explain(pedigree, last - 1, last, known, path_limit=2, foremost=5)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 20e6
    expected = kinship(pedigree, [last - 1], [last], known)[0, 0]
    assert sum(each.contribution for each in found.ancestors) == pytest.approx(expected, abs=1e-12)
    listed = [len(each.paths) for each in found.ancestors]
    assert listed[:5] == [min(2, each.path_count) for each in found.ancestors[:5]]
    assert not any(listed[5:])


def test_where_paths_take_too_much_room_the_parts_are_told_without_them(monkeypatch):
    monkeypatch.setattr("studbook.genetics.explanation.PATH_NUMBERS", 10)
    found = explain(ZOO["full sib chain"], 20, 21)
    assert found.kinship == pytest.approx(kinship(ZOO["full sib chain"], [20], [21])[0, 0], abs=1e-12)
    assert all(each.path_count > 0 and not each.paths for each in found.ancestors)


def test_unknown_parents_lead_nowhere():
    pedigree = pedigree_of([[], [(0, UNKNOWN, 1.0)], [(0, UNKNOWN, 1.0)]])
    assert explain(pedigree, 1, 2).kinship == 0.125
