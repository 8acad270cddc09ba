"""The tally of a week: which lines it has and in which order, and how well the hens lay."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from studbook.book.changes import Enter, MoveBirds, SetStatus
from studbook.book.errors import RecordProblems
from studbook.book.husbandry.rows import Collection, House, Pen, Trial, TrialHen
from studbook.book.ids import CollectionId, HouseId, PenId, TrialHenId, TrialId
from studbook.book.records import Status
from studbook.dates import PartialDate
from studbook.planning.eggs.gathering import count_eggs
from studbook.planning.eggs.telling import doubt_sentence, rate_sentence
from studbook.planning.eggs.week import Source, TallyRow, tally_rows
from tests.season_flock import Yard, new_yard

MONDAY = date(2026, 3, 2)


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return new_yard(tmp_path / "withybrook.studbook")


def gather(yard: Yard, day: date, eggs: int, of: Source) -> None:
    change = count_eggs(yard.book.snapshot(), of, day, eggs)
    assert change is not None
    yard.book.apply(change)


def line(yard: Yard, of: Source, today: date | None = None) -> TallyRow:
    return next(row for row in tally_rows(yard.book.snapshot(), MONDAY, today) if row.source == of)


def test_pens_come_in_the_order_of_the_walk_and_trap_nested_hens_after_them(yard: Yard) -> None:
    near = House(HouseId(yard.book.new_id()), "Aviary", 0)
    yard.book.apply(Enter((near, Pen(PenId(yard.book.new_id()), "Far", near.id, 2))))
    yard.book.apply(Enter((Pen(PenId(yard.book.new_id()), "Near", near.id, 1),)))
    yard.book.apply(Enter((Pen(PenId(yard.book.new_id()), "Loose"),)))
    gather(yard, MONDAY, 1, Source(hen=yard.cowslip))
    gather(yard, MONDAY, 1, Source(hen=yard.avens))
    rows = tally_rows(yard.book.snapshot(), MONDAY)
    assert [row.name for row in rows[:5]] == ["Near", "Far", "Orchard", "Lane", "Loose"]
    # Avens walks in the Orchard, which comes before the Lane
    assert [row.source.hen for row in rows[5:]] == [yard.avens, yard.cowslip]


def test_a_pen_known_to_hold_no_hen_has_no_line_unless_eggs_were_gathered_there(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.cowslip,), yard.orchard, date(2026, 2, 1)))
    assert [row.name for row in tally_rows(yard.book.snapshot(), MONDAY)] == ["Orchard"]
    gather(yard, MONDAY, 2, Source(pen=yard.lane))
    assert [row.name for row in tally_rows(yard.book.snapshot(), MONDAY)] == ["Orchard", "Lane"]


def test_the_hens_of_a_trial_have_lines_before_their_first_egg(yard: Yard) -> None:
    trial = Trial(TrialId(yard.book.new_id()), yard.usk, MONDAY, MONDAY + timedelta(7))
    yard.book.apply(Enter((trial, TrialHen(TrialHenId(""), trial.id, yard.betony))))
    assert Source(hen=yard.betony) in [row.source for row in tally_rows(yard.book.snapshot(), MONDAY)]
    before = tally_rows(yard.book.snapshot(), MONDAY - timedelta(7))
    assert Source(hen=yard.betony) not in [row.source for row in before]


def test_a_hen_keeps_her_line_for_two_weeks_and_not_longer(yard: Yard) -> None:
    gather(yard, MONDAY, 1, Source(hen=yard.avens))
    lined = [
        Source(hen=yard.avens)
        in [row.source for row in tally_rows(yard.book.snapshot(), MONDAY + timedelta(7 * weeks))]
        for weeks in range(4)
    ]
    assert lined == [True, True, True, False]


def test_nothing_written_down_is_not_no_egg(yard: Yard) -> None:
    gather(yard, MONDAY, 0, Source(pen=yard.orchard))
    told = line(yard, Source(pen=yard.orchard))
    untold = line(yard, Source(pen=yard.lane))
    assert (told.days[0].eggs, told.days[1].eggs, told.total) == (0, None, 0)
    assert (untold.total, untold.rate) == (None, None)
    assert told.rate is not None
    assert told.rate.per_hen_day == 0


def test_the_rate_counts_hens_and_days_and_a_trap_nested_hens_eggs(yard: Yard) -> None:
    """Two hens for seven days are fourteen hen-days; 6 eggs of the pen and 1 of a hen in it make 7 of 14."""
    for number in range(6):
        gather(yard, MONDAY + timedelta(number), 1, Source(pen=yard.orchard))
    gather(yard, MONDAY, 1, Source(hen=yard.avens))
    told = line(yard, Source(pen=yard.orchard))
    assert told.rate is not None
    assert (told.total, told.rate.eggs, told.rate.hen_days) == (6, 7, 14)
    assert rate_sentence(told).startswith("7 eggs in 14 hen-days")


def test_a_hen_moved_within_the_week_counts_once_a_day(yard: Yard) -> None:
    """From Thursday on Betony is in the Lane: 2 × 3 + 1 × 4 hen-days here, 1 × 3 + 2 × 4 there."""
    yard.book.apply(MoveBirds((yard.betony,), yard.lane, MONDAY + timedelta(3)))
    gather(yard, MONDAY, 1, Source(pen=yard.orchard))
    gather(yard, MONDAY, 1, Source(pen=yard.lane))
    here, there = line(yard, Source(pen=yard.orchard)).rate, line(yard, Source(pen=yard.lane)).rate
    assert here is not None
    assert there is not None
    assert (here.hen_days, there.hen_days) == (10, 11)


def test_a_hen_that_died_counts_to_her_last_day(yard: Yard) -> None:
    gather(yard, MONDAY, 2, Source(pen=yard.orchard))
    died = PartialDate.of(MONDAY + timedelta(1))
    yard.book.apply(SetStatus((yard.betony,), Status.DIED, died))
    rate = line(yard, Source(pen=yard.orchard)).rate
    assert rate is not None
    assert rate.hen_days == 9


def test_today_counts_once_an_egg_of_it_is_written_down(yard: Yard) -> None:
    today = MONDAY + timedelta(2)
    gather(yard, MONDAY, 2, Source(pen=yard.orchard))
    before = line(yard, Source(pen=yard.orchard), today).rate
    gather(yard, today, 1, Source(pen=yard.lane))
    after = line(yard, Source(pen=yard.orchard), today).rate
    assert before is not None
    assert after is not None
    assert (before.hen_days, after.hen_days) == (4, 6)


def test_more_eggs_than_hens_and_eggs_without_hens_are_asked_about(yard: Yard) -> None:
    gather(yard, MONDAY, 3, Source(pen=yard.orchard))
    yard.book.apply(MoveBirds((yard.cowslip,), None, date(2026, 2, 1)))
    gather(yard, MONDAY, 1, Source(pen=yard.lane))
    many = line(yard, Source(pen=yard.orchard)).days[0]
    stray = line(yard, Source(pen=yard.lane)).days[0]
    assert doubt_sentence(many, "Orchard").startswith("3 eggs of 2 hens in one day")
    assert "no hen of laying age" in doubt_sentence(stray, "Lane")
    assert doubt_sentence(line(yard, Source(pen=yard.orchard)).days[1], "Orchard") == ""


def test_a_count_is_corrected_taken_out_and_named_in_the_journal(yard: Yard) -> None:
    of = Source(pen=yard.orchard)
    gather(yard, MONDAY, 2, of)
    assert yard.book.snapshot().undo_label == "enter 2 eggs of Orchard, 2026-03-02"
    gather(yard, MONDAY, 1, of)
    assert yard.book.snapshot().undo_label == "correct the eggs of Orchard, 2026-03-02"
    assert count_eggs(yard.book.snapshot(), of, MONDAY, 1) is None
    change = count_eggs(yard.book.snapshot(), of, MONDAY, None)
    assert change is not None
    yard.book.apply(change)
    assert line(yard, of).days[0].eggs is None
    yard.book.undo()
    assert line(yard, of).days[0].eggs == 1


def test_a_day_with_several_lots_is_not_corrected_by_its_sum(yard: Yard) -> None:
    lots = [
        Collection(CollectionId(""), MONDAY, eggs, pen=yard.orchard, colour=colour)
        for eggs, colour in ((1, "white"), (2, "brown"))
    ]
    yard.book.apply(Enter(tuple(lots)))
    assert line(yard, Source(pen=yard.orchard)).days[0].eggs == 3
    with pytest.raises(RecordProblems, match="Orchard has 2 collections"):
        count_eggs(yard.book.snapshot(), Source(pen=yard.orchard), MONDAY, 5)
