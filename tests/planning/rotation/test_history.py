"""A rotation over the years beside what was to be expected of it."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from studbook.book.ids import BirdId
from studbook.book.records import Pair
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.rotation.foresight import foreseen_sentence
from studbook.planning.rotation.history import CockFrom, RotationHistory, history_of
from studbook.planning.rotation.telling import expectation_sentences, origin_text, year_sentences
from studbook.planning.sentences import plain
from tests.planning.rotation.flock import Rotating


def history(flock: Rotating, season: int = 2027) -> RotationHistory:
    snapshot = flock.snapshot()
    return history_of(snapshot, flock.rotation, "chicken", season, Relatedness(snapshot, Unknown.FLOCK))


@pytest.mark.parametrize(("pens", "hens"), [(2, 4), (3, 4), (4, 2)])
def test_a_flock_bred_by_the_scheme_comes_to_what_is_expected(pens: int, hens: int) -> None:
    """Told bird by bird in the pedigree of the book, and by the tabular method: the same mean F each season."""
    found = history(Rotating(pens, hens, seasons=4))
    assert [row.season for row in found.came] == [2023, 2024, 2025, 2026]
    for row in found.came:
        generation = found.generation(row.season)
        assert row.mean == pytest.approx(found.by_scheme[generation], abs=1e-12)
        assert found.from_these is not None
        assert row.mean == pytest.approx(found.from_these[generation], abs=1e-12)


def test_three_pens_of_four_hens_are_the_published_table() -> None:
    """The table worked by hand for 1 cock and 4 hens a pen: 0, 0, 0, 1/16, 53/512, 297/2048."""
    found = history(Rotating(3, 4, seasons=4))
    np.testing.assert_allclose(found.by_scheme[:6], [0, 0, 0, 1 / 16, 53 / 512, 297 / 2048], atol=1e-12)
    assert found.hens == (4, 4, 4)


def test_birds_related_at_the_start_are_expected_to_be_more_inbred() -> None:
    flock = Rotating(3, 2, seasons=2)
    parents = Pair(BirdId("C0"), BirdId("H00"))
    flock.birds[BirdId("C1")] = replace(flock.birds[BirdId("C1")], founder=False, pairs=(parents,))
    snapshot = flock.snapshot()
    # parents stand before their offspring
    order = sorted(snapshot.birds, key=lambda bird: bird.id == "C1" or bool(bird.pairs))
    snapshot = replace(snapshot, birds=tuple(order))
    found = history_of(snapshot, flock.rotation, "chicken", 2025, Relatedness(snapshot, Unknown.UNRELATED))
    assert found.from_these is not None
    assert found.from_these[2] > found.by_scheme[2]


def test_each_year_names_the_cock_and_where_he_was_from() -> None:
    flock = Rotating()
    found = history(flock)
    year = flock.snapshot().husbandry
    rows = {(row.season, row.pen): row for row in found.years}
    first, third = rows[2023, flock.pens[0].id], rows[2025, flock.pens[0].id]
    assert (first.cocks, first.origin) == (("C0",), CockFrom.BEGAN)
    assert (third.cocks, third.origin, third.home) == (("24s20",), CockFrom.BEFORE, "brook")
    assert origin_text(third, year) == "Brook, as it should be"
    assert (len(third.chicks), len(third.pullets)) == (4, 2)


def test_a_cock_of_his_own_line_stands_out() -> None:
    flock = Rotating(seasons=3)
    # the season 2026: the son of Orchard is left in Orchard and gets chicks there
    flock.now[0] = (BirdId("25s00"), flock.now[0][1])
    flock.breed(2026, is_last=True)
    row = next(row for row in history(flock).years if (row.season, row.pen) == (2026, "orchard"))
    assert (row.cocks, row.origin, row.home) == (("25s00",), CockFrom.OWN, "orchard")
    assert row.mean is not None
    assert row.expected is not None
    assert row.mean > row.expected


def test_what_came_is_told_beside_what_was_expected() -> None:
    flock = Rotating(3, 4)
    snapshot = flock.snapshot()
    found = history(flock)

    def text(sentence):  # type: ignore[no-untyped-def]
        return plain(sentence, lambda bird: snapshot.bird(bird).name, lambda n, places: f"{n:.{places}f}")

    said = " ".join(text(sentence) for sentence in expectation_sentences(found))
    # 297/2048 with three pens, 131/256 in a closed one, after five generations
    assert "With 3 pens, from unrelated birds, the mean F of the hens is 14.5 % after 5 generations" in said
    assert "in one closed pen it would be 51.2 %" in said
    assert "The 12 pullets of 2026 have a mean F of 10.4 %; 10.4 % was to be expected of generation 4" in said
    opened = " ".join(text(sentence) for sentence in year_sentences(found.years[-1], found, snapshot))
    assert "4 of them pullets" in opened
    assert "F of the pullets 10.4 % on average, from" in opened


def test_a_rotation_that_has_just_begun_expects_from_its_birds() -> None:
    flock = Rotating(seasons=0)
    found = history(flock, 2023)
    assert found.came == ()
    assert found.from_these is not None
    assert len(found.by_scheme) == 7


def test_where_the_first_birds_are_not_told_only_the_scheme_is_expected() -> None:
    flock = Rotating(seasons=1)
    flock.stays = [stay for stay in flock.stays if stay.bird != "C0"]
    found = history(flock, 2024)
    assert found.from_these is None
    assert found.years[0].cocks == (BirdId("C0"),)
    assert found.years[0].season == date(2023, 1, 1).year


def test_what_so_many_pens_would_come_to_is_told_before_it_is_begun() -> None:
    """The table for 1 cock and 4 hens a pen: 253/2048 with four pens, 131/256 in a closed one."""
    assert foreseen_sentence((4, 4, 0, 4)) == (
        "With 4 pens the mean F of the hens is about 12.4 % after 5 generations, from unrelated birds; in one closed "
        "pen it would be 51.2 %."
    )
