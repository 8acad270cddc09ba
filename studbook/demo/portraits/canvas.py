"""A small drawing board: smooth outlines, their coverage of each pixel, colour laid over colour.

Only sums, products and square roots are used, which are the same on every machine, so that a picture is too.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Point = tuple[float, float]
Outline = NDArray[np.float64]
"""Corners of a closed outline, shape (n, 2), in hundredths of the picture's side."""

Coverage = NDArray[np.float64]
"""How much of each pixel a shape covers, shape (side, side), 0 to 1."""

_SAMPLES = 4
_STEPS = 10


def outline(text: str, at: Point = (0.0, 0.0)) -> Outline:
    """The closed outline through the points of `text`: smooth through each, sharp where a ``|`` stands.

    The points count from `at`.

    >>> len(outline("0,0 | 10,0 | 10,10 |"))
    3
    """
    runs = [[_point(word) for word in run.split()] for run in text.split("|")]
    if len(runs) == 1:
        return np.array(_smooth(runs[0], closed=True)) + at
    if runs[-1]:
        raise ValueError("an outline with a sharp point ends with one")
    corners = [run[-1] for run in runs[:-1]]
    points: list[Point] = []
    for before, run in zip([corners[-1], *corners], runs[:-1], strict=False):
        points += _smooth([before, *run], closed=False)[1:]
    return np.array(points) + at


def line(text: str, width: float, taper: float = 1.0, at: Point = (0.0, 0.0)) -> Outline:
    """The smooth line through the points of `text`, counted from `at`; `taper` is its end's share of `width`."""
    return stroke([_point(word) for word in text.split()], width, taper) + at


def stroke(points: Sequence[Point], width: float, taper: float = 1.0) -> Outline:
    """The smooth line through `points`, `width` hundredths wide, times `taper` at its end."""
    middle = np.array(_smooth(points, closed=False))
    along = np.gradient(middle, axis=0)
    length = np.sqrt((along**2).sum(axis=1, keepdims=True))
    across = np.column_stack([-along[:, 1], along[:, 0]]) / length
    half = width / 2 * (1 + (taper - 1) * np.arange(len(middle)) / (len(middle) - 1))[:, None]
    return np.vstack([middle + across * half, (middle - across * half)[::-1]])


def rim(shape: Outline, width: float) -> Outline:
    """The line round a shape."""
    return stroke([(x, y) for x, y in [*shape[::3], shape[0]]], width)


def ellipse(x: float, y: float, wide: float, high: float) -> Outline:
    """An upright ellipse about a centre, with its half width and half height."""
    eighth = ((1.0, 0.0), (0.9238795325112867, 0.3826834323650898))
    quarter = [*eighth, (0.7071067811865476, 0.7071067811865476), (eighth[1][1], eighth[1][0])]
    half = [*quarter, *((-b, a) for a, b in quarter)]
    around = [*half, *((-a, -b) for a, b in half)]
    return np.array(_smooth([(x + wide * a, y + high * b) for a, b in around], closed=True))


def _point(word: str) -> Point:
    x, y = word.split(",")
    return float(x), float(y)


def _smooth(points: Sequence[Point], closed: bool) -> list[Point]:
    """The points of a Catmull-Rom curve through `points`."""
    if len(points) == 2:
        return list(points)
    count = len(points)
    smooth: list[Point] = []
    for start in range(count if closed else count - 1):
        around = [start - 1, start, start + 1, start + 2]
        four = [
            points[place % count] if closed else points[min(max(place, 0), count - 1)] for place in around
        ]
        smooth += [_between(four, step / _STEPS) for step in range(_STEPS)]
    return smooth if closed else [*smooth, points[-1]]


def _between(four: Sequence[Point], t: float) -> Point:
    def part(p: float, q: float, r: float, s: float) -> float:
        return q + 0.5 * t * (r - p + t * (2 * p - 5 * q + 4 * r - s + t * (3 * (q - r) + s - p)))

    (px, py), (qx, qy), (rx, ry), (sx, sy) = four
    return part(px, qx, rx, sx), part(py, qy, ry, sy)


