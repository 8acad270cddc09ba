"""Invented problems of pens: random small flocks with random wishes."""

from dataclasses import replace

from hypothesis import strategies as st

from studbook.book.ids import BirdId, PenId
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import Pedigree
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.wishes import Place, Wishes


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
    wishes = replace(
        problem.wishes,
        pens=draw(st.integers(1, cocks)),
        most_hens=draw(st.integers(1, hens)),
        least_hens=draw(st.sampled_from([1, 1, 2])),
        hens_placed=draw(st.none() | st.none() | st.integers(1, hens)),
        limit=draw(st.none() | st.none() | st.sampled_from([0.0, 0.0625, 0.125, 0.25])),
        weight=draw(st.sampled_from([0.0, 0.25, 0.5, 0.9, 1.0])),
        places=draw(st.just(()) | places),
        together=draw(st.just(()) | pairs),
        never=draw(st.just(()) | pairs),
        eggs=draw(st.just({}) | eggs),
        most_share=draw(st.just({}) | shares),
        reserve_males=draw(st.sampled_from([0, 0, 0, 1])),
    )
    return replace(problem, wishes=wishes)
