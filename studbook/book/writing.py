"""What a change may do inside the door's transaction: find keys and add rows."""

from collections.abc import Iterable
from typing import Any, TypeVar

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from studbook.book import models
from studbook.book.clock import Ids
from studbook.book.errors import Problem, RecordProblems
from studbook.book.journal import Image, to_file
from studbook.book.records import Snapshot
from studbook.words import _

R = TypeVar("R", bound=models.Journaled)


class Writing:
    """One change being written.

    Attributes
    ----------
    session
        The open session of the door's transaction.
    before
        The book as it stood before the change.
    """

    def __init__(self, session: Session, before: Snapshot, ids: Ids) -> None:
        self.session = session
        self.before = before
        self._ids = ids
        self._keys: dict[tuple[type[models.Journaled], str], int] = {}
        self._next_key: dict[type[models.Journaled], int] = {}
        self._new: dict[type[models.Journaled], list[dict[str, Any]]] = {}

    def reserve(self, model: type[models.Journaled], uuid: str = "") -> tuple[int, str]:
        """The key and the id of a row about to be added; an empty id is given one."""
        uuid = uuid or self._ids()
        if model not in self._next_key:
            self._next_key[model] = (self.session.scalar(select(func.max(model.key))) or 0) + 1
        key = self._next_key[model]
        self._next_key[model] += 1
        self._keys[model, uuid] = key
        return key, uuid

    def fresh_id(self) -> str:
        """An id for a row that others of the same change will point to."""
        return self._ids()

    def add(self, model: type[models.Journaled], uuid: str = "", **values: object) -> None:
        """Add a row; an empty id is given one."""
        key, uuid = self.reserve(model, uuid)
        self.add_reserved(model, key, uuid, **values)

    def add_reserved(self, model: type[models.Journaled], key: int, uuid: str, **values: object) -> None:
        """Add a row under a key reserved before."""
        self._new.setdefault(model, []).append({"key": key, "uuid": uuid, **values})

    def insert(self) -> list[Image]:
        """Write the rows added so far, each table in one statement; their images.

        Ten thousand birds are thirty thousand rows: as objects of the session they took three times as long.
        """
        images: list[Image] = []
        connection = self.session.connection()
        for model, rows in self._new.items():
            columns = to_file(model, connection.dialect)
            raw = [
                {name: convert(row.get(name, default)) for name, convert, default in columns} for row in rows
            ]
            names = ", ".join(f'"{name}"' for name, _convert, _default in columns)
            places = ", ".join("?" for _column in columns)
            statement = f'INSERT INTO "{model.__tablename__}" ({names}) VALUES ({places})'
            connection.exec_driver_sql(statement, [tuple(values.values()) for values in raw])
            images += [Image(model.__tablename__, values["uuid"], None, values) for values in raw]
        self._new.clear()
        return images

    def key(self, model: type[models.Journaled], uuid: str) -> int:
        """The key of the row with this id.

        Raises
        ------
        RecordProblems
            If the book has no such row.
        """
        key = self._keys.get((model, uuid))
        if key is None:
            key = self.session.scalar(select(model.key).where(model.uuid == uuid))
            if key is None:
                raise _missing(uuid)
            self._keys[model, uuid] = key
        return key

    def key_or_none(self, model: type[models.Journaled], uuid: str | None) -> int | None:
        """The key of the row with this id, None for no id."""
        return None if uuid is None else self.key(model, uuid)

    def row(self, model: type[R], uuid: str) -> R:
        """The row with this id.

        Raises
        ------
        RecordProblems
            If the book has no such row.
        """
        found = self.session.scalars(select(model).where(model.uuid == uuid)).one_or_none()
        if found is None:
            raise _missing(uuid)
        return found

    def rows(self, model: type[R], uuids: Iterable[str]) -> list[R]:
        """The rows with these ids, in their order."""
        return [self.row(model, uuid) for uuid in uuids]


def _missing(uuid: str) -> RecordProblems:
    message = _("What you are changing is no longer in the book: undo brings it back.")
    return RecordProblems((Problem("missing", message, (f"#{uuid[:8]}",)),))


def write_differences(row: models.Journaled, before: object, after: object, fields: Iterable[str]) -> None:
    """Set those of `fields` on `row` in which `after` differs from `before`."""
    for field in fields:
        if getattr(after, field) != getattr(before, field):
            setattr(row, field, getattr(after, field))
