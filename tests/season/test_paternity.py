"""Whose egg: candidate sires and pairs from the meetings of hens and cocks; exchanges and clear dates."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.season.paternity import (
    CandidatePair,
    HenExposure,
    Meeting,
    MeetingKind,
    NotLaying,
    ReasonKind,
    Verdict,
    candidate_pairs,
    clear_date,
    exchange,
    mixed,
    outside,
    pen_clear_date,
    sires_of_egg,
)
from studbook.season.practice import practice
from studbook.season.species import all_species

FOWL = practice("chicken")
MARCH = date(2027, 3, 1)


def days(number: int) -> timedelta:
    return timedelta(number)


def weights(sires):
    return {share.cock: share.weight for share in sires.shares}


def kinds(sires):
    return {reason.kind for reason in sires.reasons}


def exchanged(on: date = MARCH) -> list[Meeting]:
    """Dart was with the hen since January; Exe took his place on one day."""
    return [Meeting("Dart", date(2027, 1, 1), on), Meeting("Exe", on, None)]


def test_a_cock_alone_with_a_hen_for_long_is_certain():
    sires = sires_of_egg([Meeting("Dart", date(2027, 1, 1), None)], MARCH, FOWL)
    assert sires.verdict is Verdict.CERTAIN
    assert weights(sires) == {"Dart": 1.0}
    assert sires.shares[0].reason.kind is ReasonKind.WITH_HER
    assert sires.shares[0].reason.day == date(2027, 1, 1)


def test_a_hen_without_a_cock_lays_clear_eggs():
    sires = sires_of_egg([], MARCH, FOWL)
    assert sires.verdict is Verdict.NONE
    assert kinds(sires) == {ReasonKind.NO_COCK}


def test_an_egg_of_the_day_of_the_first_meeting_is_not_yet_his():
    meeting = [Meeting("Dart", MARCH, None)]
    before = sires_of_egg(meeting, MARCH, FOWL)
    assert before.verdict is Verdict.NONE
    assert before.reasons[0].kind is ReasonKind.TOO_SOON
    assert before.reasons[0].day == MARCH + days(1)
    day_after = sires_of_egg(meeting, MARCH + days(1), FOWL)
    assert day_after.verdict is Verdict.CERTAIN
    assert day_after.shares[0].reason.kind is ReasonKind.NOT_YET_COVERED
    assert day_after.shares[0].reason.day == MARCH + days(7)


def test_a_cock_gone_counts_for_five_weeks_when_no_other_comes():
    gone = [Meeting("Dart", date(2027, 1, 1), MARCH)]
    lately = sires_of_egg(gone, MARCH + days(3), FOWL)
    assert lately.shares[0].reason.kind is ReasonKind.GONE_LATELY
    long_ago = sires_of_egg(gone, MARCH + days(34), FOWL)
    assert weights(long_ago) == {"Dart": 1.0}
    assert long_ago.shares[0].reason.kind is ReasonKind.GONE_LONG
    over = sires_of_egg(gone, MARCH + days(35), FOWL)
    assert over.verdict is Verdict.NONE
    assert (over.reasons[0].kind, over.reasons[0].day) == (ReasonKind.TOO_LATE, MARCH + days(35))


def test_turkeys_remember_far_longer_than_fowl():
    gone = [Meeting("Dart", date(2027, 1, 1), MARCH)]
    assert sires_of_egg(gone, MARCH + days(60), practice("turkey")).verdict is Verdict.CERTAIN
    assert sires_of_egg(gone, MARCH + days(60), FOWL).verdict is Verdict.NONE


def test_two_cocks_in_one_pen_share_alike_and_it_is_said_to_be_assumed():
    sires = sires_of_egg(
        [Meeting("Dart", date(2027, 1, 1), None), Meeting("Exe", date(2027, 1, 5), None)], MARCH, FOWL
    )
    assert sires.verdict is Verdict.SEVERAL
    assert weights(sires) == {"Dart": 0.5, "Exe": 0.5}
    assert kinds(sires) == {ReasonKind.EQUAL_ASSUMED}


def test_after_an_exchange_the_later_cock_gains_day_by_day():
    assert weights(sires_of_egg(exchanged(), MARCH, FOWL)) == {"Dart": 1.0}
    shares = [
        weights(sires_of_egg(exchanged(), MARCH + days(after), FOWL)).get("Exe", 0.0) for after in range(30)
    ]
    assert all(later > earlier for earlier, later in pairwise(shares[:29]))
    # An even loss with a half-life of 3.5 days: a quarter is left after a week, a sixteenth after two.
    assert shares[7] == pytest.approx(1 / (1 + 1 / 4))
    assert shares[14] == pytest.approx(1 / (1 + 1 / 16))
    assert shares[28] == 1.0


@given(st.sampled_from(sorted(all_species())), st.integers(0, 6), st.integers(0, 80))
def test_a_later_cock_never_loses_while_he_stays(code, empty_days, after):
    figures = practice(code)
    came = MARCH + days(empty_days)
    meetings = [Meeting("Dart", date(2026, 6, 1), MARCH), Meeting("Exe", came, None)]
    today = weights(sires_of_egg(meetings, came + days(after), figures)).get("Exe", 0.0)
    tomorrow = weights(sires_of_egg(meetings, came + days(after + 1), figures)).get("Exe", 0.0)
    assert tomorrow >= today
    if came + days(after) >= clear_date(meetings, figures):
        assert today == 1.0 or after < figures.earliest_days


def test_from_the_clear_date_the_later_cock_is_certain():
    clear = clear_date(exchanged(), FOWL)
    assert clear == MARCH + days(28)
    eve = sires_of_egg(exchanged(), clear - days(1), FOWL)
    assert eve.verdict is Verdict.SEVERAL
    assert ReasonKind.LATER_GAINS in kinds(eve)
    day = sires_of_egg(exchanged(), clear, FOWL)
    assert day.verdict is Verdict.CERTAIN
    assert (day.reasons[0].kind, day.reasons[0].cock, day.reasons[0].day) == (
        ReasonKind.CLEARED,
        "Dart",
        clear,
    )


def test_a_bought_hen_brings_an_unknown_cock():
    meetings = [outside(MARCH), Meeting("Exe", MARCH, None)]
    first_week = sires_of_egg(meetings, MARCH + days(5), FOWL)
    assert first_week.verdict is Verdict.OUTSIDE_POSSIBLE
    assert set(weights(first_week)) == {None, "Exe"}
    assert sires_of_egg(meetings, MARCH + days(28), FOWL).verdict is Verdict.CERTAIN
    assert sires_of_egg([outside(MARCH)], MARCH + days(5), FOWL).verdict is Verdict.OUTSIDE_POSSIBLE


def test_a_visit_counts_beside_the_cock_of_the_pen():
    visit = Meeting("Tamar", MARCH, MARCH, MeetingKind.VISIT)
    sires = sires_of_egg([Meeting("Dart", date(2027, 1, 1), None), visit], MARCH + days(3), FOWL)
    assert 0 < weights(sires)["Tamar"] < weights(sires)["Dart"]


def test_a_cock_back_after_some_days_apart_is_still_certain():
    meetings = [Meeting("Dart", date(2027, 1, 1), MARCH), Meeting("Dart", MARCH + days(5), None)]
    sires = sires_of_egg(meetings, MARCH + days(5), FOWL)
    assert weights(sires) == {"Dart": 1.0}
    assert sires.reasons == ()
    assert clear_date(meetings, FOWL) is None


def test_a_cockerel_counts_from_the_age_of_fertility():
    of_age = MARCH + days(10)
    meetings = [Meeting("Exe", date(2027, 1, 1), None, fertile_from=of_age)]
    young = sires_of_egg(meetings, MARCH, FOWL)
    assert young.verdict is Verdict.NONE
    assert (young.reasons[0].kind, young.reasons[0].day) == (ReasonKind.TOO_YOUNG, of_age)
    assert sires_of_egg(meetings, of_age + days(1), FOWL).verdict is Verdict.CERTAIN
    gone_before = [Meeting("Exe", date(2027, 1, 1), MARCH, fertile_from=of_age)]
    assert sires_of_egg(gone_before, MARCH + days(12), FOWL).verdict is Verdict.NONE
    assert clear_date(gone_before, FOWL) is None


def test_a_cock_who_comes_only_later_is_named_as_such():
    sires = sires_of_egg([Meeting("Exe", MARCH, None)], MARCH - days(3), FOWL)
    assert sires.reasons[0].kind is ReasonKind.NOT_YET_MET
    assert sires.reasons[0].day == MARCH


def test_cocks_of_other_years_are_named_only_where_nobody_else_counts():
    old = [Meeting("Dart", date(2024, 1, 1), date(2024, 6, 1)), Meeting("Exe", date(2027, 1, 1), MARCH)]
    assert sires_of_egg(old, MARCH, FOWL).reasons == ()
    nobody = sires_of_egg(old, MARCH + days(40), FOWL)
    assert [reason.cock for reason in nobody.reasons] == ["Dart", "Exe"]


def test_an_egg_of_some_day_of_a_week_gets_the_mean_of_its_days():
    week = sires_of_egg(exchanged(), MARCH + days(1), FOWL, MARCH + days(7))
    daily = [weights(sires_of_egg(exchanged(), MARCH + days(after), FOWL))["Exe"] for after in range(1, 8)]
    assert weights(week)["Exe"] == pytest.approx(sum(daily) / 7)
    assert ReasonKind.MEAN_OF_DAYS in kinds(week)
    with pytest.raises(ValueError, match="before the first"):
        sires_of_egg(exchanged(), MARCH, FOWL, MARCH - days(1))


def test_days_without_any_cock_are_left_out_of_the_mean_and_named():
    sires = sires_of_egg([Meeting("Dart", MARCH, None)], MARCH - days(1), FOWL, MARCH + days(2))
    assert weights(sires) == {"Dart": 1.0}
    assert ReasonKind.SOME_DAYS_ONLY in kinds(sires)


def test_a_meeting_that_ends_before_it_begins_is_refused():
    with pytest.raises(ValueError, match="cannot end"):
        Meeting("Dart", MARCH, MARCH - days(1))


meeting_days = st.integers(-80, 40)


@st.composite
def meetings_of_a_hen(draw):
    made = []
    for cock in draw(st.lists(st.sampled_from(["Dart", "Exe", "Tamar", None]), max_size=5)):
        first = draw(st.none() | meeting_days)
        stay = draw(st.none() | st.integers(0, 60))
        begin = None if first is None else MARCH + days(first)
        last = None if stay is None else (begin or MARCH - days(40)) + days(stay)
        made.append(Meeting(cock, begin, last))
    return made


@given(meetings_of_a_hen(), st.integers(-20, 60), st.integers(0, 9), st.sampled_from(sorted(all_species())))
def test_shares_are_positive_and_sum_to_one_or_there_is_none(meetings, after, span, code):
    laid = MARCH + days(after)
    sires = sires_of_egg(meetings, laid, practice(code), laid + days(span))
    if sires.verdict is Verdict.NONE:
        assert sires.shares == ()
        assert sires.reasons
    else:
        assert sum(share.weight for share in sires.shares) == pytest.approx(1.0, abs=1e-12)
        assert all(share.weight > 0 for share in sires.shares)
    assert len({share.cock for share in sires.shares}) == len(sires.shares)


@given(meetings_of_a_hen(), st.integers(-20, 60))
def test_no_cock_counts_before_he_came_or_after_eggs_last(meetings, after):
    laid = MARCH + days(after)
    for share in sires_of_egg(meetings, laid, FOWL).shares:
        his = [meeting for meeting in meetings if meeting.cock == share.cock]
        assert any(
            (meeting.first is None or meeting.first < laid)
            and (meeting.last is None or (laid - meeting.last).days < FOWL.lasting_days)
            for meeting in his
        )


@given(meetings_of_a_hen(), st.integers(0, 60), st.randoms(use_true_random=False))
def test_the_order_in_which_meetings_are_told_does_not_matter(meetings, after, random):
    shuffled = list(meetings)
    random.shuffle(shuffled)
    told = weights(sires_of_egg(meetings, MARCH + days(after), FOWL))
    again = weights(sires_of_egg(shuffled, MARCH + days(after), FOWL))
    assert told == pytest.approx(again)


def test_pairs_are_joint_and_never_crossed():
    hens = [
        HenExposure("Bramble", (Meeting("Dart", date(2027, 1, 1), None),)),
        HenExposure("Hazel", (Meeting("Exe", date(2027, 1, 1), None),)),
    ]
    found = candidate_pairs(hens, MARCH, FOWL)
    assert set(found.pairs) == {CandidatePair("Dart", "Bramble", 0.5), CandidatePair("Exe", "Hazel", 0.5)}
    assert not found.is_certain


def test_a_hen_with_two_cocks_weighs_no_more_than_one_with_one():
    both = (Meeting("Dart", date(2027, 1, 1), None), Meeting("Exe", date(2027, 1, 1), None))
    hens = [HenExposure("Bramble", both[:1]), HenExposure("Hazel", both)]
    pairs = {(pair.sire, pair.dam): pair.weight for pair in candidate_pairs(hens, MARCH, FOWL).pairs}
    assert pairs == {("Dart", "Bramble"): 0.5, ("Dart", "Hazel"): 0.25, ("Exe", "Hazel"): 0.25}


def test_hens_that_do_not_lay_are_left_out_with_the_reason():
    pen = (Meeting("Dart", date(2027, 1, 1), None),)
    hens = [
        HenExposure("Bramble", pen, NotLaying.BROODY),
        HenExposure("Hazel", pen),
        HenExposure("Sloe", ()),
        HenExposure("Rowan", pen, NotLaying.EGG_COLOUR),
    ]
    found = candidate_pairs(hens, MARCH, FOWL)
    assert found.pairs == (CandidatePair("Dart", "Hazel", 1.0),)
    assert found.is_certain
    left = {out.hen: out for out in found.left_out}
    assert left["Bramble"].not_laying is NotLaying.BROODY
    assert left["Rowan"].not_laying is NotLaying.EGG_COLOUR
    assert left["Sloe"].sires is not None
    assert left["Sloe"].sires.verdict is Verdict.NONE


def test_hens_share_by_what_they_lay():
    pen = (Meeting("Dart", date(2027, 1, 1), None),)
    found = candidate_pairs([HenExposure("Hazel", pen, weight=3), HenExposure("Sloe", pen)], MARCH, FOWL)
    assert [(pair.dam, pair.weight) for pair in found.pairs] == [("Hazel", 0.75), ("Sloe", 0.25)]


def test_eggs_of_two_pens_mixed_count_by_their_numbers():
    first = candidate_pairs([HenExposure("Bramble", (Meeting("Dart", date(2027, 1, 1), None),))], MARCH, FOWL)
    second = candidate_pairs([HenExposure("Hazel", (Meeting("Exe", date(2027, 1, 1), None),))], MARCH, FOWL)
    nobody = candidate_pairs([HenExposure("Sloe", ())], MARCH, FOWL)
    found = mixed([(first, 9), (second, 3), (nobody, 5)])
    assert found.pairs == (CandidatePair("Dart", "Bramble", 0.75), CandidatePair("Exe", "Hazel", 0.25))
    assert [out.hen for out in found.left_out] == ["Sloe"]
    assert mixed([(nobody, 5)]).pairs == ()


def test_an_exchange_says_hen_by_hen_what_follows():
    told = exchange(
        {
            "Bramble": [Meeting("Dart", date(2027, 1, 1), None)],
            "Hazel": [outside(MARCH - days(10))],
            "Sloe": [],
        },
        "Exe",
        MARCH,
        FOWL,
    )
    bramble, hazel, sloe = told.hens
    assert (bramble.may_be_his_from, bramble.covered_from) == (MARCH + days(1), MARCH + days(7))
    assert (bramble.earlier, bramble.clear_from) == (("Dart",), MARCH + days(28))
    assert bramble.earlier_until == MARCH + days(34)
    assert (hazel.earlier, hazel.clear_from) == ((None,), MARCH + days(18))
    assert (sloe.earlier, sloe.clear_from, sloe.earlier_until) == ((), None, None)
    assert told.covered_from == MARCH + days(7)
    assert told.clear_from == told.certain_from == MARCH + days(28)
    after = [*(Meeting("Dart", date(2027, 1, 1), MARCH),), Meeting("Exe", MARCH, None)]
    assert sires_of_egg(after, bramble.clear_from, FOWL).verdict is Verdict.CERTAIN


def test_an_exchange_with_a_cock_not_yet_of_age_waits_for_him():
    told = exchange({"Sloe": []}, "Exe", MARCH, FOWL, fertile_from=MARCH + days(5))
    assert told.hens[0].may_be_his_from == MARCH + days(6)
    assert told.certain_from == MARCH + days(12)


def test_a_cock_gone_for_longer_than_eggs_last_is_no_longer_named():
    old = {"Bramble": [Meeting("Dart", date(2026, 1, 1), MARCH - days(35))]}
    assert exchange(old, "Exe", MARCH, FOWL).hens[0].earlier == ()


def test_the_clear_date_crosses_month_ends_and_leap_days():
    assert clear_date([Meeting("Dart", None, date(2028, 2, 10))], FOWL) == date(2028, 3, 9)
    assert clear_date([Meeting("Dart", None, date(2027, 2, 10))], FOWL) == date(2027, 3, 10)
    assert clear_date([Meeting("Dart", None, date(2027, 2, 10))], FOWL, strict=True) == date(2027, 3, 17)


def test_a_hen_brings_her_last_cock_with_her_and_the_pen_waits_for_the_last_of_its_hens():
    settled = [Meeting("Exe", date(2026, 12, 1), None)]
    moved_in = [Meeting("Dart", date(2026, 12, 1), MARCH), Meeting("Exe", MARCH, None)]
    assert pen_clear_date([settled, moved_in], FOWL) == MARCH + days(28)
    assert pen_clear_date([settled], FOWL) is None
    assert clear_date(moved_in, FOWL, kept=("Dart",)) is None
