"""The flow of genes through a pedigree: the matrix T of A = T D T', swept level by level.

T[i, j] is the chance that a gene of node i comes down from node j. It is never written out: a
vector is multiplied by T by passing values from parents to offspring, and by T' by passing them
back (Colleau 2002, Genetics Selection Evolution 34:409-421).
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.compiled import kernels_for
from studbook.genetics.pedigree import Pedigree, spans

# Passes of single values are faster than sums over groups, unless there are many of them.
_MOST_PASSES = 16
# How many columns the kernels do between two reports of progress.
_COLUMNS_AT_ONCE = 512


@dataclass(frozen=True, eq=False)
class Columns:
    """c columns of numbers by node, most of them zero, in compressed form.

    Attributes
    ----------
    first
        (c + 1,) where each column's entries begin.
    row
        (e,) the nodes that have a number.
    share
        (e,) the numbers.
    """

    first: NDArray[np.int64]
    row: NDArray[np.int32]
    share: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.first) - 1

    @classmethod
    def of_nodes(cls, rows: NDArray[np.integer]) -> "Columns":
        """One column for each of `rows`, with 1 for it."""
        return cls(np.arange(len(rows) + 1), rows.astype(np.int32), np.ones(len(rows)))

    def some(self, chosen: NDArray[np.integer]) -> "Columns":
        """The chosen columns."""
        entries = spans(self.first[chosen], self.first[chosen + 1])
        sizes = self.first[chosen + 1] - self.first[chosen]
        return Columns(np.append(0, np.cumsum(sizes)), self.row[entries], self.share[entries])


class Relations:
    """The relationships of chosen nodes, column by column: A = T D T' times what is asked.

    At most `numbers` numbers are swept at once, so memory is bounded whatever is asked.

    Attributes
    ----------
    variance
        (n,) D: the sampling variances by row. They may be filled in on the way: a column needs
        those of its own nodes and of their ancestors.
    """

    def __init__(
        self,
        pedigree: Pedigree,
        variance: NDArray[np.float64],
        kernels: ModuleType | None,
        numbers: int,
    ) -> None:
        self.variance = variance
        self._numbers = numbers
        self._pedigree = pedigree
        self._kernels = kernels

    def between(
        self,
        columns: Columns,
        wanted_first: NDArray[np.integer],
        wanted: NDArray[np.integer],
        progress: Callable[[int], None] | None = None,
    ) -> NDArray[np.float64]:
        """The relationships of each of c columns with the rows wanted of it, one after the other (w,).

        Column i is asked for the rows ``wanted[wanted_first[i]:wanted_first[i + 1]]``. `progress`
        hears how many columns are done; an exception it raises ends the work.
        """
        found = np.empty(len(wanted))
        width = _COLUMNS_AT_ONCE if self._kernels else max(1, self._numbers // max(len(self._pedigree), 1))
        for begin in range(0, len(columns), width):
            end = min(begin + width, len(columns))
            block = columns.some(np.arange(begin, end))
            asked = slice(wanted_first[begin], wanted_first[end])
            if asked.start < asked.stop:
                within = wanted_first[begin : end + 1] - wanted_first[begin]
                sweep = self._swept_compiled if self._kernels else self._swept
                found[asked] = sweep(block, within, wanted[asked])
            if progress is not None:
                progress(end)
        return found

    def _swept_compiled(
        self, columns: Columns, wanted_first: NDArray[np.integer], wanted: NDArray[np.integer]
    ) -> NDArray[np.float64]:
        pedigree = self._pedigree
        found = np.empty(len(wanted))
        assert self._kernels is not None
        self._kernels.relate(
            pedigree.first,
            pedigree.sire,
            pedigree.dam,
            pedigree.weight,
            self.variance,
            columns.first.astype(np.int64),
            columns.row,
            columns.share,
            wanted_first.astype(np.int64),
            wanted.astype(np.int32),
            *self._room,
            found,
        )
        return found

    def _swept(
        self, columns: Columns, wanted_first: NDArray[np.integer], wanted: NDArray[np.integer]
    ) -> NDArray[np.float64]:
        flow = self._flow
        top, reach = int(flow.level[columns.row].max(initial=0)), int(flow.level[wanted].max())
        ends = flow.level_ends[[top, reach]]
        swept = np.zeros((ends.max(), len(columns)))
        number = np.repeat(np.arange(len(columns)), np.diff(columns.first))
        np.add.at(swept, (flow.place[columns.row], number), columns.share)
        flow.gather(swept, top)
        swept[: ends[0]] *= self.variance[flow.order[: ends[0]], None]
        flow.spread(swept, reach)
        column = np.repeat(np.arange(len(columns)), np.diff(wanted_first))
        relationships: NDArray[np.float64] = swept[flow.place[wanted], column]
        return relationships

    @cached_property
    def _flow(self) -> "GeneFlow":
        return GeneFlow(self._pedigree)

    @cached_property
    def _room(self) -> tuple[NDArray[np.float64], NDArray[np.uint8]]:
        n = len(self._pedigree)
        assert self._kernels is not None
        return np.zeros((n, self._kernels.LANES)), np.zeros(n, dtype=np.uint8)


@dataclass(frozen=True, eq=False)
class _Pass:
    """Values passed from some nodes to others, each of which gets one sum.

    Attributes
    ----------
    target
        (t,) the distinct places that receive.
    source, share
        (s,) the places that give, and the share given.
    starts
        (t,) where the givers of each target begin; None if each target has one.
    """

    target: NDArray[np.intp]
    source: NDArray[np.intp]
    share: NDArray[np.float64]
    starts: NDArray[np.intp] | None

    def apply(self, columns: NDArray[np.float64]) -> None:
        given = columns.take(self.source, axis=0)
        given *= self.share
        columns[self.target] += given if self.starts is None else np.add.reduceat(given, self.starts, axis=0)


class GeneFlow:
    """T of one pedigree, ready to be swept over columns of values.

    Columns are held with the nodes in the order of `order`: by level (founders are level 0, a bird
    stands one above the higher of its parents), so that a level is a slice.

    Attributes
    ----------
    level
        (n,) level of each row.
    order
        (n,) row of the node at each place.
    place
        (n,) place of each row.
    level_ends
        For each level the place after its last node.
    """

    def __init__(self, pedigree: Pedigree) -> None:
        links = pedigree.links
        self.level = levels(pedigree)
        self.order = by_level(self.level)
        self.place = np.empty_like(self.order)
        self.place[self.order] = np.arange(len(self.order))
        self.level_ends = np.cumsum(np.bincount(self.level, minlength=1))
        entries = spans(links.first[self.order], links.first[self.order + 1])
        self._child = self.place[links.child[entries]]
        self._parent = self.place[links.parent[entries]]
        self._share = links.share[entries]
        # the links of the children on each level
        cuts = np.searchsorted(self._child, self.level_ends).tolist()
        self._levels = [slice(low, high) for low, high in pairwise(cuts)]

    def gather(self, columns: NDArray[np.float64], level: int | None = None) -> None:
        """Replace `columns` (n, k), zero above `level`, by T' times them: offspring pass to parents."""
        steps = self._gathering if level is None else self._gathering[:level]
        for step in reversed(steps):
            for each in step:
                each.apply(columns)

    def spread(self, columns: NDArray[np.float64], level: int | None = None) -> None:
        """Replace `columns` (n, k) up to `level` by T times them: parents pass to offspring."""
        steps = self._spreading if level is None else self._spreading[:level]
        for step in steps:
            for each in step:
                each.apply(columns)

    @cached_property
    def _gathering(self) -> list[list[_Pass]]:
        steps = []
        for links in self._levels:
            child, parent, share = self._child[links], self._parent[links], self._share[links]
            by_parent = np.argsort(parent, kind="stable")
            steps.append(_passes(parent[by_parent], child[by_parent], share[by_parent]))
        return steps

    @cached_property
    def _spreading(self) -> list[list[_Pass]]:
        return [
            _passes(self._child[links], self._parent[links], self._share[links]) for links in self._levels
        ]


