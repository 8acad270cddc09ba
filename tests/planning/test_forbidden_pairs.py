"""Which pairs are not wanted, on a flock whose sibs are known by hand."""

from dataclasses import replace

import numpy as np
import pytest

from studbook.book.husbandry.choosing_rows import Ban
from studbook.book.ids import BanId
from studbook.book.records import Bird, BirdId, Pair, Sex, Snapshot
from studbook.planning.forbidden_pairs import SharedParent, bar_of, bar_sentences, bars, shared_parents
from studbook.planning.limits import FREE, Bar, Rules
from tests.planning.flock import TODAY, bird, flock
from tests.planning.test_pairs import said

COCKS = tuple(BirdId(name) for name in ("Dart", "Tamar", "Wye"))
HENS = tuple(BirdId(name) for name in ("Hazel", "Bryony", "Elder"))

IN_DOUBT = (Pair(BirdId("Severn"), None, 0.5), Pair(BirdId("Dart"), None, 0.5))


def banned(snapshot: Snapshot, cock: str, hen: str, reason: str = "") -> Snapshot:
    ban = Ban(BanId("ban"), BirdId(cock), BirdId(hen), TODAY, reason)
    return replace(snapshot, husbandry=replace(snapshot.husbandry, bans={ban.id: ban}))


def test_sibs_of_either_side_share_a_parent_and_nobody_else_does() -> None:
    found = bars(flock(), COCKS, HENS, np.zeros((3, 3)), Rules(1.0, no_shared_parent=True))
    shared = {
        (cock, hen)
        for row, cock in enumerate(COCKS)
        for column, hen in enumerate(HENS)
        if found[row, column] & Bar.SHARED_PARENT
    }
    assert shared == {("Tamar", "Hazel"), ("Tamar", "Bryony")}


def test_the_rule_is_off_unless_the_keeper_wants_it() -> None:
    assert not bars(flock(), COCKS, HENS, np.zeros((3, 3)), Rules()).any()


def test_a_pair_may_be_unwanted_for_several_reasons() -> None:
    snapshot = banned(flock(), "Tamar", "Hazel")
    found = bar_of(snapshot, BirdId("Tamar"), BirdId("Hazel"), 0.25, Rules(0.125, no_shared_parent=True))
    assert found == Bar.OVER_LIMIT | Bar.SHARED_PARENT | Bar.BANNED
    assert bar_of(snapshot, BirdId("Dart"), BirdId("Hazel"), 0.125, Rules(0.125)) == FREE


@pytest.mark.parametrize(
    ("his", "hers", "expected"),
    [
        ((Pair(BirdId("Severn"), None),), (Pair(BirdId("Severn"), None),), (True,)),
        (IN_DOUBT, (Pair(BirdId("Severn"), None),), (False,)),
        ((Pair(None, None),), (Pair(None, None),), ()),
        ((Pair(None, BirdId("Sloe")),), (Pair(BirdId("Severn"), BirdId("Sloe")),), (True,)),
        ((Pair(BirdId("Dart"), BirdId("Sloe")),), (Pair(BirdId("Severn"), BirdId("Bramble")),), ()),
    ],
)
def test_a_parent_in_doubt_may_be_shared_and_an_unknown_one_is_not(
    his: tuple[Pair, ...], hers: tuple[Pair, ...], expected: tuple[bool, ...]
) -> None:
    cock = Bird(BirdId("cock"), sex=Sex.COCK, pairs=his)
    hen = Bird(BirdId("hen"), sex=Sex.HEN, pairs=hers)
    assert tuple(each.certain for each in shared_parents(cock, hen)) == expected


def test_a_shared_parent_in_doubt_is_said_as_such() -> None:
    doubt = replace(
        bird("Yarrow", Sex.HEN, "2024-04-01", "W24-09"),
        pairs=(Pair(BirdId("Severn"), BirdId("Sloe"), 0.5), Pair(BirdId("Dart"), BirdId("Sloe"), 0.5)),
    )
    snapshot = flock(doubt)
    rules = Rules(1.0, no_shared_parent=True)
    assert shared_parents(snapshot.bird(BirdId("Tamar")), doubt) == (SharedParent(BirdId("Severn"), False),)
    found = bar_of(snapshot, BirdId("Tamar"), doubt.id, 0.0, rules)
    text = said(bar_sentences(found, snapshot, BirdId("Tamar"), doubt.id, rules))
    assert text == "Both may be chicks of Severn, and you do not want pairs that share a parent."


def test_a_ban_is_said_with_its_reason() -> None:
    pair = BirdId("Dart"), BirdId("Hazel")
    for reason, expected in (
        ("both have a wry tail.", "You do not want this pair: both have a wry tail."),
        ("", "You do not want this pair."),
    ):
        snapshot = banned(flock(), *pair, reason)
        found = bar_of(snapshot, *pair, 0.0, Rules())
        assert said(bar_sentences(found, snapshot, *pair, Rules())) == expected
