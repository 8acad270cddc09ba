"""Which wishes collide when no pens meet them all, and which of them, changed alone, would make pens possible."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from studbook.planning.best_pens.model import Aim, build
from studbook.planning.best_pens.problem import Problem, Wish, WishKind
from studbook.planning.best_pens.terms import terms_of
from studbook.planning.best_pens.watching import Progress, Watch, listen
from studbook.planning.best_pens.wishes import Wishes
from studbook.planning.limits import SAME

SECONDS = 30.0
"""How long is searched for what collides."""

_MOST_TOLD = 3

# wishes named first are rather told than those named later, where either would do
_ORDER = (
    WishKind.HENS_PLACED,
    WishKind.PENS,
    WishKind.MOST_HENS,
    WishKind.RESERVE,
    WishKind.LIMIT,
    WishKind.TOGETHER,
    WishKind.NEVER,
    WishKind.LEAST_HENS,
    WishKind.PLACES,
    WishKind.SHARE,
    WishKind.BAN,
)


@dataclass(frozen=True, slots=True)
class Remedy:
    """A wish that, changed alone, makes pens possible: to which value, or None when it must be taken back."""

    wish: Wish
    value: float | None = None


@dataclass(frozen=True, slots=True)
class Collision:
    """Wishes that no pens meet together, though they would meet them without any one of these.

    `remedies` are those that alone make all other wishes of the plan possible too.
    """

    wishes: tuple[Wish, ...]
    remedies: tuple[Remedy, ...] = ()


def collisions(
    problem: Problem, progress: Progress | None = None, seconds: float = SECONDS
) -> tuple[Collision, ...]:
    """The wishes that collide, each collision an irreducible set; empty when there are pens that meet all wishes.

    Further collisions are those that remain when the wishes of the first are taken back. A collision without wishes
    means that there is no cock, or no hen. `progress` is as in `best_pens`.

    References
    ----------
    Junker 2004, Proceedings of the 19th National Conference on Artificial Intelligence, 167-172 (QuickXplain).
    """
    watch = Watch(seconds, progress)
    found: list[Collision] = []
    left = problem
    while len(found) < _MOST_TOLD and not is_possible(left, watch):
        wishes = [wish for wish in _single(problem) if _says_something(left, wish)]
        taken_back = [wish for wish in _single(problem) if wish not in wishes]
        base = problem.without(*taken_back)

        def collide(kept: Sequence[Wish], base: Problem = base, wishes: Sequence[Wish] = wishes) -> bool:
            gone = [wish for wish in wishes if wish not in kept]
            return not is_possible(base.without(*gone), watch)

        if collide(()):
            return (*found, Collision(()))
        smallest = _quick_explain(collide, [], [], wishes)
        found.append(Collision(tuple(smallest), _remedies(problem, smallest, watch)))
        left = left.without(*smallest)
    return tuple(found)


def is_possible(problem: Problem, watch: Watch) -> bool:
    """False when it is proven that no pens meet the wishes."""
    import highspy

    if not problem.wishes.cocks or not problem.wishes.hens or problem.placed < 1:
        return False
    watch.check()
    terms = terms_of(problem)
    if not terms.is_possible or terms.used < 1 or terms.least > terms.most:
        return False
    model = build(terms, problem.wishes.weight, aim=Aim.ANY)
    listen(model.solver, watch)
    model.solver.run()
    if watch.error is not None:
        raise watch.error
    status = highspy.HighsModelStatus
    return model.solver.getModelStatus() not in (status.kInfeasible, status.kUnboundedOrInfeasible)


def most_placed(problem: Problem, watch: Watch) -> int:
    """How many hens can be placed at most under all other wishes; 0 when that is not found."""
    import highspy

    terms = terms_of(replace(problem, any_number=True))
    if not terms.is_possible or terms.used < 1 or terms.least > terms.most:
        return 0
    model = build(terms, problem.wishes.weight, aim=Aim.MOST)
    listen(model.solver, watch)
    model.solver.run()
    if watch.error is not None:
        raise watch.error
    if model.solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return 0
    return round(float(np.array(model.solver.getSolution().col_value)[model.placed] @ terms.hens))


def _single(problem: Problem) -> list[Wish]:
    """Every wish in force, the limit hen by hen, in the order in which they are rather told."""
    wishes = [wish for wish in problem.in_force if wish.kind is not WishKind.LIMIT]
    limit = problem.wishes.limit
    if limit is not None:
        over = np.any(problem.expected > limit + SAME, axis=0).tolist()
        wishes += [
            Wish(WishKind.LIMIT, (hen,))
            for hen, is_over in zip(problem.wishes.hens, over, strict=True)
            if is_over and hen not in problem.unlimited
        ]
    return sorted(wishes, key=lambda wish: _ORDER.index(wish.kind))


def _says_something(problem: Problem, wish: Wish) -> bool:
    if wish.kind is WishKind.LIMIT:
        return not set(wish.birds) <= problem.unlimited
    if wish.kind is WishKind.HENS_PLACED:
        return not problem.any_number
    if wish.kind is WishKind.PENS:
        return problem.wishes.pens < len(problem.wishes.cocks)
    if wish.kind is WishKind.MOST_HENS:
        return problem.wishes.most_hens < len(problem.wishes.hens)
    return wish in problem.in_force


def _quick_explain(
    collide: Callable[[Sequence[Wish]], bool], kept: list[Wish], added: list[Wish], wishes: list[Wish]
) -> list[Wish]:
    """A smallest part of `wishes` that collides with `kept`."""
    if added and collide(kept):
        return []
    if len(wishes) == 1:
        return wishes
    middle = len(wishes) // 2
    first, second = wishes[:middle], wishes[middle:]
    of_second = _quick_explain(collide, kept + first, first, second)
    of_first = _quick_explain(collide, kept + of_second, of_second, first)
    return of_first + of_second


def _remedies(problem: Problem, wishes: Sequence[Wish], watch: Watch) -> tuple[Remedy, ...]:
    remedies = []
    has_limit = any(wish.kind is WishKind.LIMIT for wish in wishes)
    whole = [wish for wish in wishes if wish.kind is not WishKind.LIMIT]
    if has_limit:
        whole.append(Wish(WishKind.LIMIT))
    for wish in whole:
        if wish.kind is WishKind.HENS_PLACED:
            most = most_placed(problem, watch)
            if most:
                remedies.append(Remedy(wish, most))
        elif is_possible(problem.without(wish), watch):
            remedies.append(Remedy(wish, _value(problem, wish, watch)))
    return tuple(remedies)


def _value(problem: Problem, wish: Wish, watch: Watch) -> float | None:
    """The value nearest to the one wished for that makes pens possible; the loosest does."""
    wishes = problem.wishes
    tried: list[tuple[float, Wishes]]
    match wish.kind:
        case WishKind.PENS:
            tried = [(n, replace(wishes, pens=n)) for n in range(wishes.pens + 1, len(wishes.cocks) + 1)]
        case WishKind.MOST_HENS:
            more = range(wishes.most_hens + 1, len(wishes.hens) + 1)
            tried = [(n, replace(wishes, most_hens=n)) for n in more]
        case WishKind.LEAST_HENS:
            tried = [(n, replace(wishes, least_hens=n)) for n in range(wishes.least_hens - 1, 0, -1)]
        case WishKind.RESERVE:
            less = range(wishes.reserve_males - 1, -1, -1)
            tried = [(n, replace(wishes, reserve_males=n)) for n in less]
        case WishKind.LIMIT:
            over = problem.expected[problem.expected > (wishes.limit or 0.0) + SAME]
            tried = [(f, replace(wishes, limit=f)) for f in np.unique(over.round(12)).tolist()]
        case _:
            return None
    low, high = 0, len(tried) - 1
    while low < high:
        middle = (low + high) // 2
        if is_possible(replace(problem, wishes=tried[middle][1]), watch):
            high = middle
        else:
            low = middle + 1
    return tried[low][0] if tried else None
