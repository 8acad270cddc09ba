"""The best pens: the mixed-integer program solved, its convex part closed cut by cut, and what is proven of it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from studbook.planning.best_pens.judging import judge
from studbook.planning.best_pens.model import Model, Row, add_rows, build
from studbook.planning.best_pens.placing import with_places
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.reading import in_whole_numbers, offer, pens_in
from studbook.planning.best_pens.starting import good_start
from studbook.planning.best_pens.terms import Terms, terms_of
from studbook.planning.best_pens.watching import Progress, Standing, Watch, listen
from studbook.planning.best_pens.wishes import PensPlan, Proof

__all__ = ["SECONDS", "SURE", "Progress", "Standing", "best_pens", "impossible", "search"]

SECONDS = 30.0
"""How long is searched before the best so far is given, unless said otherwise."""

SURE = 1e-6
"""A gap of less than this in F and kinship is none: a ten-thousandth of a per cent."""

_ROUNDING = 2e-7
_ROUNDS_OF_RELAXATION = 12
_ROUNDS = 60
_PARTS_FOR_START = 5


def best_pens(
    problem: Problem,
    seconds: float = SECONDS,
    progress: Progress | None = None,
    enough: Callable[[], bool] | None = None,
    told: Callable[[Standing], None] | None = None,
) -> PensPlan:
    """The pens that meet the wishes with the smallest objective, and how sure that is.

    Parameters
    ----------
    problem
        The wishes and the kinship they are judged by.
    seconds
        After how long the best so far is given.
    progress
        Hears the share done, called some times a second; an exception it raises ends the work and is raised here.
    enough
        Asked as often; true gives the best so far.
    told
        Hears the standing whenever a better bound or better pens are found.

    Returns
    -------
    PensPlan
        `proof` says what it is worth: IMPOSSIBLE (no pens, figures NaN) when nothing meets the wishes, OPTIMAL when
        the gap is closed, else BEST_SO_FAR or, after `enough`, STOPPED, which may be without pens.

    References
    ----------
    Kelley 1960, Journal of the SIAM 8:703-712 (cutting planes); Duran & Grossmann 1986, Mathematical Programming
    36:307-339 (outer approximation); Frangioni & Gentile 2006, Mathematical Programming 106:225-236 (cuts of squares
    that are switched on).
    """
    return search(problem, Watch(seconds, progress, enough, told))


@dataclass(eq=False)
class _Best:
    """The best pens so far and the best bound."""

    plan: PensPlan | None = None
    bound: float = 0.0

    @property
    def is_sure(self) -> bool:
        return self.plan is not None and self.plan.objective - self.bound <= SURE


def search(
    problem: Problem,
    watch: Watch,
    *,
    cuts: Callable[[Model, Terms], Sequence[Row]] | None = None,
    start: PensPlan | None = None,
) -> PensPlan:
    """The search of `best_pens`, with further rows and with pens that are known to meet the wishes.

    With further rows every pair is a whole number by itself, as they are no part of the transport problem.
    """
    if not problem.wishes.cocks or not problem.wishes.hens or problem.placed < 1:
        return impossible()
    watch.check()
    terms = terms_of(problem)
    if not terms.is_possible or terms.used < 1 or terms.least > terms.most:
        return impossible()
    model = build(terms, problem.wishes.weight, are_pairs_whole=cuts is not None)
    if cuts is not None:
        add_rows(model.solver, cuts(model, terms))
    if start is None and cuts is None:
        start = good_start(problem, terms, watch.part(_PARTS_FOR_START))
    relaxed = _relax(model, watch, problem.wishes.weight)
    if relaxed is None:
        return impossible()
    best = _Best(start, relaxed)
    watch.tell(None if start is None else start.objective, relaxed)
    for _round in range(_ROUNDS):
        if watch.check():
            break
        if best.plan is not None:
            offer(model, terms, problem, best.plan)
        values, bound, is_possible = _run(model, watch, problem.wishes.weight)
        if not is_possible:
            return impossible() if best.plan is None else _finished(problem, best, watch)
        best.bound = max(best.bound, bound)
        tangents = 0
        if values is not None:
            values = in_whole_numbers(model, values)
            pens = pens_in(model, terms, values)
            found = judge(problem, pens)
            if best.plan is None or found.objective < best.plan.objective:
                best.plan = found
            tangents = model.tangents(values)
        watch.tell(None if best.plan is None else best.plan.objective, best.bound)
        if best.is_sure or not tangents:
            break
    watch.check()
    return _finished(problem, best, watch)


def impossible() -> PensPlan:
    """The plan there is when nothing meets the wishes."""
    return PensPlan((), np.nan, np.nan, np.nan, np.nan, Proof.IMPOSSIBLE)


def _finished(problem: Problem, best: _Best, watch: Watch) -> PensPlan:
    if best.plan is None:
        proof = Proof.STOPPED if watch.is_enough else Proof.BEST_SO_FAR
        return PensPlan((), np.nan, np.nan, np.nan, best.bound, proof)
    proof = Proof.OPTIMAL if best.is_sure else Proof.STOPPED if watch.is_enough else Proof.BEST_SO_FAR
    plan = replace(best.plan, bound=min(best.bound, best.plan.objective), proof=proof)
    return with_places(problem, plan)


def _relax(model: Model, watch: Watch, weight: float) -> float | None:
    """Solve the program without whole numbers, tangent by tangent: its bound, None when even that is impossible."""
    import highspy

    solver = model.solver
    listen(model.solver, watch)
    solver.setOptionValue("solve_relaxation", True)
    status = highspy.HighsModelStatus
    bound: float | None = 0.0
    for _round in range(_ROUNDS_OF_RELAXATION):
        solver.run()
        if solver.getModelStatus() == status.kInfeasible:
            bound = None
        if solver.getModelStatus() != status.kOptimal or watch.check():
            break
        bound = max(bound or 0.0, _safe(solver.getObjectiveValue(), model, weight))
        if not model.tangents(np.array(solver.getSolution().col_value)):
            break
    solver.setOptionValue("solve_relaxation", False)
    return bound


def _run(model: Model, watch: Watch, weight: float) -> tuple[NDArray[np.float64] | None, float, bool]:
    """One run of the solver: its solution, if there is one, the bound it proves, and whether there can be any."""
    import highspy

    solver = model.solver
    listen(model.solver, watch)
    solver.setOptionValue("mip_rel_gap", SURE / 10)
    solver.setOptionValue("mip_abs_gap", SURE / 10 * model.scale)
    solver.run()
    if watch.error is not None:
        raise watch.error
    if solver.getModelStatus() in (
        highspy.HighsModelStatus.kInfeasible,
        highspy.HighsModelStatus.kUnboundedOrInfeasible,
    ):
        return None, np.inf, False
    info = solver.getInfo()
    dual = float(info.mip_dual_bound)
    if not np.isfinite(dual):
        dual = 0.0
    has_solution = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    values = np.array(solver.getSolution().col_value) if has_solution else None
    return values, _safe(dual, model, weight), True


def _safe(proven: float, model: Model, weight: float) -> float:
    """A bound of the program as one of the objective.

    Rounding in the solver, and what of the kinship is not quite convex, must not make it too high.
    """
    return max(0.0, proven / model.scale - _ROUNDING - (1 - weight) / 4 * model.slack)