def levels(pedigree: Pedigree) -> NDArray[np.intp]:
    """The level of each node (n,): 0 without known parents, else one above its highest parent."""
    kernels = kernels_for(len(pedigree))
    if kernels is not None:
        found: NDArray[np.intp] = kernels.levels(pedigree.first, pedigree.sire, pedigree.dam)
        return found
    # the parents pair by pair, all others at once; the last place stands for UNKNOWN, which is -1
    rows = pedigree.parents
    pairs = spans(pedigree.first[rows], pedigree.first[rows + 1])
    found_so_far = [0] * len(pedigree) + [-1]
    each = (array[pairs].tolist() for array in (pedigree.child, pedigree.sire, pedigree.dam))
    for child, sire, dam in zip(*each, strict=True):
        for parent in (sire, dam):
            if found_so_far[parent] >= found_so_far[child]:
                found_so_far[child] = found_so_far[parent] + 1
    level = np.array(found_so_far)
    has_pairs = np.flatnonzero(np.diff(pedigree.first))
    if len(has_pairs):
        above = np.maximum(level[pedigree.sire], level[pedigree.dam]) + 1
        level[has_pairs] = np.maximum.reduceat(above, pedigree.first[has_pairs])
    return level[:-1]


def by_level(level: NDArray[np.intp]) -> NDArray[np.intp]:
    """The rows sorted by level, in their old order within each."""
    # small numbers are sorted by counting
    narrow = level.astype(np.uint16) if level.max(initial=0) < 2**16 else level
    return np.argsort(narrow, kind="stable")


