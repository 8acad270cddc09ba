"""The inner loops of relatedness, compiled: for books of a breed society.

Loaded by `compiled.kernels_for` alone, as it needs numba (the extra `large`). Arrays come checked:
parents stand before their offspring, `UNKNOWN` is -1. Compiled code is kept on disk and lets other
threads run.
"""

from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba
import numpy as np
from numpy.typing import NDArray

LANES = 16
"""How many columns are swept at once."""

# What is marked of each row while columns are swept: it holds numbers, what it passes on is needed.
_HOLDS, _NEEDED = 1, 2

_Function = TypeVar("_Function", bound=Callable[..., object])

_Int32s = NDArray[np.int32]
_Int64s = NDArray[np.int64]
_Floats = NDArray[np.float64]
_Words = NDArray[np.uint64]


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
def with_ancestors(first: _Int32s, sire: _Int32s, dam: _Int32s, rows: _Int32s) -> _Int32s:
    """The rows and all their possible ancestors, each once, ascending."""
    bits = _bits_of(first, sire, dam, rows)
    return _rows_of(bits, _ranks(bits))


@_compiled
def behind(
    first: _Int32s, sire: _Int32s, dam: _Int32s, rows: _Int32s
) -> tuple[_Int32s, _Int32s, _Int32s, _Int32s, _Int32s]:
    """`with_ancestors` and `part` of it in one: the rows, where the pairs of each begin, the old pairs,
    their new sires and dams.

    Which rows are among them is one bit each, so that the look-ups stay within the processor's cache.
    """
    bits = _bits_of(first, sire, dam, rows)
    ranks = _ranks(bits)
    found = _rows_of(bits, ranks)
    new_first = np.zeros(len(found) + 1, dtype=np.int32)
    for number in range(len(found)):
        row = found[number]
        new_first[number + 1] = new_first[number] + first[row + 1] - first[row]
    pairs = np.empty(new_first[-1], dtype=np.int32)
    new_sire, new_dam = np.empty_like(pairs), np.empty_like(pairs)
    for number in range(len(found)):
        shift = first[found[number]] - new_first[number]
        for new in range(new_first[number], new_first[number + 1]):
            pair = new + shift
            pairs[new] = pair
            new_sire[new] = _rank(bits, ranks, sire[pair]) if sire[pair] >= 0 else -1
            new_dam[new] = _rank(bits, ranks, dam[pair]) if dam[pair] >= 0 else -1
    return found, new_first, pairs, new_sire, new_dam


