"""Random mating of a few sires with more dams, against published recurrences and tables of regular matings."""

import numpy as np
import pytest

from studbook.genetics.breeders import effective_size
from studbook.genetics.random_mating import random_mating


def test_one_cock_and_one_hen_are_full_sib_mating():
    """Wright 1922, American Naturalist 56:330-338; Falconer & Mackay 1996, Table 5.1."""
    expected = [1 / 4, 3 / 8, 1 / 2, 19 / 32, 43 / 64, 47 / 64, 201 / 256, 423 / 512, 55 / 64, 1815 / 2048]
    np.testing.assert_allclose(random_mating(1, 1, 11).inbreeding[2:], expected, rtol=0, atol=1e-15)


def test_one_cock_with_very_many_half_sisters():
    """F(t) = (1 + 6 F(t - 1) + F(t - 2))/8; Falconer & Mackay 1996, Crow & Kimura 1970."""
    expected = [0.125, 0.21875, 0.3046875, 0.380859, 0.448730, 0.509155, 0.562958, 0.610863]
    np.testing.assert_allclose(random_mating(1, 10**12, 9).inbreeding[2:], expected, rtol=0, atol=5e-7)


@pytest.mark.parametrize(("cocks", "hens"), [(3, 15), (5, 20), (8, 40), (13, 325)])
def test_in_the_long_run_it_rises_by_wrights_rate(cocks, hens):
    """Wright 1931, Genetics 16:97-159: ΔF near 1/(2 Ne), Ne = 4NmNf/(Nm+Nf); the exact rate is a little less."""
    f = random_mating(cocks, hens, 200).inbreeding
    rate = 1 - (1 - f[-1]) / (1 - f[-2])
    wright = 1 / (2 * effective_size(cocks, hens))
    assert rate < wright
    # Crow & Kimura 1970: with separate sexes Ne is larger by about ½
    assert rate == pytest.approx(1 / (2 * effective_size(cocks, hens) + 1), rel=0.01)
