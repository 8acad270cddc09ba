"""How the birds of a yard are assumed to be related, with each other and with those of other yards."""

from collections.abc import Iterator

from studbook.book.records import Origin, OriginId, OriginRelation, Snapshot


def assumed(snapshot: Snapshot, origin: OriginId, other: OriginId | None = None) -> float:
    """The γ the book assumes of an origin's birds with each other, or with those of an `other` origin.

    Raises
    ------
    KeyError
        If the book has no such origin.
    """
    origins = {each.id: each for each in snapshot.origins}
    if other is None:
        return origins[origin].self_relationship
    pair = OriginRelation.between(origins[origin].id, origins[other].id, 0.0)
    return next(
        (
            each.relationship
            for each in snapshot.origin_relations
            if (each.origin, each.other) == (pair.origin, pair.other)
        ),
        0.0,
    )


def related_origins(snapshot: Snapshot, origin: OriginId) -> Iterator[Origin]:
    """The origins whose birds are assumed to be related with those of this one, in order of the book."""
    for other in snapshot.origins:
        if other.id != origin and assumed(snapshot, origin, other.id) > 0:
            yield other
