"""The empty room and the form of one bird."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.records import Sex, Snapshot
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.rooms.birds.adding import AddBirdDialog
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.window import Window
from tests.desk.birds.conftest import named, opened, press, type_into
from tests.flock import TODAY, new_book

Changes = Callable[[Callable[[], object]], None]
Book = Callable[[], Snapshot]


def test_an_empty_book_teaches_and_its_first_bird_opens_the_table(
    qtbot: QtBot, window: Window, book: Book, changes: Changes, tmp_path: Path
) -> None:
    path = tmp_path / "new.studbook"
    new_book(path).close()
    window.context.record.open(path, today=TODAY)
    settle(window)
    room = window.go("birds")
    assert isinstance(room, BirdsRoom)
    first = next(each for each in room.findChildren(QPushButton) if each.text() == "Add your first birds")
    assert first.isVisible()
    assert not room.table.isVisible()
    qtbot.mouseClick(first, Qt.MouseButton.LeftButton)
    dialog = opened(window, AddBirdDialog)
    press(qtbot, dialog, "save")
    settle(window)
    assert "neither a mark nor a name" in dialog.form.fields["marks"].problem_text
    type_into(qtbot, dialog.mark.code, "W22-01")
    type_into(qtbot, dialog.name, "Severn")
    dialog.sex.setCurrentIndex(dialog.sex.findData(Sex.COCK))
    type_into(qtbot, dialog.hatched, "about April 2022")
    type_into(qtbot, dialog.origin, "Alder Yard")
    changes(lambda: press(qtbot, dialog, "save"))
    severn = named(book(), "Severn")
    assert (severn.mark, severn.sex, severn.hatched) == ("W22-01", Sex.COCK, PartialDate(2022, 4, about=True))
    assert severn.is_founder
    assert [origin.name for origin in book().origins] == ["Alder Yard"]
    assert room.table.isVisible()
    changes(window.undo)
    assert book().birds == ()
    assert book().origins == ()


def test_a_home_hatched_bird_is_added_with_its_parents(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    press(qtbot, room, "add_bird")
    dialog = opened(window, AddBirdDialog)
    type_into(qtbot, dialog.name, "Mallow")
    dialog.source.setCurrentIndex(1)
    sire = dialog.parents.findChild(QWidget, "sire").focusProxy()
    type_into(qtbot, sire, "severn")
    qtbot.keyClick(sire, Qt.Key.Key_Return)
    changes(lambda: press(qtbot, dialog, "save"))
    mallow = named(book(), "Mallow")
    assert mallow.sire == named(book(), "Severn").id
    assert not mallow.is_founder


def test_a_mark_that_is_worn_is_refused_below_the_mark(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book
) -> None:
    press(qtbot, room, "add_bird")
    dialog = opened(window, AddBirdDialog)
    type_into(qtbot, dialog.mark.code, "w24-01")
    press(qtbot, dialog, "save")
    settle(window)
    assert "W24-01" in dialog.form.fields["marks"].problem_text.upper()
    assert len(book().birds) == 7
    press(qtbot, dialog, "cancel")
    assert room.findChild(QLabel, "birds_count").text() == "7 birds, 6 shown"
