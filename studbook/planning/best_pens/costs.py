"""What each wish costs: the best pens without it, against the best pens with it."""

from dataclasses import dataclass, replace

from studbook.planning.best_pens.problem import Problem, Wish, WishKind
from studbook.planning.best_pens.solving import SECONDS, SURE, search
from studbook.planning.best_pens.watching import Progress, Watch
from studbook.planning.best_pens.wishes import PensPlan, Proof

_PARTS_FOR_FEWER = 3


@dataclass(frozen=True, slots=True)
class WishCost:
    """What would be gained if one wish were taken back.

    Attributes
    ----------
    objective, inbreeding, kinship
        How much lower each would be; `objective` is never below 0, of the other two one may be.
    plan
        The best pens without the wish.
    is_proven
        False when the time did not suffice: the wish may then cost more than is said.
    """

    wish: Wish
    objective: float
    inbreeding: float
    kinship: float
    plan: PensPlan
    is_proven: bool


def costs(
    problem: Problem,
    plan: PensPlan,
    seconds: float = SECONDS,
    progress: Progress | None = None,
) -> tuple[WishCost, ...]:
    """What each wish costs, the dearest first.

    How many hens are placed is taken back as far as fewer may be: with fewer, the hens who are related most to the
    cocks and to each other can be left out, but those who are left give more each, so that often nothing is gained.
    More hens than were wished for are not looked at. `seconds` are for all wishes together, a third of what the
    others leave for that one; `progress` is as in `best_pens`.
    """
    watch = Watch(seconds, progress)
    wishes = [
        wish for wish in problem.in_force if wish.kind is not WishKind.HENS_PLACED and _binds(problem, wish)
    ]
    found = []
    for number, wish in enumerate(wishes):
        watch.check()
        other = search(problem.without(wish), watch.part(len(wishes) + 1 - number), start=plan)
        found.append(_cost(wish, plan, other, is_proven=other.proof is Proof.OPTIMAL))
    if plan.pens and problem.placed > 1:
        other, is_proven = _fewer(problem, plan, watch.part(_PARTS_FOR_FEWER))
        found.append(_cost(Wish(WishKind.HENS_PLACED), plan, other, is_proven=is_proven))
    watch.check()
    return tuple(sorted(found, key=lambda cost: -cost.objective))


def _cost(wish: Wish, plan: PensPlan, other: PensPlan, *, is_proven: bool) -> WishCost:
    return WishCost(
        wish,
        max(0.0, plan.objective - other.objective),
        plan.inbreeding - other.inbreeding,
        plan.kinship - other.kinship,
        other,
        is_proven,
    )


def _fewer(problem: Problem, plan: PensPlan, watch: Watch) -> tuple[PensPlan, bool]:
    """The best pens with as many hens as `plan` has or fewer, and whether every number of hens was proven."""
    best, is_proven = plan, True
    for number in range(problem.placed - 1, 0, -1):
        if watch.check():
            return best, False
        wishes = replace(problem.wishes, hens_placed=number)
        other = search(replace(problem, wishes=wishes), watch.part(2))
        is_proven = is_proven and other.proof in (Proof.OPTIMAL, Proof.IMPOSSIBLE)
        # the same is not better: rounding must not leave a hen out
        if other.pens and other.objective < best.objective - SURE:
            best = other
    return best, is_proven


def _binds(problem: Problem, wish: Wish) -> bool:
    """False for a number that is no bound, as more could not be had anyhow."""
    wishes = problem.wishes
    if wish.kind is WishKind.PENS:
        return wishes.pens < len(wishes.cocks)
    if wish.kind is WishKind.MOST_HENS:
        return wishes.most_hens < problem.placed
    return True
