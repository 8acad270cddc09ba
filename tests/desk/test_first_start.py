"""Beginning: a new book, a list, the sample flock."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from studbook import places
from studbook.desk.app import settle
from studbook.desk.window import Window
from tests.desk.conftest import Answers


def choose(qtbot: QtBot, window: Window, name: str) -> None:
    ways = [button for button in window.findChildren(QPushButton) if button.accessibleName() == name]
    qtbot.mouseClick(ways[0], Qt.MouseButton.LeftButton)


def fill(qtbot: QtBot, window: Window, **texts: str) -> None:
    for key, text in texts.items():
        qtbot.keyClicks(window.findChild(QLineEdit, key), text)


def test_a_new_book_is_begun_with_keys_alone(
    qtbot: QtBot, window: Window, answers: Answers, tmp_path: Path
) -> None:
    window.show_first_start()
    qtbot.keyClick(window, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    fill(qtbot, window, keeper="Ada Thorn", yard="Withy Brook", breed="Andalusian")
    where = window.findChild(QLineEdit, "where")
    assert where.text().endswith("withy-brook.studbook")
    window.findChild(QComboBox, "species").setCurrentText("ducks")
    with qtbot.waitSignal(window.filled):
        qtbot.keyClick(window.findChild(QLineEdit, "breed"), Qt.Key.Key_Return)
    settle(window)
    book = window.context.record.open_book
    assert book is not None
    assert book.path.name == "withy-brook.studbook"
    details = book.snapshot.details
    assert (details.keeper, details.yard, details.breed) == ("Ada Thorn", "Withy Brook", "Andalusian")
    assert details.species == "duck"


def test_a_place_that_is_taken_is_said_below_the_field(
    qtbot: QtBot, window: Window, answers: Answers, tmp_path: Path
) -> None:
    taken = tmp_path / "taken.studbook"
    taken.write_text("mine")
    answers.files.append(taken)
    window.show_first_start()
    choose(qtbot, window, "Begin a new book")
    place = next(button for button in window.findChildren(QPushButton) if "another place" in button.text())
    qtbot.mouseClick(place, Qt.MouseButton.LeftButton)
    with qtbot.waitSignal(window.context.record.unusable):
        qtbot.mouseClick(window.findChild(QAbstractButton, "begin_book"), Qt.MouseButton.LeftButton)
    assert "taken.studbook" in window.findChild(QLabel, "where_problem").text()
    assert taken.read_text() == "mine"


def test_a_list_can_be_the_beginning(qtbot: QtBot, window: Window, answers: Answers, tmp_path: Path) -> None:
    listed = tmp_path / "my birds.csv"
    listed.write_text("ring;name;sex\nQ1;Rowan;hen\nQ2;Alder;cock\n")
    answers.files.append(listed)
    window.show_first_start()
    choose(qtbot, window, "Import a list you keep")
    fill(qtbot, window, yard="Listed")
    with qtbot.waitSignal(window.filled):
        qtbot.mouseClick(window.findChild(QAbstractButton, "begin_book"), Qt.MouseButton.LeftButton)
    settle(window)
    assert "Adds 2 birds" in window.findChild(QLabel, "import_summary").text()
    with qtbot.waitSignal(window.context.record.changed):
        qtbot.mouseClick(window.findChild(QAbstractButton, "import_now"), Qt.MouseButton.LeftButton)
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    assert {bird.name for bird in snapshot.birds} == {"Rowan", "Alder"}


@pytest.mark.skipif(not (Path(places.__file__).parents[1] / "demo_flock.db").exists(), reason="built later")
def test_the_sample_flock_opens_as_a_copy_on_its_own_day(qtbot: QtBot, window: Window) -> None:
    sample = places.demo_flock()
    before = sample.read_bytes()
    window.show_first_start()
    with qtbot.waitSignal(window.filled, timeout=20_000):
        choose(qtbot, window, "Open the sample flock")
    settle(window)
    book = window.context.record.open_book
    assert book is not None
    assert book.path.parent == places.data_folder()
    assert book.today.isoformat() == "2027-02-14"
    assert sample.read_bytes() == before
    assert not list(sample.parent.glob("demo_flock.db?*"))
