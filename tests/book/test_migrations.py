"""The schema of a book: what the steps make is what the models say, and a failing step changes nothing."""

import sqlite3
from pathlib import Path

import pytest
from sqlalchemy import create_engine

from studbook.book.migrations import SCHEMA_VERSION, STEPS, migrate
from studbook.book.models import Base
from tests.flock import founders, new_book


def schema(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Columns, keys and indexes of every table, apart from the order of columns and the search index."""
    with sqlite3.connect(path) as connection:
        tables = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        found = {}
        for table in tables:
            if table.startswith("bird_search"):
                continue
            columns = [row[1:] for row in connection.execute(f"PRAGMA table_info('{table}')")]
            keys = [row[2:] for row in connection.execute(f"PRAGMA foreign_key_list('{table}')")]
            indexes = [row[1:3] for row in connection.execute(f"PRAGMA index_list('{table}')")]
            found[table] = sorted(map(repr, [*columns, *keys, *indexes]))
    connection.close()
    return found  # type: ignore[return-value]


def test_the_steps_make_the_tables_of_the_models(tmp_path: Path) -> None:
    stepped, modelled = tmp_path / "stepped.db", tmp_path / "modelled.db"
    connection = sqlite3.connect(stepped, isolation_level=None)
    migrate(connection)
    connection.close()
    engine = create_engine(f"sqlite:///{modelled}")
    Base.metadata.create_all(engine)
    engine.dispose()
    assert schema(stepped) == schema(modelled)


def test_every_table_is_strict_and_every_constraint_named(tmp_path: Path) -> None:
    with new_book(tmp_path / "flock.db"):
        pass
    with sqlite3.connect(tmp_path / "flock.db") as connection:
        statements = [
            row[0]
            for row in connection.execute("SELECT sql FROM sqlite_master WHERE type = 'table'")
            if "bird_search" not in row[0]
        ]
    connection.close()
    assert len(statements) == len(Base.metadata.tables)
    for statement in statements:
        assert statement.rstrip().endswith("STRICT")
        assert statement.count("CONSTRAINT") == sum(
            statement.count(word) for word in ("PRIMARY KEY", "UNIQUE (", "FOREIGN KEY", "CHECK (")
        )


def test_a_step_that_fails_leaves_the_book_at_the_version_before_it(tmp_path: Path) -> None:
    book = new_book(tmp_path / "flock.db")
    founders(book)
    book.close()

    def half_done(connection: sqlite3.Connection) -> None:
        connection.execute("ALTER TABLE bird ADD COLUMN weight_g INTEGER")
        raise sqlite3.OperationalError("disk full")

    def orphaning(connection: sqlite3.Connection) -> None:
        connection.execute("DELETE FROM bird")

    before = schema(book.path)
    for step in (half_done, orphaning):
        connection = sqlite3.connect(book.path, isolation_level=None)
        with pytest.raises(sqlite3.Error):
            migrate(connection, (*STEPS, step))
        assert connection.execute("PRAGMA user_version").fetchone()[0] == SCHEMA_VERSION
        assert connection.execute("SELECT count(*) FROM bird").fetchone()[0] == 2
        assert connection.execute("PRAGMA foreign_keys").fetchone()[0] == 1
        connection.close()
    assert schema(book.path) == before


def test_a_step_keeps_the_rows_that_point_to_a_rebuilt_table(tmp_path: Path) -> None:
    book = new_book(tmp_path / "flock.db")
    founders(book)
    book.close()

    def rebuild(connection: sqlite3.Connection) -> None:
        definition = connection.execute("SELECT sql FROM sqlite_master WHERE name = 'bird'").fetchone()[0]
        connection.execute(definition.replace("CREATE TABLE bird", "CREATE TABLE bird_new"))
        connection.execute("INSERT INTO bird_new SELECT * FROM bird")
        connection.execute("DROP TABLE bird")
        connection.execute("ALTER TABLE bird_new RENAME TO bird")

    connection = sqlite3.connect(book.path, isolation_level=None)
    migrate(connection, (*STEPS, rebuild))
    assert connection.execute("SELECT count(*) FROM mark").fetchone()[0] == 2
    assert connection.execute("PRAGMA user_version").fetchone()[0] == SCHEMA_VERSION + 1
    connection.close()
