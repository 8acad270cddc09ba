"""The flock simulated forward, against the exact recursion, exact kinship, and gene drops."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studbook.genetics.breeding_policy import Breeding, Keep, NewBlood, Start
from studbook.genetics.expected_breeding import expected
from studbook.genetics.forward import BOUGHT_IN, simulate
from studbook.genetics.gene_drop import gene_drop
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from studbook.genetics.random_mating import random_mating
from studbook.genetics.rotation import rotation_course
from tests.zoo import pedigree_of as pedigree_of_pairs


def generator(seed=1):
    return np.random.Generator(np.random.PCG64(seed))


def pedigree_of(lineage):
    """The pedigree of a replicate, bought cocks being unrelated to all."""
    sire = np.where(lineage.sire == BOUGHT_IN, UNKNOWN, lineage.sire)
    dam = np.where(lineage.dam == BOUGHT_IN, UNKNOWN, lineage.dam)
    return Pedigree.of_parents(sire, dam)


def errors_from_the_mean(values, exact):
    """How many standard errors each year's mean (y, r) lies from the exact one (y,)."""
    error = values.std(axis=1, ddof=1) / np.sqrt(values.shape[1])
    gap = np.abs(values.mean(axis=1) - exact)
    return np.where(gap < 1e-12, 0.0, gap / np.maximum(error, 1e-12))


@pytest.mark.parametrize(("cocks", "hens"), [(1, 1), (1, 6), (2, 10), (3, 12), (5, 5), (4, 20)])
def test_random_mating_agrees_with_the_recursion(cocks, hens):
    breeding = Breeding(cocks, hens, chicks=60, replaced=1)
    found = simulate(Start.unrelated(cocks, hens), breeding, 12, 1_000, generator())
    exact = random_mating(cocks, hens, 12)
    # chicks of year t are generation t: their F is the kinship of the generation before
    assert errors_from_the_mean(found.inbreeding, exact.inbreeding[1:]).max() < 3.3


@pytest.mark.parametrize(("cocks", "hens"), [(1, 1), (1, 6), (3, 12), (4, 20)])
def test_the_exact_expectation_is_the_recursion_for_separate_generations(cocks, hens):
    inbreeding, _diversity = expected(Start.unrelated(cocks, hens), Breeding(cocks, hens, replaced=1), 15)
    np.testing.assert_allclose(inbreeding, random_mating(cocks, hens, 15).inbreeding[1:], rtol=0, atol=1e-12)


@pytest.mark.parametrize(
    "breeding",
    [
        Breeding(3, 10, replaced=1),
        Breeding(3, 12, replaced=0.4, seasons=2),
        Breeding(2, 9, replaced=0.3, seasons=3),
        Breeding(2, 8, replaced=0.5, seasons=2, new_blood=NewBlood(first=3, every=3)),
        Breeding(1, 5, replaced=0.5, new_blood=NewBlood(first=1)),
    ],
)
def test_flocks_that_overlap_agree_with_the_exact_expectation(breeding):
    start = related_start()
    found = simulate(start, breeding, 10, 1_500, generator(3))
    inbreeding, diversity = expected(start, breeding, 10)
    assert errors_from_the_mean(found.inbreeding, inbreeding).max() < 3.5
    assert errors_from_the_mean(found.diversity, diversity).max() < 3.5


def related_start(drops=64):
    """Thirty birds bred from three cocks and ten hens, with a yard to buy from that is a little related."""
    before = simulate(Start.unrelated(3, 10), Breeding(6, 24, replaced=1), 3, 1, generator(9)).lineage
    pedigree = pedigree_of(before)
    among = kinship(pedigree, before.flock, before.flock)
    start = Start.unrelated(6, 24, drops)
    return Start(
        among,
        start.is_cock,
        np.arange(30.0) % 3,
        np.arange(30) % 4,
        start.shares,
        start.genes,
        np.full((1, 30), 0.03),
        np.array([0.1]),
    )


