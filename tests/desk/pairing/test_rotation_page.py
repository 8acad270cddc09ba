"""The page Rotation, worked with keys and buttons: setting up, planning the moves, the years, changing and ending."""

from datetime import date
from pathlib import Path
from shutil import copy

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from studbook.book.husbandry.choosing_rows import Rotation
from studbook.book.opening import create_book
from studbook.book.records import BookDetails, Snapshot
from studbook.desk.app import settle
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.rooms.pairing.rotation.form import RotationDialog
from studbook.desk.rooms.pairing.rotation.page import RotationPage
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.prose import Prose
from studbook.desk.window import Window
from tests.planning.rotation.flock import TODAY, Rotating


@pytest.fixture(scope="module")
def bred(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three pens of two hens, in rotation for four seasons; one hen has strayed."""
    path = tmp_path_factory.mktemp("rotation") / "withybrook.studbook"
    flock = Rotating(3, 2, 4)
    flock.move("25d10", "brook", date(2027, 2, 2))
    with create_book(path, BookDetails("", yard="Withybrook"), today=TODAY) as book:
        flock.write(book)
    return path


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three pens with a cock and two hens each, and no rotation yet."""
    path = tmp_path_factory.mktemp("pens") / "withybrook.studbook"
    flock = Rotating(3, 2, 0)
    with create_book(path, BookDetails("", yard="Withybrook"), today=TODAY) as book:
        flock.write(book, rotation=False)
    return path


def enter(window: Window, path: Path) -> RotationPage:
    window.context.record.open(path, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    room = window.go("pairing")
    settle(window)
    assert isinstance(room, PairingRoom)
    room.turn_to("rotation")
    wait(window)
    return room.rotation


def wait(window: Window) -> None:
    settle(window)
    settle(window)


@pytest.fixture
def page(window: Window, bred: Path, tmp_path: Path) -> RotationPage:
    return enter(window, Path(copy(bred, tmp_path)))


@pytest.fixture
def fresh(window: Window, begun: Path, tmp_path: Path) -> RotationPage:
    return enter(window, Path(copy(begun, tmp_path)))


def read(page: RotationPage, name: str) -> str:
    found = page.findChild(Prose, name)
    assert found is not None
    text = found.toPlainText().replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(text.split())


def press(qtbot: QtBot, parent, name: str) -> None:  # type: ignore[no-untyped-def]
    found = parent.findChild(QAbstractButton, name)
    assert found is not None, name
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def book_of(window: Window) -> Snapshot:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return snapshot


def only_rotation(window: Window) -> Rotation:
    (found,) = book_of(window).husbandry.rotations.values()
    return found


def dialog() -> RotationDialog:
    found = QApplication.activeModalWidget()
    assert isinstance(found, RotationDialog)
    return found


def pens_in_order(window: Window) -> list[str]:
    year = book_of(window).husbandry
    return [year.pens[place.pen].name for place in year.pens_of_rotation[only_rotation(window).id]]


def test_it_shows_families_season_and_years(page: RotationPage) -> None:
    assert "Three lines: 3 families since 1 Feb 2023." in read(page, "rotation_told")
    assert "Lane to Brook" in read(page, "rotation_told")
    families = read(page, "rotation_families")
    assert "Cock: W25s20 25s20, of the family Brook." in families
    assert "W25d10 25d10 is in Brook, but belongs to the family Lane." in read(page, "rotation_faults")
    assert "never goes back to his own line in Orchard" in read(page, "rotation_season")
    assert [row.year.season for row in page.years.rows.rows] == [
        s for s in range(2023, 2027) for _pen in range(3)
    ]
    assert "after 5 generations" in read(page, "rotation_expected")
    methods = read(page, "rotation_methods")
    assert "Emik & Terrill 1949" in methods
    assert "Wright 1922" in methods


def test_the_moves_and_the_years_are_in_view(page: RotationPage) -> None:
    for table in (page.asks, page.years):
        seen = min(len(table.rows.rows), 12)
        assert seen > 6
        assert table.viewport().rect().contains(table.visualRect(table.rows.index(seen - 1, 0)))


def test_all_moves_are_planned_in_one_step_and_taken_back_by_one(
    qtbot: QtBot, window: Window, page: RotationPage
) -> None:
    due = [row.bird.id for row in page.asks.rows.rows if row.ask.is_due]
    assert len(due) == 6 + 1 + 3 + 3  # pullets, the hen that strayed, sons, old cocks
    press(qtbot, page, "rotation_plan")
    wait(window)
    moves = {move.bird: move for move in book_of(window).husbandry.moves.values()}
    assert set(moves) == set(due)
    assert {move.on for move in moves.values()} == {date(2027, 2, 21)}
    assert moves[due[0]].pen == "orchard"
    assert "its move is planned" in read(page, "rotation_season")
    plan = page.findChild(QAbstractButton, "rotation_plan")
    assert plan is not None
    assert not plan.isEnabled()
    window.context.record.undo()
    wait(window)
    assert not book_of(window).husbandry.moves


def test_only_selected_birds_are_planned_on_the_day_typed(
    qtbot: QtBot, window: Window, page: RotationPage
) -> None:
    table = page.asks
    table.setFocus()
    assert table.select("26s01")  # in reserve: the keeper wants him all the same
    edit = page.findChild(QLineEdit, "rotation_on")
    assert edit is not None
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, "1 Mar 2027")
    qtbot.keyClick(edit, Qt.Key.Key_Tab)
    plan = page.findChild(QAbstractButton, "rotation_plan")
    assert plan is not None
    assert plan.text() == "Plan the 1 selected move"
    qtbot.keyClick(plan, Qt.Key.Key_Space)
    wait(window)
    (move,) = book_of(window).husbandry.moves.values()
    assert (move.bird, move.pen, move.on) == ("26s01", "lane", date(2027, 3, 1))
    # he is the one who serves now
    chosen = {
        row.ask.to: row.bird.id for row in page.asks.rows.rows if row.ask.reason.name == "COCKEREL_MOVES_ON"
    }
    assert chosen["lane"] == "26s01"


def test_a_day_that_has_gone_plans_nothing(qtbot: QtBot, window: Window, page: RotationPage) -> None:
    edit = page.findChild(QLineEdit, "rotation_on")
    assert edit is not None
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, "1 Feb 2027")
    qtbot.keyClick(edit, Qt.Key.Key_Tab)
    press(qtbot, page, "rotation_plan")
    wait(window)
    assert not book_of(window).husbandry.moves


