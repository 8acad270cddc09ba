"""The best pens: the mixed-integer program solved, its convex part closed cut by cut, and what is proven of it."""

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from studbook.planning.best_pens.judging import judge
from studbook.planning.best_pens.model import Model, Row, add_rows, build
from studbook.planning.best_pens.placing import with_places
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.terms import Terms, terms_of
from studbook.planning.best_pens.wishes import PensPlan, Proof

SECONDS = 30.0
"""How long is searched before the best so far is given, unless said otherwise."""

SURE = 1e-6
"""A gap of less than this in F and kinship is none: a ten-thousandth of a per cent."""

_ROUNDING = 2e-7
_ROUNDS_OF_RELAXATION = 12
_ROUNDS = 60

Progress = Callable[[float], None]
"""Hears the share done, 0 to 1; an exception it raises ends the work."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How far the search is: the objective of the best pens so far (None before there are any) and its bound."""

    seconds: float
    objective: float | None
    bound: float


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


class Watch:
    """The clock of a search, and whoever listens to it."""

    def __init__(
        self,
        seconds: float,
        progress: Progress | None = None,
        enough: Callable[[], bool] | None = None,
        told: Callable[[Standing], None] | None = None,
    ) -> None:
        self.seconds = seconds
        self._begun = time.monotonic()
        self._progress = progress
        self._enough = enough
        self._told = told
        self._last = -1.0
        self.error: BaseException | None = None
        self.is_enough = False

    @property
    def passed(self) -> float:
        """Seconds since the search began."""
        return time.monotonic() - self._begun

    def look(self) -> bool:
        """True when the search must end; an exception of whoever listens is kept, not raised."""
        passed = self.passed
        if passed - self._last > 0.02:
            self._last = passed
            try:
                if self._progress is not None:
                    self._progress(min(0.99, passed / self.seconds) if self.seconds > 0 else 0.0)
                if self._enough is not None and self._enough():
                    self.is_enough = True
            except BaseException as error:
                # it must not travel through the solver: `check` raises it
                self.error = error
        return self.error is not None or self.is_enough or passed > self.seconds

    def check(self) -> bool:
        """As `look`, but an exception is raised here, outside the solver."""
        over = self.look()
        if self.error is not None:
            raise self.error
        return over

    def part(self, parts: int) -> "Watch":
        """The clock of the first of so many searches that share the time that is left."""
        return Watch(max(0.0, self.seconds - self.passed) / parts, self._pass_on)

    def _pass_on(self, _share: float) -> None:
        self.check()

    def tell(self, objective: float | None, bound: float) -> None:
        """Tell the standing to whoever listens."""
        if self._told is not None and self.error is None:
            try:
                self._told(Standing(self.passed, objective, bound))
            except BaseException as error:
                self.error = error


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
    best = _Best(start)
    if not _relax(model, watch):
        return impossible()
    for _round in range(_ROUNDS):
        if watch.check():
            break
        values, bound, is_possible = _run(model, watch, best, problem.wishes.weight)
        if not is_possible:
            return impossible() if best.plan is None else _finished(problem, best, watch)
        best.bound = max(best.bound, bound)
        tangents = 0
        if values is not None:
            values = _pinned(model, values)
            pens = _pens(model, terms, values)
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


def listen(model: Model, watch: Watch) -> None:
    """Let a watch interrupt the solver of a model."""

    def asked(event: Any) -> None:
        if watch.look():
            event.interrupt()

    solver = model.solver
    for signal in (solver.cbMipInterrupt, solver.cbSimplexInterrupt, solver.cbIpmInterrupt):
        signal.callbacks.clear()
        signal.user_callback_data.clear()
        signal.subscribe(asked)


def _relax(model: Model, watch: Watch) -> bool:
    """Solve the program without whole numbers, tangent by tangent; False when even that is impossible."""
    import highspy

    solver = model.solver
    listen(model, watch)
    solver.setOptionValue("solve_relaxation", True)
    status = highspy.HighsModelStatus
    is_possible = True
    for _round in range(_ROUNDS_OF_RELAXATION):
        solver.run()
        if solver.getModelStatus() == status.kInfeasible:
            is_possible = False
        if solver.getModelStatus() != status.kOptimal or watch.check():
            break
        if not model.tangents(np.array(solver.getSolution().col_value)):
            break
    solver.setOptionValue("solve_relaxation", False)
    return is_possible


def _run(
    model: Model, watch: Watch, best: _Best, weight: float
) -> tuple[NDArray[np.float64] | None, float, bool]:
    """One run of the solver: its solution, if there is one, the bound it proves, and whether there can be any."""
    import highspy

    solver = model.solver
    listen(model, watch)
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
    # rounding in the solver, and in what is not quite convex, must not make the bound too high
    bound = dual / model.scale - _ROUNDING - (1 - weight) / 4 * model.slack
    has_solution = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    values = np.array(solver.getSolution().col_value) if has_solution else None
    return values, max(bound, 0.0), True


def _pinned(model: Model, values: NDArray[np.float64]) -> NDArray[np.float64]:
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


def _pens(model: Model, terms: Terms, values: NDArray[np.float64]) -> Mapping[int, tuple[int, ...]]:
    """The hens of each cock that is used, by their places among the wishes."""
    left = [list(units) for units in terms.kinds]
    pens: dict[int, list[int]] = {}
    for cock, kind in np.argwhere(model.pairs >= 0).tolist():
        for _each in range(round(values[model.pairs[cock, kind]])):
            pens.setdefault(cock, []).extend(left[kind].pop(0))
    return {cock: tuple(sorted(hens)) for cock, hens in sorted(pens.items())}