policies = st.builds(
    Breeding,
    cocks=st.integers(1, 3),
    hens=st.integers(3, 8),
    chicks=st.integers(20, 60),
    keep=st.sampled_from(Keep),
    replaced=st.sampled_from([0.25, 0.5, 1.0]),
    seasons=st.integers(1, 3),
    mate_apart=st.booleans(),
    rotate=st.booleans(),
    doubtful=st.sampled_from([0.0, 0.4]),
    new_blood=st.sampled_from([None, NewBlood(1), NewBlood(2, 2), NewBlood(3, 4)]),
)


@settings(max_examples=40, deadline=None)
@given(policies, st.integers(0, 1000))
def test_a_replicate_has_the_kinship_of_its_pedigree(breeding, seed):
    found = simulate(Start.unrelated(3, 6), breeding, 6, 2, generator(seed)).lineage
    exact = kinship(pedigree_of(found), found.flock, found.flock)
    np.testing.assert_allclose(found.kinship, exact, rtol=0, atol=1e-12)


@settings(max_examples=30, deadline=None)
@given(policies, st.integers(0, 1000))
def test_what_is_recorded_is_the_kinship_of_the_recorded_pedigree(breeding, seed):
    """A bird of doubtful sire has each cock of the yard as sire with the same chance."""
    found = simulate(Start.unrelated(3, 6), breeding, 6, 1, generator(seed)).lineage
    pairs = []
    for bird, (sire, dam) in enumerate(zip(found.sire.tolist(), found.dam.tolist(), strict=True)):
        if sire < 0:
            pairs.append([])
        else:
            sires = found.sires.get(bird, (sire,))
            pairs.append([(one, dam, 1 / len(sires)) for one in sires])
    exact = kinship(pedigree_of_pairs(pairs), found.flock, found.flock)
    np.testing.assert_allclose(found.recorded, exact, rtol=0, atol=1e-12)


@settings(max_examples=25, deadline=None)
@given(policies, st.integers(0, 1000))
def test_every_young_bird_has_parents_that_bred_together(breeding, seed):
    start = Start.unrelated(3, 6)
    line = simulate(start, breeding, 5, 1, generator(seed)).lineage
    cocks = set(line.sire.tolist()) - {-1, BOUGHT_IN}
    assert not cocks & (set(line.dam.tolist()) - {BOUGHT_IN})
    assert len(line.flock) == breeding.cocks + breeding.hens
    assert len(set(line.flock.tolist())) == len(line.flock)


def test_one_hen_a_pen_rotates_as_the_table_says():
    """Nothing is left to chance then: every replicate is the course of `rotation_course`."""
    found = simulate(Start.unrelated(6, 6), Breeding(6, 6, replaced=1, rotate=True), 8, 20, generator())
    exact = rotation_course([1] * 6, 8).hens[1:]
    np.testing.assert_allclose(found.inbreeding, np.repeat(exact[:, None], 20, axis=1), rtol=0, atol=1e-12)


def test_founders_are_lost_as_in_a_gene_drop():
    found = simulate(Start.unrelated(6, 6), Breeding(6, 6, replaced=1, rotate=True), 6, 2_000, generator())
    line = found.lineage
    dropped = gene_drop(pedigree_of(line), line.flock, generator(), 20_000)
    kept = np.zeros(12)
    kept[dropped.founders.row] = dropped.kept
    # 16 genes of one replicate are drawn alike, so the error is that of the replicates at most
    np.testing.assert_allclose(found.kept, kept, rtol=0, atol=4 * np.sqrt(0.25 / 2_000))
    assert found.founders[-1].mean() == pytest.approx(kept.sum(), abs=0.2)
    assert (found.first_founders == 12).all()


