"""Origins that are related to each other, as sources of genes they share.

The assumed relationships γ of the origins form a matrix Γ. It is taken apart one origin after the other
(Cholesky), so that each part is a source from which several origins draw a share of their genes; what
is left of an origin's own γ is its own. Shares are never negative, so an order of origins is looked for
in which none becomes so. Where there is none, as in a ring of four, what is left is taken apart into a
source for each two related origins, if their own γ suffice: where no three origins are all related with
each other, that finds sources whenever there are any.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from studbook.book.records import Origin, OriginId, OriginRelation

_ROUNDING = 1e-12
_SLACK = 1e-13
"""So much more of their own γ the origins of pairs are lent: they may need it to the last digit."""

_Matrix = dict[OriginId, dict[OriginId, float]]


@dataclass(frozen=True, slots=True)
class SharedSource:
    """A source of genes several origins share: their relationship by it is share · share · variance."""

    variance: float
    shares: Mapping[OriginId, float]


@dataclass(frozen=True, slots=True)
class OriginSources:
    """The sources of the origins of a book, and the variance of each origin beyond what they explain."""

    own: Mapping[OriginId, float]
    shared: tuple[SharedSource, ...]


def origin_sources(origins: Iterable[Origin], relations: Sequence[OriginRelation]) -> OriginSources:
    """The sources that give each origin its γ and each pair of origins theirs, exactly.

    Raises
    ------
    ValueError
        If no birds can be related so; the second argument holds the ids of the origins.

    References
    ----------
    Legarra, Christensen, Vitezica, Aguilar & Misztal 2015, Genetics 200:455-468. Drew, Johnson & Loewy
    1994, Linear and Multilinear Algebra 37:303-310 (pairs suffice where no three are related with each
    other).
    """
    own = {origin.id: origin.self_relationship for origin in origins}
    shared: list[SharedSource] = []
    for group in _groups(relations):
        left = {one: dict.fromkeys(group, 0.0) for one in group}
        for one in group:
            left[one][one] = own.get(one, 0.0)
        for relation in relations:
            if relation.origin in left:
                left[relation.origin][relation.other] = relation.relationship
                left[relation.other][relation.origin] = relation.relationship
        taken = _taken_apart(left, set())
        if taken is None:
            raise ValueError("the relationships of some origins contradict each other", tuple(group))
        own.update(dict.fromkeys(group, 0.0))
        several = [part for part in taken if len(part.column) > 1]
        for part in taken:
            if len(part.column) == 1:
                ((origin, value),) = part.column.items()
                own[origin] += value**2 * part.variance
                continue
            # shares are kept so small that those of one origin stay below the whole
            scale = 1 / ((len(several) + 1) * max(part.column.values()))
            shares = {one: value * scale for one, value in part.column.items()}
            shared.append(SharedSource(part.variance / scale**2, shares))
    return OriginSources(own, tuple(shared))


def _groups(relations: Iterable[OriginRelation]) -> Iterator[list[OriginId]]:
    """The origins related with each other, directly or by others, each group in order of ids."""
    group_of: dict[OriginId, set[OriginId]] = {}
    for relation in relations:
        joined = {relation.origin, relation.other}
        joined |= group_of.get(relation.origin, set()) | group_of.get(relation.other, set())
        group_of.update(dict.fromkeys(joined, joined))
    for origin in sorted(group_of):
        if origin == min(group_of[origin]):
            yield sorted(group_of[origin])


@dataclass(frozen=True, slots=True)
class _Part:
    """What some origins share: two of them are related by it by column · column · variance."""

    column: Mapping[OriginId, float]
    variance: float


def _taken_apart(left: _Matrix, vain: set[frozenset[OriginId]]) -> list[_Part] | None:
    """The parts that add up to what was left of Γ, or None if there are none.

    What is left depends on who is left, not on the order, so none of the sets in `vain` is tried again.
    """
    if not left:
        return []
    if frozenset(left) in vain:
        return None
    for origin, column in left.items():
        rest = _without(left, origin, column)
        further = None if rest is None else _taken_apart(rest, vain)
        if further is not None:
            known = {other: part for other, part in column.items() if part > _ROUNDING or other == origin}
            return [_Part(known, 1 / column[origin]), *further] if column[origin] > _ROUNDING else further
    pairs = _in_pairs(left)
    if pairs is None:
        vain.add(frozenset(left))
    return pairs


def _in_pairs(left: _Matrix) -> list[_Part] | None:
    """A part for each two related origins and one for each alone; None if their own γ do not suffice.

    With weights d > 0 such that each own γ_ii d_i is at least Σ γ_ij d_j, two origins take γ_ij d_j / d_i
    and γ_ij d_i / d_j of their own.
    """
    if any(column[one] <= _ROUNDING for one, column in left.items()):
        return None
    weights = _weights(left)
    if weights is None:
        return None
    parts = []
    rest = {one: column[one] for one, column in left.items()}
    names = list(left)
    for number, one in enumerate(names):
        for other in names[:number]:
            related = left[one][other]
            if related > _ROUNDING:
                rest[one] -= related * weights[other] / weights[one]
                rest[other] -= related * weights[one] / weights[other]
                column = {one: 1 / weights[one], other: 1 / weights[other]}
                parts.append(_Part(column, related * weights[one] * weights[other]))
    if min(rest.values()) < -_ROUNDING:
        return None
    return [*parts, *(_Part({one: 1.0}, value) for one, value in rest.items() if value > _ROUNDING)]


def _weights(left: _Matrix) -> dict[OriginId, float] | None:
    """The solution d of γ_ii d_i - Σ γ_ij d_j = γ_ii if it is positive, by elimination."""
    names = list(left)
    lines = [
        [(1 + _SLACK) * left[one][one] if one == other else -left[one][other] for other in names]
        + [left[one][one]]
        for one in names
    ]
    for number, line in enumerate(lines):
        if line[number] <= 0:
            return None
        for below in lines[number + 1 :]:
            share = below[number] / line[number]
            for place in range(number, len(line)):
                below[place] -= share * line[place]
    found = [0.0] * len(names)
    for number in range(len(names) - 1, -1, -1):
        line = lines[number]
        known = sum(line[place] * found[place] for place in range(number + 1, len(names)))
        found[number] = (line[-1] - known) / line[number]
    return dict(zip(names, found, strict=True)) if min(found) > 0 else None


def _without(left: _Matrix, origin: OriginId, column: Mapping[OriginId, float]) -> _Matrix | None:
    """What is left when all that comes by one origin is taken away; None if something falls below 0."""
    whole = column[origin]
    others = [other for other in left if other != origin]
    if whole <= _ROUNDING:
        if whole < -_ROUNDING or any(column[other] > _ROUNDING for other in others):
            return None
        return {one: {other: left[one][other] for other in others} for one in others}
    rest: _Matrix = {one: {} for one in others}
    for one in others:
        for other in others:
            part = left[one][other] - column[one] * column[other] / whole
            if part < -_ROUNDING:
                return None
            rest[one][other] = max(part, 0.0)
    return rest
