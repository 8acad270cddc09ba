"""Gene drop against exact kinship and against chances worked out by hand."""

import numpy as np
import pytest
from hypothesis import given, settings

from studbook.genetics.founders import Part, flock_mean_kinship, founders, without_origins
from studbook.genetics.gene_drop import GeneDrop, founders_of_genes, gene_drop
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from tests.zoo import ZOO, doubtful_pedigrees, named_pedigree, pedigree_of

FLOCKS = [name for name, pedigree in ZOO.items() if pedigree.is_bird.any()]


def dropped(pedigree: Pedigree, rows, replicates: int = 4000, **more) -> GeneDrop:
    return gene_drop(pedigree, rows, np.random.default_rng(20270214), replicates, **more)


def assert_agrees_with_kinship(pedigree: Pedigree, rows, replicates: int) -> None:
    """Within four standard errors; founders of one origin count as different in a drop."""
    drop = dropped(pedigree, rows, replicates)
    exact = 1 - flock_mean_kinship(without_origins(pedigree), rows)
    error = drop.heterozygosity.std(ddof=1) / replicates**0.5
    assert abs(drop.expected_heterozygosity - exact) <= 4 * error + 1e-12


@pytest.mark.parametrize("name", FLOCKS)
def test_heterozygosity_of_the_zoo_agrees_with_the_exact_kinship(name):
    pedigree = ZOO[name]
    birds = np.flatnonzero(pedigree.is_bird)
    assert_agrees_with_kinship(pedigree, birds, 4000)
    assert_agrees_with_kinship(pedigree, birds[-1:], 4000)
    assert_agrees_with_kinship(pedigree, birds[-2:], 4000)


@settings(max_examples=25, deadline=None)
@given(doubtful_pedigrees())
def test_heterozygosity_of_random_flocks_agrees_with_the_exact_kinship(pedigree):
    # six errors: among so many flocks one beyond four is no surprise
    rows = np.arange(len(pedigree))
    drop = dropped(pedigree, rows, 2000)
    error = drop.heterozygosity.std(ddof=1) / 2000**0.5
    assert abs(drop.expected_heterozygosity - 1 + flock_mean_kinship(pedigree, rows)) <= 6 * error + 1e-12


@pytest.mark.parametrize("chicks", [1, 2, 5])
def test_a_founder_that_is_gone_lives_on_in_its_chicks(chicks):
    """Each gene of the cock is missed by every chick with chance (½)^chicks; one of the two never is."""
    pedigree = pedigree_of([[], [], *([(0, 1, 1.0)] for _ in range(chicks))])
    drop = dropped(pedigree, range(2, 2 + chicks))
    assert drop.kept.tolist() == [1, 1]
    np.testing.assert_allclose(drop.retention, 1 - 0.5**chicks, atol=4 * 0.5 / 4000**0.5)
    assert drop.expected_genes == pytest.approx(2 * drop.retention.sum())


def test_a_living_founder_has_kept_everything():
    drop = dropped(ZOO["founders only"], [0, 1])
    assert drop.kept.tolist() == [1, 1, 0]
    assert drop.retention.tolist() == [1, 1, 0]
    assert set(drop.genes) == {4}
    assert set(drop.heterozygosity) == {0.75}


def test_a_grandparent_may_have_left_nothing():
    """One chick of one chick: a gene of the grandsire is there with chance ½."""
    pedigree, rows = named_pedigree("C,S,D; G,E,C")
    drop = dropped(pedigree, [rows["G"]])
    kept = dict(zip(drop.founders.row.tolist(), drop.kept, strict=True))
    assert kept[rows["S"]] == pytest.approx(0.5, abs=4 * 0.5 / 4000**0.5)
    assert kept[rows["E"]] == 1
    assert drop.kept_error.max() == pytest.approx(0.5 / 4000**0.5, rel=1e-3)


def test_a_doubtful_sire_is_drawn_by_his_weight():
    pedigree = pedigree_of([[], [], [], [(0, 2, 0.8), (1, 2, 0.2)]])
    drop = dropped(pedigree, [3])
    np.testing.assert_allclose(drop.kept[:2], [0.8, 0.2], atol=4 * 0.4 / 4000**0.5)
    assert drop.kept[:2].sum() == pytest.approx(1)
    assert drop.kept[2] == 1


