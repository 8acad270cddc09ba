"""The room Pens, worked with mouse and keys: the board, moves, plans, exchanges, notes, pens and paper."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QDrag, QDragEnterEvent, QDragMoveEvent, QDropEvent, QWindow
from PySide6.QtPrintSupport import QPrintPreviewDialog
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QLabel, QMenu, QPushButton
from pytestqt.qtbot import QtBot

from studbook.book.changes import Enter, MoveBirds
from studbook.book.husbandry.rows import Machine, Move
from studbook.book.ids import MachineId, MoveId
from studbook.desk.app import settle
from studbook.desk.deeds.mating import MatingDialog
from studbook.desk.deeds.moving import MoveDialog
from studbook.desk.deeds.stay import StayDialog
from studbook.desk.rooms.pens import flock_list
from studbook.desk.rooms.pens.exchanging import ExchangeDialog
from studbook.desk.rooms.pens.housing import HouseDialog, MachineDialog, PenDialog
from studbook.desk.rooms.pens.room import PensRoom
from studbook.desk.window import Window
from studbook.planning.pens.board import stays_on
from tests.desk.conftest import Answers
from tests.desk.pens.conftest import (
    bird_named,
    click_bird,
    column_named,
    dialog,
    list_with,
    now,
    pen_named,
    press,
    where,
    write,
)
from tests.flock import TODAY


def texts(room: PensRoom, pen: str) -> str:
    """What a column says around its birds."""
    return "\n".join(
        found.text() for found in column_named(room, pen).findChildren(QLabel) if not found.isHidden()
    )


def names(room: PensRoom, pen: str) -> list[str]:
    """The birds of a column."""
    return [now(room).bird(bird).name for bird in column_named(room, pen).list.birds]


def settled(window: Window) -> None:
    """Both boards of a change, without and with figures, are here."""
    settle(window)
    settle(window)


def plain(text: str) -> str:
    return " ".join(text.replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ").split())


class Carried(QDrag):
    """A drag whose mouse is led by the test: the screenless platform has no drag loop of its own.

    What a system tells the window of a drag, entering, moving and dropping at a place, is told to it here.
    """

    goal = QPoint()
    over: QWindow

    def exec(self, *_actions: object) -> Qt.DropAction:  # type: ignore[override]
        move, left, none = Qt.DropAction.MoveAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        for event in (
            QDragEnterEvent(self.goal, move, self.mimeData(), left, none),
            QDragMoveEvent(self.goal, move, self.mimeData(), left, none),
            QDropEvent(QPointF(self.goal), move, self.mimeData(), left, none),
        ):
            QApplication.sendEvent(self.over, event)
        return Qt.DropAction.MoveAction


@pytest.fixture(autouse=True)
def carried(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(flock_list, "QDrag", Carried)


def drag(window: Window, room: PensRoom, name: str, pen: str) -> None:
    """Drag a bird with the mouse to the head of another pen."""
    birds, handle = list_with(room, name), window.windowHandle()
    row = birds.birds.index(bird_named(room, name))
    inside = birds.visualRect(birds.model_of_lines.index(row)).center()
    start = birds.viewport().mapTo(window, inside)
    column = column_named(room, pen)
    Carried.over = handle
    Carried.goal = column.mapTo(window, QPoint(column.width() // 2, 12))
    QTest.mousePress(handle, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    QTest.mouseMove(handle, start + QPoint(4, 0))
    QTest.mouseMove(handle, start + QPoint(24, 4))
    QTest.mouseRelease(handle, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    settle(window)


def test_the_board_shows_each_pen_with_its_figures_and_warnings(room: PensRoom) -> None:
    assert names(room, "Orchard") == ["Usk", "Avens", "Betony"]
    said = texts(room, "Orchard")
    for words in (
        "1 cock, 2 hens",
        "F of the chicks 0.0 %",
        "room for 5 more",
        "unchanged since 10 Jan 2026",
    ):
        assert words in said
    assert "2 hens with 1 cock, where 6 to 15 a cock are usual" in said
    assert "is alone with" in texts(room, "Lane")


def test_a_bird_is_dragged_to_another_pen_and_undo_brings_it_back(window: Window, room: PensRoom) -> None:
    drag(window, room, "Betony", "Lane")
    settled(window)
    assert where(room, "Betony") == "Lane"
    assert names(room, "Lane") == ["Lune", "Betony", "Cowslip"]
    window.undo()
    settled(window)
    assert where(room, "Betony") == "Orchard"
    assert names(room, "Orchard") == ["Usk", "Avens", "Betony"]


def test_several_birds_of_two_pens_are_dragged_together(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    click_bird(qtbot, room, "Avens")
    click_bird(qtbot, room, "Betony", Qt.KeyboardModifier.ControlModifier)
    drag(window, room, "Avens", "Lane")
    settled(window)
    assert names(room, "Lane") == ["Lune", "Avens", "Betony", "Cowslip"]
    assert now(room).undo_label == "move 2 birds to Lane"


def test_a_bird_dropped_on_its_own_pen_stays(window: Window, room: PensRoom) -> None:
    before = now(room).entry
    drag(window, room, "Betony", "Orchard")
    settled(window)
    assert now(room).entry == before


def test_birds_are_moved_by_keys_alone(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    room.board.enter()
    birds = list_with(room, "Usk")
    qtbot.keyClick(birds, Qt.Key.Key_Down)
    qtbot.keyClick(birds, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert [bird.name for bird in room.chosen] == ["Avens", "Betony"]
    qtbot.keyClick(window, Qt.Key.Key_M, Qt.KeyboardModifier.ControlModifier)
    settle(window)
    form = dialog()
    assert isinstance(form, MoveDialog)
    assert form.pen.currentText() == "Lane, Orchard house"
    qtbot.keyClick(form.note, Qt.Key.Key_Return)
    settled(window)
    assert where(room, "Avens") == where(room, "Betony") == "Lane"


def test_the_arrows_lead_from_pen_to_pen(qtbot: QtBot, room: PensRoom) -> None:
    room.board.enter()
    qtbot.keyClick(list_with(room, "Usk"), Qt.Key.Key_Right)
    assert [bird.name for bird in room.chosen] == ["Lune"]
    qtbot.keyClick(list_with(room, "Lune"), Qt.Key.Key_Left)
    assert [bird.name for bird in room.chosen] == ["Usk"]


def test_a_click_elsewhere_leaves_one_choice(qtbot: QtBot, room: PensRoom) -> None:
    click_bird(qtbot, room, "Avens")
    click_bird(qtbot, room, "Cowslip")
    assert [bird.name for bird in room.chosen] == ["Cowslip"]


def test_enter_opens_the_page_of_a_bird(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    click_bird(qtbot, room, "Avens")
    with qtbot.waitSignal(room.bird_asked) as asked:
        qtbot.keyClick(list_with(room, "Avens"), Qt.Key.Key_Return)
    assert asked.args == [bird_named(room, "Avens")]
    settle(window)


def test_a_past_day_is_looked_at_only(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    room.context.record.apply(
        MoveBirds((bird_named(room, "Betony"),), pen_named(room, "Lane"), date(2026, 6, 1))
    )
    settled(window)
    write(qtbot, room.day.edit, "1 May 2026")
    qtbot.keyClick(room.day.edit, Qt.Key.Key_Return)
    settled(window)
    assert names(room, "Orchard") == ["Usk", "Avens", "Betony"]
    assert "to look at only" in room.findChild(QLabel, "pens_past").text()  # type: ignore[union-attr]
    move = room.findChild(QPushButton, "pens_move")
    assert move is not None
    assert not move.isEnabled()
    entry = now(room).entry
    drag(window, room, "Betony", "Lane")
    assert now(room).entry == entry
    press(qtbot, room, "pens_today")
    settled(window)
    assert names(room, "Orchard") == ["Usk", "Avens"]
    assert move.isEnabled()


def test_no_column_is_cut_or_overlaps_another(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    def well_placed() -> bool:
        columns = [column_named(room, name) for name in ("Orchard", "Lane")]
        boxes = [column.geometry() for column in (*columns, room.board.loose)]
        apart = all(
            not one.intersects(other) for place, one in enumerate(boxes) for other in boxes[place + 1 :]
        )
        return apart and all(column.height() >= column.height_at(column.width()) for column in columns)

    assert well_placed()
    drag(window, room, "Betony", "Lane")
    settled(window)
    assert well_placed()
    window.resize(700, 800)
    settled(window)
    assert well_placed()


def test_a_day_to_come_is_refused_in_words(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    write(qtbot, room.day.edit, "1 May 2027")
    qtbot.keyClick(room.day.edit, Qt.Key.Key_Return)
    settle(window)
    assert room.day.day == TODAY


def test_a_planned_move_is_made_carried_out_with_one_key_and_taken_back(
    qtbot: QtBot, window: Window, room: PensRoom
) -> None:
    click_bird(qtbot, room, "Avens")
    press(qtbot, room, "pens_move")
    settle(window)
    form = dialog()
    assert isinstance(form, MoveDialog)
    write(qtbot, form.on.edit, "20 Feb 2027")
    assert form.verb.text() == "Plan the move"
    qtbot.keyClick(form.on.edit, Qt.Key.Key_Return)
    settled(window)
    assert where(room, "Avens") == "Orchard"
    assert "20 Feb 2027: W24-11 Avens comes" in texts(room, "Lane")
    assert room.tabs.tabText(1) == "1 planned move"
    room.tabs.setCurrentIndex(1)
    qtbot.keyClick(room.planned.table, Qt.Key.Key_Return)
    settled(window)
    assert where(room, "Avens") == "Lane"
    assert not now(room).husbandry.moves
    window.undo()
    settled(window)
    assert len(now(room).husbandry.moves) == 1
    qtbot.keyClick(room.planned.table, Qt.Key.Key_Delete)
    settled(window)
    assert not now(room).husbandry.moves
    assert room.tabs.tabText(1) == "Planned moves"


def test_a_move_written_down_late_keeps_its_planned_day(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    due = Move(MoveId(""), bird_named(room, "Avens"), pen_named(room, "Lane"), date(2027, 2, 10))
    room.context.record.apply(Enter((due,)))
    settled(window)
    room.tabs.setCurrentIndex(1)
    assert room.planned.rows.index(0, 0).data() == "10 Feb 2027, due"
    press(qtbot, room, "carry_out_as_planned")
    settled(window)
    assert stays_on(now(room).husbandry, TODAY)[bird_named(room, "Avens")].since == date(2027, 2, 10)


def test_a_move_made_by_hand_fulfils_its_plan(window: Window, room: PensRoom) -> None:
    plan = Move(MoveId(""), bird_named(room, "Betony"), pen_named(room, "Lane"), date(2027, 2, 20))
    other = Move(MoveId(""), bird_named(room, "Avens"), pen_named(room, "Lane"), date(2027, 2, 20))
    room.context.record.apply(Enter((plan, other)))
    settled(window)
    drag(window, room, "Betony", "Lane")
    settled(window)
    assert [move.bird for move in now(room).husbandry.moves.values()] == [bird_named(room, "Avens")]
    assert now(room).undo_label == "move W24-12 to Lane"
    window.undo()
    settled(window)
    assert len(now(room).husbandry.moves) == 2


def test_a_move_before_the_bird_hatched_is_refused_at_the_field(
    qtbot: QtBot, window: Window, room: PensRoom
) -> None:
    click_bird(qtbot, room, "Avens")
    press(qtbot, room, "pens_move")
    settle(window)
    form = dialog()
    assert isinstance(form, MoveDialog)
    write(qtbot, form.on.edit, "1 Apr 2020")
    press(qtbot, form, "save")
    settle(window)
    assert "before W24-11 hatched" in form.form.fields["on"].problem_text
    assert where(room, "Avens") == "Orchard"
    form.reject()


def test_the_form_warns_of_a_hen_alone_and_of_housing_orders(
    qtbot: QtBot, window: Window, room: PensRoom
) -> None:
    click_bird(qtbot, room, "Usk")
    press(qtbot, room, "pens_move")
    settle(window)
    form = dialog()
    caution = form.findChild(QLabel, "caution")
    assert caution is not None
    assert "housing order" in caution.text()
    assert "One hen alone with a cock wears" in caution.text()
    form.reject()


def test_an_exchange_shows_its_dates_before_and_makes_both_moves(
    qtbot: QtBot, window: Window, room: PensRoom
) -> None:
    click_bird(qtbot, room, "Avens")
    press(qtbot, room, "pens_exchange")
    settle(window)
    form = dialog()
    assert isinstance(form, ExchangeDialog)
    assert form.pen.pen == pen_named(room, "Orchard")
    form.cock.edit.setFocus()
    qtbot.keyClicks(form.cock.edit, "Lune")
    qtbot.keyClick(form.cock.edit, Qt.Key.Key_Return)
    said = plain(form.sheet.toPlainText())
    assert "covered by W24-02 Lune from 21 Feb 2027" in said
    assert "it may still be by W24-01 Usk" in said
    form.away.choose(pen_named(room, "Lane"))
    press(qtbot, form, "save")
    settled(window)
    assert where(room, "Lune") == "Orchard"
    assert where(room, "Usk") == "Lane"
    assert now(room).undo_label == "exchange the cock of Orchard for W24-02"
    assert "clear from 14 Mar 2027" in texts(room, "Orchard")
    window.undo()
    settled(window)
    assert where(room, "Usk") == "Orchard"


def test_an_exchange_without_a_cock_says_what_is_missing(
    qtbot: QtBot, window: Window, room: PensRoom
) -> None:
    press(qtbot, room, "pens_exchange")
    settle(window)
    form = dialog()
    press(qtbot, form, "save")
    settle(window)
    assert "Choose the cock" in form.form.fields["cock"].problem_text
    form.reject()


def test_a_future_exchange_is_planned(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    press(qtbot, room, "pens_exchange")
    settle(window)
    form = dialog()
    assert isinstance(form, ExchangeDialog)
    form.pen.choose(pen_named(room, "Orchard"))
    form.cock.choose(bird_named(room, "Lune"))
    write(qtbot, form.on.edit, "1 Mar 2027")
    press(qtbot, form, "save")
    settled(window)
    assert sorted((move.bird, move.pen) for move in now(room).husbandry.moves.values()) == sorted(
        [(bird_named(room, "Usk"), None), (bird_named(room, "Lune"), pen_named(room, "Orchard"))],
        key=lambda pair: pair[0],
    )


@pytest.mark.qt_log_ignore("This plugin does not support grabbing the keyboard")
def test_hens_are_noted_as_broody_and_no_longer(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    def turn(name: str) -> None:
        press(qtbot, room, "pens_condition")
        menu = room.findChild(QMenu, "condition_menu")
        assert menu is not None
        action = menu.findChild(QAction, name)
        assert action is not None
        with qtbot.waitSignal(action.triggered):
            qtbot.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(action).center())
        settled(window)

    click_bird(qtbot, room, "Avens")
    turn("condition_broody")
    birds = list_with(room, "Avens")
    line = birds.model_of_lines.lines[birds.birds.index(bird_named(room, "Avens"))]
    assert line.remarks == ("broody since 14 Feb 2027",)
    turn("condition_broody")
    (held,) = now(room).husbandry.conditions.values()
    assert held.until == TODAY


@pytest.mark.qt_log_ignore("This plugin does not support grabbing the keyboard")
def test_the_colour_of_the_eggs_is_noted(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    click_bird(qtbot, room, "Avens")
    press(qtbot, room, "pens_condition")
    menu = room.findChild(QMenu, "condition_menu")
    assert menu is not None
    action = menu.findChild(QAction, "condition_other")
    assert action is not None
    qtbot.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(action).center())
    settle(window)
    form = dialog()
    press(qtbot, form, "save")
    settle(window)
    assert "colour" in form.form.fields["text"].problem_text
    colour = form.form.fields["text"].control
    qtbot.keyClicks(colour, "cream")
    qtbot.keyClick(colour, Qt.Key.Key_Return)
    settled(window)
    birds = list_with(room, "Avens")
    assert birds.model_of_lines.lines[1].remarks == ("eggs cream",)


def test_a_mating_with_a_borrowed_cock_is_kept(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    click_bird(qtbot, room, "Cowslip")
    press(qtbot, room, "pens_mating")
    settle(window)
    form = dialog()
    assert isinstance(form, MatingDialog)
    press(qtbot, form, "save")
    settle(window)
    assert "names no cock" in form.form.fields["cock"].problem_text
    qtbot.keyClicks(form.outside, "Ida Fell's black cock")
    form.kind.setCurrentIndex(1)
    press(qtbot, form, "save")
    settled(window)
    (held,) = now(room).husbandry.matings.values()
    assert (held.hen, held.outside, held.since, held.until) == (
        bird_named(room, "Cowslip"),
        "Ida Fell's black cock",
        TODAY,
        TODAY,
    )


def test_a_stay_is_corrected_from_the_board(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    click_bird(qtbot, room, "Avens")
    press(qtbot, room, "pens_stay")
    settle(window)
    form = dialog()
    assert isinstance(form, StayDialog)
    write(qtbot, form.since.edit, "1 Feb 2026")
    press(qtbot, form, "save")
    settled(window)
    stay = stays_on(now(room).husbandry, TODAY)[bird_named(room, "Avens")]
    assert stay.since == date(2026, 2, 1)


def test_pens_and_houses_are_added_changed_closed_and_taken_out(
    qtbot: QtBot, window: Window, room: PensRoom
) -> None:
    press(qtbot, room, "pens_add")
    settle(window)
    form = dialog()
    assert isinstance(form, PenDialog)
    press(qtbot, form, "save")
    settle(window)
    assert "empty" in form.form.fields["name"].problem_text
    qtbot.keyClicks(form.name, "Ark")
    form.house.setEditText("Paddock")
    form.large.setValue(4)
    press(qtbot, form, "save")
    settled(window)
    year = now(room).husbandry
    ark = year.pen_named("ark")
    assert ark is not None
    assert (ark.room_large, ark.room_bantams) == (4, None)
    assert ark.house is not None
    assert year.houses[ark.house].name == "Paddock"
    assert "room for 4 more" in texts(room, "Ark")
    press(qtbot, column_named(room, "Ark"), f"pen_{ark.id}_edit")
    settle(window)
    form = dialog()
    assert isinstance(form, PenDialog)
    write(qtbot, form.closed.edit, "14 Feb 2027")
    press(qtbot, form, "save")
    settled(window)
    assert room.board.column(ark.id) is None
    room.tabs.setCurrentIndex(3)
    row = room.places.pens.place_of(ark.id)
    room.places.pen_table.selectRow(row)
    press(qtbot, room.places, "withdraw_pen")
    settled(window)
    assert ark.id not in now(room).husbandry.pens


def test_a_pen_with_birds_is_not_closed(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    lane = pen_named(room, "Lane")
    press(qtbot, column_named(room, "Lane"), f"pen_{lane}_edit")
    settle(window)
    form = dialog()
    assert isinstance(form, PenDialog)
    write(qtbot, form.closed.edit, "14 Feb 2027")
    press(qtbot, form, "save")
    settle(window)
    assert "cannot be closed while 2 birds are in it" in form.form.fields["closed"].problem_text
    form.reject()


def test_a_house_gets_another_place_on_the_walk(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    room.tabs.setCurrentIndex(3)
    press(qtbot, room.places, "add_house")
    settle(window)
    form = dialog()
    assert isinstance(form, HouseDialog)
    qtbot.keyClicks(form.name, "Barn")
    form.position.setValue(0)
    press(qtbot, form, "save")
    settled(window)
    assert [row.house.name for row in room.places.houses.shown] == ["Barn", "Orchard house"]
    room.places.house_table.selectRow(0)
    press(qtbot, room.places, "change_house")
    settle(window)
    form = dialog()
    assert isinstance(form, HouseDialog)
    form.position.setValue(5)
    press(qtbot, form, "save")
    settled(window)
    assert [row.house.name for row in room.places.houses.shown] == ["Orchard house", "Barn"]


def test_whose_egg_answers_as_one_chooses(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    room.ask_whose()
    whose = room.whose
    whose.pen.choose(pen_named(room, "Orchard"))
    write(qtbot, whose.first.edit, "1 Mar 2026")
    assert "The sire is certain: W24-01 Usk. The dam is one of 2 hens." in plain(whose.answer.toPlainText())
    whose.hen.edit.setFocus()
    qtbot.keyClicks(whose.hen.edit, "Cowslip")
    qtbot.keyClick(whose.hen.edit, Qt.Key.Key_Return)
    assert "Certain: W24-02 Lune × W24-13 Cowslip." in plain(whose.answer.toPlainText())


def test_the_board_is_printed(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    window.print_room()
    preview = window.findChild(QPrintPreviewDialog)
    assert preview is not None
    settle(window)
    assert preview.isVisible()
    preview.reject()


def test_the_models_keep_the_contract(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    testers = [
        QAbstractItemModelTester(birds.model_of_lines, QAbstractItemModelTester.FailureReportingMode.Fatal)
        for birds in room.board.lists
    ]
    room.context.record.apply(MoveBirds((bird_named(room, "Betony"),), pen_named(room, "Lane"), TODAY))
    settled(window)
    assert len(testers) == 4


def test_a_book_without_pens_offers_the_first(qtbot: QtBot, open_window: Window) -> None:
    entered = open_window.go("pens")
    settle(open_window)
    assert isinstance(entered, PensRoom)
    buttons = [found for found in entered.findChildren(QPushButton) if found.text() == "Add the first pen"]
    assert buttons[0].isVisible()
    qtbot.mouseClick(buttons[0], Qt.MouseButton.LeftButton)
    settle(open_window)
    form = dialog()
    assert isinstance(form, PenDialog)
    qtbot.keyClicks(form.name, "Orchard")
    qtbot.keyClick(form.name, Qt.Key.Key_Return)
    settled(open_window)
    assert [pen.name for pen in now(entered).husbandry.pens.values()] == ["Orchard"]
    assert len(entered.board.loose.list.birds) == 4


def test_the_card_of_one_pen_is_written_from_its_column(
    qtbot: QtBot, window: Window, room: PensRoom, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "card.pdf"
    answers.verbs.append(1)
    answers.files.append(path)
    press(qtbot, column_named(room, "Lane"), f"pen_{pen_named(room, 'Lane')}_card")
    settle(window)
    assert "card of Lane" in answers.told[0]
    assert path.read_bytes().startswith(b"%PDF")


def test_a_machine_is_added_renamed_retired_and_taken_out(
    qtbot: QtBot, window: Window, room: PensRoom
) -> None:
    room.tabs.setCurrentWidget(room.places)
    settle(window)
    assert room.places.machines.index(0, 0).data() == "Cabinet"
    press(qtbot, room, "add_machine")
    settle(window)
    form = dialog()
    assert isinstance(form, MachineDialog)
    qtbot.keyClicks(form.name, "Still-air box")
    qtbot.keyClick(form.name, Qt.Key.Key_Return)
    settled(window)
    assert {machine.name for machine in now(room).husbandry.machines.values()} == {"Cabinet", "Still-air box"}
    room.places.machine_table.select(_machine(room, "Cabinet").id)
    press(qtbot, room, "change_machine")
    settle(window)
    form = dialog()
    assert isinstance(form, MachineDialog)
    write(qtbot, form.name, "Old cabinet")
    write(qtbot, form.retired.edit, "1 Feb 2027")
    press(qtbot, form, "save")
    settled(window)
    assert _machine(room, "Old cabinet").retired == date(2027, 2, 1)
    room.places.machine_table.select(_machine(room, "Still-air box").id)
    press(qtbot, room, "withdraw_machine")
    settled(window)
    assert [machine.name for machine in now(room).husbandry.machines.values()] == ["Old cabinet"]


def test_two_machines_of_one_name_are_refused(qtbot: QtBot, window: Window, room: PensRoom) -> None:
    room.context.record.apply(Enter((Machine(MachineId(""), "Hatcher"),)))
    settled(window)
    room.tabs.setCurrentWidget(room.places)
    room.places.machine_table.select(_machine(room, "Hatcher").id)
    press(qtbot, room, "change_machine")
    settle(window)
    form = dialog()
    assert isinstance(form, MachineDialog)
    write(qtbot, form.name, "Cabinet")
    press(qtbot, form, "save")
    settle(window)
    assert form.form.fields["name"].problem_text
    form.reject()


def _machine(room: PensRoom, name: str) -> Machine:
    return next(machine for machine in now(room).husbandry.machines.values() if machine.name == name)
