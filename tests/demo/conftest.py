"""The sample book built once, and the committed one, both read without being changed."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from studbook import places
from studbook.book.door import Book
from studbook.book.opening import SAMPLE_TODAY, open_book
from studbook.book.records import Snapshot
from studbook.demo.flock import build_flock


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A sample book written by this run."""
    path = tmp_path_factory.mktemp("demo") / "flock.db"
    build_flock(path)
    return path


@pytest.fixture(scope="session")
def committed() -> Iterator[Book]:
    """The sample book that ships with the program, open for reading only."""
    with open_book(places.demo_flock(), read_only=True, today=SAMPLE_TODAY) as book:
        yield book


@pytest.fixture(scope="session")
def flock(committed: Book) -> Snapshot:
    """Everything in the sample book."""
    return committed.snapshot()
