"""The schema of a book, step by step: ``PRAGMA user_version`` counts the steps taken."""

import sqlite3
from collections.abc import Callable, Sequence

from studbook.book.migrations import m0001, m0002, m0003, m0004

Step = Callable[[sqlite3.Connection], None]

STEPS: tuple[Step, ...] = (
    m0001.create_tables,
    m0002.relate_origins,
    m0003.create_tables,
    m0004.create_tables,
)
SCHEMA_VERSION = len(STEPS)


def migrate(connection: sqlite3.Connection, steps: Sequence[Step] = STEPS) -> None:
    """Take every step the book has not taken, each in a transaction of its own.

    The connection must be in autocommit mode. Foreign keys are off while tables are rebuilt and are
    checked before each commit; a step that fails leaves the book at the version before it.

    Raises
    ------
    sqlite3.IntegrityError
        If a step leaves a row that refers to nothing.
    """
    connection.execute("PRAGMA foreign_keys=OFF")
    try:
        taken = connection.execute("PRAGMA user_version").fetchone()[0]
        for version, step in enumerate(steps[taken:], taken + 1):
            connection.execute("BEGIN IMMEDIATE")
            try:
                step(connection)
                if connection.execute("PRAGMA foreign_key_check").fetchall():
                    raise sqlite3.IntegrityError(f"schema step {version} left a row that refers to nothing")
                connection.execute(f"PRAGMA user_version={version}")
                connection.execute("COMMIT")
            except BaseException:
                connection.execute("ROLLBACK")
                raise
    finally:
        connection.execute("PRAGMA foreign_keys=ON")
