"""Large books: every way to the numbers gives the same ones, compiled or not."""

import importlib.util
import threading

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics import compiled
from studbook.genetics.founders import founders
from studbook.genetics.gene_drop import gene_drop
from studbook.genetics.gene_flow import levels
from studbook.genetics.inbreeding import added_diagonals, diagonals, extended, inbreeding
from studbook.genetics.kinship import kinship, mean_kinship
from studbook.genetics.old_and_recent import partial_inbreeding
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from tests.genetics.test_old_and_recent import kinship_by_founder
from tests.zoo import ZOO, certain_pedigrees, doubtful_pedigrees, pedigree_of, relationship_table

EXACT = {"rtol": 0, "atol": 1e-12}

WITH_NUMBA = importlib.util.find_spec("numba") is not None


@pytest.fixture(scope="module", params=["plain", "columns", "compiled"])
def way(request):
    """The table of a narrow book, swept columns in numpy, and the compiled kernels, even for the smallest."""
    with pytest.MonkeyPatch.context() as patch:
        if request.param != "plain":
            # so little room that each column is swept alone
            patch.setattr("studbook.genetics.inbreeding.BLOCK_NUMBERS", 0)
            patch.setattr("studbook.genetics.kinship.BLOCK_NUMBERS", 0)
        if request.param == "compiled":
            if not WITH_NUMBA:
                pytest.skip("numba is not installed: it belongs to the extra 'large'")
            patch.setattr("studbook.genetics.compiled.LARGE", -1)
            assert compiled.kernels_for(0) is not None
        yield request.param


def cut(pedigree: Pedigree, count: int) -> Pedigree:
    """The first nodes of a pedigree."""
    return pedigree.part(np.arange(count, dtype=np.int32))


def society(seed: int, flocks: int = 8, seasons: int = 12) -> Pedigree:
    """Flocks side by side with some trade, doubtful sires and dams, pairs, a source and a mean in each season."""
    rng = np.random.default_rng(seed)
    nodes: list[list[tuple[int, int, float]]] = [[], [(0, 0, 0.5), (UNKNOWN, UNKNOWN, 0.5)]]
    variance = {0: 0.3, 1: 0.1}
    last = []
    for flock in range(flocks):
        last.append(list(range(len(nodes), len(nodes) + 6)))
        nodes += [[(flock % 2, flock % 2, 1.0)] if flock < 4 else []] * 6
    for _ in range(seasons):
        hatched = []
        for flock in range(flocks):
            origin = rng.integers(flocks) if rng.random() < 0.4 else flock
            cocks, hens = last[origin][::2], last[flock][1::2]
            mean = len(nodes)
            nodes.append([(hen, hen, 1 / len(hens)) for hen in hens])
            variance[mean] = 0.0
            hatched.append(list(range(len(nodes), len(nodes) + 6)))
            for chick in range(6):
                sire, other = rng.choice(cocks, 2, replace=False).tolist()
                dam, second = rng.choice(hens, 2, replace=False).tolist()
                nodes.append(
                    [
                        [(sire, dam, 1.0)],
                        [(sire, mean, 1.0)],
                        [(sire, dam, 0.5), (other, dam, 0.5)],
                        [(sire, dam, 0.25), (other, second, 0.75)],
                        [(sire, UNKNOWN, 1.0)],
                        [(sire, dam, 0.6), (UNKNOWN, second, 0.4)],
                    ][(chick + rng.integers(2)) % 6]
                )
        last = hatched
    return pedigree_of(nodes, variance)


SOCIETY = society(5)
SOCIETY_TABLE = relationship_table(SOCIETY)


@pytest.mark.parametrize("name", ZOO)
def test_every_way_agrees_with_the_table_of_the_zoo(way, name):
    pedigree, every = ZOO[name], np.arange(len(ZOO[name]))
    table = relationship_table(pedigree)
    expected = np.where(pedigree.is_bird, np.diag(table) - 1, np.nan)
    np.testing.assert_allclose(inbreeding(pedigree), expected, **EXACT)
    np.testing.assert_allclose(diagonals(pedigree).self_relationship, np.diag(table), **EXACT)
    np.testing.assert_allclose(kinship(pedigree, every, every), table / 2, **EXACT)


@given(st.one_of(certain_pedigrees(), doubtful_pedigrees()))
def test_every_way_agrees_with_the_table_of_random_flocks(way, pedigree):
    every = np.arange(len(pedigree))
    table = relationship_table(pedigree)
    np.testing.assert_allclose(inbreeding(pedigree), np.diag(table) - 1, **EXACT)
    np.testing.assert_allclose(kinship(pedigree, every, every), table / 2, **EXACT)


