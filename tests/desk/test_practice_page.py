"""The figures of practice in the room Book: read, changed, refused, and what moves is shown first."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QTabWidget
from pytestqt.qtbot import QtBot

from studbook.book.changes import Chick, MoveBirds, RegisterChicks
from studbook.book.records import Snapshot
from studbook.desk.app import settle
from studbook.desk.rooms.book.practice import PracticePage
from studbook.desk.theme import Choice, font
from studbook.desk.widgets.prose import Prose
from studbook.desk.window import Window
from tests.flock import TODAY, ring
from tests.season_flock import hatch, new_yard, set_eggs


@pytest.fixture
def exchanged(tmp_path: Path) -> Path:
    """Usk left the pen Orchard on 20 January and Lune came; a chick of an egg of 10 February has two candidates."""
    yard = new_yard(tmp_path / "yard.studbook")
    yard.book.apply(MoveBirds((yard.usk,), None, date(2026, 1, 20)))
    yard.book.apply(MoveBirds((yard.lune,), yard.orchard, date(2026, 1, 20)))
    batch = set_eggs(yard, 6, date(2026, 2, 10), pen=yard.orchard)
    hatch(yard, batch, 1, date(2026, 3, 6))
    yard.book.apply(RegisterChicks(batch.id, date(2026, 3, 6), (Chick(ring("W26-01")),)))
    yard.book.close()
    return yard.book.path


@pytest.fixture
def page(window: Window, exchanged: Path) -> PracticePage:
    window.context.record.open(exchanged, today=TODAY)
    settle(window)
    room = window.go("book")
    tabs = room.findChild(QTabWidget, "book_tabs")
    page = room.findChild(PracticePage)
    assert isinstance(page, PracticePage)
    tabs.setCurrentWidget(page)
    return page


def choose(page: PracticePage, name: str) -> None:
    assert page.table.select(name)


def field(page: PracticePage, name: str) -> QLineEdit:
    found = page.findChild(QLineEdit, name)
    assert isinstance(found, QLineEdit)
    return found


def write(qtbot: QtBot, page: PracticePage, text: str) -> None:
    value = field(page, "value")
    value.setFocus()
    value.selectAll()
    qtbot.keyClicks(value, text)
    qtbot.keyClick(value, Qt.Key.Key_Return)


def snapshot_of(window: Window) -> Snapshot:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return snapshot


def test_every_figure_says_what_holds_and_where_it_comes_from(page: PracticePage) -> None:
    rows = {row.name: row for row in page.table.rows.rows}
    assert (rows["clear_days"].shown, rows["clear_days"].evidence) == ("28", "common practice")
    assert "Hutt 1949" in rows["lasting_days"].source
    assert rows["halving_days"].evidence == "from memory"
    assert rows["incubation chicken days"].shown == "21, from 20 to 22"
    species = page.findChild(QComboBox, "practice_species")
    species.setFocus()
    species.setCurrentIndex(species.findData("turkey"))
    assert {row.name: row for row in page.table.rows.rows}["clear_days"].shown == "56"


def test_a_value_of_ones_own_is_kept_by_the_keyboard_and_taken_back(
    qtbot: QtBot, window: Window, page: PracticePage
) -> None:
    choose(page, "ring_check_days")
    qtbot.keyClick(page.table, Qt.Key.Key_Return)
    assert field(page, "value").hasFocus()
    with qtbot.waitSignal(window.context.record.changed):
        write(qtbot, page, "5")
    row = next(row for row in page.table.rows.rows if row.name == "ring_check_days")
    assert (row.shown, row.evidence, row.published) == ("5", "your own", "7")
    reset = page.findChild(QAbstractButton, "figure_reset")
    reset.setFocus()
    with qtbot.waitSignal(window.context.record.changed):
        qtbot.keyClick(reset, Qt.Key.Key_Space)
    assert not snapshot_of(window).husbandry.figures
    assert not reset.isVisible()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("many", "Write a number"),
        ("20.5", "whole number"),
        ("900", "0 to 366"),
        ("40", "strict”, which is 35"),
    ],
)
def test_a_wrong_value_is_refused_at_its_field(
    qtbot: QtBot, window: Window, page: PracticePage, text: str, said: str
) -> None:
    choose(page, "clear_days")
    write(qtbot, page, text)
    problem = page.findChild(QLabel, "value_problem")
    qtbot.waitUntil(lambda: said in problem.text())
    assert not snapshot_of(window).husbandry.figures


def test_the_chicks_whose_parents_would_change_are_shown_before_anything_is_saved(
    qtbot: QtBot, window: Window, page: PracticePage
) -> None:
    chick = next(bird for bird in snapshot_of(window).birds if bird.mark == "W26-01")
    assert len(chick.sires) == 2
    # with eggs at most 14 days after a cock, none of 10 February is Usk's, who left on 20 January
    choose(page, "lasting_days")
    write(qtbot, page, "14")
    moved = page.findChild(Prose, "practice_moved")
    qtbot.waitUntil(moved.isVisible)
    assert "The parents of 1 bird would change:" in moved.toPlainText()
    # marks are kept on one line by joiners that are not seen
    assert "W26-01" in moved.toPlainText().replace("\u2060", "")
    assert not snapshot_of(window).husbandry.figures
    with qtbot.waitSignal(window.context.record.changed):
        qtbot.keyClick(field(page, "value"), Qt.Key.Key_Return)
    after = snapshot_of(window)
    lune = next(bird for bird in after.birds if bird.name == "Lune")
    assert after.bird(chick.id).sires == (lune.id,)
    assert not moved.isVisible()


def test_incubation_days_are_read_here_and_set_on_a_sitting(page: PracticePage) -> None:
    choose(page, "incubation bantam days")
    assert not field(page, "value").isVisible()
    assert "on the sitting itself" in page.findChild(QLabel, "figure_about").text()


def test_in_large_text_no_figure_is_cut_and_the_chosen_one_stands_below(
    window: Window, page: PracticePage
) -> None:
    window.resize(1280, 800)
    settle(window)
    beside = page.findChild(QLineEdit, "value")
    assert beside is not None
    assert beside.mapTo(page, beside.rect().topLeft()).x() > page.table.geometry().right()
    window.context.theme.choose(Choice.LIGHT, 2.0)
    settle(window)
    tabs = window.go("book").findChild(QTabWidget, "book_tabs")
    larger = window.go("book").findChild(PracticePage)
    assert tabs is not None
    assert larger is not None
    tabs.setCurrentWidget(larger)
    settle(window)
    letters = QFontMetricsF(font())
    widest = max(letters.horizontalAdvance(row.words) for row in larger.table.rows.rows)
    assert larger.table.columnWidth(0) > widest
    below = larger.findChild(QLineEdit, "value")
    assert below is not None
    assert below.mapTo(larger, below.rect().topLeft()).y() > larger.table.geometry().bottom()
