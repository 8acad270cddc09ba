"""Policies bred out and compared, what was usual, and what is said of it."""

from dataclasses import replace

import numpy as np
import pytest

from studbook.book.wording import figure
from studbook.genetics.breeding_policy import Keep
from studbook.planning.forecast.buying import buying_in
from studbook.planning.forecast.habits import Habits, habits, usual_policies
from studbook.planning.forecast.policy import UNRELATED, BuyIn, Impossible, Policy, Yard
from studbook.planning.forecast.running import forecast, passing
from studbook.planning.forecast.telling import course_words, policy_text, summary
from studbook.planning.forecast.telling_buying import best_years_text, buying_words
from studbook.planning.sentences import plain
from tests.planning.flock import ALDER_YARD, TODAY

ONE = Policy("one cock", 1, 5)


def said(sentences, snapshot):
    return [plain(each, lambda bird: snapshot.bird(bird).called, figure) for each in sentences]


def run(snapshot, *policies, **more):
    more = {"years": 10, "replicates": 120, **more}
    return forecast(snapshot, TODAY, policies, species="chicken", **more)


def test_policies_are_compared_from_one_start(snapshot):
    found = run(snapshot, ONE, replace(ONE, name="three cocks", cocks=3, hens_per_cock=2))
    one, three = found.courses
    assert found.hatch_years == tuple(range(2026, 2036))
    assert one.inbreeding[-1].mean > three.inbreeding[-1].mean
    assert one.diversity[-1].mean < three.diversity[-1].mean < found.diversity
    assert all(span.low <= span.mean <= span.high for span in one.inbreeding)
    for place in range(10):
        assert one.inbreeding[place].mean == pytest.approx(one.exact_inbreeding[place], abs=0.03)
    kept = [chance.kept for chance in one.chances]
    assert kept == sorted(kept)
    assert sum(kept) == pytest.approx(one.founders[-1].mean)


def test_founders_are_lost_one_by_one(snapshot):
    shares = [span.mean for span in run(snapshot, ONE).courses[0].founder_share]
    assert all(0 < share <= 1 for share in shares)
    assert shares == sorted(shares, reverse=True)


@pytest.mark.parametrize(
    ("policy", "reason"),
    [
        (
            replace(ONE, chicks=4, replaced=1.0),
            "4 chicks a year are too few: 5 young birds of one sex are kept",
        ),
        (replace(ONE, cocks=20, hens_per_cock=30, chicks=2000), "620 breeders are too many"),
    ],
)
def test_a_policy_that_cannot_be_says_why(snapshot, policy, reason):
    with pytest.raises(Impossible) as refused:
        run(snapshot, policy)
    assert reason in refused.value.reason


def test_the_seed_repeats_it(snapshot):
    assert run(snapshot, ONE, seed=5) == run(snapshot, ONE, seed=5)
    assert run(snapshot, ONE, seed=5) != run(snapshot, ONE, seed=6)


