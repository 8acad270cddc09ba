"""Imports a list and stops at a named point, saying so on a line, to be killed there.

Run as ``python -m tests.book.importing.stopped_import BOOK LIST POINT``.
"""

import sys
from datetime import date
from pathlib import Path

from sqlalchemy import event
from sqlalchemy.orm import Session

from studbook.book.changes.importing import ImportBirds
from studbook.book.importing.planning import read_list
from studbook.book.opening import open_book
from studbook.book.records import Snapshot
from studbook.book.writing import Writing

POINTS = ("writing", "flushed", "committing")


class StoppingImport:
    """The import of a list, telling where it is."""

    def __init__(self, change: ImportBirds) -> None:
        self._change = change

    def label(self, before: Snapshot) -> str:
        return self._change.label(before)

    def write(self, writing: Writing) -> None:
        self._change.write(writing)
        arrive("writing")


def arrive(point: str) -> None:
    """Say that `point` is reached and, if it is the one asked for, wait for the end."""
    print(point, flush=True)
    if point == sys.argv[3]:
        sys.stdin.read()


def main() -> None:
    event.listen(Session, "after_flush", lambda *_: arrive("flushed"))
    event.listen(Session, "before_commit", lambda *_: arrive("committing"))
    with open_book(Path(sys.argv[1])) as book:
        plan = read_list(Path(sys.argv[2]), book.snapshot(), ids=book.new_id, today=date(2026, 11, 25))
        book.apply(StoppingImport(ImportBirds.of(plan)))
    print("done", flush=True)


if __name__ == "__main__":
    main()
