"""Looking back, worked with keys and buttons on a small season."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrintPreviewDialog
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from studbook.desk.app import settle
from studbook.desk.room import BirdList
from studbook.desk.rooms.pairing.back.note_form import NoteDialog
from studbook.desk.rooms.pairing.back.page import BackPage
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.window import Window
from tests.flock import TODAY
from tests.planning.looking_back.season import season


@pytest.fixture
def season_book(tmp_path: Path) -> Path:
    yard = season(tmp_path / "withybrook.studbook")
    yard.book.close()
    return yard.book.path


def enter(window: Window, path: Path) -> BackPage:
    window.context.record.open(path, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    room = window.go("pairing")
    assert isinstance(room, PairingRoom)
    room.turn_to("back")
    settle(window)
    settle(window)
    return room.back


@pytest.fixture
def page(window: Window, season_book: Path) -> BackPage:
    return enter(window, season_book)


def press(qtbot: QtBot, where: QWidget, name: str) -> None:
    found = where.findChild(QPushButton, name)
    assert found is not None, name
    assert found.isEnabled(), name
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def read(text: str) -> str:
    return " ".join(text.replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ").split())


def test_the_plan_stands_beside_what_came(page: BackPage) -> None:
    assert "2026: Two pens" in page.chooser.currentText()
    assert "4 chicks, 3 in the flock now" in read(page.lead.toPlainText())
    by_key = {column.key: at for at, column in enumerate(page.model.columns)}
    rows = [
        [page.model.index(row, by_key[key]).data() for key in ("pen", "chicks", "living", "share", "eggs")]
        for row in range(page.model.rowCount())
    ]
    assert rows == [["Orchard", "3", "2", "75 %", "12"], ["Lane", "1", "1", "25 %", "4"]]
    assert "Usk is calm." in page.reasons.toPlainText()
    assert "She lays well." in page.reasons.toPlainText()
    assert "Have a proven cock in reserve" in read(page.differently.toPlainText())


def test_a_figure_says_how_it_is_found(qtbot: QtBot, page: BackPage) -> None:
    press(qtbot, page, "back_figure_kinship")
    said = read(page.figures.explained.toPlainText())
    assert "a bird with itself is left out" in said
    assert "Ballou & Lacy 1995" in said


def test_a_note_is_written_and_taken_back_in_one_step(qtbot: QtBot, window: Window, page: BackPage) -> None:
    press(qtbot, page, "back_write_note")
    settle(window)
    form = QApplication.activeModalWidget()
    assert isinstance(form, NoteDialog)
    qtbot.keyClicks(form.note, "Prove Lune in January.")
    press(qtbot, form, "save")
    settle(window)
    settle(window)
    note = page.findChild(QLabel, "back_note")
    assert note is not None
    assert note.text() == "Your note: Prove Lune in January."
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    assert [plan.note for plan in snapshot.husbandry.plans.values()] == ["Prove Lune in January."]
    window.undo()
    settle(window)
    settle(window)
    assert not note.isVisible()


def test_the_chicks_are_shown_as_a_list(qtbot: QtBot, page: BackPage) -> None:
    with qtbot.waitSignal(page.birds_asked) as asked:
        press(qtbot, page, "back_chicks")
    assert asked.args is not None
    (found,) = asked.args
    assert isinstance(found, BirdList)
    assert len(found.birds) == 4


def test_without_a_plan_it_teaches_and_leads_to_the_pens(
    qtbot: QtBot, window: Window, planned_book: Path
) -> None:
    page = enter(window, planned_book)
    assert page.is_missing
    buttons = [found for found in page.findChildren(QPushButton) if found.text() == "Plan the pens"]
    with qtbot.waitSignal(page.page_asked) as asked:
        qtbot.mouseClick(buttons[0], Qt.MouseButton.LeftButton)
    assert asked.args == ["pens"]
    settle(window)


def test_what_came_is_printed(window: Window, page: BackPage) -> None:
    window.print_room()
    preview = window.findChild(QPrintPreviewDialog)
    assert preview is not None
    settle(window)
    assert preview.windowTitle() == "What came of the plan Two pens"
    preview.reject()