def test_the_same_seed_gives_the_same_run():
    run = [
        simulate(related_start(), Breeding(2, 8, keep=Keep.LEAST_RELATED), 5, 50, generator(seed))
        for seed in (4, 4, 5)
    ]
    np.testing.assert_array_equal(run[0].inbreeding, run[1].inbreeding)
    assert (run[0].inbreeding != run[2].inbreeding).any()


def test_choosing_the_least_related_beats_chance_and_doubt_costs_some_of_it():
    def last(**rules):
        found = simulate(related_start(), Breeding(3, 12, replaced=0.5, **rules), 12, 300, generator())
        return found.inbreeding[-1].mean()

    by_chance = last()
    chosen = last(keep=Keep.LEAST_RELATED)
    blurred = last(keep=Keep.LEAST_RELATED, doubtful=0.8)
    assert chosen < blurred < by_chance


def test_more_cocks_and_new_blood_keep_more():
    def run(**rules):
        rules = {"cocks": 1, "hens": 12, **rules}
        return simulate(related_start(), Breeding(**rules), 15, 300, generator())

    one, three = run(), run(cocks=3)
    fresh = run(new_blood=NewBlood(3, 3))
    assert one.inbreeding[-1].mean() > three.inbreeding[-1].mean() > fresh.inbreeding[-1].mean()
    assert one.diversity[-1].mean() < three.diversity[-1].mean() < fresh.diversity[-1].mean()
    assert one.founders[-1].mean() < three.founders[-1].mean()


def test_founder_balance_keeps_more_founders_than_chance_and_evens_their_shares():
    """Twelve of sixteen hens are sisters, daughters of two of the other birds."""
    start = Start.unrelated(4, 16)
    kin, shares = start.kinship.copy(), start.shares.copy()
    sisters = np.arange(8, 20)
    kin[np.ix_(sisters, sisters)] = 0.25
    kin[sisters, sisters] = 0.5
    kin[np.ix_(sisters, [6, 7])] = 0.25
    kin[np.ix_([6, 7], sisters)] = 0.25
    shares[sisters] = 0
    shares[np.ix_(sisters, [6, 7])] = 0.5
    genes = np.array([[np.full(64, founder), np.full(64, founder)] for founder in range(20)], dtype=np.int32)
    genes[sisters, 0], genes[sisters, 1] = 6, 7
    start = replace(start, kinship=kin, shares=shares, genes=genes)

    def kept(keep):
        return simulate(start, Breeding(3, 9, keep=keep), 8, 300, generator()).founders.mean(axis=1)

    balanced, by_chance = kept(Keep.FOUNDER_BALANCED), kept(Keep.RANDOM)
    assert (balanced > by_chance + 0.5).all()


def test_a_flock_short_of_cocks_fills_up():
    start = Start.unrelated(1, 3)
    found = simulate(start, Breeding(3, 9, rotate=True), 4, 5, generator())
    assert len(found.lineage.flock) == 12


def test_progress_is_told_and_may_end_the_work():
    told = []
    simulate(Start.unrelated(2, 4), Breeding(2, 4), 3, 10, generator(), told.append)
    assert told == sorted(told)
    assert told[-1] == 1

    def stop(_share):
        raise InterruptedError

    with pytest.raises(InterruptedError):
        simulate(Start.unrelated(2, 4), Breeding(2, 4), 3, 10, generator(), stop)


@pytest.mark.parametrize(
    "wrong",
    [
        {"cocks": 0, "hens": 4},
        {"cocks": 3, "hens": 2},
        {"cocks": 1, "hens": 4, "replaced": 1.5},
        {"cocks": 1, "hens": 4, "seasons": 0},
        {"cocks": 1, "hens": 30, "chicks": 20, "replaced": 1},
        {"cocks": 1, "hens": 4, "new_blood": NewBlood(0)},
    ],
)
def test_rules_that_cannot_be_are_refused(wrong):
    with pytest.raises(ValueError, match=r"\w"):
        Breeding(**wrong)
