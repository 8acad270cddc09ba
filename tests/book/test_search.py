"""Finding birds as one types: part of a mark or a name, without case or accents."""

from dataclasses import replace
from pathlib import Path

import pytest

from studbook.book.changes import EditBird, SetStatus
from studbook.book.door import Book
from studbook.book.naming import NoSuchBird, find_bird
from studbook.book.records import Sex, Status
from studbook.dates import PartialDate
from tests.flock import add, bird, new_book


@pytest.fixture
def book(tmp_path: Path):
    with new_book(tmp_path / "flock.db") as made:
        add(
            made,
            bird(made, "W17-01", Sex.COCK, name="Øland"),
            bird(made, "W17-02", Sex.HEN, name="Éowen Straße"),
            bird(made, "W18-11", Sex.HEN, name="Sorrel"),
            bird(made, "W18-1_", Sex.HEN, name="Sorrel 100%"),
        )
        yield made


@pytest.mark.parametrize(
    ("text", "marks"),
    [
        ("oland", {"W17-01"}),
        ("ØLAND", {"W17-01"}),
        ("eowen strasse", {"W17-02"}),
        ("w17", {"W17-01", "W17-02"}),
        ("7-0", {"W17-01", "W17-02"}),
        ("so", {"W18-11", "W18-1_"}),
        ("rel w18-11", {"W18-11"}),
        ("1_", {"W18-1_"}),
        ("0%", {"W18-1_"}),
        ('"', set()),
        ("", set()),
        ("   ", set()),
        ("no such bird", set()),
    ],
)
def test_a_bird_is_found_by_part_of_its_mark_or_name(book: Book, text: str, marks: set[str]) -> None:
    assert {book.snapshot().bird(found).mark for found in book.search(text)} == marks


def test_living_birds_come_first_and_the_limit_is_kept(book: Book) -> None:
    first = book.search("w18")[0]
    book.apply(SetStatus((first,), Status.SOLD, PartialDate(2026, 9)))
    assert book.search("w18")[1] == first
    assert len(book.search("w1", limit=3)) == 3


def test_the_index_follows_a_change_of_name_and_its_undo(book: Book) -> None:
    found = book.snapshot().bird(book.search("oland")[0])
    book.apply(EditBird(found, replace(found, name="Tamar")))
    assert book.search("oland") == ()
    assert book.search("tamar") == (found.id,)
    book.undo()
    assert book.search("oland") == (found.id,)


def test_a_bird_is_named_by_current_mark_else_by_unique_name(book: Book) -> None:
    snapshot = book.snapshot()
    assert snapshot.bird(find_bird(snapshot, "w17-01")).name == "Øland"
    assert snapshot.bird(find_bird(snapshot, "Sorrel")).mark == "W18-11"
    with pytest.raises(NoSuchBird, match="No bird of the book has the mark or name W99"):
        find_bird(snapshot, "W99")
    add(book, bird(book, "W19-01", Sex.HEN, name="Sorrel"))
    with pytest.raises(NoSuchBird, match="Sorrel is the mark or name of 2 birds"):
        find_bird(book.snapshot(), "Sorrel")
