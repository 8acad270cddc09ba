"""The journal: what each change did to which rows, chained by hash; undo and redo read it back.

An entry's images are the raw values of the file, so that taking a change back is exact whatever the
program's types become. Undo applies what was before only where the row still is what the change left.
"""

import hashlib
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cache
from typing import Any

from sqlalchemy import event, inspect, select
from sqlalchemy.engine import Dialect
from sqlalchemy.orm import Session, UOWTransaction
from sqlalchemy.sql.schema import ScalarElementColumnDefault

from studbook.book import models
from studbook.book.migrations import SCHEMA_VERSION
from studbook.book.records import EntryKind

Values = dict[str, Any]
_BATCH = 500


@dataclass(slots=True)
class Image:
    """One row before and after a change; None where it did not exist."""

    table: str
    uuid: str
    before: Values | None
    after: Values | None

    def reversed(self) -> "Image":
        """The image of taking it back."""
        return Image(self.table, self.uuid, self.after, self.before)


@dataclass
class Recorder:
    """Watches one session and keeps the image of every journaled row it alters or deletes.

    New rows are written by `studbook.book.writing.Writing.insert`, which gives their images itself.
    """

    session: Session
    images: dict[tuple[str, str], Image] = field(default_factory=dict)

    def __post_init__(self) -> None:
        event.listen(self.session, "before_flush", self._before_flush)
        event.listen(self.session, "after_flush", self._after_flush)

    def _before_flush(self, session: Session, context: UOWTransaction, instances: object) -> None:
        dialect = session.get_bind().dialect
        for row in [*session.dirty, *session.deleted]:
            if isinstance(row, models.Journaled) and (row.__tablename__, row.uuid) not in self.images:
                self._image(row).before = _committed(row, dialect)

    def _after_flush(self, session: Session, context: UOWTransaction) -> None:
        dialect = session.get_bind().dialect
        for row in session.dirty:
            if isinstance(row, models.Journaled):
                self._image(row).after = _current(row, dialect)
        for row in session.deleted:
            if isinstance(row, models.Journaled):
                self._image(row).after = None

    def _image(self, row: models.Journaled) -> Image:
        key = (row.__tablename__, row.uuid)
        return self.images.setdefault(key, Image(row.__tablename__, row.uuid, None, None))

    def changed(self) -> list[Image]:
        """The images whose row is not what it was, in an order that repeats: a session's own does not."""
        found = [image for image in self.images.values() if image.before != image.after]
        return sorted(found, key=lambda image: (image.table, (image.after or image.before or {})["key"]))


@cache
def to_file(
    model: type[models.Journaled], dialect: Dialect
) -> tuple[tuple[str, Callable[[Any], Any], Any], ...]:
    """For each column the function that turns its value into what the file holds, and its default value."""

    def as_it_is(value: Any) -> Any:
        return value

    return tuple(
        (
            key,
            column.type.dialect_impl(dialect).bind_processor(dialect) or as_it_is,
            column.default.arg if isinstance(column.default, ScalarElementColumnDefault) else None,
        )
        for key, column in inspect(model).columns.items()
    )


def _current(row: models.Journaled, dialect: Dialect) -> Values:
    return {key: convert(getattr(row, key)) for key, convert, _default in to_file(type(row), dialect)}


def _committed(row: models.Journaled, dialect: Dialect) -> Values:
    state = inspect(row)
    values: Values = {}
    for key, convert, _default in to_file(type(row), dialect):
        history = state.attrs[key].history
        values[key] = convert(history.deleted[0] if history.deleted else getattr(row, key))
    return values


def write_entry(
    session: Session,
    images: list[Image],
    *,
    at: datetime,
    kind: EntryKind,
    label: str,
    why: str = "",
    target: int | None = None,
) -> models.EntryRow:
    """Add the entry of one change, chained to the entry before it."""
    last = session.scalars(select(models.EntryRow).order_by(models.EntryRow.number.desc()).limit(1)).first()
    row = models.EntryRow(
        number=(last.number if last else 0) + 1,
        at=at.astimezone(UTC).isoformat(timespec="seconds"),
        kind=kind,
        target=target,
        label=label,
        why=why,
        schema_version=SCHEMA_VERSION,
        images=json.dumps(
            [[image.table, image.uuid, image.before, image.after] for image in images],
            ensure_ascii=False,
            separators=(",", ":"),
        ),
    )
    row.hash = entry_hash(row, last.hash if last else "")
    session.add(row)
    return row


