"""Where the genes of a flock come from: contributions against their definition."""

from collections import defaultdict

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.founders import (
    Part,
    allele_retention_equivalents,
    cohort_contributions,
    contributions,
    effective_number,
    flock_mean_kinship,
    founder_contributions,
    founder_genome_equivalents,
    founder_shares,
    founders,
    without_origins,
)
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from tests.zoo import ZOO, doubtful_pedigrees, named_pedigree, pedigree_of

EXACT = {"rtol": 0, "atol": 1e-12}
FLOCKS = [name for name, pedigree in ZOO.items() if pedigree.is_bird.any()]

Source = tuple[int, Part]


def genes_by_founder(pedigree: Pedigree) -> list[dict[Source, float]]:
    """The genes of each node by founder, straight from its parents; those of a mean are left open.

    What is open of a mean (key -1) is filled by each bird that descends from it.
    """
    found: list[dict[Source, float]] = []
    origin = ~pedigree.is_bird & ~pedigree.is_mean
    nobody = (-1, Part.BIRD)
    for row in range(len(pedigree)):
        genes: dict[Source, float] = defaultdict(float)
        for pair in range(pedigree.first[row], pedigree.first[row + 1]):
            for part, parent in ((Part.SIRE, pedigree.sire[pair]), (Part.DAM, pedigree.dam[pair])):
                given_genes = {nobody: 1.0} if parent == UNKNOWN or origin[parent] else found[parent]
                for source, share in given_genes.items():
                    open_here = source == nobody and pedigree.is_bird[row]
                    genes[(row, part) if open_here else source] += pedigree.weight[pair] / 2 * share
        own = genes.get((row, Part.SIRE), 0) + genes.get((row, Part.DAM), 0)
        if pedigree.is_bird[row] and (not genes or own > 1 - 1e-9):
            genes = {(row, Part.BIRD): 1.0}
        found.append(dict(genes))
    return found


def birds_of(pedigree: Pedigree) -> np.ndarray:
    return np.flatnonzero(pedigree.is_bird)


@pytest.mark.parametrize("name", FLOCKS)
def test_the_genes_of_each_bird_are_those_its_parents_gave(name):
    pedigree = ZOO[name]
    among, birds = founders(pedigree), birds_of(pedigree)
    expected = genes_by_founder(pedigree)
    shares = founder_shares(pedigree, birds, among)
    for place, bird in enumerate(birds):
        told = {
            (int(row), Part(part)): share
            for row, part, share in zip(among.row, among.part, shares[place], strict=True)
            if share > 0
        }
        assert told == pytest.approx(expected[bird], abs=1e-12)


@given(doubtful_pedigrees(), st.data())
def test_contributions_sum_to_one_and_are_the_mean_of_the_birds(pedigree, data):
    rows = data.draw(st.lists(st.integers(0, len(pedigree) - 1), min_size=1))
    among = founders(pedigree)
    found = founder_contributions(pedigree, rows, among)
    assert found.sum() == pytest.approx(1, abs=1e-12)
    assert found.min() >= 0
    np.testing.assert_allclose(found, founder_shares(pedigree, rows, among).mean(axis=0), **EXACT)


@pytest.mark.parametrize("name", FLOCKS)
def test_contributions_sum_to_one_with_means_and_origins(name):
    pedigree = ZOO[name]
    found = founder_contributions(pedigree, birds_of(pedigree), founders(pedigree))
    assert found.sum() == pytest.approx(1, abs=1e-12)


def test_each_unknown_half_is_a_founder_of_its_own():
    """Two half sisters of unknown dams and their niece: the two dams are not taken for one hen."""
    pedigree, rows = named_pedigree("X,S,-; Y,S,-; Z,S,X")
    among = founders(pedigree)
    told = set(zip(among.row.tolist(), among.part.tolist(), among.share.tolist(), strict=True))
    assert told == {
        (rows["S"], Part.BIRD, 1.0),
        (rows["X"], Part.DAM, 0.5),
        (rows["Y"], Part.DAM, 0.5),
    }
    of_z = dict(zip(among.row.tolist(), founder_contributions(pedigree, [rows["Z"]], among), strict=True))
    assert of_z == {rows["S"]: 0.75, rows["X"]: 0.25, rows["Y"]: 0.0}


