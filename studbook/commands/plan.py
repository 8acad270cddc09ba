"""``studbook plan``: which cock gets which hens next season, proven to be the best or with the gap shown."""

import argparse
import math
import sys
from collections.abc import Sequence

from studbook.book.records import BirdId, Sex, Snapshot
from studbook.book.relatedness import Relatedness, Unknown
from studbook.book.wording import figure, per_cent
from studbook.commands.command import (
    DONE,
    PROBLEMS,
    Command,
    WrongCall,
    add_book,
    add_json,
    add_unknown,
    opened,
    print_json,
)
from studbook.commands.kinship import chosen
from studbook.planning.best_pens.collisions import collisions
from studbook.planning.best_pens.problem import Problem, problem_of
from studbook.planning.best_pens.solving import SECONDS, best_pens
from studbook.planning.best_pens.telling import proof_words
from studbook.planning.best_pens.wishes import WEIGHT, PensPlan, Proof, Wishes
from studbook.planning.best_pens.wording import (
    ban_sentence,
    collision_sentences,
    reserve_sentences,
)
from studbook.planning.candidates import candidates
from studbook.planning.sentences import Sentence, plain
from studbook.words import _, later, plural


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument("--pens", metavar="N", type=count, required=True, help=_("at most so many pens"))
    parser.add_argument(
        "--hens-per-cock", metavar="M", type=count, required=True, help=_("at most so many hens for a cock")
    )
    parser.add_argument(
        "--cocks", metavar="A,B", help=_("the cocks to choose among; by default all that may breed")
    )
    parser.add_argument(
        "--hens", metavar="C,D", help=_("the hens, every one is placed; by default all that may breed")
    )
    parser.add_argument(
        "--max-f", metavar="X", type=share, help=_("no pair whose chicks would have a higher F (0.0625)")
    )
    parser.add_argument(
        "--weight",
        metavar="W",
        type=share,
        default=WEIGHT,
        help=_("from 0, keep the lines for later, to 1, avoid close mating now (0.5)"),
    )
    parser.add_argument(
        "--reserve",
        metavar="N",
        type=count,
        default=0,
        help=_("keep so many cocks in reserve, for the lines that the pens hold least of"),
    )
    parser.add_argument(
        "--seconds",
        metavar="S",
        type=seconds,
        default=SECONDS,
        help=_("give the best so far after so long (30)"),
    )
    add_unknown(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        snapshot, today = book.snapshot(), book.today
    usual = candidates(snapshot, today)
    cocks = _named(snapshot, arguments.cocks, Sex.COCK, usual.cocks)
    hens = _named(snapshot, arguments.hens, Sex.HEN, usual.hens)
    if set(cocks) & set(hens):
        raise WrongCall(
            _("A bird is named both among the cocks and among the hens: name it with one option.")
        )
    unknown = Unknown(arguments.unknown)
    wishes = Wishes(
        cocks,
        hens,
        arguments.pens,
        arguments.hens_per_cock,
        limit=arguments.max_f,
        weight=arguments.weight,
        reserve_males=arguments.reserve,
        unknown=unknown,
    )
    problem = problem_of(snapshot, Relatedness(snapshot, unknown), wishes)
    plan = best_pens(problem, arguments.seconds)
    if not plan.pens:
        return _refuse(problem, plan, snapshot)
    if arguments.json:
        print_json(_document(plan, snapshot))
    else:
        _tell(problem, plan, snapshot)
    return DONE


def count(text: str) -> int:
    """A whole number of at least one."""
    try:
        number = int(text)
    except ValueError:
        number = 0
    if number < 1:
        raise argparse.ArgumentTypeError(_("{text} is not a number such as 3").format(text=text))
    return number


def share(text: str) -> float:
    """A share from 0 to 1."""
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not 0 <= number <= 1:
        raise argparse.ArgumentTypeError(
            _("{text} is not a share from 0 to 1, such as 0.125").format(text=text)
        )
    return number


def seconds(text: str) -> float:
    """A time above nothing."""
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not 0 < number < math.inf:
        raise argparse.ArgumentTypeError(_("{text} is not a number of seconds such as 30").format(text=text))
    return number


def _named(snapshot: Snapshot, text: str | None, sex: Sex, usual: Sequence[BirdId]) -> tuple[BirdId, ...]:
    """The birds a text names, each once; without a text the usual ones."""
    if text is None:
        return tuple(usual)
    return tuple(dict.fromkeys(chosen(snapshot, text, sex)))


def _refuse(problem: Problem, plan: PensPlan, snapshot: Snapshot) -> int:
    if plan.proof is Proof.IMPOSSIBLE:
        found = collision_sentences(collisions(problem), problem)
    else:
        found = (proof_words(plan),)
    for sentence in found:
        print(_plain(sentence, snapshot), file=sys.stderr)
    return PROBLEMS


def _document(plan: PensPlan, snapshot: Snapshot) -> dict[str, object]:
    def called(bird: BirdId) -> str:
        return snapshot.bird(bird).called

    return {
        "pens": [
            {"cock": called(pen.cock), "hens": [*map(called, pen.hens)], "mean_inbreeding": pen.inbreeding}
            for pen in plan.pens
        ],
        "reserve": [*map(called, plan.reserve)],
        "mean_inbreeding": plan.inbreeding,
        "mean_kinship_next": plan.kinship,
        "objective": plan.objective,
        "bound": plan.bound,
        "gap": plan.gap,
        "status": plan.proof.value,
    }


def _tell(problem: Problem, plan: PensPlan, snapshot: Snapshot) -> None:
    for pen in plan.pens:
        text = plural(
            "{cock} with {count} hen, mean F {share}:",
            "{cock} with {count} hens, mean F {share}:",
            len(pen.hens),
        )
        cock = snapshot.bird(pen.cock).called
        print(text.format(cock=cock, count=len(pen.hens), share=per_cent(pen.inbreeding, 2)))
        print("    " + ", ".join(snapshot.bird(hen).called for hen in pen.hens))
    print()
    print(_("Mean F of the chicks: {share}").format(share=per_cent(plan.inbreeding, 2)))
    print(_("Mean kinship of the next generation: {share}").format(share=per_cent(plan.kinship, 2)))
    reserve = reserve_sentences(plan, problem.wishes, {})
    for sentence in (*reserve, proof_words(plan), *ban_sentence(problem)):
        print(_plain(sentence, snapshot))


def _plain(sentence: Sentence, snapshot: Snapshot) -> str:
    return plain(sentence, lambda bird: snapshot.bird(bird).called, figure)


COMMAND = Command("plan", later("the best pens: which cock gets which hens"), add_arguments, run)
