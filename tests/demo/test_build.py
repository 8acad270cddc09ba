"""The sample book is written by its script: the same rows every time, nothing else."""

import json
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

from studbook import places

HIDDEN = ("bird_search_", "sqlite_")
"""What the search index and SQLite keep for themselves."""


def rows(path: Path) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every table of a book."""
    connection = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    try:
        tables = [
            name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        ]
        return {
            table: sorted(connection.execute(f"SELECT * FROM {table}").fetchall(), key=repr)
            for table in tables
            if not table.startswith(HIDDEN)
        }
    finally:
        connection.close()


def journal(path: Path) -> list[tuple[Any, ...]]:
    """The journal without its hashes, the rows of each entry in order.

    The rows of one change stand in the journal as the database session gave them out, in no fixed order, and the
    hash chain follows.
    """
    connection = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    try:
        query = "SELECT number, at, kind, label, why, images FROM journal ORDER BY number"
        entries = connection.execute(query).fetchall()
    finally:
        connection.close()
    return [(*entry, sorted(json.loads(images), key=repr)) for *entry, images in entries]


def test_the_committed_book_is_what_the_script_writes(built: Path) -> None:
    committed, fresh = rows(places.demo_flock()), rows(built)
    committed.pop("journal"), fresh.pop("journal")
    assert list(committed) == list(fresh)
    for table in committed:
        assert committed[table] == fresh[table], f"the table {table} differs"


def test_the_committed_journal_tells_the_same_story(built: Path) -> None:
    assert journal(places.demo_flock()) == journal(built)


def test_the_book_stays_small(built: Path) -> None:
    assert built.stat().st_size < 3_000_000


def test_the_script_refuses_to_overwrite(tmp_path: Path) -> None:
    there = tmp_path / "flock.db"
    there.write_bytes(b"mine")
    done = subprocess.run(
        [sys.executable, "-m", "studbook.demo", str(there)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert "flock.db" in done.stderr
    assert there.read_bytes() == b"mine"
