"""What is said of planned pens: how sure, why better, why each hen, what a change costs. Sentences, no glue."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from studbook.book.ids import BirdId, PenId
from studbook.book.records import Snapshot
from studbook.genetics.relationship import Relationship
from studbook.planning.best_pens.by_hand import Breach, Broken, OtherCock, Worth
from studbook.planning.best_pens.methods import Figure, method
from studbook.planning.best_pens.moves import MovesOfPlan
from studbook.planning.best_pens.present import Company
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Proof, Wishes
from studbook.planning.bloodlines.methods import Method
from studbook.planning.limits import CLOSE, SAME
from studbook.planning.pens.naming import listed, pen_name
from studbook.planning.sentences import BirdPart, Part, Sentence, SharePart, compose
from studbook.planning.wording import relation_phrase
from studbook.words import _, plural

_CLEAR = 5e-4
"""Figures that differ by less than this look the same with one decimal of a per cent."""

_PROVEN = 1e-6

_SHOWN = 5e-5
"""Less than this is nothing with two decimals of a per cent."""

_NAMED = 3


if TYPE_CHECKING:
    from studbook.planning.best_pens.costs import WishCost
    from studbook.planning.best_pens.problem import Problem


@dataclass(frozen=True)
class HenReason:
    """Why a hen goes to her cock: what he is to her, and the other cock she could go to with the least loss.

    `loss` is how much worse the whole would be with him, as a share of the objective; `breaks` is true when a wish
    would be broken.
    """

    hen: BirdId
    cock: BirdId
    expected: float
    relationship: Relationship
    other: OtherCock | None = None
    other_relationship: Relationship | None = None
    loss: float = 0.0
    breaks: bool = False


@dataclass(frozen=True)
class FigureWords:
    """A figure of a plan: its title, the value, the value of the present pens, what it says, how it is found."""

    figure: Figure
    title: str
    value: Sentence
    before: Sentence
    text: tuple[Sentence, ...]
    method: Method

    @property
    def key(self) -> str:
        """A stable name of the figure."""
        return self.figure.name.lower()


def is_proven(plan: PensPlan) -> bool:
    """True when no better plan exists within the wishes."""
    return bool(plan.pens) and (plan.proof is Proof.OPTIMAL or plan.gap < _PROVEN)


def _has_bound(plan: PensPlan) -> bool:
    """False for pens a keeper put together and kept: nothing was proven of them."""
    return plan.bound > 0 or plan.objective <= 0


def proof_words(plan: PensPlan) -> Sentence:
    """How sure it is that no better plan exists."""
    if plan.proof is Proof.IMPOSSIBLE:
        return (_("No pens meet all these wishes."),)
    if not plan.pens:
        return (_("No pens were found before the search ended: ask for less, or let it search longer."),)
    if not _has_bound(plan):
        return (_("Nothing is proven of these pens: plan again to see how much better others may be."),)
    if is_proven(plan):
        return (_("No better plan exists within these wishes: it is proven."),)
    gap = SharePart(plan.gap)
    if plan.proof is Proof.STOPPED:
        text = _("You stopped the search: a plan at most {gap} better may exist.")
    else:
        text = _("A plan at most {gap} better may exist: the search ended before the proof.")
    return compose(text, gap=gap)


def summary(plan: PensPlan) -> Sentence:
    """How many pens and hens."""
    hens = sum(len(pen.hens) for pen in plan.pens)
    pens = plural("{count} pen", "{count} pens", len(plan.pens)).format(count=len(plan.pens))
    with_hens = plural("{count} hen", "{count} hens", hens).format(count=hens)
    return (_("{pens} with {hens}.").format(pens=pens, hens=with_hens),)


def reserve_told(
    plan: PensPlan, wishes: Wishes, snapshot: Snapshot, marked: Sequence[BirdId]
) -> tuple[Sentence, ...]:
    """Who is kept in reserve, and where: by the plan, and by the keeper's own mark."""
    from studbook.planning.best_pens.wording import reserve_sentences

    called = {pen.id: pen.name for pen in snapshot.husbandry.pens.values()}
    said = reserve_sentences(plan, wishes, called)
    if not marked:
        return said
    return (*said, compose(_("Marked as reserve: {birds}."), birds=listed(marked)))


