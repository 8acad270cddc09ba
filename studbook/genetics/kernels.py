"""The inner loops of relatedness, compiled: for books of a breed society.

Loaded by `compiled.kernels_for` alone, as it needs numba (the extra `large`). Arrays come checked:
parents stand before their offspring, `UNKNOWN` is -1. Compiled code is kept on disk and lets other
threads run.
"""

from collections.abc import Callable
from typing import TypeVar, cast

import numba
import numpy as np
from numpy.typing import NDArray

LANES = 16
"""How many columns are swept at once."""

_Function = TypeVar("_Function", bound=Callable[..., object])

_Int32s = NDArray[np.int32]
_Int64s = NDArray[np.int64]
_Floats = NDArray[np.float64]


def _compiled(function: _Function) -> _Function:
    return cast(_Function, numba.njit(nogil=True, cache=True, error_model="numpy")(function))


@_compiled
def levels(first: _Int32s, sire: _Int32s, dam: _Int32s) -> _Int64s:
    """The level of each node (n,): 0 without known parents, else one above its highest parent."""
    n = len(first) - 1
    level = np.zeros(n, dtype=np.int64)
    for row in range(n):
        for pair in range(first[row], first[row + 1]):
            if sire[pair] >= 0:
                level[row] = max(level[row], level[sire[pair]] + 1)
            if dam[pair] >= 0:
                level[row] = max(level[row], level[dam[pair]] + 1)
    return level


@_compiled
def with_ancestors(first: _Int32s, sire: _Int32s, dam: _Int32s, rows: _Int32s) -> NDArray[np.bool_]:
    """True (n,) for the rows and all their possible ancestors."""
    n = len(first) - 1
    found = np.zeros(n, dtype=np.bool_)
    last = -1
    for row in rows:
        found[row] = True
        last = max(last, row)
    for row in range(last, -1, -1):
        if found[row]:
            for pair in range(first[row], first[row + 1]):
                if sire[pair] >= 0:
                    found[sire[pair]] = True
                if dam[pair] >= 0:
                    found[dam[pair]] = True
    return found


@_compiled
def couples(sire: _Int32s, dam: _Int32s, parents: int) -> tuple[_Int64s, _Int32s, _Int32s]:
    """The distinct mates of each of p parents, and the couple of each pair.

    `sire` and `dam` (m,) are numbers of parents, -1 in both for a pair that is no couple. Returns
    where the mates of each sire begin (p + 1,), the mates (u,) and the couple of each pair (m,) or -1.
    """
    start = np.zeros(parents + 1, dtype=np.int64)
    for pair in range(len(sire)):
        if sire[pair] >= 0:
            start[sire[pair] + 1] += 1
    for cock in range(parents):
        start[cock + 1] += start[cock]
    pairs = np.empty(start[parents], dtype=np.int32)
    free = start[:-1].copy()
    for pair in range(len(sire)):
        if sire[pair] >= 0:
            pairs[free[sire[pair]]] = pair
            free[sire[pair]] += 1
    first = np.zeros(parents + 1, dtype=np.int64)
    mates = np.empty(len(pairs), dtype=np.int32)
    couple = np.full(len(sire), -1, dtype=np.int32)
    seen_with = np.full(parents, -1, dtype=np.int32)
    seen_as = np.empty(parents, dtype=np.int32)
    count = 0
    for cock in range(parents):
        for at in range(start[cock], start[cock + 1]):
            hen = dam[pairs[at]]
            if seen_with[hen] != cock:
                seen_with[hen] = cock
                seen_as[hen] = count
                mates[count] = hen
                count += 1
            couple[pairs[at]] = seen_as[hen]
        first[cock + 1] = count
    return first, mates[:count].copy(), couple


@_compiled
def find(
    rows: _Int32s,
    first: _Int32s,
    sire: _Int32s,
    dam: _Int32s,
    weight: _Floats,
    variance: _Floats,
    couple: _Int32s,
    related: _Floats,
    mixed: _Int32s,
    mixture_self: _Floats,
    self_relationship: _Floats,
    sampling_variance: _Floats,
) -> None:
    """Find both diagonals of `rows`, whose parents' relationships are known.

    `couple` (m,) is the couple of each pair or -1 and `related` (u,) the relationship of each; `mixed`
    (n,) the mixture of parents of each node with several pairs or -1 and `mixture_self` (x,) its own.
    """
    for row in rows:
        inbreeding = 0.0
        inherited = 0.0
        for pair in range(first[row], first[row + 1]):
            together = related[couple[pair]] if couple[pair] >= 0 else 0.0
            inbreeding += weight[pair] * together / 2
            inherited += together / 2
            if sire[pair] >= 0:
                inherited += self_relationship[sire[pair]] / 4
            if dam[pair] >= 0:
                inherited += self_relationship[dam[pair]] / 4
        if mixed[row] >= 0:
            inherited = mixture_self[mixed[row]]
        if np.isnan(variance[row]):
            self_relationship[row] = 1 + inbreeding
            sampling_variance[row] = 1 + inbreeding - inherited
        else:
            self_relationship[row] = inherited + variance[row]
            sampling_variance[row] = variance[row]


