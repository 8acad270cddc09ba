"""Where a sitting stands on a day, in words, and what to mind about it."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from studbook.book.changes import Chick, Enter, MoveEggs, PartBatch, RegisterChicks
from studbook.book.husbandry.rows import (
    Batch,
    Candling,
    EggFate,
    Fate,
    Husbandry,
    MixedIn,
    Reading,
    Sitting,
)
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import (
    BatchId,
    BirdId,
    CandlingId,
    EggFateId,
    MachineId,
    MixedInId,
    ReadingId,
    SittingId,
)
from studbook.book.records import Snapshot
from studbook.planning.sittings.counts import count_batch, count_sitting
from studbook.planning.sittings.days import days_kept, kind_of, plan_of
from studbook.planning.sittings.drafting import before_setting, too_many, whose_draft
from studbook.planning.sittings.minding import Matter, remarks
from studbook.planning.sittings.names import batch_text, sitting_text
from studbook.planning.sittings.origin import batch_of, egg_sentences
from studbook.planning.sittings.standing import Stage, standing_of, standing_sentence
from studbook.planning.sittings.weights import loss_sentence, weighings
from studbook.season.incubation import LossVerdict, incubation
from tests.season_flock import Yard, hatch, new_yard, set_eggs

IN_MACHINE = MachineId("m1")


def told(day: date) -> str:
    return f"{day.day} {day:%b}"


def sitting(set_on: date, species: str = "chicken", days: int | None = None) -> Sitting:
    return Sitting(SittingId("s1"), set_on, species=species, days=days, machine=IN_MACHINE)


def year_of(row: Sitting, *candled: date, left: int = 12) -> Husbandry:
    """A sitting of twelve eggs of which `left` have no end, all candled on these days."""
    batch = Batch(BatchId("b1"), row.id, 12, outside="told nothing")
    fates = {}
    if left < 12:
        fate = EggFate(EggFateId("f1"), batch.id, Fate.HATCHED, 12 - left, row.set_on + timedelta(21))
        fates = {fate.id: fate}
    candlings = {
        CandlingId(f"c{number}"): Candling(CandlingId(f"c{number}"), batch.id, day, alive=10)
        for number, day in enumerate(candled)
    }
    return Husbandry(sittings={row.id: row}, batches={batch.id: batch}, candlings=candlings, egg_fates=fates)


def sentence(row: Sitting, today: date, *candled: date, left: int = 12) -> str:
    return standing_sentence(standing_of(year_of(row, *candled, left=left), row, today), told)


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (0, "Day 0 of 21: candle from 22 Mar on; lockdown 2 Apr, due 5 Apr ± 1 day."),
        (6, "Day 6 of 21: candle from tomorrow on; lockdown 2 Apr, due 5 Apr ± 1 day."),
        (7, "Day 7 of 21: candle today or until 25 Mar; lockdown 2 Apr, due 5 Apr ± 1 day."),
        (9, "Day 9 of 21: candle today or tomorrow; lockdown 2 Apr, due 5 Apr ± 1 day."),
        (10, "Day 10 of 21: candle today; lockdown 2 Apr, due 5 Apr ± 1 day."),
        (12, "Day 12 of 21: candling was due by 25 Mar; lockdown 2 Apr, due 5 Apr ± 1 day."),
        (18, "Day 18 of 21: candle today; turning stops today, due 5 Apr ± 1 day."),
        (19, "Day 19 of 21: due 5 Apr ± 1 day."),
        (20, "Day 20 of 21: chicks may hatch from today on, due 5 Apr ± 1 day."),
        (21, "Day 21 of 21: due today."),
        (22, "Day 22 of 21: due since 5 Apr, until 6 Apr."),
        (23, "Day 23 of 21: the last usual day was yesterday, count the eggs out."),
        (26, "Day 26 of 21: the last usual day was 4 days ago, count the eggs out."),
    ],
)
def test_a_sitting_set_in_mid_march_over_the_end_of_the_month(day: int, words: str) -> None:
    # 21 days for fowl, turning stops on day 18: University of Nebraska incubation guide, Table I;
    # first candling after a week to ten days: common practice
    row = sitting(date(2027, 3, 15))
    assert sentence(row, row.set_on + timedelta(day)) == words


@pytest.mark.parametrize(
    ("year", "lockdown", "due"),
    # the 29th of February lies within the one sitting and is not there in the other
    [(2028, "2 Mar", "5 Mar"), (2027, "3 Mar", "6 Mar"), (2100, "3 Mar", "6 Mar")],
)
def test_a_leap_day_moves_the_due_day(year: int, lockdown: str, due: str) -> None:
    row = sitting(date(year, 2, 13))
    assert f"lockdown {lockdown}, due {due} ± 1 day" in sentence(row, row.set_on)


def test_a_sitting_goes_over_the_end_of_the_year() -> None:
    row = sitting(date(2026, 12, 20))
    assert plan_of(row).due == date(2027, 1, 10)
    assert standing_of(year_of(row), row, date(2027, 1, 1)).day == 12


def test_a_candling_made_is_not_asked_for_again() -> None:
    row = sitting(date(2027, 3, 15))
    words = sentence(row, date(2027, 3, 24), date(2027, 3, 23))
    assert words == "Day 9 of 21: candle from 29 Mar on; lockdown 2 Apr, due 5 Apr ± 1 day."
    words = sentence(row, date(2027, 3, 30), date(2027, 3, 23), date(2027, 3, 30))
    assert words == "Day 15 of 21: lockdown 2 Apr, due 5 Apr ± 1 day."


def test_an_early_look_does_not_stand_for_the_candling() -> None:
    row = sitting(date(2027, 3, 15))
    assert "candle today" in sentence(row, date(2027, 3, 23), date(2027, 3, 18))


def test_a_broody_is_left_in_peace_where_a_machine_is_locked_down() -> None:
    row = replace(sitting(date(2027, 3, 15)), machine=None, broody=BirdId("h1"))
    assert "leave her in peace from 2 Apr" in sentence(row, date(2027, 3, 16))


def test_a_window_that_is_not_even_is_written_with_its_days() -> None:
    # call ducks: about 26 to 27 days, from memory
    row = sitting(date(2027, 3, 1), "duck", 26)
    assert kind_of(row).kind == "call duck"
    assert "due 27 Mar (26 Mar to 29 Mar)" in sentence(row, date(2027, 3, 2))


def test_days_of_a_bantam_mean_a_bantam_and_own_days_move_everything() -> None:
    assert kind_of(sitting(date(2027, 3, 1), days=20)).kind == "bantam"
    own = plan_of(sitting(date(2027, 3, 1), days=22))
    assert (own.lockdown, own.due) == (date(2027, 3, 20), date(2027, 3, 23))
    assert days_kept("chicken", None) is None
    assert days_kept("bantam", None) == 20
    assert days_kept("chicken", 22) == 22


def test_a_sitting_counted_out_asks_to_be_closed() -> None:
    row = sitting(date(2027, 3, 15))
    words = sentence(row, date(2027, 4, 6), left=0)
    assert words == "Every egg has its end: 12 chicks of 12 eggs. Close the sitting."
    closed = replace(row, closed=date(2027, 4, 6))
    found = standing_of(year_of(closed, left=3), closed, date(2027, 5, 1))
    assert found.stage is Stage.CLOSED
    assert standing_sentence(found, told) == "Closed on 6 Apr: 9 chicks of 12 eggs."


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return new_yard(tmp_path / "withybrook.studbook")


def said(yard: Yard, row: Sitting, today: date) -> dict[Matter, str]:
    snapshot = yard.book.snapshot()
    asking = WhoseEgg({bird.id: bird for bird in snapshot.birds}, snapshot.husbandry)
    names = {bird.id: bird.name for bird in snapshot.birds}
    return {
        remark.matter: "".join(
            part if isinstance(part, str) else names[part.bird]  # type: ignore[union-attr]
            for part in remark.sentence
        )
        for remark in remarks(snapshot, asking, row, today, told)
    }


def enter(yard: Yard, row: Sitting, eggs: int, first: date, last: date) -> Sitting:
    batch = Batch(BatchId(yard.book.new_id()), row.id, eggs, pen=yard.orchard, laid_from=first, laid_to=last)
    yard.book.apply(Enter((row, batch)))
    return row


def in_cabinet(yard: Yard, set_on: date) -> Sitting:
    return Sitting(SittingId(yard.book.new_id()), set_on, machine=yard.machine)


def test_eggs_kept_over_a_week_are_minded_with_the_source(yard: Yard) -> None:
    # a week at most: Mississippi State University Extension
    row = in_cabinet(yard, date(2027, 1, 20))
    enter(yard, row, 6, date(2027, 1, 11), date(2027, 1, 15))
    text = said(yard, row, date(2027, 1, 20))[Matter.AGE]
    assert "5 to 9 days old when set" in text
    assert "Past 7 days fewer hatch" in text
    assert "Mississippi State University Extension" in text
    fresh = in_cabinet(yard, date(2027, 1, 20))
    enter(yard, fresh, 6, date(2027, 1, 13), date(2027, 1, 20))
    assert Matter.AGE not in said(yard, fresh, date(2027, 1, 20))


def test_a_machine_over_its_places_is_minded(yard: Yard) -> None:
    one, two = in_cabinet(yard, date(2027, 1, 20)), in_cabinet(yard, date(2027, 1, 20))
    enter(yard, one, 30, date(2027, 1, 18), date(2027, 1, 18))
    assert Matter.PLACES not in said(yard, one, date(2027, 1, 20))
    enter(yard, two, 19, date(2027, 1, 18), date(2027, 1, 18))
    assert (
        said(yard, one, date(2027, 1, 20))[Matter.PLACES] == "Cabinet holds 49 eggs, more than its 48 places."
    )


def test_two_sittings_of_which_one_lies_still_are_minded(yard: Yard) -> None:
    one, two = in_cabinet(yard, date(2027, 1, 20)), in_cabinet(yard, date(2027, 1, 27))
    enter(yard, one, 6, date(2027, 1, 18), date(2027, 1, 18))
    enter(yard, two, 6, date(2027, 1, 25), date(2027, 1, 25))
    words = said(yard, two, date(2027, 1, 28))[Matter.TURNING]
    assert words.startswith("From 7 Feb the eggs of Cabinet, set 20 Jan lie still")
    same = in_cabinet(yard, date(2027, 1, 20))
    enter(yard, same, 6, date(2027, 1, 18), date(2027, 1, 18))
    assert Matter.TURNING in said(yard, same, date(2027, 1, 28))
    later = in_cabinet(yard, date(2027, 2, 12))
    enter(yard, later, 6, date(2027, 2, 10), date(2027, 2, 10))
    assert "20 Jan" not in said(yard, later, date(2027, 2, 13)).get(Matter.TURNING, "")


def test_a_broody_that_sits_on_is_minded(yard: Yard) -> None:
    row = Sitting(SittingId(yard.book.new_id()), date(2027, 1, 1), broody=yard.betony)
    enter(yard, row, 6, date(2026, 12, 30), date(2026, 12, 30))
    # 22 days are the last usual ones, a week more is common practice
    assert Matter.LONG not in said(yard, row, date(2027, 1, 30))
    assert said(yard, row, date(2027, 1, 31))[Matter.LONG].startswith("Betony has sat for 30 days")


def test_eggs_moved_in_keep_the_day_they_were_set(yard: Yard) -> None:
    batch = set_eggs(yard, 12, date(2027, 1, 8), pen=yard.orchard)
    other = Sitting(SittingId(yard.book.new_id()), date(2027, 1, 20), broody=yard.betony)
    enter(yard, other, 4, date(2027, 1, 18), date(2027, 1, 18))
    yard.book.apply(MoveEggs(batch.id, other.id, 5, date(2027, 1, 21)))
    words = said(yard, other, date(2027, 1, 22))[Matter.OTHER_DAY]
    assert words == "5 eggs of Orchard were set on 11 Jan: due 1 Feb ± 1 day."


def test_eggs_parted_off_count_once(yard: Yard) -> None:
    batch = set_eggs(yard, 12, date(2027, 1, 8), pen=yard.orchard)
    yard.book.apply(PartBatch(batch.id, 5, "left"))
    year = yard.book.snapshot().husbandry
    first, second = year.batches_of[batch.sitting]
    yard.book.apply(
        Enter(
            (
                EggFate(EggFateId(""), first.id, Fate.HATCHED, 4, date(2027, 2, 1), died=1),
                EggFate(EggFateId(""), second.id, Fate.LATE_DEAD, 2, date(2027, 2, 1)),
            )
        )
    )
    year = yard.book.snapshot().husbandry
    count = count_sitting(year, year.sittings[batch.sitting])
    assert (count.eggs, count.left, count.hatched, count.unregistered) == (12, 6, 4, 3)
    assert count.fates == {Fate.HATCHED: 4, Fate.LATE_DEAD: 2}
    assert count_batch(year, second).left == 3


def test_weight_is_compared_by_the_mean_of_an_egg(yard: Yard) -> None:
    batch = set_eggs(yard, 12, date(2027, 1, 8), pen=yard.orchard)
    set_on = date(2027, 1, 11)
    readings = [
        Reading(ReadingId(""), batch.sitting, set_on, weight=720.0, weighed=12),
        # two clear eggs taken out: 57 g each, 5 % less than the 60 g when set
        Reading(ReadingId(""), batch.sitting, set_on + timedelta(9), weight=570.0, weighed=10),
    ]
    yard.book.apply(Enter(tuple(readings)))
    year = yard.book.snapshot().husbandry
    first, second = weighings(year, year.sittings[batch.sitting])
    assert first.loss is None
    assert second.loss is not None
    assert second.loss.lost == pytest.approx(0.05)
    # 11 to 14 % until day 18, half of it by day 9: from memory
    assert second.loss.usual.low == pytest.approx(0.055)
    assert second.loss.verdict is LossVerdict.LITTLE
    words = loss_sentence(second.loss, lambda share: f"{share * 100:.1f} %")
    assert words.startswith(
        "By day 9 the eggs have lost only 5.0 % of their weight; 5.5 % to 7.0 % is usual."
    )


def test_whose_a_draft_would_be_is_said_before_it_is_saved(yard: Yard) -> None:
    snapshot = yard.book.snapshot()
    asking = WhoseEgg({bird.id: bird for bird in snapshot.birds}, snapshot.husbandry)
    row = Sitting(SittingId("draft"), date(2027, 1, 20), machine=yard.machine)
    day = date(2027, 1, 18)
    batch = Batch(BatchId("draft b"), row.id, 10, pen=yard.orchard, laid_from=day, laid_to=day)
    mixed = MixedIn(MixedInId("draft m"), batch.id, 4, pen=yard.lane, laid_from=day, laid_to=day)
    found = whose_draft(asking, row, batch, (mixed,))
    weights = {(pair.sire, pair.dam): pair.weight for pair in found.pairs}
    # six of ten eggs come from the Orchard with its two hens, four from the Lane
    assert weights == pytest.approx(
        {(yard.usk, yard.avens): 0.3, (yard.usk, yard.betony): 0.3, (yard.lune, yard.cowslip): 0.4}
    )
    assert not yard.book.snapshot().husbandry.sittings


def test_counts_and_days_that_cannot_be_are_told() -> None:
    (problem,) = too_many(13, 12, "Orchard", "batch_1")
    assert problem.message == "Orchard: 13 eggs told of, but only 12 are left: correct the counts."
    assert too_many(12, 12, "Orchard", "batch_1") == ()
    set_on, today = date(2027, 2, 28), date(2027, 3, 10)
    assert "before the eggs were set" in before_setting(date(2027, 2, 27), set_on, today, "on")[0].message
    assert "still to come" in before_setting(date(2027, 3, 11), set_on, today, "on")[0].message
    assert before_setting(set_on, set_on, today, "on") == ()


def test_a_bird_leads_back_to_its_egg(yard: Yard) -> None:
    batch = set_eggs(yard, 12, date(2027, 1, 8), pen=yard.orchard)
    hatch(yard, batch, 2, date(2027, 2, 1))
    yard.book.apply(RegisterChicks(batch.id, date(2027, 2, 1), (Chick(), Chick())))
    snapshot: Snapshot = yard.book.snapshot()
    chick = snapshot.husbandry.birds_of[batch.id][0]
    found = batch_of(snapshot, chick)
    assert found is not None
    texts = ["".join(map(str, each)) for each in egg_sentences(snapshot, found, told)]
    assert texts == ["An egg of Orchard, laid 8 Jan.", "Sitting: Cabinet, set 11 Jan."]
    assert batch_of(snapshot, yard.usk) is None


def test_a_sitting_and_a_batch_are_called_by_what_they_are(yard: Yard) -> None:
    batch = set_eggs(yard, 12, date(2027, 1, 8), hen=yard.avens)
    snapshot = yard.book.snapshot()
    row = snapshot.husbandry.sittings[batch.sitting]
    assert sitting_text(snapshot, row, told) == "Cabinet, set 11 Jan"
    two = replace(row, machine=None, broody=yard.avens, second_broody=yard.betony)
    assert sitting_text(snapshot, two, told) == "W24-11 Avens and W24-12 Betony, set 11 Jan"
    assert sitting_text(snapshot, replace(row, name="The first"), told) == "The first"
    assert batch_text(snapshot, replace(batch, compartment="left")) == "W24-11 Avens, left"


def test_every_kind_of_the_table_gives_a_plan() -> None:
    for kind in ("goose", "muscovy duck", "japanese quail", "pigeon"):
        row = sitting(date(2027, 4, 30), kind)
        assert plan_of(row).due == date(2027, 4, 30) + timedelta(incubation(kind).days)
