"""Every figure at once against plain definitions, in random books with all that may be doubtful in them.

Doubtful sires and dams, pairs that belong together, placeholders, birds of unknown parents, means of
possible parents, and two origins that are inbred and related to each other.
"""

from itertools import combinations_with_replacement

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from studbook.book.pedigree import cautious_pedigree, conventional_pedigree
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
from studbook.dates import PartialDate
from studbook.genetics.ancestors import marginal_contributions
from studbook.genetics.completeness import generation_equivalents
from studbook.genetics.explanation import explain
from studbook.genetics.founders import (
    Part,
    effective_number,
    flock_mean_kinship,
    founder_contributions,
    founder_genome_equivalents,
    founders,
)
from studbook.genetics.generations import individual_increase, realised_size
from studbook.genetics.inbreeding import diagonals, extended, inbreeding
from studbook.genetics.kinship import kinship, mean_kinship
from studbook.genetics.old_and_recent import recent_inbreeding, recent_kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from studbook.genetics.sex_linked import z_linked
from studbook.genetics.unknown_range import unknown_range
from tests.genetics.test_ancestors import check_against_definition as check_ancestors
from tests.genetics.test_founders import genes_by_founder
from tests.genetics.test_old_and_recent import check_partial_inbreeding, recent_by_definition
from tests.genetics.test_sex_linked import z_kinship_table
from tests.genetics.test_unknown_range import filled_kinship, possible, unknown_parts
from tests.zoo import Pairs, pedigree_of, relationship_table

EXACT = {"rtol": 0, "atol": 1e-12}


@st.composite
def flocks(draw: st.DrawFn) -> tuple[Pedigree, NDArray[np.bool_]]:
    """Random nodes of every kind, and which of them are hens."""
    share, first, second = (draw(st.integers(1, 8)) / 10 for _ in range(3))
    nodes: list[Pairs] = [[], [(0, 0, share), (UNKNOWN, UNKNOWN, 1 - share)]]
    variance = {0: first, 1: second}
    cocks, hens = [UNKNOWN], [UNKNOWN]
    birds: dict[Sex, list[int]] = {Sex.COCK: [], Sex.HEN: []}
    hen = [False, False]
    for _ in range(draw(st.integers(4, 9))):
        row = len(nodes)
        sex = draw(st.sampled_from([Sex.COCK, Sex.HEN]))
        kind = draw(st.sampled_from(["founder", "origin", "chick", "chick", "chick", "chick", "mean"]))
        if kind == "mean" and birds[sex]:
            candidates = draw(st.lists(st.sampled_from(birds[sex]), min_size=1, max_size=3, unique=True))
            nodes.append([(one, one, 1 / len(candidates)) for one in candidates])
            variance[row] = 0.0
        elif kind == "chick":
            pair = st.tuples(st.sampled_from(cocks), st.sampled_from(hens))
            pairs = draw(st.lists(pair, min_size=1, max_size=3, unique=True))
            parts = [draw(st.integers(1, 9)) for _ in pairs]
            nodes.append(
                [(sire, dam, part / sum(parts)) for (sire, dam), part in zip(pairs, parts, strict=True)]
            )
        elif kind == "origin":
            origin = draw(st.integers(0, 1))
            nodes.append([(origin, origin, 1.0)])
        else:
            nodes.append([])
        hen.append(sex is Sex.HEN and row not in variance)
        (cocks if sex is Sex.COCK else hens).append(row)
        if row not in variance:
            birds[sex].append(row)
    nodes.append([(cocks[-1], hens[-1], 1.0)])
    return pedigree_of(nodes, variance), np.array([*hen, False])


