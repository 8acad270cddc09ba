"""An import as a change of the book: whole or not at all, whatever happens in its middle."""

import subprocess
import sys
from pathlib import Path

import pytest

from studbook.book.changes.importing import ImportBirds
from studbook.book.door import Book
from studbook.book.importing.planning import read_list
from studbook.book.opening import create_book, open_book
from studbook.book.records import BookDetails, Status
from tests.book.importing.conftest import TODAY, Read
from tests.book.importing.stopped_import import POINTS
from tests.lists import bred_flock, list_text, shuffled, write_list

CHECKOUT = Path(__file__).parents[3]


def test_one_undo_takes_a_list_back_and_redo_brings_the_same_birds(
    read: Read, import_list, book: Book
) -> None:
    import_list("mark,name,sex\nA12,Trent,cock\nB07,Sloe,hen\n")
    before = book.snapshot()
    trent = next(bird for bird in before.birds if bird.name == "Trent")
    plan = read(
        f"id,mark,name,status,sire,dam,origin\n{trent.id},A99,Trent the Elder,sold,,,Alder Hill\n,C1,,,A12,B07,\n"
    )
    assert plan.problems == ()
    book.apply(ImportBirds.of(plan, "spring.csv"))
    after = book.snapshot()
    assert after.bird(trent.id).name == "Trent the Elder"
    assert after.bird(trent.id).mark == "A99"
    assert after.bird(trent.id).status is Status.SOLD
    assert [origin.name for origin in after.origins] == ["Alder Hill"]
    assert next(bird for bird in after.birds if bird.mark == "C1").sire == trent.id
    assert book.undo().label == "import 2 birds from spring.csv"
    assert (book.snapshot().birds, book.snapshot().origins) == (before.birds, ())
    book.redo()
    assert set(book.snapshot().birds) == set(after.birds)


def test_imported_birds_are_found_by_search(import_list, book: Book) -> None:
    import_list("mark,name\nW17-01,Öland\n")
    (found,) = book.search("oland")
    assert book.snapshot().bird(found).mark == "W17-01"


def test_reading_and_previewing_a_list_writes_nothing(book: Book, tmp_path: Path) -> None:
    before = book.path.read_bytes()
    path = write_list(tmp_path / "list.csv", bred_flock(60))
    plan = read_list(path, book.snapshot(), ids=book.new_id, today=TODAY)
    assert len(plan.added) == 60
    assert book.preview(ImportBirds.of(plan)) == ()
    assert book.path.read_bytes() == before
    assert book.snapshot().birds == ()


def test_a_list_read_twice_gives_the_same_birds_in_the_same_order(read: Read) -> None:
    text = list_text(shuffled(bred_flock(60)))
    assert [bird.mark for bird in read(text).added] == [bird.mark for bird in read(text).added]


@pytest.fixture(scope="module")
def long_list(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A list of 10,000 birds."""
    folder = tmp_path_factory.mktemp("lists")
    return write_list(folder / "long.csv", shuffled(bred_flock(10_000, hatched_per_year=600)))


@pytest.mark.parametrize("point", POINTS)
def test_killed_in_the_middle_of_10000_birds_the_book_is_as_it_was(
    tmp_path: Path, long_list: Path, point: str
) -> None:
    path = tmp_path / "flock.db"
    create_book(path, BookDetails(id=""), today=TODAY).close()
    arguments = [sys.executable, "-m", "tests.book.importing.stopped_import", path, long_list, point]
    with subprocess.Popen(
        arguments, cwd=CHECKOUT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdout is not None
        said = next((line for line in child.stdout if line.strip() in (point, "done")), "nothing")
        child.kill()
    assert said.strip() == point
    with open_book(path, today=TODAY) as book:
        assert [problem for problem in book.check() if problem.is_error] == []
        assert book.snapshot().birds == ()
        assert book.journal() == ()
        plan = read_list(
            write_list(tmp_path / "short.csv", bred_flock(20)), book.snapshot(), ids=book.new_id, today=TODAY
        )
        book.apply(ImportBirds.of(plan))
        assert len(book.snapshot().birds) == 20
