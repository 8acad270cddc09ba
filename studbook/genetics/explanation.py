"""Why two birds are related: the ancestors their lines meet in, and what each contributes.

Follow one line back from each bird, always stepping from the younger end. The lines first meet in
some ancestor A, or never. Then f = Σ (1 + F_A) / 2 × the chance to first meet in A, which is
Wright's sum over all paths through A without listing them: the states of the walk are pairs of
rows, however many paths there are.

The walk goes from the youngest row to the oldest, so a row is on the way only from its youngest
offspring to itself. A table of those on the way at one time is enough: of a closed flock the
breeders of a few years, not all ancestors.
"""

import heapq
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.inbreeding import Diagonals, diagonals
from studbook.genetics.pedigree import Pedigree

PATH_NUMBERS = 25_000_000
"""Paths are listed as long as the chances to come into each state on the way are so many (200 MB)."""

# Beyond this, sums of whole numbers in floating point are no longer whole.
_EXACT = 2.0**53

_Meetings = NDArray[Any]
_State = tuple[int, int]


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
        Empty where the walk is too large for them to be found, `PATH_NUMBERS`.
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
    pedigree: Pedigree,
    first: int,
    second: int,
    known: Diagonals | None = None,
    path_limit: int = 100,
    foremost: int | None = None,
) -> Explanation:
    """The common ancestors of two rows, what each contributes and its strongest paths.

    At most `path_limit` paths are given for each ancestor; only for the `foremost`, those that
    contribute most, if so many are asked for. A bird with itself meets in itself; a
    parent and its offspring meet in the parent. A mean of birds is passed through, never met in.
    Takes memory for some tables of w × w numbers, w being the ancestors on the way at one time, and
    for 2 a w numbers to list paths, a being all of them.

    References
    ----------
    Wright 1922, American Naturalist 56:330-338.
    """
    known = diagonals(pedigree) if known is None else known
    rows, behind = pedigree.behind([first, second])
    start = (int(np.searchsorted(rows, first)), int(np.searchsorted(rows, second)))
    walk = _Walk(behind, start)
    own = known.self_relationship[rows] / 2
    chance = walk.meetings(np.float64)
    contribution = np.where(walk.is_mean, 0.0, chance * own)
    met = np.flatnonzero(contribution > 0)
    counts = walk.path_counts()
    most = len(met) if foremost is None else foremost
    paths = _Paths(walk) if path_limit and most and 2 * walk.size * walk.width <= PATH_NUMBERS else None
    # the largest part first, of equals the younger
    met = met[np.lexsort((-met, -contribution[met]))]
    return Explanation(
        float(contribution[met].sum()),
        tuple(
            CommonAncestor(
                int(rows[ancestor]),
                float(contribution[ancestor]),
                int(counts[ancestor]),
                tuple(
                    tuple(int(row) for row in rows[list(path)])
                    for path in (paths.through(int(ancestor), path_limit) if paths and number < most else ())
                ),
            )
            for number, ancestor in enumerate(met.tolist())
        ),
    )


class _Walk:
    """The walk of two lines back from `start`; a state is the pair (end of first, end of second).

    Attributes
    ----------
    width
        How many rows are on the way at one time, at most.
    slot
        (n,) the line of the table each row has while it is on the way.
    entered
        (n,) the row whose step brings each row on the way; beyond all rows for the start.
    """

    def __init__(self, pedigree: Pedigree, start: _State) -> None:
        links = pedigree.links
        self.start = start
        self.size = len(pedigree)
        self.is_mean = pedigree.is_mean
        self.parents = [
            links.parent[links.first[row] : links.first[row + 1]].astype(np.intp) for row in range(self.size)
        ]
        self.shares = [links.share[links.first[row] : links.first[row + 1]] for row in range(self.size)]
        self.offspring: list[dict[int, float]] = [{} for _ in range(self.size)]
        for child, parent, share in zip(
            links.child.tolist(), links.parent.tolist(), links.share.tolist(), strict=True
        ):
            self.offspring[parent][child] = share
        self._find_slots()

    def _find_slots(self) -> None:
        self.slot = [-1] * self.size
        self.entered = [-1] * self.size
        self.width = 0
        free: list[int] = []

        def enter(row: int, by: int) -> None:
            if not free:
                free.append(self.width)
                self.width += 1
            self.slot[row], self.entered[row] = free.pop(), by

        for row in set(self.start):
            enter(row, self.size)
        for row in range(max(self.start), -1, -1):
            for parent in self.parents[row].tolist():
                # a row of the start that is behind the other one is on the way already
                if self.slot[parent] < 0:
                    enter(parent, row)
            free.append(self.slot[row])

    def meetings(
        self,
        dtype: type,
        combine: Callable[..., _Meetings] = np.add,
        whole: bool = False,
        keep: list[tuple[_Meetings, _Meetings]] | None = None,
    ) -> _Meetings:
        """The chance to first meet in each row (n,).

        With `np.maximum` to combine, the chance of the likeliest way alone; `whole` takes every step
        as 1, so that ways are counted. `keep` gets for each row, from the last to the first, the
        chances to come through the states with it as the younger end: of the first line, of the second.
        """
        table: _Meetings = np.zeros((self.width, self.width), dtype=dtype)
        table[self.slot[self.start[0]], self.slot[self.start[1]]] = 1
        met: _Meetings = np.zeros(self.size, dtype=dtype)
        for row in range(self.size - 1, -1, -1):
            own = self.slot[row]
            met[row] = table[own, own]
            # what is left of the table are the states whose ends are no younger than this row
            lines = table[own].copy(), table[:, own].copy()
            table[own] = 0
            table[:, own] = 0
            if keep is not None:
                keep.append(lines)
            parents = [self.slot[parent] for parent in self.parents[row].tolist()]
            if not parents:
                continue
            shares = np.ones(len(parents), dtype=dtype) if whole else self.shares[row]
            # the younger end steps: all states of this row with an older other end
            for view, line in zip((table, table.T), lines, strict=True):
                line[own] = 0
                if line.any():
                    view[parents] = combine(view[parents], np.outer(shares, line))
            if self.is_mean[row] and met[row]:
                both = np.ix_(parents, parents)
                table[both] = combine(table[both], np.outer(shares, shares) * met[row])
        return met

    def path_counts(self) -> _Meetings:
        """How many paths first meet in each node, exactly."""
        counts = self.meetings(np.float64, whole=True)
        return counts if counts.max() < _EXACT else self.meetings(object, whole=True)

    def before(self, first: int, second: int) -> list[tuple[_State, float]]:
        """The states from which one step leads to this one, with the chance of the step."""
        offspring_first, offspring_second = self.offspring[first], self.offspring[second]
        states = [((child, second), share) for child, share in offspring_first.items() if child > second]
        states += [((first, child), share) for child, share in offspring_second.items() if child > first]
        states += [
            ((mean, mean), share * offspring_second[mean])
            for mean, share in offspring_first.items()
            if self.is_mean[mean] and mean in offspring_second
        ]
        return states


