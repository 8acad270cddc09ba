"""The relatedness of a book's birds: numbers, ancestors and words from a snapshot."""

import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from studbook.book.origins import origin_sources
from studbook.book.records import (
    Bird,
    BirdId,
    BookDetails,
    Origin,
    OriginId,
    OriginRelation,
    Pair,
    Sex,
    Snapshot,
)
from studbook.book.relatedness import CommonOrigin, Relatedness, Unknown, relationship_text
from studbook.genetics.relationship import Degree, Relationship, Side

COCK, HEN = Sex.COCK, Sex.HEN


def bird(name: str, sex: Sex = Sex.UNKNOWN, *pairs: tuple[str | None, str | None, float], **more) -> Bird:
    return Bird(
        BirdId(name),
        name=name,
        sex=sex,
        pairs=tuple(
            Pair(BirdId(sire) if sire else None, BirdId(dam) if dam else None, weight)
            for sire, dam, weight in pairs
        ),
        **more,
    )


def book(
    *birds: Bird, origins: tuple[Origin, ...] = (), relations: tuple[OriginRelation, ...] = ()
) -> Snapshot:
    return Snapshot(1, BookDetails("b"), birds=birds, origins=origins, origin_relations=relations)


FULL_SIBS = book(
    bird("Tamar", COCK, founder=True),
    bird("Bramble", HEN, founder=True),
    bird("Wye", COCK, ("Tamar", "Bramble", 1.0)),
    bird("Sloe", HEN, ("Tamar", "Bramble", 1.0)),
    bird("chick", Sex.UNKNOWN, ("Wye", "Sloe", 1.0)),
)


def test_a_chick_of_full_sibs():
    found = Relatedness(FULL_SIBS)
    assert found.inbreeding.tolist() == [0, 0, 0, 0, 0.25]
    assert found.generations.tolist() == [0, 0, 1, 1, 2]
    assert found.known_ancestors(BirdId("chick")) == 4
    assert found.kinship([BirdId("Wye"), BirdId("Tamar")], [BirdId("Sloe")]).tolist() == [[0.25], [0.25]]


def test_the_explanation_names_birds():
    found = Relatedness(FULL_SIBS).explain(BirdId("Wye"), BirdId("Sloe"))
    assert found.kinship == 0.25
    assert {(a.bird, a.contribution, a.path_count, a.paths) for a in found.ancestors} == {
        ("Tamar", 0.125, 1, (("Wye", "Tamar", "Sloe"),)),
        ("Bramble", 0.125, 1, (("Wye", "Bramble", "Sloe"),)),
    }


def test_a_bird_not_in_the_book_has_no_kinship():
    with pytest.raises(KeyError):
        Relatedness(FULL_SIBS).kinship([BirdId("nobody")], [BirdId("Sloe")])


def test_an_empty_book_has_no_numbers():
    for unknown in Unknown:
        assert Relatedness(book(), unknown).inbreeding.shape == (0,)
        assert Relatedness(book(), unknown).generations.shape == (0,)


def test_a_parent_struck_out_of_the_book_is_unknown():
    flock = book(bird("Sloe", HEN, founder=True), bird("chick", COCK, ("gone", "Sloe", 1.0)))
    assert Relatedness(flock).generations.tolist() == [0, 0.5]


def test_doubtful_sires_share_their_chick():
    flock = book(
        bird("Tamar", COCK, founder=True),
        bird("Severn", COCK, founder=True),
        bird("Sloe", HEN, founder=True),
        bird("Teasel", HEN, ("Tamar", "Sloe", 0.7), ("Severn", "Sloe", 0.3)),
    )
    found = Relatedness(flock).kinship([BirdId("Tamar"), BirdId("Severn")], [BirdId("Teasel")])
    np.testing.assert_allclose(found, [[0.175], [0.075]], atol=1e-12)


def test_weights_that_sum_to_nearly_one_are_taken_as_shares():
    flock = book(
        bird("Tamar", COCK, founder=True),
        bird("Severn", COCK, founder=True),
        bird("Dart", COCK, founder=True),
        bird("Sloe", HEN, founder=True),
        bird("Teasel", HEN, *((cock, "Sloe", 0.333) for cock in ("Tamar", "Severn", "Dart"))),
    )
    found = Relatedness(flock).kinship([BirdId("Tamar")], [BirdId("Teasel")])
    np.testing.assert_allclose(found, [[0.25 / 3]], atol=1e-12)


