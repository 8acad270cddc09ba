"""The best pens against every way there is, on flocks small enough to try them all."""

import math

import numpy as np
import pytest
from hypothesis import given, settings

from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.solving import best_pens
from studbook.planning.best_pens.wishes import Proof
from tests.planning.best_pens.plain import every_way, meets, value, way_of
from tests.planning.best_pens.problems import problems


@settings(max_examples=100, deadline=None)
@given(problems())
def test_the_plan_is_the_best_of_all_ways_and_its_figures_are_those_of_the_definition(
    problem: Problem,
) -> None:
    plan = best_pens(problem, 20)
    ways = list(every_way(problem))
    if not ways:
        assert plan.proof is Proof.IMPOSSIBLE
        assert plan.pens == ()
        assert all(math.isnan(figure) for figure in (plan.objective, plan.inbreeding, plan.kinship))
        return
    least = min(value(problem, way)[2] for way in ways)
    assert plan.proof is Proof.OPTIMAL
    assert meets(problem, way_of(problem, plan))
    assert plan.objective == pytest.approx(least, abs=1e-6)
    assert plan.bound <= least + 1e-12
    expected = value(problem, way_of(problem, plan))
    assert (plan.inbreeding, plan.kinship, plan.objective) == pytest.approx(expected, abs=1e-12)
    for pen in plan.pens:
        eggs = np.array([problem.wishes.eggs.get(hen, 1.0) for hen in pen.hens])
        row = problem.wishes.cocks.index(pen.cock)
        figures = [problem.expected[row, problem.wishes.hens.index(hen)] for hen in pen.hens]
        assert pen.inbreeding == pytest.approx(float(np.average(figures, weights=eggs)))
