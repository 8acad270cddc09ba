"""The lines of who may breed, and what becomes of the flock without each bird, against their definitions."""

from dataclasses import replace
from datetime import date
from itertools import combinations

import numpy as np
import pytest

from studbook import places
from studbook.book.husbandry.choosing_rows import Choice, Verdict
from studbook.book.husbandry.rows import Husbandry
from studbook.book.ids import ChoiceId
from studbook.book.opening import SAMPLE_TODAY, open_book
from studbook.book.records import BirdId, Sex, Snapshot
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.bloodlines.measuring import bloodlines_report
from studbook.planning.bloodlines.report import Fate
from studbook.planning.breeders.best import Best, best_to_keep, wanted
from studbook.planning.breeders.lines import Line, Lines, usual_numbers
from studbook.planning.breeders.measuring import Known, breeder_lines, known
from studbook.planning.breeders.telling import (
    best_sentences,
    impossible_text,
    other_sentences,
    parting_sentences,
    sets_text,
    summary,
    told_of,
)
from studbook.planning.sentences import Sentence, plain
from tests.planning.flock import TODAY, bird, flock

SEASON = 2026


def choice(name: str, verdict: Verdict, season: int = SEASON, reason: str = "") -> Choice:
    return Choice(ChoiceId(f"{name} {season}"), BirdId(name), season, verdict, TODAY, reason)


def chosen(*choices: Choice) -> Snapshot:
    """The small flock with these decisions."""
    return replace(flock(), husbandry=Husbandry(choices={each.id: each for each in choices}))


def lines_of(snapshot: Snapshot, unknown: Unknown = Unknown.UNRELATED, today: date = TODAY) -> Lines:
    return breeder_lines(snapshot, known(snapshot), "chicken", SEASON, today, unknown)


def line_of(lines: Lines, name: str) -> Line:
    return next(line for line in lines.lines if line.bird.name == name)


def said(sentences: tuple[Sentence, ...], snapshot: Snapshot) -> str:
    return " ".join(
        plain(each, lambda of: snapshot.bird(of).name, lambda number, places: f"{number:.{places}f}")
        for each in sentences
    )


@pytest.fixture(scope="module")
def withybrook() -> Snapshot:
    with open_book(places.demo_flock(), read_only=True) as book:
        found = book.snapshot()
    # as it is before anything is decided
    return replace(found, husbandry=replace(found.husbandry, choices={}))


def test_every_living_adult_has_a_line_cocks_first() -> None:
    lines = lines_of(flock())
    assert [line.bird.name for line in lines.lines] == ["Dart", "Tamar", "Wye", "Hazel", "Bryony", "Elder"]
    assert all(line.is_grown for line in lines.lines)


def test_a_young_bird_old_enough_by_the_season_is_told_apart() -> None:
    autumn = bird("Teme", Sex.COCK, "2025-11-10", "W25-09", "Tamar", "Bryony")
    lines = lines_of(flock(autumn))
    young = line_of(lines, "Teme")
    assert not young.is_grown
    assert "young" in said(told_of(young, lines, flock(autumn), str).against, flock(autumn))


@pytest.mark.parametrize("unknown", list(Unknown))
def test_what_goes_with_a_bird_is_counted_again_from_the_whole_table(
    withybrook: Snapshot, unknown: Unknown
) -> None:
    """Gene diversity is 1 less the mean of the whole table (Ballou & Lacy 1995); c′Kc is taken from its definition."""
    lines = breeder_lines(withybrook, known(withybrook), "chicken", 2027, SAMPLE_TODAY, unknown)
    relatedness = Relatedness(withybrook, unknown)
    living = [each.id for each in withybrook.living if each.species == "chicken"]
    table = relatedness.kinship(living, living)
    assert lines.flock.gene_diversity == pytest.approx(1 - table.mean(), abs=1e-12)
    cocks = [line.bird.id for line in lines.lines if line.is_cock]
    hens = [line.bird.id for line in lines.lines if not line.is_cock]

    def next_generation(some_cocks: list[BirdId], some_hens: list[BirdId]) -> tuple[float, float]:
        birds = [*some_cocks, *some_hens]
        c = np.array([0.5 / len(some_cocks)] * len(some_cocks) + [0.5 / len(some_hens)] * len(some_hens))
        return (
            float(relatedness.kinship(some_cocks, some_hens).mean()),
            float(c @ relatedness.kinship(birds, birds) @ c),
        )

    assert (lines.flock.expected, lines.flock.kinship) == pytest.approx(
        next_generation(cocks, hens), abs=1e-12
    )
    for line in lines.lines:
        gone = line.bird.id
        keep = [place for place, each in enumerate(living) if each != gone]
        rest = 1 - table[np.ix_(keep, keep)].mean()
        assert line.parting.gene_diversity == pytest.approx(rest, abs=1e-12)
        left = next_generation(
            [each for each in cocks if each != gone], [each for each in hens if each != gone]
        )
        assert (line.parting.expected, line.parting.kinship) == pytest.approx(left, abs=1e-12)


