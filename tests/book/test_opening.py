"""Opening and making books: what is no book, damaged, too new or open elsewhere is said in one sentence."""

import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studbook import places
from studbook.book.errors import BookUnusable
from studbook.book.migrations import SCHEMA_VERSION
from studbook.book.opening import APPLICATION_ID, SAMPLE_TODAY, create_book, open_book
from studbook.book.records import BookDetails
from tests.flock import bird, founders, new_book


@pytest.fixture
def path(tmp_path: Path) -> Path:
    book = new_book(tmp_path / "flock.db")
    founders(book)
    book.close()
    return book.path


def test_a_new_book_is_empty_marked_as_ours_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "flock.db"
    with create_book(path, BookDetails(id="", keeper="Ada Thorn")) as book:
        assert book.snapshot().birds == ()
        assert book.snapshot().details.keeper == "Ada Thorn"
        assert book.check() == ()
    header = path.read_bytes()[:100]
    assert int.from_bytes(header[68:72], "big") == APPLICATION_ID
    assert int.from_bytes(header[60:64], "big") == SCHEMA_VERSION
    assert [found.name for found in tmp_path.iterdir()] == ["flock.db"]


def test_a_live_book_is_written_through_to_the_disk_with_its_rules_on(path: Path) -> None:
    with open_book(path) as book, book._engine.connect() as connection:
        settings_now = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "trusted_schema", "cell_size_check")
        }
    assert settings_now == {
        "journal_mode": "delete",
        "synchronous": 2,
        "foreign_keys": 1,
        "trusted_schema": 0,
        "cell_size_check": 1,
    }


def test_nothing_is_overwritten(path: Path) -> None:
    before = path.read_bytes()
    with pytest.raises(BookUnusable, match=r"flock\.db exists already"):
        create_book(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "is not a studbook"),
        (b"mark;name\nW17-01;Severn\n" * 20, "is not a studbook"),
        (None, "There is no file"),
    ],
)
def test_what_is_no_book_is_said_and_left_alone(tmp_path: Path, content: bytes | None, sentence: str) -> None:
    path = tmp_path / "flock.db"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(BookUnusable, match=sentence):
        open_book(path)
    assert not path.exists() or path.read_bytes() == content


def test_another_programs_database_is_not_taken_for_a_book(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE bird (name)")
    connection.close()
    with pytest.raises(BookUnusable, match="is not a studbook"):
        open_book(path)


def test_a_book_of_a_newer_program_is_refused_naming_both_versions(path: Path) -> None:
    with sqlite3.connect(path) as connection:
        connection.execute(f"PRAGMA user_version={SCHEMA_VERSION + 1}")
    connection.close()
    before = path.read_bytes()
    expected = f"book version {SCHEMA_VERSION + 1}, this program reads {SCHEMA_VERSION}"
    with pytest.raises(BookUnusable, match=expected):
        open_book(path)
    assert path.read_bytes() == before


def test_a_book_open_for_writing_is_refused_a_second_time_but_can_be_read(path: Path) -> None:
    with open_book(path):
        with pytest.raises(BookUnusable, match="open in another Studbook"):
            open_book(path)
        with open_book(path, read_only=True) as reader:
            assert len(reader.snapshot().birds) == 2
    with open_book(path) as again:
        assert len(again.snapshot().birds) == 2


def test_a_killed_program_leaves_no_lock_behind(path: Path) -> None:
    script = (
        "import sys, time; from pathlib import Path; from studbook.book.opening import open_book\n"
        "book = open_book(Path(sys.argv[1])); print('open', flush=True); time.sleep(60)"
    )
    with subprocess.Popen(
        [sys.executable, "-c", script, str(path)], stdout=subprocess.PIPE, text=True
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "open\n"
        with pytest.raises(BookUnusable, match="open in another Studbook"):
            open_book(path)
        holder.kill()
        holder.wait()
    with open_book(path) as book:
        assert len(book.snapshot().birds) == 2


def test_a_book_opened_for_reading_refuses_every_change(path: Path) -> None:
    with open_book(path, read_only=True) as book, pytest.raises(BookUnusable, match="for reading only"):
        book.undo()


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_a_damaged_file_gives_a_sentence_and_is_never_altered(path: Path, data: st.DataObject) -> None:
    whole = path.read_bytes()
    damaged = path.with_name("damaged.db")
    if data.draw(st.booleans(), label="cut"):
        content = whole[: data.draw(st.integers(0, len(whole) - 1), label="length")]
    else:
        start = data.draw(st.integers(0, len(whole) - 1), label="start")
        content = whole[:start] + data.draw(st.binary(min_size=64, max_size=4096), label="junk")
        content += whole[len(content) :]
    damaged.write_bytes(content)
    sentence = "damaged.db is as good as it was"
    try:
        with open_book(damaged, read_only=True) as book:
            book.check()
    except BookUnusable as said:
        sentence = str(said)
    assert "damaged.db" in sentence
    assert damaged.read_bytes() == content


def test_the_sample_book_opens_as_a_copy_on_its_own_day(tmp_path: Path) -> None:
    folder = tmp_path / "installed"
    folder.mkdir()
    path = folder / "sample.db"
    create_book(path, BookDetails(id="", keeper="Ada Thorn", sample=True)).close()
    before = path.read_bytes()
    with open_book(path) as book:
        founders(book)
        assert book.path == places.data_folder() / "sample.db"
        assert book.today == SAMPLE_TODAY
    assert [found.name for found in folder.iterdir()] == ["sample.db"]
    assert path.read_bytes() == before
    with open_book(path) as again:
        assert len(again.snapshot().birds) == 2, "the copy is kept"
    with open_book(path, read_only=True) as original:
        assert original.snapshot().birds == ()


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(BookUnusable, match="does not exist"):
        create_book(tmp_path / "nowhere" / "flock.db")


def test_a_full_disk_loses_nothing_that_was_confirmed(path: Path) -> None:
    with open_book(path) as book:
        before = book.snapshot()
        with book._engine.connect() as connection:
            pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
            # SQLite reports a file that may not grow exactly as it reports a full disk
            connection.exec_driver_sql(f"PRAGMA max_page_count={pages}")
        from studbook.book.changes import AddBirds

        many = tuple(bird(book, f"W26-{number:03d}") for number in range(400))
        with pytest.raises(BookUnusable, match="nothing that was confirmed is lost"):
            book.apply(AddBirds(many))
        assert book.snapshot() == before
    with open_book(path) as again:
        assert again.snapshot().birds == before.birds
        assert again.check() == ()
