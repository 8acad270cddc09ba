"""Where pens stand and who is kept in reserve: against every way, by the definition; pens of a solver as of a hand."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, permutations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from studbook.book.ids import BirdId, PenId
from studbook.genetics.pedigree import Pedigree
from studbook.planning.best_pens.by_hand import worth_of
from studbook.planning.best_pens.judging import judge
from studbook.planning.best_pens.placing import with_places
from studbook.planning.best_pens.present import Company
from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.wishes import PensPlan, Place
from studbook.planning.best_pens.wording import reserve_sentences
from studbook.planning.sentences import plain
from tests.planning.best_pens.problems import large_problem, pedigrees, problem_in

HOME, BACK, FAR, MOOR = map(PenId, ("home", "back", "far", "moor"))
CALLED = {HOME: "Home", BACK: "Back", FAR: "Far", MOOR: "Moor"}
# C0 and C1 are full brothers of H0, C2 and C3 of H1; C4 and H2 are not related to any
LINES = Pedigree.of_parents([-1] * 6 + [0, 0, 0, 2, 2, 2], [-1] * 6 + [1, 1, 1, 3, 3, 3])
COCKS, HENS = [6, 7, 9, 10, 4], [8, 11, 5]


@st.composite
def penned(draw: st.DrawFn) -> tuple[Problem, PensPlan]:
    """Pens put together by chance of some of the birds, places that may be too few, eggs, a reserve."""
    cocks, hens = draw(st.integers(1, 6)), draw(st.integers(1, 6))
    pedigree = draw(pedigrees(cocks + hens))
    chosen = list(draw(st.permutations(range(len(pedigree))))[: cocks + hens])
    problem = problem_in(pedigree, chosen[:cocks], chosen[cocks:])
    sizes = st.none() | st.integers(1, hens)
    places = tuple(
        Place(PenId(f"P{number}"), draw(sizes), draw(st.booleans()))
        for number in range(draw(st.integers(0, 5)))
    )
    eggs = draw(st.dictionaries(st.sampled_from(problem.wishes.hens), st.sampled_from([0.5, 2.0, 3.0])))
    wishes = replace(
        problem.wishes,
        places=places,
        eggs=eggs,
        reserve_males=draw(st.integers(0, 4)),
        weight=draw(st.floats(0, 1)),
    )
    problem = replace(problem, wishes=wishes)
    homes = draw(st.lists(st.integers(-1, min(cocks, 3) - 1), min_size=hens, max_size=hens))
    pens = {cock: [hen for hen, at in enumerate(homes) if at == cock] for cock in sorted(set(homes) - {-1})}
    assume(pens)
    return problem, judge(problem, pens)


def ways_to_place(problem: Problem, plan: PensPlan) -> list[tuple[Place, ...]]:
    """Every way to give each pen a place that takes it."""
    return [
        way
        for way in permutations(problem.wishes.places, len(plan.pens))
        if all(
            place.hens is None or len(pen.hens) <= place.hens
            for pen, place in zip(plan.pens, way, strict=True)
        )
    ]


def cost_of(problem: Problem, way: Sequence[Place]) -> tuple[int, float]:
    """How many stand in the second yard, and the room taken."""
    room = sum(100 if place.hens is None else place.hens for place in way)
    return sum(place.second_yard for place in way), room


@settings(max_examples=100, deadline=None)
@given(penned())
def test_each_pen_fits_its_place_and_as_few_as_can_be_stand_in_the_second_yard(
    given_: tuple[Problem, PensPlan],
) -> None:
    problem, plan = given_
    ways = ways_to_place(problem, plan)
    if not problem.wishes.places:
        assert all(pen.place is None for pen in with_places(problem, plan).pens)
        return
    assume(ways)
    place_of = {place.pen: place for place in problem.wishes.places}
    found = with_places(problem, plan)
    assert [(pen.cock, pen.hens) for pen in found.pens] == [(pen.cock, pen.hens) for pen in plan.pens]
    way = tuple(place_of[pen.place] for pen in found.pens if pen.place is not None)
    assert way in ways
    assert cost_of(problem, way) == min(cost_of(problem, other) for other in ways)
    stands = dict(found.reserve_places)
    second = [place.pen for place in problem.wishes.places if place.second_yard and place not in way]
    assert list(stands) == list(found.reserve[: len(second)])
    assert len(set(stands.values())) == len(stands)
    assert set(stands.values()) <= set(second)


def held_by(problem: Problem, plan: PensPlan, males: Sequence[BirdId]) -> float:
    """((p + s)/2)′K((p + s)/2), written bird by bird."""
    away = {place.pen for place in problem.wishes.places if place.second_yard}
    first = [pen for pen in plan.pens if pen.place not in away]
    second = [pen for pen in plan.pens if pen.place in away]
    if not first:
        first, second = second, []
    given: dict[BirdId, float] = {}

    def give(bird: BirdId, share: float) -> None:
        given[bird] = given.get(bird, 0.0) + share

    def give_pens(pens: Sequence[tuple[float, object]], whole: float) -> None:
        for share, pen in pens:
            eggs = {hen: problem.wishes.eggs.get(hen, 1.0) for hen in pen.hens}  # type: ignore[attr-defined]
            for hen, wanted in eggs.items():
                give(hen, whole * share * wanted / sum(eggs.values()) / 2)
                give(pen.cock, whole * share * wanted / sum(eggs.values()) / 2)  # type: ignore[attr-defined]

    eggs_of = [sum(problem.wishes.eggs.get(hen, 1.0) for hen in pen.hens) for pen in first]
    give_pens([(eggs / sum(eggs_of), pen) for eggs, pen in zip(eggs_of, first, strict=True)], 0.5)
    parts = len(males) + len(second)
    give_pens([(1 / parts, pen) for pen in second], 0.5)
    for male in males:
        give(male, 0.5 / parts)
    row = {bird: place for place, bird in enumerate(problem.birds)}
    assert sum(given.values()) == pytest.approx(1)
    return sum(
        one_share * other_share * problem.kinship[row[one], row[other]]
        for one, one_share in given.items()
        for other, other_share in given.items()
    )


@settings(max_examples=80, deadline=None)
@given(penned())
def test_the_reserve_is_the_best_complement_of_all(given_: tuple[Problem, PensPlan]) -> None:
    problem, plan = given_
    assume(not problem.wishes.places or ways_to_place(problem, plan))
    found = with_places(problem, plan)
    left = [cock for cock in problem.wishes.cocks if cock not in {pen.cock for pen in plan.pens}]
    wanted = min(problem.wishes.reserve_males, len(left))
    assert len(set(found.reserve)) == wanted
    assert set(found.reserve) <= set(left)
    if wanted:
        least = min(held_by(problem, found, males) for males in combinations(left, wanted))
        assert held_by(problem, found, found.reserve) == pytest.approx(least, abs=1e-10)


def test_of_many_males_none_could_be_changed_for_a_better_one() -> None:
    problem = large_problem(cocks=24, hens=30, reserve_males=7)
    plan = judge(problem, {0: range(15), 1: range(15, 30)})
    found = with_places(problem, plan)
    best = held_by(problem, found, found.reserve)
    left = [cock for cock in problem.wishes.cocks[2:] if cock not in found.reserve]
    for gone in found.reserve:
        for come in left:
            males = [come if male == gone else male for male in found.reserve]
            assert held_by(problem, found, males) >= best - 1e-10


def lines(places: tuple[Place, ...], reserve: int) -> Problem:
    problem = problem_in(LINES, COCKS, HENS)
    return replace(problem, wishes=replace(problem.wishes, places=places, reserve_males=reserve))


def said(problem: Problem, plan: PensPlan) -> list[str]:
    sentences = reserve_sentences(plan, problem.wishes, CALLED)
    return [plain(sentence, str, lambda number, decimals: f"{number:.{decimals}f}") for sentence in sentences]


def test_the_line_that_no_pen_holds_is_kept_before_a_brother_of_the_first_yard() -> None:
    problem = lines((Place(HOME, 2), Place(FAR), Place(MOOR, 1, second_yard=True)), 2)
    # C0 with the strange hen: his brother C1 is the last to be kept, and of the brothers C2 and C3 one is enough
    plan = with_places(problem, judge(problem, {0: [2]}))
    assert [pen.place for pen in plan.pens] == [HOME]
    assert plan.reserve == ("C2", "C4")
    assert plan.reserve_places == (("C2", MOOR),)
    assert said(problem, plan) == [
        "Kept in reserve, for the lines that the first yard holds least of: C2 in Moor; C4.",
        "The second yard has no place left for C4.",
        "One fox or one illness then does not take everything.",
    ]


def test_a_line_that_has_a_pen_in_the_second_yard_is_not_kept_there_twice() -> None:
    places = (Place(HOME), Place(FAR, None, second_yard=True), Place(MOOR, 1, second_yard=True))
    problem = lines(places, 1)
    # there is one place at home: the pen of C2 moves out, to the smaller place, and his brother C3 stays back
    plan = with_places(problem, judge(problem, {0: [0, 1], 2: [2]}))
    assert {pen.cock: pen.place for pen in plan.pens} == {"C0": HOME, "C2": MOOR}
    assert plan.reserve == ("C4",)
    assert said(problem, plan) == [
        "Kept in reserve, for the lines that the first yard holds least of: C4 in Far.",
        "In the second yard there is also the pen of C2.",
        "One fox or one illness then does not take everything.",
    ]
    moved = replace(plan, pens=(plan.pens[0], replace(plan.pens[1], place=FAR)))
    assert said(problem, moved)[1] == "The second yard has no place left for C4."


def test_without_a_second_yard_the_reserve_is_told_without_places() -> None:
    problem = lines((), 1)
    plan = with_places(problem, judge(problem, {0: [0, 1]}))
    assert plan.reserve == ("C4",)
    assert said(problem, plan) == ["Kept in reserve, for the lines that the pens hold least of: C4."]
    assert said(problem, replace(plan, reserve=())) == []


@settings(max_examples=100, deadline=None)
@given(penned())
def test_pens_are_worth_the_same_to_the_solver_and_by_hand(given_: tuple[Problem, PensPlan]) -> None:
    problem, plan = given_
    kin = {
        (one, other): float(problem.kinship[row, column])
        for row, one in enumerate(problem.birds)
        for column, other in enumerate(problem.birds)
    }
    worth = worth_of([Company((pen.cock,), pen.hens) for pen in plan.pens], kin, problem.wishes)
    assert worth is not None
    figures = plan.inbreeding, plan.kinship, plan.objective
    assert (worth.inbreeding, worth.kinship, worth.objective) == pytest.approx(figures, abs=1e-12)
    for pen in plan.pens:
        alone = worth_of([Company((pen.cock,), pen.hens)], kin, problem.wishes)
        assert alone is not None
        assert alone.inbreeding == pytest.approx(pen.inbreeding, abs=1e-12)
    assert sum(worth.shares.values()) == pytest.approx(1)
    shares = np.array([worth.shares.get(bird, 0.0) for bird in problem.birds])
    assert plan.kinship == pytest.approx(float(shares @ problem.kinship @ shares))
