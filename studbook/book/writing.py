"""What a change may do inside the door's transaction: find keys and add rows."""

from collections.abc import Iterable
from typing import TypeVar

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from studbook.book import models
from studbook.book.clock import Ids
from studbook.book.errors import Problem, RecordProblems
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

    def reserve(self, model: type[models.Journaled], uuid: str = "") -> tuple[int, str]:
        """The key and the id of a row about to be added; an empty id is given one."""
        uuid = uuid or self._ids()
        if model not in self._next_key:
            self._next_key[model] = (self.session.scalar(select(func.max(model.key))) or 0) + 1
        key = self._next_key[model]
        self._next_key[model] += 1
        self._keys[model, uuid] = key
        return key, uuid

    def add(self, model: type[models.Journaled], uuid: str = "", **values: object) -> None:
        """Add a row; an empty id is given one."""
        key, uuid = self.reserve(model, uuid)
        self.session.add(model(key=key, uuid=uuid, **values))

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
