"""A whole season of the demo flock through the window: pens set, a cock exchanged, doubtful eggs mixed, chicks."""

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QTabWidget
from pytestqt.qtbot import QtBot

from studbook.book.ids import BirdId, PenId
from studbook.book.records import Basis, Bird, Snapshot
from studbook.book.relatedness import Relatedness
from studbook.desk.app import settle
from studbook.desk.rooms.eggs.sittings.page import SittingsPage
from studbook.desk.rooms.eggs.sittings.registering import RegisterForm
from studbook.desk.rooms.pens.exchanging import ExchangeDialog
from studbook.desk.rooms.pens.room import PensRoom
from studbook.desk.window import Window
from tests.desk.pens.conftest import dialog, pen_named, press, where
from tests.desk.pens.conftest import write as write_line
from tests.desk.sittings.conftest import press as press_here
from tests.desk.sittings.conftest import write

DEMO = Path(__file__).parents[2] / "demo_flock.db"
PENNED = date(2027, 2, 20)
EXCHANGED = date(2027, 4, 10)
LATER = date(2027, 5, 20)


def book(window: Window) -> Snapshot:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return snapshot


def named(window: Window, name: str) -> BirdId:
    return next(bird.id for bird in book(window).birds if bird.name == name)


def open_on(window: Window, path: Path, day: date) -> None:
    """The book, as a copy of what it came to, opened on a day of the season."""
    held = window.context.record.open_book
    shutil.copy(held.path if held is not None else DEMO, path)
    window.context.record.open(path, today=day)
    settle(window)
    assert window.context.today == day


def go(window: Window, key: str) -> object:
    room = window.go(key)
    settle(window)
    settle(window)
    return room


def changed(qtbot: QtBot, window: Window, deed: Callable[[], object]) -> None:
    with qtbot.waitSignal(window.context.record.changed):
        deed()
    settle(window)
    settle(window)


def form(window: Window, name: str) -> QDialog:
    settle(window)
    (found,) = [each for each in window.findChildren(QDialog, name) if each.isVisible()]
    return found


def set_pens(qtbot: QtBot, window: Window) -> None:
    """The planned pens of the season, carried out with one key on the day."""
    room = go(window, "pens")
    assert isinstance(room, PensRoom)
    room.tabs.setCurrentIndex(1)
    table = room.planned.table
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    changed(qtbot, window, lambda: qtbot.keyClick(table, Qt.Key.Key_Return))
    assert not book(window).husbandry.moves
    assert where(room, "Teign", PENNED) == where(room, "Rowan", PENNED) == "Bottom pen"
    assert where(room, "Calder", PENNED) == where(room, "Harebell", PENNED) == "Long pen"


def exchange_cock(qtbot: QtBot, window: Window) -> None:
    """Otter takes the place of Teign in the Bottom pen, mid-season."""
    room = go(window, "pens")
    assert isinstance(room, PensRoom)
    press(qtbot, room, "pens_exchange")
    settle(window)
    asked = dialog()
    assert isinstance(asked, ExchangeDialog)
    asked.pen.choose(pen_named(room, "Bottom pen"))
    write_line(qtbot, asked.cock.edit, "Otter")
    qtbot.keyClick(asked.cock.edit, Qt.Key.Key_Return)
    said = " ".join(asked.sheet.toPlainText().split())
    assert "may still be by" in said
    assert "Teign" in said
    changed(qtbot, window, lambda: press(qtbot, asked, "save"))
    assert where(room, "Otter", EXCHANGED) == "Bottom pen"


def sittings(window: Window) -> SittingsPage:
    room = go(window, "eggs")
    found = room.findChild(SittingsPage)  # type: ignore[attr-defined]
    tabs = room.findChild(QTabWidget)  # type: ignore[attr-defined]
    assert isinstance(found, SittingsPage)
    tabs.setCurrentWidget(found)
    settle(window)
    return found


def set_mixed_eggs(qtbot: QtBot, window: Window, page: SittingsPage) -> None:
    """Six eggs of the Bottom pen of the doubtful week, among which lie six of the Long pen."""
    page.set_eggs()
    asked = form(window, "set_eggs")
    machine = next(each for each in book(window).husbandry.machines.values() if each.retired is None)
    write(qtbot, asked, "machine", machine.name)
    write(qtbot, asked, "set_on", "20 Apr 2027")
    write(qtbot, asked, "source_1", "Bottom pen")
    write(qtbot, asked, "eggs_1", "6")
    write(qtbot, asked, "laid_from_1", "14 Apr 2027")
    write(qtbot, asked, "laid_to_1", "17 Apr 2027")
    press_here(qtbot, asked, "mix_1")
    write(qtbot, asked, "source_1_1", "Long pen")
    write(qtbot, asked, "eggs_1_1", "6")
    settle(window)
    changed(qtbot, window, lambda: press_here(qtbot, asked, "save"))


