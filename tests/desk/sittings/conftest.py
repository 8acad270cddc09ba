"""The page Sittings over a small flock with two pens, worked with real keys and buttons."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTabWidget, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.records import Snapshot
from studbook.desk.app import settle
from studbook.desk.rooms.eggs.sittings.page import SittingsPage
from studbook.desk.window import Window
from tests.flock import TODAY
from tests.season_flock import Yard, new_yard


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    """The small flock, its book closed so that the window can open it."""
    made = new_yard(tmp_path / "withybrook.studbook")
    made.book.close()
    return made


@pytest.fixture
def page(window: Window, yard: Yard) -> SittingsPage:
    """The page, filled."""
    window.context.record.open(yard.book.path, today=TODAY)
    settle(window)
    room = window.go("eggs")
    settle(window)
    tabs = room.findChild(QTabWidget)
    found = room.findChild(SittingsPage)
    assert tabs is not None
    assert found is not None
    tabs.setCurrentWidget(found)
    settle(window)
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


def press(qtbot: QtBot, parent: QWidget, name: str) -> None:
    """Click the button of this object name."""
    button = parent.findChild(QWidget, name)
    assert button is not None, name
    assert button.isVisible(), f"{name} is hidden"
    assert button.isEnabled(), f"{name} is greyed"
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def write(qtbot: QtBot, parent: QWidget, name: str, text: str) -> None:
    """Replace what the field of this object name holds by typing."""
    field = parent.findChild(QWidget, name)
    assert field is not None, name
    target = field.focusProxy() or field
    target.setFocus()
    qtbot.keyClick(target, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(target, text)
    qtbot.keyClick(target, Qt.Key.Key_Tab)
