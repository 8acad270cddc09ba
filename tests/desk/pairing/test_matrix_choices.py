"""What the matrix shows, which pairs it marks, what is pinned and compared: with real keys on the small flock."""

import csv
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QCheckBox, QComboBox, QDialog, QDoubleSpinBox, QLineEdit, QPushButton, QSpinBox
from pytestqt.qtbot import QtBot

from studbook.book.changes import StrikeOut
from studbook.book.records import BirdId
from studbook.desk.app import settle
from studbook.desk.rooms.pairing.pairs.model import MatrixModel
from studbook.desk.rooms.pairing.pairs.page import PairsPage
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.window import Window
from studbook.planning.limits import FREE, Bar, Rules
from studbook.planning.pair_methods import Shown
from tests.desk.conftest import Answers
from tests.desk.pairing.conftest import column_of, id_of, row_of


def reach(room: PairsPage, cock: str, hen: str) -> None:
    """Put the keyboard on a pair."""
    room.matrix.setFocus()
    room.matrix.setCurrentIndex(room.model.index(row_of(room, hen), column_of(room, cock)))


def told(room: PairsPage, cock: str, hen: str) -> str:
    """What the matrix says where the pointer rests."""
    index = room.model.index(row_of(room, hen), column_of(room, cock))
    return str(index.data(Qt.ItemDataRole.ToolTipRole))


def bar(room: PairsPage, cock: str, hen: str) -> Bar:
    return room.model.bar(row_of(room, hen), column_of(room, cock))


def show(qtbot: QtBot, room: PairsPage, window: Window, shown: Shown) -> None:
    """Choose what is shown, with the keyboard."""
    choice = room.findChild(QComboBox, "pairing_shown")
    assert choice is not None
    choice.setFocus()
    key = Qt.Key.Key_Down if choice.findData(shown.value) > choice.currentIndex() else Qt.Key.Key_Up
    while choice.currentData() != shown.value:
        qtbot.keyClick(choice, key)
    settle(window)