def test_a_cock_opens_the_f_of_his_chicks_hen_by_hen(
    qtbot: QtBot, window: Window, page: RotationPage
) -> None:
    page.asks.setFocus()
    page.asks.select("26s00")
    told = read(page, "rotation_why")
    assert "26s00 is of the family Orchard, known from the eggs it hatched from." in told
    assert "With the hens of Lane the F of his chicks would be" in told
    with qtbot.waitSignal(page.pair_asked) as asked:
        page.why.setFocus()
        for _link in range(2):  # past the cock and the first hen, whose pages they lead to
            qtbot.keyClick(page.why, Qt.Key.Key_Tab)
        qtbot.keyClick(page.why, Qt.Key.Key_Tab)
        qtbot.keyClick(page.why, Qt.Key.Key_Return)
    assert asked.args[0][0] == "26s00"


def test_a_family_in_a_season_opens_its_pullets(qtbot: QtBot, window: Window, page: RotationPage) -> None:
    table = page.years
    table.setFocus()
    table.select((2026, "orchard"))
    told = read(page, "rotation_opened")
    assert "Orchard in 2026" in told
    assert "(Brook, as it should be)" in told
    assert "W26d00 26d00 and W26d01 26d01" in told


def test_pen_families_are_set_up_from_the_empty_page(
    qtbot: QtBot, window: Window, fresh: RotationPage
) -> None:
    assert fresh.is_missing
    state = fresh.findChild(EmptyState)
    assert state is not None
    (begin,) = state.findChildren(QAbstractButton)
    assert begin.text() == "Set up pen families…"
    qtbot.mouseClick(begin, Qt.MouseButton.LeftButton)
    form = dialog()
    assert [form.pens.list.item(row).text() for row in range(4)] == [
        "Orchard: 1 cock, 2 hens",
        "Lane: 1 cock, 2 hens",
        "Brook: 1 cock, 2 hens",
        "Growing run: 0 cocks, 0 hens",
    ]
    assert len(form.pens.chosen) == 3
    wait(window)
    foreseen = form.pens.told.text()
    assert "Cockerels move from Orchard to Lane" in foreseen
    assert "With 3 pens the mean F of the hens is about" in foreseen
    names = form.pens.list
    names.setCurrentRow(2)
    qtbot.keyClick(names, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    qtbot.keyClick(form.name, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(form.name, "Our three lines")
    qtbot.keyClick(form.name, Qt.Key.Key_Return)
    wait(window)
    assert pens_in_order(window) == ["Orchard", "Brook", "Lane"]
    assert (only_rotation(window).name, only_rotation(window).begun) == ("Our three lines", TODAY)
    assert not fresh.is_missing
    assert "2027 is its first season" in read(fresh, "rotation_season")
    assert "No pullets have hatched of these families yet." in read(fresh, "rotation_expected")
    window.context.record.undo()
    wait(window)
    assert fresh.is_missing


def test_one_pen_is_no_rotation(qtbot: QtBot, window: Window, fresh: RotationPage) -> None:
    fresh.set_up()
    form = dialog()
    names = form.pens.list
    for row in (1, 2):
        names.setCurrentRow(row)
        qtbot.keyClick(names, Qt.Key.Key_Space)
    qtbot.mouseClick(form.verb, Qt.MouseButton.LeftButton)
    wait(window)
    assert form.form.fields["pens"].problem_text == "Tick two pens at least."
    assert not book_of(window).husbandry.rotations
    qtbot.keyClick(form, Qt.Key.Key_Escape)


def test_pens_are_taken_in_and_out_and_the_order_changed(
    qtbot: QtBot, window: Window, page: RotationPage
) -> None:
    press(qtbot, page, "rotation_change")
    form = dialog()
    names = form.pens.list
    names.setCurrentRow(0)
    press(qtbot, form, "rotation_later")  # Orchard after Lane
    names.setCurrentRow(3)
    qtbot.keyClick(names, Qt.Key.Key_Space)  # the growing run with them
    names.setCurrentRow(2)
    qtbot.keyClick(names, Qt.Key.Key_Space)  # Brook out of them
    qtbot.mouseClick(form.verb, Qt.MouseButton.LeftButton)
    wait(window)
    assert pens_in_order(window) == ["Lane", "Orchard", "Growing run"]
    window.context.record.undo()
    wait(window)
    assert pens_in_order(window) == ["Orchard", "Lane", "Brook"]


def test_a_rotation_that_has_ended_moves_nobody(qtbot: QtBot, window: Window, page: RotationPage) -> None:
    press(qtbot, page, "rotation_change")
    form = dialog()
    form.ended.edit.setFocus()
    qtbot.keyClicks(form.ended.edit, "1 Nov 2026")
    qtbot.keyClick(form.ended.edit, Qt.Key.Key_Return)
    wait(window)
    assert only_rotation(window).ended == date(2026, 11, 1)
    assert "The rotation has ended" in read(page, "rotation_season")
    assert not page.asks.isVisible()
    assert page.years.rows.rows


def test_it_is_taken_out_of_the_book_and_brought_back(
    qtbot: QtBot, window: Window, page: RotationPage
) -> None:
    press(qtbot, page, "rotation_take_out")
    wait(window)
    assert page.is_missing
    assert not book_of(window).husbandry.rotation_pens
    window.context.record.undo()
    wait(window)
    assert pens_in_order(window) == ["Orchard", "Lane", "Brook"]


def test_a_book_without_pens_says_what_is_needed_first(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "empty.studbook"
    create_book(path, BookDetails("", yard="Withybrook"), today=TODAY).close()
    page = enter(window, path)
    state = page.findChild(EmptyState)
    assert state is not None
    assert [button.text() for button in state.findChildren(QAbstractButton)] == ["Go to the pens"]