def test_kinship_standing_and_founders_are_those_of_bloodlines(withybrook: Snapshot) -> None:
    lines = breeder_lines(withybrook, known(withybrook), "chicken", 2027, SAMPLE_TODAY)
    report = bloodlines_report(withybrook, SAMPLE_TODAY, species="chicken")
    ranked = {each.bird: each for each in report.ranking}
    for line in lines.lines:
        there = ranked[line.bird.id]
        assert (line.by_convention, line.cautious) == pytest.approx((there.by_convention, there.cautious))
        assert (line.rank, line.standing) == (there.rank_cautious, there.standing)
        assert line.inbreeding == pytest.approx(there.inbreeding)
    told = {risk.key for line in lines.lines for risk in line.at_risk}
    assert told <= {founder.key for founder in report.at_risk}
    for founder in report.at_risk:
        for carrier in founder.carriers:
            line = next((each for each in lines.lines if each.bird.id == carrier.bird), None)
            if line is not None:
                risk = next(each for each in line.at_risk if each.key == founder.key)
                assert risk.share == pytest.approx(carrier.share)
                assert risk.carriers == founder.carrier_count


def test_the_last_carrier_of_a_founder_is_named() -> None:
    snapshot = flock()
    lines = lines_of(snapshot)
    dart = line_of(lines, "Dart")
    assert [key.bird for key in dart.parting.last_of] == ["Dart"]
    assert dart.at_risk[0].fate is Fate.ONE_BIRD
    assert "would go: Dart." in said(parting_sentences(dart, lines, snapshot), snapshot)
    # that he might be Wye's unknown sire is no second copy to rely on
    cautious = line_of(lines_of(snapshot, Unknown.FLOCK), "Dart")
    assert [key.bird for key in cautious.parting.last_of] == ["Dart"]


def test_a_bird_marked_no_is_left_out_of_the_next_generation() -> None:
    lines = lines_of(chosen(choice("Tamar", Verdict.NO)))
    assert (lines.flock.cocks, lines.flock.hens) == (2, 3)
    tamar = line_of(lines, "Tamar")
    assert not tamar.parting.breeds
    assert tamar.parting.expected == lines.flock.expected
    # of the others only Bryony and Hazel are kin of each other, and Elder of her unknown dam's line: none of Dart's
    assert lines.flock.expected == 0.0


def test_the_last_hen_leaves_nothing_to_breed() -> None:
    snapshot = chosen(choice("Hazel", Verdict.NO), choice("Bryony", Verdict.NO))
    lines = lines_of(snapshot)
    elder = line_of(lines, "Elder")
    assert elder.parting.expected is None
    assert "no hen left" in said(parting_sentences(elder, lines, snapshot), snapshot)


def test_earlier_choices_are_told_with_their_reason() -> None:
    snapshot = chosen(
        choice("Tamar", Verdict.NO, 2025, "crooked toes"), choice("Tamar", Verdict.CHOSEN, 2024)
    )
    lines = lines_of(snapshot)
    tamar = line_of(lines, "Tamar")
    assert tamar.verdict is None
    assert [each.season for each in tamar.earlier] == [2025, 2024]
    told = said(told_of(tamar, lines, snapshot, str).known, snapshot)
    assert "For 2025: no – crooked toes" in told
    assert "For 2024: chosen." in told


def test_a_bird_that_only_looks_rare_is_not_praised(withybrook: Snapshot) -> None:
    lines = breeder_lines(withybrook, known(withybrook), "chicken", 2027, SAMPLE_TODAY)
    foxglove = line_of(lines, "Foxglove")
    told = told_of(foxglove, lines, withybrook, str)
    assert "only because parents are unknown" in said(told.against, withybrook)
    assert "few others carry" not in said(told.speaks_for, withybrook)


def test_what_was_found_is_kept_while_only_choices_change() -> None:
    before = flock()
    found = known(before)
    decided = replace(
        before, husbandry=replace(before.husbandry, choices={ChoiceId("x"): choice("Wye", Verdict.NO)})
    )
    assert known(decided, found) is found
    other = replace(before, birds=(*before.birds, bird("Avon", Sex.HEN, "2024-05-01")))
    assert isinstance(known(other, found), Known)
    assert known(other, found) is not found


def best_of(snapshot: Snapshot, cocks: int, hens: int, mark: tuple[str, ...] = ()) -> Best:
    lines = lines_of(snapshot)
    return best_to_keep(
        Relatedness(snapshot), wanted(lines, cocks, hens), tuple(BirdId(name) for name in mark)
    )