@st.composite
def books(draw: st.DrawFn) -> Snapshot:
    """Random books of two related yards, with three hatches or more."""
    yards = [OriginId("Lower yard"), OriginId("Upper yard")]
    assumed = [draw(st.integers(1, 8)) / 10 for _ in yards]
    between = min(assumed) * draw(st.integers(0, 4)) / 5
    birds: list[Bird] = []
    for number in range(draw(st.integers(5, 10))):
        sex = (Sex.COCK, Sex.HEN)[number % 2]
        known = {each: [None, *(one.id for one in birds if one.sex is each)] for each in (Sex.COCK, Sex.HEN)}
        kind = "bought" if number < 2 else draw(st.sampled_from(["bought", "placeholder", "home", "home"]))
        pairs: tuple[Pair, ...] = ()
        if kind == "home":
            parents = st.tuples(st.sampled_from(known[Sex.COCK]), st.sampled_from(known[Sex.HEN]))
            drawn = draw(st.lists(parents, max_size=3, unique=True))
            pairs = tuple(Pair(sire, dam, 1 / len(drawn)) for sire, dam in drawn)
        birds.append(
            Bird(
                BirdId(f"bird {number}"),
                name=f"bird {number}",
                sex=sex,
                # the year after the parents, as long as all of them could be
                hatched=PartialDate.parse(f"{2010 + number}-04-12"),
                origin=draw(st.sampled_from([None, *yards])) if kind == "bought" else None,
                founder=kind == "bought",
                placeholder=kind == "placeholder",
                pairs=pairs,
            )
        )
    relations = (OriginRelation.between(*yards, between),) if between else ()
    origins = tuple(Origin(yard, yard, gamma) for yard, gamma in zip(yards, assumed, strict=True))
    return Snapshot(1, BookDetails("book"), birds=tuple(birds), origins=origins, origin_relations=relations)


def conventional_table(snapshot: Snapshot) -> NDArray[np.float64]:
    """The additive relationships of the birds, straight from the records; origins stand before them."""
    yards = [origin.id for origin in snapshot.origins]
    n = len(yards) + len(snapshot.birds)
    place = {yard: number for number, yard in enumerate(yards)}
    place |= {bird.id: len(yards) + row for row, bird in enumerate(snapshot.birds)}
    table = np.zeros((n, n))
    for origin in snapshot.origins:
        table[place[origin.id], place[origin.id]] = origin.self_relationship
    for relation in snapshot.origin_relations:
        one, other = place[relation.origin], place[relation.other]
        table[one, other] = table[other, one] = relation.relationship
    for bird in snapshot.birds:
        row = place[bird.id]
        pairs = bird.pairs or (Pair(None, None, 1.0),)
        total, own = sum(pair.weight for pair in pairs), 1.0
        for pair in pairs:
            sire, dam = (place.get(parent or bird.origin) for parent in (pair.sire, pair.dam))
            for parent in (sire, dam):
                if parent is not None:
                    table[row, :row] += pair.weight / total / 2 * table[parent, :row]
            if sire is not None and dam is not None:
                own += pair.weight / total / 2 * table[sire, dam]
        table[:row, row] = table[row, :row]
        table[row, row] = own
    return table[len(yards) :, len(yards) :]


def check_every_figure(pedigree: Pedigree, hen: NDArray[np.bool_], some: list[int]) -> None:
    """All figures of a pedigree; `some` are the birds that are asked about as a set."""
    table = relationship_table(pedigree)
    birds = np.flatnonzero(pedigree.is_bird)
    every = np.arange(len(pedigree))
    coefficient = np.diag(table) - 1

    found = inbreeding(pedigree)
    np.testing.assert_allclose(found[birds], coefficient[birds], **EXACT)
    assert np.isnan(found[~pedigree.is_bird]).all()
    np.testing.assert_allclose(kinship(pedigree, every, every), table / 2, **EXACT)
    known = diagonals(pedigree)
    half = len(pedigree) // 2
    before = diagonals(pedigree.part(np.arange(half, dtype=np.int32)))
    np.testing.assert_allclose(extended(pedigree, before).self_relationship, np.diag(table), **EXACT)
    np.testing.assert_allclose(
        mean_kinship(pedigree, every, known, some), table[:, some].mean(axis=1) / 2, **EXACT
    )
    flock = table[np.ix_(some, some)].mean() / 2
    assert flock_mean_kinship(pedigree, some) == pytest.approx(flock, abs=1e-12)
    assert founder_genome_equivalents(flock_mean_kinship(pedigree, some)) == pytest.approx(1 / (2 * flock))

    z_table, z = z_kinship_table(pedigree, hen), z_linked(pedigree, hen)
    np.testing.assert_allclose(z.kinship(every, every), z_table, **EXACT)
    cock = pedigree.is_bird & ~hen
    np.testing.assert_allclose(z.inbreeding, np.where(cock, 2 * np.diag(z_table) - 1, np.nan), **EXACT)

    among, genes = founders(pedigree), genes_by_founder(pedigree)
    shares = [
        np.mean([genes[bird].get((int(row), Part(part)), 0.0) for bird in some])
        for row, part in zip(among.row, among.part, strict=True)
    ]
    np.testing.assert_allclose(founder_contributions(pedigree, some, among), shares, **EXACT)
    assert sum(shares) == pytest.approx(1, abs=1e-12)
    check_ancestors(pedigree, some)
    marginal = marginal_contributions(pedigree, some).contribution
    assert effective_number(marginal) == pytest.approx(1 / sum(share**2 for share in marginal.tolist()))

    equivalents = plain_equivalents(pedigree)
    np.testing.assert_allclose(generation_equivalents(pedigree), equivalents, **EXACT)
    enough = [bird for bird in some if equivalents[bird] > 1]
    increase = [1 - (1 - coefficient[bird]) ** (1 / (equivalents[bird] - 1)) for bird in enough]
    told = individual_increase(found[some], generation_equivalents(pedigree)[some])
    np.testing.assert_allclose(told[~np.isnan(told)], increase, **EXACT)
    if increase and np.mean(increase) > 1e-9:
        assert realised_size(told).effective_size == pytest.approx(1 / (2 * np.mean(increase)))

    for generations in (1, 2, 3, 5):
        recent = [recent_by_definition(pedigree, bird, generations) for bird in birds]
        np.testing.assert_allclose(recent_inbreeding(pedigree, birds, generations), recent, **EXACT)
    check_partial_inbreeding(pedigree)
    for first, second in combinations_with_replacement(some, 2):
        told_pair = explain(pedigree, first, second, known)
        assert sum(each.contribution for each in told_pair.ancestors) == pytest.approx(told_pair.kinship)
        # an origin that is met counts as an ancestor, and a bird with itself meets in itself
        assert told_pair.kinship == pytest.approx(table[first, second] / 2, abs=1e-12)
    for child, part in unknown_parts(pedigree)[:2]:
        candidates = possible(pedigree, child)[:4]
        spread = unknown_range(pedigree, some[0], some[-1], child, part, candidates)
        expected = [
            filled_kinship(pedigree, some[0], some[-1], child, part, candidate) for candidate in candidates
        ]
        np.testing.assert_allclose(spread.kinship, expected, **EXACT)


