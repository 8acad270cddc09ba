"""Where the pens of a plan stand, and which cocks are kept in reserve."""

from dataclasses import replace

import numpy as np

from studbook.book.ids import BirdId
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.wishes import PensPlan


def with_places(problem: Problem, plan: PensPlan) -> PensPlan:
    """The plan with a place for each pen, and the reserve males that get none."""
    return replace(_placed(problem, plan), reserve=_reserve(problem, plan))


def _placed(problem: Problem, plan: PensPlan) -> PensPlan:
    """Each pen in the smallest place that takes it, the larger pens first choosing; the home yard before the second."""
    free = sorted(
        problem.wishes.places,
        key=lambda place: (np.inf if place.hens is None else place.hens, place.second_yard),
    )
    if not free:
        return plan
    places = {}
    for pen in sorted(plan.pens, key=lambda pen: len(pen.hens)):
        fits = next(place for place in free if place.hens is None or place.hens >= len(pen.hens))
        free.remove(fits)
        places[pen.cock] = fits.pen
    return replace(plan, pens=tuple(replace(pen, place=places[pen.cock]) for pen in plan.pens))


def _reserve(problem: Problem, plan: PensPlan) -> tuple[BirdId, ...]:
    """The cocks without a pen that are least related to what the pens give, the least first."""
    wishes = problem.wishes
    if not wishes.reserve_males:
        return ()
    eggs = {hen: wishes.eggs.get(hen, 1.0) for hen in wishes.hens}
    share = dict.fromkeys(problem.birds, 0.0)
    for pen in plan.pens:
        for hen in pen.hens:
            share[hen] += eggs[hen]
            share[pen.cock] += eggs[hen]
    given = np.array([share[bird] for bird in problem.birds])
    kinship = problem.kinship[: len(wishes.cocks)] @ (given / given.sum())
    left = [place for place, cock in enumerate(wishes.cocks) if share[cock] == 0]
    left.sort(key=lambda place: (kinship[place], place))
    return tuple(wishes.cocks[place] for place in left[: wishes.reserve_males])
