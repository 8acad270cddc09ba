"""The course of a rotation, against the pedigree bred out bird by bird."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.inbreeding import inbreeding
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from studbook.genetics.rotation import rotation_course, rotation_parents

numbers_of_hens = st.lists(st.integers(1, 4), min_size=1, max_size=5)


def bred_out(hens, generations):
    """A pedigree of the scheme, told anew from the rules: the rows of each generation, pen by pen."""
    sire: list[int] = []
    dam: list[int] = []

    def hatched(father, mother):
        sire.append(father)
        dam.append(mother)
        return len(sire) - 1

    pens = [
        [hatched(UNKNOWN, UNKNOWN), *(hatched(UNKNOWN, UNKNOWN) for _hen in range(number))] for number in hens
    ]
    course = [pens]
    for _generation in range(generations):
        sons = [hatched(pen[0], pen[1]) for pen in pens]
        daughters = [[hatched(pen[0], hen) for hen in pen[1:]] for pen in pens]
        pens = [[sons[place - 1], *daughters[place]] for place in range(len(pens))]
        course.append(pens)
    return Pedigree.of_parents(sire, dam), course


@given(numbers_of_hens, st.integers(0, 5))
def test_it_is_the_inbreeding_of_the_pedigree(hens, generations):
    pedigree, course = bred_out(hens, generations)
    found = inbreeding(pedigree)
    expected = rotation_course(hens, generations)
    for generation, pens in enumerate(course):
        by_pen = [found[pen[1:]].mean() for pen in pens]
        np.testing.assert_allclose(expected.by_pen[generation], by_pen, rtol=0, atol=1e-12)
        all_hens = [hen for pen in pens for hen in pen[1:]]
        assert expected.hens[generation] == pytest.approx(found[all_hens].mean(), abs=1e-12)
        birds = [bird for pen in pens for bird in pen]
        between = kinship(pedigree, birds, birds).mean()
        assert expected.kinship[generation] == pytest.approx(between, abs=1e-12)


@given(numbers_of_hens, st.integers(1, 3), st.integers(1, 3))
def test_it_goes_on_from_where_a_flock_stands(hens, first, second):
    pedigree, course = bred_out(hens, first)
    birds = [bird for pen in course[-1] for bird in pen]
    after = rotation_course(hens, second, kinship(pedigree, birds, birds))
    np.testing.assert_allclose(
        after.by_pen, rotation_course(hens, first + second).by_pen[first:], rtol=0, atol=1e-12
    )


@given(numbers_of_hens)
def test_daughters_stay_and_the_son_moves_one_pen_on(hens):
    sires, dams = rotation_parents(hens)
    pen = np.repeat(np.arange(len(hens)), np.add(hens, 1))
    cock = np.searchsorted(pen, np.arange(len(hens)))
    for bird in range(len(pen)):
        home = (pen[bird] - 1) % len(hens) if bird in cock else pen[bird]
        assert pen[dams[bird]] == home
        assert sires[bird] == cock[home]


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="a hen at least"):
        rotation_course([4, 0], 3)
    with pytest.raises(ValueError, match="a hen at least"):
        rotation_course([], 3)
    with pytest.raises(ValueError, match="not below 0"):
        rotation_course([1], -1)
    with pytest.raises(ValueError, match="10 by 10"):
        rotation_course([4, 4], 2, np.eye(3))
