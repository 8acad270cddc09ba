"""The window in the room Pairing, on the small flock whose answers are known by hand."""

from pathlib import Path

import pytest

from studbook.book.changes import AddBirds, AddOrigin
from studbook.book.opening import create_book
from studbook.book.records import BirdId, BookDetails
from studbook.desk.app import settle
from studbook.desk.rooms.pairing.pairs.page import PairsPage
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.window import Window
from tests.planning.flock import ALDER_YARD, TODAY, flock


@pytest.fixture
def planned_book(tmp_path: Path) -> Path:
    """The flock of the planning tests as a book; ids are the names."""
    path = tmp_path / "withybrook.studbook"
    with create_book(path, BookDetails("", yard="Withybrook"), today=TODAY) as book:
        book.apply(AddOrigin(ALDER_YARD))
        book.apply(AddBirds(flock().birds))
    return path


@pytest.fixture
def room(window: Window, planned_book: Path) -> PairsPage:
    """The room with its first advice on view."""
    window.context.record.open(planned_book, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    entered = window.go("pairing")
    settle(window)
    assert isinstance(entered, PairingRoom)
    return entered.pairs


def column_of(room: PairsPage, cock: str) -> int:
    """The column of a cock."""
    return next(
        column
        for column in range(1, room.model.columnCount())
        if (found := room.model.cock(column)) and found.name == cock
    )


def row_of(room: PairsPage, hen: str) -> int:
    """The row of a hen."""
    return next(
        row for row in range(1, room.model.rowCount()) if (found := room.model.hen(row)) and found.name == hen
    )


def id_of(room: PairsPage, name: str) -> BirdId:
    """The bird with this name."""
    snapshot = room.context.record.snapshot
    assert snapshot is not None
    return next(bird.id for bird in snapshot.birds if bird.name == name)
