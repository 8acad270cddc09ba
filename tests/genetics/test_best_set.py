"""The best set of cocks and hens: equal to looking at every set, and its bound never above one."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from studbook.genetics.best_set import best_set
from studbook.genetics.breeding_stock import SAME, Stock, next_kinship, stock, swap_changes
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import Pedigree


def every_figure(among: Stock) -> dict[frozenset[int], float]:
    """c′Kc of every set there is, each worked out from its definition."""
    cocks, hens = np.flatnonzero(among.is_cock), np.flatnonzero(~among.is_cock)
    must = set(np.flatnonzero(among.must_stay).tolist())
    found = {}
    for some_cocks in combinations(cocks.tolist(), among.cocks):
        for some_hens in combinations(hens.tolist(), among.hens):
            kept = (*some_cocks, *some_hens)
            if not must <= set(kept) or among.must_go[list(kept)].any():
                continue
            c = np.zeros(len(among.is_cock))
            c[list(some_cocks)] = 1 / (2 * among.cocks)
            c[list(some_hens)] = 1 / (2 * among.hens)
            found[frozenset(kept)] = float(c @ among.kinship @ c)
    return found


def rows(chosen: NDArray[np.bool_]) -> frozenset[int]:
    return frozenset(np.flatnonzero(chosen).tolist())


class EndedError(Exception):
    """Nobody waits."""


@st.composite
def flocks(draw: st.DrawFn) -> Stock:
    """A few generations with many sibs, some of its birds to choose from, wishes and all."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    founders, young = draw(st.integers(2, 5)), draw(st.integers(3, 14))
    sire, dam = [-1] * founders, [-1] * founders
    for _bird in range(young):
        sire.append(int(rng.integers(-1, len(sire))))
        dam.append(int(rng.integers(-1, len(dam))))
    chosen = np.sort(rng.choice(len(sire), draw(st.integers(4, min(12, len(sire)))), replace=False))
    is_cock = rng.random(len(chosen)) < 0.4
    is_cock[:2] = True, False
    cocks = draw(st.integers(1, int(is_cock.sum())))
    hens = draw(st.integers(1, int((~is_cock).sum())))
    among = kinship(Pedigree.of_parents(sire, dam), chosen, chosen)
    wish = rng.random(len(chosen))
    try:
        return stock(among, is_cock, cocks, hens, np.flatnonzero(wish < 0.1), np.flatnonzero(wish > 0.9))
    except ValueError:
        return stock(among, is_cock, cocks, hens)


@given(flocks())
@settings(max_examples=40, deadline=None)
def test_it_is_the_best_of_every_set(among: Stock) -> None:
    figures = every_figure(among)
    found = best_set(among)
    assert found.is_proven
    assert found.kinship == pytest.approx(min(figures.values()), abs=2 * SAME)
    assert figures[rows(found.chosen)] == pytest.approx(found.kinship, abs=1e-12)


@given(flocks(), st.integers(0, 2**32 - 1))
@settings(max_examples=40, deadline=None)
def test_numbers_that_are_no_kinships_are_solved_too(among: Stock, seed: int) -> None:
    """Rounding can leave a table that is not convex, and worse tables must not break the proof."""
    rng = np.random.default_rng(seed)
    noise = rng.normal(0, 0.05, among.kinship.shape)
    odd = Stock(
        among.kinship + noise + noise.T,
        among.is_cock,
        among.cocks,
        among.hens,
        among.must_stay,
        among.must_go,
    )
    found = best_set(odd)
    best = min(every_figure(odd).values())
    assert found.bound <= best + 2 * SAME
    assert found.kinship == pytest.approx(best, abs=2 * SAME)


@given(flocks(), st.integers(1, 6))
@settings(max_examples=40, deadline=None)
def test_the_others_are_the_next_best_of_every_set(among: Stock, count: int) -> None:
    """Of birds that may stand for each other one is told, so figures that come twice may come once here."""
    figures = every_figure(among)
    found = best_set(among, others=count)
    assert found.is_proven
    assert found.others_proven
    told = [found.kinship, *(figure for _chosen, figure in found.others)]
    for chosen, figure in found.others:
        assert figures[rows(chosen)] == pytest.approx(figure, abs=1e-12)
    assert told == sorted(told)
    distinct = sorted(set(np.round(list(figures.values()), 8)))
    assert set(np.round(told, 8)) == {each for each in distinct if each <= round(told[-1], 8)}
    if len(found.others) < count:
        assert set(np.round(told, 8)) == set(distinct)


