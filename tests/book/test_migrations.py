"""The schema of a book: what the steps make is what the models say, and a failing step changes nothing."""

import shutil
import sqlite3
from pathlib import Path

import pytest
from sqlalchemy import create_engine

from studbook.book.door import Book
from studbook.book.errors import BookUnusable
from studbook.book.migrations import SCHEMA_VERSION, STEPS, migrate
from studbook.book.models import Base
from studbook.book.opening import open_book
from studbook.book.relatedness import Relatedness
from tests.flock import TODAY, founders, new_book


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


RELEASED = sorted((Path(__file__).parent / "released").glob("*.db"))


@pytest.mark.parametrize("released", RELEASED, ids=lambda path: path.stem)
def test_a_released_book_opens_as_it_was_written(tmp_path: Path, released: Path) -> None:
    """It is migrated, found whole, its figures are the same, and its last change can be taken back."""
    path = tmp_path / released.name
    shutil.copyfile(released, path)
    with open_book(path, today=TODAY) as book:
        assert book.check() == ()
        inbreeding = figures(book)
        assert inbreeding == pytest.approx(
            {
                # of a yard with γ = 0.25: γ / 2
                "T-7": 0.125,
                "T-8": 0.125,
                # sire of the yard with a chance of 0.3: 0.3 · γ / 2
                "W24-04": 0.0375,
                # of full sibs first, of a sire with his daughter since: ¼ both times
                "W25-01": 0.25,
                **dict.fromkeys(("W23-01", "W23-02", "W24-01", "W24-02", "W24-03", "W25-02"), 0),
            },
            abs=1e-12,
        )
        entry = book.undo()
        assert entry.label == "set the parents of W25-01"
        of_sibs = next(bird for bird in book.snapshot().birds if bird.called == "W25-01")
        assert book.snapshot().bird(of_sibs.sires[0]).called == "W24-01"
        assert figures(book) == pytest.approx(inbreeding, abs=1e-12)
        assert book.undo().label == "strike out W24-05"
        book.redo()
        book.redo()
        assert book.check() == ()
    with sqlite3.connect(path) as connection:
        assert connection.execute("PRAGMA user_version").fetchone()[0] == SCHEMA_VERSION
    connection.close()


@pytest.mark.parametrize("released", RELEASED, ids=lambda path: path.stem)
def test_a_released_book_can_be_read_where_nothing_may_be_written(tmp_path: Path, released: Path) -> None:
    path = tmp_path / released.name
    shutil.copyfile(released, path)
    with open_book(path, today=TODAY) as book:
        written = figures(book)
    shutil.copyfile(released, path)
    bytes_before = path.read_bytes()
    with open_book(path, today=TODAY, read_only=True) as book:
        assert figures(book) == written
        assert book.check() == ()
        assert book.search("sloe")
        with pytest.raises(BookUnusable, match="reading only"):
            book.undo()
    assert path.read_bytes() == bytes_before


def figures(book: Book) -> dict[str, float]:
    snapshot = book.snapshot()
    found = Relatedness(snapshot).inbreeding.tolist()
    return {bird.called: value for bird, value in zip(snapshot.birds, found, strict=True)}