def related_to(
    pedigree: Pedigree, column: NDArray[np.float64], variance: NDArray[np.float64]
) -> NDArray[np.float64]:
    """A times one column (n,), by row: what the birds of the column add up to for every node."""
    kernels = kernels_for(len(pedigree))
    if kernels is not None:
        found: NDArray[np.float64] = kernels.related_to(
            pedigree.first, pedigree.sire, pedigree.dam, pedigree.weight, variance, column
        )
        return found
    # birds without offspring only give, then only receive: one pass each, and no place in a level
    n, parents = len(pedigree), pedigree.parents
    breeds = np.zeros(n, dtype=bool)
    breeds[parents] = True
    leaves = ~breeds[pedigree.child]
    child, half = pedigree.child[leaves], pedigree.weight[leaves] / 2
    sire, dam = pedigree.sire[leaves], pedigree.dam[leaves]
    given = column[child] * half
    # the last place stands for UNKNOWN, which is -1
    gathered = np.append(column, 0.0)
    gathered[:-1] += np.bincount(sire + 1, given, minlength=n + 1)[1:]
    gathered[:-1] += np.bincount(dam + 1, given, minlength=n + 1)[1:]

    breeding = GeneFlow(pedigree.part(parents))
    swept = gathered[parents][breeding.order, None]
    breeding.gather(swept)
    swept *= variance[parents][breeding.order, None]
    breeding.spread(swept)

    found = np.append(column * variance, 0.0)
    found[parents] = swept[breeding.place, 0]
    received = (found[sire] + found[dam]) * half
    return found[:-1] + np.bincount(child, received, minlength=n)


def _passes(target: NDArray[np.intp], source: NDArray[np.intp], share: NDArray[np.float64]) -> list[_Pass]:
    """The passes that give to each target, sorted, in turn from all its sources."""
    starts = (
        np.flatnonzero(np.append(True, target[1:] != target[:-1])) if len(target) else np.zeros(0, np.intp)
    )
    turn = np.arange(len(target)) - np.repeat(starts, np.diff(np.append(starts, len(target))))
    passes = []
    for number in range(min(int(turn.max(initial=-1)) + 1, _MOST_PASSES)):
        now = np.flatnonzero(turn == number)
        passes.append(_Pass(target[now], source[now], share[now, None], None))
    rest = np.flatnonzero(turn >= _MOST_PASSES)
    if len(rest):
        begin = np.flatnonzero(np.append(True, target[rest][1:] != target[rest][:-1]))
        passes.append(_Pass(target[rest][begin], source[rest], share[rest, None], begin))
    return passes
