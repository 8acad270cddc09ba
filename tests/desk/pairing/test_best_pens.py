"""Which pens, worked with keys and buttons: wishes, the plan, a hen moved by hand, planned moves, and undo."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent
from PySide6.QtPrintSupport import QPrintPreviewDialog
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QLabel,
    QMenu,
    QPushButton,
    QSpinBox,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from studbook.book.changes import AddBirds, AddOrigin, Enter, MoveBirds
from studbook.book.husbandry.choosing_rows import Ban, Choice, Verdict
from studbook.book.husbandry.rows import House, Move, Pen
from studbook.book.ids import BanId, BirdId, ChoiceId, HouseId, MoveId, PenId
from studbook.book.opening import create_book
from studbook.book.records import BookDetails, Snapshot
from studbook.desk.app import settle
from studbook.desk.rooms.pairing.pens.keep_dialog import KeepDialog
from studbook.desk.rooms.pairing.pens.page import PensPage
from studbook.desk.rooms.pairing.pens.planned_list import HenList, mime_of
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.rooms.pens.room import PensRoom
from studbook.desk.window import Window
from tests.desk.conftest import Answers
from tests.planning.flock import ALDER_YARD, TODAY, flock

DAY = date(2026, 2, 20)


@pytest.fixture
def yard_book(tmp_path: Path) -> Path:
    """The flock of the planning tests: Tamar with Hazel and Bryony in the Orchard, Dart alone in the Lane."""
    path = tmp_path / "withybrook.studbook"
    with create_book(path, BookDetails("", yard="Withybrook"), today=TODAY) as book:
        book.apply(AddOrigin(ALDER_YARD))
        book.apply(AddBirds(flock().birds))
        house = House(HouseId(book.new_id()), "Orchard house", 1)
        orchard = Pen(PenId(book.new_id()), "Orchard", house.id, 1, room_large=5)
        lane = Pen(PenId(book.new_id()), "Lane", house.id, 2, room_large=5)
        book.apply(Enter((house, orchard, lane)))
        since = date(2026, 1, 5)
        book.apply(MoveBirds(tuple(map(BirdId, ("Tamar", "Hazel", "Bryony"))), orchard.id, since))
        book.apply(MoveBirds((BirdId("Dart"),), lane.id, since))
        elder = Move(MoveId(""), BirdId("Elder"), lane.id, date(2026, 2, 18))
        book.apply(Enter((elder,)))
    return path


@pytest.fixture
def page(window: Window, yard_book: Path) -> PensPage:
    """The page before anything is planned."""
    return enter(window, yard_book)


def enter(window: Window, path: Path) -> PensPage:
    window.context.record.open(path, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    room = window.go("pairing")
    assert isinstance(room, PairingRoom)
    room.turn_to("pens")
    settle(window)
    return room.pens


def now(page: PensPage) -> Snapshot:
    snapshot = page.context.record.snapshot
    assert snapshot is not None
    return snapshot


def press(qtbot: QtBot, where: QWidget, name: str) -> None:
    found = where.findChild(QPushButton, name)
    assert found is not None, name
    assert found.isEnabled(), name
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def planned(qtbot: QtBot, window: Window, page: PensPage, most: int = 15) -> PensPage:
    """The page with a plan on view; two hens a cock at most give two pens."""
    page.form.most.setValue(most)
    press(qtbot, page, "best_plan")
    settle(window)
    settle(window)
    assert page.result.solved is not None
    return page


def read(text: str) -> str:
    return " ".join(text.replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ").split())


def lead(page: PensPage) -> str:
    return read(page.result.lead.toPlainText())


def home(page: PensPage, hen: str) -> str:
    """The cock a hen stands with on the board."""
    found = [pen.cock for pen in page.result.pens if hen in pen.hens]
    return found[0] if found else ""


def hens_of(page: PensPage, cock: str) -> HenList:
    return next(column.list for column in page.result.board.columns if column.cock == cock)


def choose(qtbot: QtBot, page: PensPage, hen: str) -> HenList:
    held = next(column.list for column in page.result.board.columns if hen in column.list.birds)
    place = held.visualRect(held.lines.index(held.birds.index(BirdId(hen)))).center()
    qtbot.mouseClick(held.viewport(), Qt.MouseButton.LeftButton, pos=place)
    held.setFocus()
    return held


def dialog() -> KeepDialog:
    found = QApplication.activeModalWidget()
    assert isinstance(found, KeepDialog)
    return found


def test_it_opens_with_what_suits_the_flock_and_the_pens_there_are(page: PensPage) -> None:
    wishes = page.form.wishes
    assert set(wishes.cocks) == {"Dart", "Tamar", "Wye"}
    assert set(wishes.hens) == {"Hazel", "Bryony", "Elder"}
    assert (wishes.pens, wishes.limit, wishes.weight) == (2, 0.125, 0.5)
    assert len(wishes.places) == 2
    assert "Your pens as they are planned now" in lead(page)
    # Tamar with his full and his half sister, Dart unrelated to Elder: (25 + 12.5 + 0) / 3, cautious or not
    assert "mean F of 12.50 %" in lead(page)


def test_a_plan_keeps_sibs_apart_and_says_that_it_is_proven(
    qtbot: QtBot, window: Window, page: PensPage
) -> None:
    planned(qtbot, window, page)
    assert "No better plan exists within these wishes: it is proven." in lead(page)
    assert home(page, "Hazel") != "Tamar"
    assert home(page, "Elder") != "Tamar"
    assert all(home(page, hen) for hen in ("Hazel", "Bryony", "Elder"))
    why = read(page.result.why.toPlainText())
    assert "W22-02 Hazel goes to" in why
    assert page.result.worth is not None
    assert page.result.worth.inbreeding < 0.125


def test_a_figure_opens_its_method_and_source(qtbot: QtBot, window: Window, page: PensPage) -> None:
    planned(qtbot, window, page)
    press(qtbot, page, "best_figure_kinship")
    said = read(page.result.figures.explained.toPlainText())
    assert page.result.figures.explained.isVisible()
    assert "c′Kc" in said
    assert "Ballou & Lacy 1995" in said
    press(qtbot, page, "best_figure_proof")
    assert "HiGHS" in read(page.result.figures.explained.toPlainText())


def test_a_hen_is_moved_with_keys_and_the_cost_is_said_at_once(
    qtbot: QtBot, window: Window, page: PensPage
) -> None:
    planned(qtbot, window, page, most=2)
    best = page.result.pens
    cocks = [column.cock for column in page.result.board.columns]
    held = choose(qtbot, page, "Hazel")
    step = 1 if cocks.index(BirdId(home(page, "Hazel"))) == 0 else -1
    key = Qt.Key.Key_Right if step > 0 else Qt.Key.Key_Left
    before = home(page, "Hazel")
    qtbot.keyClick(held, key, Qt.KeyboardModifier.ControlModifier)
    assert home(page, "Hazel") not in ("", before)
    assert page.result.cost.isVisible()
    said = read(page.result.cost.toPlainText())
    assert said.startswith("These pens:")
    assert "worse than the best plan" in said or "better than the best plan" in said
    settle(window)
    assert page.result.is_own
    moved = hens_of(page, home(page, "Hazel"))
    assert moved.chosen == "Hazel"
    press(qtbot, page, "best_back")
    assert page.result.pens == best
    assert not page.result.cost.isVisible()


def test_a_pair_over_the_limit_is_allowed_and_gets_a_sentence(
    qtbot: QtBot, window: Window, page: PensPage
) -> None:
    planned(qtbot, window, page)
    if not any(pen.cock == "Tamar" for pen in page.result.pens):
        page.result.board.cock_changed.emit(page.result.pens[0].cock, BirdId("Tamar"))
    page.result.board.hen_moved.emit(BirdId("Hazel"), BirdId("Tamar"))
    settle(window)
    assert home(page, "Hazel") == "Tamar"
    remarks = next(
        column.findChild(QLabel, f"{column.objectName()}_remarks")
        for column in page.result.board.columns
        if column.cock == "Tamar"
    )
    assert remarks is not None
    assert "F of the chicks 25.0 %, over the limit of 12.50 %" in read(remarks.text())
    make = page.findChild(QPushButton, "best_make_moves")
    assert make is not None
    assert make.isEnabled()


@pytest.mark.qt_log_ignore("This plugin does not support grabbing the keyboard")
def test_the_menu_moves_a_hen_and_delete_takes_her_out(qtbot: QtBot, window: Window, page: PensPage) -> None:
    planned(qtbot, window, page, most=2)
    held = choose(qtbot, page, "Bryony")
    before = home(page, "Bryony")
    press(qtbot, page, "best_move_hen")
    menu = page.findChild(QMenu, "best_menu")
    assert menu is not None
    texts = [action.text() for action in menu.actions() if not action.isSeparator()]
    assert texts[0].startswith("To ")
    assert any(text.startswith("To a pen of her own with") for text in texts)
    assert "F of her chicks" in texts[0]
    assert "Out of the pens" in texts
    qtbot.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(menu.actions()[0]).center())
    assert home(page, "Bryony") not in ("", before)
    held = choose(qtbot, page, "Bryony")
    qtbot.keyClick(held, Qt.Key.Key_Delete)
    assert home(page, "Bryony") == ""
    assert "W22-03 Bryony has no pen yet." in read(page.result.cost.toPlainText())
    loose = page.result.board.columns[-1]
    assert loose.cock is None
    assert loose.list.birds == ("Bryony",)
    settle(window)


def test_a_hen_is_dragged_to_another_pen(qtbot: QtBot, window: Window, page: PensPage) -> None:
    planned(qtbot, window, page, most=2)
    target = next(column for column in page.result.board.columns if "Bryony" not in column.list.birds)
    mime = mime_of(BirdId("Bryony"))
    left, none, move = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, Qt.DropAction.MoveAction
    entering = QDragEnterEvent(QPoint(9, 9), move, mime, left, none)
    QApplication.sendEvent(target, entering)
    assert entering.isAccepted()
    QApplication.sendEvent(target, QDropEvent(QPointF(9, 9), move, mime, left, none))
    assert home(page, "Bryony") == target.cock
    settle(window)


def test_moves_are_planned_in_one_step_seen_in_pens_and_taken_back_in_one(
    qtbot: QtBot, window: Window, page: PensPage
) -> None:
    planned(qtbot, window, page)
    before = now(page).husbandry
    places = {bird: pen.place for pen in page.result.pens for bird in (pen.cock, *pen.hens)}
    assert None not in places.values()
    press(qtbot, page, "best_make_moves")
    settle(window)
    form = dialog()
    form.on.edit.selectAll()
    qtbot.keyClicks(form.on.edit, "20 Feb 2026")
    qtbot.keyClicks(form.note, "Dart is new here")
    press(qtbot, form, "save")
    settle(window)
    settle(window)
    year = now(page).husbandry
    (row,) = year.plans.values()
    assert (row.season, row.note) == (2026, "Dart is new here")
    assert "it is proven" in row.reasons
    assert {each.bird for each in year.planned_birds.values()} == set(places)
    held = {stay.bird: stay.pen for stay in year.stays.values()}
    for bird, place in places.items():
        moves = [move for move in year.moves.values() if move.bird == bird]
        if held.get(bird) == place:
            assert moves == []
        else:
            assert [(move.pen, move.on) for move in moves] in ([(place, DAY)], [(place, date(2026, 2, 18))])
    assert "planned for 20 Feb 2026" in page.result.said.text()
    assert now(page).undo_label.startswith("plan the pens of 2026 with")
    press(qtbot, page, "best_to_pens")
    settle(window)
    pens = window.go("pens")
    assert isinstance(pens, PensRoom)
    settle(window)
    assert len(pens.planned.rows.shown) == len(year.moves)
    window.undo()
    settle(window)
    assert now(page).husbandry == before


def test_a_plan_is_kept_opened_again_and_withdrawn(
    qtbot: QtBot, window: Window, page: PensPage, answers: Answers
) -> None:
    planned(qtbot, window, page)
    page.result.board.hen_moved.emit(BirdId("Hazel"), None)
    settle(window)
    press(qtbot, page, "best_keep")
    settle(window)
    form = dialog()
    press(qtbot, form, "save")
    settle(window)
    (row,) = now(page).husbandry.plans.values()
    assert row.bound is None  # the keeper's own pens prove nothing
    assert [move.bird for move in now(page).husbandry.moves.values()] == ["Elder"]
    press(qtbot, page, "best_back")
    settle(window)
    press(qtbot, page, "best_kept_open_1")
    settle(window)
    assert home(page, "Hazel") == ""
    assert "Nothing is proven of these pens" in lead(page)
    answers.verbs = [1]  # the plan alone: Elder's move was planned before
    press(qtbot, page, "best_kept_withdraw_1")
    settle(window)
    assert now(page).husbandry.plans == {}
    assert len(now(page).husbandry.moves) == 1


def test_wishes_that_collide_are_named_with_what_would_help(
    qtbot: QtBot, window: Window, page: PensPage
) -> None:
    press(qtbot, page, "best_hens_none")
    for hen in ("Hazel", "Bryony", "Elder"):
        page.form.hens.add(BirdId(hen))
    for name, value in (("best_pens_count", 1), ("best_most", 2), ("best_least", 1)):
        spin = page.findChild(QSpinBox, name)
        assert spin is not None
        spin.setValue(value)
    press(qtbot, page, "best_plan")
    settle(window)
    assert "No pens meet all these wishes." in lead(page)
    assert "at most 2 hens for a cock" in lead(page)
    assert "Any one of these would help: placing 2 hens; 2 pens; up to 3 hens for a cock." in lead(page)


def test_single_wishes_are_filled_in_by_typing(qtbot: QtBot, window: Window, page: PensPage) -> None:
    press(qtbot, page, "best_more_wishes")
    press(qtbot, page, "best_never_add")
    row = page.form.never.rows[0]
    for picker, name in zip(row.pickers, ("Hazel", "Bryony"), strict=True):
        picker.edit.setFocus()
        qtbot.keyClicks(picker.edit, name)
        qtbot.keyClick(picker.edit, Qt.Key.Key_Return)
    press(qtbot, page, "best_eggs_add")
    eggs = page.form.eggs.rows[0]
    eggs.pickers[0].edit.setFocus()
    qtbot.keyClicks(eggs.pickers[0].edit, "Elder")
    qtbot.keyClick(eggs.pickers[0].edit, Qt.Key.Key_Return)
    wishes = page.form.wishes
    assert wishes.never == (("Hazel", "Bryony"),)
    assert wishes.eggs == {"Elder": 2.0}
    planned(qtbot, window, page)
    assert home(page, "Hazel") != home(page, "Bryony")
    press(qtbot, page, "best_never_1_remove")
    assert page.form.wishes.never == ()
    assert "plan again" in page.remark.text()


def test_marks_of_the_season_and_bans_are_heeded(qtbot: QtBot, window: Window, yard_book: Path) -> None:
    page = enter(window, yard_book)
    record = window.context.record
    record.apply(
        Enter(
            (
                Choice(ChoiceId(""), BirdId("Wye"), 2026, Verdict.NO, TODAY, "crow head"),
                Ban(BanId(""), BirdId("Dart"), BirdId("Hazel"), TODAY, "feather picking"),
            )
        )
    )
    settle(window)
    assert "Wye" not in page.form.wishes.cocks
    left_out = page.findChild(QLabel, "best_left_out")
    bans = page.findChild(QLabel, "best_bans")
    assert left_out is not None
    assert bans is not None
    assert "crow head" in left_out.text()
    assert "1 pair" in bans.text()


def test_the_search_can_be_cancelled(qtbot: QtBot, window: Window, page: PensPage) -> None:
    press(qtbot, page, "best_plan")
    press(qtbot, page, "best_cancel")
    settle(window)
    assert page.result.solved is None
    assert "Cancelled" in page.remark.text()


def test_without_hens_it_says_what_is_missing(qtbot: QtBot, window: Window, tmp_path: Path) -> None:
    path = tmp_path / "empty.studbook"
    create_book(path, BookDetails("", yard="Withybrook"), today=TODAY).close()
    page = enter(window, path)
    assert page.is_missing
    buttons = [found for found in page.findChildren(QPushButton) if found.text() == "Go to the birds"]
    with qtbot.waitSignal(page.room_asked) as asked:
        qtbot.mouseClick(buttons[0], Qt.MouseButton.LeftButton)
    assert asked.args == ["birds"]


def test_without_pens_it_plans_names_and_offers_to_add_pens(
    qtbot: QtBot, window: Window, planned_book: Path
) -> None:
    page = enter(window, planned_book)
    planned(qtbot, window, page)
    assert all(pen.place is None for pen in page.result.pens)
    assert not page.result.make.isEnabled()  # there is nowhere to move to
    assert page.result.keep.isEnabled()
    with qtbot.waitSignal(page.room_asked) as asked:
        press(qtbot, page, "best_go_to_pens")
    assert asked.args == ["pens"]
    settle(window)


def test_the_action_plans_from_anywhere(window: Window, page: PensPage) -> None:
    window.go("birds")
    settle(window)
    action = window.findChild(QAction, "pairing.plan_pens")
    assert action is not None
    action.trigger()
    settle(window)
    assert page.result.solved is not None


def test_birds_not_of_the_plan_can_be_moved_out(qtbot: QtBot, window: Window, page: PensPage) -> None:
    planned(qtbot, window, page)
    for hen in ("Hazel", "Bryony"):
        page.result.board.hen_moved.emit(BirdId(hen), None)
    settle(window)
    press(qtbot, page, "best_make_moves")
    settle(window)
    form = dialog()
    ticks = [tick for tick in form.findChildren(QCheckBox) if tick.objectName().startswith("move_out_")]
    assert any("Hazel" in tick.text() for tick in ticks)
    for tick in ticks:
        if not tick.isChecked():
            qtbot.mouseClick(tick, Qt.MouseButton.LeftButton, pos=QPoint(8, tick.height() // 2))
    press(qtbot, form, "save")
    settle(window)
    leaving = {move.bird for move in now(page).husbandry.moves.values() if move.pen is None}
    assert {"Hazel", "Bryony"} <= leaving


def test_other_plans_can_be_picked_and_what_wishes_cost_is_said(
    qtbot: QtBot, window: Window, page: PensPage
) -> None:
    page.form.limit.setValue(0)
    planned(qtbot, window, page, most=2)
    settle(window)
    first = page.findChild(QToolButton, "best_variant_1")
    second = page.findChild(QToolButton, "best_variant_2")
    assert first is not None
    assert second is not None
    assert first.isChecked()
    assert "worse" in second.text() or second.text() == "as good"
    best = page.result.pens
    qtbot.mouseClick(second, Qt.MouseButton.LeftButton)
    assert page.result.pens != best
    assert not first.isChecked()
    said = read(page.result.wish_costs.toPlainText())
    # three hens and one good cock: the wish for two hens a cock at most is what costs
    assert "at most 2 hens for a cock" in said
    settle(window)


def test_the_pens_are_printed(qtbot: QtBot, window: Window, page: PensPage) -> None:
    planned(qtbot, window, page, most=2)
    window.print_room()
    preview = window.findChild(QPrintPreviewDialog)
    assert preview is not None
    settle(window)
    assert preview.windowTitle() == "Pens of 2026"
    preview.reject()


def test_a_reserve_male_is_told_with_his_place_in_the_second_yard(
    qtbot: QtBot, window: Window, yard_book: Path
) -> None:
    page = enter(window, yard_book)
    record = window.context.record
    away = House(HouseId("00000000-0000-4000-9000-000000000001"), "Far yard", 2)
    ark = Pen(PenId("00000000-0000-4000-9000-000000000002"), "Ark", away.id, 1, room_large=4)
    record.apply(Enter((away, ark)))
    settle(window)
    page.form.reserve.setValue(1)
    tick = next(tick for tick in page.form.places.findChildren(QCheckBox) if tick.text() == "Ark")
    tick.setChecked(True)
    page.form.places.house.setCurrentIndex(page.form.places.house.findData(away.id))
    planned(qtbot, window, page, most=2)
    settle(window)
    assert "Kept in reserve" in lead(page)
    assert "in Ark" in lead(page) or "the pen of" in lead(page)
