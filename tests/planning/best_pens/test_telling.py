"""What is said of planned pens, as a keeper reads it."""

import math
from dataclasses import replace

import pytest

from studbook.book.ids import BirdId
from studbook.book.records import Snapshot
from studbook.book.relatedness import Relatedness
from studbook.planning.best_pens.by_hand import Breach, Broken, Kin, OtherCock, Worth, worth_of
from studbook.planning.best_pens.methods import Figure
from studbook.planning.best_pens.moves import moves_of_plan
from studbook.planning.best_pens.present import Company, present_pens
from studbook.planning.best_pens.telling import (
    HenReason,
    against_present,
    broken_words,
    caution_words,
    cost_words,
    figure_words,
    hen_words,
    moves_words,
    present_words,
    proof_words,
    summary,
)
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Proof, Wishes
from studbook.planning.sentences import Sentence, plain
from tests.planning.best_pens.test_moves import DAY
from tests.planning.best_pens.yard import LANE, ORCHARD, move, yard
from tests.planning.flock import TODAY, flock

TAMAR, DART, WYE = map(BirdId, ("Tamar", "Dart", "Wye"))
HAZEL, BRYONY, ELDER = map(BirdId, ("Hazel", "Bryony", "Elder"))
PENS = (BestPen(DART, (HAZEL, ELDER), 0.0, LANE), BestPen(TAMAR, (BRYONY,), 0.125, ORCHARD))


def said(sentence: Sentence, snapshot: Snapshot | None = None) -> str:
    held = snapshot or flock()
    return plain(sentence, lambda bird: held.bird(bird).name, lambda number, places: f"{number:.{places}f}")


def plan(proof: Proof = Proof.OPTIMAL, bound: float = 0.1, objective: float = 0.1) -> PensPlan:
    return PensPlan(PENS, 0.05, 0.15, objective, bound, proof)


def worth(inbreeding: float, kinship: float) -> Worth:
    return Worth(inbreeding, kinship, (inbreeding + kinship) / 2, {})


def kin() -> Kin:
    birds = (TAMAR, DART, WYE, HAZEL, BRYONY, ELDER)
    figures = Relatedness(flock()).kinship(birds, birds).tolist()
    return {
        (one, other): figures[row][column]
        for row, one in enumerate(birds)
        for column, other in enumerate(birds)
    }


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (plan(), "No better plan exists within these wishes: it is proven."),
        (
            plan(Proof.BEST_SO_FAR, bound=0.0994),
            "A plan at most 0.6 % better may exist: the search ended before the proof.",
        ),
        (plan(Proof.STOPPED, bound=0.09), "You stopped the search: a plan at most 10.0 % better may exist."),
        (plan(Proof.IMPOSSIBLE), "No pens meet all these wishes."),
        (
            replace(plan(Proof.BEST_SO_FAR), pens=(), objective=math.nan),
            "No pens were found before the search ended: ask for less, or let it search longer.",
        ),
        (
            plan(Proof.BEST_SO_FAR, bound=0.0),
            "Nothing is proven of these pens: plan again to see how much better others may be.",
        ),
    ],
)
def test_the_proof_is_said_in_words(found: PensPlan, words: str) -> None:
    assert said(proof_words(found)) == words


def test_pens_and_hens_are_counted() -> None:
    assert said(summary(plan())) == "2 pens with 3 hens."


@pytest.mark.parametrize(
    ("ours", "theirs", "verdict"),
    [
        ((0.05, 0.15), (0.1, 0.2), "These avoid close mating at least as well, and keep the lines at least as well."),
        ((0.1, 0.1), (0.05, 0.2), "The chicks would be a little closer bred now, and the lines better kept for later."),
        (
            (0.05, 0.2),
            (0.1, 0.1),
            "Close mating is avoided better now; the lines are kept a little less well for later.",
        ),
        ((0.1, 0.2), (0.05, 0.1), "Your own pens do better by these figures; they may break one of the wishes."),
        ((0.1, 0.2), (0.1, 0.2), "Both do equally well."),
    ],
)  # fmt: skip
def test_the_plan_stands_against_the_present_pens(
    ours: tuple[float, float], theirs: tuple[float, float], verdict: str
) -> None:
    numbers, last = against_present(worth(*ours), worth(*theirs), is_planned=False)
    assert said(last) == verdict
    assert f"a mean F of {theirs[0] * 100:.2f} %" in said(numbers)
    assert f"these give {ours[0] * 100:.2f} % and {ours[1] * 100:.2f} %" in said(numbers)


