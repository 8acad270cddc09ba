"""Which birds a tree shows, and in whom the lines of a pair meet."""

from itertools import combinations, product

import pytest

from studbook.book.records import BirdId, Sex, Snapshot
from studbook.drawing.errors import DrawingRefused
from studbook.drawing.family import MOST_BIRDS, ancestors, family_of, family_of_pair, known_parents
from tests.drawing.flock import cock, deep_flock, doubtful_flock, hen, inbred_flock, large_family, snapshot


def _lines_down(book: Snapshot, bird: BirdId, ancestor: BirdId) -> list[tuple[BirdId, ...]]:
    """Every line from `bird` up to `ancestor`, both included."""
    if bird == ancestor:
        return [(bird,)]
    return [
        (bird, *line) for parent in known_parents(book, bird) for line in _lines_down(book, parent, ancestor)
    ]


def _meet(book: Snapshot, cock_id: BirdId, hen_id: BirdId) -> set[BirdId]:
    """The common ancestors by the definition: two lines that share nobody but the ancestor."""
    return {
        bird.id
        for bird in book.birds
        for one, other in product(_lines_down(book, cock_id, bird.id), _lines_down(book, hen_id, bird.id))
        if set(one) & set(other) == {bird.id}
    }


@pytest.mark.parametrize("book", [inbred_flock(), doubtful_flock()], ids=["inbred", "doubtful"])
def test_the_lines_of_a_pair_meet_where_two_paths_share_only_the_ancestor(book: Snapshot) -> None:
    males = [bird.id for bird in book.birds if bird.sex is Sex.COCK]
    females = [bird.id for bird in book.birds if bird.sex is Sex.HEN]
    for cock_id, hen_id in product(males, females):
        assert family_of_pair(book, cock_id, hen_id, None).common == _meet(book, cock_id, hen_id)


def test_full_sibs_meet_in_their_parents_and_not_behind_them() -> None:
    book = snapshot(
        (
            cock("Severn"),
            cock("Tamar", sire="Severn"),
            hen("Bramble"),
            cock("Dart", sire="Tamar", dam="Bramble"),
            hen("Hazel", sire="Tamar", dam="Bramble"),
        )
    )
    family = family_of_pair(book, BirdId("Dart"), BirdId("Hazel"), None)
    assert family.common == {"Tamar", "Bramble"}
    assert family.generations.keys() == {"Tamar", "Bramble", "Dart", "Hazel"}


def test_a_cock_and_his_daughter_meet_in_the_cock() -> None:
    book = snapshot((cock("Severn"), hen("Hazel", sire="Severn")))
    assert family_of_pair(book, BirdId("Severn"), BirdId("Hazel"), None).common == {"Severn"}


def test_a_pair_without_common_ancestors_shows_its_parents() -> None:
    book = snapshot(
        (cock("Severn"), hen("Bramble"), cock("Tamar", sire="Severn"), hen("Sloe", dam="Bramble"))
    )
    family = family_of_pair(book, BirdId("Tamar"), BirdId("Sloe"), None)
    assert not family.common
    assert not family.lines
    assert family.generations == {"Tamar": 0, "Sloe": 0, "Severn": 1, "Bramble": 1}


def test_a_number_of_generations_shows_every_ancestor_that_far_back() -> None:
    family = family_of_pair(inbred_flock(), BirdId("Lune"), BirdId("Sorrel"), 2)
    assert family.generations.keys() == {
        "Lune",
        "Sorrel",
        "Dart",
        "Spindle",
        "Elder",
        "Tamar",
        "Hazel",
        "Dogrose",
        "Wye",
    }
    assert "Severn" not in family.common


def test_ancestors_count_the_shortest_way_back() -> None:
    found = ancestors(inbred_flock(), (BirdId("Elder"),), None)
    assert found == {"Elder": 0, "Wye": 1, "Hazel": 1, "Severn": 2, "Dogrose": 2, "Sloe": 2}


def test_descendants_come_with_their_other_parents() -> None:
    family = family_of(large_family(chicks=10), BirdId("Severn"), 0, 1)
    assert len(family.generations) == 1 + 8 + 10
    assert family.generations[BirdId("Bramble")] == 0
    assert family.generations[BirdId("Young 1")] == -1


def test_every_candidate_parent_is_shown() -> None:
    found = ancestors(doubtful_flock(), (BirdId("Sorrel"),), 1)
    assert found.keys() == {"Sorrel", "Severn", "Tamar", "Hazel"}


def test_too_many_birds_ask_for_fewer_generations() -> None:
    book = large_family(chicks=MOST_BIRDS)
    with pytest.raises(DrawingRefused, match="Choose fewer generations"):
        family_of(book, BirdId("Severn"), 0, 1)
    deep = deep_flock(8)
    with pytest.raises(DrawingRefused, match="Choose fewer generations"):
        family_of(deep, BirdId("0.0"), 8, 0)
    assert len(family_of(deep, BirdId("0.0"), 7, 0).generations) == 255


def test_a_struck_parent_counts_as_unknown() -> None:
    book = snapshot((hen("Bramble"), cock("Tamar", sire="Severn", dam="Bramble")))
    assert known_parents(book, BirdId("Tamar")) == ("Bramble",)


def test_no_bird_is_listed_twice() -> None:
    for one, other in combinations((1, 2, 3, 4), 2):
        family = family_of(inbred_flock(), BirdId("Dart"), one, other)
        assert len(set(family.generations)) == len(family.generations)
