"""The figure of a set of birds as a convex one, equal for every set of the right numbers and tight in between.

References
----------
Billionnet & Elloumi 2007, Mathematical Programming 109:55-68.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

MOST_TIGHTENED = 1_200
"""For so many birds the diagonal is chosen one by one; for more, which would take minutes, alike for all."""

# How much the squared numbers of cocks and hens weigh in the convex figure; they are given, so they change nothing.
_SUMS = 1e3


@dataclass(frozen=True, eq=False)
class Convex:
    """x′Sx + d′x − constant: equal to c′Kc for every set of the right numbers, convex everywhere, (m,) free birds."""

    matrix: NDArray[np.float64]
    linear: NDArray[np.float64]
    constant: float
    steepness: float

    def value(self, sets: NDArray[np.float64]) -> NDArray[np.float64]:
        """(b,) the figure of each row of `sets` (b, m)."""
        found: NDArray[np.float64] = ((sets @ self.matrix) * sets).sum(axis=1) + sets @ self.linear
        return found - self.constant


def convexified(
    quadratic: NDArray[np.float64],
    groups: list[tuple[NDArray[np.intp], int]],
    start: NDArray[np.float64],
    is_over: Callable[[], bool],
) -> Convex:
    """The figure with as much of its diagonal as can be moved into the linear part, so that it stays convex.

    A bird is in a set or not, x² = x, so a diagonal d may be taken from the matrix and given to the linear part; the
    more is moved, the higher the relaxed figure. d is made large where the relaxed set `start` is undecided, by a
    barrier method on what keeps the matrix positive on sets of the right numbers.
    """
    m = len(quadratic)
    scale = float(np.abs(quadratic).max()) or 1.0
    sums = np.zeros((len(groups), m))
    for number, (places, _wanted) in enumerate(groups):
        sums[number, places] = 1 / np.sqrt(max(len(places), 1))
    # the numbers of cocks and hens are given, so their squares may be added and taken off again
    steep = quadratic / scale + _SUMS * sums.T @ sums
    diagonal = np.zeros(m)
    if m <= MOST_TIGHTENED:
        lowest = float(np.linalg.eigvalsh(steep)[0])
        diagonal += lowest - 1e-3 * max(abs(lowest), 1e-3)
        diagonal = _barrier(steep, diagonal, np.maximum(start * (1 - start), 1e-3), is_over)
    # what is left is taken off too; and where rounding left too little, the bound keeps its proof
    diagonal += float(np.linalg.eigvalsh(steep - np.diag(diagonal))[0]) - 1e-12 * m
    matrix = (steep - np.diag(diagonal)) * scale
    constant = scale * _SUMS * sum(wanted * wanted / max(len(places), 1) for places, wanted in groups)
    return Convex(matrix, diagonal * scale, constant, _steepness(quadratic - scale * np.diag(diagonal), sums))


def _steepness(matrix: NDArray[np.float64], sums: NDArray[np.float64]) -> float:
    """Twice the largest eigenvalue over moves that keep the numbers, nearly: the descent needs no more."""
    along = np.random.default_rng(1).standard_normal(len(matrix))
    largest = 0.0
    for _step in range(60):
        along = along - sums.T @ (sums @ along)
        size = float(np.linalg.norm(along))
        if size <= 1e-300:
            break
        along = matrix @ (along / size)
        largest = max(largest, float(np.linalg.norm(along)))
    return 2.1 * largest or 1.0


def _barrier(
    steep: NDArray[np.float64],
    diagonal: NDArray[np.float64],
    weight: NDArray[np.float64],
    is_over: Callable[[], bool],
) -> NDArray[np.float64]:
    """The diagonal of greatest weighted sum that leaves `steep` positive, nearly: Newton steps inside a barrier."""
    hardness = float(weight.mean()) * 0.1
    for _stage in range(9):
        for _step in range(6):
            if is_over():
                return diagonal
            try:
                inverse = np.linalg.inv(steep - np.diag(diagonal))
                slope = weight - hardness * np.diag(inverse)
                move = np.linalg.solve(hardness * inverse * inverse + 1e-14 * np.eye(len(weight)), slope)
            except np.linalg.LinAlgError:
                return diagonal
            if not np.isfinite(move).all():
                return diagonal
            length = 1.0
            while length > 1e-6 and not _is_positive(steep - np.diag(diagonal + length * move)):
                length /= 2
            if length <= 1e-6:
                return diagonal
            # not onto the edge, where the next inverse would be lost
            diagonal = diagonal + (length if length == 1.0 else 0.9 * length) * move
            if float(slope @ move) < 0.01 * hardness * len(weight):
                break
        hardness *= 0.2
    return diagonal


def _is_positive(matrix: NDArray[np.float64]) -> bool:
    try:
        np.linalg.cholesky(matrix)
    except np.linalg.LinAlgError:
        return False
    return True
