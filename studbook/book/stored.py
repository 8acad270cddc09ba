"""Figures of inbreeding kept from one opening of a book to the next, and found again by stamps.

What the engine needs of a bird, its self-relationship and its sampling variance, follows from its line of
ancestors alone. A stamp is a hash over that whole line: each node's stamp covers who it is, the stamps of
its possible parents and their weights. So a figure under a stamp is right whatever has changed elsewhere,
in both ways of taking unknown parents, and a bird whose line has changed in the least has another stamp.
"""

from collections.abc import Callable
from hashlib import blake2b

import numpy as np
from numpy.typing import NDArray

from studbook.book.pedigree import BookPedigree
from studbook.book.records import Snapshot, StoredFigures
from studbook.genetics.inbreeding import Diagonals, completed, diagonals
from studbook.genetics.pedigree import UNKNOWN

VERSION = b"diagonals 1"
"""Part of every stamp: to be raised when the figures of the same line come out otherwise."""

_STAMP_BYTES = 16
_NOT_STORED = (np.nan, np.nan)


def stamps(book: BookPedigree, snapshot: Snapshot) -> list[bytes]:
    """The stamp of each node of a pedigree."""
    pedigree = book.pedigree
    first, sire, dam = pedigree.first.tolist(), pedigree.sire.tolist(), pedigree.dam.tolist()
    weight, names = pedigree.weight, _names(book, snapshot)
    # the last place stands for UNKNOWN, which is -1
    found = [b""] * len(names) + [bytes(_STAMP_BYTES)]
    for node, name in enumerate(names):
        begin, end = first[node], first[node + 1]
        if end - begin == 1:
            line = found[sire[begin]] + found[dam[begin]]
        else:
            # sorted, since the order of candidates is that of the birds in the snapshot
            line = b"".join(
                sorted(
                    found[sire[pair]] + found[dam[pair]] + weight[pair : pair + 1].tobytes()
                    for pair in range(begin, end)
                )
            )
        found[node] = blake2b(name + line, digest_size=_STAMP_BYTES, person=VERSION).digest()
    return found[:-1]


def _names(book: BookPedigree, snapshot: Snapshot) -> list[bytes]:
    """What makes each node itself, beside its parents."""
    names = [b""] * len(book.pedigree)
    for node, row in enumerate(book.rows.tolist()):
        if row != UNKNOWN:
            names[node] = b"bird %b\0" % snapshot.birds[row].id.encode()
    for node in np.flatnonzero(book.rows == UNKNOWN).tolist():
        origins = (book.origins[node],) if node in book.origins else book.sources.get(node, ())
        variance = book.pedigree.variance[node].tobytes()
        names[node] = b"%d %b\0%b" % (node in book.sources, "\0".join(origins).encode(), variance)
    return names


def known_diagonals(
    book: BookPedigree, snapshot: Snapshot, progress: Callable[[float], None] | None = None
) -> Diagonals:
    """The diagonals of a pedigree: those stored with the snapshot, and the others found now.

    `progress` hears the share done; an exception it raises ends the work.
    """
    stored = snapshot.stored
    if not stored:
        return diagonals(book.pedigree, progress)
    known: NDArray[np.float64] = np.array(
        [stored.get(stamp, _NOT_STORED) for stamp in stamps(book, snapshot)], dtype=np.float64
    )
    own, variance = known.reshape(-1, 2).T.copy()
    return completed(book.pedigree, Diagonals(own, variance), progress)


def figures_to_store(
    way: str, book: BookPedigree, snapshot: Snapshot, known: Diagonals
) -> StoredFigures | None:
    """All figures of a pedigree under their stamps, or None when the snapshot has them all already."""
    names = stamps(book, snapshot)
    if all(name in snapshot.stored for name in names):
        return None
    numbers = zip(known.self_relationship.tolist(), known.sampling_variance.tolist(), strict=True)
    birds = {
        name: snapshot.birds[row].id
        for name, row in zip(names, book.rows.tolist(), strict=True)
        if row != UNKNOWN
    }
    return StoredFigures(
        snapshot.details.id, snapshot.entry, way, dict(zip(names, numbers, strict=True)), birds
    )
