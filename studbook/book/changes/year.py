"""Changes of the rows of the year: entering, correcting and withdrawing any of them."""

from collections import Counter
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select

from studbook.book.errors import Problem, RecordProblems
from studbook.book.husbandry.tables import TABLES, alter, drop, put, table_of
from studbook.book.husbandry.wording import row_word
from studbook.book.records import Snapshot
from studbook.book.writing import Writing
from studbook.words import _


@dataclass(frozen=True, slots=True)
class Enter:
    """Enter rows of the year. Rows may point to each other when they carry ids of their own."""

    rows: tuple[Any, ...]

    def label(self, before: Snapshot) -> str:
        return _("enter {what}").format(what=_named(self.rows))

    def write(self, writing: Writing) -> None:
        for row in self.rows:
            put(writing, row)


@dataclass(frozen=True, slots=True)
class Correct:
    """Change what differs between rows before and after; pairs are given in one order."""

    before: tuple[Any, ...]
    after: tuple[Any, ...]

    def label(self, before: Snapshot) -> str:
        return _("correct {what}").format(what=_named(self.before))

    def write(self, writing: Writing) -> None:
        for before, after in zip(self.before, self.after, strict=True):
            alter(writing, before, after)


@dataclass(frozen=True, slots=True)
class Withdraw:
    """Take rows of the year out of the book, when nothing else rests on them."""

    rows: tuple[Any, ...]

    def label(self, before: Snapshot) -> str:
        return _("withdraw {what}").format(what=_named(self.rows))

    def write(self, writing: Writing) -> None:
        leaving = {(type(row), row.id) for row in self.rows}
        for row in self.rows:
            _require_unused(writing, row, leaving)
        for row in self.rows:
            drop(writing, row)


def _named(rows: tuple[Any, ...]) -> str:
    """What rows are called together: "a sitting, 3 batches of eggs"."""
    counts = Counter(type(row) for row in rows)
    return ", ".join(row_word(kind, count) for kind, count in counts.items())


def _require_unused(writing: Writing, row: Any, leaving: set[tuple[type[Any], str]]) -> None:
    """Refuse to drop a row that others of the year point to, but those that leave with it."""
    model = table_of(row).model
    key = writing.key(model, row.id)
    for table in TABLES:
        for name, target in table.links.items():
            if target is not model:
                continue
            column = table.model.__table__.c[f"{name}_key"]
            uuids = writing.session.scalars(select(table.model.uuid).where(column == key)).all()
            if any((table.row, uuid) not in leaving for uuid in uuids):
                message = _("{what} cannot be taken out while {others} rest on it: take those out first.")
                text = message.format(what=row_word(type(row)), others=row_word(table.row, len(uuids)))
                raise RecordProblems((Problem("used", text[:1].upper() + text[1:]),))
