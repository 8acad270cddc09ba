"""A book of its own for each test, and lists read against it."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from studbook.book.changes.importing import ImportBirds
from studbook.book.door import Book
from studbook.book.importing.plan import ImportPlan
from studbook.book.importing.planning import read_list
from studbook.book.opening import create_book
from studbook.book.records import BookDetails

TODAY = date(2026, 11, 25)

Read = Callable[..., ImportPlan]


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """An empty book of chickens."""
    with create_book(tmp_path / "flock.db", BookDetails(id=""), today=TODAY) as book:
        yield book


@pytest.fixture
def read(book: Book, tmp_path: Path) -> Read:
    """Read a list, given as text or bytes, against `book`."""

    def read_text(content: str | bytes, **options: Any) -> ImportPlan:
        path = tmp_path / "list.csv"
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return read_list(path, book.snapshot(), ids=book.new_id, today=TODAY, **options)

    return read_text


@pytest.fixture
def import_list(book: Book, read: Read) -> Callable[[str], None]:
    """Import a list that has nothing wrong with it."""

    def import_text(content: str) -> None:
        plan = read(content)
        assert plan.problems == ()
        book.apply(ImportBirds.of(plan))

    return import_text


def sentences(plan: ImportPlan) -> list[tuple[int, str, str]]:
    """The errors of a plan as line, column and sentence."""
    return [(problem.line, problem.column, problem.message) for problem in plan.errors]
