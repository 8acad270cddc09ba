"""What pairs do to gene diversity, and how much of F is recent: against the definition and published values.

Lacy 1989, Zoo Biology 8:111-123, sample pedigree: mean kinship of the living 9/32, gene diversity 23/32 (Ballou &
Lacy 1995). Falconer & Mackay 1996, table 5.1: F under full-sib mating 1/4, 3/8, 1/2, 19/32.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studbook.book.records import Bird, BirdId, BookDetails, Pair, Sex, Snapshot, Status
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.pair_effects import FlockKinship, diversity_effects, on_diversity, recent_and_old
from tests.planning.flock import flock

LACY = "A,-,-; B,-,-; E,-,-; C,A,B; D,A,B; F,D,E; G,D,E"


def book(pedigree: str, living: str) -> Snapshot:
    """A book of founders and their chicks; sex is as the pedigree uses them."""
    rows = [row.strip().split(",") for row in pedigree.split(";")]
    dams = {dam for _name, _sire, dam in rows}
    return Snapshot(
        1,
        BookDetails("book"),
        tuple(
            Bird(
                BirdId(name),
                name=name,
                sex=Sex.HEN if name in dams else Sex.COCK,
                founder=sire == "-",
                status=Status.LIVING if name in living else Status.SOLD,
                pairs=() if sire == "-" else (Pair(BirdId(sire), BirdId(dam)),),
            )
            for name, sire, dam in rows
        ),
    )


def diversity(snapshot: Snapshot, unknown: Unknown = Unknown.UNRELATED) -> float:
    """1 less the mean over all pairs of the living, by the definition."""
    living = [bird.id for bird in snapshot.living if bird.species == "chicken"]
    return 1 - float(Relatedness(snapshot, unknown).kinship(living, living).mean())


def with_chick(snapshot: Snapshot, cock: str, hen: str) -> Snapshot:
    chick = Bird(BirdId("the chick"), pairs=(Pair(BirdId(cock), BirdId(hen)),))
    return replace(snapshot, birds=(*snapshot.birds, chick))


def test_the_flock_of_a_published_pedigree() -> None:
    snapshot = book(LACY, "CDFG")
    kinship = FlockKinship(snapshot, Relatedness(snapshot), "chicken")
    assert kinship.mean == 9 / 32
    assert 1 - kinship.mean == 23 / 32
    assert kinship.of([BirdId(name) for name in "CDFG"]).tolist() == [1 / 4, 5 / 16, 9 / 32, 9 / 32]


def test_the_effect_is_what_the_chick_does_when_it_is_really_there() -> None:
    snapshot = book(LACY, "CDFG")
    relatedness = Relatedness(snapshot)
    kinship = FlockKinship(snapshot, relatedness, "chicken")
    birds = [BirdId(name) for name in "ABCDEFG"]
    effects = on_diversity(kinship, birds, birds, relatedness.kinship(birds, birds))
    for row, sire in enumerate(birds):
        for column, dam in enumerate(birds):
            if sire != dam:
                after = diversity(with_chick(snapshot, sire, dam))
                assert effects[row, column] == pytest.approx(after - 23 / 32, abs=1e-12)


@pytest.mark.parametrize("unknown", list(Unknown))
def test_birds_outside_the_flock_and_unknown_parents_count_as_they_should(unknown: Unknown) -> None:
    snapshot = flock()
    relatedness = Relatedness(snapshot, unknown)
    kinship = FlockKinship(snapshot, relatedness, "chicken")
    cocks, hens = [BirdId("Severn"), BirdId("Wye")], [BirdId("Sloe"), BirdId("Elder")]
    effects = on_diversity(kinship, cocks, hens, relatedness.kinship(cocks, hens))
    before = diversity(snapshot, unknown)
    for row, cock in enumerate(cocks):
        for column, hen in enumerate(hens):
            after = diversity(with_chick(snapshot, cock, hen), unknown)
            assert effects[row, column] == pytest.approx(after - before, abs=1e-12)


@settings(max_examples=60)
@given(st.integers(1, 9), st.integers(1, 4), st.data())
def test_the_formula_on_any_table_of_kinships(size: int, mates: int, data: st.DataObject) -> None:
    """A table of kinships grown by one chick, against the formula (the definition, slowly)."""
    whole = size + 2 * mates
    gene = st.integers(0, 4)
    genes = np.array(data.draw(st.lists(st.tuples(gene, gene), min_size=whole, max_size=whole)))
    same = (genes[:, None, :, None] == genes[None, :, None, :]).mean(axis=(2, 3))
    inside, sires, dams = np.arange(size), size + np.arange(mates), size + mates + np.arange(mates)
    mean = same[np.ix_(inside, inside)].mean()
    effects = diversity_effects(
        size,
        mean,
        same[np.ix_(sires, inside)].mean(axis=1),
        same[np.ix_(dams, inside)].mean(axis=1),
        same[np.ix_(sires, dams)],
    )
    for row, sire in enumerate(sires):
        for column, dam in enumerate(dams):
            table = np.empty((size + 1, size + 1))
            table[:size, :size] = same[np.ix_(inside, inside)]
            table[size, :size] = table[:size, size] = (same[sire, inside] + same[dam, inside]) / 2
            table[size, size] = (1 + same[sire, dam]) / 2
            assert effects[row, column] == pytest.approx(mean - table.mean(), abs=1e-12)


def test_without_a_flock_there_is_no_effect_to_tell() -> None:
    snapshot = book(LACY, "")
    kinship = FlockKinship(snapshot, Relatedness(snapshot), "chicken")
    found = on_diversity(kinship, [BirdId("A")], [BirdId("B")], np.zeros((1, 1)))
    assert np.isnan(found).all()
    assert np.isnan(kinship.mean)


def test_recent_and_old_inbreeding_add_up_and_grow_as_published() -> None:
    sibs = "M0,-,-; H0,-,-; " + "; ".join(
        f"M{n},M{n - 1},H{n - 1}; H{n},M{n - 1},H{n - 1}" for n in range(1, 6)
    )
    snapshot = book(sibs, "")
    relatedness = Relatedness(snapshot)
    pair = [BirdId("M5")], [BirdId("H5")]
    whole = float(relatedness.kinship(*pair)[0, 0])
    for generations, expected in ((2, 1 / 4), (3, 3 / 8), (4, 1 / 2), (5, 19 / 32)):
        recent, old = recent_and_old(relatedness, *pair, generations)
        assert recent[0, 0] == expected
        assert recent[0, 0] + old[0, 0] == pytest.approx(whole, abs=1e-15)
    recent, old = recent_and_old(relatedness, *pair, 6)
    assert old[0, 0] == 0
    assert recent[0, 0] == whole
