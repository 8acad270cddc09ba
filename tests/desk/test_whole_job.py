"""The whole job with keys and clicks: an empty book, founders, a hatch, next season's pair, tree, certificate."""

import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QSettings, Qt
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from studbook.book.records import Bird, Sex, Snapshot
from studbook.desk.app import settle
from studbook.desk.certificate.panel import CertificatePanel
from studbook.desk.hatch.chicks import SEX
from studbook.desk.hatch.form import HatchForm
from studbook.desk.record import Record
from studbook.desk.rooms.birds.adding import AddBirdDialog
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.rooms.tree.room import TreeRoom
from studbook.desk.theme import Theme
from studbook.desk.window import Window
from studbook.desk.work import Workers
from tests.desk.birds.conftest import named, opened, press, type_into
from tests.desk.birds.test_hatch import choose_parent, marks_in
from tests.desk.conftest import Answers
from tests.desk.pairing.test_pairing_room import click_cell, figure

CONTROL = Qt.KeyboardModifier.ControlModifier


def book(window: Window) -> Snapshot:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return snapshot


def changed(qtbot: QtBot, window: Window, deed: Callable[[], object]) -> None:
    """Do something and wait until the book has changed."""
    with qtbot.waitSignal(window.context.record.changed):
        deed()
    settle(window)


@pytest.fixture
def restarted(
    qtbot: QtBot, window: Window, theme: Theme, settings: QSettings, answers: Answers
) -> Iterator[Callable[[], Window]]:
    """Close the window and start the program again on the same book."""
    made: list[Window] = []

    def start() -> Window:
        open_book = window.context.record.open_book
        assert open_book is not None
        path = open_book.path
        window.close()
        again = Window(Record(), Workers(2, "numbers"), settings, theme, answers)
        made.append(again)
        again.show()
        with qtbot.waitActive(again):
            again.activateWindow()
        again.context.record.open(path)
        settle(again)
        return again

    yield start
    for again in made:
        again.close()
        again.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def begin_book(qtbot: QtBot, window: Window) -> None:
    window.show_first_start()
    qtbot.keyClick(window, Qt.Key.Key_N, CONTROL)
    for field, text in {"keeper": "Ada Thorn", "yard": "Withybrook", "breed": "Andalusian"}.items():
        qtbot.keyClicks(window.findChild(QLineEdit, field), text)
    with qtbot.waitSignal(window.filled):
        qtbot.keyClick(window.findChild(QLineEdit, "breed"), Qt.Key.Key_Return)
    settle(window)


def add_founder(
    qtbot: QtBot, window: Window, room: BirdsRoom, mark: str, name: str, sex: Sex, yard: str
) -> None:
    if book(window).birds:
        press(qtbot, room, "add_bird")
    else:
        first = next(each for each in room.findChildren(QPushButton) if each.text() == "Add your first birds")
        qtbot.mouseClick(first, Qt.MouseButton.LeftButton)
    dialog = opened(window, AddBirdDialog)
    type_into(qtbot, dialog.mark.code, mark)
    type_into(qtbot, dialog.name, name)
    dialog.sex.setCurrentIndex(dialog.sex.findData(sex))
    type_into(qtbot, dialog.hatched, "April 2023")
    type_into(qtbot, dialog.origin, yard)
    changed(qtbot, window, lambda: press(qtbot, dialog, "save"))


def register_hatch(qtbot: QtBot, window: Window, room: BirdsRoom) -> list[Bird]:
    press(qtbot, room, "register_hatch")
    settle(window)
    form = room.findChild(HatchForm)
    assert isinstance(form, HatchForm)
    type_into(qtbot, form.hatched, "12 Apr 2025")
    choose_parent(qtbot, form, "sire", "severn")
    choose_parent(qtbot, form, "dam", "sor")
    type_into(qtbot, form.count, "8")
    assert marks_in(form) == [f"W25-0{number}" for number in range(1, 9)]
    for row in range(8):
        form.model.setData(form.model.index(row, SEX), "c" if row < 2 else "h")
    settle(window)
    changed(qtbot, window, lambda: press(qtbot, form, "save_hatch"))
    return [bird for bird in book(window).birds if bird.mark.startswith("W25-")]