def test_placeholders_join_full_sibs_but_are_no_knowledge():
    flock = book(
        bird("cock of nest 3", COCK, placeholder=True),
        bird("hen of nest 3", HEN, placeholder=True),
        bird("Wye", COCK, ("cock of nest 3", "hen of nest 3", 1.0)),
        bird("Sloe", HEN, ("cock of nest 3", "hen of nest 3", 1.0)),
    )
    for unknown in Unknown:
        found = Relatedness(flock, unknown)
        assert found.kinship([BirdId("Wye")], [BirdId("Sloe")]).tolist() == [[0.25]]
        assert found.generations.tolist() == [0, 0, 0, 0]
        assert found.known_ancestors(BirdId("Sloe")) == 0


def test_birds_of_a_related_yard_share_half_its_self_relationship():
    """Legarra et al. 2015, Genetics 200:455-468."""
    yard = Origin(OriginId("yard"), "Thornbarrow", self_relationship=0.4)
    flock = book(
        bird("Tamar", COCK, origin=yard.id),
        bird("Sloe", HEN, origin=yard.id),
        bird("Wye", COCK, founder=True),
        bird("Teasel", HEN, ("Tamar", "Sloe", 1.0)),
        origins=(yard,),
    )
    found = Relatedness(flock)
    np.testing.assert_allclose(
        found.kinship([BirdId("Tamar"), BirdId("Wye")], [BirdId("Sloe")]), [[0.2], [0]], atol=1e-12
    )
    np.testing.assert_allclose(found.inbreeding, [0.2, 0.2, 0, 0.2], atol=1e-12)
    explained = found.explain(BirdId("Tamar"), BirdId("Sloe"))
    assert explained.ancestors == ()
    assert explained.origins == (CommonOrigin(yard.id, pytest.approx(0.2)),)
    assert found.relationship(BirdId("Tamar"), BirdId("Sloe")).degree is Degree.RELATED
    assert found.generations.tolist() == [0, 0, 0, 1]


def test_a_yard_whose_birds_are_unrelated_says_nothing():
    yard = Origin(OriginId("yard"), "Thornbarrow")
    flock = book(bird("Tamar", COCK, origin=yard.id), bird("Sloe", HEN, origin=yard.id), origins=(yard,))
    found = Relatedness(flock)
    assert found.kinship([BirdId("Tamar")], [BirdId("Sloe")]).tolist() == [[0]]
    assert found.relationship(BirdId("Tamar"), BirdId("Sloe")).degree is Degree.UNRELATED


THORNBARROW, HIGHMOOR = OriginId("Thornbarrow"), OriginId("Highmoor")


def two_yards(between: float) -> Snapshot:
    return book(
        bird("Tamar", COCK, origin=THORNBARROW),
        bird("Sloe", HEN, origin=HIGHMOOR),
        bird("Sorrel", HEN, origin=HIGHMOOR),
        bird("Wye", COCK, founder=True),
        bird("Teasel", HEN, ("Tamar", "Sloe", 1.0)),
        origins=(Origin(THORNBARROW, "Thornbarrow", 0.4), Origin(HIGHMOOR, "Highmoor", 0.3)),
        relations=(OriginRelation.between(THORNBARROW, HIGHMOOR, between),),
    )


@pytest.mark.parametrize("unknown", Unknown)
@pytest.mark.parametrize("between", [0.2, 0.12**0.5])
def test_birds_of_two_related_yards_share_half_of_what_relates_these(between, unknown):
    """Two related metafounders: Legarra et al. 2015, Genetics 200:455-468."""
    flock = two_yards(between)
    found = Relatedness(flock, unknown)
    np.testing.assert_allclose(
        found.kinship([BirdId("Tamar"), BirdId("Wye")], [BirdId("Sloe"), BirdId("Sorrel")]),
        [[between / 2, between / 2], [0, 0]],
        atol=1e-12,
    )
    np.testing.assert_allclose(found.kinship([BirdId("Sloe")], [BirdId("Sorrel")]), [[0.15]], atol=1e-12)
    np.testing.assert_allclose(found.inbreeding, [0.2, 0.15, 0.15, 0, between / 2], atol=1e-12)


