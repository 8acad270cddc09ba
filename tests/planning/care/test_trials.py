"""Fertility trials: eggs needed, eggs that may be another cock's, results that claim no more than they show."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from studbook.book.changes import Correct, Enter, MoveBirds
from studbook.book.husbandry.rows import (
    Batch,
    Candling,
    Decision,
    EggFate,
    Fate,
    Pen,
    Sitting,
    Trial,
    TrialHen,
)
from studbook.book.ids import BatchId, BirdId, CandlingId, EggFateId, PenId, SittingId, TrialHenId, TrialId
from studbook.planning.care.fertility import fertility_line
from studbook.planning.care.seen import Seen, seen_of
from studbook.planning.care.telling import (
    chance_text,
    comparison_sentences,
    hens_part_sentences,
    interval_text,
    result_sentences,
)
from studbook.planning.care.trial_plan import (
    Draft,
    date_sentences,
    foresee,
    hen_sentences,
    hens_sentence,
    plan_sentences,
)
from studbook.planning.care.trials import Trials, TrialStudy
from studbook.planning.sentences import Sentence, plain
from studbook.season.binomial import interval
from studbook.season.fertility import TrialVerdict
from tests.season_flock import Yard, new_yard

BEGUN = date(2026, 3, 1)


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    made = new_yard(tmp_path / "yard.studbook")
    yield made
    made.book.close()


def told(yard: Yard, *sentences: Sentence) -> str:
    snapshot = yard.book.snapshot()
    return " ".join(
        plain(sentence, lambda bird: snapshot.bird(bird).name, lambda number, places: f"{number:.{places}f}")
        for sentence in sentences
    )


def begin(yard: Yard, cock: BirdId, *hens: BirdId, begun: date = BEGUN, ends: date | None = None) -> Trial:
    """A trial in a pen of its own, the birds moved into it."""
    pen = Pen(PenId(yard.book.new_id()), f"Trial pen of {cock}")
    trial = Trial(TrialId(yard.book.new_id()), cock, begun, begun + timedelta(days=7), ends=ends, pen=pen.id)
    yard.book.apply(Enter((pen, trial, *(TrialHen(TrialHenId(""), trial.id, hen) for hen in hens))))
    yard.book.apply(MoveBirds((cock, *hens), pen.id, begun))
    return trial


def eggs(yard: Yard, trial: Trial, hen: BirdId, laid: date, fertile: int, clear: int) -> Batch:
    """Eggs of one day, set the day after and candled a week later."""
    set_on = laid + timedelta(days=1)
    sitting = Sitting(SittingId(yard.book.new_id()), set_on, machine=yard.machine)
    batch = Batch(
        BatchId(yard.book.new_id()),
        sitting.id,
        fertile + clear,
        hen=hen,
        laid_from=laid,
        laid_to=laid,
        trial=trial.id,
    )
    candled = set_on + timedelta(days=7)
    candling = Candling(CandlingId(""), batch.id, candled, alive=fertile, clear=clear)
    rows = [sitting, batch, candling]
    if clear:
        rows.append(EggFate(EggFateId(""), batch.id, Fate.CLEAR, clear, candled))
    yard.book.apply(Enter(tuple(rows)))
    return batch


def study(yard: Yard, trial: Trial) -> TrialStudy:
    trials = Trials(yard.book.snapshot())
    return trials.study(trials.snapshot.husbandry.trials[trial.id])


def test_a_plan_says_how_many_eggs_it_takes_and_how_often_a_good_cock_fails(yard: Yard) -> None:
    # .95 ** 19 = .3774; all of n fertile shows .05 ** (1 / n), and .05 ** (1 / 19) = .8541
    assert told(yard, plan_sentences(0.85, 0.95)[0]) == (
        "To show at least 85 % with 95 % confidence you need 19 of 19; a cock of true 95 % passes that only 38 "
        "times in 100."
    )


def test_what_else_would_do_allows_clear_eggs_for_more_of_them(yard: Yard) -> None:
    one, two = plan_sentences(0.85, 0.95)[1:]
    # P(at most 1 clear of 30) at 15 % clear is .0480, of 29 .0549; at most 2 of 40 .0486, of 39 .0540
    assert "If 1 clear egg is allowed, you need 29 of 30" in told(yard, one)
    assert "If 2 clear eggs are allowed, you need 38 of 40" in told(yard, two)


@pytest.mark.parametrize(
    ("fertile", "seen", "text"),
    [
        # exact limits of Clopper & Pearson 1934, as tabled: .6830-.9877, .6915-1, 0-.2646, .1871-.8129
        (18, 20, "18 of 20, 68 to 99 %"),
        (10, 10, "10 of 10, 69 % or more"),
        (0, 12, "0 of 12, up to 27 %"),
        (5, 10, "5 of 10, 18 to 82 %"),
    ],
)
def test_a_result_is_written_with_its_exact_interval_rounded_outwards(
    fertile: int, seen: int, text: str
) -> None:
    assert interval_text(interval(fertile, seen)) == text


def test_the_stays_say_from_which_day_each_hens_eggs_count(yard: Yard) -> None:
    # Avens was with Usk until that day; Cowslip has known no cock but Lune
    draft = Draft(yard.lune, (yard.avens, yard.cowslip), BEGUN, 7)
    outlook = foresee(yard.book.snapshot(), draft)
    avens, cowslip = outlook.hens
    assert avens.earlier == (yard.usk,)
    assert avens.counts_from == BEGUN + timedelta(days=35)  # strict clear days of fowl
    assert cowslip.earlier == ()
    assert cowslip.counts_from == BEGUN + timedelta(days=7)
    text = told(yard, *hen_sentences(outlook, str))
    assert "Avens: her eggs count from 2026-04-05; before that day they may be by Usk." in text
    assert "Cowslip: her eggs count from 2026-03-08." in text


def test_another_cock_in_the_pen_spoils_the_whole_trial(yard: Yard) -> None:
    draft = Draft(yard.lune, (yard.betony,), BEGUN, 7, yard.orchard)
    outlook = foresee(yard.book.snapshot(), draft)
    assert outlook.dates is None
    text = told(yard, *hen_sentences(outlook, str), *date_sentences(outlook, str))
    assert "Betony: her eggs cannot count, since they may be by Usk all the while." in text
    assert "No hen's eggs would count" in text


def test_the_days_of_a_trial_follow_from_the_hens_and_their_laying(yard: Yard) -> None:
    outlook = foresee(
        yard.book.snapshot(), Draft(yard.lune, (yard.cowslip,), BEGUN, 7, eggs=10, eggs_per_week=7)
    )
    assert outlook.dates is not None
    assert outlook.dates.laid_by == date(2026, 3, 17)
    assert outlook.dates.set_on == date(2026, 3, 18)
    # a chicken's eggs are first candled on day 7
    assert outlook.dates.candled_on == date(2026, 3, 25)
    assert "set the eggs in lots" in told(yard, *date_sentences(outlook, str))


def test_at_least_three_hens_are_advised(yard: Yard) -> None:
    figures = foresee(yard.book.snapshot(), Draft(yard.lune, (yard.cowslip,), BEGUN, 7)).practice
    assert hens_sentence(3, figures) == "At least 3 hens are advised."
    assert "he treads each the more" in hens_sentence(2, figures)


def test_eggs_that_may_be_another_cocks_are_left_out(yard: Yard) -> None:
    trial = begin(yard, yard.lune, yard.avens, yard.cowslip)
    eggs(yard, trial, yard.avens, date(2026, 3, 20), 4, 0)
    eggs(yard, trial, yard.avens, date(2026, 4, 6), 3, 1)
    eggs(yard, trial, yard.cowslip, date(2026, 3, 20), 5, 0)
    found = study(yard, trial)
    by_hen = {hen.hen: hen for hen in found.hens}
    assert by_hen[yard.avens].counted == Seen(4, 3, 1)
    assert by_hen[yard.avens].left_out == Seen(4, 4, 0)
    assert by_hen[yard.cowslip].counted == Seen(5, 5, 0)
    assert (found.result.whole.count, found.result.whole.of) == (8, 9)
    assert "4 eggs are left out" in told(yard, *hens_part_sentences(found))


def test_what_a_hen_did_after_a_trial_says_nothing_of_it(yard: Yard) -> None:
    trial = begin(yard, yard.lune, yard.cowslip, ends=date(2026, 3, 20))
    eggs(yard, trial, yard.cowslip, date(2026, 3, 15), 5, 0)
    before = study(yard, trial)
    yard.book.apply(MoveBirds((yard.cowslip,), yard.orchard, date(2026, 3, 21)))
    yard.book.apply(MoveBirds((yard.cowslip, yard.lune), yard.lane, date(2026, 6, 1)))
    assert before.counted == Seen(5, 5, 0)
    assert study(yard, trial).counted == Seen(5, 5, 0)


def test_nineteen_of_nineteen_shows_what_was_asked_for_and_claims_no_more(yard: Yard) -> None:
    trial = begin(yard, yard.lune, yard.cowslip)
    eggs(yard, trial, yard.cowslip, date(2026, 3, 15), 19, 0)
    found = study(yard, trial)
    assert found.result.verdict is TrialVerdict.SHOWN_GOOD
    text = told(yard, *result_sentences(found))
    # two-sided limit .025 ** (1 / 19) = .8235, one-sided .05 ** (1 / 19) = .8541 (Clopper & Pearson 1934)
    assert "interval begins at 82.4 %" in text
    assert "shows at least 85 % with 95 % confidence; the lower limit by itself is 85.4 %" in text
    assert "The eggs are of 1 hen: the result may be hers as much as his" in told(
        yard, *hens_part_sentences(found)
    )


def test_a_weak_result_of_january_asks_for_a_second_test(yard: Yard) -> None:
    trial = begin(yard, yard.lune, yard.cowslip, begun=date(2026, 1, 11))
    eggs(yard, trial, yard.cowslip, date(2026, 1, 25), 3, 7)
    text = told(yard, *result_sentences(study(yard, trial)))
    assert "asks for a second test with other hens before he is judged" in text
    assert "short days" in text


def test_no_count_makes_a_cock_sterile_or_perfect(yard: Yard) -> None:
    trial = begin(yard, yard.lune, yard.cowslip)
    day = date(2026, 3, 15)
    for fertile, clear in ((0, 12), (12, 0), (40, 0), (0, 60)):
        batch = eggs(yard, trial, yard.cowslip, day, fertile, clear)
        found = study(yard, trial)
        text = told(yard, *result_sentences(found), *hens_part_sentences(found))
        line = fertility_line(yard.book.snapshot(), yard.lune) or ""
        for word in ("sterile", "infertile", "100 %", "100.0 %", " 0 %", "0.0 %"):
            assert word not in f"{text} {line}".replace("30.0 %", ""), (fertile, clear, text)
        yard.book.undo()
        assert batch.id not in yard.book.snapshot().husbandry.batches


def test_the_hens_part_is_told_where_they_differ(yard: Yard) -> None:
    trial = begin(yard, yard.lune, yard.cowslip, yard.betony)
    eggs(yard, trial, yard.cowslip, date(2026, 4, 10), 10, 0)
    eggs(yard, trial, yard.betony, date(2026, 4, 10), 2, 8)
    text = told(yard, *hens_part_sentences(study(yard, trial)))
    # Fisher's exact test of 10 of 10 against 2 of 10: 2 × 45 / 125,970 = .0007
    assert "The hens differ more than chance would have it (so far apart by chance: 0.1 %)" in text


def test_two_cocks_are_compared_by_a_chance_with_its_prior(yard: Yard) -> None:
    first = begin(yard, yard.lune, yard.cowslip)
    eggs(yard, first, yard.cowslip, date(2026, 3, 15), 1, 0)
    second = begin(yard, yard.usk, yard.betony)
    eggs(yard, second, yard.betony, date(2026, 3, 15), 0, 1)
    trials = Trials(yard.book.snapshot())
    found = trials.study(trials.snapshot.husbandry.trials[first.id])
    text = told(yard, *comparison_sentences(trials, found))
    # with uniform priors, P(Beta(2, 1) > Beta(1, 2)) = 5/6 by hand
    assert "That Lune is truly better than Usk (0 of 1) has a chance of 83 %." in text
    assert "uniform prior" in text
    assert chance_text(0.9999) == "over 99 %"
    assert chance_text(0.0001) == "under 1 %"


def test_the_line_of_a_cock_is_his_last_result_with_what_was_decided(yard: Yard) -> None:
    assert fertility_line(yard.book.snapshot(), yard.lune) is None
    trial = begin(yard, yard.lune, yard.cowslip)
    assert fertility_line(yard.book.snapshot(), yard.lune) is None
    eggs(yard, trial, yard.cowslip, date(2026, 3, 15), 18, 2)
    held = yard.book.snapshot().husbandry.trials[trial.id]
    decided = Trial(
        held.id, held.cock, held.begun, held.counts_from, pen=held.pen, decision=Decision.KEEP,
        decided=date(2026, 4, 1), reason="good enough",
    )  # fmt: skip
    yard.book.apply(Correct((held,), (decided,)))
    assert fertility_line(yard.book.snapshot(), yard.lune) == (
        "trial of 2026-03-01 · 18 of 20, 68 to 99 % fertile with 95 % confidence · not shown either way · "
        "decided: keep"
    )


def test_fates_and_the_last_candling_are_counted_once(yard: Yard) -> None:
    trial = begin(yard, yard.lune, yard.cowslip)
    batch = eggs(yard, trial, yard.cowslip, date(2026, 3, 15), 8, 2)

    def seen() -> Seen:
        return seen_of(yard.book.snapshot().husbandry, yard.book.snapshot().husbandry.batches[batch.id])

    assert seen() == Seen(10, 8, 2)
    again = date(2026, 3, 30)
    yard.book.apply(
        Enter(
            (
                Candling(CandlingId(""), batch.id, again, alive=7, late_dead=1),
                EggFate(EggFateId(""), batch.id, Fate.LATE_DEAD, 1, again),
            )
        )
    )
    assert seen() == Seen(10, 8, 2)
    yard.book.apply(Enter((EggFate(EggFateId(""), batch.id, Fate.HATCHED, 7, date(2026, 4, 6)),)))
    assert seen() == Seen(10, 8, 2)


def test_broken_and_doubtful_eggs_are_neither_fertile_nor_clear(yard: Yard) -> None:
    trial = begin(yard, yard.lune, yard.cowslip)
    batch = eggs(yard, trial, yard.cowslip, date(2026, 3, 15), 10, 0)
    rows = yard.book.snapshot().husbandry.candlings_of[batch.id]
    doubtful = Candling(rows[0].id, batch.id, rows[0].on, alive=6, doubtful=2)
    broken = EggFate(EggFateId(""), batch.id, Fate.BROKEN, 2, date(2026, 3, 17))
    yard.book.apply(Correct((rows[0],), (doubtful,)))
    yard.book.apply(Enter((broken,)))
    assert seen_of(yard.book.snapshot().husbandry, batch) == Seen(10, 6, 0)
