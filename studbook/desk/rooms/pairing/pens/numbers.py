"""The figures behind the page, made on the worker threads and handed over as frozen rows."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from threading import Event
from typing import TYPE_CHECKING

from studbook.book.ids import BirdId, PlanId
from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.desk.work import Progress
from studbook.planning.best_pens.by_hand import Kin, Worth, breaches, other_cocks, with_hen, worth_of
from studbook.planning.best_pens.keeping import pens_of, wishes_from
from studbook.planning.best_pens.moves import fewest_moves
from studbook.planning.best_pens.present import Company, company
from studbook.planning.best_pens.telling import HenReason
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Proof, Wishes
from studbook.planning.limits import is_over
from studbook.planning.sentences import Sentence

if TYPE_CHECKING:
    from studbook.desk.rooms.pairing.page import Kinship
    from studbook.planning.best_pens.solving import Standing

_CLOSED = 1e-6

SECONDS = 30.0
"""How long is searched before the best so far is taken."""


@dataclass
class Search:
    """What the window and the search have in common while it runs: the word that it is enough, and how it stands."""

    enough: Event = field(default_factory=Event)
    standing: Standing | None = None


@dataclass(frozen=True)
class Solved:
    """A plan with all that is told of it.

    Attributes
    ----------
    kin
        The kinship of every bird that may stand in a pen by hand.
    worth
        What the plan does; None when there is none.
    present, present_worth
        The keeper's pens, and what they would do.
    collided
        Which wishes collide and what would help, where no pens meet them.
    """

    wishes: Wishes
    plan: PensPlan
    kin: Kin
    worth: Worth | None
    present: tuple[Company, ...]
    present_worth: Worth | None
    reasons: tuple[HenReason, ...]
    bans: tuple[tuple[BirdId, BirdId], ...]
    collided: tuple[Sentence, ...] = ()

    @property
    def is_possible(self) -> bool:
        """True when there are pens."""
        return self.worth is not None


@dataclass(frozen=True)
class Alternative:
    """A plan that is nearly as good: in a few words, and with its figures."""

    plan: PensPlan
    short: Sentence
    figures: Sentence


@dataclass(frozen=True)
class More:
    """What is found after the plan itself."""

    solved: Solved
    alternatives: tuple[Alternative, ...]
    costs: tuple[Sentence, ...]


@dataclass(frozen=True)
class Ready:
    """What is known before anything is planned: hens without a cock within the usual limit, and the present pens."""

    without: int
    present_worth: Worth | None


class Numbers:
    """The figures on the pens of one snapshot. Nothing heavy is loaded before the first question."""

    def __init__(self, snapshot: Snapshot, kinship: Kinship) -> None:
        self.snapshot = snapshot
        self._kinship = kinship

    def ready(self, wishes: Wishes, present: tuple[Company, ...]) -> Ready:
        """How many hens have no cock within the limit, and what the present pens would do."""
        kin = self.kin(wishes, present)
        limit = wishes.limit
        without = sum(
            limit is not None and all(is_over(kin[cock, hen], limit) for cock in wishes.cocks)
            for hen in wishes.hens
        )
        return Ready(without if wishes.cocks else 0, worth_of(present, kin, wishes))

    def solve(
        self,
        wishes: Wishes,
        present: tuple[Company, ...],
        today: date,
        search: Search,
        progress: Progress,
    ) -> Solved:
        """The best pens for some wishes."""
        from studbook.planning.best_pens.problem import problem_of
        from studbook.planning.best_pens.solving import best_pens

        def stand(standing: Standing) -> None:
            search.standing = standing

        problem = problem_of(self.snapshot, self._asked(wishes), wishes)
        plan = best_pens(problem, SECONDS, progress.go_on, search.enough.is_set, stand)
        if plan.proof is Proof.IMPOSSIBLE:
            from studbook.planning.best_pens.collisions import collisions
            from studbook.planning.best_pens.wording import collision_sentences

            said = collision_sentences(collisions(problem, progress.unless_stopped), problem)
            return replace(self.told(wishes, plan, present, problem.bans), collided=said)
        plan = replace(plan, pens=self._placed(plan, wishes, today))
        return self.told(wishes, plan, present, problem.bans)

    def more(self, solved: Solved, today: date, progress: Progress) -> More:
        """The plans that are nearly as good, and what each wish costs."""
        from studbook.planning.best_pens.alternatives import alternatives
        from studbook.planning.best_pens.costs import costs
        from studbook.planning.best_pens.problem import problem_of
        from studbook.planning.best_pens.telling import costs_words, variant_words

        wishes, best = solved.wishes, solved.plan
        problem = problem_of(self.snapshot, self._asked(wishes), wishes)
        found = []
        for other in alternatives(problem, best, seconds=SECONDS, progress=progress.unless_stopped):
            placed = replace(other, pens=self._placed(other, wishes, today))
            found.append(Alternative(placed, *variant_words(other, best)))
        return More(
            solved,
            tuple(found),
            costs_words(
                costs(problem, best, seconds=SECONDS, progress=progress.unless_stopped), best, problem
            ),
        )

    def reopen(self, plan_id: PlanId, present: tuple[Company, ...]) -> Solved | None:
        """A kept plan in the figures of the book as it is now; None when its wishes were not kept."""
        row = self.snapshot.husbandry.plans[plan_id]
        wishes = wishes_from(row.wishes)
        if wishes is None:
            return None
        has = self.snapshot.has
        wishes = replace(
            wishes,
            cocks=tuple(filter(has, wishes.cocks)),
            hens=tuple(filter(has, wishes.hens)),
            together=tuple(pair for pair in wishes.together if all(map(has, pair))),
            never=tuple(pair for pair in wishes.never if all(map(has, pair))),
        )
        pens = pens_of(self.snapshot, plan_id)
        placed = [bird for pen in pens for bird in (pen.cock, *pen.hens)]
        cocks = tuple(dict.fromkeys((*wishes.cocks, *(pen.cock for pen in pens))))
        hens = tuple(dict.fromkeys((*wishes.hens, *(hen for pen in pens for hen in pen.hens))))
        wishes = replace(wishes, cocks=cocks, hens=hens)
        bans = tuple(
            pair for pair in self.snapshot.husbandry.banned_pairs if all(bird in placed for bird in pair)
        )
        kin = self.kin(wishes, present)
        worth = worth_of([company(pen) for pen in pens], kin, wishes)
        if worth is None:
            return None
        bound = row.bound if row.bound is not None else 0.0
        is_best = row.bound is not None and worth.objective - row.bound < _CLOSED
        plan = PensPlan(
            pens,
            worth.inbreeding,
            worth.kinship,
            worth.objective,
            min(bound, worth.objective),
            Proof.OPTIMAL if is_best else Proof.BEST_SO_FAR,
        )
        return self.told(wishes, plan, present, bans)

    def told(
        self,
        wishes: Wishes,
        plan: PensPlan,
        present: tuple[Company, ...],
        bans: tuple[tuple[BirdId, BirdId], ...],
    ) -> Solved:
        """A plan with what it would do, against the pens there are."""
        kin = self.kin(wishes, present)
        worth = worth_of([company(pen) for pen in plan.pens], kin, wishes)
        return Solved(
            wishes,
            plan if worth is not None else replace(plan, pens=()),
            kin,
            worth,
            present,
            worth_of(present, kin, wishes),
            self.reasons(plan, kin, wishes, bans) if worth is not None else (),
            bans,
        )

    def kin(self, wishes: Wishes, present: tuple[Company, ...] = ()) -> Kin:
        """The kinship of all birds to choose from and of those in the pens now."""
        there = [bird for pen in present for bird in (*pen.cocks, *pen.hens)]
        birds = tuple(dict.fromkeys((*wishes.cocks, *wishes.hens, *there)))
        figures = self._asked(wishes).kinship(birds, birds).tolist()
        return {
            (one, other): (figures[row][column] + figures[column][row]) / 2
            for row, one in enumerate(birds)
            for column, other in enumerate(birds)
        }

    def reasons(
        self, plan: PensPlan, kin: Kin, wishes: Wishes, bans: tuple[tuple[BirdId, BirdId], ...]
    ) -> tuple[HenReason, ...]:
        """Why each hen goes where she goes."""
        asked = self._asked(wishes)
        found = []
        broken = set(breaches(plan.pens, kin, wishes, bans))
        of_all = other_cocks(plan.pens, kin, wishes)
        for pen in plan.pens:
            for hen in pen.hens:
                others = of_all.get(hen, ())
                other = others[0] if others else None
                found.append(
                    HenReason(
                        hen,
                        pen.cock,
                        kin[pen.cock, hen],
                        asked.relationship(hen, pen.cock),
                        other,
                        asked.relationship(hen, other.cock) if other else None,
                        other.objective / plan.objective - 1 if other and plan.objective > 0 else 0.0,
                        other is not None
                        and bool(
                            set(breaches(with_hen(plan.pens, hen, other.cock), kin, wishes, bans)) - broken
                        ),
                    )
                )
        return tuple(found)

    def _placed(self, plan: PensPlan, wishes: Wishes, today: date) -> tuple[BestPen, ...]:
        """The pens of a plan where the fewest birds move, beside the places of its reserve males."""
        taken = [place for _bird, place in plan.reserve_places]
        return fewest_moves(self.snapshot, plan.pens, wishes, today, taken)

    def _asked(self, wishes: Wishes):  # type: ignore[no-untyped-def]
        return self._kinship.asked(wishes.unknown is Unknown.FLOCK)