def test_the_explanation_names_both_yards_where_their_birds_meet():
    found = Relatedness(two_yards(0.2))
    explained = found.explain(BirdId("Tamar"), BirdId("Sorrel"))
    (both,) = explained.origins
    assert {both.origin, *both.others} == {THORNBARROW, HIGHMOOR}
    assert both.contribution == pytest.approx(explained.kinship) == pytest.approx(0.1)
    of_one = found.explain(BirdId("Sloe"), BirdId("Sorrel"))
    assert {(each.origin, each.others) for each in of_one.origins} == {(HIGHMOOR, ())}
    assert sum(each.contribution for each in of_one.origins) == pytest.approx(0.15)


@given(st.integers(2, 6), st.integers(1, 4), st.randoms(use_true_random=False))
def test_yards_that_share_stock_are_related_as_they_were_said_to_be(yards, stocks, random):
    """Yards that draw from common stocks, so that such birds can be: every kinship is γ / 2 exactly."""
    draws = np.array(
        [
            [random.choice([0, 0.1, 0.3, 0.5]) * (stock <= yard) for stock in range(stocks)]
            for yard in range(yards)
        ]
    )
    gamma = draws @ draws.T + np.diag([random.choice([0.0, 0.2]) for _yard in range(yards)])
    ids = [OriginId(f"yard {yard}") for yard in range(yards)]
    relations = [
        OriginRelation.between(ids[one], ids[other], gamma[one, other])
        for one in range(yards)
        for other in range(one)
        if gamma[one, other] > 0
    ]
    origins = tuple(Origin(name, name, gamma[yard, yard]) for yard, name in enumerate(ids))
    birds = [bird(f"{name} {number}", COCK, origin=name) for name in ids for number in (1, 2)]
    try:
        origin_sources(origins, relations)
    except ValueError:
        reject()
    found = Relatedness(book(*birds, origins=origins, relations=tuple(relations)))
    of_birds = np.kron(gamma / 2, np.ones((2, 2))) + np.diag(np.repeat(0.5 - np.diag(gamma) / 4, 2))
    names = [one.id for one in birds]
    np.testing.assert_allclose(found.kinship(names, names), of_birds, rtol=0, atol=1e-12)
    np.testing.assert_allclose(found.inbreeding, np.repeat(np.diag(gamma) / 2, 2), rtol=0, atol=1e-12)


@given(st.integers(1, 3), st.randoms(use_true_random=False))
def test_three_yards_can_always_be_taken_apart_and_impossible_ones_never(yards, random):
    draws = np.array([[random.randint(1, 9) / 10 for _stock in range(3)] for _yard in range(yards)])
    gamma = draws @ draws.T
    ids = [OriginId(f"yard {yard}") for yard in range(yards)]
    relations = [
        OriginRelation(ids[one], ids[other], gamma[one, other])
        for other in range(yards)
        for one in range(other)
    ]
    origins = [Origin(name, name, gamma[yard, yard]) for yard, name in enumerate(ids)]
    found = origin_sources(origins, relations)
    for one, first in enumerate(ids):
        for other, second in enumerate(ids):
            shared = sum(
                each.variance * each.shares.get(first, 0) * each.shares.get(second, 0)
                for each in found.shared
            )
            own = found.own[first] if one == other else 0
            assert shared + own == pytest.approx(gamma[one, other], abs=1e-12)
    if yards > 1:
        too_close = replace(relations[0], relationship=1.01 * (gamma[0, 0] * gamma[1, 1]) ** 0.5)
        with pytest.raises(ValueError, match="contradict"):
            origin_sources(origins, [too_close, *relations[1:]])