def plain_spaces(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def generations_shown(room: PairsPage) -> bool:
    field = room.findChild(QSpinBox, "pairing_generations")
    assert field is not None
    return field.isVisible()


def ban(qtbot: QtBot, room: PairsPage, window: Window, cock: str, hen: str, reason: str) -> None:
    reach(room, cock, hen)
    qtbot.keyClick(room.matrix, Qt.Key.Key_B)
    settle(window)
    dialog = room.findChild(QDialog, "ban_dialog")
    assert dialog is not None
    line = dialog.findChild(QLineEdit, "reason")
    assert line is not None
    qtbot.keyClicks(line, reason)
    qtbot.keyClick(line, Qt.Key.Key_Return)
    settle(window)


def panel_text(room: PairsPage) -> str:
    text = room.panel.sentences.toPlainText()
    return " ".join(text.replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ").split())


def test_a_pair_is_banned_with_a_reason_and_the_ban_is_lifted_by_the_same_key(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    assert bar(room, "Dart", "Hazel") == FREE
    ban(qtbot, room, window, "Dart", "Hazel", "both have a wry tail")
    assert bar(room, "Dart", "Hazel") == Bar.BANNED
    assert "You do not want this pair: both have a wry tail." in told(room, "Dart", "Hazel")
    reach(room, "Dart", "Hazel")
    qtbot.keyClick(room.matrix, Qt.Key.Key_Return)
    settle(window)
    assert room.panel.isVisible()
    assert "You do not want this pair: both have a wry tail." in panel_text(room)
    reach(room, "Dart", "Hazel")
    qtbot.keyClick(room.matrix, Qt.Key.Key_B)
    settle(window)
    assert bar(room, "Dart", "Hazel") == FREE
    window.context.record.undo()
    settle(window)
    assert bar(room, "Dart", "Hazel") == Bar.BANNED


def test_escape_bans_nothing(qtbot: QtBot, room: PairsPage, window: Window) -> None:
    reach(room, "Dart", "Hazel")
    qtbot.keyClick(room.matrix, Qt.Key.Key_B)
    settle(window)
    dialog = room.findChild(QDialog, "ban_dialog")
    assert dialog is not None
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    settle(window)
    assert bar(room, "Dart", "Hazel") == FREE


def test_the_menu_says_the_keys_and_bans_too(qtbot: QtBot, room: PairsPage, window: Window) -> None:
    def deed(start: str) -> QAction:
        return next(action for action in room.matrix.pair_menu().actions() if action.text().startswith(start))

    reach(room, "Dart", "Hazel")
    assert deed("I do not want this pair").text().endswith("\tB")
    ban(qtbot, room, window, "Dart", "Hazel", "")
    reach(room, "Dart", "Hazel")
    deed("Lift the ban").trigger()
    settle(window)
    assert bar(room, "Dart", "Hazel") == FREE


def test_sibs_are_marked_only_when_the_keeper_wants_no_shared_parent(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    assert bar(room, "Tamar", "Bryony") == FREE
    rule = room.findChild(QCheckBox, "pairing_no_shared_parent")
    assert rule is not None
    rule.setFocus()
    qtbot.keyClick(rule, Qt.Key.Key_Space)
    settle(window)
    assert bar(room, "Tamar", "Bryony") == Bar.SHARED_PARENT
    assert Bar.SHARED_PARENT in bar(room, "Tamar", "Hazel")
    assert "Both are chicks of W20-01 Severn" in told(room, "Tamar", "Bryony")
    assert bar(room, "Dart", "Bryony") == FREE


def test_the_pointer_is_told_how_the_two_are_related_and_that_they_were_paired_before(
    room: PairsPage,
) -> None:
    said = told(room, "Tamar", "Hazel")
    assert "He is her full brother." in said
    assert "That is over the limit of 12.50 %." in said
    # Lune is a chick of theirs
    assert "They were paired before, in 2026. 1 chick in the book." in said
    assert room.model.had_eggs(row_of(room, "Hazel"), column_of(room, "Tamar")) is True
    assert room.model.had_eggs(row_of(room, "Hazel"), column_of(room, "Dart")) is None


def test_the_effect_on_gene_diversity_is_shown_with_its_sign_and_its_source(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    show(qtbot, room, window, Shown.DIVERSITY)
    model = room.model
    dart, tamar = column_of(room, "Dart"), column_of(room, "Tamar")
    bryony = row_of(room, "Bryony")
    assert model.text(bryony, dart).startswith("+")
    assert model.text(row_of(room, "Hazel"), tamar).startswith("−")
    assert model.depth(bryony, dart) < model.depth(row_of(room, "Hazel"), tamar)
    assert model.is_best(bryony, dart)
    way = room.findChild(QPushButton, "pairing_method")
    assert way is not None
    qtbot.mouseClick(way, Qt.MouseButton.LeftButton)
    assert "Ballou & Lacy 1995" in room.sentences.toPlainText()
    qtbot.mouseClick(way, Qt.MouseButton.LeftButton)
    assert "suits her best" in room.sentences.toPlainText()


def test_recent_and_old_parts_add_up_to_the_figure_by_convention(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    show(qtbot, room, window, Shown.RECENT)
    hazel, tamar = row_of(room, "Hazel"), column_of(room, "Tamar")
    assert room.model.value(hazel, tamar) == pytest.approx(0.25)
    assert generations_shown(room)
    show(qtbot, room, window, Shown.OLD)
    assert room.model.value(hazel, tamar) == pytest.approx(0.0)
    show(qtbot, room, window, Shown.EXPECTED)
    assert not generations_shown(room)


def test_a_pinned_bird_stands_in_front_however_the_rest_is_sorted_and_is_remembered(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    reach(room, "Wye", "Elder")
    for key in (Qt.Key.Key_C, Qt.Key.Key_H):
        qtbot.keyClick(room.matrix, key, Qt.KeyboardModifier.ShiftModifier)
    assert (column_of(room, "Wye"), row_of(room, "Elder")) == (1, 1)
    qtbot.keyClick(room.matrix, Qt.Key.Key_C)
    qtbot.keyClick(room.matrix, Qt.Key.Key_C)
    assert row_of(room, "Elder") == 1
    figures = [room.model.value(row, 1) for row in (2, 3)]
    assert figures == sorted(figures, reverse=True)
    again = PairingRoom(window.context)
    assert again.pairs.model.pinned == [id_of(room, "Wye"), id_of(room, "Elder")]
    again.leave()
    qtbot.keyClick(room.matrix, Qt.Key.Key_C, Qt.KeyboardModifier.ShiftModifier)
    assert column_of(room, "Wye") == 3


def test_two_pairs_stand_side_by_side_and_the_second_follows_the_keyboard(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    reach(room, "Tamar", "Hazel")
    qtbot.keyClick(room.matrix, Qt.Key.Key_K)
    settle(window)
    assert room.panel.comparison.isVisible()
    assert room.panel.comparison.sentence.startswith("Choose the other pair")
    reach(room, "Dart", "Bryony")
    settle(window)
    comparison = room.panel.comparison
    assert plain_spaces(comparison.sentence).startswith(
        "A21-09 Dart with W22-03 Bryony has the lower F of the chicks: 0.00 % against 25.00 %."
    )
    lines = {name: [plain_spaces(text) for text in both] for name, *both in comparison.texts}
    assert lines["F, cautious"] == ["25.00 %", "0.00 %"]
    assert lines["the cock is"][0] == "her full brother"
    qtbot.keyClick(room.matrix, Qt.Key.Key_Left if column_of(room, "Tamar") == 1 else Qt.Key.Key_Right)
    settle(window)
    assert "Bryony" in comparison.sentence
    assert "Dart" not in comparison.sentence
    ending = room.findChild(QPushButton, "pair_compare")
    assert ending is not None
    assert ending.text() == "End the comparison"
    ending.setFocus()
    qtbot.keyClick(ending, Qt.Key.Key_Space)
    assert room.panel.split.isVisible()
    assert not comparison.isVisible()


def test_there_is_a_way_on_to_the_pens_and_to_the_years_ahead(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    reach(room, "Dart", "Bryony")
    qtbot.keyClick(room.matrix, Qt.Key.Key_Return)
    settle(window)
    for name, page in (("pairing_to_pens", "pens"), ("pairing_to_ahead", "ahead"), ("pair_pens", "pens")):
        way = room.findChild(QPushButton, name)
        assert way is not None
        seen: list[str] = []
        room.page_asked.disconnect()
        room.page_asked.connect(seen.append)
        qtbot.mouseClick(way, Qt.MouseButton.LeftButton)
        assert seen == [page]


def test_a_mark_tells_what_colour_tells_too(qtbot: QtBot, room: PairsPage, window: Window) -> None:
    """A pair that is not wanted has a stroke, whatever its ground: the cell is not of one colour at its left."""

    def inks(cock: str, hen: str) -> int:
        index = room.model.index(row_of(room, hen), column_of(room, cock))
        room.matrix.scrollTo(index)
        rect = room.matrix.visualRect(index).adjusted(2, 2, -2, -2)
        rect.setWidth(rect.height())
        picture = room.matrix.viewport().grab(rect).toImage()
        return len(
            {picture.pixel(QPoint(x, y)) for x in range(picture.width()) for y in range(picture.height())}
        )

    reach(room, "Wye", "Elder")
    assert inks("Dart", "Bryony") == 1
    assert inks("Tamar", "Hazel") > 1
    ban(qtbot, room, window, "Dart", "Bryony", "")
    reach(room, "Wye", "Elder")
    assert inks("Dart", "Bryony") > 1


def test_pinning_keeps_birds_that_are_not_in_the_matrix(room: PairsPage) -> None:
    model: MatrixModel = room.model
    model.turn_pin(BirdId("somebody else"))
    assert model.pins(Qt.Orientation.Horizontal) == model.pins(Qt.Orientation.Vertical) == 0
    assert model.pinned == ["somebody else"]


def test_the_figure_on_view_is_what_is_exported(
    qtbot: QtBot, room: PairsPage, window: Window, answers: Answers, tmp_path: Path
) -> None:
    show(qtbot, room, window, Shown.DIVERSITY)
    answers.files.append(tmp_path / "pairs.csv")
    export = room.findChild(QPushButton, "pairing_export")
    assert export is not None
    qtbot.mouseClick(export, Qt.MouseButton.LeftButton)
    head, *lines = list(csv.reader((tmp_path / "pairs.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert head[0] == "hen (effect on gene diversity)"
    shown = room.model.value(row_of(room, "Hazel"), column_of(room, "Dart"))
    assert float(lines[0][1]) == pytest.approx(shown, abs=1e-6)


def test_what_is_shown_and_not_wanted_is_remembered(qtbot: QtBot, room: PairsPage, window: Window) -> None:
    show(qtbot, room, window, Shown.OLD)
    rule = room.findChild(QCheckBox, "pairing_no_shared_parent")
    limit = room.findChild(QDoubleSpinBox, "pairing_limit")
    assert rule is not None
    assert limit is not None
    rule.setFocus()
    qtbot.keyClick(rule, Qt.Key.Key_Space)
    limit.setFocus()
    qtbot.keyClick(limit, Qt.Key.Key_Down)
    settle(window)
    room.save_state()
    again = PairingRoom(window.context).pairs.controls
    assert again.shown is Shown.OLD
    assert again.rules == Rules(0.12, no_shared_parent=True)


def test_a_comparison_ends_when_a_bird_of_the_kept_pair_is_struck_out(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    reach(room, "Tamar", "Elder")
    qtbot.keyClick(room.matrix, Qt.Key.Key_K)
    settle(window)
    reach(room, "Dart", "Bryony")
    settle(window)
    assert room.panel.comparison.isVisible()
    window.context.record.apply(StrikeOut((id_of(room, "Elder"),), "entered twice"))
    settle(window)
    assert not room.panel.comparison.isVisible()
    assert room.panel.pair == (id_of(room, "Dart"), id_of(room, "Bryony"))
    assert "Dart" in panel_text(room)