@_compiled
def relate(
    first: _Int32s,
    sire: _Int32s,
    dam: _Int32s,
    weight: _Floats,
    variance: _Floats,
    column_first: _Int64s,
    column_row: _Int32s,
    column_share: _Floats,
    wanted_first: _Int64s,
    wanted: _Int32s,
    room: _Floats,
    touched: NDArray[np.uint8],
    found: _Floats,
) -> None:
    """Fill `found` (w,) with the relationships of each column with the rows wanted of it.

    `room` (n, LANES) and `touched` (n,) are room to work in; what they hold does not matter.
    """
    for begin in range(0, len(column_first) - 1, LANES):
        end = min(begin + LANES, len(column_first) - 1)
        top = -1
        for entry in range(column_first[begin], column_first[end]):
            top = max(top, column_row[entry])
        reach = -1
        for entry in range(wanted_first[begin], wanted_first[end]):
            reach = max(reach, wanted[entry])
        room[: max(top, reach) + 1] = 0
        touched[: top + 1] = 0
        for column in range(begin, end):
            for entry in range(column_first[column], column_first[column + 1]):
                touched[column_row[entry]] = 1
                room[column_row[entry], column - begin] += column_share[entry]
        _gather(first, sire, dam, weight, room, touched, top)
        _spread(first, sire, dam, weight, variance, room, reach)
        for column in range(begin, end):
            for entry in range(wanted_first[column], wanted_first[column + 1]):
                found[entry] = room[wanted[entry], column - begin]


@_compiled
def _gather(
    first: _Int32s,
    sire: _Int32s,
    dam: _Int32s,
    weight: _Floats,
    room: _Floats,
    touched: NDArray[np.uint8],
    top: int,
) -> None:
    """Offspring pass to parents, from row `top` back; `touched` says which rows hold anything."""
    for row in range(top, -1, -1):
        if touched[row]:
            for pair in range(first[row], first[row + 1]):
                half = weight[pair] * 0.5
                for parent in (sire[pair], dam[pair]):
                    if parent >= 0:
                        touched[parent] = 1
                        for lane in range(LANES):
                            room[parent, lane] += half * room[row, lane]


@_compiled
def _spread(
    first: _Int32s,
    sire: _Int32s,
    dam: _Int32s,
    weight: _Floats,
    variance: _Floats,
    room: _Floats,
    reach: int,
) -> None:
    """What was gathered, times the variances, is passed on by parents to offspring, up to row `reach`."""
    for row in range(reach + 1):
        begin, end, own = first[row], first[row + 1], room[row]
        if end == begin + 1 and sire[begin] >= 0 and dam[begin] >= 0:
            # nearly every bird: both parents certain, one pass
            half, by_sire, by_dam = weight[begin] * 0.5, room[sire[begin]], room[dam[begin]]
            for lane in range(LANES):
                own[lane] = variance[row] * own[lane] + half * (by_sire[lane] + by_dam[lane])
            continue
        for lane in range(LANES):
            own[lane] *= variance[row]
        for pair in range(begin, end):
            half = weight[pair] * 0.5
            for parent in (sire[pair], dam[pair]):
                if parent >= 0:
                    for lane in range(LANES):
                        own[lane] += half * room[parent, lane]


@_compiled
def related_to(
    first: _Int32s, sire: _Int32s, dam: _Int32s, weight: _Floats, variance: _Floats, column: _Floats
) -> _Floats:
    """A times one column (n,)."""
    n = len(first) - 1
    swept = column.copy()
    for row in range(n - 1, -1, -1):
        if swept[row] != 0:
            for pair in range(first[row], first[row + 1]):
                half = weight[pair] / 2 * swept[row]
                if sire[pair] >= 0:
                    swept[sire[pair]] += half
                if dam[pair] >= 0:
                    swept[dam[pair]] += half
    for row in range(n):
        received = swept[row] * variance[row]
        for pair in range(first[row], first[row + 1]):
            half = weight[pair] / 2
            if sire[pair] >= 0:
                received += half * swept[sire[pair]]
            if dam[pair] >= 0:
                received += half * swept[dam[pair]]
        swept[row] = received
    return swept
