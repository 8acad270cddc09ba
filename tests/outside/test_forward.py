"""A flock simulated forward against published rates of inbreeding."""

import numpy as np
import pytest

from studbook.genetics.breeders import effective_size, equalised_families, rate_of_inbreeding
from studbook.genetics.breeding_policy import Breeding, Keep, Start
from studbook.genetics.forward import simulate


def rate(cocks: int, hens: int, keep: Keep) -> float:
    """The increase in inbreeding a generation, once the first ten have gone, with separate generations."""
    breeding = Breeding(cocks, hens, chicks=400, keep=keep, replaced=1)
    rng = np.random.Generator(np.random.PCG64(3))
    f = simulate(Start.unrelated(cocks, hens), breeding, 25, 200, rng).inbreeding.mean(axis=1)
    return float(1 - ((1 - f[24]) / (1 - f[10])) ** (1 / 14))


@pytest.mark.parametrize(("cocks", "hens"), [(8, 8), (4, 16), (3, 15)])
def test_by_chance_it_rises_as_wright_says(cocks, hens):
    """Wright 1931, Genetics 16:97-159, ΔF = 1/(2 Ne) with Ne = 4NmNf/(Nm+Nf) and about ½ more for two sexes."""
    wright = 1 / (2 * effective_size(cocks, hens) + 1)
    assert rate(cocks, hens, Keep.RANDOM) == pytest.approx(wright, rel=0.05)


def test_of_as_many_cocks_as_hens_one_son_and_one_daughter_of_each_are_the_least_related():
    """Gowe, Robertson & Latter 1959, Poultry Science 38:462-471, ΔF = 3/32Nm + 1/32Nf (from memory)."""
    gowe = rate_of_inbreeding(equalised_families(8, 8))
    assert rate(8, 8, Keep.LEAST_RELATED) == pytest.approx(gowe, rel=0.1)


@pytest.mark.parametrize(("cocks", "hens"), [(4, 16), (3, 15)])
def test_with_fewer_cocks_choosing_does_no_worse_than_equal_families(cocks, hens):
    """The same source: equal families are what choosing can always fall back on."""
    gowe = rate_of_inbreeding(equalised_families(cocks, hens))
    assert rate(cocks, hens, Keep.LEAST_RELATED) < gowe
