"""Whom a keeper keeps and mates, against the definition."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.choosing_young import chosen, mated_apart, mated_by_chance

seeds = st.integers(0, 2**32)


@given(seeds, st.integers(1, 5), st.integers(1, 5))
def test_each_pick_adds_least_to_the_mean_kinship(seed, candidates, picks):
    rng = np.random.default_rng(seed)
    root = rng.random((1, candidates, candidates))
    relation = root @ root.transpose(0, 2, 1)
    own = np.diagonal(relation, axis1=1, axis2=2) + 0.25
    others = rng.random((1, candidates))
    weights = rng.random(picks).tolist()
    everybody = [np.ones(candidates, dtype=bool)] * picks
    plenty = np.full((1, candidates), picks)
    taken = chosen(relation, own, others, weights, everybody, plenty, rng)[0].tolist()
    so_far: list[tuple[int, float]] = []
    for pick, weight in zip(taken, weights, strict=True):

        def adds(candidate, weight=weight):
            with_taken = sum(each * relation[0, candidate, other] for other, each in so_far)
            return 2 * (others[0, candidate] + with_taken) + weight * own[0, candidate]

        assert adds(pick) <= min(map(adds, range(candidates))) + 1e-6
        so_far.append((pick, weight))


def test_nobody_is_taken_twice_from_a_family_of_one():
    alike = np.full((50, 3, 3), 0.25)
    taken = chosen(
        alike,
        np.full((50, 3), 0.5),
        np.zeros((50, 3)),
        [0.2] * 3,
        [np.ones(3, dtype=bool)] * 3,
        np.ones((50, 3), dtype=np.int64),
        np.random.default_rng(1),
    )
    assert (np.sort(taken, axis=1) == [0, 1, 2]).all()


def test_only_those_of_the_pen_are_taken():
    own = np.zeros((20, 4))
    own[:, 2] = 9.0
    only = [np.array([False, False, True, False])]
    plenty = np.ones((20, 4), dtype=np.int64)
    taken = chosen(
        np.zeros((20, 4, 4)), own, np.zeros((20, 4)), [1.0], only, plenty, np.random.default_rng(1)
    )
    assert (taken == 2).all()


@given(seeds, st.integers(1, 5), st.integers(1, 14))
def test_groups_are_as_equal_as_can_be(seed, cocks, hens):
    rng = np.random.default_rng(seed)
    by_chance = mated_by_chance(6, cocks, hens, rng)
    apart = mated_apart(rng.random((6, cocks, hens)), rng)
    for mated in (by_chance, apart):
        for groups in mated:
            size = np.bincount(groups, minlength=cocks)
            assert size.max() - size.min() <= 1


def test_a_hen_goes_to_the_least_related_cock():
    kinship = np.array([[[0.25, 0.0], [0.0, 0.25]]])
    assert mated_apart(kinship, np.random.default_rng(1)).tolist() == [[1, 0]]
