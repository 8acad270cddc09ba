"""The room Family tree, worked with keys and clicks on the small flock of the planning tests."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtPrintSupport import QPrintPreviewDialog
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QApplication, QPushButton, QSpinBox, QToolButton
from pytestqt.qtbot import QtBot

from studbook.book.changes import AddBirds, AddOrigin
from studbook.book.opening import create_book
from studbook.book.records import BirdId, BookDetails
from studbook.desk.app import settle
from studbook.desk.rooms.tree.lines import LinesModel, family_lines
from studbook.desk.rooms.tree.room import TreeRoom
from studbook.desk.window import Window
from studbook.drawing.sheet import Box
from tests.desk.conftest import Answers
from tests.planning.flock import ALDER_YARD, TODAY, bird, flock


@pytest.fixture
def room(window: Window, tmp_path: Path) -> TreeRoom:
    """The room at Lune, whose parents are full sibs, so that both grandparents are met twice."""
    path = tmp_path / "withybrook.studbook"
    with create_book(path, BookDetails("", yard="Withybrook"), today=TODAY) as book:
        book.apply(AddOrigin(ALDER_YARD))
        book.apply(AddBirds(flock().birds))
    window.context.record.open(path, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    made = window.go("tree")
    assert isinstance(made, TreeRoom)
    made.show_bird(id_of(window, "Lune"))
    settle(window)
    return made


def id_of(window: Window, name: str) -> BirdId:
    """The bird with this name."""
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return next(bird.id for bird in snapshot.birds if bird.name == name)


def boxes_of(room: TreeRoom, bird: BirdId) -> list[Box]:
    """Where a bird stands in the drawing."""
    assert room.tree.drawing is not None
    return [box for box in room.tree.drawing.boxes if box.bird == bird]


def control(room: TreeRoom, name: str) -> QSpinBox:
    """One of the two generation boxes."""
    found = room.findChild(QSpinBox, name)
    assert found is not None
    return found


def test_a_bird_met_twice_carries_the_same_flag(room: TreeRoom, window: Window) -> None:
    severn = boxes_of(room, id_of(window, "Severn"))
    assert len(severn) == 2
    assert severn[0].flag is not None
    assert severn[0].flag == severn[1].flag


def test_inbreeding_is_shown(room: TreeRoom, window: Window) -> None:
    assert "F 25.0 %" in boxes_of(room, id_of(window, "Lune"))[0].label


def test_a_click_goes_to_the_bird(qtbot: QtBot, room: TreeRoom, window: Window) -> None:
    tamar = id_of(window, "Tamar")
    place = room.tree.place_of(boxes_of(room, tamar)[0]).center().toPoint()
    with qtbot.waitSignal(room.bird_asked) as asked:
        qtbot.mouseClick(room.tree.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert asked.args == [tamar]


def test_tab_walks_the_birds_and_enter_goes_there(qtbot: QtBot, room: TreeRoom, window: Window) -> None:
    room.tree.setFocus()
    qtbot.keyClick(room.tree, Qt.Key.Key_Tab)
    qtbot.keyClick(room.tree, Qt.Key.Key_Tab)
    reached = room.tree.current
    assert reached is not None
    assert room.tree.accessibleDescription() == reached.label
    with qtbot.waitSignal(room.bird_asked) as asked:
        qtbot.keyClick(room.tree, Qt.Key.Key_Return)
    assert asked.args == [reached.bird]


def test_generations_change_the_tree(qtbot: QtBot, room: TreeRoom, window: Window) -> None:
    up = control(room, "tree_up")
    up.setFocus()
    for _step in range(3):
        qtbot.keyClick(up, Qt.Key.Key_Down)
    settle(window)
    assert boxes_of(room, id_of(window, "Severn")) == []
    assert len(boxes_of(room, id_of(window, "Tamar"))) == 1


def test_descendants_are_shown_on_request(qtbot: QtBot, room: TreeRoom, window: Window) -> None:
    room.show_bird(id_of(window, "Severn"))
    down = control(room, "tree_down")
    down.setFocus()
    qtbot.keyClick(down, Qt.Key.Key_Up)
    qtbot.keyClick(down, Qt.Key.Key_Up)
    settle(window)
    assert len(boxes_of(room, id_of(window, "Lune"))) == 1
    assert len(boxes_of(room, id_of(window, "Bryony"))) == 1


def test_another_bird_is_found_by_typing(qtbot: QtBot, room: TreeRoom, window: Window) -> None:
    room.finder.setFocus()
    qtbot.keyClicks(room.finder, "bryo")
    qtbot.keyClick(room.finder, Qt.Key.Key_Return)
    settle(window)
    assert room.tree.drawing is not None
    assert room.tree.drawing.title == "Ancestors of Bryony"


def test_keys_and_wheel_zoom_and_ctrl_0_shows_all(qtbot: QtBot, room: TreeRoom, window: Window) -> None:
    tree = room.tree
    tree.setFocus()
    texts = window.context.theme.text_size
    before = tree.zoom
    qtbot.keyClick(tree, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    assert tree.zoom > before
    middle = QPointF(tree.viewport().rect().center())
    wheel = QWheelEvent(
        middle, tree.viewport().mapToGlobal(middle), QPoint(), QPoint(0, -240), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(tree.viewport(), wheel)
    assert tree.zoom < before
    qtbot.keyClick(tree, Qt.Key.Key_0, Qt.KeyboardModifier.ControlModifier)
    assert tree.drawing is not None
    assert tree.horizontalScrollBar().maximum() == 0
    assert window.context.theme.text_size == texts


def test_dragging_and_arrows_pan_without_going_anywhere(qtbot: QtBot, room: TreeRoom) -> None:
    tree = room.tree
    tree.zoom_by(4)
    bar = tree.verticalScrollBar()
    bar.setValue(bar.maximum() // 2)
    before = bar.value()
    start = tree.viewport().rect().center()
    with qtbot.assertNotEmitted(room.bird_asked):
        qtbot.mousePress(tree.viewport(), Qt.MouseButton.LeftButton, pos=start)
        qtbot.mouseMove(tree.viewport(), start + QPoint(0, 60))
        qtbot.mouseRelease(tree.viewport(), Qt.MouseButton.LeftButton, pos=start + QPoint(0, 60))
    dragged = bar.value()
    assert dragged < before
    tree.setFocus()
    qtbot.keyClick(tree, Qt.Key.Key_Down)
    assert bar.value() > dragged


def test_the_same_family_stands_in_lines(qtbot: QtBot, room: TreeRoom, window: Window) -> None:
    button = room.findChild(QToolButton, "tree_lines")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert room.lines.hasFocus()
    qtbot.keyClick(room.lines, Qt.Key.Key_Down)
    with qtbot.waitSignal(room.bird_asked) as asked:
        qtbot.keyClick(room.lines, Qt.Key.Key_Return)
    assert asked.args == [id_of(window, "Tamar")]


def test_lines_unfold_a_bird_once() -> None:
    subject = family_lines(flock(), BirdId("Lune"), 4, 0)
    tamar, hazel = subject.below
    assert [line.bird.name for line in tamar.below] == ["Severn", "Bramble"]
    assert [line.again for line in hazel.below] == [True, True]
    model = LinesModel()
    QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    model.show(subject)
    assert model.rowCount(model.index(0, 0)) == 2


@pytest.mark.parametrize(("suffix", "begins"), [("svg", b"<"), ("pdf", b"%PDF"), ("png", b"\x89PNG")])
def test_export_writes_what_the_file_name_asks(
    qtbot: QtBot, room: TreeRoom, window: Window, answers: Answers, tmp_path: Path, suffix: str, begins: bytes
) -> None:
    path = tmp_path / f"lune.{suffix}"
    answers.files.append(path)
    button = room.findChild(QPushButton, "tree_export")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    settle(window)
    assert path.read_bytes().startswith(begins)


def test_a_wrong_ending_is_told(
    qtbot: QtBot, room: TreeRoom, window: Window, answers: Answers, tmp_path: Path
) -> None:
    answers.files.append(tmp_path / "lune.doc")
    room.export()
    settle(window)
    assert "lune.doc cannot be written" in answers.told[0]


def test_printing_opens_a_preview(qtbot: QtBot, room: TreeRoom, window: Window) -> None:
    button = room.findChild(QPushButton, "tree_print")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    settle(window)
    preview = room.findChild(QPrintPreviewDialog, "print_preview")
    assert preview is not None
    preview.close()


def test_a_tree_too_large_says_choose_fewer_generations(qtbot: QtBot, room: TreeRoom, window: Window) -> None:
    chicks = tuple(
        bird(f"Chick {number}", flock().birds[0].sex, "2023-05-01", sire="Tamar") for number in range(900)
    )
    window.context.record.apply(AddBirds(chicks))
    settle(window)
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    room.show_snapshot(snapshot)
    room.show_bird(id_of(window, "Tamar"))
    control(room, "tree_down").setValue(2)
    settle(window)
    assert "Choose fewer generations" in room.tree.sentence