@_compiled
def _bits_of(first: _Int32s, sire: _Int32s, dam: _Int32s, rows: _Int32s) -> _Words:
    """The rows and all their possible ancestors as bits that are set."""
    bits = np.zeros((len(first) + 62) // 64, dtype=np.uint64)
    last = -1
    for row in rows:
        bits[row >> 6] |= np.uint64(1) << np.uint64(row & 63)
        last = max(last, row)
    for word in range(last >> 6, -1, -1):
        left = bits[word]
        while left:
            highest = _highest(left)
            row = (word << 6) + highest
            for pair in range(first[row], first[row + 1]):
                for parent in (sire[pair], dam[pair]):
                    if parent >= 0:
                        bits[parent >> 6] |= np.uint64(1) << np.uint64(parent & 63)
            # a parent may be in the same word, and is lower
            left = bits[word] & ((np.uint64(1) << np.uint64(highest)) - np.uint64(1))
    return bits


@_compiled
def _ranks(bits: _Words) -> _Int32s:
    """How many bits are set before each word, and in all (w + 1,)."""
    ranks = np.zeros(len(bits) + 1, dtype=np.int32)
    for word in range(len(bits)):
        ranks[word + 1] = ranks[word] + _count(bits[word])
    return ranks


@_compiled
def _rank(bits: _Words, ranks: _Int32s, row: int) -> np.int32:
    """How many bits are set before that of a row."""
    word = row >> 6
    below = bits[word] & ((np.uint64(1) << np.uint64(row & 63)) - np.uint64(1))
    return np.int32(ranks[word] + _count(below))


@_compiled
def _rows_of(bits: _Words, ranks: _Int32s) -> _Int32s:
    """The rows whose bits are set, ascending."""
    rows = np.empty(ranks[-1], dtype=np.int32)
    for word in range(len(bits)):
        left, place = bits[word], ranks[word + 1]
        while left:
            highest = _highest(left)
            place -= 1
            rows[place] = (word << 6) + highest
            left ^= np.uint64(1) << np.uint64(highest)
    return rows


@_compiled
def _highest(word: np.uint64) -> int:
    """The place of the highest bit that is set."""
    place = 0
    for step in (32, 16, 8, 4, 2, 1):
        if word >> np.uint64(step):
            place += step
            word >>= np.uint64(step)
    return place


@_compiled
def _count(word: np.uint64) -> np.int64:
    """How many bits are set: summed in pairs, fours and bytes, then over the bytes."""
    word -= (word >> np.uint64(1)) & np.uint64(0x5555555555555555)
    fours = np.uint64(0x3333333333333333)
    word = (word & fours) + ((word >> np.uint64(2)) & fours)
    word = (word + (word >> np.uint64(4))) & np.uint64(0x0F0F0F0F0F0F0F0F)
    return np.int64((word * np.uint64(0x0101010101010101)) >> np.uint64(56))


@_compiled
def part(
    first: _Int32s, sire: _Int32s, dam: _Int32s, rows: _Int32s
) -> tuple[_Int32s, _Int64s, _Int32s, _Int32s]:
    """The pairs of `rows` alone: where those of each begin, the old pairs, their new sires and dams."""
    size = len(rows)
    new_first = np.zeros(size + 1, dtype=np.int32)
    # of a row that is not among them whatever memory held: it is looked up in `rows`
    place = np.empty(len(first) - 1, dtype=np.int32)
    for number in range(size):
        row = rows[number]
        place[row] = number
        new_first[number + 1] = new_first[number] + first[row + 1] - first[row]
    pairs = np.empty(new_first[size], dtype=np.int64)
    new_sire = np.full(len(pairs), -1, dtype=np.int32)
    new_dam = np.full(len(pairs), -1, dtype=np.int32)
    for number in range(size):
        row = rows[number]
        for pair in range(first[row], first[row + 1]):
            new = new_first[number] + pair - first[row]
            pairs[new] = pair
            for parent, told in ((sire[pair], new_sire), (dam[pair], new_dam)):
                if parent >= 0:
                    at = place[parent]
                    if 0 <= at < size and rows[at] == parent:
                        told[new] = at
    return new_first, pairs, new_sire, new_dam


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
    genes: _Floats,
    self_relationship: _Floats,
    sampling_variance: _Floats,
) -> None:
    """Find both diagonals of `rows`, whose parents' relationships are known.

    `couple` (m,) is the couple of each pair or -1 and `related` (u,) the relationship of each; `mixed`
    (n,) the mixture of parents of each node with several pairs or -1 and `mixture_self` (x,) its own;
    `genes` (n,) the share of the genes of each node that count.
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
            self_relationship[row] = genes[row] + inbreeding
            sampling_variance[row] = genes[row] + inbreeding - inherited
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
    state: NDArray[np.uint8],
    found: _Floats,
) -> None:
    """Fill `found` (w,) with the relationships of each column with the rows wanted of it.

    `room` (n, LANES) and `state` (n,) are room to work in; what they hold does not matter.
    """
    for begin in range(0, len(column_first) - 1, LANES):
        end = min(begin + LANES, len(column_first) - 1)
        top = -1
        for entry in range(column_first[begin], column_first[end]):
            top = max(top, column_row[entry])
        reach = -1
        for entry in range(wanted_first[begin], wanted_first[end]):
            reach = max(reach, wanted[entry])
        state[: max(top, reach) + 1] = 0
        for entry in range(wanted_first[begin], wanted_first[end]):
            state[wanted[entry]] = _NEEDED
        for column in range(begin, end):
            for entry in range(column_first[column], column_first[column + 1]):
                row = column_row[entry]
                if not state[row] & _HOLDS:
                    state[row] |= _HOLDS
                    room[row] = 0
                room[row, column - begin] += column_share[entry]
        _gather(first, sire, dam, weight, room, state, max(top, reach))
        _spread(first, sire, dam, weight, variance, room, state, reach)
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
    state: NDArray[np.uint8],
    top: int,
) -> None:
    """Offspring pass to parents, from row `top` back, what they hold and that they are needed."""
    for row in range(top, -1, -1):
        # unsigned rows need no look for negative ones in the innermost loop
        own, marked = np.uint64(row), state[row]
        if not marked:
            continue
        for pair in range(first[row], first[row + 1]):
            half = weight[pair] * 0.5
            for number in (sire[pair], dam[pair]):
                if number < 0:
                    continue
                parent = np.uint64(number)
                if marked & _HOLDS:
                    if state[parent] & _HOLDS:
                        for lane in range(LANES):
                            room[parent, lane] += half * room[own, lane]
                    else:
                        for lane in range(LANES):
                            room[parent, lane] = half * room[own, lane]
                state[parent] |= marked


@_compiled
def _spread(
    first: _Int32s,
    sire: _Int32s,
    dam: _Int32s,
    weight: _Floats,
    variance: _Floats,
    room: _Floats,
    state: NDArray[np.uint8],
    reach: int,
) -> None:
    """What was gathered, times the variances, is passed on by parents to offspring, up to row `reach`.

    Only rows that are needed are filled; their parents are needed too.
    """
    for row in range(reach + 1):
        if not state[row] & _NEEDED:
            continue
        begin, end, own = first[row], first[row + 1], np.uint64(row)
        if end == begin + 1 and sire[begin] >= 0 and dam[begin] >= 0:
            # nearly every bird: both parents certain, one pass
            half, by_sire, by_dam = weight[begin] * 0.5, np.uint64(sire[begin]), np.uint64(dam[begin])
            if state[own] & _HOLDS:
                for lane in range(LANES):
                    received = half * (room[by_sire, lane] + room[by_dam, lane])
                    room[own, lane] = variance[row] * room[own, lane] + received
            else:
                for lane in range(LANES):
                    room[own, lane] = half * (room[by_sire, lane] + room[by_dam, lane])
            continue
        for lane in range(LANES):
            room[own, lane] = variance[row] * room[own, lane] if state[own] & _HOLDS else 0.0
        for pair in range(begin, end):
            half = weight[pair] * 0.5
            for number in (sire[pair], dam[pair]):
                if number >= 0:
                    parent = np.uint64(number)
                    for lane in range(LANES):
                        room[own, lane] += half * room[parent, lane]


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


@_compiled
def fall(
    genes: NDArray[np.unsignedinteger[Any]], birds: _Int64s, parents: _Int64s, words: NDArray[np.uint64]
) -> None:
    """Give each of some birds, in every replicate, one gene of each of its parents (b, 2).

    The bits of `words` (b, 2, w), the lowest first, say which of the two.
    """
    width = genes.shape[2]
    whole = width // 64
    for bird in range(len(birds)):
        for side in range(2):
            own, drawn = genes[birds[bird], side], words[bird, side]
            one, other = genes[parents[bird, side], 0], genes[parents[bird, side], 1]
            for word in range(whole):
                bits, begin = drawn[word], 64 * word
                # loops of known length without branches become vector instructions
                for bit in range(64):
                    first, second = one[begin + bit], other[begin + bit]
                    own[begin + bit] = second if (bits >> np.uint64(bit)) & np.uint64(1) else first
            for replicate in range(64 * whole, width):
                taken = (drawn[whole] >> np.uint64(replicate - 64 * whole)) & np.uint64(1)
                first, second = one[replicate], other[replicate]
                own[replicate] = second if taken else first


@_compiled
def count(genes: NDArray[np.unsignedinteger[Any]], rows: _Int64s, counts: _Int64s) -> None:
    """Count each founder gene in `rows`, in every replicate: `counts` (g, width) starts at 0."""
    for row in rows:
        for side in range(2):
            found = genes[row, side]
            for replicate in range(len(found)):
                counts[found[replicate], replicate] += 1
