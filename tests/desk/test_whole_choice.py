"""The choice of a season on the demo flock as a new user makes it: pens, planned moves, the years ahead."""

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from studbook import places
from studbook.book.changes import Withdraw
from studbook.book.opening import SAMPLE_TODAY
from studbook.book.records import Snapshot
from studbook.desk.app import settle
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.window import Window
from studbook.planning.best_pens.wishes import Proof
from tests.desk.pairing.test_best_pens import choose, dialog, press, read


def book(window: Window) -> Snapshot:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return snapshot


def test_from_pairing_to_planned_moves_and_twenty_years(qtbot: QtBot, window: Window) -> None:
    window.context.record.open(places.demo_flock(), today=SAMPLE_TODAY)
    settle(window)
    window.resize(1280, 800)
    # the season is not planned yet
    window.context.record.apply(Withdraw(tuple(book(window).husbandry.moves.values())))
    settle(window)
    room = window.go("pairing")
    settle(window)
    assert isinstance(room, PairingRoom)
    kept_before = len(book(window).husbandry.plans)

    # next season's pens with the reasons
    press(qtbot, room.pairs, "pairing_to_pens")
    assert room.tabs.currentWidget() is room.pens
    settle(window)
    press(qtbot, room.pens, "best_plan")
    qtbot.waitUntil(lambda: room.pens.result.solved is not None, timeout=60_000)
    settle(window)
    solved = room.pens.result.solved
    assert solved is not None
    assert solved.plan.proof is Proof.OPTIMAL
    lead = read(room.pens.result.lead.toPlainText())
    assert "No better" in lead or "no better" in lead

    # a hen is taken out by hand: allowed, with the cost said at once, and put back
    hen = room.pens.result.pens[0].hens[0]
    held = choose(qtbot, room.pens, hen)
    qtbot.keyClick(held, Qt.Key.Key_Delete)
    assert "has no pen yet" in read(room.pens.result.cost.toPlainText())
    press(qtbot, room.pens, "best_back")
    assert all(pen.hens for pen in room.pens.result.pens)

    # planned moves, in one step
    press(qtbot, room.pens, "best_make_moves")
    settle(window)
    press(qtbot, dialog(), "save")
    settle(window)
    settle(window)
    year = book(window).husbandry
    assert len(year.plans) == kept_before + 1
    moved = {move.bird for move in year.moves.values()}
    assert {pen.cock for pen in solved.plan.pens} <= moved

    # what three policies do to the flock in twenty years
    room.turn_to("ahead")
    room.ahead.runs.setValue(100)
    settle(window)
    assert room.ahead.years.value() == 20
    assert len(room.ahead.board.policies) == 3
    told = read(room.ahead.told.toPlainText())
    assert told.count("25 %") >= 3
    assert "not a promise" in told