def entry_hash(row: models.EntryRow, before: str) -> str:
    """The SHA-256 that chains an entry to the hash `before` it."""
    parts = (before, row.number, row.at, str(row.kind), row.target, row.label, row.why, row.schema_version)
    text = json.dumps([*parts, row.images], ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def images_of(row: models.EntryRow) -> list[Image]:
    """The row images an entry holds."""
    return [Image(*parts) for parts in json.loads(row.images)]


def broken_link(session: Session) -> int | None:
    """The number of the first entry whose hash does not fit, or None when the chain is whole."""
    before, expected = "", 1
    for row in session.scalars(select(models.EntryRow).order_by(models.EntryRow.number)).yield_per(100):
        if row.number != expected or row.hash != entry_hash(row, before):
            return expected
        before, expected = row.hash, expected + 1
    return None


@dataclass
class Stacks:
    """The changes that can be taken back and made again, last on top."""

    done: list[int] = field(default_factory=list)
    undone: list[int] = field(default_factory=list)

    def note(self, number: int, kind: EntryKind, target: int | None) -> None:
        """Follow one entry of the journal."""
        if kind is EntryKind.CHANGE:
            self.done.append(number)
            self.undone.clear()
        elif kind is EntryKind.UNDO and target is not None:
            self.done.remove(target)
            self.undone.append(target)
        elif target is not None:
            self.undone.remove(target)
            self.done.append(target)


def read_stacks(session: Session) -> Stacks:
    """The stacks as the whole journal leaves them."""
    stacks = Stacks()
    columns = (models.EntryRow.number, models.EntryRow.kind, models.EntryRow.target)
    for number, kind, target in session.execute(select(*columns).order_by(models.EntryRow.number)):
        stacks.note(number, kind, target)
    return stacks


def collisions(session: Session, images: list[Image]) -> list[Image]:
    """The images whose row no longer is what the change left."""
    return [
        image
        for table, of_table in _by_table(images)
        for image, stored in _stored(session, table, of_table)
        if stored != image.after
    ]


def take_back(session: Session, images: list[Image]) -> list[Image]:
    """Put every row back to what it was before; the images of doing so, in the order applied."""
    turned = [image.reversed() for image in reversed(images)]
    connection = session.connection()
    for table, of_table in _by_table(turned):
        # names of tables and columns come from our own schema, values are bound
        gone = [(image.uuid,) for image in of_table if image.after is None]
        if gone:
            connection.exec_driver_sql(f'DELETE FROM "{table}" WHERE uuid = ?', gone)
        made = [image.after for image in of_table if image.before is None and image.after is not None]
        for names, rows in _by_columns(made):
            columns, places = ", ".join(f'"{name}"' for name in names), ", ".join("?" for _name in names)
            connection.exec_driver_sql(f'INSERT INTO "{table}" ({columns}) VALUES ({places})', rows)
        kept = [image.after for image in of_table if image.before is not None and image.after is not None]
        for names, rows in _by_columns(kept):
            sets = ", ".join(f'"{name}" = ?' for name in names)
            place = names.index("uuid")
            keyed = [(*row, row[place]) for row in rows]
            connection.exec_driver_sql(f'UPDATE "{table}" SET {sets} WHERE uuid = ?', keyed)
    return turned


def _by_table(images: list[Image]) -> list[tuple[str, list[Image]]]:
    """The images of each table; foreign keys are checked at the end, so tables may be taken one by one."""
    found: dict[str, list[Image]] = {}
    for image in images:
        found.setdefault(image.table, []).append(image)
    return list(found.items())


def _by_columns(rows: list[Values]) -> list[tuple[tuple[str, ...], list[tuple[Any, ...]]]]:
    """The values of rows that have the same columns; an old entry may lack a column of today."""
    found: dict[tuple[str, ...], list[tuple[Any, ...]]] = {}
    for row in rows:
        found.setdefault(tuple(row), []).append(tuple(row.values()))
    return list(found.items())


def _stored(session: Session, table: str, images: list[Image]) -> Iterator[tuple[Image, Values | None]]:
    """Each image with the row as the file holds it now."""
    for start in range(0, len(images), _BATCH):
        batch = images[start : start + _BATCH]
        places = ", ".join("?" for _image in batch)
        statement = f'SELECT * FROM "{table}" WHERE uuid IN ({places})'
        result = session.connection().exec_driver_sql(statement, tuple(image.uuid for image in batch))
        rows = {row["uuid"]: dict(row) for row in result.mappings()}
        for image in batch:
            yield image, rows.get(image.uuid)
