"""The frame: rooms, menus, keys, find, undo, and what is kept for the next start."""

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QSettings, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtPrintSupport import QPrintPreviewDialog
from PySide6.QtWidgets import QAbstractButton, QLabel, QLineEdit, QMenu, QTabBar, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.changes import EditBird
from studbook.desk.actions import Menu
from studbook.desk.app import settle
from studbook.desk.first_start import FirstStart
from studbook.desk.help import HelpPage
from studbook.desk.menus import menu_titles
from studbook.desk.theme import Choice
from studbook.desk.widgets.bird_picker import FindEdit
from studbook.desk.widgets.palette import CommandPalette
from studbook.desk.widgets.strip import MessageStrip
from studbook.desk.window import Window
from tests.desk.conftest import Answers

CONTROL = Qt.KeyboardModifier.ControlModifier


def said(window: Window) -> str:
    strip = window.findChild(MessageStrip)
    assert isinstance(strip, MessageStrip)
    return strip.text


def rename(qtbot: QtBot, window: Window, name: str) -> None:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    bird = snapshot.birds[0]
    with qtbot.waitSignal(window.context.record.changed):
        window.context.record.apply(EditBird(bird, replace(bird, name=name)))


def test_the_window_says_whose_book_it_is_and_which_day(open_window: Window) -> None:
    assert open_window.findChild(QLabel, "book_name").text() == "Withybrook"
    assert "14 Feb 2027" in open_window.findChild(QLabel, "today").text()
    assert "Withybrook" in open_window.windowTitle()
    assert "4 birds" in open_window.findChild(QLabel, "counts").text()


def test_every_room_can_be_entered_by_the_rail_and_by_its_key(qtbot: QtBot, open_window: Window) -> None:
    for number, door in enumerate(open_window.doors, 1):
        rail = open_window.findChild(QAbstractButton, f"rail_{door.key}")
        qtbot.mouseClick(rail, Qt.MouseButton.LeftButton)
        by_rail = open_window.room
        assert by_rail is not None
        assert by_rail.isVisible()
        open_window.go(open_window.doors[0].key)
        qtbot.keyClick(open_window, Qt.Key(Qt.Key.Key_0 + number), CONTROL)
        assert open_window.room is by_rail
        assert rail.isChecked()


def test_every_action_stands_in_the_menu_bar(open_window: Window) -> None:
    shown = set()
    for kind in menu_titles():
        menu = open_window.findChild(QWidget, f"menu_{kind}")
        menu.aboutToShow.emit()  # type: ignore[attr-defined]
        shown |= {action.objectName() for action in menu.actions()}
    assert {declared.key for declared, _made in open_window.actions_here.all} <= shown


def test_no_key_is_used_twice(open_window: Window) -> None:
    keys = [
        shortcut.toString()
        for _declared, made in open_window.actions_here.all
        for shortcut in made.shortcuts()
    ]
    assert sorted(keys) == sorted(set(keys))


@pytest.mark.parametrize(
    ("key", "shortcut"),
    [
        ("book.new", "Ctrl+N"),
        ("book.open", "Ctrl+O"),
        ("book.quit", "Ctrl+Q"),
        ("edit.undo", "Ctrl+Z"),
        ("edit.redo", "Ctrl+Y"),
        ("edit.find", "Ctrl+F"),
        ("edit.command", "Ctrl+K"),
        ("help.keys", "F1"),
    ],
)
def test_the_standard_keys(window: Window, key: str, shortcut: str) -> None:
    assert window.actions_here[key].shortcut().toString() == shortcut


def test_mnemonics_of_the_menu_bar_are_distinct() -> None:
    letters = [title[title.index("&") + 1].lower() for title in menu_titles().values()]
    assert len(letters) == len(set(letters)) == len(Menu)


def test_a_change_is_told_with_undo_and_can_be_taken_back(qtbot: QtBot, open_window: Window) -> None:
    rename(qtbot, open_window, "Wye")
    assert said(open_window) == "Saved: edit W22-01."
    assert open_window.actions_here["edit.undo"].text() == "&Undo: edit W22-01"
    with qtbot.waitSignal(open_window.context.record.changed):
        qtbot.mouseClick(open_window.findChild(QAbstractButton, "strip_undo"), Qt.MouseButton.LeftButton)
    assert said(open_window) == "Taken back: edit W22-01."
    with qtbot.waitSignal(open_window.context.record.changed):
        qtbot.keyClick(open_window, Qt.Key.Key_Y, CONTROL)
    assert said(open_window) == "Done again: edit W22-01."


def test_find_is_blind_to_accents_and_goes_to_the_bird(qtbot: QtBot, open_window: Window) -> None:
    qtbot.keyClick(open_window, Qt.Key.Key_F, CONTROL)
    find = open_window.findChild(FindEdit, "find")
    assert isinstance(find, FindEdit)
    assert find.hasFocus()
    qtbot.keyClicks(find, "hazel")
    qtbot.waitUntil(lambda: [bird.name for bird in find.found] == ["Hazél"])
    qtbot.keyClick(find, Qt.Key.Key_Return)
    assert open_window.findChild(QAbstractButton, "rail_birds").isChecked()


def test_the_command_palette_does_what_one_types(qtbot: QtBot, open_window: Window) -> None:
    qtbot.keyClick(open_window, Qt.Key.Key_K, CONTROL)
    palette = open_window.findChild(CommandPalette)
    assert isinstance(palette, CommandPalette)
    qtbot.keyClicks(palette.edit, "journ show")
    qtbot.keyClick(palette.edit, Qt.Key.Key_Return)
    assert open_window.findChild(QAbstractButton, "rail_book").isChecked()


