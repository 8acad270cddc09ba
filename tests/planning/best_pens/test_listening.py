"""A search can be watched, stopped and cancelled, prints nothing, and loads the solver only when pens are asked for."""

import subprocess
import sys
import time

import numpy as np
import pytest

from studbook.planning.best_pens.alternatives import alternatives
from studbook.planning.best_pens.collisions import collisions
from studbook.planning.best_pens.costs import costs
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.solving import Standing, best_pens
from studbook.planning.best_pens.wishes import Proof
from tests.planning.best_pens.problems import large_problem


class Cancelled(Exception):  # noqa: N818 - nothing went wrong
    """What a listener raises when nobody waits any more."""


@pytest.fixture(scope="module")
def large() -> Problem:
    """A problem that is not solved in a moment."""
    return large_problem()


def cancel_after(seconds: float) -> "Canceller":
    return Canceller(time.monotonic() + seconds)


class Canceller:
    """A progress that raises from some moment on, and counts how often it was asked after it had raised."""

    def __init__(self, when: float) -> None:
        self.when = when
        self.shares: list[float] = []
        self.raised = 0

    def __call__(self, share: float) -> None:
        self.shares.append(share)
        if time.monotonic() > self.when:
            self.raised += 1
            raise Cancelled


def test_cancelling_ends_the_search_by_the_exception_of_the_listener(large: Problem) -> None:
    cancel = cancel_after(0.2)
    with pytest.raises(Cancelled):
        best_pens(large, 60, cancel)
    assert cancel.raised == 1
    assert cancel.shares == sorted(cancel.shares)
    assert all(0 <= share < 1 for share in cancel.shares)


def test_alternatives_costs_and_collisions_can_be_cancelled(large: Problem) -> None:
    plan = best_pens(large, 60)
    with pytest.raises(Cancelled):
        alternatives(large, plan, progress=cancel_after(0.0))
    with pytest.raises(Cancelled):
        costs(large, plan, progress=cancel_after(0.0))
    with pytest.raises(Cancelled):
        collisions(large, cancel_after(0.0))


def test_enough_gives_the_best_so_far_with_an_honest_gap(large: Problem) -> None:
    heard: list[Standing] = []
    plan = best_pens(large, 60, enough=lambda: bool(heard), told=heard.append)
    whole = best_pens(large, 60)
    assert whole.proof is Proof.OPTIMAL
    assert heard[0].objective is not None
    assert plan.proof in (Proof.STOPPED, Proof.OPTIMAL)
    assert plan.bound <= whole.objective <= plan.objective
    assert plan.gap == pytest.approx((plan.objective - plan.bound) / plan.objective)


def test_bounds_only_rise_and_objectives_only_fall(large: Problem) -> None:
    heard: list[Standing] = []
    plan = best_pens(large, 60, told=heard.append)
    bounds = [standing.bound for standing in heard]
    objectives = [standing.objective for standing in heard if standing.objective is not None]
    assert bounds == sorted(bounds)
    assert objectives == sorted(objectives, reverse=True)
    assert plan.objective == objectives[-1]


def test_without_time_there_are_no_pens_and_no_claim(large: Problem) -> None:
    plan = best_pens(large, 0.0)
    assert plan.pens == ()
    assert plan.proof is Proof.BEST_SO_FAR
    assert np.isnan(plan.objective)
    assert plan.bound == 0


def test_the_solver_prints_nothing(large: Problem, capfd: pytest.CaptureFixture[str]) -> None:
    best_pens(large, 60)
    assert tuple(capfd.readouterr()) == ("", "")


def test_nothing_of_the_solver_is_loaded_before_pens_are_asked_for() -> None:
    script = (
        "import sys, studbook.commands.main, studbook.planning.best_pens.solving\n"
        "import studbook.planning.best_pens.alternatives, studbook.planning.best_pens.costs\n"
        "import studbook.planning.best_pens.collisions, studbook.planning.best_pens.wording\n"
        "print([name for name in sys.modules if name.startswith('highspy')])"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout == "[]\n"
