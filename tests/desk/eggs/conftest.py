"""The window in the room Eggs, on a yard of two pens on a Wednesday in March."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QLabel, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.changes import AddContact
from studbook.book.records import Contact, ContactId, Snapshot
from studbook.desk.app import settle
from studbook.desk.rooms.eggs.room import EggsRoom
from studbook.desk.window import Window
from tests.season_flock import Yard, new_yard

TODAY = date(2026, 3, 4)
MONDAY = date(2026, 3, 2)


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    """The yard, still open for a test to add to; `enter` closes it."""
    made = new_yard(tmp_path / "withybrook.studbook")
    made.book.apply(AddContact(Contact(ContactId("ida"), "Ida Fell")))
    return made


def enter(window: Window, yard: Yard) -> EggsRoom:
    """Close the book of the yard, open it in the window and go to the room."""
    yard.book.close()
    window.context.record.open(yard.book.path, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    room = window.go("eggs")
    settle(window)
    assert isinstance(room, EggsRoom)
    return room


@pytest.fixture
def room(window: Window, yard: Yard) -> EggsRoom:
    """The room, on the week of today."""
    return enter(window, yard)


def book_of(window: Window) -> Snapshot:
    """The book as it is saved."""
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return snapshot


def press(qtbot: QtBot, parent: QWidget, name: str) -> None:
    """Click a button by its name."""
    found = parent.findChild(QAbstractButton, name)
    assert found is not None, name
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def said(parent: QWidget, name: str) -> str:
    """What a label says."""
    found = parent.findChild(QLabel, name)
    assert found is not None, name
    return found.text()
