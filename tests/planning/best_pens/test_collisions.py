"""Wishes that collide: each set is the smallest, by trying every way; the sentences name the birds and a remedy."""

from dataclasses import replace

import pytest
from hypothesis import given, settings

from studbook.book.ids import BirdId
from studbook.genetics.pedigree import Pedigree
from studbook.planning.best_pens.collisions import collisions
from studbook.planning.best_pens.problem import Problem, Wish, WishKind
from studbook.planning.best_pens.wording import collision_sentences
from studbook.planning.sentences import plain
from tests.planning.best_pens.plain import every_way
from tests.planning.best_pens.problems import problem_in, problems

# two cocks and four hens that are not related, but C0 and H0, who are full sibs
FOUNDERS = Pedigree.of_parents([-1] * 7 + [0, 0], [-1] * 7 + [1, 1])


def wished(**changes: object) -> Problem:
    problem = problem_in(FOUNDERS, [7, 2], [8, 3, 4, 5], pens=2, most_hens=4)
    return replace(problem, wishes=replace(problem.wishes, **changes))


def with_only(problem: Problem, kept: tuple[Wish, ...]) -> Problem:
    """A problem without any wish but some."""
    limited = {hen for wish in kept if wish.kind is WishKind.LIMIT for hen in wish.birds}
    gone = [wish for wish in problem.in_force if wish not in kept and wish.kind is not WishKind.LIMIT]
    free = tuple(hen for hen in problem.wishes.hens if hen not in limited)
    return problem.without(*gone, Wish(WishKind.LIMIT, free)) if free else problem.without(*gone)


def is_met(problem: Problem) -> bool:
    return next(every_way(problem), None) is not None


def said(problem: Problem) -> list[str]:
    found = collision_sentences(collisions(problem), problem)
    return [plain(sentence, str, lambda number, decimals: f"{number:.{decimals}f}") for sentence in found]


@settings(max_examples=90, deadline=None)
@given(problems(most_hens=4))
def test_wishes_that_collide_are_the_fewest_and_a_remedy_is_enough_and_the_least_change(
    problem: Problem,
) -> None:
    found = collisions(problem)
    assert bool(found) is not is_met(problem)
    for collision in found:
        assert collision.wishes
        assert not is_met(with_only(problem, collision.wishes))
        for wish in collision.wishes:
            others = tuple(other for other in collision.wishes if other != wish)
            assert is_met(with_only(problem, others))
    fields = {
        WishKind.PENS: "pens",
        WishKind.MOST_HENS: "most_hens",
        WishKind.LEAST_HENS: "least_hens",
        WishKind.RESERVE: "reserve_males",
        WishKind.HENS_PLACED: "hens_placed",
    }
    for collision in found:
        for remedy in collision.remedies:
            kind, value = remedy.wish.kind, remedy.value
            if kind in fields and value is not None:
                number = round(value)
                wishes = replace(problem.wishes, **{fields[kind]: number})
                assert is_met(replace(problem, wishes=wishes))
                step = {WishKind.PENS: -1, WishKind.MOST_HENS: -1}.get(kind, 1)
                nearer = replace(problem.wishes, **{fields[kind]: number + step})
                if kind is WishKind.HENS_PLACED:
                    assert number + step > problem.placed or not is_met(replace(problem, wishes=nearer))
                elif number + step != getattr(problem.wishes, fields[kind]):
                    assert not is_met(replace(problem, wishes=nearer))
            elif kind is WishKind.LIMIT and value is not None:
                assert is_met(replace(problem, wishes=replace(problem.wishes, limit=value)))
            else:
                assert is_met(problem.without(remedy.wish))


@pytest.mark.parametrize(
    ("changes", "sentences"),
    [
        (
            {"pens": 1, "most_hens": 3},
            [
                "There is room for 3 hens only, with at most 1 pen and at most 3 hens for a cock, and 4 are to be "
                "placed.",
                "Any one of these would help: placing 3 hens; 2 pens; up to 4 hens for a cock.",
            ],
        ),
        (
            {"limit": 0.0625, "pens": 1, "never": ((BirdId("C1"), BirdId("H2")),)},
            [
                "These wishes collide: all 4 hens are placed; at most 1 pen; C1 and H2 never in one pen; "
                "no F over 6.25 % for H0.",
                "Any one of these would help: placing 3 hens; 2 pens; letting C1 and H2 be in one pen; a limit of "
                "25.00 %.",
            ],
        ),
        (
            {"together": ((BirdId("H0"), BirdId("H1")),), "never": ((BirdId("H1"), BirdId("H0")),)},
            [
                "These wishes collide: H0 and H1 in one pen; H1 and H0 never in one pen.",
                "Any one of these would help: letting H0 and H1 be apart; letting H1 and H0 be in one pen.",
            ],
        ),
    ],
)
def test_the_sentences_name_what_collides_and_what_would_help(
    changes: dict[str, object], sentences: list[str]
) -> None:
    assert said(wished(**changes)) == sentences