def test_the_best_set_is_the_best_of_every_set(withybrook: Snapshot) -> None:
    lines = breeder_lines(withybrook, known(withybrook), "chicken", 2027, SAMPLE_TODAY)
    relatedness = Relatedness(withybrook, Unknown.FLOCK)
    asked = wanted(lines, 2, 3)
    found = best_to_keep(relatedness, asked)
    birds = (*asked.cocks, *asked.hens)
    table = relatedness.kinship(birds, birds)
    share = np.array([1 / 4] * len(asked.cocks) + [1 / 6] * len(asked.hens))
    lowest = np.inf
    for cocks in combinations(range(len(asked.cocks)), 2):
        for hens in combinations(range(len(asked.cocks), len(birds)), 3):
            kept = [*cocks, *hens]
            lowest = min(lowest, float(share[kept] @ table[np.ix_(kept, kept)] @ share[kept]))
    assert found.is_proven
    assert found.kept.kinship == pytest.approx(lowest, abs=1e-12)
    assert "Proven" in said(best_sentences(found), withybrook)
    assert min(swap.change for swap in found.swaps) >= -1e-10
    assert {swap.goes for swap in found.swaps} == set(found.birds)


def test_the_next_best_sets_are_told_by_whom_they_swap(withybrook: Snapshot) -> None:
    lines = breeder_lines(withybrook, known(withybrook), "chicken", 2027, SAMPLE_TODAY)
    found = best_to_keep(Relatedness(withybrook, Unknown.FLOCK), wanted(lines, 2, 3))
    assert found.others_proven
    assert len(found.others) == 3
    figures = [found.kept.kinship, *(other.kinship for other in found.others)]
    assert figures == sorted(figures)
    # the cheapest swap is one of the sets there are, so the next best costs no more
    assert found.others[0].kinship - found.kept.kinship <= found.swaps[0].change + 1e-12
    told = said(other_sentences(found), withybrook)
    assert "in place of" in told
    assert "no set lies between these" in told


def test_a_bird_marked_no_is_in_no_set_and_one_that_must_stay_is() -> None:
    snapshot = chosen(choice("Dart", Verdict.NO))
    lines = lines_of(snapshot)
    found = best_to_keep(Relatedness(snapshot), wanted(lines, 1, 2, frozenset({BirdId("Tamar")})))
    assert found.kept.cocks == ("Tamar",)
    # with Tamar, his half sister Bryony is better than his full sister Hazel
    assert found.kept.hens == ("Bryony", "Elder") or found.kept.hens == ("Elder", "Bryony")


def test_a_swap_says_what_it_does_to_both_figures() -> None:
    snapshot = flock()
    found = best_of(snapshot, 1, 1)
    table = Relatedness(snapshot)
    for swap in found.swaps:
        cocks = [swap.comes if each == swap.goes else each for each in found.kept.cocks]
        hens = [swap.comes if each == swap.goes else each for each in found.kept.hens]
        birds = [*cocks, *hens]
        kinship = float(table.kinship(birds, birds).mean())
        assert found.kept.kinship + swap.change == pytest.approx(kinship)
        expected = float(table.kinship(cocks, hens).mean())
        assert found.kept.expected + swap.expected_change == pytest.approx(expected)


def test_the_keepers_own_choice_is_compared() -> None:
    snapshot = flock()
    own = best_of(snapshot, 1, 1, ("Tamar", "Hazel"))
    assert own.own is not None
    assert own.own.expected == 0.25
    assert "Your own choice of 1 cock and 1 hen has 37.50 %" in said(best_sentences(own), snapshot)
    assert best_of(snapshot, 1, 1, ("Tamar",)).own is None


def test_more_than_there_are_cannot_be_kept() -> None:
    with pytest.raises(ValueError, match="no set") as refused:
        best_of(flock(), 4, 1)
    assert refused.value.args[1] == "cocks"
    assert "fewer that may stay" in impossible_text("cocks")


def test_numbers_are_proposed_from_what_is_marked() -> None:
    assert usual_numbers(lines_of(flock())) == (2, 2)
    marked = chosen(
        choice("Dart", Verdict.CHOSEN), choice("Wye", Verdict.NO), choice("Hazel", Verdict.CHOSEN)
    )
    assert usual_numbers(lines_of(marked)) == (1, 1)
    assert "Marked: 2 chosen, 0 in reserve, 1 no." in said(summary(lines_of(marked)), marked)


def test_many_sets_are_told_as_a_power_of_ten() -> None:
    assert sets_text(np.log10(7150)) == "7150"
    assert sets_text(31.7) == "more than 10^31"


def test_a_flock_without_birds_has_no_lines() -> None:
    empty = replace(flock(), birds=())
    lines = lines_of(empty)
    assert lines.lines == ()
    assert lines.flock.gene_diversity is None
    assert lines.flock.expected is None
