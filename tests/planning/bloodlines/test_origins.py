"""What an assumed relationship of a yard's birds does to the figures."""

from dataclasses import replace

import pytest

from studbook.book.errors import RecordProblems
from studbook.book.records import Origin, OriginId, OriginRelation, Sex
from studbook.book.relatedness import Unknown
from studbook.planning.bloodlines.origins import effect_of_origin
from studbook.planning.bloodlines.relations import related_origins
from tests.planning.bloodlines.flock import bird, narrow_flock
from tests.planning.flock import ALDER_YARD

QUARRY = Origin(OriginId("quarry"), "Quarry Farm")


def alder_pair():
    """Two birds of Alder Yard and their chick, beside the flock."""
    return narrow_flock(
        bird("Tees", Sex.COCK, "2024-04-01", "A24-01", origin=ALDER_YARD.id),
        bird("Nettle", Sex.HEN, "2024-04-01", "A24-02", origin=ALDER_YARD.id),
        bird("Moss", Sex.HEN, "2025-04-01", "W25-01", "Tees", "Nettle"),
    )


def test_a_yard_taken_for_full_sibs() -> None:
    """γ of a yard makes two of its birds related by γ/2 (Legarra et al. 2015, Genetics 200:455-468)."""
    effect = effect_of_origin(alder_pair(), ALDER_YARD.id, 0.5, unknown=Unknown.UNRELATED)
    assert (effect.gamma_before, effect.gamma_after, effect.founders) == (0, 0.5, 3)
    assert effect.after.mean_inbreeding is not None
    # seven live; Moss becomes inbred by γ/2, her parents by γ/2 too, as birds of a related source
    risen = effect.after.mean_inbreeding - effect.before.mean_inbreeding
    assert risen == pytest.approx(3 * 0.25 / 7)
    assert effect.after.mean_kinship > effect.before.mean_kinship
    assert effect.after.gene_diversity == pytest.approx(1 - effect.after.mean_kinship)
    assert effect.after.founder_genome_equivalents < effect.before.founder_genome_equivalents


def related_yards(between: float = 0.0):
    """The flock with birds of two yards and a chick of both; each yard's own γ is ½."""
    origins = (replace(ALDER_YARD, self_relationship=0.5), replace(QUARRY, self_relationship=0.5))
    snapshot = narrow_flock(
        bird("Tees", Sex.COCK, "2024-04-01", "A24-01", origin=ALDER_YARD.id),
        bird("Nettle", Sex.HEN, "2024-04-01", "Q24-02", origin=QUARRY.id),
        bird("Moss", Sex.HEN, "2025-04-01", "W25-01", "Tees", "Nettle"),
    )
    relations = (OriginRelation.between(ALDER_YARD.id, QUARRY.id, between),) if between else ()
    return replace(snapshot, origins=origins, origin_relations=relations)


def test_two_yards_taken_for_related() -> None:
    """γ between two origins makes a bird of each related by γ/2 (Legarra et al. 2015, Genetics 200:455-468)."""
    effect = effect_of_origin(related_yards(), ALDER_YARD.id, 0.25, QUARRY.id, unknown=Unknown.UNRELATED)
    assert (effect.other, effect.gamma_before, effect.gamma_after) == (QUARRY.id, 0, 0.25)
    # Moss becomes inbred by γ/2, no other of the seven living
    risen = effect.after.mean_inbreeding - effect.before.mean_inbreeding
    assert risen == pytest.approx(0.125 / 7)
    back = effect_of_origin(related_yards(0.25), QUARRY.id, 0, ALDER_YARD.id, unknown=Unknown.UNRELATED)
    assert back.gamma_before == 0.25
    assert back.after.mean_kinship == pytest.approx(effect.before.mean_kinship)
    assert back.before.mean_kinship == pytest.approx(effect.after.mean_kinship)


def test_yards_closer_to_each_other_than_their_own_birds_are_refused_as_the_book_does() -> None:
    with pytest.raises(RecordProblems, match=r"Quarry Farm cannot be related by 0\.8"):
        effect_of_origin(related_yards(), ALDER_YARD.id, 0.8, QUARRY.id)
    with pytest.raises(RecordProblems, match=r"it is 0\.224 at most"):
        effect_of_origin(related_yards(0.4), ALDER_YARD.id, 0.1)


def test_the_yards_related_to_one_are_listed() -> None:
    assert list(related_origins(related_yards(), QUARRY.id)) == []
    assert [yard.name for yard in related_origins(related_yards(0.25), QUARRY.id)] == ["Alder Yard"]


def test_nothing_is_changed_by_trying() -> None:
    snapshot = alder_pair()
    effect_of_origin(snapshot, ALDER_YARD.id, 0.5)
    assert snapshot.origins == (ALDER_YARD,)


def test_what_is_no_origin_or_no_relationship_is_refused() -> None:
    with pytest.raises(KeyError):
        effect_of_origin(narrow_flock(), OriginId("nowhere"), 0.5)
    with pytest.raises(ValueError, match="0 to 2"):
        effect_of_origin(narrow_flock(), ALDER_YARD.id, 2.5)
