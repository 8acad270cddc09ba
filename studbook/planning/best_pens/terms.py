"""The wishes in numbers: which hens move as one, which are alike, who may go to whom, and what counts how much.

Hens that must be together are one *unit*. Units that nobody could tell apart by the wishes and by their kin, such as
full sisters, are of one *kind*: a plan only says how many of a kind go to a cock, so that no time is lost on
telling that two plans with sisters exchanged are the same.
"""

from collections.abc import Iterable, Mapping
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
    wishes, cocks = problem.wishes, len(problem.wishes.cocks)
    hen_of = {bird: place for place, bird in enumerate(wishes.hens)}
    units, is_possible = _units(problem, hen_of)
    unit_of = {hen: number for number, unit in enumerate(units) for hen in unit}
    apart = _apart(problem, hen_of, unit_of)
    is_possible = is_possible and all(one != other for one, other in apart)
    eggs = _eggs(problem)
    is_whole = problem.placed == len(wishes.hens) and not problem.any_number
    each = _Units(
        units=units,
        hens=np.array([len(unit) for unit in units], dtype=np.int64),
        weight=np.array([eggs[list(unit)].sum() for unit in units]),
        kinship=_by_unit(problem.kinship, cocks, units, eggs),
        allowed=_allowed_units(_allowed(problem, hen_of), units),
        must=_must(problem, hen_of, unit_of, len(units), is_whole=is_whole),
        most_share=_most_of_units(problem, units, eggs),
    )
    kinds, kinship, own = _grouped(each, cocks, apart, is_whole=is_whole)
    first = np.array([kind[0] for kind in kinds], dtype=np.intp)
    kind_of = {unit: number for number, kind in enumerate(kinds) for unit in kind}
    among = problem.kinship[cocks:, cocks:]
    return Terms(
        kinds=tuple(tuple(units[unit] for unit in kind) for kind in kinds),
        count=np.array([len(kind) for kind in kinds], dtype=np.int64),
        hens=each.hens[first],
        weight=each.weight[first],
        expected=each.kinship[:cocks, cocks + first],
        kinship=kinship,
        own=own,
        among_hens=float(eggs @ among @ eggs) / max(len(eggs), 1) ** 2,
        allowed=each.allowed[:, first],
        must=each.must[first],
        apart=tuple(sorted((kind_of[one], kind_of[other]) for one, other in apart if one != other)),
        placed=None if problem.any_number else problem.placed,
        is_whole=is_whole,
        share=(_most_of_cocks(problem), each.most_share[first]),
        rooms=_rooms(problem),
        used=min(wishes.pens, cocks - wishes.reserve_males, *_places(problem)),
        least=max(wishes.least_hens, 1),
        most=min(wishes.most_hens, len(wishes.hens)),
        is_possible=is_possible,
    )


@dataclass(frozen=True, eq=False)
class _Units:
    """The u units before those alike are put together, each field as in `Terms` but by unit."""

    units: list[tuple[int, ...]]
    hens: NDArray[np.int64]
    weight: NDArray[np.float64]
    kinship: NDArray[np.float64]
    allowed: NDArray[np.bool_]
    must: NDArray[np.bool_]
    most_share: NDArray[np.float64]

    @property
    def is_even(self) -> bool:
        return bool(np.all(np.abs(self.weight - self.hens) < _ALIKE))

    @property
    def marks(self) -> NDArray[np.float64]:
        """(u, …) what units of one kind have alike beside their kin."""
        marks = np.column_stack([self.allowed.T, self.must, self.hens, self.weight, self.most_share])
        return marks.astype(np.float64)


def _allowed(problem: Problem, hen_of: Mapping[BirdId, int]) -> NDArray[np.bool_]:
    """Which hen may go to which cock (c, h): by the limit, by the pairs never wanted, by those wanted together."""
    wishes = problem.wishes
    cock_of = {bird: place for place, bird in enumerate(wishes.cocks)}
    allowed = np.ones((len(wishes.cocks), len(wishes.hens)), dtype=bool)
    if wishes.limit is not None:
        free = np.array([hen in problem.unlimited for hen in wishes.hens], dtype=bool)
        allowed &= (problem.expected <= wishes.limit + SAME) | free
    for pair in (*wishes.never, *problem.bans):
        for cock, hen in (pair, pair[::-1]):
            if cock in cock_of and hen in hen_of:
                allowed[cock_of[cock], hen_of[hen]] = False
    for pair in wishes.together:
        for cock, hen in (pair, pair[::-1]):
            if cock in cock_of and hen in hen_of:
                allowed[np.arange(len(cock_of)) != cock_of[cock], hen_of[hen]] = False
    return allowed


