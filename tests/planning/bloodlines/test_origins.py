"""What an assumed relationship of a yard's birds does to the figures."""

import pytest

from studbook.book.records import OriginId, Sex
from studbook.book.relatedness import Unknown
from studbook.planning.bloodlines.origins import effect_of_origin
from tests.planning.bloodlines.flock import bird, narrow_flock
from tests.planning.flock import ALDER_YARD


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


def test_nothing_is_changed_by_trying() -> None:
    snapshot = alder_pair()
    effect_of_origin(snapshot, ALDER_YARD.id, 0.5)
    assert snapshot.origins == (ALDER_YARD,)


def test_what_is_no_origin_or_no_relationship_is_refused() -> None:
    with pytest.raises(KeyError):
        effect_of_origin(narrow_flock(), OriginId("nowhere"), 0.5)
    with pytest.raises(ValueError, match="0 to 2"):
        effect_of_origin(narrow_flock(), ALDER_YARD.id, 2.5)