def candle_part_and_hatch(qtbot: QtBot, window: Window, page: SittingsPage) -> None:
    press_here(qtbot, page, "ask_candle")
    asked = form(window, "candle")
    write(qtbot, asked, "on", "28 Apr 2027")
    write(qtbot, asked, "clear_1", "2")
    changed(qtbot, window, lambda: press_here(qtbot, asked, "save"))
    press_here(qtbot, page, "ask_part")
    asked = form(window, "part")
    write(qtbot, asked, "on", "8 May 2027")
    write(qtbot, asked, "compartment_1", "upper basket")
    press_here(qtbot, asked, "split_1")
    write(qtbot, asked, "compartment_1_2", "lower basket")
    write(qtbot, asked, "parted_1_2", "5")
    changed(qtbot, window, lambda: press_here(qtbot, asked, "save"))
    press_here(qtbot, page, "ask_hatch_result")
    asked = form(window, "hatch_result")
    write(qtbot, asked, "on", "11 May 2027")
    write(qtbot, asked, "hatched_1", "4")
    write(qtbot, asked, "hatched_2", "4")
    changed(qtbot, window, lambda: press_here(qtbot, asked, "save"))


def register(qtbot: QtBot, window: Window, page: SittingsPage) -> list[Bird]:
    """The chicks of the lower basket, in one step."""
    before = {bird.id for bird in book(window).birds}
    press_here(qtbot, page, "register_2")
    settle(window)
    asked = page.findChild(RegisterForm)
    assert isinstance(asked, RegisterForm)
    assert asked.count.value() == 4
    write(qtbot, asked, "marks", "W27-01")
    settle(window)
    changed(qtbot, window, lambda: press_here(qtbot, asked, "save_hatch"))
    return [bird for bird in book(window).birds if bird.id not in before]


def weight_by_sire(chick: Bird) -> dict[BirdId | None, float]:
    found: dict[BirdId | None, float] = {}
    for pair in chick.pairs:
        found[pair.sire] = found.get(pair.sire, 0.0) + pair.weight
    return found


def hens_of(window: Window, pen: PenId, day: date) -> set[BirdId]:
    return {
        stay.bird
        for stay in book(window).husbandry.stays_in[pen]
        if stay.covers(day) and book(window).bird(stay.bird).sex.value == "hen"
    }


def test_a_season_of_the_demo_flock_from_its_pens_to_its_chicks(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    open_on(window, tmp_path / "february.studbook", PENNED)
    set_pens(qtbot, window)
    open_on(window, tmp_path / "april.studbook", EXCHANGED)
    exchange_cock(qtbot, window)
    open_on(window, tmp_path / "may.studbook", LATER)
    page = sittings(window)
    known = set(book(window).husbandry.sittings)
    set_mixed_eggs(qtbot, window, page)
    (sitting,) = set(book(window).husbandry.sittings) - known
    candle_part_and_hatch(qtbot, window, page)
    upper, lower = book(window).husbandry.batches_of[sitting]
    chicks = register(qtbot, window, page)

    assert [chick.mark for chick in chicks] == ["W27-01", "W27-02", "W27-03", "W27-04"]
    assert set(book(window).husbandry.birds_of[lower.id]) == {chick.id for chick in chicks}
    assert upper.id not in book(window).husbandry.birds_of
    chick = chicks[0]
    assert {pair.basis for pair in chick.pairs} == {Basis.STAYS}
    teign, otter, calder = (named(window, name) for name in ("Teign", "Otter", "Calder"))
    weights = weight_by_sire(chick)
    assert set(weights) == {teign, otter, calder}
    # half of the eggs are of the Long pen; the later cock of the other has gained since the exchange
    assert weights[calder] == pytest.approx(0.5)
    assert weights[otter] + weights[teign] == pytest.approx(0.5)
    assert min(weights[otter], weights[teign]) > 0.05
    # no crosses: each cock with the hens of the pen he was in
    year = book(window).husbandry
    long_pen, bottom = year.pen_named("Long pen"), year.pen_named("Bottom pen")
    assert long_pen is not None
    assert bottom is not None
    day = date(2027, 4, 15)
    assert {pair.dam for pair in chick.pairs if pair.sire == calder} == hens_of(window, long_pen.id, day)
    assert {pair.dam for pair in chick.pairs if pair.sire == otter} == hens_of(window, bottom.id, day)

    # the chick's F is the mean of its pairs' kinship, and its kinship with another half that of its pairs
    kin = Relatedness(book(window))
    snapshot = book(window)
    expected = sum(pair.weight * kin.kinship([pair.sire], [pair.dam])[0, 0] for pair in chick.pairs)  # type: ignore[list-item]
    assert kin.inbreeding[snapshot.rows[chick.id]] == pytest.approx(expected, abs=1e-12)
    assert expected > 0
    rowan = named(window, "Rowan")
    half = sum(
        pair.weight * (kin.kinship([parent], [rowan])[0, 0] / 2)  # type: ignore[list-item]
        for pair in chick.pairs
        for parent in (pair.sire, pair.dam)
    )
    assert kin.kinship([chick.id], [rowan])[0, 0] == pytest.approx(half, abs=1e-12)
