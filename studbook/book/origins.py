"""Origins that are related to each other, as sources of genes they share.

The assumed relationships γ of the origins form a matrix Γ. It is taken apart one origin after the other
(Cholesky), so that each part is a source from which several origins draw a share of their genes; what
is left of an origin's own γ is its own. Shares are never negative, so an order of origins is looked for
in which none becomes so: for three related origins there always is one, for more there nearly always is.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from studbook.book.records import Origin, OriginId, OriginRelation

_ROUNDING = 1e-12

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
    Legarra, Christensen, Vitezica, Aguilar & Misztal 2015, Genetics 200:455-468.
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
        for origin, column in taken:
            if len(column) == 1:
                own[origin] = column[origin]
                continue
            # shares are kept so small that those of one origin never exceed the whole
            scale = 1 / (len(group) * max(column.values()))
            variance = 1 / (column[origin] * scale**2)
            shared.append(SharedSource(variance, {one: part * scale for one, part in column.items()}))
            own[origin] = 0.0
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


def _taken_apart(
    left: _Matrix, vain: set[frozenset[OriginId]]
) -> list[tuple[OriginId, dict[OriginId, float]]] | None:
    """Each origin in turn with its column of what was left, or None where no order will do.

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
            return [(origin, known), *further]
    vain.add(frozenset(left))
    return None


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
