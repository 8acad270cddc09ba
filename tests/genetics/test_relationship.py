"""What one bird is to another."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN
from studbook.genetics.relationship import Degree, Relationship, Relationships, Side, relationship
from tests.zoo import doubtful_pedigrees, named_pedigree, pedigree_of

FLOCK = "C,A,B; D,A,B; E,A,K; H,M,K; G,C,L; I,N,D; J,O,E; G2,G,P; Q,C,R; V,D,R; W,A,T; T2,U,B"


@pytest.mark.parametrize(
    ("bird", "other", "degree", "side"),
    [
        ("C", "C", Degree.SAME, None),
        ("C", "A", Degree.PARENT, None),
        ("A", "C", Degree.OFFSPRING, None),
        ("C", "D", Degree.FULL_SIB, None),
        ("C", "E", Degree.HALF_SIB, Side.SIRE),
        ("E", "H", Degree.HALF_SIB, Side.DAM),
        ("G", "A", Degree.GRANDPARENT, None),
        ("A", "G", Degree.GRANDOFFSPRING, None),
        ("G", "D", Degree.AUNT_OR_UNCLE, None),
        ("D", "G", Degree.NIECE_OR_NEPHEW, None),
        ("G", "I", Degree.COUSIN, None),
        ("G", "E", Degree.HALF_AUNT_OR_UNCLE, None),
        ("E", "G", Degree.HALF_NIECE_OR_NEPHEW, None),
        ("G", "J", Degree.HALF_COUSIN, None),
        ("G2", "A", Degree.GREAT_GRANDPARENT, None),
        ("A", "G2", Degree.GREAT_GRANDOFFSPRING, None),
        ("Q", "V", Degree.THREE_QUARTER_SIB, Side.DAM),
        ("G2", "I", Degree.RELATED, None),
        ("C", "N", Degree.UNRELATED, None),
        ("W", "T2", Degree.UNRELATED, None),
    ],
)
def test_each_degree_is_told(bird, other, degree, side):
    pedigree, rows = named_pedigree(FLOCK)
    assert relationship(pedigree, rows[bird], rows[other]) == Relationship(degree, side)


def test_double_first_cousins():
    pedigree, rows = named_pedigree("C,A,B; D,A,B; L,E,K; M,E,K; G,C,L; I,M,D")
    assert relationship(pedigree, rows["G"], rows["I"]).degree is Degree.DOUBLE_COUSIN


def test_the_closest_relationship_is_told():
    """A dam who is also the half sister of her chick is its dam."""
    pedigree, rows = named_pedigree("D,A,B; X,A,D")
    assert relationship(pedigree, rows["X"], rows["D"]).degree is Degree.PARENT


def test_two_unknown_parents_are_not_the_same_parent():
    pedigree = pedigree_of([[], [(0, UNKNOWN, 1.0)], [(0, UNKNOWN, 1.0)]])
    assert relationship(pedigree, 1, 2) == Relationship(Degree.HALF_SIB, Side.SIRE)


def test_the_likeliest_of_two_cocks_is_probably_the_sire():
    pedigree = pedigree_of([[], [], [], [(0, 2, 0.7), (1, 2, 0.3)], [(0, 2, 1.0)]])
    assert relationship(pedigree, 3, 0) == Relationship(Degree.PARENT, certain=False)
    assert relationship(pedigree, 3, 2) == Relationship(Degree.PARENT)
    assert relationship(pedigree, 3, 4) == Relationship(Degree.FULL_SIB, certain=False)


def test_the_less_likely_sire_is_related():
    pedigree = pedigree_of([[], [], [], [(0, 2, 0.7), (1, 2, 0.3)]])
    assert relationship(pedigree, 3, 1).degree is Degree.RELATED


@given(doubtful_pedigrees(), st.data())
def test_birds_are_unrelated_exactly_when_their_kinship_is_nothing(pedigree, data):
    bird = data.draw(st.integers(0, len(pedigree) - 1))
    other = data.draw(st.integers(0, len(pedigree) - 1))
    related = kinship(pedigree, [bird], [other])[0, 0] > 0
    assert (relationship(pedigree, bird, other).degree is not Degree.UNRELATED) == related


@given(doubtful_pedigrees())
def test_asking_pair_after_pair_gives_each_what_it_gives_alone(pedigree):
    kept = Relationships(pedigree)
    pairs = [(bird, other) for bird in range(len(pedigree)) for other in range(len(pedigree))]
    assert [kept.of(*pair) for pair in pairs] == [relationship(pedigree, *pair) for pair in pairs]
