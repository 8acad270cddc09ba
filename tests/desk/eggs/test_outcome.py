"""The page Outcome: what came of the eggs, for whom, and where losses fall."""

import csv
from datetime import timedelta
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox
from pytestqt.qtbot import QtBot

from studbook.book.changes import Enter
from studbook.book.husbandry.rows import Batch, EggFate, Fate, Sitting
from studbook.book.ids import BatchId, BirdId, EggFateId, PenId, SittingId
from studbook.desk.app import settle
from studbook.desk.rooms.eggs.room import EggsRoom
from studbook.desk.window import Window
from tests.desk.conftest import Answers
from tests.desk.eggs.conftest import TODAY, enter, press, said
from tests.season_flock import Yard


def hatch(yard: Yard, *, pen: PenId | None = None, hen: BirdId | None = None, **fates: int) -> None:
    """Eggs set five weeks ago, each with its end."""
    set_on = TODAY - timedelta(35)
    sitting = Sitting(SittingId(yard.book.new_id()), set_on, machine=yard.machine)
    batch = Batch(
        BatchId(yard.book.new_id()), sitting.id, sum(fates.values()), pen=pen, hen=hen,
        laid_from=set_on - timedelta(3), laid_to=set_on,
    )  # fmt: skip
    ends = [EggFate(EggFateId(""), batch.id, Fate[name.upper()], eggs) for name, eggs in fates.items()]
    yard.book.apply(Enter((sitting, batch, *ends)))


def turn_to_outcome(qtbot: QtBot, window: Window, room: EggsRoom) -> None:
    bar = room.tabs.tabBar()
    bar.setFocus()
    for _page in range(2):
        qtbot.keyClick(bar, Qt.Key.Key_Right)
    settle(window)
    settle(window)


def take_by(qtbot: QtBot, window: Window, room: EggsRoom, words: str) -> None:
    """Choose by what the eggs are taken together."""
    box = room.outcome.findChild(QComboBox, "outcome_by")
    assert box is not None
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Home)
    while box.currentText() != words:
        qtbot.keyClick(box, Qt.Key.Key_Down)
    settle(window)
    settle(window)


def cells(room: EggsRoom) -> list[list[str]]:
    table = room.outcome.table
    return [[column.text(row) for column in table.shown_as_columns()] for row in table.rows.shown]


def test_small_counts_are_told_by_their_counts(qtbot: QtBot, window: Window, yard: Yard) -> None:
    hatch(yard, pen=yard.orchard, clear=3, hatched=9)
    room = enter(window, yard)
    turn_to_outcome(qtbot, window, room)
    (row,) = cells(room)
    assert row[:5] == ["Orchard", "1", "12", "9 of 12 · 43–95 %", "9 of 12 · 43–95 %"]
    assert "9 of 12, between 43 and 95 in 100" in said(room, "outcome_told")


def test_by_cock_hen_machine_and_week(qtbot: QtBot, window: Window, yard: Yard) -> None:
    hatch(yard, pen=yard.orchard, hatched=6)
    hatch(yard, hen=yard.cowslip, hatched=4, clear=2)
    room = enter(window, yard)
    turn_to_outcome(qtbot, window, room)
    named = {}
    for words in ("Cock", "Hen", "Machine", "Week"):
        take_by(qtbot, window, room, words)
        named[words] = [row[0] for row in cells(room)]
    assert named["Cock"] == ["W24-01 Usk", "W24-02 Lune"]
    assert named["Hen"] == ["W24-13 Cowslip", "W24-11 or W24-12"]
    assert named["Machine"] == ["Cabinet"]
    assert named["Week"] == ["week of 26 Jan 2026"]


