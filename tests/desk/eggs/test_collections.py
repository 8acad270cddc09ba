"""The page Collections over a small flock with two pens, worked with real keys."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from studbook.book.records import Snapshot
from studbook.desk.app import settle
from studbook.desk.rooms.eggs.collections.page import CollectionsPage
from studbook.desk.window import Window
from studbook.planning.eggs.week import monday
from tests.flock import TODAY
from tests.season_flock import Yard, new_yard

MONDAY = monday(TODAY)


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    made = new_yard(tmp_path / "withybrook.studbook")
    made.book.close()
    return made


def opened(window: Window, path: Path) -> CollectionsPage:
    window.context.record.open(path, today=TODAY)
    settle(window)
    page = window.go("eggs").findChild(CollectionsPage)
    assert page is not None
    settle(window)
    return page


@pytest.fixture
def page(window: Window, yard: Yard) -> CollectionsPage:
    """The page with the keyboard on the Monday of the first pen."""
    page = opened(window, yard.book.path)
    page.grid.setFocus()
    return page


def counts(window: Window) -> dict[tuple[str, date], int]:
    """What the book holds: eggs by pen and day."""
    snapshot = window.context.record.snapshot
    assert isinstance(snapshot, Snapshot)
    year = snapshot.husbandry
    return {(year.pens[row.pen].name, row.on): row.eggs for row in year.collections.values() if row.pen}


def test_counts_typed_into_two_cells_are_in_the_book_and_undo_takes_one_back(
    qtbot: QtBot, window: Window, page: CollectionsPage
) -> None:
    QAbstractItemModelTester(page.model, page)
    qtbot.keyClick(page.grid, Qt.Key.Key_Home)
    qtbot.keyClicks(page.grid, "2")
    qtbot.keyClick(page.grid, Qt.Key.Key_Right)
    qtbot.keyClicks(page.grid, "1")
    qtbot.keyClick(page.grid, Qt.Key.Key_Right)
    settle(window)
    assert counts(window) == {("Orchard", MONDAY): 2, ("Orchard", MONDAY + timedelta(1)): 1}
    undo = next(action for action in window.findChildren(QAction) if action.objectName() == "edit.undo")
    undo.trigger()
    settle(window)
    assert counts(window) == {("Orchard", MONDAY): 2}


def test_enter_goes_down_the_pens_and_tab_along_the_week(
    qtbot: QtBot, window: Window, page: CollectionsPage
) -> None:
    qtbot.keyClick(page.grid, Qt.Key.Key_Home)
    qtbot.keyClicks(page.grid, "2")
    qtbot.keyClick(page.grid, Qt.Key.Key_Return)
    qtbot.keyClicks(page.grid, "1")
    qtbot.keyClick(page.grid, Qt.Key.Key_Tab)
    qtbot.keyClicks(page.grid, "0")
    qtbot.keyClick(page.grid, Qt.Key.Key_Tab)
    settle(window)
    assert counts(window) == {
        ("Orchard", MONDAY): 2,
        ("Lane", MONDAY): 1,
        ("Lane", MONDAY + timedelta(1)): 0,
    }


def test_escape_drops_what_is_typed(qtbot: QtBot, window: Window, page: CollectionsPage) -> None:
    qtbot.keyClicks(page.grid, "3")
    qtbot.keyClick(page.grid, Qt.Key.Key_Escape)
    qtbot.keyClick(page.grid, Qt.Key.Key_Right)
    settle(window)
    assert counts(window) == {}


def test_page_up_types_into_the_week_before(qtbot: QtBot, window: Window, page: CollectionsPage) -> None:
    qtbot.keyClick(page.grid, Qt.Key.Key_Home)
    qtbot.keyClick(page.grid, Qt.Key.Key_PageUp)
    qtbot.keyClicks(page.grid, "1")
    qtbot.keyClick(page.grid, Qt.Key.Key_Return)
    settle(window)
    assert counts(window) == {("Orchard", MONDAY - timedelta(7)): 1}


def test_without_a_pen_the_page_sends_to_the_pens(window: Window, flock_book: Path) -> None:
    page = opened(window, flock_book)
    assert page.is_missing
    assert not page.grid.isVisible()
    assert page.findChild(QWidget, "week_grid") is page.grid