def test_pairs_that_belong_together_are_never_crossed():
    """Cock and hen of each pair unrelated, half sibs across the pairs: their chick has no gene twice."""
    nodes = [
        [],
        [],
        [],
        [],
        [(0, UNKNOWN, 1.0)],
        [(2, UNKNOWN, 1.0)],
        [(2, UNKNOWN, 1.0)],
        [(0, UNKNOWN, 1.0)],
    ]
    together = pedigree_of([*nodes, [(4, 5, 0.5), (6, 7, 0.5)]])
    crossed = pedigree_of([*nodes, [(cock, hen, 0.25) for cock in (4, 6) for hen in (5, 7)]])
    assert set(dropped(together, [8]).heterozygosity) == {0.5}
    assert set(dropped(crossed, [8]).heterozygosity) == {0.0, 0.5}


def test_one_gene_at_most_comes_down_from_an_unknown_parent():
    pedigree, rows = named_pedigree("X,S,-")
    drop = dropped(pedigree, [rows["X"]])
    unknown = drop.founders.part == Part.DAM
    assert drop.kept[unknown].tolist() == [1]
    assert drop.retention[unknown].tolist() == [0.5]


def test_a_mean_is_drawn_for_each_chick_anew():
    """Two chicks of a mean of two cocks share their cock half the time: five or six founder genes or fewer."""
    pedigree = pedigree_of(
        [[], [], [(0, 0, 0.5), (1, 1, 0.5)], [], [], [(2, 3, 1.0)], [(2, 4, 1.0)]], {2: 0.0}
    )
    drop = dropped(pedigree, [5, 6])
    both_cocks = drop.founders.row[drop.kept < 1].tolist()
    assert both_cocks == [0, 1]
    np.testing.assert_allclose(drop.kept[:2], 0.75, atol=4 * 0.433 / 4000**0.5)


def test_the_same_seed_gives_the_same_drop():
    pedigree = ZOO["doubtful sire"]
    first, second = dropped(pedigree, [5], 300), dropped(pedigree, [5], 300)
    assert first.replicates == 300
    np.testing.assert_array_equal(first.heterozygosity, second.heterozygosity)
    np.testing.assert_array_equal(first.kept, second.kept)


def test_a_bird_named_twice_is_counted_once():
    pedigree = ZOO["full sib chain"]
    np.testing.assert_array_equal(dropped(pedigree, [24, 25]).kept, dropped(pedigree, [25, 24, 25]).kept)


def test_more_founders_than_small_numbers_can_name():
    pedigree = Pedigree.of_parents(np.full(33_000, -1), np.full(33_000, -1))
    drop = dropped(pedigree, np.arange(33_000), 9)
    assert set(drop.genes) == {66_000}
    assert drop.kept.min() == 1


def test_progress_is_told_and_may_stop_the_work():
    told: list[float] = []
    dropped(ZOO["full sib chain"], [24], 1000, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1

    def stop(_share: float) -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        dropped(ZOO["full sib chain"], [24], progress=stop)


@pytest.mark.parametrize(("rows", "replicates"), [([], 10), ([0], 0)])
def test_nothing_to_count_is_refused(rows, replicates):
    with pytest.raises(ValueError, match="needs birds"):
        dropped(ZOO["founders only"], rows, replicates)


def test_the_founders_of_genes_are_those_that_are_counted():
    pedigree, rng = ZOO["doubtful sire"], np.random.Generator(np.random.PCG64(5))
    among = founders(pedigree)
    told = founders_of_genes(pedigree, [5, 4, 5], rng, 4_000, among)
    assert told.shape == (3, 2, 4_000)
    np.testing.assert_array_equal(told[0], told[2])
    there = [(told == founder).any(axis=(0, 1)).mean() for founder in range(len(among))]
    counted = dropped(pedigree, [4, 5], 4_000).kept
    np.testing.assert_allclose(there, counted, atol=4 * (0.5 / 4_000) ** 0.5)
