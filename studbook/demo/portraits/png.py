"""Pictures as PNG files (ISO/IEC 15948), packed by our own hand.

Every build of zlib packs in its own way; the sample book holds the same bytes wherever it is built, so runs are
found here: of the pixel before and of the row above, in one block of fixed codes (RFC 1951, section 3.2.6).
"""

import struct
import zlib
from functools import cache

import numpy as np
from numpy.typing import NDArray

_LONGEST = 258
_SHORTEST = 4
_COMMON = 192
_GRAIN = 4
"""Colours that differ by less than this in each part are taken as one."""
_LENGTHS = (
    *range(3, 11), 11, 13, 15, 17, 19, 23, 27, 31, 35, 43, 51, 59, 67, 83, 99, 115, 131, 163, 195, 227, 258,
)  # fmt: skip
_LENGTH_BITS = (*(bits for bits in range(6) for _ in range(8 if bits == 0 else 4)), 0)
"""The shortest run of each length code, and the extra bits that say how much longer it is."""


def png(pixels: NDArray[np.uint8]) -> bytes:
    """The PNG file of a picture of shape (height, width, 3), in at most 256 colours."""
    height, width, _channels = pixels.shape
    palette, indices = _palette(pixels)
    rows = np.hstack([np.zeros((height, 1), np.uint8), indices])
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        (
            _chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 3, 0, 0, 0)),
            _chunk(b"PLTE", palette.tobytes()),
            _chunk(b"IDAT", _zlib_stream(rows.tobytes(), row_bytes=width + 1)),
            _chunk(b"IEND", b""),
        )
    )


def _palette(pixels: NDArray[np.uint8]) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """The commonest and the rarest colours of a picture, shape (256, 3), and for each pixel the nearest."""
    height, width, _channels = pixels.shape
    coarse = (pixels.reshape(-1, 3) // _GRAIN).astype(np.int64)
    keys, place, count = np.unique(coarse @ (1, 256, 65536), return_inverse=True, return_counts=True)
    colours = np.column_stack([keys % 256, keys // 256 % 256, keys // 65536]) * _GRAIN + _GRAIN // 2
    common = colours[np.argsort(-count, kind="stable")[:_COMMON]]
    apart = np.full(len(colours), np.iinfo(np.int64).max)
    nearest = np.zeros(len(colours), np.uint8)
    for number in range(256):
        if number >= len(common):  # then those that are least like any chosen so far
            common = np.vstack([common, colours[apart.argmax()]])
        distance = ((colours - common[number]) ** 2).sum(axis=1)
        nearest[distance < apart] = number
        apart = np.minimum(apart, distance)
    return common.astype(np.uint8), nearest[place].reshape(height, width)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _zlib_stream(data: bytes, row_bytes: int) -> bytes:
    return b"\x78\x01" + _deflate(data, (1, row_bytes)) + struct.pack(">I", zlib.adler32(data))


def _deflate(data: bytes, distances: tuple[int, int]) -> bytes:
    """`data` as one final block in which the last bytes are repeated from either of two distances."""
    runs = [_runs(np.frombuffer(data, np.uint8), distance) for distance in distances]
    literals = [_fixed_code(byte) for byte in range(256)]
    bits = ["110"]
    place = 0
    while place < len(data):
        length, distance = max((run[place], distance) for run, distance in zip(runs, distances, strict=True))
        if length < _SHORTEST:
            bits.append(literals[data[place]])
            place += 1
        else:
            length = min(length, _LONGEST)
            bits.append(_length_code(length) + _distance_code(distance))
            place += length
    bits.append(_fixed_code(256))
    text = "".join(bits)
    text += "0" * (-len(text) % 8)
    return int(text[::-1], 2).to_bytes(len(text) // 8, "little")


def _runs(data: NDArray[np.uint8], distance: int) -> list[int]:
    """For each place, how many bytes from there on equal those `distance` before."""
    same = np.zeros(len(data) + 1, bool)
    same[distance:-1] = data[distance:] == data[:-distance]
    ends = np.where(same, len(data), np.arange(len(data) + 1))
    next_end = np.minimum.accumulate(ends[::-1])[::-1]
    runs: list[int] = (next_end - np.arange(len(data) + 1))[:-1].tolist()
    return runs


@cache
def _fixed_code(symbol: int) -> str:
    """The fixed code of a literal or length symbol, first bit first."""
    if symbol < 144:
        return f"{0x30 + symbol:08b}"
    if symbol < 256:
        return f"{0x190 + symbol - 144:09b}"
    if symbol < 280:
        return f"{symbol - 256:07b}"
    return f"{0xC0 + symbol - 280:08b}"


@cache
def _length_code(length: int) -> str:
    place = max(place for place, shortest in enumerate(_LENGTHS) if shortest <= length)
    return _fixed_code(257 + place) + _extra(length - _LENGTHS[place], _LENGTH_BITS[place])


@cache
def _distance_code(distance: int) -> str:
    """The five bits of the distance's span and the place in it."""
    if distance <= 4:
        return f"{distance - 1:05b}"
    top = (distance - 1).bit_length() - 1
    half = (distance - 1) >> (top - 1) & 1
    return f"{2 * top + half:05b}" + _extra((distance - 1) & ((1 << (top - 1)) - 1), top - 1)


def _extra(value: int, bits: int) -> str:
    """Extra bits stand with the lowest bit first."""
    return f"{value:0{bits}b}"[::-1] if bits else ""
