"""The record thread: calls return at once, frozen rows come back."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from studbook.book.changes import EditBird, StrikeOut
from studbook.book.errors import Problem
from studbook.book.records import BirdId, BookDetails, Entry, Snapshot
from studbook.desk.record import Record
from tests.flock import TODAY


@pytest.fixture
def record(qtbot: QtBot) -> Iterator[Record]:
    made = Record()
    yield made
    made.shut()


@pytest.fixture
def open_record(qtbot: QtBot, record: Record, flock_book: Path) -> Record:
    with qtbot.waitSignal(record.opened):
        record.open(flock_book, today=TODAY)
    return record


def rename(record: Record, name: str) -> EditBird:
    assert record.snapshot is not None
    bird = record.snapshot.birds[0]
    return EditBird(bird, replace(bird, name=name))


def test_an_opened_book_comes_as_a_snapshot_with_its_day(open_record: Record) -> None:
    book = open_record.open_book
    assert book is not None
    assert {bird.name for bird in book.snapshot.birds} == {"Severn", "Bramble", "Hazél", "Teme"}
    assert book.today == TODAY


def test_a_change_is_saved_and_announced(qtbot: QtBot, open_record: Record, flock_book: Path) -> None:
    told: list[tuple[Entry, Snapshot]] = []
    with qtbot.waitSignal(open_record.changed):
        open_record.apply(rename(open_record, "Wye"), done=lambda entry, after: told.append((entry, after)))
    entry, after = told[0]
    assert entry.label == "edit W22-01"
    assert after.birds[0].name == "Wye"
    open_record.shut()
    again = Record()
    with qtbot.waitSignal(again.opened) as opened:
        again.open(flock_book, today=TODAY)
    again.shut()
    assert opened.args[0].birds[0].name == "Wye"


def test_undo_and_redo(qtbot: QtBot, open_record: Record) -> None:
    with qtbot.waitSignal(open_record.changed):
        open_record.apply(rename(open_record, "Wye"))
    with qtbot.waitSignal(open_record.changed):
        open_record.undo()
    assert open_record.snapshot is not None
    assert open_record.snapshot.birds[0].name == "Severn"
    with qtbot.waitSignal(open_record.changed):
        open_record.redo()
    assert open_record.snapshot.birds[0].name == "Wye"


def test_a_refused_change_goes_to_the_form_that_asked(qtbot: QtBot, open_record: Record) -> None:
    assert open_record.snapshot is not None
    problems: list[Problem] = []
    change = StrikeOut((open_record.snapshot.birds[0].id,), "")
    open_record.apply(change, refused=problems.extend)
    qtbot.waitUntil(lambda: bool(problems))
    assert problems[0].field == "reason"


def test_a_refused_change_nobody_caught_is_announced(qtbot: QtBot, open_record: Record) -> None:
    assert open_record.snapshot is not None
    with qtbot.waitSignal(open_record.failed) as failed:
        open_record.apply(StrikeOut((open_record.snapshot.birds[0].id,), ""))
    assert "needs a reason" in failed.args[0][0].message


def test_birds_are_searched_without_accents(qtbot: QtBot, open_record: Record) -> None:
    found: list[BirdId] = []
    open_record.search("hazel", found.extend)
    qtbot.waitUntil(lambda: bool(found))
    assert open_record.snapshot is not None
    assert [open_record.snapshot.bird(bird).name for bird in found] == ["Hazél"]


def test_a_file_that_is_no_book_is_refused_in_one_sentence(
    qtbot: QtBot, open_record: Record, tmp_path: Path
) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear Ann")
    with qtbot.waitSignal(open_record.unusable) as refused:
        open_record.open(path)
    assert "letter.txt" in refused.args[0]
    assert open_record.snapshot is not None, "the book that was open stays open"


def test_a_book_is_never_made_over_a_file(qtbot: QtBot, record: Record, flock_book: Path) -> None:
    before = flock_book.read_bytes()
    with qtbot.waitSignal(record.unusable):
        record.create(flock_book, BookDetails(""))
    assert flock_book.read_bytes() == before


def test_opening_the_open_book_again_keeps_it(qtbot: QtBot, open_record: Record, flock_book: Path) -> None:
    with qtbot.waitSignal(open_record.opened) as opened:
        open_record.open(flock_book, today=TODAY)
    assert len(opened.args[0].birds) == 4


def test_what_was_asked_for_is_saved_before_the_thread_ends(
    qtbot: QtBot, open_record: Record, flock_book: Path
) -> None:
    open_record.apply(rename(open_record, "Wye"))
    open_record.shut()
    again = Record()
    with qtbot.waitSignal(again.opened) as opened:
        again.open(flock_book, today=TODAY)
    again.shut()
    assert opened.args[0].birds[0].name == "Wye"
