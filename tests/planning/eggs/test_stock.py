"""The eggs on hand for setting: what is left of those gathered, and how old they are."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from studbook.book.changes import Enter
from studbook.book.husbandry.rows import Batch, Collection, EggUse, EggUseKind, Figure, MixedIn, Sitting
from studbook.book.ids import BatchId, BirdId, CollectionId, EggUseId, FigureId, MixedInId, PenId, SittingId
from studbook.planning.eggs.stock import OnHand, eggs_on_hand
from studbook.planning.eggs.telling import ageing_text, storage_sentences
from studbook.planning.eggs.week import Source
from tests.season_flock import Yard, new_yard

TODAY = date(2026, 3, 20)


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return new_yard(tmp_path / "withybrook.studbook")


def gather(yard: Yard, ages: dict[int, int], *, pen: PenId | None = None, hen: BirdId | None = None) -> None:
    """Eggs by their age in days."""
    yard.book.apply(
        Enter(
            tuple(
                Collection(CollectionId(""), TODAY - timedelta(age), eggs, pen=pen, hen=hen)
                for age, eggs in ages.items()
            )
        )
    )


def use(yard: Yard, kind: EggUseKind, eggs: int, pen: PenId, age: int = 0) -> None:
    yard.book.apply(Enter((EggUse(EggUseId(""), TODAY - timedelta(age), kind, eggs, pen=pen),)))


def put_under(yard: Yard, batch: Batch, *others: MixedIn) -> None:
    yard.book.apply(Enter((Sitting(batch.sitting, TODAY, machine=yard.machine), batch, *others)))


def on_hand(yard: Yard) -> dict[Source, OnHand]:
    return {row.of: row for row in eggs_on_hand(yard.book.snapshot(), TODAY)}


def ages(row: OnHand) -> dict[int, int]:
    return {(TODAY - day).days: eggs for day, eggs in row.laid}


def test_what_leaves_is_taken_from_the_oldest(yard: Yard) -> None:
    gather(yard, {9: 3, 2: 4}, pen=yard.orchard)
    use(yard, EggUseKind.EATEN, 2, yard.orchard)
    use(yard, EggUseKind.SOLD, 2, yard.orchard)
    assert ages(on_hand(yard)[Source(pen=yard.orchard)]) == {2: 3}


def test_day_olds_sold_are_no_eggs(yard: Yard) -> None:
    gather(yard, {2: 4}, pen=yard.orchard)
    use(yard, EggUseKind.DAY_OLDS_SOLD, 4, yard.orchard)
    assert on_hand(yard)[Source(pen=yard.orchard)].eggs == 4


def test_eggs_set_leave_the_days_they_were_laid(yard: Yard) -> None:
    gather(yard, {6: 2, 4: 2, 1: 2}, pen=yard.orchard)
    batch = Batch(
        BatchId(yard.book.new_id()), SittingId(yard.book.new_id()), 3, pen=yard.orchard,
        laid_from=TODAY - timedelta(4), laid_to=TODAY - timedelta(1),
    )  # fmt: skip
    put_under(yard, batch)
    assert ages(on_hand(yard)[Source(pen=yard.orchard)]) == {6: 2, 1: 1}


def test_eggs_mixed_in_leave_the_pen_they_came_from(yard: Yard) -> None:
    gather(yard, {3: 5}, pen=yard.orchard)
    gather(yard, {3: 5}, pen=yard.lane)
    batch = Batch(BatchId(yard.book.new_id()), SittingId(yard.book.new_id()), 6, pen=yard.orchard)
    put_under(yard, batch, MixedIn(MixedInId(""), batch.id, 2, pen=yard.lane))
    found = on_hand(yard)
    assert (found[Source(pen=yard.orchard)].eggs, found[Source(pen=yard.lane)].eggs) == (1, 3)


def test_a_hens_eggs_are_her_own_before_they_are_her_pens(yard: Yard) -> None:
    gather(yard, {3: 4}, pen=yard.orchard)
    gather(yard, {3: 1, 2: 1}, hen=yard.avens)
    batch = Batch(BatchId(yard.book.new_id()), SittingId(yard.book.new_id()), 1, hen=yard.avens)
    put_under(yard, batch)
    found = on_hand(yard)
    assert ages(found[Source(hen=yard.avens)]) == {2: 1}
    assert found[Source(pen=yard.orchard)].eggs == 4


def test_eggs_past_the_time_they_can_be_kept_are_not_on_hand(yard: Yard) -> None:
    """Three weeks at the outside (Mississippi State University Extension)."""
    gather(yard, {22: 7, 21: 1}, pen=yard.orchard)
    assert ages(on_hand(yard)[Source(pen=yard.orchard)]) == {21: 1}
    gather(yard, {40: 7}, pen=yard.lane)
    assert Source(pen=yard.lane) not in on_hand(yard)


def test_eggs_older_than_a_week_are_warned_of_with_the_source(yard: Yard) -> None:
    """A week at most (Mississippi State University Extension)."""
    gather(yard, {8: 3, 7: 2}, pen=yard.orchard)
    row = on_hand(yard)[Source(pen=yard.orchard)]
    assert row.is_ageing
    assert ageing_text(row) == "3 older than 7 days"
    (sentence,) = storage_sentences((row,))
    assert sentence.startswith("3 eggs are older than 7 days")
    assert "Mississippi State University Extension" in sentence


def test_fresh_eggs_are_not_warned_of(yard: Yard) -> None:
    gather(yard, {7: 2}, pen=yard.orchard)
    row = on_hand(yard)[Source(pen=yard.orchard)]
    assert (row.is_ageing, ageing_text(row), storage_sentences((row,))) == (False, "", ())


def test_the_keepers_own_days_of_storage_count(yard: Yard) -> None:
    gather(yard, {5: 2}, pen=yard.orchard)
    yard.book.apply(Enter((Figure(FigureId(""), "chicken", "storage_warn_days", 4),)))
    assert on_hand(yard)[Source(pen=yard.orchard)].ageing == 2


def test_a_use_takes_eggs_that_could_be_kept_then_and_not_long_forgotten_ones(yard: Yard) -> None:
    """Eggs of autumn that nobody wrote off are not what was sold today."""
    gather(yard, {60: 50, 1: 6}, pen=yard.orchard)
    use(yard, EggUseKind.SOLD, 6, yard.orchard)
    assert Source(pen=yard.orchard) not in on_hand(yard)
