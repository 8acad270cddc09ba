"""The window in the room Pens, on the small flock with two pens."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.ids import BirdId, PenId
from studbook.book.records import Snapshot
from studbook.desk.app import settle
from studbook.desk.rooms.pens.flock_list import FlockList
from studbook.desk.rooms.pens.pen_column import PenColumn
from studbook.desk.rooms.pens.room import PensRoom
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.window import Window
from studbook.planning.pens.board import stays_on
from tests.flock import TODAY
from tests.season_flock import new_yard


@pytest.fixture
def yard_book(tmp_path: Path) -> Path:
    """A book with Usk, Avens and Betony in the Orchard, Lune and Cowslip in the Lane."""
    yard = new_yard(tmp_path / "withybrook.studbook")
    yard.book.close()
    return yard.book.path


@pytest.fixture
def room(window: Window, yard_book: Path) -> PensRoom:
    """The room with its first board on view."""
    window.context.record.open(yard_book, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    entered = window.go("pens")
    settle(window)
    settle(window)
    assert isinstance(entered, PensRoom)
    return entered


def now(room: PensRoom) -> Snapshot:
    """The book as it stands."""
    snapshot = room.context.record.snapshot
    assert snapshot is not None
    return snapshot


def bird_named(room: PensRoom, name: str) -> BirdId:
    """The bird with this name."""
    return next(bird.id for bird in now(room).birds if bird.name == name)


def pen_named(room: PensRoom, name: str) -> PenId:
    """The open pen with this name."""
    found = now(room).husbandry.pen_named(name)
    assert found is not None
    return found.id


def column_named(room: PensRoom, name: str) -> PenColumn:
    """The column of a pen on the board."""
    column = room.board.column(pen_named(room, name))
    assert column is not None
    return column


def list_with(room: PensRoom, name: str) -> FlockList:
    """The list in which a bird stands."""
    bird = bird_named(room, name)
    return next(birds for birds in room.board.lists if bird in birds.birds)


def click_bird(
    qtbot: QtBot, room: PensRoom, name: str, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
) -> None:
    """Click a bird on the board."""
    birds = list_with(room, name)
    row = birds.birds.index(bird_named(room, name))
    place = birds.visualRect(birds.model_of_lines.index(row)).center()
    qtbot.mouseClick(birds.viewport(), Qt.MouseButton.LeftButton, modifier, place)


def press(qtbot: QtBot, where: QWidget, name: str) -> None:
    """Press a button by its name."""
    found = where.findChild(QPushButton, name)
    assert found is not None, name
    assert found.isEnabled(), name
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def dialog() -> FormDialog:
    """The form that is open."""
    found = QApplication.activeModalWidget()
    assert isinstance(found, FormDialog)
    return found


def write(qtbot: QtBot, edit: QWidget, text: str) -> None:
    """Type into a line in place of what it holds."""
    edit.setFocus()
    qtbot.keyClick(edit, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(edit, Qt.Key.Key_Backspace)
    qtbot.keyClicks(edit, text)


def where(room: PensRoom, name: str, day: date = TODAY) -> str:
    """The name of the pen a bird is in by the book."""
    year = now(room).husbandry
    stay = stays_on(year, day).get(bird_named(room, name))
    return year.pens[stay.pen].name if stay is not None else ""
