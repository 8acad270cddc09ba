"""Rotating cockerels between pens, and mating in a circle, against published and hand-worked tables."""

import numpy as np
import pytest

from studbook.genetics.rotation import next_kinship, rotation_course

ROTATION = {
    1: [0, 0, 5 / 32, 9 / 32, 13 / 32, 131 / 256, 77 / 128, 173 / 256],
    2: [0, 0, 0, 13 / 128, 21 / 128, 29 / 128, 37 / 128, 707 / 2048],
    3: [0, 0, 0, 1 / 16, 53 / 512, 297 / 2048, 383 / 2048, 7435 / 32768],
    4: [0, 0, 0, 1 / 16, 3 / 32, 253 / 2048, 631 / 4096, 3001 / 16384],
    5: [0, 0, 0, 1 / 16, 3 / 32, 31 / 256, 1205 / 8192, 5595 / 32768],
}


@pytest.mark.parametrize("pens", ROTATION)
def test_a_cock_and_four_hens_a_pen(pens):
    """The table was worked with exact fractions by the tabular method and by path counting."""
    np.testing.assert_allclose(rotation_course([4] * pens, 7).hens, ROTATION[pens], rtol=0, atol=1e-12)


@pytest.mark.parametrize("pairs", [6, 8])
def test_one_hen_a_pen_is_circular_pair_mating(pairs):
    """Kimura & Crow 1963, Genetical Research 4:399-415, 12 birds and more: F by generation."""
    expected = [0, 0, 1 / 16, 3 / 32, 0.12109, 0.14648]
    np.testing.assert_allclose(rotation_course([1] * pairs, 6).hens[1:], expected, rtol=0, atol=5e-6)


@pytest.mark.parametrize(("birds", "exact"), [(8, 0.03475), (24, 0.00808)])
def test_the_rate_of_circular_pair_mating(birds, exact):
    """Kimura & Crow 1963: the exact rates; their π²/(N+12)² holds for many birds only."""
    mean = rotation_course([1] * (birds // 2), 400).hens
    assert 1 - (1 - mean[-1]) / (1 - mean[-2]) == pytest.approx(exact, abs=5e-6)


@pytest.mark.parametrize("birds", [12, 16])
def test_every_bird_mated_to_both_neighbours(birds):
    """Kimura & Crow 1963, circular mating, 12 birds and more: F by generation, of the same table of kinship."""
    sires = np.arange(birds, dtype=np.int32)
    dams = np.roll(sires, -1)
    kinship = np.eye(birds) / 2
    found = []
    for _generation in range(6):
        kinship = next_kinship(kinship, sires, dams)
        found.append((2 * kinship.diagonal() - 1).mean())
    np.testing.assert_allclose(found, [0, 1 / 8, 3 / 16, 0.24219, 0.28516, 0.32129], rtol=0, atol=5e-6)


@pytest.mark.parametrize(("birds", "exact"), [(8, 0.024933), (12, 0.012624), (16, 0.007621), (24, 0.003650)])
def test_the_rate_of_circular_mating(birds, exact):
    """Kimura & Crow 1963: the exact rates reached after many generations."""
    sires = np.arange(birds, dtype=np.int32)
    dams = np.roll(sires, -1)
    kinship = np.eye(birds) / 2
    left = []
    for _generation in range(400):
        kinship = next_kinship(kinship, sires, dams)
        left.append(1 - (2 * kinship.diagonal() - 1).mean())
    assert 1 - left[-1] / left[-2] == pytest.approx(exact, abs=1e-6)
