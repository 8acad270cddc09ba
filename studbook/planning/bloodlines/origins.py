"""What an assumed relationship of the birds of one yard would do to the figures, before it is applied."""

from studbook.book.records import OriginId, Snapshot
from studbook.book.relatedness import Unknown
from studbook.planning.bloodlines.report import OriginEffect


def effect_of_origin(
    snapshot: Snapshot,
    origin: OriginId,
    gamma: float,
    *,
    unknown: Unknown = Unknown.FLOCK,
    species: str | None = None,
) -> OriginEffect:
    """The figures of the living flock as they are and with γ of the origin's birds at `gamma` (0 to 2).

    Two birds of the origin are then taken to be related by γ/2. Nothing is saved.

    Raises
    ------
    KeyError
        If the book has no such origin.
    ValueError
        If `gamma` is out of range.
    """
    raise NotImplementedError
