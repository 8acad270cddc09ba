"""The effective number of ancestors against its plain definition."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.ancestors import marginal_contributions
from studbook.genetics.founders import Part, effective_number, flock_mean_kinship, founders
from studbook.genetics.gene_flow import levels
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from tests.zoo import ZOO, doubtful_pedigrees, named_pedigree

EXACT = {"rtol": 0, "atol": 1e-12}
FLOCKS = [name for name, pedigree in ZOO.items() if pedigree.is_bird.any()]

Candidate = tuple[int, Part]


def explained(pedigree: Pedigree, rows: list[int], picked: set[Candidate]) -> float:
    """The chance that a gene of the set, followed back, comes to a picked ancestor."""
    origin = ~pedigree.is_bird & ~pedigree.is_mean

    def chance(node: int, bird: int, part: Part) -> float:
        """Of a gene in `node`; `bird` is the last bird it came from, through this parent."""
        if node == UNKNOWN or origin[node]:
            return float((bird, part) in picked)
        if (node, Part.BIRD) in picked:
            return 1.0
        found = 0.0
        for pair in range(pedigree.first[node], pedigree.first[node + 1]):
            for side, parent in ((Part.SIRE, pedigree.sire[pair]), (Part.DAM, pedigree.dam[pair])):
                child, way = (bird, part) if pedigree.is_mean[node] else (node, side)
                found += pedigree.weight[pair] / 2 * chance(int(parent), child, way)
        return found

    return float(np.mean([chance(row, row, Part.BIRD) for row in rows]))


def picked_one_by_one(pedigree: Pedigree, rows: list[int]) -> list[tuple[Candidate, float]]:
    """Ancestors picked by what each adds to the chance, largest first, and the rule for equal ones."""
    among = founders(pedigree)
    halves = [(int(row), Part(part)) for row, part in zip(among.row, among.part, strict=True) if part]
    level = levels(pedigree)
    candidates = [(int(row), Part.BIRD) for row in np.flatnonzero(pedigree.is_bird)] + halves
    picks: list[tuple[Candidate, float]] = []
    while True:
        done = {candidate for candidate, _ in picks}
        before = explained(pedigree, rows, done)
        best = None
        for candidate in candidates:
            if candidate in done:
                continue
            added = explained(pedigree, rows, done | {candidate}) - before
            row, part = candidate
            whole = part is Part.BIRD
            key = (round(added, 12), not (whole and row in rows), level[row] if whole else 0, -row, -part)
            if added > 1e-12 and (best is None or key > best[0]):
                best = (key, candidate, added)
        if best is None:
            return picks
        picks.append((best[1], best[2]))


def check_against_definition(pedigree: Pedigree, rows: list[int]) -> None:
    expected = picked_one_by_one(pedigree, rows)
    found = marginal_contributions(pedigree, rows)
    assert list(zip(found.row.tolist(), found.part.tolist(), strict=True)) == [who for who, _ in expected]
    np.testing.assert_allclose(found.contribution, [added for _, added in expected], **EXACT)


@pytest.mark.parametrize("name", FLOCKS)
def test_ancestors_of_the_last_birds_of_the_zoo(name):
    pedigree = ZOO[name]
    birds = np.flatnonzero(pedigree.is_bird)[-3:].tolist()
    check_against_definition(
        pedigree.part(pedigree.with_ancestors(range(min(len(pedigree), 14)))),
        [bird for bird in birds if bird < 14] or [0],
    )


@given(doubtful_pedigrees(max_size=9), st.data())
def test_ancestors_of_random_flocks(pedigree, data):
    rows = data.draw(st.lists(st.integers(0, len(pedigree) - 1), min_size=1, unique=True))
    check_against_definition(pedigree, rows)


@given(doubtful_pedigrees(), st.data())
def test_marginal_contributions_sum_to_one_and_fall(pedigree, data):
    rows = data.draw(st.lists(st.integers(0, len(pedigree) - 1), min_size=1))
    found = marginal_contributions(pedigree, rows).contribution
    assert found.sum() == pytest.approx(1, abs=1e-10)
    assert np.all(np.diff(found) <= 1e-12)
    genomes = 1 / (2 * flock_mean_kinship(pedigree, rows))
    assert genomes <= effective_number(found) + 1e-9


def test_of_equal_ones_a_bird_outside_the_set_comes_first():
    """Two half sisters: their sire explains half of them, as each of them does."""
    pedigree, rows = named_pedigree("X,S,D; Y,S,E")
    found = marginal_contributions(pedigree, [rows["X"], rows["Y"]])
    assert found.row.tolist() == [rows["S"], rows["D"], rows["E"]]
    assert found.contribution.tolist() == [0.5, 0.25, 0.25]


def test_an_unknown_parent_may_be_an_ancestor():
    """Of two chicks of the same half-known cock, he explains half; of him alone, his unknown dam half."""
    pedigree, rows = named_pedigree("M,S,-; X,M,D; Y,M,E")
    found = marginal_contributions(pedigree, [rows["M"]])
    assert (found.row.tolist(), found.part.tolist()) == ([rows["M"]], [Part.BIRD])
    found = marginal_contributions(pedigree, [rows["X"], rows["Y"]])
    assert found.row.tolist() == [rows["M"], rows["D"], rows["E"]]


def test_progress_is_told_and_may_stop_the_work():
    pedigree = ZOO["deep and narrow"]
    told: list[float] = []
    marginal_contributions(pedigree, [len(pedigree) - 1], progress=told.append)
    assert told == sorted(told)
    assert told[-1] == pytest.approx(1)

    def stop(_share: float) -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        marginal_contributions(pedigree, [len(pedigree) - 1], progress=stop)
