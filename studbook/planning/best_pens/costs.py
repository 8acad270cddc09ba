"""What each wish costs: the best pens without it, against the best pens with it."""

from dataclasses import dataclass

from studbook.planning.best_pens.problem import Problem, Wish, WishKind
from studbook.planning.best_pens.solving import SECONDS, search
from studbook.planning.best_pens.watching import Progress, Watch
from studbook.planning.best_pens.wishes import PensPlan, Proof

_NOT_COUNTED = frozenset({WishKind.HENS_PLACED})


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

    How many hens are placed is no wish that is taken back here: fewer hens are not compared with more. `seconds` are
    for all wishes together; `progress` is as in `best_pens`.
    """
    watch = Watch(seconds, progress)
    wishes = [wish for wish in problem.in_force if wish.kind not in _NOT_COUNTED and _binds(problem, wish)]
    found = []
    for number, wish in enumerate(wishes):
        watch.check()
        other = search(problem.without(wish), watch.part(len(wishes) - number), start=plan)
        found.append(
            WishCost(
                wish,
                max(0.0, plan.objective - other.objective),
                plan.inbreeding - other.inbreeding,
                plan.kinship - other.kinship,
                other,
                other.proof is Proof.OPTIMAL,
            )
        )
    watch.check()
    return tuple(sorted(found, key=lambda cost: -cost.objective))


def _binds(problem: Problem, wish: Wish) -> bool:
    """False for a number that is no bound, as more could not be had anyhow."""
    wishes = problem.wishes
    if wish.kind is WishKind.PENS:
        return wishes.pens < len(wishes.cocks)
    if wish.kind is WishKind.MOST_HENS:
        return wishes.most_hens < problem.placed
    return True
