"""The Book: details, people, lists in and out, problems, journal."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QPlainTextEdit, QTabWidget
from pytestqt.qtbot import QtBot

from studbook.book.records import Snapshot
from studbook.desk.app import settle
from studbook.desk.room import Room
from studbook.desk.tables import Table
from studbook.desk.window import Window
from tests.desk.conftest import Answers


@pytest.fixture
def room(open_window: Window) -> Room:
    return open_window.go("book")


def snapshot_of(room: Room) -> Snapshot:
    snapshot = room.context.record.snapshot
    assert snapshot is not None
    return snapshot


def open_tab(room: Room, title: str) -> None:
    tabs = room.findChild(QTabWidget, "book_tabs")
    titles = [tabs.tabText(place) for place in range(tabs.count())]
    tabs.setCurrentIndex(titles.index(title))


def click(qtbot: QtBot, room: Room, name: str) -> None:
    qtbot.mouseClick(room.findChild(QAbstractButton, name), Qt.MouseButton.LeftButton)


def visible(room: Room, name: str) -> QLineEdit:
    return next(line for line in room.findChildren(QLineEdit, name) if line.isVisible())


def test_a_detail_is_kept_as_soon_as_one_leaves_its_field(qtbot: QtBot, room: Room) -> None:
    keeper = visible(room, "keeper")
    keeper.setFocus()
    keeper.selectAll()
    qtbot.keyClicks(keeper, "Rue Fern")
    with qtbot.waitSignal(room.context.record.changed):
        qtbot.keyClick(keeper, Qt.Key.Key_Tab)
    address = next(text for text in room.findChildren(QPlainTextEdit, "address") if text.isVisible())
    address.setFocus()
    qtbot.keyClicks(address, "Mill Lane")
    with qtbot.waitSignal(room.context.record.changed):
        qtbot.keyClick(address, Qt.Key.Key_Tab)
    details = snapshot_of(room).details
    assert (details.keeper, details.address) == ("Rue Fern", "Mill Lane")


def test_a_contact_is_added_and_edited(qtbot: QtBot, room: Room) -> None:
    open_tab(room, "Contacts")
    empty = next(
        found
        for found in room.findChildren(QAbstractButton)
        if found.text() == "New contact" and found.isVisible()
    )
    qtbot.mouseClick(empty, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(visible(room, "name"), "Miss Muster")
    with qtbot.waitSignal(room.context.record.changed):
        click(qtbot, room, "contacts_add")
    qtbot.waitUntil(lambda: visible(room, "name").text() == "Miss Muster")
    phone = visible(room, "phone")
    phone.setFocus()
    qtbot.keyClicks(phone, "01 234")
    with qtbot.waitSignal(room.context.record.changed):
        qtbot.keyClick(phone, Qt.Key.Key_Tab)
    contact = snapshot_of(room).contacts[0]
    assert (contact.name, contact.phone) == ("Miss Muster", "01 234")


def test_a_contact_without_a_name_is_refused_at_its_field(qtbot: QtBot, room: Room) -> None:
    open_tab(room, "Contacts")
    room.findChild(Table, "contacts")
    next(
        found
        for found in room.findChildren(QAbstractButton)
        if found.text() == "New contact" and found.isVisible()
    ).click()
    click(qtbot, room, "contacts_add")
    problem = next(label for label in room.findChildren(QLabel, "name_problem") if label.parent().isVisible())
    qtbot.waitUntil(lambda: bool(problem.text()))
    assert "enter one" in problem.text()
    assert snapshot_of(room).contacts == ()


def test_what_is_no_number_is_said_at_its_field(qtbot: QtBot, room: Room) -> None:
    open_tab(room, "Origins")
    next(
        found
        for found in room.findChildren(QAbstractButton)
        if found.text() == "New origin" and found.isVisible()
    ).click()
    qtbot.keyClicks(visible(room, "name"), "Harrow Farm")
    field = visible(room, "self_relationship")
    field.selectAll()
    qtbot.keyClicks(field, "much")
    click(qtbot, room, "origins_add")
    assert "from 0 to 2" in room.findChild(QLabel, "self_relationship_problem").text()
    field.selectAll()
    qtbot.keyClicks(field, "0.5")
    with qtbot.waitSignal(room.context.record.changed):
        click(qtbot, room, "origins_add")
    assert snapshot_of(room).origins[0].self_relationship == 0.5


def summary(room: Room) -> str:
    return str(room.findChild(QLabel, "import_summary").text())


def begin_import(window: Window, room: Room, tmp_path: Path, text: str) -> None:
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    window.import_list(str(path))
    settle(window)


def test_a_list_is_previewed_then_imported_as_one_step(
    qtbot: QtBot, open_window: Window, room: Room, tmp_path: Path
) -> None:
    begin_import(
        open_window,
        room,
        tmp_path,
        "ring;name;sex;sire;dam;comb\nQ1;Rowan;hen;W22-01;Bramble;single\nQ2;Alder;cock;;;rose\n",
    )
    assert "Adds 2 birds." in summary(room)
    assert "comb" in summary(room)
    assert len(snapshot_of(room).birds) == 4, "nothing is saved by looking"
    with qtbot.waitSignal(room.context.record.changed):
        click(qtbot, room, "import_now")
    rowan = next(bird for bird in snapshot_of(room).birds if bird.name == "Rowan")
    assert [snapshot_of(room).bird(parent).name for parent in (*rowan.sires, *rowan.dams)] == [
        "Severn",
        "Bramble",
    ]
    with qtbot.waitSignal(room.context.record.changed):
        room.context.record.undo()
    assert len(snapshot_of(room).birds) == 4


def test_a_list_with_an_error_cannot_be_imported(
    qtbot: QtBot, open_window: Window, room: Room, tmp_path: Path
) -> None:
    begin_import(open_window, room, tmp_path, "mark,name,sex,sire\nQ1,Rowan,hen,Bramble\n")
    assert not room.findChild(QAbstractButton, "import_now").isEnabled()
    problems = room.findChild(Table, "import_problems")
    assert "Bramble" in problems.as_text(problems.rows.shown) or "W22-02" in problems.as_text(
        problems.rows.shown
    )


def test_only_the_keeper_can_say_which_order_a_date_has(
    qtbot: QtBot, open_window: Window, room: Room, tmp_path: Path
) -> None:
    begin_import(open_window, room, tmp_path, "mark,name,sex,hatched\nQ1,Rowan,hen,04/05/2021\n")
    assert not room.findChild(QAbstractButton, "import_now").isEnabled()
    answer = room.findChild(QComboBox, "question_0")
    answer.setFocus()
    qtbot.keyClicks(answer, "day")
    qtbot.keyClick(answer, Qt.Key.Key_Return)
    settle(open_window)
    qtbot.waitUntil(lambda: room.findChild(QAbstractButton, "import_now").isEnabled())
    with qtbot.waitSignal(room.context.record.changed):
        click(qtbot, room, "import_now")
    rowan = next(bird for bird in snapshot_of(room).birds if bird.name == "Rowan")
    assert str(rowan.hatched) == "2021-05-04"


def test_what_is_exported_can_be_imported(
    qtbot: QtBot, open_window: Window, room: Room, answers: Answers, tmp_path: Path
) -> None:
    out = tmp_path / "all.csv"
    answers.files.append(out)
    open_window.actions_here["book.export"].trigger()
    settle(open_window)
    assert out.exists()
    open_window.import_list(str(out))
    settle(open_window)
    assert "4 lines say what the book says already" in summary(room)


def test_a_file_that_is_no_list_is_told(
    open_window: Window, room: Room, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "list.xlsx"
    path.write_bytes(b"PK\x03\x04 cut off")
    open_window.import_list(str(path))
    settle(open_window)
    assert "list.xlsx" in answers.told[0]


def test_a_sound_book_is_said_to_be_sound(open_window: Window, room: Room) -> None:
    open_window.actions_here["book.check"].trigger()
    settle(open_window)
    assert "sound" in room.findChild(QLabel, "verdict").text()


def test_the_journal_shows_what_was_done_and_takes_it_back(
    qtbot: QtBot, open_window: Window, room: Room
) -> None:
    open_window.actions_here["book.journal"].trigger()
    settle(open_window)
    journal = room.findChild(Table, "journal")
    assert "Add 4 birds" in journal.as_text(journal.rows.shown)
    with qtbot.waitSignal(room.context.record.changed):
        click(qtbot, room, "journal_undo")
    settle(open_window)
    assert snapshot_of(room).birds == ()
    assert "Taken back: add 4 birds" in journal.as_text(journal.rows.shown)
    with qtbot.waitSignal(room.context.record.changed):
        click(qtbot, room, "journal_redo")
    assert len(snapshot_of(room).birds) == 4
