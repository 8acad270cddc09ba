"""What an unknown parent hides, against the same flock with each candidate entered as the parent."""

from dataclasses import replace

import pytest

from studbook.book.records import BirdId, Pair, Sex, Snapshot
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.bloodlines.flock import Flock
from studbook.planning.bloodlines.report import Half
from studbook.planning.unknown_parents import (
    HiddenParent,
    LeftOut,
    hidden_in_mean_kinship,
    hidden_in_pair,
    left_out_of_mean_kinship,
    left_out_of_pair,
)
from studbook.planning.unknown_words import (
    candidate_sentences,
    left_out_words,
    pair_words,
    standing_range_words,
)
from tests.planning.bloodlines.flock import said
from tests.planning.flock import bird, flock


def hidden(snapshot: Snapshot, cock: str, hen: str) -> dict[tuple[str, Half], HiddenParent]:
    found = hidden_in_pair(Flock(snapshot, Unknown.FLOCK, None), BirdId(cock), BirdId(hen))
    return {(each.child, each.half): each for each in found}


def with_parent(snapshot: Snapshot, child: str, half: Half, parent: str) -> Snapshot:
    """The flock with a parent entered that was unknown."""

    def entered(pair: Pair) -> Pair:
        changed = {"sire": BirdId(parent)} if half is Half.SIRE else {"dam": BirdId(parent)}
        return replace(pair, **changed)

    birds = tuple(
        replace(each, pairs=tuple(map(entered, each.pairs or (Pair(None, None),))))
        if each.id == child
        else each
        for each in snapshot.birds
    )
    return replace(snapshot, birds=birds)


def f_of(snapshot: Snapshot, cock: str, hen: str) -> float:
    return float(Relatedness(snapshot).kinship([BirdId(cock)], [BirdId(hen)])[0, 0])


def test_each_candidate_gives_what_entering_it_as_the_parent_gives() -> None:
    snapshot = flock(bird("Nettle", Sex.HEN, "2025-04-01", "W25-01", "Wye", "Elder"))
    found = hidden(snapshot, "Tamar", "Nettle")
    assert {("Elder", Half.DAM), ("Wye", Half.SIRE), ("Wye", Half.DAM)} == set(found)
    for (child, half), each in found.items():
        assert len(each.candidates) > 1
        assert each.recorded == pytest.approx(f_of(snapshot, "Tamar", "Nettle"))
        for possible in each.candidates:
            entered = with_parent(snapshot, child, half, possible.bird)
            assert possible.share == pytest.approx(f_of(entered, "Tamar", "Nettle"), abs=1e-12)
        shares = [possible.share for possible in each.candidates]
        assert shares == sorted(shares)
        assert each.likely == pytest.approx(sum(shares) / len(shares))


def test_mean_kinship_by_each_candidate_is_what_entering_it_gives() -> None:
    snapshot = flock(bird("Nettle", Sex.HEN, "2025-04-01", "W25-01", "Wye", "Hazel"))
    living = [each.id for each in snapshot.living]
    found = hidden_in_mean_kinship(Flock(snapshot, Unknown.FLOCK, None), BirdId("Wye"))
    assert {each.half for each in found} == {Half.SIRE, Half.DAM}
    for each in found:
        for possible in each.candidates:
            entered = with_parent(snapshot, "Wye", each.half, possible.bird)
            mean = Relatedness(entered).kinship([BirdId("Wye")], living).mean()
            assert possible.share == pytest.approx(float(mean), abs=1e-12)


def test_where_everything_is_recorded_nothing_is_hidden() -> None:
    assert hidden(flock(), "Tamar", "Bryony") == {}


@pytest.mark.parametrize(
    ("limit", "expected"), [("_MOST_ANCESTORS", LeftOut.ANCESTORS), ("_MOST_CANDIDATES", LeftOut.CANDIDATES)]
)
def test_where_it_is_not_worked_out_the_reason_is_told(
    monkeypatch: pytest.MonkeyPatch, limit: str, expected: LeftOut
) -> None:
    """And only where some parent is unknown."""
    book = Flock(flock(), Unknown.FLOCK, None)
    assert left_out_of_pair(book, BirdId("Tamar"), BirdId("Elder")) is None
    assert left_out_of_mean_kinship(book, BirdId("Wye")) is None
    monkeypatch.setattr(f"studbook.planning.unknown_parents.{limit}", 1)
    assert not any(each.child == "Elder" for each in hidden_in_pair(book, BirdId("Tamar"), BirdId("Elder")))
    assert left_out_of_pair(book, BirdId("Tamar"), BirdId("Elder")) is expected
    assert left_out_of_mean_kinship(book, BirdId("Wye")) is expected
    assert left_out_of_pair(book, BirdId("Tamar"), BirdId("Bryony")) is None
    assert "Go by the cautious figure" in said(left_out_words(expected))


def test_a_bought_in_bird_hides_nothing() -> None:
    assert {child for child, _half in hidden(flock(), "Dart", "Elder")} <= {"Elder"}


def test_both_ends_are_named_and_what_to_do_follows_from_the_limit() -> None:
    each = hidden(flock(), "Tamar", "Elder")["Elder", Half.DAM]
    told = said(pair_words(each, 0.34))
    assert told.startswith("Nobody wrote down the dam of Elder: F of the chicks is")
    assert f"if it was {each.best.bird}" in told
    assert f"{each.worst.share * 100:.1f} % if it was {each.worst.bird}" in told
    assert f"of the {len(each.candidates)} that" in told
    # Elder is Tamar's daughter: 25 % at least, more if her dam was his full sister
    assert each.recorded == 0.25
    assert "That decides the pair" in told
    assert "over the limit whoever it was" in said(pair_words(each, 0.125))
    assert "within the limit whoever it was" in said(pair_words(each, 0.5))
    listed = said(candidate_sentences(each))
    assert all(f"{possible.bird}: {possible.share * 100:.2f} %" in listed for possible in each.candidates)
    assert "Mean kinship hangs on who the dam of Elder was:" in said(standing_range_words(each))
