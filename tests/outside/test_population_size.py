"""Effective population size: published formulas, tables, and mating systems bred out bird by bird."""

import math

import numpy as np
import pytest

from studbook.genetics.breeders import (
    HIGHEST_RATE,
    effective_size,
    equalised_families,
    fluctuating_size,
    inbreeding_after,
    rate_of_inbreeding,
    size_of_rate,
    unequal_families,
)
from studbook.genetics.inbreeding import inbreeding
from studbook.genetics.pedigree import UNKNOWN, Pedigree


@pytest.mark.parametrize(
    ("cocks", "hens", "size", "rate", "after_ten"),
    [
        (1, 1, 2, 0.25, 0.943686),
        (1, 5, 10 / 3, 0.15, 0.803126),
        (1, 10, 40 / 11, 0.1375, 0.772180),
        (2, 10, 20 / 3, 0.075, 0.541418),
        (3, 15, 10, 0.05, 0.401263),
        (4, 20, 40 / 3, 0.0375, 0.317650),
        (5, 20, 16, 0.03125, 0.272024),
        (8, 40, 80 / 3, 0.01875, 0.172445),
        (10, 40, 32, 0.015625, 0.145709),
        (13, 325, 50, 0.01, 0.095618),
        (15, 75, 50, 0.01, 0.095618),
        (25, 25, 50, 0.01, 0.095618),
    ],
)
def test_cocks_and_hens(cocks, hens, size, rate, after_ten):
    """Wright 1931, Genetics 16:97-159: Ne = 4NmNf/(Nm+Nf), ΔF = 1/8Nm + 1/8Nf, F = 1 - (1 - ΔF)^t."""
    assert effective_size(cocks, hens) == pytest.approx(size)
    assert rate_of_inbreeding(effective_size(cocks, hens)) == pytest.approx(rate)
    assert 1 / (8 * cocks) + 1 / (8 * hens) == pytest.approx(rate)
    assert inbreeding_after(rate, 10) == pytest.approx(after_ten, abs=5e-7)


@pytest.mark.parametrize(
    ("generations", "expected"), [(1, 0.01), (5, 0.04901), (10, 0.095618), (20, 0.182093), (50, 0.394994)]
)
def test_inbreeding_of_fifty_effective_birds(generations, expected):
    """Wright 1931: F after t generations of Ne 50."""
    assert inbreeding_after(rate_of_inbreeding(50), generations) == pytest.approx(expected, abs=5e-7)


def test_the_highest_rate_is_an_effective_size_of_fifty():
    """FAO 2013, In vivo conservation of animal genetic resources, Guidelines 14: 1 % a generation."""
    assert size_of_rate(HIGHEST_RATE) == 50


def test_twenty_five_sires_are_half_a_percent():
    """FAO, The State of the World's Animal Genetic Resources: about 0.5 % a generation, dams many."""
    assert rate_of_inbreeding(effective_size(25, 10**6)) == pytest.approx(0.005, rel=1e-4)


@pytest.mark.parametrize(("variance", "expected"), [(0, 39), (1, 26), (2, 19.5), (4, 13), (6, 9.75)])
def test_unequal_families_of_twenty_breeders(variance, expected):
    """Crow & Kimura 1970, An Introduction to Population Genetics Theory: (4N - 2) / (Vk + 2)."""
    assert unequal_families(20, variance) == expected


def test_a_flock_of_changing_size():
    """Wright 1938, Science 87:430-431, in the usual example: 30.8, where the mean is 126.7."""
    sizes = [10, 100, 50, 80, 20, 500]
    assert fluctuating_size(sizes) == pytest.approx(30.848, abs=5e-4)
    assert np.mean(sizes) == pytest.approx(126.7, abs=0.05)


def test_equalised_families():
    """Gowe, Robertson & Latter 1959, Poultry Science 38:462-471: ΔF = 3/32Nm + 1/32Nf (from memory)."""
    assert rate_of_inbreeding(equalised_families(3, 15)) == pytest.approx(3 / 96 + 1 / 480)
    assert equalised_families(8, 8) == pytest.approx(2 * (8 + 8))


@pytest.mark.parametrize(
    ("birds", "generations", "exact"), [(8, 60, 0.024933), (12, 120, 0.012624), (16, 240, 0.007621)]
)
def test_the_rate_of_circular_mating(birds, generations, exact):
    """Kimura & Crow 1963, Genetical Research 4:399-415: every bird mated to its right and left neighbour.

    The rates are the exact ones of that system, reached after many generations; its formula
    π²/(2N+4)² comes close from 12 birds on.
    """
    mean = mean_inbreeding(circular, birds, generations)
    assert 1 - (1 - mean[-1]) / (1 - mean[-2]) == pytest.approx(exact, abs=1e-6)
    assert math.pi**2 / (2 * birds + 4) ** 2 == pytest.approx(exact, rel=0.02 if birds < 12 else 3e-3)


