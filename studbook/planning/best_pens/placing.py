"""Where the pens of a plan stand, which cocks are kept in reserve, and where those stand.

A second yard is kept so that one fox or one disease does not take a line whole. It holds the reserve males, and only
such pens as find no room at home. The reserve is the males that, with what stands in the second yard, hold most of
what the first yard does not.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import combinations
from math import comb

import numpy as np
from numpy.typing import NDArray

from studbook.book.ids import BirdId, PenId
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Place

_MOST_TRIED = 5_000
_SAME = 1e-12


def with_places(problem: Problem, plan: PensPlan) -> PensPlan:
    """The plan with a place for each pen, and the reserve males with their places in the second yard.

    As few pens as can be stand in the second yard, each pen in a place that takes it and no larger than needed.

    With p the genes of the pens of the first yard and s those of the second yard, the reserve males make
    ((p + s)/2)′K((p + s)/2) smallest: what both yards hold together is related least. Of p each pen gives by the
    eggs wanted of its hens, half by its cock; of s each reserve male and each pen there gives alike. Lines that the
    first yard does not hold thus come first, and two males of one line are not both taken for them. Without places,
    or with every pen in one yard, p is of all pens and s of the reserve males alone. They are told by how little
    they are related to p, the least first. In the second yard each has a place to himself, as strange cocks fight
    (common practice); where there are too few, the first have one.

    Up to 5,000 choices of males are all tried; with more, the males are taken one by one and then changed one for
    one while that helps.
    """
    plan = _placed(problem.wishes.places, plan)
    first, second = _yards(problem, plan)
    reserve = _reserve(problem, plan, first, second)
    used = {pen.place for pen in plan.pens}
    free = [place for place in _smallest_first(problem.wishes.places) if place.second_yard]
    free = [place for place in free if place.pen not in used]
    return replace(
        plan, reserve=reserve, reserve_places=tuple(zip(reserve, (place.pen for place in free), strict=False))
    )


def _smallest_first(places: Sequence[Place]) -> list[Place]:
    return sorted(places, key=lambda place: np.inf if place.hens is None else place.hens)


def _placed(places: Sequence[Place], plan: PensPlan) -> PensPlan:
    """Each pen in a place that takes it: as few as can be in the second yard, then the smallest places.

    Which sets of places take pens is a matroid (Edmonds & Fulkerson 1965, Journal of Research of the National Bureau
    of Standards 69B:147-153), so that taking the best place that still fits, again and again, gives the best set.
    """
    if not places:
        return plan
    pens = sorted(plan.pens, key=lambda pen: len(pen.hens))
    sizes = [len(pen.hens) for pen in pens]
    taken: list[Place] = []
    for place in sorted(_smallest_first(places), key=lambda place: place.second_yard):
        if len(taken) < len(pens) and _all_filled(_smallest_first([*taken, place]), sizes):
            taken.append(place)
    home = {pen.cock: place.pen for pen, place in zip(pens, _smallest_first(taken), strict=True)}
    return replace(plan, pens=tuple(replace(pen, place=home[pen.cock]) for pen in plan.pens))


def _all_filled(places: Sequence[Place], sizes: Sequence[int]) -> bool:
    """True when each of some places, the smallest first, can take a pen of its own, of these sizes, rising."""
    return all(place.hens is None or size <= place.hens for place, size in zip(places, sizes, strict=False))


def _yards(problem: Problem, plan: PensPlan) -> tuple[list[BestPen], list[BestPen]]:
    """The pens of the first yard and those of the second; all pens are the first's when they stand in one."""
    away: set[PenId | None] = {place.pen for place in problem.wishes.places if place.second_yard}
    first = [pen for pen in plan.pens if pen.place not in away]
    if not first:
        return list(plan.pens), []
    return first, [pen for pen in plan.pens if pen.place in away]


def _genes(problem: Problem, pens: Sequence[BestPen]) -> NDArray[np.float64]:
    """The share of each bird in the genes of some pens (c + h,), by the eggs wanted of each hen; they add up to 1."""
    eggs = problem.wishes.eggs
    row_of = {bird: row for row, bird in enumerate(problem.birds)}
    given = np.zeros(len(row_of))
    for pen in pens:
        for hen in pen.hens:
            given[[row_of[hen], row_of[pen.cock]]] += eggs.get(hen, 1.0)
    return given / float(given.sum())


def _reserve(
    problem: Problem, plan: PensPlan, first: Sequence[BestPen], second: Sequence[BestPen]
) -> tuple[BirdId, ...]:
    """The reserve males of `with_places`, the one least related to the first yard first."""
    wishes, used = problem.wishes, {pen.cock for pen in plan.pens}
    left = [row for row, cock in enumerate(wishes.cocks) if cock not in used]
    wanted = min(wishes.reserve_males, len(left))
    if not wanted:
        return ()
    at_home = _genes(problem, first)
    away = sum((_genes(problem, [pen]) for pen in second), np.zeros(len(problem.birds)))
    # of ((p + s)/2)′K((p + s)/2) only 2 p′Ks + s′Ks depends on the reserve; s is a sum over so many parts
    parts = wanted + len(second)
    single = 2 * problem.kinship @ (at_home * parts + away)

    def held(males: Sequence[int]) -> float:
        return float(single[list(males)].sum() + problem.kinship[np.ix_(males, males)].sum())

    chosen = _least(held, left, wanted)
    related = (problem.kinship @ at_home).round(12).tolist()
    return tuple(wishes.cocks[row] for row in sorted(chosen, key=lambda row: (related[row], row)))


def _least(held: Callable[[Sequence[int]], float], left: Sequence[int], wanted: int) -> tuple[int, ...]:
    """So many of those left for whom `held` is least, the first of several alike."""
    if comb(len(left), wanted) <= _MOST_TRIED:
        return min(combinations(left, wanted), key=lambda males: round(held(males), 12))
    chosen: list[int] = []
    while len(chosen) < wanted:
        chosen.append(min((row for row in left if row not in chosen), key=lambda row: held([*chosen, row])))
    while True:
        swaps = (
            [*(row for row in chosen if row != gone), come]
            for gone in chosen
            for come in left
            if come not in chosen
        )
        best = min(swaps, key=held, default=chosen)
        if held(best) >= held(chosen) - _SAME:
            return tuple(sorted(chosen))
        chosen = best
