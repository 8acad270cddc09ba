"""The sample book is written by its script: the same rows every time, nothing else."""

import sqlite3
import subprocess
import sys
import zlib
from pathlib import Path
from typing import Any

import pytest

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


@pytest.mark.skipif(
    "ng" in zlib.ZLIB_RUNTIME_VERSION,
    reason="this zlib packs the portraits into other bytes of the same picture",
)
def test_the_committed_book_is_what_the_script_writes(built: Path) -> None:
    committed, fresh = rows(places.demo_flock()), rows(built)
    assert list(committed) == list(fresh)
    for table in committed:
        assert committed[table] == fresh[table], f"the table {table} differs"


def test_the_book_stays_small(built: Path) -> None:
    assert built.stat().st_size < 4_000_000


def test_the_script_refuses_to_overwrite(tmp_path: Path) -> None:
    there = tmp_path / "flock.db"
    there.write_bytes(b"mine")
    done = subprocess.run(
        [sys.executable, "-m", "studbook.demo", str(there)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert "flock.db" in done.stderr
    assert there.read_bytes() == b"mine"