def test_f1_shows_every_key(qtbot: QtBot, open_window: Window) -> None:
    qtbot.keyClick(open_window, Qt.Key.Key_F1)
    page = open_window.findChild(HelpPage)
    assert isinstance(page, HelpPage)
    words = {label.text() for label in page.findChildren(QLabel)}
    assert {"Find a bird", "Ctrl+F", "cock", "hen"} <= words
    page.close()


def test_a_look_is_kept_for_the_next_start(open_window: Window, settings: QSettings) -> None:
    open_window.actions_here["view.dark"].trigger()
    open_window.actions_here["view.larger"].trigger()
    settle(open_window)
    settings.sync()
    assert settings.value("look/choice") == Choice.DARK
    assert float(str(settings.value("look/text_size"))) > 1


def test_the_rooms_are_still_there_in_larger_text(open_window: Window) -> None:
    open_window.go("book")
    open_window.choose_look(Choice.LIGHT, 2.0)
    settle(open_window)
    assert open_window.room is not None
    assert open_window.room.isVisible()
    assert open_window.findChild(QAbstractButton, "rail_book").isChecked()


def test_the_last_book_is_remembered(open_window: Window, flock_book: Path) -> None:
    assert open_window.recent.last == flock_book
    flock_book.rename(flock_book.with_suffix(".moved"))
    assert open_window.recent.last is None


def test_a_file_that_is_no_book_is_told_in_one_sentence(
    qtbot: QtBot, open_window: Window, answers: Answers, tmp_path: Path
) -> None:
    letter = tmp_path / "letter.db"
    letter.write_text("Dear Ann")
    answers.files.append(letter)
    with qtbot.waitSignal(open_window.context.record.unusable):
        qtbot.keyClick(open_window, Qt.Key.Key_O, CONTROL)
    assert "letter.db" in answers.told[0]


def drop(window: Window, path: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    event = QDropEvent(
        QPoint(400, 400),
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    window.dropEvent(event)


def test_a_dropped_book_opens_and_a_dropped_list_is_previewed(
    qtbot: QtBot, window: Window, flock_book: Path, tmp_path: Path
) -> None:
    with qtbot.waitSignal(window.filled):
        drop(window, flock_book)
    settle(window)
    listed = tmp_path / "list.csv"
    listed.write_text("mark,name,sex\nQ1,Rowan,hen\n")
    drop(window, listed)
    settle(window)
    assert "Adds 1 bird" in window.findChild(QLabel, "import_summary").text()


def test_every_control_has_a_name_for_screen_readers(open_window: Window) -> None:
    unnamed = []
    for door in open_window.doors:
        room = open_window.go(door.key)
        settle(open_window)
        for kind in (QAbstractButton, QLineEdit):
            for control in room.findChildren(kind):
                words = control.accessibleName() or getattr(control, "text", str)()
                words = words or getattr(control, "placeholderText", str)()
                inner = isinstance(control.parent(), QLineEdit | QTabBar) or not control.isVisible()
                inner = inner or control.objectName().startswith("qt_")
                if not words and not inner:
                    unnamed.append((door.key, type(control).__name__, control.objectName()))
    assert not unnamed


def test_without_a_book_the_first_page_shows_and_room_actions_are_grey(window: Window) -> None:
    window.show_first_start()
    assert window.findChild(FirstStart).isVisible()
    window.actions_here.refresh()
    assert not window.actions_here["edit.find"].isEnabled()
    assert not window.actions_here["go.yard"].isEnabled()


def test_ctrl_p_prints_the_room_on_view(qtbot: QtBot, open_window: Window) -> None:
    open_window.actions_here["book.journal"].trigger()
    settle(open_window)
    qtbot.keyClick(open_window, Qt.Key.Key_P, CONTROL)
    preview = open_window.findChild(QPrintPreviewDialog)
    assert isinstance(preview, QPrintPreviewDialog)
    assert preview.windowTitle() == "Journal"
    preview.close()


def test_what_has_no_table_is_not_printed(open_window: Window) -> None:
    open_window.go("book")
    settle(open_window)
    open_window.actions_here.refresh()
    assert not open_window.actions_here["book.paper"].isEnabled()


def test_a_key_asks_whether_its_action_can_be_done_when_it_is_pressed(
    qtbot: QtBot, open_window: Window
) -> None:
    menu = open_window.findChild(QMenu, "menu_book")
    open_window.go("book")
    menu.aboutToShow.emit()
    assert not open_window.actions_here["book.paper"].isEnabled()
    menu.aboutToHide.emit()
    qtbot.keyClick(open_window, Qt.Key.Key_P, CONTROL)
    assert open_window.findChild(QPrintPreviewDialog) is None


def test_the_largest_text_fits_a_small_screen(open_window: Window) -> None:
    open_window.choose_look(Choice.LIGHT, 2.0)
    settle(open_window)
    least = open_window.minimumSizeHint()
    assert least.width() <= 1280
    assert least.height() <= 720


def test_the_menu_of_the_birds_is_shown_once_their_room_is_made(open_window: Window) -> None:
    titles = [action.text() for action in open_window.menuBar().actions() if action.isVisible()]
    assert "B&irds" in titles