@given(flocks())
@settings(max_examples=40, deadline=None)
def test_cut_short_the_bound_is_still_below_every_set(among: Stock) -> None:
    lowest = min(every_figure(among).values())
    found = best_set(among, seconds=0.0)
    assert found.bound <= lowest + 2 * SAME
    assert lowest <= found.kinship + 1e-12
    assert 0 <= found.gap <= 1


@given(flocks())
@settings(max_examples=40, deadline=None)
def test_a_swap_changes_the_figure_by_what_it_says(among: Stock) -> None:
    figures = every_figure(among)
    kept = next(iter(figures))
    chosen = np.zeros(len(among.is_cock), dtype=bool)
    chosen[list(kept)] = True
    changes = swap_changes(among, chosen)
    for gone, come in np.argwhere(~np.isnan(changes)).tolist():
        other = kept - {gone} | {come}
        assert changes[gone, come] == pytest.approx(figures[other] - figures[kept], abs=1e-12)
    swapped = {kept - {gone} | {come} for gone, come in np.argwhere(~np.isnan(changes)).tolist()}
    near = {other for other in figures if len(other - kept) == 1}
    assert swapped == near


def test_the_figure_of_one_pair_by_hand() -> None:
    # one cock with one hen, unrelated founders: (1/2)²·1/2 twice is 1/4; full sibs add 2·(1/2)²·1/4
    assert next_kinship([[0.5, 0.0], [0.0, 0.5]], [True, False], [True, True]) == 0.25
    assert next_kinship([[0.5, 0.25], [0.25, 0.5]], [True, False], [True, True]) == 0.375
    assert np.isnan(next_kinship([[0.5]], [True], [True]))


def test_equal_shares_give_the_published_mean_kinship() -> None:
    """Lacy 1989, Zoo Biology 8:111-123, sample pedigree: the living C, D, F, G have mean kinship 9/32."""
    # A, B, E founders; C and D of A and B; F and G of D and E
    table = Pedigree.of_parents([-1, -1, -1, 0, 0, 3, 3], [-1, -1, -1, 1, 1, 2, 2])
    living = [4, 3, 5, 6]
    assert next_kinship(kinship(table, living, living), [True, False, True, False], [True] * 4) == 9 / 32


def test_unrelated_founders_come_to_wrights_one_over_four_n() -> None:
    """With N cocks and M hens c′Kc is 1/(8N) + 1/(8M), the rise of F by their numbers (Wright 1931)."""
    found = best_set(stock(np.eye(8) / 2, np.arange(8) < 3, 2, 4))
    assert found.kinship == pytest.approx(1 / 16 + 1 / 32)
    assert found.is_proven


def test_of_two_brothers_and_a_stranger_one_brother_and_the_stranger_are_kept() -> None:
    # rows: two full brothers, a stranger cock, two unrelated hens
    table = np.eye(5) / 2
    table[0, 1] = table[1, 0] = 0.25
    found = best_set(stock(table, [True, True, True, False, False], 2, 2))
    assert rows(found.chosen) in {frozenset({0, 2, 3, 4}), frozenset({1, 2, 3, 4})}


def test_forty_birds_of_a_small_flock_are_proven() -> None:
    rng = np.random.default_rng(7)
    sire, dam = [-1] * 12, [-1] * 12
    for year in range(4):
        cocks = rng.choice(len(sire) // 2, 3) * 2
        hens = rng.choice(len(sire) // 2, 8) * 2 + 1
        for _chick in range(14 + year):
            sire.append(int(rng.choice(cocks)))
            dam.append(int(rng.choice(hens)))
    birds = np.arange(len(sire) - 40, len(sire))
    among = stock(kinship(Pedigree.of_parents(sire, dam), birds, birds), birds % 2 == 0, 3, 12)
    found = best_set(among)
    assert found.is_proven
    assert np.nanmin(swap_changes(among, found.chosen)) >= -SAME


def test_what_is_asked_for_must_be_possible() -> None:
    for cocks, hens, stay, go in ((3, 1, (), ()), (0, 1, (), ()), (1, 1, (0, 1), ()), (2, 1, (), (0,))):
        with pytest.raises(ValueError, match="no set"):
            stock(np.eye(4) / 2, [True, True, False, False], cocks, hens, stay, go)


def test_it_can_be_stopped_and_ended() -> None:
    among = stock(np.eye(6) / 2 + 0.01 * np.arange(6), np.arange(6) < 3, 2, 2)
    assert best_set(among, is_stopped=lambda: True).kinship > 0

    def end(_figure: float, _bound: float) -> None:
        raise EndedError

    rng = np.random.default_rng(3)
    half = rng.normal(size=(30, 12))
    table = half @ half.T / 24
    with pytest.raises(EndedError):
        best_set(stock(table, np.arange(30) < 12, 4, 8), told=end)