def test_a_home_hatched_bird_without_known_parents_is_two_founders_if_told_so():
    pedigree = pedigree_of([[], []])
    among = founders(pedigree, incomplete=[1])
    assert among.row.tolist() == [0, 1, 1]
    assert among.part.tolist() == [Part.BIRD, Part.SIRE, Part.DAM]
    assert founder_contributions(pedigree, [0, 1], among).tolist() == [0.5, 0.25, 0.25]


def test_a_doubtful_parent_leaves_its_part_unknown():
    """By this cock (0.6) or an unknown one, out of a known hen."""
    pedigree = pedigree_of([[], [], [(0, 1, 0.6), (UNKNOWN, 1, 0.4)]])
    among = founders(pedigree)
    assert among.part.tolist() == [Part.BIRD, Part.BIRD, Part.SIRE]
    np.testing.assert_allclose(founder_contributions(pedigree, [2], among), [0.3, 0.5, 0.2], **EXACT)


def test_birds_of_a_related_yard_are_founders_and_the_yard_is_none():
    pedigree = ZOO["founders of two related yards"]
    among = founders(pedigree)
    assert among.row.tolist() == [2, 3, 4]
    related = flock_mean_kinship(pedigree, [2, 3, 4])
    assert related > flock_mean_kinship(without_origins(pedigree), [2, 3, 4])
    assert kinship(without_origins(pedigree), [2], [3])[0, 0] == 0


def test_contributions_by_year_are_those_of_its_birds():
    pedigree = ZOO["full sib chain"]
    among, rows = founders(pedigree), [2, 3, 4, 5, 0]
    found = cohort_contributions(pedigree, rows, [2020, 2020, 2021, 2021, 2019], among)
    assert found.cohort.tolist() == [2019, 2020, 2021]
    assert found.birds.tolist() == [1, 2, 2]
    np.testing.assert_allclose(found.contribution, [[1, 0], [0.5, 0.5], [0.5, 0.5]], **EXACT)


def test_a_parent_passes_half_the_genes_of_each_offspring():
    pedigree, rows = named_pedigree("X,S,D; Y,S,E")
    found = contributions(pedigree, [rows["X"], rows["Y"]])
    assert found[rows["S"]] == 0.5
    assert found[rows["D"]] == 0.25
    assert found[rows["X"]] == 0.5


@given(doubtful_pedigrees())
def test_founders_are_at_least_as_many_as_they_are_effective_and_genomes_are_fewer(pedigree):
    rows = np.arange(len(pedigree))
    found = founder_contributions(pedigree, rows, founders(pedigree))
    effective = effective_number(found)
    genomes = founder_genome_equivalents(flock_mean_kinship(pedigree, rows))
    assert effective <= np.count_nonzero(found) + 1e-9
    assert genomes <= effective + 1e-9


def test_unrelated_founders_are_each_worth_one_genome():
    pedigree = ZOO["founders only"]
    assert founder_genome_equivalents(flock_mean_kinship(pedigree, [0, 1, 2])) == pytest.approx(3)


def test_a_lost_founder_changes_no_count_of_alleles_kept():
    assert allele_retention_equivalents([0.5, 0.5, 0.0], [1.0, 1.0, 0.0]) == 2


def test_without_birds_nothing_is_defined():
    pedigree = ZOO["founders only"]
    assert np.isnan(effective_number([]))
    assert np.isnan(flock_mean_kinship(pedigree, []))
    assert np.isnan(founder_genome_equivalents(np.nan))
    assert np.isnan(allele_retention_equivalents([], []))


def test_a_mean_of_birds_is_no_bird_to_ask_about():
    with pytest.raises(ValueError, match=r"rows \[4\]"):
        contributions(ZOO["a mean of three hens"], [4, 5])
