"""Who is apart, who is overdue, where each goes back to, and whom an ill bird was with."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from studbook.book.changes import EndApart, MoveBirds, SetApart, SetStatus
from studbook.book.husbandry.rows import Apart
from studbook.book.ids import ApartId, BirdId
from studbook.book.records import Status
from studbook.dates import PartialDate
from studbook.planning.care.apart import apart_before, apart_now, reason_caution, review_day, times_of
from studbook.planning.care.pen_mates import pen_mate_sentences, pen_mates
from studbook.planning.sentences import plain
from studbook.season.practice import ApartReason
from tests.flock import TODAY
from tests.season_flock import Yard, new_yard


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    made = new_yard(tmp_path / "yard.studbook")
    yield made
    made.book.close()


def set_apart(yard: Yard, bird: BirdId, since: date, review: date | None = None) -> None:
    apart = Apart(ApartId(""), bird, ApartReason.ILL, since, "box", review)
    yard.book.apply(SetApart(apart))


def test_those_overdue_stand_first_and_those_without_a_day_last(yard: Yard) -> None:
    set_apart(yard, yard.avens, date(2027, 2, 1))
    set_apart(yard, yard.betony, date(2027, 2, 12), date(2027, 2, 16))
    set_apart(yard, yard.cowslip, date(2027, 2, 5), date(2027, 2, 7))
    found = apart_now(yard.book.snapshot(), TODAY)
    assert [time.bird.id for time in found] == [yard.cowslip, yard.betony, yard.avens]
    assert [time.is_overdue for time in found] == [True, False, False]
    assert found[0].days == 9


def test_a_bird_goes_back_to_the_pen_it_left(yard: Yard) -> None:
    set_apart(yard, yard.avens, date(2027, 2, 1))
    (time,) = apart_now(yard.book.snapshot(), TODAY)
    assert time.pen is None
    assert time.left_pen == yard.orchard
    yard.book.apply(EndApart(time.apart.id, date(2027, 2, 10), "well again", time.left_pen))
    snapshot = yard.book.snapshot()
    assert apart_now(snapshot, TODAY) == ()
    (over,) = apart_before(snapshot, TODAY)
    assert over.apart.outcome == "well again"
    assert over.days == 9
    stay = snapshot.husbandry.stay_on(yard.avens, TODAY)
    assert stay is not None
    assert stay.pen == yard.orchard
    assert times_of(snapshot, yard.avens, TODAY) == (over,)


def test_the_next_look_follows_the_reason(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    # 30 days for birds bought in: a US extension course; 14 after a show: a farm's page quoting the USDA
    assert review_day(snapshot, yard.avens, ApartReason.BOUGHT, date(2027, 2, 1)) == date(2027, 3, 3)
    assert review_day(snapshot, None, ApartReason.SHOW, date(2027, 2, 1)) == date(2027, 2, 15)


def test_pen_mates_are_those_of_the_fourteen_days_before_with_their_pens_now(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.betony,), yard.lane, date(2027, 1, 20)))
    yard.book.apply(MoveBirds((yard.usk,), None, date(2027, 2, 5)))
    set_apart(yard, yard.avens, date(2027, 2, 10))
    mates = pen_mates(yard.book.snapshot(), yard.avens, date(2027, 2, 10), TODAY)
    # Betony left eleven days too early to count, Usk five days before
    assert [mate.bird.id for mate in mates] == [yard.usk]
    assert mates[0].together_until == date(2027, 2, 5)
    assert mates[0].shared == (yard.orchard,)
    assert mates[0].pen is None
    wider = pen_mates(yard.book.snapshot(), yard.avens, date(2027, 2, 10), TODAY, days=21)
    assert {mate.bird.id: mate.pen for mate in wider} == {yard.usk: None, yard.betony: yard.lane}


def test_pen_mates_are_told_by_where_they_are_now(yard: Yard) -> None:
    set_apart(yard, yard.avens, date(2027, 2, 10))
    yard.book.apply(SetStatus((yard.usk,), Status.DIED, PartialDate.of(date(2027, 2, 12))))
    snapshot = yard.book.snapshot()
    told = [
        plain(sentence, lambda bird: snapshot.bird(bird).name, lambda number, _decimals: str(number))
        for sentence in pen_mate_sentences(snapshot, yard.avens, date(2027, 2, 10), TODAY)
    ]
    assert told[0] == "In the 14 days before, Avens shared a pen with these birds: watch them."
    assert sorted(told[1:]) == ["No longer in the flock: Usk.", "Now in Orchard: Betony."]


def test_a_bird_that_was_in_no_pen_has_no_known_mates(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.avens,), None, date(2026, 6, 1)))
    (told,) = pen_mate_sentences(yard.book.snapshot(), yard.avens, date(2027, 2, 10), TODAY)
    assert any("knows of no bird" in part for part in told if isinstance(part, str))


@pytest.mark.parametrize("reason", ApartReason)
def test_every_reason_carries_the_caution(reason: ApartReason) -> None:
    text = reason_caution(reason)
    assert "sight of others, water and an end date" in text
    assert "vet" in text
    assert ("must be reported" in text) == (reason is ApartReason.ILL)