def _allowed_units(allowed: NDArray[np.bool_], units: list[tuple[int, ...]]) -> NDArray[np.bool_]:
    """Which unit may go to which cock (c, u): one all of whose hens may."""
    by_unit = [[of_cock[list(unit)].all() for unit in units] for of_cock in allowed]
    return np.array(by_unit, dtype=bool).reshape(len(allowed), len(units))


def _apart(
    problem: Problem, hen_of: Mapping[BirdId, int], unit_of: Mapping[int, int]
) -> set[tuple[int, int]]:
    """Pairs of units with hens that must not be in one pen; a unit with itself where they must be as well."""
    found = set()
    for one, other in (*problem.wishes.never, *problem.bans):
        if one in hen_of and other in hen_of:
            first, second = sorted((unit_of[hen_of[one]], unit_of[hen_of[other]]))
            found.add((first, second))
    return found


def _must(
    problem: Problem, hen_of: Mapping[BirdId, int], unit_of: Mapping[int, int], units: int, *, is_whole: bool
) -> NDArray[np.bool_]:
    """Which units are placed whatever happens (u,): all of them, or those with a hen who must be with another bird."""
    must = np.full(units, is_whole)
    for pair in problem.wishes.together:
        for bird in pair:
            if bird in hen_of:
                must[unit_of[hen_of[bird]]] = True
    return must


def _eggs(problem: Problem) -> NDArray[np.float64]:
    """How much each hen counts (h,), 1 on the average."""
    wishes = problem.wishes
    eggs = np.array([wishes.eggs.get(hen, 1.0) for hen in wishes.hens], dtype=float)
    return eggs / eggs.mean() if len(eggs) else eggs


def _most_of_cocks(problem: Problem) -> NDArray[np.float64]:
    """The largest weight a cock may have of all (c,); half of a chick is its sire's."""
    wishes = problem.wishes
    return np.array([wishes.most_share.get(cock, 0.5) for cock in wishes.cocks], dtype=float) * 2


def _most_of_units(
    problem: Problem, units: list[tuple[int, ...]], eggs: NDArray[np.float64]
) -> NDArray[np.float64]:
    """The largest weight a unit may have of all (u,), such that none of its hens gives more than her share."""
    wishes = problem.wishes
    most = np.array([wishes.most_share.get(hen, 0.5) for hen in wishes.hens], dtype=float) * 2
    return np.array([min(most[hen] * eggs[list(unit)].sum() / eggs[hen] for hen in unit) for unit in units])


def _grouped(
    each: _Units, cocks: int, apart: set[tuple[int, int]], *, is_whole: bool
) -> tuple[list[list[int]], NDArray[np.float64], NDArray[np.float64]]:
    """The kinds of units, the kinship of cocks and kinds, and what a unit adds to that when it meets itself."""
    alone = {unit for pair in apart for unit in pair}
    if not is_whole:
        # whether a hen gives too much depends on whether she is placed
        alone |= set(np.flatnonzero(each.most_share < 1).tolist())
    if is_whole or each.is_even:
        kinds = _kinds(each.kinship, cocks, each.marks, alone, is_whole=is_whole)
        kinship, own = _by_kind(each.kinship, cocks, kinds)
        # not convex: birds alike that are less related to each other than any number of such birds could be
        if is_whole or np.linalg.eigvalsh(kinship).min() >= -_ALIKE:
            return kinds, kinship, own
    kinds = [[unit] for unit in range(len(each.units))]
    return kinds, *_by_kind(each.kinship, cocks, kinds)


def _units(problem: Problem, hen_of: Mapping[BirdId, int]) -> tuple[list[tuple[int, ...]], bool]:
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
