"""Pens nearly as good as the best that truly differ from them, each with what it costs."""

from collections import Counter
from collections.abc import Sequence

import numpy as np

from studbook.planning.best_pens.model import Model, Row
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.solving import SECONDS, search
from studbook.planning.best_pens.terms import Terms
from studbook.planning.best_pens.watching import Progress, Watch
from studbook.planning.best_pens.wishes import PensPlan, Proof

ALTERNATIVES = 3
"""How many are looked for."""

MOVED = 0.25
"""Where no other cocks can be used, pens differ when at least this share of the hens has another cock."""


def alternatives(
    problem: Problem,
    plan: PensPlan,
    most: int = ALTERNATIVES,
    seconds: float = SECONDS,
    progress: Progress | None = None,
) -> tuple[PensPlan, ...]:
    """The next best pens after `plan`, the best first; the cost of each is its objective less that of the plan.

    Each uses another set of cocks than the plan and the alternatives before it, and is the best with such a set. Where
    no other set of cocks meets the wishes, at least a quarter of the hens (and at least one) has another cock instead.
    `seconds` are for all of them together; one that could not be proven in its share says so. `progress` is as in
    `best_pens`.
    """
    found: list[PensPlan] = []
    watch = Watch(seconds, progress)
    cocks_differ = True
    while plan.pens and len(found) < most:
        watch.check()
        seen = [plan, *found]
        other = _other(problem, seen, watch.part(most - len(found)), cocks_differ=cocks_differ)
        if other.proof is Proof.IMPOSSIBLE and cocks_differ:
            cocks_differ = False
            continue
        if not other.pens:
            break
        found.append(other)
    watch.check()
    return tuple(sorted(found, key=lambda other: other.objective))


def _other(problem: Problem, seen: Sequence[PensPlan], watch: Watch, *, cocks_differ: bool) -> PensPlan:
    """The best pens that differ from all that were seen."""

    def cuts(model: Model, terms: Terms) -> list[Row]:
        if cocks_differ:
            return [_other_cocks(model, problem, each) for each in seen]
        return [row for each in seen for row in _other_hens(model, terms, problem, each)]

    return search(problem, watch, cuts=cuts)


def _other_cocks(model: Model, problem: Problem, plan: PensPlan) -> Row:
    """A cock of the plan is not used, or one that is not of the plan is."""
    import highspy

    used = {pen.cock for pen in plan.pens}
    signs = np.array([-1.0 if cock in used else 1.0 for cock in problem.wishes.cocks])
    return 1.0 - len(used), highspy.kHighsInf, model.used, signs


def _other_hens(model: Model, terms: Terms, problem: Problem, plan: PensPlan) -> list[Row]:
    """Enough hens are not where the plan has them; hens of one kind are not told apart."""
    import highspy

    infinity, solver = highspy.kHighsInf, model.solver
    kind_of = {hen: kind for kind, units in enumerate(terms.kinds) for unit in units for hen in unit}
    hens, cocks = problem.wishes.hens, problem.wishes.cocks
    there = Counter(
        (cocks.index(pen.cock), kind_of[hens.index(hen)]) for pen in plan.pens for hen in pen.hens
    )
    rows: list[Row] = []
    moved_columns, moved_hens = [], []
    for (cock, kind), count in there.items():
        units = count // int(terms.hens[kind])
        pair = int(model.pairs[cock, kind])
        # how many of a kind have left their cock, and whether any has
        moved, is_moved = solver.getNumCol(), solver.getNumCol() + 1
        solver.addVar(0.0, float(units))
        solver.addVar(0.0, 1.0)
        solver.changeColIntegrality(is_moved, highspy.HighsVarType.kInteger)
        rows.append((-infinity, 0.0, [moved, is_moved], [1.0, -units]))
        most = float(terms.count[kind])
        rows.append((-infinity, units + most, [moved, pair, is_moved], [1.0, 1.0, most]))
        moved_columns.append(moved)
        moved_hens.append(float(terms.hens[kind]))
    least = max(1, round(MOVED * sum(there.values())))
    rows.append((float(least), infinity, moved_columns, moved_hens))
    return rows
