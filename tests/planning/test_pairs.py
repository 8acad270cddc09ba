"""Advice on pairs, on a flock whose answers are known by hand.

Expected F of the closest matings (25 % for full sibs, 12.5 % for half sibs) as in every textbook since
Wright 1922, American Naturalist 56:330-338.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.book.husbandry.choosing_rows import Ban
from studbook.book.husbandry.rows import Apart, Decision, Husbandry, Trial
from studbook.book.ids import ApartId, BanId, TrialId
from studbook.book.records import BirdId, Sex, Snapshot
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.candidates import candidates
from studbook.planning.limits import Rules
from studbook.planning.pairs import Advice, Caution, HenAdvice, PairStudy, advise, expect, rank, study
from studbook.planning.sentences import Sentence, plain
from studbook.planning.wording import (
    effect_sentences,
    explanation_sentences,
    hen_words,
    pair_sentences,
    standing_remarks,
    summary,
)
from studbook.season.practice import ApartReason
from tests.planning.flock import TODAY, bird, flock


def advice_on(snapshot: Snapshot, unknown: Unknown = Unknown.UNRELATED, limit: float = 0.0625) -> Advice:
    chosen = candidates(snapshot, TODAY)
    relatedness = Relatedness(snapshot, unknown)
    matrix = expect(snapshot, relatedness, chosen.cocks, chosen.hens, Rules(limit))
    return advise(snapshot, relatedness, matrix, TODAY)


def hen_of(advice: Advice, name: str) -> HenAdvice:
    return next(found for found in advice.by_hen if found.hen == name)


def study_of(snapshot: Snapshot, cock: str, hen: str, unknown: Unknown = Unknown.UNRELATED) -> PairStudy:
    ways = Relatedness(snapshot), Relatedness(snapshot, Unknown.FLOCK)
    return study(snapshot, *ways, unknown, BirdId(cock), BirdId(hen), TODAY)


def said(sentences: tuple[Sentence, ...]) -> str:
    return " ".join(
        plain(sentence, str, lambda number, decimals: f"{number:.{decimals}f}") for sentence in sentences
    )


def test_the_matrix_holds_the_expected_inbreeding_of_every_pair() -> None:
    matrix = advice_on(flock()).matrix
    figures = {
        (cock, hen): matrix.expected[row, place]
        for row, cock in enumerate(matrix.cocks)
        for place, hen in enumerate(matrix.hens)
    }
    assert figures["Tamar", "Hazel"] == pytest.approx(0.25)
    assert figures["Tamar", "Bryony"] == pytest.approx(0.125)
    assert figures["Tamar", "Elder"] == pytest.approx(0.25)
    assert figures["Dart", "Hazel"] == 0


def test_of_equal_cocks_the_one_less_related_to_the_flock_comes_first() -> None:
    snapshot = flock(bird("Burdock", Sex.HEN, "2024-04-02", "W24-03", "Wye", "Sloe"))
    bryony = hen_of(advice_on(snapshot), "Hazel")
    assert [prospect.cock for prospect in bryony.prospects] == ["Dart", "Wye", "Tamar"]
    assert bryony.prospects[0].flock_kinship < bryony.prospects[1].flock_kinship
    assert bryony.within == 2


def test_cautiously_a_cock_of_unknown_parents_is_not_new_blood() -> None:
    by_convention = hen_of(advice_on(flock()), "Hazel")
    cautious = hen_of(advice_on(flock(), Unknown.FLOCK), "Hazel")
    wye = {prospect.cock: prospect.expected for prospect in by_convention.prospects}["Wye"]
    wye_cautious = {prospect.cock: prospect.expected for prospect in cautious.prospects}["Wye"]
    assert wye == 0
    assert wye_cautious > 0.01
    assert cautious.prospects[0].cock == "Dart"


def test_sentences_name_the_best_cock_and_how_he_is_related() -> None:
    snapshot = flock()
    words = hen_words(hen_of(advice_on(snapshot), "Bryony"), 0.0625, snapshot)
    best = "Dart suits her best, with 0.0 %: he is not related to her as far as the book knows."
    assert said(words.best[:1]) == best
    assert said(words.remarks) == "He is a founder: nothing is known of his ancestors."
    assert "Then Tamar with 12.5 %: her half brother by the sire." in said(words.others)


def test_a_hen_without_a_cock_within_the_limit_is_told_so() -> None:
    snapshot = flock()
    chosen = candidates(snapshot, TODAY)
    relatedness = Relatedness(snapshot)
    matrix = expect(snapshot, relatedness, [BirdId("Tamar")], chosen.hens, Rules(0.0625))
    advice = advise(snapshot, relatedness, matrix, TODAY)
    assert set(advice.hens_without) == {"Hazel", "Bryony", "Elder"}
    assert said((summary(advice),)) == "No pair stays within 6.25 %."
    words = hen_words(hen_of(advice, "Hazel"), 0.0625, snapshot)
    told = (
        "No cock here stays within 6.25 % for her. The least is 25.0 %, with Tamar: he is her full brother."
    )
    assert said(words.best) == told
    assert "lowers hatch and vigour" in said(words.remarks)
    assert "local rules and a vet decide" in said(words.remarks)


def test_exactly_at_the_limit_is_not_over_it() -> None:
    advice = advice_on(flock(), limit=0.125)
    assert Caution.OVER_LIMIT not in hen_of(advice, "Bryony").prospects[-1].cautions
    assert hen_of(advice, "Bryony").within == 3


@pytest.mark.parametrize(
    ("cock", "hen", "caution"),
    [
        ("Tamar", "Elder", Caution.PARENT),
        ("Lune", "Hazel", Caution.PARENT),
        ("Tamar", "Hazel", Caution.FULL_SIBS),
        ("Tamar", "Bryony", Caution.CLOSE),
        ("Lune", "Elder", Caution.COCK_TOO_YOUNG),
        ("Tamar", "Tamar", Caution.SAME_BIRD),
    ],
)
def test_what_speaks_against_a_pair(cock: str, hen: str, caution: Caution) -> None:
    assert caution in study_of(flock(), cock, hen).prospect.cautions


def test_a_young_cock_is_named_with_the_age_of_fertility() -> None:
    snapshot = flock()
    text = said(pair_sentences(study_of(snapshot, "Lune", "Bryony"), Rules(0.0625), snapshot, TODAY))
    assert "Lune is too young now: fertile from about 15 weeks." in text


def test_a_low_figure_with_little_pedigree_behind_it_is_called_so() -> None:
    snapshot = flock()
    text = said(pair_sentences(study_of(snapshot, "Dart", "Elder"), Rules(0.0625), snapshot, TODAY))
    assert "He is a founder" in text
    text = said(pair_sentences(study_of(snapshot, "Wye", "Bryony"), Rules(0.0625), snapshot, TODAY))
    assert "Of his ancestors the book knows nothing" in text


@pytest.mark.parametrize("unknown", list(Unknown))
@pytest.mark.parametrize(
    ("cock", "hen"), [("Tamar", "Hazel"), ("Wye", "Elder"), ("Lune", "Elder"), ("Dart", "Hazel")]
)
def test_contributions_add_up_to_the_figure(unknown: Unknown, cock: str, hen: str) -> None:
    found = study_of(flock(), cock, hen, unknown)
    total = sum(ancestor.contribution for ancestor in found.explanation.ancestors)
    shown = found.cautious if unknown is Unknown.FLOCK else found.by_convention
    assert total == pytest.approx(shown, abs=1e-12)
    assert found.prospect.expected == pytest.approx(shown, abs=1e-12)


def test_the_explanation_names_ancestors_and_paths() -> None:
    snapshot = flock()
    blocks = explanation_sentences(study_of(snapshot, "Tamar", "Bryony"), snapshot)
    assert said(blocks[0]) == "Severn contributes 12.50 %, by 1 path: Tamar ← Severn → Bryony"
    assert said(blocks[-1]) == "Together 12.50 %: F of their chicks."


def test_unrelated_birds_share_no_ancestor() -> None:
    snapshot = flock()
    blocks = explanation_sentences(study_of(snapshot, "Dart", "Hazel"), snapshot)
    assert said(blocks[0]) == "The book knows no ancestor they share."


def test_without_cocks_there_is_no_advice_but_no_error() -> None:
    snapshot = flock()
    relatedness = Relatedness(snapshot)
    matrix = expect(snapshot, relatedness, [], [BirdId("Hazel")])
    assert advise(snapshot, relatedness, matrix, TODAY).by_hen == (HenAdvice(BirdId("Hazel"), 0, 0),)
    assert expect(snapshot, relatedness, [BirdId("Dart")], []).expected.shape == (1, 0)


def test_of_many_hens_the_first_get_cocks_and_all_are_counted() -> None:
    snapshot = flock()
    relatedness = Relatedness(snapshot)
    matrix = expect(snapshot, relatedness, [BirdId("Dart")], [BirdId("Hazel"), BirdId("Bryony")])
    advice = advise(snapshot, relatedness, matrix, TODAY, most=1)
    assert [len(hen.prospects) for hen in advice.by_hen] == [1, 0]
    assert [hen.within for hen in advice.by_hen] == [1, 1]
    assert advice.hens_without == ()


def with_year(snapshot: Snapshot, *rows: Ban | Apart | Trial) -> Snapshot:
    """The flock with rows of the year."""
    kinds = (("bans", Ban), ("aparts", Apart), ("trials", Trial))
    year = {name: {row.id: row for row in rows if isinstance(row, kind)} for name, kind in kinds}
    return replace(snapshot, husbandry=Husbandry(**year))  # type: ignore[arg-type]


def ban(cock: str, hen: str, reason: str = "") -> Ban:
    return Ban(BanId(f"{cock} {hen}"), BirdId(cock), BirdId(hen), TODAY, reason)


def test_a_banned_cock_comes_last_and_is_said_to_be_banned() -> None:
    snapshot = with_year(flock(), ban("Dart", "Hazel", "both have a wry tail"))
    hazel = hen_of(advice_on(snapshot), "Hazel")
    assert [prospect.cock for prospect in hazel.prospects][-1] == "Dart"
    assert (hazel.within, hazel.free) == (2, 1)
    text = said(pair_sentences(study_of(snapshot, "Dart", "Hazel"), Rules(0.0625), snapshot, TODAY))
    assert "You do not want this pair: both have a wry tail." in text


def test_a_hen_whose_only_cocks_are_not_wanted_is_named() -> None:
    snapshot = with_year(flock(), ban("Dart", "Hazel"), ban("Wye", "Hazel"))
    told = (
        "No cock is left for Hazel: each pair is over 6.25 %, shares a parent or is one you do not want. "
        "For every other hen there is one."
    )
    assert said((summary(advice_on(snapshot)),)) == told


def test_a_cock_is_untested_until_a_chick_or_a_trial_speaks_for_him() -> None:
    assert Caution.COCK_UNTESTED in study_of(flock(), "Dart", "Hazel").prospect.cautions
    assert Caution.COCK_UNTESTED not in study_of(flock(), "Tamar", "Hazel").prospect.cautions
    trial = Trial(TrialId("trial"), BirdId("Dart"), TODAY, TODAY, decision=Decision.KEEP, decided=TODAY)
    tested = with_year(flock(), trial)
    assert Caution.COCK_UNTESTED not in study_of(tested, "Dart", "Hazel").prospect.cautions
    again = with_year(flock(), replace(trial, decision=Decision.AGAIN))
    assert Caution.COCK_UNTESTED in study_of(again, "Dart", "Hazel").prospect.cautions


def test_a_bird_apart_is_said_with_the_reason_unless_for_its_own_trial() -> None:
    apart = Apart(ApartId("apart"), BirdId("Hazel"), ApartReason.HURT, TODAY)
    snapshot = with_year(flock(), apart)
    found = study_of(snapshot, "Dart", "Hazel")
    assert Caution.HEN_APART in found.prospect.cautions
    text = said(pair_sentences(found, Rules(), snapshot, TODAY))
    assert "Hazel is set apart now (hurt)." in text
    for over in (replace(apart, reason=ApartReason.TRIAL), replace(apart, until=TODAY)):
        again = study_of(with_year(flock(), over), "Dart", "Hazel")
        assert Caution.HEN_APART not in again.prospect.cautions


def test_what_speaks_against_single_birds_is_said_once_and_not_hen_by_hen() -> None:
    snapshot = with_year(flock(), Apart(ApartId("apart"), BirdId("Bryony"), ApartReason.ILL, TODAY))
    advice = advice_on(snapshot)
    remarks = said(standing_remarks(advice, snapshot, TODAY))
    assert "Not tested yet: Dart and Wye." in remarks
    assert "Apart now: Bryony." in remarks
    by_hen = " ".join(said(hen_words(hen, 0.0625, snapshot).remarks) for hen in advice.by_hen)
    assert "tested" not in by_hen
    assert "apart" not in by_hen


def test_recent_and_old_parts_and_the_effect_on_diversity_are_told() -> None:
    text = said(effect_sentences(study_of(flock(), "Tamar", "Hazel")))
    assert text.startswith(
        "Of F by convention 25.00 % is recent, from ancestors within 3 generations, and 0.00 % is old."
    )
    assert "One kept chick takes the gene diversity of the flock down from" in text
    assert "up from" in said(effect_sentences(study_of(flock(), "Dart", "Bryony")))


@given(st.integers(1, 6), st.integers(1, 5), st.data())
def test_ranking_is_sorting_by_figure_then_kinship_then_place(
    cocks: int, hens: int, data: st.DataObject
) -> None:
    few = st.sampled_from([0.0, 0.125, 0.25])
    figures = np.array([[data.draw(few) for _hen in range(hens)] for _cock in range(cocks)])
    kinship = np.array([data.draw(few) for _cock in range(cocks)])
    found = rank(figures, kinship, 3)
    for hen in range(hens):
        slow = sorted(range(cocks), key=lambda cock: (figures[cock, hen], kinship[cock], cock))[:3]
        assert found[:, hen].tolist() == slow