def test_every_way_agrees_with_the_table_of_a_society(way):
    """Sources, means, doubtful parents and trade together, over many levels."""
    some = np.arange(0, len(SOCIETY), 7)
    known = diagonals(SOCIETY)
    np.testing.assert_allclose(known.self_relationship, np.diag(SOCIETY_TABLE), **EXACT)
    np.testing.assert_allclose(
        kinship(SOCIETY, some, some[::3], known), SOCIETY_TABLE[np.ix_(some, some[::3])] / 2, **EXACT
    )
    np.testing.assert_allclose(
        mean_kinship(SOCIETY, np.arange(len(SOCIETY)), known, some),
        SOCIETY_TABLE[:, some].mean(axis=1) / 2,
        **EXACT,
    )


@given(doubtful_pedigrees(), st.data())
def test_mean_kinship_with_others_is_the_mean_over_the_others(way, pedigree, data):
    birds = st.lists(st.integers(0, len(pedigree) - 1), min_size=1, max_size=6)
    rows, among = data.draw(birds), data.draw(birds)
    expected = relationship_table(pedigree)[np.ix_(rows, among)].mean(axis=1) / 2
    np.testing.assert_allclose(mean_kinship(pedigree, rows, among=among), expected, **EXACT)


@given(doubtful_pedigrees(), st.data())
def test_added_birds_get_what_the_whole_book_gives_them(way, pedigree, data):
    """Also where an added bird is a parent of another."""
    count = data.draw(st.integers(0, len(pedigree)))
    whole, before = diagonals(pedigree), diagonals(cut(pedigree, count))
    found = extended(pedigree, before)
    np.testing.assert_allclose(found.self_relationship, whole.self_relationship, **EXACT)
    np.testing.assert_allclose(found.sampling_variance, whole.sampling_variance, **EXACT)
    assert len(added_diagonals(pedigree, before).self_relationship) == len(pedigree) - count


@pytest.mark.parametrize("count", [2, 57, len(SOCIETY) - 60, len(SOCIETY)])
def test_a_society_grows_by_a_hatch(way, count):
    found = extended(SOCIETY, diagonals(cut(SOCIETY, count)))
    np.testing.assert_allclose(found.self_relationship, np.diag(SOCIETY_TABLE), **EXACT)


@pytest.mark.parametrize(
    "asked", [[0], [1], [63, 64], [127, 128, 5], range(200), [len(SOCIETY) - 1], range(len(SOCIETY))]
)
def test_what_is_behind_some_birds_is_the_part_of_their_ancestors(way, asked):
    """Each row and pair once, in order, with nothing else; the plain walk says who they are."""
    rows, behind = SOCIETY.behind(asked)
    walked, wave = set(asked), list(asked)
    while wave:
        row = wave.pop()
        pairs = slice(SOCIETY.first[row], SOCIETY.first[row + 1])
        parents = {*SOCIETY.sire[pairs].tolist(), *SOCIETY.dam[pairs].tolist()} - walked - {UNKNOWN}
        walked |= parents
        wave += parents
    assert rows.tolist() == sorted(walked)
    assert SOCIETY.with_ancestors(asked).tolist() == rows.tolist()
    expected = SOCIETY.part(rows)
    for name in ("first", "sire", "dam", "weight", "variance"):
        np.testing.assert_array_equal(getattr(behind, name), getattr(expected, name), strict=True)


@given(doubtful_pedigrees())
def test_a_level_is_one_above_the_highest_parent(way, pedigree):
    expected = []
    for row in range(len(pedigree)):
        links = pedigree.links_of(np.array([row]))
        expected.append(max((expected[parent] for parent in links.parent), default=-1) + 1)
    assert levels(pedigree).tolist() == expected


def test_a_cock_with_hundreds_of_chicks_that_bred(way):
    """More offspring on one level than are passed on one by one."""
    chicks = range(2, 302)
    nodes = [[], [], *([(0, 1, 1.0)] for _ in chicks), *([(chick, chick + 1, 1.0)] for chick in chicks[::2])]
    pedigree = pedigree_of(nodes)
    np.testing.assert_allclose(inbreeding(pedigree)[302:], np.full(150, 0.25), **EXACT)
    np.testing.assert_allclose(kinship(pedigree, [0], range(302, 452)), np.full((1, 150), 0.25), **EXACT)


class _Stopped(Exception):  # noqa: N818 - the user wanted it, it is no error
    pass