def test_the_keepers_own_pens_are_known_again() -> None:
    (only,) = against_present(worth(0.1, 0.2), worth(0.1, 0.2), is_planned=True, is_same=True)
    assert said(only) == "They are the pens as you have planned them already."


def reason(loss: float, *, breaks: bool = False) -> HenReason:
    asked = Relatedness(flock())
    return HenReason(
        BRYONY,
        DART,
        0.05,
        asked.relationship(BRYONY, DART),
        OtherCock(TAMAR, 0.125, 0.2),
        asked.relationship(BRYONY, TAMAR),
        loss,
        breaks,
    )


def test_a_hen_is_told_her_cock_and_the_next_best() -> None:
    first, second = hen_words(reason(0.0312))
    assert said(first) == (
        "Bryony goes to Dart, with 5.0 %: he is not related to her as far as the book knows."
    )
    assert said(second) == (
        "Next Tamar with 12.5 %, her half brother by the sire: the whole would be 3.12 % worse."
    )
    assert said(hen_words(reason(0.0))[1]).endswith("no worse for the whole.")
    assert said(hen_words(reason(-0.01, breaks=True))[1]).endswith("a wish would be broken.")
    assert said(hen_words(reason(-0.01))[1]).startswith("Tamar would suit the whole better, by 1.00 %")


def test_the_keepers_choice_costs_so_much_and_is_not_forbidden() -> None:
    best = plan(objective=0.1)
    first, second = cost_words(worth(0.06, 0.15), best)
    assert said(first) == "These pens: 5.00 % worse than the best plan."
    assert said(second) == (
        "F of the chicks 6.00 % against 5.00 %, kinship of the next generation 15.00 % against 15.00 %."
    )
    assert "better than the best plan, which keeps to every wish" in said(
        cost_words(worth(0.04, 0.1), best)[0]
    )
    assert said(cost_words(None, best)[0]) == "No cock is with a hen: nothing would hatch."


def test_close_matings_get_the_usual_caution() -> None:
    table = kin()
    pairs = {(pen.cock, hen): table[pen.cock, hen] for pen in PENS for hen in pen.hens}
    words = said(caution_words(PENS, pairs))
    assert words.startswith("The mating of Bryony is close: it lowers hatch and vigour")
    assert "local rules and a vet decide" in words
    assert caution_words(PENS[:1], pairs) == ()


def test_every_broken_wish_has_a_sentence() -> None:
    for breach in Breach:
        words = said(broken_words(Broken(breach, (DART, HAZEL), 3, 2), flock()))
        assert words.endswith(".")
        assert "Dart" in words


def test_every_figure_is_explained_with_its_source() -> None:
    table = kin()
    wishes = Wishes((DART, TAMAR), (HAZEL, BRYONY, ELDER), 2, 2)
    found = worth_of([Company((pen.cock,), pen.hens) for pen in PENS], table, wishes)
    assert found is not None
    words = figure_words(found, None, plan(), 0.5)
    assert [each.figure for each in words] == [
        Figure.INBREEDING,
        Figure.KINSHIP,
        Figure.GENE_DIVERSITY,
        Figure.PROOF,
    ]
    assert all(each.method.sources and each.text and each.value for each in words)
    assert said(words[1].value) == f"{found.kinship * 100:.2f} %"
    assert said(words[2].value) == f"{(1 - found.kinship) * 100:.2f} %"


def test_the_present_pens_are_told_pen_by_pen() -> None:
    snapshot = yard(move("Elder", LANE))
    pens = present_pens(snapshot, "chicken", TODAY)
    head, *lines = present_words(pens, snapshot, None, is_planned=True)
    assert said(head) == "Your pens as they are planned now:"
    assert [said(line, snapshot) for line in lines] == [
        "Orchard: Tamar with Hazel and Bryony.",
        "Lane: Dart with Elder.",
    ]


def test_the_moves_are_told_before_they_are_made() -> None:
    snapshot = yard(move("Elder", ORCHARD))
    words = [
        said(sentence, snapshot)
        for sentence in moves_words(moves_of_plan(snapshot, PENS, DAY, TODAY), snapshot)
    ]
    assert words == [
        "2 moves are planned.",
        "Dart, Tamar and Bryony are there already, or have that move planned.",
        "1 planned move that leads elsewhere is taken back: Elder.",
    ]
