"""The sheet of an exchange and whose an egg is, in sentences; the days are those of `studbook.season`."""

from dataclasses import replace
from datetime import date, timedelta

from studbook.book.changes import AddBirds, Correct, Enter, MoveBirds, RegisterChicks, StrikeOut, Together
from studbook.book.changes.birds import Chick
from studbook.book.husbandry.rows import Condition, ConditionKind, Mating, MatingKind
from studbook.book.ids import ConditionId, MatingId
from studbook.book.records import Sex
from studbook.dates import PartialDate
from studbook.planning.pens.board import board
from studbook.planning.pens.exchange import exchange_sheet, exchange_words
from studbook.planning.pens.moved import moved_words
from studbook.planning.pens.whose import ask_hen, ask_pen, whose_words
from tests.flock import TODAY, bird
from tests.planning.pens.conftest import teller
from tests.season_flock import Yard, hatch, set_eggs

DAY = date(2026, 3, 1)


def exchange(yard: Yard) -> None:
    """Usk goes and Lune comes to the hens of the orchard."""
    yard.book.apply(
        Together((MoveBirds((yard.usk,), None, DAY), MoveBirds((yard.lune,), yard.orchard, DAY)), "exchange")
    )


def test_the_sheet_names_each_hen_with_her_days(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    sheet = exchange_sheet(snapshot, yard.orchard, yard.lune, DAY)
    assert sheet.leaving == (yard.usk,)
    pen, hens = (teller(snapshot)(sentence) for sentence in exchange_words(sheet, snapshot))
    # covered after 7 days, clear after 28, over after 35 (season figures of fowl)
    assert (
        pen == "Orchard is covered by Lune from 2026-03-08, and its eggs count as his alone from 2026-03-29."
    )
    assert hens == (
        "Avens and Betony: an egg may be by Lune from 2026-03-02, they are covered from 2026-03-08; "
        "until 2026-04-04 it may still be by Usk; it counts as his alone from 2026-03-29."
    )


def test_a_bought_hen_brings_an_unknown_cock(yard: Yard) -> None:
    hen = bird(yard.book, "A25-1", Sex.HEN, "2024-04-01", name="Sloe", founder=True)
    bought = replace(hen, arrived=PartialDate.of(DAY - timedelta(3)))
    yard.book.apply(AddBirds((bought,)))
    yard.book.apply(MoveBirds((bought.id,), yard.lane, DAY - timedelta(3)))
    yard.book.apply(MoveBirds((yard.lune, yard.cowslip), None, DAY - timedelta(3)))
    snapshot = yard.book.snapshot()
    sheet = exchange_sheet(snapshot, yard.lane, yard.usk, DAY)
    said = teller(snapshot)(exchange_words(sheet, snapshot)[1])
    assert "until 2026-04-01 it may still be by an unknown cock of the yard she came from" in said


def test_a_young_cock_counts_from_his_age(yard: Yard) -> None:
    young = bird(yard.book, "W25-9", Sex.COCK, "2025-12-01", name="Wharfe", founder=True)
    yard.book.apply(AddBirds((young,)))
    snapshot = yard.book.snapshot()
    sheet = exchange_sheet(snapshot, yard.orchard, young.id, DAY)
    assert sheet.fertile_from is not None
    assert sheet.fertile_from > DAY
    first = teller(snapshot)(exchange_words(sheet, snapshot)[0])
    assert first == f"Wharfe is of age on {sheet.fertile_from} only: what follows is counted from then."


def test_a_pen_without_hens_says_so(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.cowslip,), None, DAY))
    snapshot = yard.book.snapshot()
    sheet = exchange_sheet(snapshot, yard.lane, yard.usk, DAY)
    assert [teller(snapshot)(each) for each in exchange_words(sheet, snapshot)] == [
        "There is no laying hen in Lane on that day."
    ]