def against_present(
    worth: Worth, present: Worth | None, *, is_planned: bool, is_same: bool = False
) -> tuple[Sentence, ...]:
    """Why the plan beats the keeper's pens, in numbers; or that it is them, or that there are none."""
    if is_same and is_planned:
        return ((_("They are the pens as you have planned them already."),),)
    if is_same:
        return ((_("They are the pens as they stand already."),),)
    if present is None:
        return ((_("The book has no breeding pens now to compare it with."),),)
    text = (
        _(
            "Your pens as they are planned now would give chicks with a mean F of {f} and a kinship of the next "
            "generation of {kinship}; these give {new_f} and {new_kinship}."
        )
        if is_planned
        else _(
            "Your pens as they stand would give chicks with a mean F of {f} and a kinship of the next "
            "generation of {kinship}; these give {new_f} and {new_kinship}."
        )
    )
    numbers = compose(
        text,
        f=SharePart(present.inbreeding, decimals=2),
        kinship=SharePart(present.kinship, decimals=2),
        new_f=SharePart(worth.inbreeding, decimals=2),
        new_kinship=SharePart(worth.kinship, decimals=2),
    )
    return (numbers, (_verdict(worth, present),))


def _verdict(worth: Worth, present: Worth) -> str:
    closer = worth.inbreeding - present.inbreeding
    narrower = worth.kinship - present.kinship
    if abs(closer) < _CLEAR and abs(narrower) < _CLEAR:
        return _("Both do equally well.")
    if closer < _CLEAR and narrower < _CLEAR:
        return _("These avoid close mating at least as well, and keep the lines at least as well.")
    if closer > -_CLEAR and narrower > -_CLEAR:
        return _("Your own pens do better by these figures; they may break one of the wishes.")
    if closer > 0:
        return _("The chicks would be a little closer bred now, and the lines better kept for later.")
    return _("Close mating is avoided better now; the lines are kept a little less well for later.")


def hen_words(reason: HenReason) -> tuple[Sentence, ...]:
    """Why a hen goes to her cock, and what her next best would be."""
    said = [
        compose(
            _("{hen} goes to {cock}, with {share}: he is {relation}."),
            hen=BirdPart(reason.hen),
            cock=BirdPart(reason.cock),
            share=SharePart(reason.expected, (reason.cock, reason.hen)),
            relation=relation_phrase(reason.relationship),
        )
    ]
    if reason.other is None or reason.other_relationship is None:
        return tuple(said)
    share = SharePart(reason.other.expected, (reason.other.cock, reason.hen))
    parts: dict[str, Part] = {
        "cock": BirdPart(reason.other.cock),
        "share": share,
        "relation": relation_phrase(reason.other_relationship),
    }
    if reason.loss > _SHOWN:
        text = _("Next {cock} with {share}, {relation}: the whole would be {loss} worse.")
        if reason.other.expected < reason.expected - _CLEAR:
            text = _(
                "{cock} would give her chicks less, {share}, but the whole would be {loss} worse: "
                "he is {relation}."
            )
    elif reason.breaks:
        text = _("Next {cock} with {share}, {relation}: a wish would be broken.")
    elif reason.loss < -_SHOWN:
        text = _("{cock} would suit the whole better, by {loss}: {share}, {relation}.")
    else:
        text = _("Next {cock} with {share}, {relation}: no worse for the whole.")
    said.append(compose(text, loss=SharePart(abs(reason.loss), decimals=2), **parts))
    return tuple(said)


def caution_words(pens: Sequence[BestPen], expected: dict[tuple[BirdId, BirdId], float]) -> Sentence:
    """The caution on close mating where a pair is close; empty where none is."""
    close = [hen for pen in pens for hen in pen.hens if expected[pen.cock, hen] > CLOSE - SAME]
    if not close:
        return ()
    if len(close) > _NAMED:
        text = _(
            "{count} of {hens} matings are close: they lower hatch and vigour and bring hidden faults to light. Some "
            "places forbid the closest: local rules and a vet decide."
        )
        return (text.format(count=len(close), hens=sum(len(pen.hens) for pen in pens)),)
    text = plural(
        "The mating of {hens} is close: it lowers hatch and vigour and brings hidden faults to light. Some "
        "places forbid the closest: local rules and a vet decide.",
        "The matings of {hens} are close: they lower hatch and vigour and bring hidden faults to light. Some "
        "places forbid the closest: local rules and a vet decide.",
        len(close),
    )
    return compose(text, hens=listed(close))


def cost_words(worth: Worth | None, best: PensPlan) -> tuple[Sentence, ...]:
    """What pens made by hand cost against the best."""
    if worth is None:
        return ((_("No cock is with a hen: nothing would hatch."),),)
    loss = worth.objective / best.objective - 1 if best.objective > 0 else 0.0
    if abs(loss) < _PROVEN:
        return ((_("These pens: as good as the best plan."),),)
    text = (
        _("These pens: {loss} worse than the best plan.")
        if loss > 0
        else _("These pens: {loss} better than the best plan, which keeps to every wish.")
    )
    figures = _(
        "F of the chicks {f} against {best_f}, kinship of the next generation {kinship} against {best_kinship}."
    )
    return (
        compose(text, loss=SharePart(abs(loss), decimals=2)),
        compose(
            figures,
            f=SharePart(worth.inbreeding, decimals=2),
            best_f=SharePart(best.inbreeding, decimals=2),
            kinship=SharePart(worth.kinship, decimals=2),
            best_kinship=SharePart(best.kinship, decimals=2),
        ),
    )


