"""How pairs did before: whose eggs and chicks they are, what came of them, and the words for it.

Exact limits: Clopper & Pearson 1934, Biometrika 26:404-413; 9 of 10 has 0.555 to 0.997 (tables of the exact interval).
"""

from dataclasses import replace
from datetime import date

import pytest

from studbook.book.husbandry.rows import (
    Batch,
    BatchPair,
    Candling,
    EggFate,
    Fate,
    Hatchling,
    Husbandry,
    Pen,
    Sitting,
)
from studbook.book.ids import (
    BatchId,
    BatchPairId,
    CandlingId,
    EggFateId,
    HatchlingId,
    PenId,
    SittingId,
)
from studbook.book.records import BirdId, Pair, Sex, Snapshot, Status
from studbook.book.relatedness import Relatedness
from studbook.dates import PartialDate
from studbook.planning.earlier_pairings import EarlierPairing, earlier_pairings, was_kept
from studbook.planning.earlier_words import earlier_line, earlier_reliance, earlier_sentences
from tests.planning.flock import TODAY, bird, flock
from tests.planning.test_pairs import said

SET_ON = date(2025, 4, 1)
TAMAR, HAZEL, BRYONY, DART = (BirdId(name) for name in ("Tamar", "Hazel", "Bryony", "Dart"))


def season() -> Snapshot:
    """Ten eggs of Tamar and Hazel, of which seven hatched; six that may be Dart's or Tamar's with Bryony."""
    sittings = [Sitting(SittingId(name), SET_ON) for name in ("one", "two")]
    batches = [
        Batch(BatchId("theirs"), SittingId("one"), 10, pen=PenId("pen")),
        Batch(BatchId("doubtful"), SittingId("two"), 6, pen=PenId("pen")),
    ]
    pairs = [
        BatchPair(BatchPairId("1"), BatchId("theirs"), TAMAR, HAZEL, 1.0, "seen"),
        BatchPair(BatchPairId("2"), BatchId("doubtful"), TAMAR, BRYONY, 0.5, "both were there"),
        BatchPair(BatchPairId("3"), BatchId("doubtful"), DART, BRYONY, 0.5, "both were there"),
    ]
    candled = Candling(CandlingId("c"), BatchId("theirs"), date(2025, 4, 8), alive=9, clear=1)
    ends = ((Fate.CLEAR, 1), (Fate.LATE_DEAD, 2), (Fate.HATCHED, 7))
    fates = [
        EggFate(EggFateId(fate.value), BatchId("theirs"), fate, eggs, date(2025, 4, 22))
        for fate, eggs in ends
    ]
    sold = {"status": Status.SOLD}
    june, january = PartialDate.parse("2025-06-01"), PartialDate.parse("2026-01-05")
    chicks = (
        bird("Reed", Sex.COCK, "2025-04-22", "W25-01", "Tamar", "Hazel"),
        bird("Sedge", Sex.HEN, "2025-04-22", "W25-02", "Tamar", "Hazel", left=june, **sold),
        bird("Rush", Sex.HEN, "2025-04-22", "W25-03", "Tamar", "Hazel", left=january, **sold),
    )
    doubt = replace(
        bird("Flag", Sex.HEN, "2025-05-02", "W25-04"),
        pairs=(Pair(TAMAR, BRYONY, 0.5), Pair(DART, BRYONY, 0.5)),
    )
    hatchlings = [Hatchling(HatchlingId(chick.id), chick.id, BatchId("theirs")) for chick in chicks]
    year = Husbandry(
        pens={PenId("pen"): Pen(PenId("pen"), "Orchard")},
        sittings={row.id: row for row in sittings},
        batches={row.id: row for row in batches},
        batch_pairs={row.id: row for row in pairs},
        candlings={candled.id: candled},
        egg_fates={row.id: row for row in fates},
        hatchlings={row.id: row for row in hatchlings},
    )
    return replace(flock(*chicks, doubt), husbandry=year)


def found(cock: BirdId, hen: BirdId) -> EarlierPairing:
    earlier = earlier_pairings(season(), TODAY).of(cock, hen)
    assert earlier is not None
    return earlier


def test_the_eggs_of_a_pair_have_their_exact_intervals() -> None:
    eggs = found(TAMAR, HAZEL).eggs
    assert eggs is not None
    assert (eggs.counts.set_here, eggs.counts.hatched) == (10, 7)
    fertility = eggs.outcome.fertility
    assert (fertility.count, fertility.of) == (9, 10)
    assert (fertility.lower, fertility.upper) == pytest.approx((0.555, 0.997), abs=0.001)


def test_chicks_are_counted_as_living_and_as_kept_to_breeding_age() -> None:
    earlier = found(TAMAR, HAZEL)
    # Lune hatched this January: hers and Tamar's too, and not grown yet
    assert set(earlier.chicks) == {"Lune", "Reed", "Sedge", "Rush"}
    assert earlier.living == 2
    assert earlier.kept == 2
    assert earlier.seasons == (2025, 2026)


def test_eggs_and_chicks_in_doubt_count_for_nobody_alone() -> None:
    for cock in (TAMAR, DART):
        earlier = found(cock, BRYONY)
        assert not earlier.is_certain
        assert earlier.eggs is None
        assert (earlier.doubtful_eggs, earlier.doubtful_chicks) == (6, 1)


def test_every_pair_is_marked_and_others_are_not() -> None:
    marks = earlier_pairings(season(), TODAY).marks
    assert marks[TAMAR, HAZEL] is True
    assert marks[DART, BRYONY] is False
    assert (DART, HAZEL) not in marks
    assert earlier_pairings(season(), TODAY).of(DART, HAZEL) is None


def test_what_was_found_before_is_kept_while_the_year_stands_still() -> None:
    snapshot = season()
    first = earlier_pairings(snapshot, TODAY)
    assert earlier_pairings(snapshot, TODAY, first.parents).parents is first.parents


def test_the_words_for_it() -> None:
    snapshot = season()
    text = said(earlier_sentences(found(TAMAR, HAZEL), Relatedness(snapshot), snapshot))
    assert text.startswith("They were paired before, in 2025 and 2026. 10 eggs set.")
    assert "9 of 10, between 55 and 100 in 100" in text
    assert "Hatched of those set: 7 of 10" in text
    assert "4 chicks are in the book: 2 are yours today, 2 were still yours at breeding age." in text
    assert "F of the chicks: 25.00 %." in text
    doubt = said(earlier_sentences(found(DART, BRYONY), Relatedness(snapshot), snapshot))
    assert "6 eggs that were set may be theirs" in doubt
    assert "paired before" not in doubt
    assert "exact for eggs that have nothing to do with each other" in said(
        earlier_reliance(found(TAMAR, HAZEL))
    )
    assert earlier_reliance(found(DART, BRYONY)) == ()
    assert said((earlier_line(found(TAMAR, HAZEL)),)) == (
        "They were paired before, in 2025 and 2026. 10 eggs set. 4 chicks in the book."
    )


def test_a_bird_of_unknown_age_is_kept_while_it_is_there() -> None:
    hen = bird("Vetch", Sex.HEN, "")
    assert was_kept(hen, TODAY)
    assert not was_kept(replace(hen, status=Status.SOLD), TODAY)
