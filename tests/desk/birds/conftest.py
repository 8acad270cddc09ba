"""The birds' room over a small invented flock in which Dart and Hazel are half brother and sister."""

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from studbook.book.changes import AddBirds, AddContact, SetStatus
from studbook.book.records import Bird, Contact, ContactId, Sex, Snapshot, Status
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.window import Window
from tests.flock import TODAY, bird, new_book

Dialog = TypeVar("Dialog", bound=FormDialog)


@pytest.fixture
def related_book(tmp_path: Path) -> Path:
    """Three founders, two chicks of one cock, a young unmarked bird, one that was sold."""
    path = tmp_path / "withybrook.studbook"
    with new_book(path) as book:
        severn = bird(book, "W22-01", Sex.COCK, "2022-04-03", name="Severn", founder=True)
        bramble = bird(book, "W22-02", Sex.HEN, "2022-04-03", name="Bramble", founder=True)
        sloe = bird(book, "W22-10", Sex.HEN, "2022-05-11", name="Sloe", founder=True)
        hazel = bird(book, "W24-01", Sex.HEN, "2024-05-02", name="Hazel", sire=severn.id, dam=bramble.id)
        dart = bird(book, "W24-02", Sex.COCK, "2024-05-02", name="Dart", sire=severn.id, dam=sloe.id)
        teasel = bird(book, "", Sex.UNKNOWN, "2026-12-20", name="Teasel", sire=dart.id)
        tansy = bird(book, "W23-05", Sex.HEN, "2023-05-02", name="Tansy", sire=severn.id)
        book.apply(AddBirds((severn, bramble, sloe, hazel, dart, teasel, tansy)))
        book.apply(AddContact(Contact(ContactId(""), "Ned Fuller")))
        book.apply(SetStatus((tansy.id,), Status.SOLD, PartialDate.parse("2025-09-01")))
    return path


@pytest.fixture
def room(window: Window, related_book: Path) -> BirdsRoom:
    """The room of the birds, filled."""
    window.context.record.open(related_book, today=TODAY)
    settle(window)
    found = window.go("birds")
    settle(window)
    assert isinstance(found, BirdsRoom)
    return found


@pytest.fixture
def book(window: Window) -> Callable[[], Snapshot]:
    """The book as it is now."""

    def now() -> Snapshot:
        snapshot = window.context.record.snapshot
        assert snapshot is not None
        return snapshot

    return now


@pytest.fixture
def changes(qtbot: QtBot, window: Window) -> Callable[[Callable[[], object]], None]:
    """Do something and wait until the record has saved what came of it."""

    def wait(deed: Callable[[], object]) -> None:
        with qtbot.waitSignal(window.context.record.changed):
            deed()
        settle(window)

    return wait


def named(snapshot: Snapshot, name: str) -> Bird:
    """The bird of this name."""
    return next(found for found in snapshot.birds if found.name == name)


def press(qtbot: QtBot, parent: QWidget, name: str) -> None:
    """Click the button of this object name."""
    button = parent.findChild(QWidget, name)
    assert button is not None, name
    assert button.isEnabled(), f"{name} is greyed"
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def type_into(qtbot: QtBot, field: QWidget, text: str) -> None:
    """Replace what a field holds by typing."""
    target = field.focusProxy() or field
    target.setFocus()
    qtbot.keyClick(target, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(target, text)


def opened(window: Window, kind: type[Dialog]) -> Dialog:
    """The form of this kind that lies over the window, ready for keys."""
    settle(window)
    found = [dialog for dialog in window.findChildren(kind) if dialog.isVisible()]
    assert len(found) == 1, found
    return found[0]
