"""Pens as families between which cockerels move on, and what that does to inbreeding over the generations.

`p` pens hold one cock and their hens each. In every generation each hen leaves one daughter, who stays in her
pen, and the first hen of each pen one son, who becomes the cock of the next pen; the last pen's goes to the first.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True, slots=True)
class RotationCourse:
    """What a rotation is expected to come to, generation by generation; the first row is the birds it begins with.

    Attributes
    ----------
    hens
        The mean F of the hens: (g + 1,).
    by_pen
        The mean F of the hens of each pen: (g + 1, p).
    kinship
        The mean kinship of all birds of a generation, each with itself included: (g + 1,).
    """

    hens: NDArray[np.float64]
    by_pen: NDArray[np.float64]
    kinship: NDArray[np.float64]


def rotation_parents(hens: Sequence[int]) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """The sire and the dam of each bird of the next generation, as places in this one: (n,) and (n,).

    `hens` are the numbers of hens in the pens, in the order the cockerels move. The birds of a generation stand
    pen by pen, the cock of a pen before its hens. One pen alone keeps its own son.

    Raises
    ------
    ValueError
        If there is no pen, or a pen without a hen.

    Examples
    --------
    >>> sires, dams = rotation_parents([2, 1])
    >>> sires.tolist(), dams.tolist()
    ([3, 0, 0, 0, 3], [4, 1, 2, 1, 4])
    """
    if not len(hens) or min(hens) < 1:
        raise ValueError("a rotation has pens, each with a hen at least")
    first = np.cumsum([0, *(number + 1 for number in hens[:-1])])
    sires: list[int] = []
    dams: list[int] = []
    for pen, number in enumerate(hens):
        before = first[pen - 1]  # the pen before the first is the last one
        sires += [before, *[first[pen]] * number]
        dams += [before + 1, *range(first[pen] + 1, first[pen] + 1 + number)]
    return np.array(sires, dtype=np.int32), np.array(dams, dtype=np.int32)


def rotation_course(hens: Sequence[int], generations: int, start: ArrayLike | None = None) -> RotationCourse:
    """What is to be expected of a rotation over so many generations, by the tabular method.

    `start` is the kinship of the birds it begins with, in the order of `rotation_parents`: (n, n), half of one
    more than its F for a bird with itself. Left out, they are unrelated and not inbred.

    Raises
    ------
    ValueError
        If a pen has no hen, `generations` is below 0, or `start` has another shape.

    References
    ----------
    Emik & Terrill 1949, Journal of Heredity 40:51-55 (the tabular method).

    Examples
    --------
    >>> rotation_course([4, 4], 3).hens.tolist()
    [0.0, 0.0, 0.0, 0.1015625]
    """
    sires, dams = rotation_parents(hens)
    if generations < 0:
        raise ValueError("the number of generations is not below 0")
    birds = len(sires)
    now = np.eye(birds) / 2 if start is None else np.array(start, dtype=np.float64)
    if now.shape != (birds, birds):
        raise ValueError(f"the kinship of {birds} birds is a table of {birds} by {birds}")
    pen = np.repeat(np.arange(len(hens)), [number + 1 for number in hens])
    is_hen = np.ones(birds, dtype=bool)
    is_hen[np.flatnonzero(np.diff(pen, prepend=-1))] = False
    by_pen, kinship = [], []
    for generation in range(generations + 1):
        if generation:
            now = next_kinship(now, sires, dams)
        inbred = 2 * now.diagonal() - 1
        by_pen.append(np.bincount(pen[is_hen], inbred[is_hen]) / np.asarray(hens))
        kinship.append(now.mean())
    each = np.array(by_pen)
    return RotationCourse(each @ np.asarray(hens) / sum(hens), each, np.array(kinship))


def next_kinship(
    kinship: NDArray[np.float64], sires: NDArray[np.int32], dams: NDArray[np.int32]
) -> NDArray[np.float64]:
    """The kinship of a generation from that of its parents: (m, m) from (n, n).

    `sires` and `dams` are the places of the parents of the m young among the n old birds. The young have no
    parents among themselves: generations are separate.
    """
    of_parents = (kinship[sires] + kinship[dams]) / 2
    young: NDArray[np.float64] = (of_parents[:, sires] + of_parents[:, dams]) / 2
    np.fill_diagonal(young, (1 + kinship[sires, dams]) / 2)
    return young
