"""Why two birds are related: the ancestors their lines meet in, and what each contributes.

Follow one line back from each bird, always stepping from the younger end. The lines first meet in
some ancestor A, or never. Then f = Σ (1 + F_A) / 2 × the chance to first meet in A, which is
Wright's sum over all paths through A without listing them: the states of the walk are pairs of
rows, so a table of ancestors × ancestors is enough, however many paths there are.
"""

import heapq
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count
from typing import Any

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.inbreeding import Diagonals, diagonals
from studbook.genetics.pedigree import Pedigree

# Beyond this, sums of whole numbers in floating point are no longer whole.
_EXACT = 2.0**53

_Meetings = NDArray[Any]
_Line = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class CommonAncestor:
    """A node in which the lines of two birds first meet.

    Attributes
    ----------
    row
        The ancestor.
    contribution
        Its part of the kinship; the parts add up to it.
    path_count
        How many paths lead from the first bird through it to the second, no bird used twice.
    paths
        The paths that contribute most, strongest first: rows of birds from the first to the second.
    """

    row: int
    contribution: float
    path_count: int
    paths: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Explanation:
    """The kinship of two birds and the common ancestors it comes from, largest part first."""

    kinship: float
    ancestors: tuple[CommonAncestor, ...]


def explain(
    pedigree: Pedigree, first: int, second: int, known: Diagonals | None = None, path_limit: int = 100
) -> Explanation:
    """The common ancestors of two rows, what each contributes and its strongest paths.

    At most `path_limit` paths are given for each ancestor. A bird with itself meets in itself; a
    parent and its offspring meet in the parent. A mean of birds is passed through, never met in.
    Takes memory for two tables of a × a numbers, a being the ancestors of both birds.

    References
    ----------
    Wright 1922, American Naturalist 56:330-338.
    """
    known = diagonals(pedigree) if known is None else known
    rows = pedigree.with_ancestors([first, second])
    start = (int(np.searchsorted(rows, first)), int(np.searchsorted(rows, second)))
    walk = _Walk(pedigree.part(rows), start)
    own = known.self_relationship[rows] / 2
    chance = np.diagonal(walk.meetings(np.float64))
    contribution = np.where(walk.is_mean, 0.0, chance * own)
    met = np.flatnonzero(contribution > 0)
    counts = walk.path_counts()
    best = walk.meetings(np.float64, np.maximum)
    ancestors = [
        CommonAncestor(
            int(rows[ancestor]),
            float(contribution[ancestor]),
            int(counts[ancestor]),
            tuple(
                tuple(int(row) for row in rows[list(path)])
                for path in walk.strongest_paths(int(ancestor), best, path_limit)
            ),
        )
        for ancestor in met
    ]
    ancestors.sort(key=lambda ancestor: (-ancestor.contribution, -ancestor.row))
    return Explanation(float(contribution[met].sum()), tuple(ancestors))


class _Walk:
    """The walk of two lines back from `start`; a state is the pair (end of first, end of second)."""

    def __init__(self, pedigree: Pedigree, start: tuple[int, int]) -> None:
        links = pedigree.links
        self.start = start
        self.size = len(pedigree)
        self.is_mean = pedigree.is_mean
        self.parents = [
            links.parent[links.first[row] : links.first[row + 1]].astype(np.intp) for row in range(self.size)
        ]
        self.shares = [links.share[links.first[row] : links.first[row + 1]] for row in range(self.size)]
        self.offspring: list[list[tuple[int, float]]] = [[] for _ in range(self.size)]
        for child, parent, share in zip(links.child, links.parent, links.share, strict=True):
            self.offspring[parent].append((int(child), float(share)))

    def meetings(
        self, dtype: type, combine: Callable[..., _Meetings] = np.add, whole: bool = False
    ) -> _Meetings:
        """The chance to come through each state (n, n); on the diagonal, to first meet there.

        With `np.maximum` to combine, the chance of the likeliest way into the state alone; `whole`
        takes every step as 1, so that ways are counted.
        """
        table: _Meetings = np.zeros((self.size, self.size), dtype=dtype)
        table[self.start] = 1
        for row in range(max(self.start), -1, -1):
            parents = self.parents[row]
            if not len(parents):
                continue
            shares = np.ones(len(parents), dtype=dtype) if whole else self.shares[row]
            # the younger end steps: all states of this row with an older other end
            for line in (table, table.T):
                if line[row, :row].any():
                    line[parents, :row] = combine(line[parents, :row], np.outer(shares, line[row, :row]))
            if self.is_mean[row] and table[row, row]:
                both = np.ix_(parents, parents)
                table[both] = combine(table[both], np.outer(shares, shares) * table[row, row])
        return table

    def path_counts(self) -> _Meetings:
        """How many paths first meet in each node, exactly."""
        counts = np.diagonal(self.meetings(np.float64, whole=True))
        return counts if counts.max() < _EXACT else np.diagonal(self.meetings(object, whole=True))

    def strongest_paths(self, ancestor: int, best: _Meetings, limit: int) -> list[_Line]:
        """The paths through `ancestor` of greatest chance, as nodes from the first to the second.

        Searched from the meeting outwards. The chance of the best way into a state is known, so the
        next state taken up is always one of the next strongest path (Hart, Nilsson & Raphael 1968,
        IEEE Transactions on Systems Science and Cybernetics 4:100-107, with an exact estimate).
        """
        found: list[_Line] = []
        tie = count()
        waiting: list[tuple[float, int, float, _Line, _Line]] = [
            (-best[ancestor, ancestor], -next(tie), 1.0, (ancestor,), (ancestor,))
        ]
        while waiting and len(found) < limit:
            _, _, chance, up, down = heapq.heappop(waiting)
            ends = (up[0], down[-1])
            if ends == self.start:
                found.append(tuple(node for node in (*up, *down[1:]) if not self.is_mean[node]))
                continue
            for first, second, share in self._before(*ends):
                way = best[first, second]
                if way > 0:
                    heapq.heappush(
                        waiting,
                        (
                            -way * chance * share,
                            -next(tie),
                            chance * share,
                            up if first == ends[0] else (first, *up),
                            down if second == ends[1] else (*down, second),
                        ),
                    )
        return found

    def _before(self, first: int, second: int) -> list[tuple[int, int, float]]:
        """The states from which one step of the walk leads to this one, with the chance of it."""
        states = [(child, second, share) for child, share in self.offspring[first] if child > second]
        states += [(first, child, share) for child, share in self.offspring[second] if child > first]
        from_second = dict(self.offspring[second])
        states += [
            (mean, mean, share * from_second[mean])
            for mean, share in self.offspring[first]
            if self.is_mean[mean] and mean in from_second
        ]
        return states
