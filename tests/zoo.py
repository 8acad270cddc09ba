"""Odd flocks: small pedigrees that every number must get right, and hypothesis' random ones."""

from collections.abc import Mapping, Sequence

import numpy as np
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from studbook.genetics.pedigree import UNKNOWN, Pedigree

# a busy machine must fail no test
settings.register_profile(
    "numbers", max_examples=60, deadline=None, database=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("numbers")

Pairs = Sequence[tuple[int, int, float]]
"""The candidate pairs of one node: sire, dam, weight."""


def pedigree_of(nodes: Sequence[Pairs], variance: Mapping[int, float] | None = None) -> Pedigree:
    """A pedigree from a list of candidate pairs for each node; `variance` of those that are no birds."""
    flat = [pair for pairs in nodes for pair in pairs]
    sampling = np.full(len(nodes), np.nan)
    for row, value in (variance or {}).items():
        sampling[row] = value
    return Pedigree.of_pairs(
        np.cumsum([0, *(len(pairs) for pairs in nodes)]),
        np.array([sire for sire, _, _ in flat], dtype=np.int32),
        np.array([dam for _, dam, _ in flat], dtype=np.int32),
        np.array([weight for _, _, weight in flat], dtype=np.float64),
        sampling,
    )


def named_pedigree(text: str) -> tuple[Pedigree, dict[str, int]]:
    """A pedigree written ``child,sire,dam; ...`` with ``-`` for unknown; founders need no line.

    Returns the pedigree and the row of each name.
    """
    rows: dict[str, int] = {}
    nodes: list[Pairs] = []

    def row_of(name: str) -> int:
        if name == "-":
            return UNKNOWN
        if name not in rows:
            rows[name] = len(nodes)
            nodes.append([])
        return rows[name]

    for line in text.split(";"):
        child, sire, dam = (name.strip() for name in line.split(","))
        parents = (row_of(sire), row_of(dam))
        nodes[row_of(child)] = [(*parents, 1.0)]
    return pedigree_of(nodes), rows


def _full_sib_chain(generations: int) -> list[Pairs]:
    nodes: list[Pairs] = [[], []]
    for generation in range(generations):
        cock, hen = 2 * generation, 2 * generation + 1
        nodes += [[(cock, hen, 1.0)], [(cock, hen, 1.0)]]
    return nodes


def _two_line_chain(generations: int) -> list[Pairs]:
    """A narrow, deep flock: two cocks and two hens a year, crossed over each time."""
    nodes: list[Pairs] = [[], [], [], []]
    for _ in range(generations):
        last = len(nodes) - 4
        nodes += [
            [(last, last + 2, 1.0)],
            [(last + 1, last + 3, 1.0)],
            [(last, last + 3, 1.0)],
            [(last + 1, last + 2, 1.0)],
        ]
    return nodes


ZOO: dict[str, Pedigree] = {
    "empty": pedigree_of([]),
    "single bird": pedigree_of([[]]),
    "founders only": pedigree_of([[], [], []]),
    "unknown written out": pedigree_of([[(UNKNOWN, UNKNOWN, 1.0)], []]),
    "full sib chain": pedigree_of(_full_sib_chain(12)),
    "deep and narrow": pedigree_of(_two_line_chain(15)),
    "backcross to one cock": pedigree_of([[], [], *([(0, 1 + step, 1.0)] for step in range(8))]),
    "sire only": pedigree_of([[], [(0, UNKNOWN, 1.0)], [(0, UNKNOWN, 1.0)], [(1, 2, 1.0)]]),
    "dam only": pedigree_of([[], [(UNKNOWN, 0, 1.0)], [(UNKNOWN, 0, 1.0)], [(1, 2, 1.0)]]),
    "placeholder parents": pedigree_of([[], [], [(0, 1, 1.0)], [(0, 1, 1.0)], [(2, 3, 1.0)], [(2, 4, 1.0)]]),
    "doubtful sire": pedigree_of(
        [[], [], [(0, 1, 1.0)], [(0, 2, 0.7), (UNKNOWN, 2, 0.3)], [(0, 3, 0.5), (2, 3, 0.5)], [(2, 4, 1.0)]]
    ),
    "doubtful dam": pedigree_of(
        [[], [], [], [(0, 1, 0.25), (0, 2, 0.75)], [(0, 1, 1.0)], [(4, 3, 0.5), (4, 2, 0.5)], [(4, 5, 1.0)]]
    ),
    "pairs that belong together": pedigree_of(
        [[], [], [], [], [(0, 1, 1.0)], [(2, 3, 1.0)], [(0, 1, 0.5), (2, 3, 0.5)], [(4, 6, 0.4), (5, 6, 0.6)]]
    ),
    "one half unknown in one pair": pedigree_of([[], [], [(0, 1, 0.6), (0, UNKNOWN, 0.4)], [(0, 2, 1.0)]]),
    "a mean of three hens": pedigree_of(
        [
            [],
            [],
            [(0, 1, 1.0)],
            [(0, 1, 1.0)],
            [(1, 1, 0.5), (2, 2, 0.25), (3, 3, 0.25)],
            [(0, 4, 1.0)],
            [(0, 4, 1.0)],
            [(5, 6, 1.0)],
        ],
        {4: 0.0},
    ),
    "means of both sexes": pedigree_of(
        [
            [],
            [],
            [(0, 1, 1.0)],
            [(0, 1, 1.0)],
            [(0, 0, 0.5), (2, 2, 0.5)],
            [(1, 1, 0.5), (3, 3, 0.5)],
            [(4, 5, 1.0)],
            [(4, 5, 0.8), (2, 5, 0.2)],
            [(6, 7, 1.0)],
        ],
        {4: 0.0, 5: 0.0},
    ),
    "a mean with an unknown share": pedigree_of(
        [[], [], [(0, 0, 0.5), (UNKNOWN, UNKNOWN, 0.5)], [(2, 1, 1.0)], [(0, 3, 1.0)]], {2: 0.0}
    ),
    "founders of two related yards": pedigree_of(
        [
            [],
            [(0, 0, 0.5), (UNKNOWN, UNKNOWN, 0.5)],
            [(0, 0, 1.0)],
            [(0, 0, 1.0)],
            [(1, 1, 1.0)],
            [(2, 3, 1.0)],
            [(5, 4, 1.0)],
            [(5, 6, 1.0)],
        ],
        {0: 0.3, 1: 0.2},
    ),
}


def relationship_table(pedigree: Pedigree) -> NDArray[np.float64]:
    """The additive relationships (n, n), row by row straight from their definition."""
    n = len(pedigree)
    table = np.zeros((n, n))
    for row in range(n):
        own = 0.0
        for pair in range(pedigree.first[row], pedigree.first[row + 1]):
            sire, dam, weight = pedigree.sire[pair], pedigree.dam[pair], pedigree.weight[pair]
            for parent in (sire, dam):
                if parent != UNKNOWN:
                    table[row, :row] += weight / 2 * table[parent, :row]
            if sire != UNKNOWN and dam != UNKNOWN:
                own += weight * table[sire, dam] / 2
        table[:row, row] = table[row, :row]
        if pedigree.is_bird[row]:
            table[row, row] = 1 + own
        else:
            # a mean or a source: its parents' part of its own relationship, and its own variance
            for pair in range(pedigree.first[row], pedigree.first[row + 1]):
                for parent in (pedigree.sire[pair], pedigree.dam[pair]):
                    if parent != UNKNOWN:
                        table[row, row] += pedigree.weight[pair] / 2 * table[row, parent]
            table[row, row] += pedigree.variance[row]
    return table


@st.composite
def certain_pedigrees(draw: st.DrawFn, max_size: int = 14) -> Pedigree:
    """Random birds with certain or unknown parents; even rows are cocks, odd rows hens."""
    size = draw(st.integers(0, max_size))
    nodes: list[Pairs] = []
    for row in range(size):
        sire = draw(st.sampled_from([UNKNOWN, *range(0, row, 2)]))
        dam = draw(st.sampled_from([UNKNOWN, *range(1, row, 2)]))
        nodes.append([(sire, dam, 1.0)])
    return pedigree_of(nodes)


@st.composite
def doubtful_pedigrees(draw: st.DrawFn, max_size: int = 12) -> Pedigree:
    """Random birds with up to three candidate pairs each; even rows are cocks, odd rows hens."""
    size = draw(st.integers(1, max_size))
    nodes: list[Pairs] = []
    for row in range(size):
        pairs = draw(
            st.lists(
                st.tuples(
                    st.sampled_from([UNKNOWN, *range(0, row, 2)]),
                    st.sampled_from([UNKNOWN, *range(1, row, 2)]),
                ),
                max_size=3,
                unique=True,
            )
        )
        parts = [draw(st.integers(1, 9)) for _ in pairs]
        nodes.append([(sire, dam, part / sum(parts)) for (sire, dam), part in zip(pairs, parts, strict=True)])
    return pedigree_of(nodes)
