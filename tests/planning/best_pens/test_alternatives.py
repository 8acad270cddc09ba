"""Near-best pens and what wishes cost, against every way there is."""

import pytest
from hypothesis import given, settings

from studbook.planning.best_pens.alternatives import alternatives
from studbook.planning.best_pens.costs import costs
from studbook.planning.best_pens.problem import Problem, WishKind
from studbook.planning.best_pens.solving import best_pens
from studbook.planning.best_pens.wishes import Proof
from tests.planning.best_pens.plain import Way, every_way, meets, value, way_of
from tests.planning.best_pens.problems import problems


def cocks_of(way: Way) -> frozenset[int]:
    return frozenset(way) - {-1}


def at_most(problem: Problem, way: Way) -> bool:
    """True when no more hens are placed than wished for."""
    return sum(cock >= 0 for cock in way) <= problem.placed


@settings(max_examples=40, deadline=None)
@given(problems(most_hens=4))
def test_alternatives_are_the_best_with_other_cocks(problem: Problem) -> None:
    plan = best_pens(problem, 20)
    if not plan.pens:
        assert alternatives(problem, plan) == ()
        return
    found = alternatives(problem, plan, 2)
    ways = list(every_way(problem))
    own = cocks_of(way_of(problem, plan))
    best_of: dict[frozenset[int], float] = {}
    for way in ways:
        if cocks_of(way) != own:
            objective = value(problem, way)[2]
            best_of[cocks_of(way)] = min(objective, best_of.get(cocks_of(way), objective))
    expected = sorted(best_of.values())[:2]
    sets = {cocks_of(way_of(problem, other)): other.objective for other in reversed(found)}
    sets.pop(own, None)
    assert sorted(sets.values()) == pytest.approx(expected, abs=2e-6)
    if len(expected) < 2:
        # no further cocks: other hens, if there is any such way, and never the plan itself
        moved = [way for way in ways if cocks_of(way) == own and way != way_of(problem, plan)]
        assert len(found) <= len(expected) + len(moved)
    for other in found:
        assert other.proof is Proof.OPTIMAL
        assert meets(problem, way_of(problem, other))
        assert other.objective >= plan.objective - 1e-6
        assert other.bound <= other.objective


@settings(max_examples=40, deadline=None)
@given(problems(most_hens=4))
def test_a_wish_costs_what_the_best_pens_without_it_gain(problem: Problem) -> None:
    plan = best_pens(problem, 20)
    if not plan.pens:
        return
    found = costs(problem, plan)
    assert [cost.objective for cost in found] == sorted((cost.objective for cost in found), reverse=True)
    kinds = [cost.wish.kind for cost in found]
    assert kinds.count(WishKind.HENS_PLACED) == (problem.placed > 1)
    for cost in found:
        assert cost.is_proven
        is_number = cost.wish.kind is WishKind.HENS_PLACED
        ways = [
            way for way in every_way(problem.without(cost.wish)) if not is_number or at_most(problem, way)
        ]
        least = min(value(problem.without(cost.wish), way)[2] for way in ways)
        assert cost.objective == pytest.approx(plan.objective - least, abs=2e-6)
        assert cost.objective == pytest.approx(
            problem.wishes.weight * cost.inbreeding + (1 - problem.wishes.weight) * cost.kinship, abs=1e-9
        )