def test_progress_goes_from_nothing_to_all(snapshot):
    told = []
    run(snapshot, ONE, ONE, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1


def test_when_a_limit_is_passed():
    # of ten runs nine pass it in the second year, one never
    inbreeding = np.full((3, 10), 0.2)
    inbreeding[1:, :9] = 0.3
    found = passing(inbreeding, 0.25, 2030)
    assert (found.year, found.early, found.late, found.share) == (2031, 2031, None, 0.9)
    never = passing(np.full((2, 4), 0.1), 0.25, 2030)
    assert (never.year, never.early, never.late, never.share) == (None, None, None, 0)


def test_the_answer_is_a_sentence(snapshot):
    found = run(snapshot, ONE, replace(ONE, name="new blood", buy_in=BuyIn(2, 2)), years=12)
    told = said(summary(found, snapshot), snapshot)
    assert told[0].startswith("One cock: the flock passes a mean F of 25 % in about ")
    assert "new blood" in told[2]
    assert told[-1].startswith("A simulation of 120 runs, not a promise")
    assert "the exact expectation" in " ".join(said(course_words(found.courses[0], found), snapshot)).lower()


def test_what_a_policy_is_told_as(snapshot):
    policy = replace(
        ONE,
        keep=Keep.LEAST_RELATED,
        rotate=True,
        seasons=2,
        doubtful=0.1,
        buy_in=BuyIn(4, 4, Yard(ALDER_YARD.id)),
    )
    assert policy_text(policy, snapshot) == (
        "1 cock a year, 5 hens to each, the least related kept, 50 % of the hens replaced each year, "
        "a cock serves 2 seasons, cockerels move to the next pen, 10 % of the chicks of doubtful sire, "
        "a cock from Alder Yard every 4 years"
    )


def test_what_was_usual_is_read_from_the_parents_of_the_chicks(snapshot):
    found = habits(snapshot, "chicken", TODAY)
    assert found.years == (2024, 2025, 2026)
    # Elder 2024 by Tamar, two of 2025 by Wye and Hazel, Lune 2026 by Tamar and Hazel
    assert found.cocks == 1
    assert found.hens == 1
    assert found.chicks == pytest.approx(4 / 3)
    assert found.seasons == pytest.approx(1.5)
    assert found.doubtful == 0


def test_the_first_policies_are_as_now_and_two_others():
    now, three, fresh, rotated = usual_policies(Habits((2026,), 1.2, 9, 0.44, 1.6, 0.0, 40), cocks=4, hens=12)
    assert (now.cocks, now.hens_per_cock, now.replaced, now.seasons) == (1, 9, 0.4, 2)
    assert (three.cocks, three.hens_per_cock) == (3, 3)
    assert fresh.buy_in == BuyIn(4, 4)
    assert rotated.rotate
    many = usual_policies(Habits((2026,), 4, 12, 0.5, 1, 0.0, 60), cocks=4, hens=12)
    assert [policy.cocks for policy in many] == [4, 1, 4, 4]
    assert many[2].name == "4 cocks, new blood"
    nothing = usual_policies(Habits(), cocks=2, hens=7)
    assert (nothing[0].cocks, nothing[0].hens) == (2, 8)


def test_a_bought_cock_by_chance_is_the_exact_expectation(snapshot):
    found = buying_in(snapshot, TODAY, ONE, species="chicken", years=8)
    assert found.passes is not None
    by_yard = {newcomer.yard: newcomer for newcomer in found.newcomers}
    stranger = by_yard[UNRELATED]
    # he is the only cock, and unrelated to every hen
    assert stranger.inbreeding[0] == 0
    assert found.inbreeding[0] > 0
    assert stranger.diversity[0] > found.diversity[0]
    assert min(stranger.means) < np.mean(found.inbreeding)
    assert all(2026 <= year < 2034 for year in stranger.best)


def test_a_related_yard_helps_less(snapshot):
    # Dart of that yard is among the cocks
    related = replace(snapshot, origins=(replace(ALDER_YARD, self_relationship=1.0),))
    wide = replace(ONE, cocks=2, hens_per_cock=3)
    found = buying_in(related, TODAY, wide, species="chicken", years=6)
    assert found.newcomers[0].yard == UNRELATED
    own = found.newcomers[-1]
    assert own.yard == Yard(ALDER_YARD.id)
    assert own.gamma == 1.0
    assert min(own.means) > min(found.newcomers[0].means)
    told = " ".join(said(buying_words(found, related), related))
    assert "an unrelated yard" in told
    assert "Least is done by a cock from Alder Yard" in told


def test_yards_of_which_nothing_is_assumed_are_told_as_alike(snapshot):
    found = buying_in(snapshot, TODAY, ONE, species="chicken", years=6)
    told = " ".join(said(buying_words(found, snapshot), snapshot))
    assert "All yards of the book do the same" in told
    assert "vet" in told
    assert best_years_text(found.newcomers[0])[:4].isdecimal()