def test_a_line_chosen_is_told_beside_and_leads_to_its_bird(qtbot: QtBot, window: Window, yard: Yard) -> None:
    hatch(yard, hen=yard.avens, hatched=2, clear=18)
    hatch(yard, hen=yard.cowslip, hatched=6)
    room = enter(window, yard)
    turn_to_outcome(qtbot, window, room)
    take_by(qtbot, window, room, "Hen")
    room.outcome.table.setFocus()
    room.outcome.table.select(room.outcome.table.rows.shown[0].group)
    settle(window)
    assert "18 of 20" in said(room, "outcome_advice")
    assert "the cock" in said(room, "outcome_advice")
    assert "A vet" in said(room, "outcome_sources")
    press(qtbot, room, "outcome_all")
    settle(window)
    assert said(room, "outcome_told").startswith("26 eggs set.")
    qtbot.keyClick(room.outcome.table, Qt.Key.Key_Home)
    room.outcome.table.select(room.outcome.table.rows.shown[1].group)
    qtbot.keyClick(room.outcome.table, Qt.Key.Key_Return)
    settle(window)
    assert window.room is not room


def test_losses_are_a_chart_with_its_numbers_and_a_file(
    qtbot: QtBot, window: Window, yard: Yard, answers: Answers, tmp_path: Path
) -> None:
    hatch(yard, pen=yard.orchard, clear=2, early_dead=1, late_dead=1, hatched=6)
    room = enter(window, yard)
    turn_to_outcome(qtbot, window, room)
    drawing = room.outcome.losses.view.drawing
    assert drawing is not None
    assert [spot.label for spot in drawing.spots][:3] == [
        "set: 10 of 10",
        "clear: 2 of 10",
        "early dead: 1 of 10",
    ]
    answers.files.append(tmp_path / "losses.csv")
    press(qtbot, room, "loss_chart_export")
    settle(window)
    with (tmp_path / "losses.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[0] == ["What became of them", "Eggs", "Share of those set"]
    assert ["hatched", "6", "0.6"] in rows


def test_the_table_is_written_as_it_stands(
    qtbot: QtBot, window: Window, yard: Yard, answers: Answers, tmp_path: Path
) -> None:
    hatch(yard, pen=yard.orchard, clear=3, hatched=9)
    room = enter(window, yard)
    turn_to_outcome(qtbot, window, room)
    answers.files.append(tmp_path / "outcome.csv")
    press(qtbot, room, "outcome_export")
    with (tmp_path / "outcome.csv").open(encoding="utf-8-sig", newline="") as file:
        titles, row = csv.reader(file)
    assert dict(zip(titles, row, strict=True))["Fertile"] == "9 of 12 · 43–95 %"


def test_a_season_is_chosen_and_nothing_set_gives_no_percentage(
    qtbot: QtBot, window: Window, yard: Yard
) -> None:
    hatch(yard, pen=yard.orchard, removed=5)
    room = enter(window, yard)
    turn_to_outcome(qtbot, window, room)
    box = room.outcome.findChild(QComboBox, "outcome_season")
    assert box is not None
    assert [box.itemText(place) for place in range(box.count())] == ["all seasons", "2026"]
    (row,) = cells(room)
    # five set and taken away unseen: no egg tells of fertility
    assert row[2:5] == ["5", "", "0 of 5 · 0–52 %"]


def test_before_anything_is_set_it_says_what_will_stand_here(
    qtbot: QtBot, window: Window, room: EggsRoom
) -> None:
    turn_to_outcome(qtbot, window, room)
    assert room.outcome.is_missing


def test_every_loss_is_seen_without_going_sideways(qtbot: QtBot, window: Window, yard: Yard) -> None:
    hatch(yard, pen=yard.orchard, hatched=6, clear=2, early_dead=1, late_dead=1, pipped_dead=1)
    room = enter(window, yard)
    turn_to_outcome(qtbot, window, room)
    table = room.outcome.table
    assert window.width() == 1280
    assert table.horizontalScrollBar().maximum() == 0
    titles = [table.rows.columns[place].title for place in table.shown_columns()]
    assert titles[-5:] == ["Clear", "Early dead", "Late dead", "Pipped", "Hatched"]
