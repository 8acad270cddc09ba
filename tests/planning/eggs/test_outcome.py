"""What came of the eggs set: whose they count for, and how sure small numbers are."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from studbook.book.changes import Enter, MoveBirds, MoveEggs
from studbook.book.husbandry.rows import Batch, Candling, EggFate, Fate, MixedIn, Sitting
from studbook.book.ids import BatchId, BirdId, CandlingId, EggFateId, MixedInId, PenId, SittingId
from studbook.planning.eggs.outcome import By, OutcomeRow, all_together, outcomes, parents_of_eggs, seasons
from studbook.planning.eggs.telling import (
    doubt_of_group,
    group_text,
    loss_sentences,
    loss_sources,
    outcome_sentences,
    share_text,
    share_words,
)
from studbook.season.binomial import interval
from tests.season_flock import Yard, new_yard

SET_ON = date(2026, 3, 9)


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return new_yard(tmp_path / "withybrook.studbook")


def put_under(
    yard: Yard,
    eggs: int,
    *,
    pen: PenId | None = None,
    hen: BirdId | None = None,
    broody: BirdId | None = None,
) -> Batch:
    """Eggs laid on the days before, set on a Monday in March."""
    machine = yard.machine if broody is None else None
    sitting = Sitting(SittingId(yard.book.new_id()), SET_ON, machine=machine, broody=broody)
    batch = Batch(
        BatchId(yard.book.new_id()), sitting.id, eggs, pen=pen, hen=hen,
        laid_from=SET_ON - timedelta(3), laid_to=SET_ON,
    )  # fmt: skip
    yard.book.apply(Enter((sitting, batch)))
    return batch


def end(yard: Yard, batch: Batch, **fates: int) -> None:
    rows = [
        EggFate(EggFateId(""), batch.id, Fate[name.upper()], eggs, SET_ON + timedelta(21))
        for name, eggs in fates.items()
    ]
    yard.book.apply(Enter(tuple(rows)))


def candle(yard: Yard, batch: Batch, *, alive: int, clear: int = 0) -> None:
    row = Candling(CandlingId(""), batch.id, SET_ON + timedelta(8), alive=alive, clear=clear)
    yard.book.apply(Enter((row,)))


def by(yard: Yard, what: By) -> dict[str, OutcomeRow]:
    """The lines by what they are called."""
    snapshot = yard.book.snapshot()
    return {
        group_text(row.group, snapshot, lambda bird: bird.called, str): row
        for row in outcomes(snapshot, what)
    }


def test_twelve_eggs_of_a_pen_with_their_exact_intervals(yard: Yard) -> None:
    """The exact limits of 9 in 12 (Clopper & Pearson 1934) are the beta quantiles 0.4281 and 0.9451."""
    end(yard, put_under(yard, 12, pen=yard.orchard), clear=3, late_dead=1, hatched=8)
    row = by(yard, By.PEN)["Orchard"]
    assert share_words(row.outcome.fertility) == "9 of 12, between 43 and 95 in 100"
    assert share_text(row.outcome.fertility) == "9 of 12 · 43–95 %"
    assert row.over.hatch_of_set is not None
    assert row.over.hatch_of_fertile is not None
    assert (row.over.hatch_of_set.count, row.over.hatch_of_set.of) == (8, 12)
    assert (row.over.hatch_of_fertile.count, row.over.hatch_of_fertile.of) == (8, 9)


def test_no_percentage_of_nothing() -> None:
    assert share_text(interval(0, 0)) == ""
    assert share_words(interval(0, 0)) == ""


def test_many_eggs_are_told_in_per_cent() -> None:
    assert share_text(interval(172, 200)).startswith("86 % · ")


def test_eggs_go_to_the_cock_and_the_hen_that_are_certain(yard: Yard) -> None:
    end(yard, put_under(yard, 6, pen=yard.orchard), hatched=6)
    end(yard, put_under(yard, 4, hen=yard.avens), hatched=3, clear=1)
    assert by(yard, By.COCK)["W24-01"].counts.set_here == 10
    hens = by(yard, By.HEN)
    assert hens["W24-11"].counts.set_here == 4
    assert hens["W24-11 or W24-12"].counts.set_here == 6
    assert "cannot be told apart" in doubt_of_group(hens["W24-11 or W24-12"].group)


def test_eggs_after_an_exchange_of_cocks_count_for_neither_alone(yard: Yard) -> None:
    """Three days after Lune came, an egg may still be by Usk."""
    day = SET_ON - timedelta(5)
    yard.book.apply(MoveBirds((yard.usk,), None, day))
    yard.book.apply(MoveBirds((yard.lune,), yard.orchard, day))
    put_under(yard, 6, pen=yard.orchard)
    assert set(by(yard, By.COCK)) == {"W24-01 or W24-02"}


def test_two_pens_mixed_have_a_line_of_their_own(yard: Yard) -> None:
    batch = put_under(yard, 9, pen=yard.orchard)
    yard.book.apply(Enter((MixedIn(MixedInId(""), batch.id, 4, pen=yard.lane),)))
    put_under(yard, 2, pen=yard.lane)
    assert {name: row.counts.set_here for name, row in by(yard, By.PEN).items()} == {
        "Lane": 2,
        "Orchard and Lane, mixed": 9,
    }


def test_eggs_moved_to_a_broody_count_where_they_ended(yard: Yard) -> None:
    batch = put_under(yard, 8, pen=yard.orchard)
    nest = Sitting(SittingId(yard.book.new_id()), SET_ON, broody=yard.cowslip)
    yard.book.apply(Enter((nest,)))
    yard.book.apply(MoveEggs(batch.id, nest.id, 5, SET_ON + timedelta(4)))
    assert by(yard, By.BROODY)["W24-13"].counts.set_here == 5
    assert by(yard, By.MACHINE)["Cabinet"].counts.set_here == 3
    assert by(yard, By.PEN)["Orchard"].counts.set_here == 8


def test_weeks_begin_on_monday(yard: Yard) -> None:
    put_under(yard, 8, pen=yard.orchard)
    assert list(by(yard, By.WEEK)) == ["week of 2026-03-09"]


def test_a_hatch_is_told_of_the_sittings_that_are_over(yard: Yard) -> None:
    end(yard, put_under(yard, 6, pen=yard.orchard), hatched=6)
    under_way = put_under(yard, 10, pen=yard.orchard)
    candle(yard, under_way, alive=7, clear=3)
    end(yard, under_way, clear=3)
    row = by(yard, By.PEN)["Orchard"]
    assert (row.outcome.fertility.count, row.outcome.fertility.of, row.under_way) == (13, 16, 7)
    assert row.over.hatch_of_set is not None
    assert (row.over.hatch_of_set.count, row.over.hatch_of_set.of) == (6, 6)
    assert any("7 eggs are still under way" in sentence for sentence in outcome_sentences(row))


def test_eggs_of_a_trial_taken_away_alive_tell_of_fertility_and_of_no_hatch(yard: Yard) -> None:
    batch = put_under(yard, 10, pen=yard.orchard)
    candle(yard, batch, alive=8, clear=2)
    end(yard, batch, clear=2, removed=8)
    row = by(yard, By.PEN)["Orchard"]
    assert (row.outcome.fertility.count, row.outcome.fertility.of) == (8, 10)
    assert (row.taken_alive, row.under_way, row.over.hatch_of_set) == (8, 0, None)


def test_eggs_taken_away_unseen_are_neither_fertile_nor_clear(yard: Yard) -> None:
    end(yard, put_under(yard, 5, pen=yard.orchard), removed=4, hatched=1)
    row = by(yard, By.PEN)["Orchard"]
    assert (row.outcome.fertility.of, row.taken_alive, row.counts.removed) == (1, 0, 4)


def test_a_loss_beyond_chance_names_what_guides_look_at_and_that_a_vet_decides(yard: Yard) -> None:
    end(yard, put_under(yard, 20, pen=yard.orchard), clear=14, hatched=6)
    row = by(yard, By.PEN)["Orchard"]
    (told,) = loss_sentences(row)
    assert told.startswith("More clear than usual: 14 of 20, between 46 and 88 in 100.")
    assert "the cock" in told
    *_sources, last = loss_sources(row)
    assert "not a diagnosis" in last
    assert "vet" in last


def test_two_clear_of_ten_do_not_stand_out(yard: Yard) -> None:
    end(yard, put_under(yard, 10, pen=yard.orchard), clear=2, hatched=8)
    row = by(yard, By.PEN)["Orchard"]
    assert loss_sentences(row) == ("No loss stands out from what is usual by more than chance explains.",)
    assert loss_sources(row) == ()


def test_all_lines_together_are_all_eggs_once(yard: Yard) -> None:
    end(yard, put_under(yard, 6, pen=yard.orchard), hatched=6)
    put_under(yard, 4, pen=yard.lane)
    rows = outcomes(yard.book.snapshot(), By.PEN)
    together = all_together(By.PEN, rows)
    assert (together.counts.set_here, len(together.sittings), together.under_way) == (10, 2, 4)


def test_a_season_is_the_year_of_setting(yard: Yard) -> None:
    put_under(yard, 6, pen=yard.orchard)
    snapshot = yard.book.snapshot()
    assert seasons(snapshot) == (2026,)
    assert outcomes(snapshot, By.PEN, 2025) == ()
    assert all_together(By.PEN, ()).counts.set_here == 0


def test_parents_are_worked_out_anew_only_when_stays_or_settings_change(yard: Yard) -> None:
    put_under(yard, 6, pen=yard.orchard)
    known = parents_of_eggs(yard.book.snapshot())
    end(yard, next(iter(yard.book.snapshot().husbandry.batches.values())), hatched=6)
    assert parents_of_eggs(yard.book.snapshot(), known) is known
    yard.book.apply(MoveBirds((yard.usk,), None, SET_ON - timedelta(40)))
    fresh = parents_of_eggs(yard.book.snapshot(), known)
    assert fresh is not known
    assert by(yard, By.COCK) != {}
