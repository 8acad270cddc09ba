"""A solution of the program as pens, and pens as a solution to start from."""

from collections import Counter
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from studbook.planning.best_pens.model import Model
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.terms import Terms
from studbook.planning.best_pens.wishes import PensPlan


def in_whole_numbers(model: Model, values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The same solution with whole numbers of hens for every pair.

    With whole numbers of hens for each cock and from each kind, the pairs are a transport problem, each vertex of
    which is whole (Dantzig 1951, in Activity Analysis of Production and Allocation, 359-373): the simplex method
    finds one.
    """
    import highspy

    pairs = model.pairs[model.pairs >= 0]
    if np.abs(values[pairs] - values[pairs].round()).max(initial=0.0) < 1e-5:
        return values
    solver = model.solver
    pinned = model.pinned.astype(np.int32)
    lp = solver.getLp()
    lower, upper = np.array(lp.col_lower_)[pinned], np.array(lp.col_upper_)[pinned]
    whole = values[pinned].round()
    solver.changeColsBounds(len(pinned), pinned, whole, whole)
    solver.setOptionValue("solve_relaxation", True)
    solver.setOptionValue("solver", "simplex")
    solver.run()
    found = np.array(solver.getSolution().col_value)
    is_found = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    solver.setOptionValue("solver", "choose")
    solver.setOptionValue("solve_relaxation", False)
    solver.changeColsBounds(len(pinned), pinned, lower, upper)
    if not is_found or np.abs(found[pairs] - found[pairs].round()).max(initial=0.0) > 1e-5:
        raise ArithmeticError("the solver did not give whole numbers of hens")
    return found


def pens_in(model: Model, terms: Terms, values: NDArray[np.float64]) -> Mapping[int, tuple[int, ...]]:
    """The hens of each cock that is used, by their places among the wishes."""
    left = [list(units) for units in terms.kinds]
    pens: dict[int, list[int]] = {}
    for cock, kind in np.argwhere(model.pairs >= 0).tolist():
        for _each in range(round(values[model.pairs[cock, kind]])):
            pens.setdefault(cock, []).extend(left[kind].pop(0))
    return {cock: tuple(sorted(hens)) for cock, hens in sorted(pens.items())}


def offer(model: Model, terms: Terms, problem: Problem, plan: PensPlan) -> None:
    """Give the solver pens that meet the wishes, to start from."""
    wishes = problem.wishes
    cock_of = {cock: place for place, cock in enumerate(wishes.cocks)}
    hen_of = {hen: place for place, hen in enumerate(wishes.hens)}
    kind_of = {hen: kind for kind, units in enumerate(terms.kinds) for unit in units for hen in unit}
    values = dict.fromkeys([*model.used.tolist(), *model.hens.tolist(), *model.placed.tolist()], 0.0)
    values.update(dict.fromkeys(model.pairs[model.pairs >= 0].tolist(), 0.0))
    for pen in plan.pens:
        cock = cock_of[pen.cock]
        values[int(model.used[cock])] = 1.0
        values[int(model.hens[cock])] = float(len(pen.hens))
        for kind, hens in Counter(kind_of[hen_of[hen]] for hen in pen.hens).items():
            units = hens / float(terms.hens[kind])
            values[int(model.pairs[cock, kind])] = units
            if len(model.placed):
                values[int(model.placed[kind])] += units
    index = np.array(list(values), dtype=np.int32)
    model.solver.setSolution(len(index), index, np.array(list(values.values())))