def test_from_an_empty_book_to_a_certificate_and_back(
    qtbot: QtBot,
    window: Window,
    answers: Answers,
    tmp_path: Path,
    restarted: Callable[[], Window],
) -> None:
    begin_book(qtbot, window)
    room = window.go("birds")
    settle(window)
    assert isinstance(room, BirdsRoom)
    add_founder(qtbot, window, room, "W23-01", "Severn", Sex.COCK, "Alder Yard")
    add_founder(qtbot, window, room, "W23-02", "Sorrel", Sex.HEN, "Marlcote")
    chicks = register_hatch(qtbot, window, room)
    severn, sorrel = named(book(window), "Severn"), named(book(window), "Sorrel")
    assert {(chick.sire, chick.dam) for chick in chicks} == {(severn.id, sorrel.id)}

    pairing = window.go("pairing")
    window.resize(1280, 800)
    settle(window)
    assert isinstance(pairing, PairingRoom)
    pairs = pairing.pairs
    # Wright 1922: sire and daughter 1/4, as full brother and sister
    cell = pairs.model
    row = next(row for row in range(1, cell.rowCount()) if (hen := cell.hen(row)) and hen.mark == "W25-03")
    column = next(place for place in range(1, cell.columnCount()) if cell.cock(place) == severn)
    assert cell.index(row, column).data() == "25.0 %"
    assert figure(pairs, "Severn", "Sorrel") == "0.0 %"
    click_cell(qtbot, pairs, "Severn", "Sorrel")
    settle(window)
    assert pairs.panel.pair == (severn.id, sorrel.id)

    daughter = next(chick for chick in chicks if chick.mark == "W25-03")
    window.go("birds")
    room.show_bird(daughter.id)
    settle(window)
    press(qtbot, room, "ask_tree")
    settle(window)
    tree = window.room
    assert isinstance(tree, TreeRoom)
    assert tree.tree.drawing is not None
    assert {box.bird for box in tree.tree.drawing.boxes} == {daughter.id, severn.id, sorrel.id}

    window.go("birds")
    target = tmp_path / "certificate.pdf"
    answers.files.append(target)
    press(qtbot, room, "ask_certificate")
    settle(window)
    panel = room.findChild(CertificatePanel)
    assert isinstance(panel, CertificatePanel)
    changed(qtbot, window, lambda: press(qtbot, panel, "write_certificate"))
    assert [issued.bird for issued in book(window).certificates] == [daughter.id]
    if shutil.which("pdftotext"):
        printed = subprocess.run(
            ["pdftotext", target, "-"], capture_output=True, text=True, check=True
        ).stdout
        assert all(
            word in printed for word in ("W25-03", "Severn", "W23-01", "Sorrel", "W23-02", "Ada Thorn")
        )
    whole = book(window)

    # in a text field the same keys take back letters
    window.go("yard")
    settle(window)
    # no window manager is here to make the window active again after a dialog
    with qtbot.waitActive(window):
        window.activateWindow()
    for _change in ("the certificate", "the hatch"):
        changed(qtbot, window, lambda: qtbot.keyClick(window, Qt.Key.Key_Z, CONTROL))
    assert {bird.mark for bird in book(window).birds} == {"W23-01", "W23-02"}
    for _change in ("the hatch", "the certificate"):
        changed(qtbot, window, lambda: qtbot.keyClick(window, Qt.Key.Key_Y, CONTROL))
    assert book(window).birds == whole.birds

    again = restarted()
    assert book(again).birds == whole.birds
    assert book(again).certificates == whole.certificates
    changed(qtbot, again, lambda: qtbot.keyClick(again, Qt.Key.Key_Z, CONTROL))
    assert book(again).certificates == ()
