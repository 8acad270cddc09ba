"""Kinship passed on, against its definition as a product of matrices."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.passing_on import Descent


@given(st.integers(0, 2**32), st.integers(2, 5), st.integers(1, 4), st.integers(0, 4))
def test_it_is_the_product_of_matrices(seed, n, young, stays):
    rng = np.random.default_rng(seed)
    replicates, size = 3, young + stays
    root = rng.random((replicates, n, n))
    relation = root @ root.transpose(0, 2, 1)
    places = rng.permutation(size)
    was = rng.integers(0, n, stays)
    sire, dam = rng.integers(0, n, (2, replicates, young))
    doubted = rng.random((replicates, young)) < 0.5
    cocks = int(rng.integers(1, n))
    descent = Descent(size, places[:stays], was, places[stays:], sire, dam, doubted, cocks)
    weights = np.zeros((replicates, size, n))
    weights[:, places[:stays], was] = 1
    for replicate in range(replicates):
        for bird in range(young):
            row = weights[replicate, places[stays + bird]]
            row[dam[replicate, bird]] += 0.5
            if doubted[replicate, bird]:
                row[:cocks] += 0.5 / cocks
            else:
                row[sire[replicate, bird]] += 0.5
    np.testing.assert_allclose(descent.with_old(relation), weights @ relation, atol=1e-12)
    np.testing.assert_allclose(
        descent.among(relation), weights @ relation @ weights.transpose(0, 2, 1), atol=1e-12
    )


def test_chicks_of_two_unrelated_birds():
    pair = Descent.of_pairs(np.array([[0, 0]]), np.array([[1, 1]]), None, 1)
    # full sibs have kinship ¼
    assert pair.among(np.eye(2)[None] / 2)[0] == pytest.approx(np.full((2, 2), 0.25))