def broken_words(broken: Broken, snapshot: Snapshot) -> Sentence:
    """One wish that is not kept; it forbids nothing."""
    birds = broken.birds
    match broken.breach:
        case Breach.LIMIT:
            return compose(
                _("{cock} with {hen}: F of the chicks {share}, over the limit of {limit}."),
                cock=BirdPart(birds[0]),
                hen=BirdPart(birds[1]),
                share=SharePart(broken.found, (birds[0], birds[1])),
                limit=SharePart(broken.wished, decimals=2),
            )
        case Breach.BANNED:
            return compose(
                _("{cock} with {hen}: noted in the book as a pair you do not want."),
                cock=BirdPart(birds[0]),
                hen=BirdPart(birds[1]),
            )
        case Breach.NEVER:
            return compose(_("{birds} should not be together."), birds=listed(birds))
        case Breach.TOGETHER:
            return compose(_("{birds} should be together."), birds=listed(birds))
        case Breach.TOO_MANY_HENS:
            text = _("{cock} has {found} hens, more than the {wished} you wished for.")
        case Breach.TOO_FEW_HENS:
            text = _("{cock} has {found} hens, fewer than the {wished} you wished for: few hens wear.")
        case Breach.PLACE_FULL:
            text = _("{cock} has {found} hens, and his pen takes {wished}.")
        case Breach.SHARE:
            text = _("{cock} would give {share} of the next generation, more than the {most} you wished for.")
            return compose(
                text,
                cock=BirdPart(birds[0]),
                share=SharePart(broken.found),
                most=SharePart(broken.wished),
            )
        case Breach.NOT_PLACED:
            text = plural("{birds} has no pen yet.", "{birds} have no pen yet.", len(birds))
            return compose(text, birds=listed(birds))
    return compose(
        text,
        cock=BirdPart(birds[0]),
        found=f"{broken.found:.0f}",
        wished=f"{broken.wished:.0f}",
    )


def figure_words(
    worth: Worth, present: Worth | None, plan: PensPlan, weight: float
) -> tuple[FigureWords, ...]:
    """The figures of a plan, each with what it means."""

    def share(value: float | None) -> Sentence:
        return (SharePart(value, decimals=2),) if value is not None else ()

    before = present
    return (
        FigureWords(
            Figure.INBREEDING,
            _("Mean F of the chicks"),
            share(worth.inbreeding),
            share(before.inbreeding if before else None),
            (
                compose(
                    _(
                        "Of the two genes a chick has at one place, {share} would come from one gene of an ancestor."
                    ),
                    share=SharePart(worth.inbreeding, decimals=2),
                ),
            ),
            method(Figure.INBREEDING),
        ),
        FigureWords(
            Figure.KINSHIP,
            _("Kinship of the next generation"),
            share(worth.kinship),
            share(before.kinship if before else None),
            (
                compose(
                    _("Two chicks of this season, taken at random, would have {share} of kinship."),
                    share=SharePart(worth.kinship, decimals=2),
                ),
            ),
            method(Figure.KINSHIP),
        ),
        FigureWords(
            Figure.GENE_DIVERSITY,
            _("Gene diversity"),
            share(worth.gene_diversity),
            share(before.gene_diversity if before else None),
            (
                compose(
                    _("The chicks together would keep {share} of the founders' variety."),
                    share=SharePart(worth.gene_diversity, decimals=2),
                ),
            ),
            method(Figure.GENE_DIVERSITY),
        ),
        FigureWords(
            Figure.PROOF,
            _("Proven"),
            _proof_value(plan),
            (),
            (
                proof_words(plan),
                compose(
                    _(
                        "Made as small as can be: {weight} of the mean F of the chicks and {rest} of the kinship of "
                        "the next generation, together {objective}; no plan can have less than {bound}."
                    ),
                    weight=SharePart(weight, decimals=0),
                    rest=SharePart(1 - weight, decimals=0),
                    objective=SharePart(plan.objective, decimals=3),
                    bound=SharePart(plan.bound, decimals=3),
                ),
                (method(Figure.OBJECTIVE).text,),
            ),
            method(Figure.PROOF),
        ),
    )


def _proof_value(plan: PensPlan) -> Sentence:
    if is_proven(plan):
        return (_("best"),)
    if not _has_bound(plan):
        return (_("not proven"),)
    return compose(_("within {gap}"), gap=SharePart(plan.gap))