@dataclass(slots=True)
class _Ways:
    """The ways from the start into one state, strongest first, found one after the other.

    Attributes
    ----------
    found
        Chance, the state before, and which of the ways into that state it continues.
    waiting
        A heap of the next way by each state before, with the share of the last step.
    due
        The way taken last, whose successor by the same state before is not waiting yet.
    """

    found: list[tuple[float, _State | None, int]]
    waiting: list[tuple[float, _State, int, float]]
    due: tuple[_State, int, float] | None = None


class _Paths:
    """The strongest paths of a walk, through any of its meetings.

    The ways into a state are merged from the ways into the states before it, each found only when
    asked for and then kept for all ancestors (Jiménez & Marzal 1999, Lecture Notes in Computer
    Science 1668:15-29).
    """

    def __init__(self, walk: _Walk) -> None:
        self._walk = walk
        # the chance of the strongest way into each state, for a start
        self._lines: list[tuple[_Meetings, _Meetings]] = []
        self._met = walk.meetings(np.float64, np.maximum, keep=self._lines)
        self._lines.reverse()
        self._ways: dict[_State, _Ways] = {walk.start: _Ways([(1.0, None, 0)], [])}

    def through(self, ancestor: int, limit: int) -> list[tuple[int, ...]]:
        """At most `limit` paths that first meet in `ancestor`, as birds from the first to the second."""
        meeting = (ancestor, ancestor)
        paths = []
        for number in range(limit):
            if not self._find(meeting, number):
                break
            paths.append(self._path(meeting, number))
        return paths

    def _find(self, state: _State, number: int) -> bool:
        """Find the ways into `state` up to this number; False if there are not so many."""
        asked = [(state, number)]
        while asked:
            state, number = asked[-1]
            ways = self._ways_into(state)
            if number < len(ways.found):
                asked.pop()
                continue
            if ways.due:
                before, last, share = ways.due
                earlier = self._ways_into(before)
                if last + 1 >= len(earlier.found) and (earlier.due or earlier.waiting):
                    asked.append((before, last + 1))
                    continue
                if last + 1 < len(earlier.found):
                    chance = earlier.found[last + 1][0] * share
                    heapq.heappush(ways.waiting, (-chance, before, last + 1, share))
                ways.due = None
            if not ways.waiting:
                asked.pop()
                continue
            chance, before, last, share = heapq.heappop(ways.waiting)
            ways.found.append((-chance, before, last))
            ways.due = (before, last, share)
        return number < len(self._ways_into(state).found)

    def _ways_into(self, state: _State) -> _Ways:
        ways = self._ways.get(state)
        if ways is None:
            waiting = [
                (-best * share, before, 0, share)
                for before, share in self._walk.before(*state)
                if (best := self._best(before)) > 0
            ]
            heapq.heapify(waiting)
            ways = self._ways[state] = _Ways([], waiting)
        return ways

    def _best(self, state: _State) -> float:
        """The chance of the strongest way into a state."""
        first, second = state
        if first == second:
            return float(self._met[first])
        younger, older = max(state), min(state)
        # who comes later on the way may have the line of another in the table
        if self._walk.entered[older] <= younger:
            return 0.0
        return float(self._lines[younger][first < second][self._walk.slot[older]])

    def _path(self, state: _State, number: int) -> tuple[int, ...]:
        up, down = [state[0]], [state[1]]
        before: _State | None = state
        while before is not None:
            state = before
            if state[0] != up[-1]:
                up.append(state[0])
            if state[1] != down[-1]:
                down.append(state[1])
            ways = self._ways_into(state)
            # the first way into a state is known to be there before it is looked up
            if number >= len(ways.found):
                self._find(state, number)
            _, before, number = ways.found[number]
        return tuple(node for node in (*reversed(up), *down[1:]) if not self._walk.is_mean[node])
