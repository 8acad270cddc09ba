"""The wishes in numbers: which hens move as one, which are alike, who may go to whom, and what counts how much.

Hens that must be together are one *unit*. Units that nobody could tell apart by the wishes and by their kin, such as
full sisters, are of one *kind*: a plan only says how many of a kind go to a cock, so that no time is lost on
telling that two plans with sisters exchanged are the same.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studbook.book.ids import BirdId
from studbook.planning.best_pens.problem import Problem
from studbook.planning.limits import SAME

_ALIKE = 1e-11
_GRID, _OFF = 7e9 / 3, 0.37


@dataclass(frozen=True, eq=False)
class Terms:
    """The wishes in numbers: c cocks, h hens, k kinds of units.

    Attributes
    ----------
    kinds
        The units of each kind, each a tuple of hens.
    count, hens
        How many units a kind has (k,), and how many hens each of them has (k,).
    weight
        How much each unit of a kind counts (k,): the eggs wanted of its hens, 1 for a hen on the average.
    expected
        F of the chicks (c, k).
    kinship
        f of the cocks and of the mean birds of the kinds with each other (c + k, c + k); of a kind with itself,
        that of two units of it, where there are two.
    own
        What a unit adds to that when it meets itself (k,).
    among_hens
        The mean kinship of all hens, each with herself included and by the eggs wanted of her.
    allowed
        Which kind may go to which cock (c, k).
    must
        Which kinds are placed whatever happens (k,).
    apart
        Pairs of kinds, of one unit each, that must not be in one pen.
    placed
        How many hens are placed, all of them when `is_whole`; None for any number.
    share
        The largest weight a cock may have of all (c,) and a unit of a kind (k,), as a share from 0 to 1.
    rooms
        The rooms there are, those of the same size together: how many hens, how many such rooms; empty for no bound.
    is_possible
        False when wishes contradict each other at first sight.
    """

    kinds: tuple[tuple[tuple[int, ...], ...], ...]
    count: NDArray[np.int64]
    hens: NDArray[np.int64]
    weight: NDArray[np.float64]
    expected: NDArray[np.float64]
    kinship: NDArray[np.float64]
    own: NDArray[np.float64]
    among_hens: float
    allowed: NDArray[np.bool_]
    must: NDArray[np.bool_]
    apart: tuple[tuple[int, int], ...]
    placed: int | None
    is_whole: bool
    share: tuple[NDArray[np.float64], NDArray[np.float64]]
    rooms: tuple[tuple[int, int], ...]
    used: int
    least: int
    most: int
    is_possible: bool

    @property
    def is_even(self) -> bool:
        """True when every hen counts the same."""
        return bool(np.all(np.abs(self.weight - self.hens) < _ALIKE))


def terms_of(problem: Problem) -> Terms:
    """The wishes in numbers."""
    wishes = problem.wishes
    cocks, hens = wishes.cocks, wishes.hens
    cock_of = {bird: place for place, bird in enumerate(cocks)}
    hen_of = {bird: place for place, bird in enumerate(hens)}
    units, is_possible = _units(problem, hen_of)
    unit_of = {hen: number for number, unit in enumerate(units) for hen in unit}

    allowed = np.ones((len(cocks), len(hens)), dtype=bool)
    if wishes.limit is not None:
        free = np.array([hen in problem.unlimited for hen in hens], dtype=bool)
        allowed &= (problem.expected <= wishes.limit + SAME) | free
    must = np.full(len(units), problem.placed == len(hens) and not problem.any_number)
    apart: set[tuple[int, int]] = set()
    for one, other in (*wishes.never, *problem.bans):
        if one in hen_of and other in hen_of:
            pair = sorted((unit_of[hen_of[one]], unit_of[hen_of[other]]))
            is_possible = is_possible and pair[0] != pair[1]
            apart.add((pair[0], pair[1]))
        elif {one, other} <= {*cock_of, *hen_of}:
            cock, hen = (one, other) if one in cock_of else (other, one)
            if hen in hen_of:
                allowed[cock_of[cock], hen_of[hen]] = False
    for one, other in wishes.together:
        cock, hen = (one, other) if one in cock_of else (other, one)
        if hen in hen_of:
            must[unit_of[hen_of[hen]]] = True
        if cock in cock_of and hen in hen_of:
            only = np.arange(len(cocks)) == cock_of[cock]
            allowed[~only, hen_of[hen]] = False

    eggs = np.array([wishes.eggs.get(hen, 1.0) for hen in hens], dtype=float)
    eggs /= eggs.mean() if len(eggs) else 1.0
    most_cock = np.array([wishes.most_share.get(cock, 0.5) for cock in cocks]) * 2
    most_hen = np.array([wishes.most_share.get(hen, 0.5) for hen in hens]) * 2
    by_unit = _by_unit(problem.kinship, len(cocks), units, eggs)
    unit_allowed = np.array(
        [[allowed[cock, list(unit)].all() for unit in units] for cock in range(len(cocks))]
    )
    unit_allowed = unit_allowed.reshape(len(cocks), len(units))
    weight = np.array([eggs[list(unit)].sum() for unit in units])
    hens_in = np.array([len(unit) for unit in units], dtype=np.int64)
    most_unit = np.array(
        [
            min((most_hen[hen] * weight[at] / eggs[hen] for hen in unit), default=1.0)
            for at, unit in enumerate(units)
        ]
    )
    is_whole = problem.placed == len(hens) and not problem.any_number
    alone = {unit for pair in apart for unit in pair}
    if not is_whole:
        # whether a hen gives too much depends on whether she is placed
        alone |= set(np.flatnonzero(most_unit < 1).tolist())
    marks = np.column_stack([unit_allowed.T, must, hens_in, weight, most_unit])
    each = [[unit] for unit in range(len(units))]
    if is_whole or np.all(np.abs(weight - hens_in) < _ALIKE):
        kinds = _kinds(by_unit, len(cocks), marks, alone, is_whole=is_whole)
    else:
        kinds = each
    kinship, own = _by_kind(by_unit, len(cocks), kinds)
    if not is_whole and np.linalg.eigvalsh(kinship).min() < -_ALIKE:
        # birds alike that are less related to each other than any number of such birds could be
        kinds = each
        kinship, own = _by_kind(by_unit, len(cocks), kinds)
    first = np.array([kind[0] for kind in kinds], dtype=np.intp)
    kind_of = {unit: number for number, kind in enumerate(kinds) for unit in kind}
    return Terms(
        kinds=tuple(tuple(units[unit] for unit in kind) for kind in kinds),
        count=np.array([len(kind) for kind in kinds], dtype=np.int64),
        hens=hens_in[first],
        weight=weight[first],
        expected=by_unit[: len(cocks), len(cocks) + first],
        kinship=kinship,
        own=own,
        among_hens=float(eggs @ problem.kinship[len(cocks) :, len(cocks) :] @ eggs) / max(len(eggs), 1) ** 2,
        allowed=unit_allowed[:, first],
        must=must[first],
        apart=tuple(sorted((kind_of[one], kind_of[other]) for one, other in apart if one != other)),
        placed=None if problem.any_number else problem.placed,
        is_whole=is_whole,
        share=(most_cock, most_unit[first]),
        rooms=_rooms(problem),
        used=min(wishes.pens, len(cocks) - wishes.reserve_males, *_places(problem)),
        least=max(wishes.least_hens, 1),
        most=min(wishes.most_hens, len(hens)),
        is_possible=is_possible,
    )


def _units(problem: Problem, hen_of: dict[BirdId, int]) -> tuple[list[tuple[int, ...]], bool]:
    """The hens that move as one, and whether that can be: two cocks never share a pen."""
    wishes = problem.wishes
    leader = {bird: bird for bird in problem.birds}

    def led(bird: BirdId) -> BirdId:
        while leader[bird] != bird:
            bird = leader[bird]
        return bird

    is_possible = True
    for one, other in wishes.together:
        if one not in leader or other not in leader:
            is_possible = False
            continue
        leader[led(one)] = led(other)
    groups: dict[BirdId, list[int]] = {}
    for hen, place in hen_of.items():
        groups.setdefault(led(hen), []).append(place)
    homes = [led(cock) for cock in wishes.cocks]
    is_possible = is_possible and len(set(homes)) == len(homes)
    return sorted((tuple(group) for group in groups.values()), key=lambda unit: unit[0]), is_possible


def _by_unit(
    kinship: NDArray[np.float64], cocks: int, units: list[tuple[int, ...]], eggs: NDArray[np.float64]
) -> NDArray[np.float64]:
    """The kinship of cocks and of the mean birds of units, each hen by the eggs wanted of her."""
    if all(len(unit) == 1 for unit in units):
        order = [*range(cocks), *(cocks + unit[0] for unit in units)]
        return kinship[np.ix_(order, order)]
    mean = np.zeros((cocks + len(units), len(kinship)))
    mean[np.arange(cocks), np.arange(cocks)] = 1
    for number, unit in enumerate(units):
        mean[cocks + number, cocks + np.array(unit)] = eggs[list(unit)] / eggs[list(unit)].sum()
    found: NDArray[np.float64] = mean @ kinship @ mean.T
    return found


def _by_kind(
    by_unit: NDArray[np.float64], cocks: int, kinds: list[list[int]]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The kinship of cocks and kinds, and what a unit adds to that when it meets itself."""
    rows = [*range(cocks), *(cocks + kind[0] for kind in kinds)]
    kinship = by_unit[np.ix_(rows, rows)].copy()
    own = np.zeros(len(kinds))
    for number, kind in enumerate(kinds):
        if len(kind) > 1:
            between = by_unit[cocks + kind[0], cocks + kind[1]]
            own[number] = kinship[cocks + number, cocks + number] - between
            kinship[cocks + number, cocks + number] = between
    return kinship, own


