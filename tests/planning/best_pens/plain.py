"""The best pens by trying every way of putting hens to cocks, straight from the definition; for a few birds only."""

import itertools
from collections.abc import Iterator

import numpy as np

from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.wishes import PensPlan

Way = tuple[int, ...]
"""For each hen the place of her cock among the cocks; -1 when she is not placed."""


def every_way(problem: Problem) -> Iterator[Way]:
    """Every way that meets the wishes."""
    cocks, hens = len(problem.wishes.cocks), len(problem.wishes.hens)
    for way in itertools.product(range(-1, cocks), repeat=hens):
        if meets(problem, way):
            yield way


def meets(problem: Problem, way: Way) -> bool:
    """True when pens meet every wish."""
    wishes = problem.wishes
    home = dict(zip(wishes.hens, way, strict=True))
    pens = {cock: [hen for hen, at in home.items() if at == cock] for cock in set(way) - {-1}}
    sizes = sorted((len(hens) for hens in pens.values()), reverse=True)
    home.update({bird: cock for cock, bird in enumerate(wishes.cocks)})
    placed = sum(sizes)
    if placed != problem.placed and not (problem.any_number and placed):
        return False
    if len(pens) > min(wishes.pens, len(wishes.cocks) - wishes.reserve_males):
        return False
    if any(not wishes.least_hens <= size <= wishes.most_hens for size in sizes):
        return False
    if wishes.places:
        rooms = sorted((1000 if place.hens is None else place.hens for place in wishes.places), reverse=True)
        if len(sizes) > len(rooms) or any(size > room for size, room in zip(sizes, rooms, strict=False)):
            return False
    for place, hen in enumerate(wishes.hens):
        over = wishes.limit is not None and problem.expected[way[place], place] > wishes.limit + 1e-9
        if way[place] >= 0 and over and hen not in problem.unlimited:
            return False
    for one, other in wishes.together:
        if home.get(one, -2) != home.get(other, -3) or home[one] < 0:
            return False
    for one, other in (*wishes.never, *problem.bans):
        if home.get(one, -2) == home.get(other, -3) and home[one] >= 0:
            return False
    given = contributions(problem, way)
    for bird, most in wishes.most_share.items():
        if bird in problem.birds and given[problem.birds.index(bird)] > most + 1e-9:
            return False
    return True


def contributions(problem: Problem, way: Way) -> list[float]:
    """The share of the next generation's genes of every bird, the cocks first."""
    wishes = problem.wishes
    eggs = [wishes.eggs.get(hen, 1.0) if at >= 0 else 0.0 for hen, at in zip(wishes.hens, way, strict=True)]
    of_cocks = [
        sum(own for own, at in zip(eggs, way, strict=True) if at == cock) for cock in range(len(wishes.cocks))
    ]
    return [each / (2 * sum(eggs)) for each in (*of_cocks, *eggs)]


def value(problem: Problem, way: Way) -> tuple[float, float, float]:
    """The mean F of the chicks, the mean kinship of the next generation, and the objective."""
    given = np.array(contributions(problem, way))
    kinship = 0.0
    for one, share in enumerate(given):
        for other, share_of_other in enumerate(given):
            kinship += share * share_of_other * problem.kinship[one, other]
    inbreeding = 0.0
    cocks = len(problem.wishes.cocks)
    for place, cock in enumerate(way):
        if cock >= 0:
            inbreeding += 2 * given[cocks + place] * problem.kinship[cock, cocks + place]
    weight = problem.wishes.weight
    return inbreeding, kinship, weight * inbreeding + (1 - weight) * kinship


def way_of(problem: Problem, plan: PensPlan) -> Way:
    """A plan as a way."""
    home = {hen: problem.wishes.cocks.index(pen.cock) for pen in plan.pens for hen in pen.hens}
    return tuple(home.get(hen, -1) for hen in problem.wishes.hens)
