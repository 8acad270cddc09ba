"""Inbreeding and kinship against the pedigree functions of sgkit, a statistical genetics library.

sgkit brings numba and some 860 MB, so this runs in a virtual environment of its own that has the
extra `compare`; in the default one it is skipped.
"""

import warnings

import numpy as np
import pytest

from studbook.genetics.explanation import explain
from studbook.genetics.inbreeding import diagonals, inbreeding
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from tests.zoo import ZOO

try:
    with warnings.catch_warnings():
        # numba and xarray warn of their own and each other's coming changes
        warnings.simplefilter("ignore")
        import sgkit
        import xarray
except ModuleNotFoundError as missing:
    pytest.skip(
        f"{missing.name} is not installed: it belongs to the extra 'compare'", allow_module_level=True
    )

pytestmark = pytest.mark.filterwarnings("ignore")

EXACT = {"rtol": 0, "atol": 1e-12}


def random_flock(seed: int, size: int, cocks: int = 4, hens: int = 12) -> Pedigree:
    """A closed flock: each bird of a few recent parents, some of them unknown."""
    rng = np.random.default_rng(seed)
    sire = np.full(size, UNKNOWN)
    dam = np.full(size, UNKNOWN)
    for row in range(20, size):
        recent = np.arange(max(0, row - 120), row)
        if rng.random() > 0.1:
            sire[row] = rng.choice(recent[recent % 2 == 0][:cocks])
        if rng.random() > 0.1:
            dam[row] = rng.choice(recent[recent % 2 == 1][:hens])
    return Pedigree.of_parents(sire, dam)


def same_in_sgkit(pedigree: Pedigree) -> "xarray.Dataset":
    parents = np.full((len(pedigree), 2), UNKNOWN)
    parents[pedigree.child, 0] = pedigree.sire
    parents[pedigree.child, 1] = pedigree.dam
    return xarray.Dataset({"parent": (("samples", "parents"), parents)})


CERTAIN = {
    name: pedigree
    for name, pedigree in ZOO.items()
    if len(pedigree) > 0 and pedigree.is_bird.all() and np.all(np.diff(pedigree.first) <= 1)
}

FLOCKS = {
    **CERTAIN,
    **{f"random flock {seed}": random_flock(seed, 400) for seed in range(3)},
    "random narrow flock": random_flock(7, 400, cocks=1, hens=3),
}


@pytest.mark.parametrize("name", FLOCKS)
def test_inbreeding_is_that_of_sgkit(name):
    pedigree = FLOCKS[name]
    found = sgkit.pedigree_inbreeding(same_in_sgkit(pedigree), allow_half_founders=True)
    np.testing.assert_allclose(inbreeding(pedigree), found.stat_pedigree_inbreeding.values, **EXACT)


@pytest.mark.parametrize("name", FLOCKS)
def test_kinship_is_that_of_sgkit(name):
    pedigree = FLOCKS[name]
    every = np.arange(len(pedigree))
    found = sgkit.pedigree_kinship(same_in_sgkit(pedigree), allow_half_founders=True)
    np.testing.assert_allclose(kinship(pedigree, every, every), found.stat_pedigree_kinship.values, **EXACT)


def test_explanations_add_up_to_the_kinship_of_sgkit():
    pedigree = FLOCKS["random flock 0"]
    found = sgkit.pedigree_kinship(same_in_sgkit(pedigree), allow_half_founders=True)
    table, known = found.stat_pedigree_kinship.values, diagonals(pedigree)
    for first, second in ((398, 399), (300, 399), (20, 399), (397, 397)):
        explained = explain(pedigree, first, second, known, path_limit=1)
        assert sum(ancestor.contribution for ancestor in explained.ancestors) == pytest.approx(
            table[first, second], abs=1e-12
        )