def test_an_egg_of_one_hen_with_one_cock_is_certain(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    words = whose_words(ask_hen(snapshot, yard.avens, DAY, DAY))
    assert teller(snapshot)(words.verdict) == "Certain: Usk × Avens."


def test_after_an_exchange_both_cocks_are_named_with_their_shares(yard: Yard) -> None:
    exchange(yard)
    snapshot = yard.book.snapshot()
    laid = DAY + timedelta(7)
    words = whose_words(ask_hen(snapshot, yard.avens, laid, laid))
    say = teller(snapshot)
    assert say(words.verdict) == "The dam is certain: Avens. The sire is one of 2 cocks."
    # a week after, four fifths are the later cock's (see studbook.season.paternity)
    assert [say(line) for line in words.candidates] == [
        "Lune, 80 %: with her since 2026-03-01.",
        "Usk, 20 %: left her on 2026-03-01; eggs go on for some time.",
    ]
    assert "The share of the later cock grows" in say(words.reasons[0])


def test_an_egg_of_a_pen_names_its_hens_and_who_is_left_out(yard: Yard) -> None:
    broody = Condition(ConditionId(""), yard.betony, ConditionKind.BROODY, date(2026, 2, 1))
    yard.book.apply(Enter((broody,)))
    snapshot = yard.book.snapshot()
    words = whose_words(ask_pen(snapshot, yard.orchard, DAY, DAY))
    say = teller(snapshot)
    assert say(words.verdict) == "Certain: Usk × Avens."
    assert [say(line) for line in words.left_out] == ["Not of Betony: broody."]


def test_long_after_the_cock_no_egg_is_fertile(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.lune,), None, DAY))
    snapshot = yard.book.snapshot()
    late = DAY + timedelta(60)
    say = teller(snapshot)
    of_hen = whose_words(ask_hen(snapshot, yard.cowslip, late, late))
    assert say(of_hen.verdict) == "The egg is of Cowslip, but no cock can be named: it will be clear."
    of_pen = whose_words(ask_pen(snapshot, yard.lane, late, late))
    assert say(of_pen.verdict).startswith("No cock and hen can be named")
    assert say(of_pen.left_out[0]) == (
        "No cock counts for Cowslip. Lune: too late: from 2026-04-05 no egg can be his."
    )


def test_a_pen_without_hens_has_nobody_s_egg(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    words = whose_words(ask_pen(snapshot, yard.orchard, date(2025, 3, 1), date(2025, 3, 1)))
    assert teller(snapshot)(words.verdict) == "No hen was there on these days."


def test_a_borrowed_cock_from_outside_is_a_candidate(yard: Yard) -> None:
    visit = Mating(MatingId(""), yard.cowslip, MatingKind.BORROWED, DAY, DAY, outside="Ida's black cock")
    yard.book.apply(Enter((visit,)))
    snapshot = yard.book.snapshot()
    words = whose_words(ask_hen(snapshot, yard.cowslip, DAY + timedelta(5), DAY + timedelta(5)))
    assert teller(snapshot)(words.verdict) == "An unknown cock from outside can be the sire."


def test_a_corrected_stay_lists_the_chicks_with_old_and_new_parents(yard: Yard) -> None:
    batch = set_eggs(yard, 6, DAY, hen=yard.avens)
    hatch(yard, batch, 1, DAY + timedelta(24))
    yard.book.apply(RegisterChicks(batch.id, DAY + timedelta(24), (Chick(name="Teasel"),)))
    before = yard.book.snapshot()
    stay = before.husbandry.stays_of[yard.usk][0]
    moved = Correct((stay,), (replace(stay, pen=yard.lane),))
    assert moved_words(before, before) == ()
    after = yard.book.foresee(moved)
    head, line = (teller(after)(sentence) for sentence in moved_words(before, after))
    assert head == "The parents of 1 bird would change:"
    assert line == "Teasel: Usk × Avens → unknown × Avens"


def test_a_cock_struck_out_counts_as_an_unknown_one(yard: Yard) -> None:
    visit = Mating(MatingId(""), yard.cowslip, MatingKind.VISIT, DAY, DAY, yard.usk)
    yard.book.apply(Enter((visit,)))
    yard.book.apply(StrikeOut((yard.usk,), "entered twice"))
    snapshot = yard.book.snapshot()
    words = whose_words(ask_hen(snapshot, yard.cowslip, DAY + timedelta(5), DAY + timedelta(5)))
    assert teller(snapshot)(words.verdict) == "An unknown cock from outside can be the sire."
    assert board(snapshot, TODAY).pen(yard.orchard) is not None
    sheet = exchange_sheet(snapshot, yard.lane, yard.lune, TODAY)
    assert [teller(snapshot)(each) for each in exchange_words(sheet, snapshot)]