@given(st.integers(4, 7), st.booleans(), st.randoms(use_true_random=False))
def test_a_ring_of_yards_is_related_as_it_was_said_to_be(yards, tight, random):
    """Each yard shares stock with its two neighbours alone, and may have nothing beyond that."""
    gamma = np.zeros((yards, yards))
    for one in range(yards):
        stock = np.zeros(yards)
        stock[[one, (one + 1) % yards]] = random.uniform(0.1, 0.9), random.uniform(0.1, 0.9)
        gamma += np.outer(stock, stock)
    gamma += np.diag([0.0 if tight else random.choice([0.0, 0.2]) for _yard in range(yards)])
    ids = [OriginId(f"yard {yard}") for yard in range(yards)]
    relations = tuple(
        OriginRelation.between(ids[one], ids[(one + 1) % yards], gamma[one, (one + 1) % yards])
        for one in range(yards)
    )
    origins = tuple(Origin(name, name, gamma[yard, yard]) for yard, name in enumerate(ids))
    birds = [bird(f"{name} bird", COCK, origin=name) for name in ids]
    found = Relatedness(book(*birds, origins=origins, relations=relations))
    names = [one.id for one in birds]
    expected = gamma / 2 + np.diag(0.5 - np.diag(gamma) / 4)
    np.testing.assert_allclose(found.kinship(names, names), expected, rtol=0, atol=1e-12)
    np.testing.assert_allclose(found.inbreeding, np.diag(gamma) / 2, rtol=0, atol=1e-12)


@pytest.mark.parametrize(
    ("yards", "related", "is_possible"),
    [(4, 0.5, True), (4, 0.4999, True), (4, 0.501, False), (5, 0.5, True), (5, 0.6, False), (6, 0.5, True)],
)
def test_of_a_ring_only_what_no_birds_could_be_is_refused(yards, related, is_possible):
    """Five yards at 0.6 have no negative eigenvalue, and still no stocks could give it: a 5-cycle is triangle-free.

    Drew, Johnson & Loewy 1994, Linear and Multilinear Algebra 37:303-310.
    """
    ids = [OriginId(f"yard {yard}") for yard in range(yards)]
    origins = [Origin(name, name, 1.0) for name in ids]
    relations = [OriginRelation.between(ids[one - 1], ids[one], related) for one in range(yards)]
    if is_possible:
        found = origin_sources(origins, relations)
        assert len(found.shared) >= yards - 1
        for name in ids:
            assert sum(each.shares.get(name, 0.0) for each in found.shared) < 1
    else:
        with pytest.raises(ValueError, match="contradict"):
            origin_sources(origins, relations)


def test_relationships_are_those_of_the_record_even_when_figures_are_cautious():
    for unknown in Unknown:
        found = Relatedness(FULL_SIBS, unknown)
        assert found.relationship(BirdId("Wye"), BirdId("Sloe")) == Relationship(Degree.FULL_SIB)


@pytest.mark.parametrize(
    ("relationship", "sex", "text"),
    [
        (Relationship(Degree.HALF_SIB, Side.SIRE), HEN, "half sister by the sire"),
        (Relationship(Degree.HALF_SIB, Side.DAM), COCK, "half brother by the dam"),
        (Relationship(Degree.GRANDOFFSPRING), HEN, "granddaughter"),
        (Relationship(Degree.PARENT), HEN, "dam"),
        (Relationship(Degree.PARENT), COCK, "sire"),
        (Relationship(Degree.OFFSPRING), Sex.UNKNOWN, "offspring"),
        (Relationship(Degree.OFFSPRING, certain=False), COCK, "probably son"),
        (Relationship(Degree.UNRELATED), HEN, "unrelated"),
    ],
)
def test_words_of_relationships(relationship, sex, text):
    assert relationship_text(relationship, sex) == text


def test_every_degree_has_words_for_every_sex():
    for degree in Degree:
        for sex in Sex:
            assert relationship_text(Relationship(degree), sex)


def test_the_name_of_a_bird_changes_no_number():
    renamed = replace(
        FULL_SIBS, birds=tuple(replace(one, name=f"other {one.name}") for one in FULL_SIBS.birds)
    )
    np.testing.assert_array_equal(Relatedness(renamed).inbreeding, Relatedness(FULL_SIBS).inbreeding)


def test_the_program_finds_its_numbers_without_numba_or_a_statistics_library():
    """A book of kinships works with the default install; nothing heavier comes in unseen."""
    code = (
        "import sys, studbook.book.relatedness as relatedness;"
        "from studbook.book.records import BookDetails, Snapshot;"
        "relatedness.Relatedness(Snapshot(1, BookDetails('b'))).inbreeding;"
        "print(*sorted({name.partition('.')[0] for name in sys.modules}"
        " & {'numba', 'llvmlite', 'sgkit', 'xarray', 'scipy', 'networkx', 'sqlalchemy', 'PySide6'}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""
