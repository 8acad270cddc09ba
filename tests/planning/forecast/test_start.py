"""The start of a forecast: the birds that may breed on and the yards one may buy from."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from studbook.book.husbandry.choosing_rows import Choice, Verdict
from studbook.book.husbandry.rows import Husbandry
from studbook.book.ids import BirdId, ChoiceId
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.forecast.policy import UNRELATED, NoFlock, Yard
from studbook.planning.forecast.start import flock_start, may_breed_on
from tests.planning.flock import ALDER_YARD, TODAY, flock


def test_its_kinship_is_that_of_the_book(snapshot):
    for unknown in Unknown:
        start = flock_start(snapshot, TODAY, "chicken", unknown=unknown)
        expected = Relatedness(snapshot, unknown).kinship(start.birds, start.birds)
        np.testing.assert_allclose(start.arrays.kinship, expected, rtol=0, atol=1e-12)


def test_the_young_and_those_refused_stay_out(snapshot):
    may = [bird.name for bird in may_breed_on(snapshot, TODAY, "chicken")]
    assert may == ["Dart", "Tamar", "Wye", "Hazel", "Bryony", "Elder", "Clover", "Teasel"]
    refused = Choice(ChoiceId("c"), BirdId("Wye"), 2026, Verdict.NO, TODAY, "wry tail")
    told = replace(snapshot, husbandry=Husbandry(choices={refused.id: refused}))
    assert "Wye" not in [bird.name for bird in may_breed_on(told, TODAY, "chicken")]


def test_the_chicks_of_this_spring_may_breed_in_the_next_season(snapshot):
    autumn = [bird.name for bird in may_breed_on(snapshot, date(2026, 10, 1), "chicken")]
    assert "Lune" in autumn
    assert flock_start(snapshot, date(2026, 10, 1), "chicken").season == 2027


def test_genes_come_from_the_founders_behind_each_bird(snapshot):
    start = flock_start(snapshot, TODAY, "chicken", unknown=Unknown.UNRELATED)
    place = {founder: number for number, founder in enumerate(start.founders)}
    assert {"Severn", "Bramble", "Sloe", "Dart"} <= set(place)
    drawn = start.arrays.genes
    for founder, column in place.items():
        share = (drawn == column).mean(axis=(1, 2))
        np.testing.assert_allclose(share, start.arrays.shares[:, column], atol=0.05, err_msg=founder)


def test_birds_of_a_known_yard_are_related_as_the_book_assumes(snapshot):
    related = replace(snapshot, origins=(replace(ALDER_YARD, self_relationship=0.4),))
    start = flock_start(related, TODAY, "chicken", [Yard(kinship=0.05)], Unknown.UNRELATED)
    assert start.yards == (UNRELATED, Yard(ALDER_YARD.id), Yard(kinship=0.05))
    dart = start.birds.index(BirdId("Dart"))
    # γ/2 between two birds of the yard; nobody else descends from it
    assert start.arrays.source_kinship[1][dart] == pytest.approx(0.2)
    assert start.arrays.source_kinship[1].sum() == pytest.approx(0.2)
    assert start.arrays.source_self.tolist() == pytest.approx([0.0, 0.2, 0.05])
    assert (start.arrays.source_kinship[2] == 0.05).all()


def test_a_flock_without_hens_cannot_breed_on():
    cocks = flock()
    cocks = replace(cocks, birds=tuple(bird for bird in cocks.birds if bird.sex == "cock"))
    with pytest.raises(NoFlock):
        flock_start(cocks, TODAY, "chicken")