class Canvas:
    """A square picture that shapes are laid on, one over the other.

    Attributes
    ----------
    side
        Its pixels across and down.
    """

    def __init__(self, side: int, ground: str) -> None:
        self.side = side
        self._pixels = np.tile(_light(ground), (side, side, 1))

    def cover(self, shape: Outline) -> Coverage:
        """How much of each pixel `shape` covers."""
        covered = np.zeros((self.side, self.side))
        corners = shape * self.side / 100
        left, top = np.clip(np.floor(corners.min(axis=0)), 0, self.side).astype(int).tolist()
        right, foot = np.clip(np.ceil(corners.max(axis=0)), 0, self.side).astype(int).tolist()
        if left < right and top < foot:
            covered[top:foot, left:right] = _fill(corners - (left, top), right - left, foot - top)
        return covered

    def lay(
        self, shape: Outline | Coverage, fill: str, lower: str | None = None, *,
        within: Coverage | None = None, strength: float = 1.0,
    ) -> Coverage:  # fmt: skip
        """Lay the colour `fill` over a shape, fading to `lower` at its foot; returns what it covered."""
        covered = self.cover(shape) if shape.shape[1] == 2 else shape
        if within is not None:
            covered = covered * within
        down, across = np.nonzero(covered.any(axis=1))[0], np.nonzero(covered.any(axis=0))[0]
        if len(down):
            rows, columns = slice(down[0], down[-1] + 1), slice(across[0], across[-1] + 1)
            share = (covered[rows, columns] * strength)[..., None]
            under = self._pixels[rows, columns]
            under += share * (_shades(fill, lower or fill, len(under)) - under)
        return covered

    def pixels(self) -> NDArray[np.uint8]:
        """The picture, shape (side, side, 3)."""
        return _whole(self._pixels)

    def halved(self) -> NDArray[np.uint8]:
        """The picture at half its side."""
        half = self.side // 2
        return _whole(self._pixels.reshape(half, 2, half, 2, 3).sum(axis=(1, 3)) / 4)


def _whole(values: NDArray[np.float64]) -> NDArray[np.uint8]:
    whole: NDArray[np.uint8] = np.floor(values + 0.5).astype(np.uint8)
    return whole


def _fill(corners: Outline, width: int, height: int) -> Coverage:
    """The coverage of a patch of pixels by the outline through `corners`, given in pixels of the patch."""
    rows = height * _SAMPLES
    x, y = corners[:, 0], corners[:, 1] * _SAMPLES
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    first = np.clip(np.ceil(np.minimum(y, next_y) - 0.5), 0, rows).astype(np.intp)
    last = np.clip(np.ceil(np.maximum(y, next_y) - 0.5), 0, rows).astype(np.intp)
    times = last - first  # how many sample rows each edge crosses
    edge = np.repeat(np.arange(len(x)), times)
    row = np.arange(len(edge)) - np.repeat(np.cumsum(times) - times, times) + first[edge]
    slope = (next_x - x)[edge] / (next_y - y)[edge]
    crossed = np.clip(x[edge] + (row + 0.5 - y[edge]) * slope, 0, width)
    column = np.floor(crossed).astype(np.intp)
    part = crossed - column
    turn = np.where(next_y > y, 1.0, -1.0)[edge]
    place, size = row * (width + 2) + column, rows * (width + 2)
    crossings = np.bincount(place, turn * (1 - part), size) + np.bincount(place + 1, turn * part, size)
    crossings = crossings.reshape(rows, width + 2)
    filled = np.minimum(np.abs(np.cumsum(crossings, axis=1)), 1)[:, :width]
    covered: Coverage = filled.reshape(height, _SAMPLES, width).sum(axis=1) / _SAMPLES
    return covered


def _shades(upper: str, lower: str, rows: int) -> NDArray[np.float64]:
    """One colour a row, shape (rows, 1, 3)."""
    down = (np.arange(rows) / max(rows - 1, 1))[:, None, None]
    shades: NDArray[np.float64] = _light(upper) + down * (_light(lower) - _light(upper))
    return shades


def _light(colour: str) -> NDArray[np.float64]:
    """The red, green and blue of ``#RRGGBB``, each 0 to 255."""
    return np.array([int(colour[start : start + 2], 16) for start in (1, 3, 5)], dtype=np.float64)