def _kinds(
    kinship: NDArray[np.float64],
    cocks: int,
    marks: NDArray[np.float64],
    alone: Iterable[int],
    *,
    is_whole: bool,
) -> list[list[int]]:
    """Units alike, together. Where every hen is placed only their kinship with the cocks matters."""
    # an odd grid, so that no power of a half falls on the border of two cells
    signature = np.column_stack([np.floor(kinship[cocks:, :cocks] * _GRID + _OFF), np.round(marks, 9)])
    if not is_whole:
        signature = np.column_stack([signature, np.floor(np.diag(kinship)[cocks:] * _GRID + _OFF)])
    by_signature: dict[bytes, list[list[int]]] = {}
    kinds: list[list[int]] = []
    alone = set(alone)
    for unit in range(len(kinship) - cocks):
        if unit not in alone:
            alike = by_signature.setdefault(signature[unit].tobytes(), [])
            for kind in alike:
                if is_whole or _same_kin(kinship, cocks + unit, cocks + kind[0]):
                    kind.append(unit)
                    break
            else:
                kinds.append([unit])
                alike.append(kinds[-1])
        else:
            kinds.append([unit])
    return kinds


def _same_kin(kinship: NDArray[np.float64], one: int, other: int) -> bool:
    """True when two birds are related to all others alike."""
    difference = np.abs(kinship[one] - kinship[other])
    difference[[one, other]] = 0
    return bool(difference.max(initial=0.0) < _ALIKE)


def _places(problem: Problem) -> tuple[int, ...]:
    return (len(problem.wishes.places),) if problem.wishes.places else ()


def _rooms(problem: Problem) -> tuple[tuple[int, int], ...]:
    most = problem.wishes.most_hens
    sizes = [most if place.hens is None else min(place.hens, most) for place in problem.wishes.places]
    if not sizes or min(sizes) >= most:
        return ()
    return tuple((size, sizes.count(size)) for size in sorted(set(sizes)))
