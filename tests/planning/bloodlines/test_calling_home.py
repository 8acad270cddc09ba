"""Birds elsewhere that carry what the flock is losing, and what borrowing one would do."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from studbook.book.pedigree import conventional_pedigree
from studbook.book.records import BirdId, ContactId, Sex, Snapshot, Status
from studbook.book.relatedness import Unknown
from studbook.dates import PartialDate
from studbook.planning.bloodlines.calling_home import CHICKS_KEPT, calling_home, with_chicks
from studbook.planning.bloodlines.measuring import bloodlines_report
from studbook.planning.bloodlines.report import AwayBird
from studbook.planning.bloodlines.telling import borrowing_method, call_words
from tests.planning.bloodlines.flock import TODAY, bird, narrow_flock, said
from tests.zoo import relationship_table


def calls_of(snapshot: Snapshot, today: date = TODAY):
    report = bloodlines_report(snapshot, today, unknown=Unknown.UNRELATED, replicates=500)
    return {call.founder.bird: call for call in calling_home(snapshot, report, today, replicates=2_000)}


def yarrow(**changed) -> Snapshot:
    plain = next(each for each in narrow_flock().birds if each.id == "Yarrow")
    return narrow_flock(Yarrow=replace(plain, **changed))


def the_bird(snapshot: Snapshot) -> AwayBird:
    (found,) = calls_of(snapshot)[BirdId("Teasel")].birds
    return found


def test_a_sold_bird_that_carries_a_lost_founder_is_found_with_who_has_it() -> None:
    snapshot = narrow_flock()
    call = calls_of(snapshot)[BirdId("Teasel")]
    assert call.found == 1
    (found,) = call.birds
    assert (found.bird, found.share, found.taker) == ("Yarrow", 0.5, "ana")
    assert found.age_years == pytest.approx(3.9, abs=0.05)
    told = said(call_words(call, snapshot))
    assert "Yarrow, of whose genes 50.0 % are the founder's; Ana Lindoso has it." in told


@pytest.mark.parametrize(
    "changed",
    [
        {"status": Status.DIED},
        {"status": Status.LOST},
        {"status": Status.LIVING},
        {"hatched": PartialDate.parse("2009")},
    ],
)
def test_a_bird_that_is_dead_or_too_old_or_here_is_not_called(changed) -> None:
    calls = calls_of(yarrow(**changed))
    assert all("Yarrow" not in {away.bird for away in call.birds} for call in calls.values())


def test_a_bird_of_unknown_age_may_still_live_while_it_has_not_been_gone_for_long() -> None:
    assert the_bird(yarrow(hatched=PartialDate())).age_years is None
    calls = calls_of(yarrow(hatched=PartialDate()), date(2034, 1, 1))
    assert calls[BirdId("Teasel")].found == 0


def test_borrowing_brings_a_lost_founder_back_by_chance() -> None:
    borrowing = the_bird(narrow_flock()).borrowing
    assert borrowing is not None
    assert (borrowing.retained_before, borrowing.kept_before) == (0, 0)
    # Yarrow got one gene of Teasel's two; each of four chicks gets it with chance ½
    assert borrowing.kept_after == pytest.approx(1 - 0.5**CHICKS_KEPT, abs=0.03)
    assert borrowing.retained_after == pytest.approx((1 - 0.5**CHICKS_KEPT) / 2, abs=0.02)


def test_mean_kinship_after_borrowing_agrees_with_a_dense_table() -> None:
    snapshot = narrow_flock(bird("Thistle", Sex.COCK, "2024-04-01", "T24-01", founder=True))
    borrowing = the_bird(snapshot).borrowing
    assert borrowing is not None
    book = conventional_pedigree(snapshot)
    node = {each.id: int(book.nodes[row]) for row, each in enumerate(snapshot.birds)}
    cocks = np.array([node[name] for name in ("Tamar", "Dart", "Thistle")], dtype=np.int32)
    pedigree, chicks = with_chicks(book.pedigree, node["Yarrow"], cocks, CHICKS_KEPT, Sex.HEN)
    table = relationship_table(pedigree) / 2
    living = [node[each.id] for each in snapshot.living]
    both = [*living, *chicks.tolist()]
    assert borrowing.mates == 3
    assert borrowing.kinship_before == pytest.approx(table[np.ix_(living, living)].mean(), abs=1e-12)
    assert borrowing.kinship_after == pytest.approx(table[np.ix_(both, both)].mean(), abs=1e-12)


def test_a_bird_without_a_mate_is_told_without_an_effect() -> None:
    snapshot = narrow_flock()
    cocks = {each.id: replace(each, status=Status.DIED) for each in snapshot.living if each.sex is Sex.COCK}
    snapshot = narrow_flock(**cocks)
    call = calls_of(snapshot)[BirdId("Teasel")]
    assert call.birds[0].borrowing is None
    assert "There is no mate for it in the flock." in said(call_words(call, snapshot))


def test_a_lent_bird_is_told_apart_as_ones_own_and_asked_for_back() -> None:
    snapshot = yarrow(status=Status.LENT)
    call = calls_of(snapshot)[BirdId("Teasel")]
    told = said(call_words(call, snapshot))
    assert call.birds[0].is_lent
    assert "is yours still, lent to Ana Lindoso: ask for it back." in told
    assert "Home again, with 4 chicks kept" in told


def test_a_lent_bird_comes_before_a_sold_one_that_carries_more() -> None:
    snapshot = narrow_flock(
        bird(
            "Nettle",
            Sex.HEN,
            "2023-04-01",
            "W23-09",
            "Dart",
            "Yarrow",
            status=Status.LENT,
            taker=ContactId("ana"),
        )
    )
    call = calls_of(snapshot)[BirdId("Teasel")]
    assert [(away.bird, away.share) for away in call.birds] == [("Nettle", 0.25), ("Yarrow", 0.5)]


@pytest.mark.parametrize("cocks", [("Tamar", "Dart"), ()])
def test_mean_kinship_with_a_lent_bird_home_agrees_with_a_dense_table(cocks) -> None:
    here = {"Tamar", "Hazel", "Dart", "Elder"}
    gone = {
        each.id: replace(each, status=Status.DIED) for each in narrow_flock().living if each.sex is Sex.COCK
    }
    changed = {} if cocks else gone
    lent = replace(next(each for each in narrow_flock().birds if each.id == "Yarrow"), status=Status.LENT)
    snapshot = narrow_flock(Yarrow=lent, **changed)
    borrowing = the_bird(snapshot).borrowing
    assert borrowing is not None
    book = conventional_pedigree(snapshot)
    node = {each.id: int(book.nodes[row]) for row, each in enumerate(snapshot.birds)}
    pedigree, chicks = book.pedigree, np.zeros(0, dtype=np.int32)
    if cocks:
        mates = np.array([node[name] for name in cocks], dtype=np.int32)
        pedigree, chicks = with_chicks(pedigree, node["Yarrow"], mates, CHICKS_KEPT, Sex.HEN)
    table = relationship_table(pedigree) / 2
    home = [*(node[each.id] for each in snapshot.living), node["Yarrow"], *chicks.tolist()]
    assert {each.id for each in snapshot.living} <= here
    assert (borrowing.chicks, borrowing.mates, borrowing.stays) == (len(chicks), len(cocks), True)
    assert borrowing.kinship_after == pytest.approx(table[np.ix_(home, home)].mean(), abs=1e-12)
    # the hen herself is home, with one gene of Teasel's two
    assert borrowing.retained_after >= 0.5 - 1e-9


def test_nobody_to_call_is_said() -> None:
    snapshot = yarrow(status=Status.DIED)
    call = calls_of(snapshot)[BirdId("Teasel")]
    assert call.birds == ()
    assert "No bird lent, sold or given away that may still live carries Teasel" in said(
        call_words(call, snapshot)
    )


def test_how_the_effect_is_worked_out_is_said() -> None:
    assert "four chicks" in borrowing_method().text
    assert CHICKS_KEPT == 4
