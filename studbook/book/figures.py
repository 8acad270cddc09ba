"""The table of stored figures: a cache outside the journal, cleared by the door and never relied upon.

A figure is only ever used under the stamp of all it rests on (see `stored`), so a row that was not cleared
can be out of use but never wrong. Clearing keeps the table from growing.
"""

import json
from collections.abc import Iterable, Mapping

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from studbook.book import models
from studbook.book.journal import Image
from studbook.book.records import Bird, BirdId, Snapshot, StoredFigures

Kept = tuple[str, bytes]
"""The way and the stamp of a stored figure."""

_ROW = models.StoredDiagonalRow

_OF_LINES = """
WITH RECURSIVE line(key) AS (
    SELECT value FROM json_each(?)
    UNION SELECT parentage.bird_key FROM parentage JOIN line ON parentage.sire_key = line.key
    UNION SELECT parentage.bird_key FROM parentage JOIN line ON parentage.dam_key = line.key
)
DELETE FROM stored_diagonal WHERE bird_key IN (SELECT key FROM line) RETURNING way, stamp
"""

_INSERT = (
    "INSERT INTO stored_diagonal (way, stamp, bird_key, self_relationship, sampling_variance) "
    "VALUES (?, ?, ?, ?, ?)"
)


class FiguresInFile:
    """What the file holds, by way and stamp."""

    def __init__(self) -> None:
        self._ways: dict[str, dict[bytes, tuple[float, float]]] = {}

    @property
    def by_stamp(self) -> Mapping[bytes, tuple[float, float]]:
        """The figures of every way together: what rests on the same is the same."""
        return {stamp: figures for way in self._ways.values() for stamp, figures in way.items()}

    def read(self, session: Session) -> Mapping[bytes, tuple[float, float]]:
        """Everything the file holds."""
        self._ways = {}
        columns = (_ROW.way, _ROW.stamp, _ROW.self_relationship, _ROW.sampling_variance)
        for way, stamp, own, variance in session.execute(select(*columns)):
            self._ways.setdefault(way, {})[stamp] = (own, variance)
        return self.by_stamp

    def write(self, session: Session, figures: StoredFigures) -> None:
        """Make the rows of a way those of `figures`."""
        old = self._ways.get(figures.way, {})
        connection = session.connection()
        gone = [(figures.way, stamp) for stamp in old.keys() - figures.by_stamp.keys()]
        if gone:
            connection.exec_driver_sql("DELETE FROM stored_diagonal WHERE way = ? AND stamp = ?", gone)
        keys = {uuid: key for key, uuid in session.execute(select(models.BirdRow.key, models.BirdRow.uuid))}
        rows = [
            (figures.way, stamp, keys.get(figures.birds.get(stamp, "")), own, variance)
            for stamp, (own, variance) in figures.by_stamp.items()
            if stamp not in old
        ]
        if rows:
            connection.exec_driver_sql(_INSERT, rows)

    def keep(self, figures: StoredFigures) -> None:
        """Note that the file now holds `figures`."""
        self._ways[figures.way] = dict(figures.by_stamp)

    def forget(self, cleared: Iterable[Kept]) -> None:
        """Note what the file no longer holds."""
        for way, stamp in cleared:
            self._ways.get(way, {}).pop(stamp, None)


def clear_figures(
    session: Session, before: Snapshot, after: Snapshot, touched: Iterable[BirdId], images: Iterable[Image]
) -> list[Kept]:
    """Delete the figures of birds a change has altered and of all their descendants; which these were.

    An unknown parent's pool may change as well without any row of its chick: such figures lie under
    another stamp from then on, and go when the next are kept.
    """
    if _relationships(before) != _relationships(after):
        rows = session.execute(delete(_ROW).returning(_ROW.way, _ROW.stamp))
        return [(way, stamp) for way, stamp in rows]
    old = {bird.id: bird for bird in (*before.birds, *before.struck)}
    new = {bird.id: bird for bird in (*after.birds, *after.struck)}
    altered = {bird for bird in touched if _rests_on(old.get(bird)) != _rests_on(new.get(bird))}
    keys = [
        (image.after or image.before or {})["key"]
        for image in images
        if image.table == models.BirdRow.__tablename__ and image.uuid in altered
    ]
    ids = list(altered)
    for start in range(0, len(ids), 500):
        query = select(models.BirdRow.key).where(models.BirdRow.uuid.in_(ids[start : start + 500]))
        keys += session.scalars(query)
    if not keys:
        return []
    found = session.connection().exec_driver_sql(_OF_LINES, (json.dumps(keys),))
    return [(way, stamp) for way, stamp in found]


def _relationships(snapshot: Snapshot) -> object:
    """What is assumed of the origins."""
    own = {origin.id: origin.self_relationship for origin in snapshot.origins if origin.self_relationship}
    return own, snapshot.origin_relations


def _rests_on(bird: Bird | None) -> object:
    """What of a bird its own figures or those of its possible offspring rest on."""
    if bird is None:
        return None
    return (
        bird.pairs,
        bird.origin,
        bird.founder,
        bird.placeholder,
        bird.species,
        bird.sex,
        bird.hatched,
        bird.arrived,
        bird.status,
        bird.left,
        bird.struck,
    )
