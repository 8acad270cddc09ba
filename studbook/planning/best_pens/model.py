"""The wishes as a mixed-integer program for HiGHS: its columns, its rows, and the convex part as cuts.

Shares are measured in hens: with m hens placed, the shares of the cocks S (c,) and of the kinds of hens V (k,) each
add up to m, and the objective, times m, is

    weight × Σ F σ  +  (1 − weight) / (4 m) × g′K g ,   g = (S, V),

where σ is the share of each cock with each kind. It is linear but for g′K g, which is convex since K is a kinship.
The part D of K's diagonal that can be split off so that K − D stays convex is exact on whole numbers of hens, by the
chords between them, scaled by whether the cock is used at all; the rest is a sum of squares along the directions
of the eigenvectors, each held from below by tangents. Every row is thus true of every plan, and what the program
proves is a bound for all of them. When every hen is placed V is given, and only the cocks' part is quadratic.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.planning.best_pens.terms import Terms

if TYPE_CHECKING:
    from highspy import Highs

_FIRST_TANGENTS = 9
_LEAST_CURVATURE = 1e-10
_ROUNDS_OF_DIAGONAL = 12

Row = tuple[float, float, ArrayLike, ArrayLike]
"""Lower and upper bound, columns, values."""


@dataclass
class _Columns:
    """The columns of a program as they are added."""

    cost: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)

    def add(
        self, count: int, lower: Any, upper: Any, *, whole: Any = False, cost: Any = 0.0
    ) -> NDArray[np.int64]:
        """`count` columns; their numbers."""
        begin = len(self.cost)
        for values, given in (
            (self.lower, lower), (self.upper, upper), (self.whole, whole), (self.cost, cost),
        ):  # fmt: skip
            values.extend(np.broadcast_to(np.asarray(given), (count,)).tolist())
        return np.arange(begin, begin + count)


@dataclass(frozen=True, eq=False)
class Square:
    """A squared quantity of the objective held from below by tangents.

    `value` is the column of curvature × point² / m, `point` that of the point, `switch` that of a cock's use when the
    point is 0 without him.
    """

    value: int
    point: int
    curvature: float
    switch: int | None = None


@dataclass(frozen=True, eq=False)
class Model:
    """A program ready for HiGHS, and where its columns lie.

    Attributes
    ----------
    used, hens
        Whether each cock is used (c,), and how many hens he gets (c,).
    pairs
        How many of a kind go to a cock (c, k); -1 where none may.
    placed
        How many of a kind are placed (k,); empty when all are.
    squares
        What further tangents may be added for.
    pinned
        The columns that must be whole numbers; the others follow from them as vertices of a transport problem.
    scale
        The hens placed, by which the objective is multiplied.
    slack
        How much of K is not convex, which is taken off every bound; 0 but for rounding.
    """

    solver: "Highs"
    used: NDArray[np.int64]
    hens: NDArray[np.int64]
    pairs: NDArray[np.int64]
    placed: NDArray[np.int64]
    squares: tuple[Square, ...]
    pinned: NDArray[np.int64]
    scale: float
    slack: float

    def tangents(self, values: NDArray[np.float64]) -> int:
        """Add the tangents at a solution where they say more than the rows there are; how many."""
        rows = []
        for square in self.squares:
            at = values[square.point]
            if square.curvature * at * at / self.scale - values[square.value] > 1e-9 * self.scale:
                rows.append(_tangent(square, at, self.scale))
        add_rows(self.solver, rows)
        return len(rows)


class Aim(StrEnum):
    """What is looked for: the best pens, any pens that meet the wishes, pens for as many hens as possible."""

    BEST = "best"
    ANY = "any"
    MOST = "most"


def build(terms: Terms, weight: float, *, aim: Aim = Aim.BEST, are_pairs_whole: bool = False) -> Model:
    """The program of the wishes.

    The pairs are declared to be whole numbers only where they would not be so by themselves, or with
    `are_pairs_whole`.
    """
    import highspy

    cocks, kinds = terms.allowed.shape
    columns, rows = _Columns(), list[Row]()
    total = float(terms.placed if terms.placed is not None else terms.hens @ terms.count)
    infinity = highspy.kHighsInf
    is_best = aim is Aim.BEST
    is_even = terms.is_even
    has_shares = bool(np.any(terms.share[0] < 1) or np.any(terms.share[1] < 1))
    special = terms.hens > 1
    special[[kind for pair in terms.apart for kind in pair]] = True
    whole_pairs = special | are_pairs_whole | (not is_even and (is_best or has_shares))

    used = columns.add(cocks, 0, 1, whole=True)
    hens = columns.add(cocks, 0, terms.most, whole=True)
    pairs = np.full((cocks, kinds), -1)
    for cock in range(cocks):
        for kind in np.flatnonzero(terms.allowed[cock]).tolist():
            most = min(int(terms.count[kind]), terms.most // int(terms.hens[kind]))
            if most:
                pairs[cock, kind] = columns.add(1, 0, most, whole=whole_pairs[kind])[0]
                rows.append((-infinity, 0, [pairs[cock, kind], used[cock]], [1, -most]))
    is_free = not terms.is_whole
    placed = np.zeros(0, dtype=np.int64)
    if is_free:
        least = np.where(terms.must, terms.count, 0)
        placed = columns.add(
            kinds, least, terms.count, whole=True, cost=-terms.hens if aim is Aim.MOST else 0
        )
        # where any number will do, one there must be
        least_placed, most_placed = (1, infinity) if terms.placed is None else (terms.placed, terms.placed)
        rows.append((least_placed, most_placed, placed, terms.hens))

    for kind in range(kinds):
        there = pairs[:, kind][pairs[:, kind] >= 0]
        if is_free:
            rows.append((0, 0, [*there, placed[kind]], [1.0] * len(there) + [-1.0]))
        else:
            rows.append((terms.count[kind], terms.count[kind], there, [1.0] * len(there)))
    for cock in range(cocks):
        there = np.flatnonzero(pairs[cock] >= 0)
        rows.append((0, 0, [*pairs[cock, there], hens[cock]], [*terms.hens[there], -1.0]))
        rows.append((-infinity, 0, [hens[cock], used[cock]], [1, -terms.most]))
        rows.append((0, infinity, [hens[cock], used[cock]], [1, -terms.least]))
    rows.append((-infinity, terms.used, used, [1.0] * cocks))
    for one, other in terms.apart:
        for cock in range(cocks):
            both = [column for column in (pairs[cock, one], pairs[cock, other]) if column >= 0]
            if len(both) == 2:
                rows.append((-infinity, 0, [*both, used[cock]], [1, 1, -1]))
    if terms.rooms:
        _rooms(columns, rows, terms, used, hens)

    squares: tuple[Square, ...] = ()
    offset, slack = 0.0, 0.0
    _most_shares(rows, terms, pairs)
    if is_best:
        shares = _shares(columns, rows, terms, hens, pairs, placed, total)
        for cock, kind in np.argwhere(pairs >= 0):
            columns.cost[shares.pairs[cock, kind]] += (
                weight * terms.expected[cock, kind] * shares.factor[kind]
            )
        offset, squares, slack = _kinship(columns, rows, terms, weight, used, placed, shares, total)

    solver = _solver(columns, rows, offset)
    whole = np.flatnonzero(columns.whole)
    return Model(solver, used, hens, pairs, placed, squares, whole, total, slack)


def _most_shares(rows: list[Row], terms: Terms, pairs: NDArray[np.int64]) -> None:
    """No bird gives more than its largest share."""
    import highspy

    there = pairs >= 0
    weight = np.broadcast_to(terms.weight, pairs.shape)
    for birds, most in enumerate(terms.share):
        for bird in np.flatnonzero(most < 1):
            values = -most[bird] * weight
            if birds == 0:
                values[bird] += terms.weight
            else:
                # where there are several of a kind all of them are placed, and each gives the same
                values[:, bird] += terms.weight[bird] / terms.count[bird]
            rows.append((-highspy.kHighsInf, 0, pairs[there], values[there]))


@dataclass(frozen=True, eq=False)
class _Shares:
    """Columns of the shares in hens: of cocks (c,), of kinds (k,) unless given, and of the pairs with their factor."""

    cocks: NDArray[np.int64]
    kinds: NDArray[np.int64] | None
    pairs: NDArray[np.int64]
    factor: NDArray[np.float64]


def _shares(
    columns: _Columns,
    rows: list[Row],
    terms: Terms,
    hens: NDArray[np.int64],
    pairs: NDArray[np.int64],
    placed: NDArray[np.int64],
    total: float,
) -> _Shares:
    """The shares of cocks, kinds and pairs."""
    import highspy

    infinity = highspy.kHighsInf
    cocks, kinds = pairs.shape
    if terms.is_even:
        # a hen counts as one: shares are numbers of hens
        return _Shares(hens, placed if not terms.is_whole else None, pairs, terms.hens.astype(float))
    of_pairs = pairs
    if not terms.is_whole:
        # the eggs of all hens placed are not known beforehand: each pair is multiplied by m over their number
        weights = np.repeat(terms.weight / terms.hens, terms.hens * terms.count)
        weights.sort()
        count = int(total)
        least, most = count / weights[-count:].sum(), count / weights[:count].sum()
        (factor,) = columns.add(1, least, most)
        of_pairs = np.full_like(pairs, -1)
        for cock, kind in np.argwhere(pairs >= 0):
            pair = pairs[cock, kind]
            (scaled,) = columns.add(1, 0, most)
            of_pairs[cock, kind] = scaled
            rows.append((-infinity, 0, [scaled, pair], [1, -most]))
            rows.append((0, infinity, [scaled, pair], [1, -least]))
            rows.append((-infinity, -least, [scaled, factor, pair], [1, -1, -least]))
            rows.append((-most, infinity, [scaled, factor, pair], [1, -1, -most]))
    of_cocks = columns.add(cocks, 0, total)
    for cock in range(cocks):
        there = np.flatnonzero(of_pairs[cock] >= 0)
        rows.append((0, 0, [*of_pairs[cock, there], of_cocks[cock]], [*terms.weight[there], -1.0]))
    rows.append((total, total, of_cocks, [1.0] * cocks))
    of_kinds = None
    if not terms.is_whole:
        of_kinds = columns.add(kinds, 0, total)
        for kind in range(kinds):
            there = of_pairs[:, kind][of_pairs[:, kind] >= 0]
            rows.append((0, 0, [*there, of_kinds[kind]], [terms.weight[kind]] * len(there) + [-1.0]))
    return _Shares(of_cocks, of_kinds, of_pairs, terms.weight)


def _kinship(
    columns: _Columns,
    rows: list[Row],
    terms: Terms,
    weight: float,
    used: NDArray[np.int64],
    placed: NDArray[np.int64],
    shares: _Shares,
    total: float,
) -> tuple[float, tuple[Square, ...], float]:
    """The kinship of the next generation: linear costs, squares, the constant part, and what is not convex."""
    import highspy

    infinity = highspy.kHighsInf
    share_of_kinship = (1 - weight) / 4
    if share_of_kinship == 0:
        return 0.0, (), 0.0
    cocks, kinds = terms.allowed.shape
    offset = 0.0
    if shares.kinds is None:
        quadratic = terms.kinship[:cocks, :cocks]
        given = terms.weight * terms.count
        for cock in range(cocks):
            columns.cost[shares.cocks[cock]] += (
                share_of_kinship * 2 * float(terms.kinship[cock, cocks:] @ given) / total
            )
        offset = share_of_kinship * total * terms.among_hens
        points, factor = shares.cocks, np.ones(cocks)
    else:
        quadratic = terms.kinship
        points = np.concatenate([shares.cocks, shares.kinds])
        factor = np.concatenate(
            [np.ones(cocks), terms.hens.astype(float) if terms.is_even else np.ones(kinds)]
        )
        for kind in np.flatnonzero(terms.own):
            columns.cost[placed[kind]] += share_of_kinship / total * terms.own[kind] * terms.weight[kind] ** 2
    quadratic = factor[:, None] * quadratic * factor
    diagonal = split_diagonal(quadratic)
    curvatures, directions = np.linalg.eigh(quadratic - np.diag(diagonal))
    slack = max(0.0, -float(curvatures.min())) * (1 if shares.kinds is None else 2)
    squares = []
    tops = np.array([columns.upper[point] for point in points])
    for number, point in enumerate(points):
        if diagonal[number] <= _LEAST_CURVATURE:
            continue
        (value,) = columns.add(1, 0, infinity, cost=share_of_kinship)
        switch = int(used[number]) if number < cocks else None
        square = Square(int(value), int(point), float(diagonal[number]), switch)
        if terms.is_even:
            rows += [_chord(square, at, total) for at in range(int(tops[number]))]
        else:
            squares.append(square)
            spread = np.linspace(0, tops[number], _FIRST_TANGENTS)
            rows += [_tangent(square, at, total) for at in spread]
    for curvature, direction in zip(curvatures, directions.T, strict=True):
        if curvature <= _LEAST_CURVATURE:
            continue
        (point,) = columns.add(1, -infinity, infinity)
        (value,) = columns.add(1, 0, infinity, cost=share_of_kinship)
        rows.append((0, 0, [*points, point], [*direction, -1.0]))
        square = Square(int(value), int(point), float(curvature))
        squares.append(square)
        low, high = _reach(direction, tops, cocks, total)
        rows += [_tangent(square, at, total) for at in np.linspace(low, high, _FIRST_TANGENTS)]
    return offset, tuple(squares), slack


def split_diagonal(matrix: NDArray[np.float64]) -> NDArray[np.float64]:
    """A large diagonal D (n,) such that `matrix` − D is still positive semidefinite, but for rounding.

    Each place in turn gives up half of what it can, which is one over the place of the inverse.
    """
    count = len(matrix)
    least = max(0.0, float(np.linalg.eigvalsh(matrix).min())) if count else 0.0
    diagonal = np.full(count, least * 0.5)
    for share in np.linspace(0.15, 0.7, _ROUNDS_OF_DIAGONAL):
        left = matrix - np.diag(diagonal)
        if np.linalg.eigvalsh(left).min(initial=np.inf) < 1e-9:
            break
        inverse = np.linalg.inv(left)
        for place in range(count):
            step = share / inverse[place, place]
            diagonal[place] += step
            # the inverse after taking `step` off one place of the diagonal (Sherman & Morrison 1950)
            column = inverse[:, place].copy()
            inverse += np.outer(column, column) * (step / (1 - step * column[place]))
    # what rounding took too much is given back
    too_much = min(0.0, float(np.linalg.eigvalsh(matrix - np.diag(diagonal)).min(initial=0.0)))
    return np.maximum(diagonal + 2 * too_much, 0.0)


def _reach(
    direction: NDArray[np.float64], tops: NDArray[np.float64], cocks: int, total: float
) -> tuple[float, float]:
    """Between which values a direction of the shares can lie: the cocks', and the hens', each add up to `total`."""
    ends = []
    for sign in (-1, 1):
        reached = 0.0
        for part in (slice(0, cocks), slice(cocks, None)):
            left = total
            for place in np.argsort(-sign * direction[part]):
                taken = min(left, tops[part][place])
                reached += taken * float(direction[part][place])
                left -= taken
        ends.append(reached)
    return min(ends), max(ends)


def _tangent(square: Square, at: float, total: float) -> Row:
    """value ≥ curvature × (2 at × point − at²) / total, and with a switch at² only when it is on."""
    import highspy

    slope, rest = 2 * square.curvature * at / total, square.curvature * at * at / total
    if square.switch is None:
        return -rest, highspy.kHighsInf, [square.value, square.point], [1.0, -slope]
    return 0.0, highspy.kHighsInf, [square.value, square.point, square.switch], [1.0, -slope, rest]


def _chord(square: Square, at: int, total: float) -> Row:
    """The chord of curvature × point² / total from `at` to `at` + 1: exact on whole numbers."""
    import highspy

    slope, rest = square.curvature * (2 * at + 1) / total, square.curvature * at * (at + 1) / total
    if square.switch is None:
        return -rest, highspy.kHighsInf, [square.value, square.point], [1.0, -slope]
    return 0.0, highspy.kHighsInf, [square.value, square.point, square.switch], [1.0, -slope, rest]


def _rooms(
    columns: _Columns, rows: list[Row], terms: Terms, used: NDArray[np.int64], hens: NDArray[np.int64]
) -> None:
    """Each cock that is used has a room, none holds more hens than it takes."""
    import highspy

    infinity = highspy.kHighsInf
    cocks, sizes = len(used), len(terms.rooms)
    has = columns.add(cocks * sizes, 0, 1, whole=True).reshape(cocks, sizes)
    for cock in range(cocks):
        rows.append((0, 0, [*has[cock], used[cock]], [1.0] * sizes + [-1.0]))
        takes = [float(size) for size, _count in terms.rooms]
        rows.append((-infinity, 0, [hens[cock], *has[cock]], [1.0, *(-size for size in takes)]))
    for number, (_size, count) in enumerate(terms.rooms):
        rows.append((-infinity, count, has[:, number], [1.0] * cocks))


def add_rows(solver: "Highs", rows: Sequence[Row]) -> None:
    """Add rows to a program."""
    if not rows:
        return
    places = [np.asarray(row[2], dtype=np.int32) for row in rows]
    starts = np.cumsum([0, *map(len, places)])
    index = np.concatenate(places)
    value = np.concatenate([np.asarray(row[3], dtype=np.float64) for row in rows])
    lower = np.array([row[0] for row in rows], dtype=np.float64)
    upper = np.array([row[1] for row in rows], dtype=np.float64)
    solver.addRows(len(rows), lower, upper, len(index), starts[:-1].astype(np.int32), index, value)


def _solver(columns: _Columns, rows: list[Row], offset: float) -> "Highs":
    import highspy

    class QuietHighs(highspy.Highs):
        def enableCallbacks(self) -> None:
            # the library calls this first of all, and prints a greeting on the standard output from it
            self.silent()
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    solver = QuietHighs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("threads", 1)
    count = len(columns.cost)
    nothing_index, nothing = np.zeros(0, dtype=np.int32), np.zeros(0)
    solver.addCols(
        count,
        np.array(columns.cost, dtype=np.float64),
        np.array(columns.lower, dtype=np.float64),
        np.array(columns.upper, dtype=np.float64),
        0,
        nothing_index,
        nothing_index,
        nothing,
    )
    whole = np.flatnonzero(columns.whole).astype(np.int32)
    solver.changeColsIntegrality(len(whole), whole, np.full(len(whole), highspy.HighsVarType.kInteger))
    add_rows(solver, rows)
    solver.changeObjectiveOffset(offset)
    return solver