def plain_equivalents(pedigree: Pedigree) -> list[float]:
    """One for each parent known, a half each, and what is known of it, by half."""
    found: list[float] = []
    for row in range(len(pedigree)):
        pairs = range(pedigree.first[row], pedigree.first[row + 1])
        parents = [
            (int(parent), pedigree.weight[pair] / 2)
            for pair in pairs
            for parent in (pedigree.sire[pair], pedigree.dam[pair])
            if parent != UNKNOWN
        ]
        found.append(float(sum(share * (1 + found[parent]) for parent, share in parents)))
    return found


@settings(max_examples=40, deadline=None)
@given(flocks(), st.data())
def test_every_figure_of_a_random_flock_is_that_of_its_definition(flock, data):
    pedigree, hen = flock
    birds = st.sampled_from(np.flatnonzero(pedigree.is_bird).tolist())
    some = data.draw(st.lists(birds, min_size=1, max_size=4, unique=True))
    check_every_figure(pedigree, hen, some)


@settings(max_examples=25, deadline=None)
@given(books(), st.data())
def test_every_figure_of_a_random_book_is_that_of_its_definition(snapshot, data):
    rows = st.integers(0, len(snapshot.birds) - 1)
    some = data.draw(st.lists(rows, min_size=1, max_size=3, unique=True))
    convention = conventional_pedigree(snapshot)
    table = conventional_table(snapshot)
    np.testing.assert_allclose(inbreeding(convention.pedigree)[convention.nodes], np.diag(table) - 1, **EXACT)
    nodes = convention.nodes
    np.testing.assert_allclose(kinship(convention.pedigree, nodes, nodes), table / 2, **EXACT)
    for way in (convention, cautious_pedigree(snapshot)):
        hen = np.zeros(len(way.pedigree), dtype=bool)
        hen[[int(way.nodes[row]) for row, bird in enumerate(snapshot.birds) if bird.sex is Sex.HEN]] = True
        check_every_figure(way.pedigree, hen, way.nodes[some].tolist())


@given(flocks(), st.integers(1, 4))
def test_recent_kinship_is_the_recent_inbreeding_of_the_last_chick(flock, generations):
    """The last node has one sire and one dam."""
    pedigree, _ = flock
    sire, dam = int(pedigree.sire[-1]), int(pedigree.dam[-1])
    if UNKNOWN not in (sire, dam) and pedigree.is_bird[[sire, dam]].all():
        expected = recent_inbreeding(pedigree, [len(pedigree) - 1], generations)[0]
        assert recent_kinship(pedigree, sire, dam, generations) == pytest.approx(expected, abs=1e-12)