def test_long_work_tells_how_far_it_is_and_can_be_stopped(way):
    heard: list[float] = []
    known = diagonals(SOCIETY, heard.append)
    assert heard == sorted(heard)
    assert heard[-1] == pytest.approx(1)
    heard.clear()
    some = range(0, len(SOCIETY), 4)
    kinship(SOCIETY, some, some, known, heard.append)
    assert heard == sorted(heard)
    assert heard[-1] == 1

    def stop(share: float) -> None:
        raise _Stopped

    with pytest.raises(_Stopped):
        diagonals(SOCIETY, stop)
    with pytest.raises(_Stopped):
        kinship(SOCIETY, some, some, known, stop)


def test_every_way_gives_the_same_inbreeding_by_founder(way):
    """The parts sum to all of it, and those of one founder of many are as defined."""
    birds = np.flatnonzero(SOCIETY.is_bird)
    found = partial_inbreeding(SOCIETY, birds)
    total = found.by_founder.sum(axis=1) + found.by_origin
    np.testing.assert_allclose(total, np.diag(SOCIETY_TABLE)[birds] - 1, **EXACT)
    # the origins of the others are no founders, so a bird of none is asked about
    number = int(np.flatnonzero(founders(SOCIETY).row == 40)[0])
    genes = np.zeros(len(SOCIETY))
    genes[40] = 1.0
    for child, parent, share in zip(
        *(getattr(SOCIETY.links, name) for name in ("child", "parent", "share")), strict=True
    ):
        genes[child] += share * genes[parent]
    table = kinship_by_founder(SOCIETY, genes)
    expected = 2 * np.diag(table)[birds] - genes[birds]
    assert expected.max() > 0
    np.testing.assert_allclose(found.by_founder[:, number], expected, **EXACT)


@pytest.mark.skipif(not WITH_NUMBA, reason="numba is not installed: it belongs to the extra 'large'")
def test_compiled_genes_fall_as_the_others_do(monkeypatch):
    rows = np.flatnonzero(SOCIETY.is_bird)[-50:]
    plain = gene_drop(SOCIETY, rows, np.random.default_rng(11), 600)
    monkeypatch.setattr("studbook.genetics.compiled.LARGE", -1)
    fast = gene_drop(SOCIETY, rows, np.random.default_rng(11), 600)
    for told in ("kept", "retention", "genes", "heterozygosity"):
        np.testing.assert_array_equal(getattr(fast, told), getattr(plain, told))


def test_a_gene_drop_takes_no_more_memory_for_a_larger_book(monkeypatch):
    """So little room that one replicate falls at a time still gives every founder its due."""
    monkeypatch.setattr("studbook.genetics.gene_drop._CHUNK_BYTES", 1)
    monkeypatch.setattr("studbook.genetics.gene_drop._BITS_AT_ONCE", 1)
    told: list[float] = []
    drop = gene_drop(SOCIETY, [len(SOCIETY) - 1], np.random.default_rng(1), 30, progress=told.append)
    assert len(told) == 30
    assert drop.expected_genes <= 2
    assert drop.kept.sum() == pytest.approx(drop.genes.mean())


def test_small_books_never_wait_for_the_compiler():
    assert compiled.kernels_for(compiled.LARGE) is None


@pytest.mark.skipif(not WITH_NUMBA, reason="numba is not installed: it belongs to the extra 'large'")
def test_two_threads_share_the_kernels():
    """Each has its own room to work in."""
    sire, dam = np.full(60_000, UNKNOWN), np.full(60_000, UNKNOWN)
    rng = np.random.default_rng(3)
    for begin in range(500, 60_000, 500):
        sire[begin : begin + 500] = rng.choice(np.arange(begin - 500, begin, 2)[:20], 500)
        dam[begin : begin + 500] = rng.choice(np.arange(begin - 499, begin, 2)[:100], 500)
    pedigree = Pedigree.of_parents(sire, dam)
    found: list[np.ndarray] = []
    threads = [threading.Thread(target=lambda: found.append(inbreeding(pedigree))) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    expected = kinship(pedigree, sire[-300:], dam[-300:]).diagonal()
    np.testing.assert_allclose(found[0][-300:], expected, **EXACT)
    np.testing.assert_array_equal(found[0], found[1])


@pytest.mark.skipif(WITH_NUMBA, reason="numba is installed here")
def test_without_numba_a_large_book_is_swept_in_numpy():
    assert compiled.kernels_for(compiled.LARGE + 1) is None
