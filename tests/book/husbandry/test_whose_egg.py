"""Whose egg: chicks registered from a batch get the parents the stays give, and follow every correction."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from studbook.book.changes import (
    AddBirds,
    Correct,
    Enter,
    MoveBirds,
    MoveEggs,
    RegisterChicks,
    SetParents,
)
from studbook.book.changes.birds import Chick
from studbook.book.errors import RecordProblems
from studbook.book.husbandry.derived import moved_parents
from studbook.book.husbandry.rows import BatchPair, Condition, ConditionKind, MixedIn, Sitting
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BatchPairId, BirdId, ConditionId, MixedInId, SittingId
from studbook.book.records import Basis, Pair, Sex
from studbook.book.relatedness import Relatedness
from studbook.dates import PartialDate
from tests.flock import bird
from tests.season_flock import Yard, hatch, new_yard, set_eggs

LAID = date(2026, 4, 1)
HATCHED = date(2026, 4, 25)


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    yard = new_yard(tmp_path / "flock.db")
    yield yard
    yard.book.close()


def chick_of(yard: Yard, batch_id: object) -> BirdId:
    year = yard.book.snapshot().husbandry
    return year.birds_of[batch_id][0]  # type: ignore[index]


def parents(yard: Yard, chick: BirdId) -> dict[tuple[BirdId | None, BirdId | None], float]:
    return {(pair.sire, pair.dam): pair.weight for pair in yard.book.snapshot().bird(chick).pairs}


def test_a_chick_of_a_pen_has_its_cock_and_one_of_its_hens(yard: Yard) -> None:
    batch = set_eggs(yard, 6, LAID, pen=yard.orchard)
    hatch(yard, batch, 2, HATCHED)
    yard.book.apply(RegisterChicks(batch.id, HATCHED, (Chick(), Chick())))
    chick = chick_of(yard, batch.id)
    assert parents(yard, chick) == {(yard.usk, yard.avens): 0.5, (yard.usk, yard.betony): 0.5}
    assert {pair.basis for pair in yard.book.snapshot().bird(chick).pairs} == {Basis.STAYS}


def test_chicks_never_exceed_those_hatched(yard: Yard) -> None:
    batch = set_eggs(yard, 6, LAID, pen=yard.orchard)
    hatch(yard, batch, 1, HATCHED)
    with pytest.raises(RecordProblems, match="2 chicks would be registered of 1 hatched"):
        yard.book.apply(RegisterChicks(batch.id, HATCHED, (Chick(), Chick())))


def test_after_an_exchange_of_cocks_a_chick_has_two_weighted_sires(yard: Yard) -> None:
    exchanged = date(2026, 3, 25)
    yard.book.apply(MoveBirds((yard.usk,), None, exchanged))
    yard.book.apply(MoveBirds((yard.lune,), yard.orchard, exchanged))
    batch = set_eggs(yard, 6, LAID, hen=yard.avens)
    hatch(yard, batch, 1, HATCHED)
    yard.book.apply(RegisterChicks(batch.id, HATCHED, (Chick(),)))
    found = parents(yard, chick_of(yard, batch.id))
    assert set(found) == {(yard.usk, yard.avens), (yard.lune, yard.avens)}
    assert found[yard.lune, yard.avens] > found[yard.usk, yard.avens] > 0
    assert sum(found.values()) == pytest.approx(1, abs=1e-12)


def test_correcting_a_stay_moves_the_parents_and_undo_brings_them_back(yard: Yard) -> None:
    batch = set_eggs(yard, 6, LAID, hen=yard.avens)
    hatch(yard, batch, 1, HATCHED)
    yard.book.apply(RegisterChicks(batch.id, HATCHED, (Chick(),)))
    chick = chick_of(yard, batch.id)
    assert parents(yard, chick) == {(yard.usk, yard.avens): 1.0}
    stay = yard.book.snapshot().husbandry.stays_of[yard.usk][0]
    correction = Correct((stay,), (replace(stay, until=date(2026, 3, 20)),))
    foreseen = yard.book.foresee(
        Correct((stay,), (replace(stay, until=date(2026, 2, 1)),)),
    )
    assert moved_parents(yard.book.snapshot(), foreseen) == (chick,)
    assert parents(yard, chick) == {(yard.usk, yard.avens): 1.0}
    yard.book.apply(correction)
    yard.book.apply(MoveBirds((yard.lune,), yard.orchard, date(2026, 3, 20)))
    assert set(parents(yard, chick)) == {(yard.usk, yard.avens), (yard.lune, yard.avens)}
    yard.book.undo()
    yard.book.undo()
    assert parents(yard, chick) == {(yard.usk, yard.avens): 1.0}


def test_a_cock_gone_too_long_leaves_the_sire_unknown_and_the_hen_certain(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.usk,), None, date(2026, 2, 1)))
    batch = set_eggs(yard, 2, LAID, hen=yard.avens)
    hatch(yard, batch, 1, HATCHED)
    yard.book.apply(RegisterChicks(batch.id, HATCHED, (Chick(),)))
    assert parents(yard, chick_of(yard, batch.id)) == {(None, yard.avens): 1.0}


def test_eggs_of_two_pens_mixed_give_two_pairs_and_no_crosses(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.betony,), None, date(2026, 1, 20)))
    batch = set_eggs(yard, 10, LAID, pen=yard.orchard)
    yard.book.apply(
        Enter((MixedIn(MixedInId(""), batch.id, 4, pen=yard.lane, laid_from=LAID, laid_to=LAID),))
    )
    hatch(yard, batch, 1, HATCHED)
    yard.book.apply(RegisterChicks(batch.id, HATCHED, (Chick(),)))
    chick = chick_of(yard, batch.id)
    found = parents(yard, chick)
    assert found == pytest.approx({(yard.usk, yard.avens): 0.6, (yard.lune, yard.cowslip): 0.4})
    kinship = Relatedness(yard.book.snapshot()).kinship([yard.usk, yard.lune], [chick])
    assert kinship[:, 0] == pytest.approx([0.6 / 4, 0.4 / 4], abs=1e-12)


def test_the_keeper_overrides_with_a_reason_and_the_stays_come_back_when_it_is_withdrawn(yard: Yard) -> None:
    batch = set_eggs(yard, 6, LAID, pen=yard.orchard)
    hatch(yard, batch, 1, HATCHED)
    yard.book.apply(RegisterChicks(batch.id, HATCHED, (Chick(),)))
    chick = chick_of(yard, batch.id)
    with pytest.raises(RecordProblems, match="say why"):
        yard.book.apply(Enter((BatchPair(BatchPairId(""), batch.id, yard.usk, yard.betony, 1.0, ""),)))
    said = BatchPair(BatchPairId(""), batch.id, yard.usk, yard.betony, 1.0, "trap nest")
    yard.book.apply(Enter((said,)))
    assert parents(yard, chick) == {(yard.usk, yard.betony): 1.0}
    assert yard.book.snapshot().bird(chick).pairs[0].reason == "trap nest"
    yard.book.undo()
    assert len(parents(yard, chick)) == 2


def test_the_keepers_own_parents_of_a_bird_win_over_any_correction(yard: Yard) -> None:
    batch = set_eggs(yard, 6, LAID, pen=yard.orchard)
    hatch(yard, batch, 1, HATCHED)
    yard.book.apply(RegisterChicks(batch.id, HATCHED, (Chick(),)))
    chick = chick_of(yard, batch.id)
    yard.book.apply(SetParents(chick, (Pair(yard.usk, yard.betony),), "seen on the nest"))
    yard.book.apply(MoveBirds((yard.avens,), None, date(2026, 3, 1)))
    assert parents(yard, chick) == {(yard.usk, yard.betony): 1.0}
    yard.book.apply(SetParents(chick, ()))
    assert parents(yard, chick) == {(yard.usk, yard.betony): 1.0}


def test_a_broody_hen_is_no_candidate_and_a_bought_hen_brings_an_unknown_cock(yard: Yard) -> None:
    yard.book.apply(
        Enter((Condition(ConditionId(""), yard.betony, ConditionKind.BROODY, date(2026, 3, 20)),))
    )
    arrived = bird(yard.book, "S1", Sex.HEN, "2024-05-01", founder=True)
    bought = replace(arrived, arrived=PartialDate.of(date(2026, 3, 22)))
    yard.book.apply(AddBirds((bought,)))
    yard.book.apply(MoveBirds((bought.id,), yard.orchard, date(2026, 3, 22)))
    snapshot = yard.book.snapshot()
    birds = {each.id: each for each in snapshot.birds}
    found = WhoseEgg(birds, snapshot.husbandry).of_pen(yard.orchard, LAID, LAID)
    weights = {(pair.sire, pair.dam): pair.weight for pair in found.pairs}
    assert {dam for _sire, dam in weights} == {yard.avens, bought.id}
    assert (None, bought.id) in weights
    assert weights[yard.usk, yard.avens] == pytest.approx(0.5)


def test_eggs_moved_to_a_second_sitting_keep_their_parents(yard: Yard) -> None:
    batch = set_eggs(yard, 6, LAID, pen=yard.lane)
    second = Sitting(SittingId(yard.book.new_id()), batch_set_on(yard, batch.id), broody=yard.betony)
    yard.book.apply(Enter((second,)))
    yard.book.apply(MoveEggs(batch.id, second.id, 2, date(2026, 4, 10)))
    year = yard.book.snapshot().husbandry
    moved = year.batches_of[second.id][0]
    assert (moved.eggs, year.eggs_left(year.batches[batch.id])) == (2, 4)
    hatch(yard, moved, 1, HATCHED)
    yard.book.apply(RegisterChicks(moved.id, HATCHED, (Chick(),)))
    chick = chick_of(yard, moved.id)
    assert parents(yard, chick) == {(yard.lune, yard.cowslip): 1.0}
    assert yard.book.snapshot().bird(chick).rearer == yard.betony
    with pytest.raises(RecordProblems, match="more than were set"):
        hatch(yard, batch, 5, HATCHED)


def batch_set_on(yard: Yard, batch: object) -> date:
    year = yard.book.snapshot().husbandry
    return year.sittings[year.batches[batch].sitting].set_on  # type: ignore[index]
