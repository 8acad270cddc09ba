"""Good pens to start the search with: the objective made linear at the mean of the pens so far, again and again."""

import numpy as np

from studbook.planning.best_pens.judging import judge
from studbook.planning.best_pens.model import Aim, build
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.reading import in_whole_numbers, pens_in
from studbook.planning.best_pens.terms import Terms
from studbook.planning.best_pens.watching import Watch, listen
from studbook.planning.best_pens.wishes import PensPlan

_STEPS = 12
_STEP_GAP = 0.01


def good_start(problem: Problem, terms: Terms, watch: Watch) -> PensPlan | None:
    """Pens that meet the wishes, better than any; None when none were found in the time.

    The steps are those of Frank & Wolfe 1956, Naval Research Logistics Quarterly 3:95-110, whose every corner is a
    plan; the best corner counts.
    """
    import highspy

    model = build(terms, problem.wishes.weight, aim=Aim.ANY)
    solver, weight = model.solver, problem.wishes.weight
    listen(solver, watch)
    solver.setOptionValue("mip_rel_gap", _STEP_GAP)
    cocks = len(terms.allowed)
    there = model.pairs >= 0
    columns = model.pairs[there].astype(np.int32)
    shares = np.concatenate([np.full(cocks, 1 / cocks), terms.weight * terms.count])
    shares[cocks:] /= shares[cocks:].sum()
    shares /= 2
    best: PensPlan | None = None
    for step in range(_STEPS):
        slope = terms.kinship @ shares
        cost = weight * terms.expected + (1 - weight) * (slope[:cocks, None] + slope[cocks:])
        solver.changeColsCost(len(columns), columns, (cost * terms.weight)[there])
        solver.run()
        if solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            break
        values = in_whole_numbers(model, np.array(solver.getSolution().col_value))
        found = judge(problem, pens_in(model, terms, values))
        if best is None or found.objective < best.objective:
            best = found
        if watch.check():
            break
        given = np.zeros(terms.allowed.shape)
        given[there] = values[columns]
        given = given * terms.weight
        corner = np.concatenate([given.sum(axis=1), given.sum(axis=0)]) / (2 * given.sum())
        shares += (corner - shares) * 2 / (step + 2)
    return best