@pytest.mark.parametrize("birds", [12, 16])
def test_the_first_generations_of_circular_mating(birds):
    """Kimura & Crow 1963, the system of half sibs in a circle."""
    expected = [0, 1 / 8, 3 / 16, 0.24219, 0.28516, 0.32129]
    np.testing.assert_allclose(mean_inbreeding(circular, birds, 6)[1:], expected, rtol=0, atol=5e-6)


@pytest.mark.parametrize("birds", [12, 16])
def test_the_first_generations_of_circular_pair_mating(birds):
    """Kimura & Crow 1963: each pair's son goes to the daughter of the next pair."""
    expected = [0, 0, 1 / 16, 3 / 32, 0.12109, 0.14648]
    np.testing.assert_allclose(mean_inbreeding(circular_pairs, birds, 6)[1:], expected, rtol=0, atol=5e-6)


def test_the_rate_of_circular_pair_mating():
    """Kimura & Crow 1963: π²/(N+12)² is for many birds; these are the exact rates of 8 and 24."""
    for birds, exact in ((8, 0.03475), (24, 0.00808)):
        mean = mean_inbreeding(circular_pairs, birds, 150)
        assert 1 - (1 - mean[-1]) / (1 - mean[-2]) == pytest.approx(exact, abs=5e-6)


ROTATION = {
    1: [0, 0, 5 / 32, 9 / 32, 13 / 32, 131 / 256, 77 / 128, 173 / 256],
    2: [0, 0, 0, 13 / 128, 21 / 128, 29 / 128, 37 / 128, 707 / 2048],
    3: [0, 0, 0, 1 / 16, 53 / 512, 297 / 2048, 383 / 2048, 7435 / 32768],
    4: [0, 0, 0, 1 / 16, 3 / 32, 253 / 2048, 631 / 4096, 3001 / 16384],
    5: [0, 0, 0, 1 / 16, 3 / 32, 31 / 256, 1205 / 8192, 5595 / 32768],
}


@pytest.mark.parametrize("pens", ROTATION)
def test_cockerels_that_move_one_pen_on(pens):
    """Worked by the tabular method: a cock and four hens a pen, each hen leaves a daughter in it.

    The son of the first hen goes to the next pen. Mean F of the hens.
    """
    sire: list[int] = [UNKNOWN] * (5 * pens)
    dam: list[int] = [UNKNOWN] * (5 * pens)
    cocks = list(range(pens))
    hens = [[pens + 4 * pen + place for place in range(4)] for pen in range(pens)]
    flock = [[hen for pen in hens for hen in pen]]
    for _ in range(7):
        sons, daughters = [], []
        for cock, kept in zip(cocks, hens, strict=True):
            first = len(sire)
            sire += [cock] * 5
            dam += [kept[0], *kept]
            sons.append(first)
            daughters.append(list(range(first + 1, first + 5)))
        cocks, hens = sons[-1:] + sons[:-1], daughters
        flock.append([hen for pen in hens for hen in pen])
    found = inbreeding(Pedigree.of_parents(sire, dam))
    np.testing.assert_allclose([found[rows].mean() for rows in flock], ROTATION[pens], rtol=0, atol=1e-12)


def circular(last: list[int]) -> list[tuple[int, int]]:
    """The parents of the next birds of a circle: every one has its right and left neighbour as mates."""
    return list(zip(last, last[1:] + last[:1], strict=True))


def circular_pairs(last: list[int]) -> list[tuple[int, int]]:
    """The parents of the next birds: son and daughter of each pair; sons go to the next pair's daughter."""
    sons, daughters = last[::2], last[1::2]
    pairs = zip(sons, daughters[1:] + daughters[:1], strict=True)
    return [pair for pair in pairs for _ in range(2)]


def mean_inbreeding(system, birds: int, generations: int) -> list[float]:
    """The mean F of each generation of a mating system, the unrelated first birds included."""
    parents = [(UNKNOWN, UNKNOWN)] * birds
    for generation in range(generations):
        last = list(range(generation * birds, (generation + 1) * birds))
        parents += system(last)
    sire, dam = zip(*parents, strict=True)
    found = inbreeding(Pedigree.of_parents(sire, dam))
    return found.reshape(-1, birds).mean(axis=1).tolist()