def present_words(
    pens: Sequence[Company], snapshot: Snapshot, worth: Worth | None, *, is_planned: bool
) -> tuple[Sentence, ...]:
    """The breeding pens there are, one sentence each, and what they would do together."""
    if not pens:
        return ()
    head = _("Your pens as they are planned now:") if is_planned else _("Your pens as they stand now:")
    said: list[Sentence] = [(head,)]
    for pen in pens:
        text = _("{place}: {cocks} with {hens}.")
        place = pen_name(snapshot.husbandry, pen.place)
        said.append(compose(text, place=place, cocks=listed(pen.cocks), hens=listed(pen.hens)))
    if worth is not None:
        text = _(
            "They would give chicks with a mean F of {f} and a kinship of the next generation of {kinship}: "
            "a gene diversity of {diversity}."
        )
        said.append(
            compose(
                text,
                f=SharePart(worth.inbreeding, decimals=2),
                kinship=SharePart(worth.kinship, decimals=2),
                diversity=SharePart(worth.gene_diversity, decimals=2),
            )
        )
    return tuple(said)


def costs_words(costs: Sequence[WishCost], best: PensPlan, problem: Problem) -> tuple[Sentence, ...]:
    """What each wish costs, the dearest first; those that cost nothing together."""
    from studbook.planning.best_pens.wording import wish_phrase

    said: list[Sentence] = []
    free: list[Sentence] = []
    for cost in costs:
        phrase = wish_phrase(cost.wish, problem)
        gain = cost.objective / best.objective if best.objective > 0 else 0.0
        if gain < _PROVEN:
            free.append(phrase)
            continue
        text = (
            _(
                "Without the wish “{wish}”: {gain} better, F of the chicks {f}, kinship of the next "
                "generation {kinship}."
            )
            if cost.is_proven
            else _(
                "Without the wish “{wish}”: at least {gain} better, F of the chicks {f}, kinship of the next "
                "generation {kinship}."
            )
        )
        said.append(
            compose(
                text,
                wish=phrase,
                gain=SharePart(gain, decimals=2),
                f=SharePart(best.inbreeding - cost.inbreeding, decimals=2),
                kinship=SharePart(best.kinship - cost.kinship, decimals=2),
            )
        )
    if free:
        row = free[0]
        for phrase in free[1:]:
            row = compose(_("{row}; {wish}"), row=row, wish=phrase)
        said.append(compose(_("These cost nothing: {wishes}."), wishes=row))
    return tuple(said)


def variant_words(other: PensPlan, best: PensPlan) -> tuple[Sentence, Sentence]:
    """A plan that is nearly as good, shortly, and its figures against the best."""
    loss = other.objective / best.objective - 1 if best.objective > 0 else 0.0
    short = (
        compose(_("{loss} worse"), loss=SharePart(loss, decimals=2)) if loss > _PROVEN else (_("as good"),)
    )
    text = _("{cocks}: F of the chicks {f}, kinship of the next generation {kinship}")
    figures = compose(
        text,
        cocks=listed([pen.cock for pen in other.pens]),
        f=SharePart(other.inbreeding, decimals=2),
        kinship=SharePart(other.kinship, decimals=2),
    )
    return short, figures


def moves_words(found: MovesOfPlan, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """What making the moves would do, before they are made."""
    year = snapshot.husbandry
    said: list[Sentence] = []
    count = len(found.moves)
    text = plural("{count} move is planned.", "{count} moves are planned.", count)
    said.append((text.format(count=count),))
    if found.there:
        text = plural(
            "{birds} is there already, or has that move planned.",
            "{birds} are there already, or have that move planned.",
            len(found.there),
        )
        said.append(compose(text, birds=listed(found.there)))
    if found.replaced:
        text = plural(
            "{count} planned move that leads elsewhere is taken back: {birds}.",
            "{count} planned moves that lead elsewhere are taken back: {birds}.",
            len(found.replaced),
        )
        birds = listed(tuple(dict.fromkeys(move.bird for move in found.replaced)))
        said.append(compose(text, count=str(len(found.replaced)), birds=birds))
    by_pen: dict[PenId, list[BirdId]] = {}
    for stranger in found.strangers:
        by_pen.setdefault(stranger.pen, []).append(stranger.bird)
    for pen, birds_in in by_pen.items():
        text = plural(
            "In {pen} and not of the plan: {birds}.", "In {pen} and not of the plan: {birds}.", len(birds_in)
        )
        said.append(compose(text, pen=pen_name(year, pen), birds=listed(birds_in)))
    if found.homeless:
        text = plural(
            "The pen of {cocks} has no place yet: nothing is planned for it.",
            "The pens of {cocks} have no place yet: nothing is planned for them.",
            len(found.homeless),
        )
        said.append(compose(text, cocks=listed(found.homeless)))
    return tuple(said)
