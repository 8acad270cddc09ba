"""Invented problems of pens: random small flocks with random wishes."""

from dataclasses import replace

import numpy as np
from hypothesis import strategies as st

from studbook.book.ids import BirdId, PenId
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import Pedigree
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.wishes import Place, Wishes
from tests.bench.shapes import Shape, bred


def problem_in(pedigree: Pedigree, cocks: list[int], hens: list[int], **wished: object) -> Problem:
    """A problem of birds of a pedigree, called C0, C1 … and H0, H1 …"""
    wishes = Wishes(
        tuple(BirdId(f"C{number}") for number in range(len(cocks))),
        tuple(BirdId(f"H{number}") for number in range(len(hens))),
        **{"pens": 2, "most_hens": len(hens), **wished},  # type: ignore[arg-type]
    )
    return Problem(wishes, kinship(pedigree, cocks + hens, cocks + hens))


@st.composite
def pedigrees(draw: st.DrawFn, least: int) -> Pedigree:
    """A pedigree of a few founders and their random, often close descendants."""
    founders = draw(st.integers(3, 6))
    count = draw(st.integers(least, least + 8))
    sire, dam = [-1] * founders, [-1] * founders
    for bird in range(founders, founders + count):
        sire.append(draw(st.integers(-1, bird - 1)))
        dam.append(draw(st.integers(-1, bird - 1)))
        if sire[-1] == dam[-1]:
            dam[-1] = -1
    return Pedigree.of_parents(sire, dam)


@st.composite
def problems(draw: st.DrawFn, most_cocks: int = 3, most_hens: int = 5) -> Problem:
    """A problem small enough for every way to be tried, often one that cannot be met."""
    cocks, hens = draw(st.integers(1, most_cocks)), draw(st.integers(1, most_hens))
    pedigree = draw(pedigrees(cocks + hens))
    chosen = draw(st.permutations(range(len(pedigree))))[: cocks + hens]
    problem = problem_in(pedigree, list(chosen[:cocks]), list(chosen[cocks:]))
    birds = st.sampled_from(problem.birds)
    pairs = st.lists(
        st.tuples(birds, birds).filter(lambda pair: pair[0] != pair[1]), max_size=2, unique=True
    ).map(tuple)
    eggs = st.dictionaries(st.sampled_from(problem.wishes.hens), st.sampled_from([0.5, 2.0, 3.0]))
    shares = st.dictionaries(birds, st.sampled_from([0.05, 0.15, 0.25, 0.4]), max_size=2)
    places = st.lists(
        st.builds(Place, st.just(PenId("p")), st.none() | st.integers(1, hens), st.booleans()), max_size=3
    ).map(tuple)
    pens = draw(st.integers(1, cocks))
    # seldom too little room for every hen
    fewest = draw(st.sampled_from([1, -(-hens // pens), -(-hens // pens)]))
    wishes = replace(
        problem.wishes,
        pens=pens,
        most_hens=draw(st.integers(fewest, hens)),
        least_hens=draw(st.sampled_from([1, 1, 2])),
        hens_placed=draw(st.none() | st.none() | st.integers(1, hens)),
        limit=draw(st.sampled_from([None, None, None, 0.0625, 0.125, 0.25])),
        weight=draw(st.sampled_from([0.0, 0.25, 0.5, 0.9, 1.0])),
        places=draw(st.just(()) | st.just(()) | places),
        together=draw(st.just(()) | pairs),
        never=draw(st.just(()) | pairs),
        eggs=draw(st.just({}) | eggs),
        most_share=draw(st.just({}) | shares),
        reserve_males=draw(st.sampled_from([0, 0, 0, 0, 1])),
    )
    return replace(problem, wishes=wishes)


def large_problem(cocks: int = 12, hens: int = 120, seed: int = 1, **wished: object) -> Problem:
    """A problem of the size of a large breeder: birds of the last two hatches of a flock bred for 12 seasons.

    Three cocks and eight hens are taken on in each season and breed for one and for two seasons; a fifth of them comes
    from one of two other flocks, bred alike.
    """
    shape = Shape("flocks", 3 * 12 * 100, 3, 12, 3, 8, 1, 2, 0.2, 0.2)
    birds = bred(shape, seed=seed)
    rng = np.random.default_rng(seed)
    last = np.flatnonzero((birds.season >= 10) & (birds.flock == 0))
    # odd rows are hens
    chosen = (rng.permutation(last[last % 2 == sex])[:count] for sex, count in ((0, cocks), (1, hens)))
    return problem_in(
        birds.pedigree, *(each.tolist() for each in chosen), **{"pens": 6, "most_hens": 25, **wished}
    )
