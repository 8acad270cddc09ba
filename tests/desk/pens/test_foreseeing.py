"""Before a stay is corrected the chicks whose parents change are listed; the page of a bird tells where it was."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from studbook.book.changes import Enter, RegisterChicks
from studbook.book.changes.birds import Chick
from studbook.book.husbandry.rows import Mating, MatingKind, Move
from studbook.book.ids import MatingId, MoveId
from studbook.book.records import BirdId, Snapshot, Status
from studbook.desk.app import settle
from studbook.desk.deeds.foreseeing import ForeseenDialog
from studbook.desk.deeds.moving import MoveDialog
from studbook.desk.deeds.several import StatusDialog
from studbook.desk.deeds.stay import RemoveStayDialog, StayDialog
from studbook.desk.rooms.birds.page.page import BirdPage
from studbook.desk.rooms.birds.page.whereabouts import WhereaboutsView
from studbook.desk.rooms.pens.room import PensRoom
from studbook.desk.window import Window
from studbook.planning.pens.board import stays_on
from tests.desk.pens.conftest import dialog, press, write
from tests.flock import TODAY
from tests.season_flock import hatch, new_yard, set_eggs

LAID = date(2026, 3, 1)


@pytest.fixture
def hatched_book(tmp_path: Path) -> Path:
    """The flock with a chick Teasel of Avens by Usk, known from their stays."""
    yard = new_yard(tmp_path / "withybrook.studbook")
    batch = set_eggs(yard, 6, LAID, hen=yard.avens)
    hatch(yard, batch, 1, LAID + timedelta(24))
    yard.book.apply(RegisterChicks(batch.id, LAID + timedelta(24), (Chick(name="Teasel"),)))
    visit = Mating(MatingId(""), yard.avens, MatingKind.VISIT, date(2026, 9, 1), date(2026, 9, 2), yard.lune)
    move = Move(MoveId(""), yard.avens, yard.lane, TODAY + timedelta(6))
    yard.book.apply(Enter((visit, move)))
    yard.book.close()
    return yard.book.path


@pytest.fixture
def usk(window: Window, hatched_book: Path) -> BirdPage:
    """The page of Usk."""
    window.context.record.open(hatched_book, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    return page_of(window, "Usk")


def now(window: Window) -> Snapshot:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return snapshot


def bird_named(window: Window, name: str) -> BirdId:
    return next(bird.id for bird in now(window).birds if bird.name == name)


def page_of(window: Window, name: str) -> BirdPage:
    """The page of a bird, in the room of the birds."""
    room = window.go("birds")
    room.show_bird(bird_named(window, name))
    settle(window)
    page = room.findChild(BirdPage, "bird_page")
    assert isinstance(page, BirdPage)
    return page


def lines(page: BirdPage) -> list[str]:
    """What the page says of where the bird was."""
    return [label.text() for label in page.whereabouts.findChildren(QLabel) if not label.isHidden()]


def verb(page: BirdPage, words: str) -> QPushButton:
    """The first link of a line that carries these words."""
    return next(
        found
        for found in page.findChild(WhereaboutsView, "whereabouts").findChildren(QPushButton)  # type: ignore[union-attr]
        if found.text() == words and not found.isHidden()
    )


def plain(text: str) -> str:
    return " ".join(text.replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ").split())


def test_the_page_tells_stays_plans_and_matings(window: Window, usk: BirdPage) -> None:
    said = lines(page_of(window, "Avens"))
    assert "Orchard, Orchard house" in said
    assert "since 10 Jan 2026" in said
    assert "20 Feb 2027: W24-11 Avens goes to Lane" in said
    assert "visit, with W24-02 Lune" in said
    assert "1 Sept 2026 – 2 Sept 2026" in said or "1 Sep 2026 – 2 Sep 2026" in said
    assert "visit, with W24-11 Avens" in lines(page_of(window, "Lune"))


def test_correcting_a_stay_lists_the_chicks_first(qtbot: QtBot, window: Window, usk: BirdPage) -> None:
    teasel = bird_named(window, "Teasel")
    assert now(window).bird(teasel).sire == bird_named(window, "Usk")
    entry = now(window).entry
    verb(usk, "correct").click()
    settle(window)
    form = dialog()
    assert isinstance(form, StayDialog)
    write(qtbot, form.since.edit, "1 May 2026")
    press(qtbot, form, "save")
    settle(window)
    said = plain(form.moved.toPlainText())
    assert "The parents of 1 bird would change:" in said
    assert "W24-01 Usk × " in said
    assert "→ unknown × " in said
    assert now(window).entry == entry
    assert form.verb.text() == "Save, and change these parents"
    press(qtbot, form, "save")
    settle(window)
    assert now(window).bird(teasel).sire is None
    window.undo()
    settle(window)
    assert now(window).bird(teasel).sire == bird_named(window, "Usk")


def test_another_answer_is_foreseen_anew(qtbot: QtBot, window: Window, usk: BirdPage) -> None:
    verb(usk, "correct").click()
    settle(window)
    form = dialog()
    assert isinstance(form, StayDialog)
    write(qtbot, form.since.edit, "1 May 2026")
    press(qtbot, form, "save")
    settle(window)
    write(qtbot, form.since.edit, "2 May 2026")
    press(qtbot, form, "save")
    settle(window)
    assert form.isVisible()
    assert stays_on(now(window).husbandry, TODAY)[bird_named(window, "Usk")].since == date(2026, 1, 10)
    form.reject()


def test_what_moves_nobody_is_saved_at_once(qtbot: QtBot, window: Window, usk: BirdPage) -> None:
    verb(usk, "correct").click()
    settle(window)
    form = dialog()
    assert isinstance(form, StayDialog)
    write(qtbot, form.since.edit, "11 Jan 2026")
    press(qtbot, form, "save")
    settle(window)
    assert stays_on(now(window).husbandry, TODAY)[bird_named(window, "Usk")].since == date(2026, 1, 11)


def test_a_stay_that_overlaps_is_refused_at_its_field(qtbot: QtBot, window: Window, usk: BirdPage) -> None:
    press(qtbot, usk, "page_stay")
    settle(window)
    form = dialog()
    assert isinstance(form, StayDialog)
    form.pen.setCurrentIndex(1)
    write(qtbot, form.since.edit, "1 Feb 2026")
    press(qtbot, form, "save")
    settle(window)
    assert "at once" in form.form.fields["since"].problem_text
    form.reject()


def test_a_stay_is_taken_out_after_showing_whom_it_changes(
    qtbot: QtBot, window: Window, usk: BirdPage
) -> None:
    verb(usk, "take out").click()
    settle(window)
    form = dialog()
    assert isinstance(form, RemoveStayDialog)
    press(qtbot, form, "save")
    settle(window)
    assert "would change" in plain(form.moved.toPlainText())
    press(qtbot, form, "save")
    settle(window)
    assert bird_named(window, "Usk") not in stays_on(now(window).husbandry, TODAY)
    assert "In no pen yet." in lines(usk)


def test_a_bird_is_moved_from_its_page(qtbot: QtBot, window: Window, usk: BirdPage) -> None:
    press(qtbot, usk, "page_move")
    settle(window)
    form = dialog()
    assert isinstance(form, MoveDialog)
    assert form.pen.currentText() == "Lane, Orchard house"
    press(qtbot, form, "save")
    settle(window)
    year = now(window).husbandry
    assert year.pens[stays_on(year, TODAY)[bird_named(window, "Usk")].pen].name == "Lane"
    assert "10 Jan 2026 – 14 Feb 2027" in lines(usk)


def test_a_planned_move_is_carried_out_from_the_page(qtbot: QtBot, window: Window, usk: BirdPage) -> None:
    page = page_of(window, "Avens")
    verb(page, "carry out today").click()
    settle(window)
    year = now(window).husbandry
    assert not year.moves
    assert year.pens[stays_on(year, TODAY)[bird_named(window, "Avens")].pen].name == "Lane"


def pens_room(window: Window) -> PensRoom:
    room = window.go("pens")
    settle(window)
    settle(window)
    assert isinstance(room, PensRoom)
    return room


def test_a_note_that_reaches_no_chick_is_saved_at_once(window: Window, usk: BirdPage) -> None:
    room = pens_room(window)
    room.board.choose(bird_named(window, "Avens"))
    room._condition_menu().actions()[0].trigger()
    settle(window)
    assert QApplication.activeModalWidget() is None
    (condition,) = now(window).husbandry.conditions.values()
    assert condition.bird == bird_named(window, "Avens")


@pytest.fixture
def doubtful_book(tmp_path: Path) -> Path:
    """A chick Teasel of eggs laid today: of the Orchard, where Avens and Betony are with Usk."""
    yard = new_yard(tmp_path / "withybrook.studbook")
    laid = TODAY - timedelta(24)
    batch = set_eggs(yard, 6, laid, pen=yard.orchard)
    hatch(yard, batch, 1, TODAY)
    yard.book.apply(RegisterChicks(batch.id, TODAY, (Chick(name="Teasel"),)))
    yard.book.apply(Enter((Move(MoveId(""), yard.betony, yard.lane, laid - timedelta(10)),)))
    yard.book.close()
    return yard.book.path


def test_a_move_written_down_late_lists_the_chicks_before_it_is_saved(
    qtbot: QtBot, window: Window, doubtful_book: Path
) -> None:
    window.context.record.open(doubtful_book, today=TODAY)
    settle(window)
    room = pens_room(window)
    teasel, betony = bird_named(window, "Teasel"), bird_named(window, "Betony")
    assert betony in now(window).bird(teasel).dams
    room.tabs.setCurrentWidget(room.planned)
    before = now(window).entry
    press(qtbot, room, "carry_out_as_planned")
    settle(window)
    form = dialog()
    assert isinstance(form, ForeseenDialog)
    assert "The parents of 1 bird would change:" in plain(form.moved.toPlainText())
    press(qtbot, form, "cancel")
    settle(window)
    assert now(window).entry == before
    assert betony in now(window).bird(teasel).dams
    press(qtbot, room, "carry_out_as_planned")
    settle(window)
    press(qtbot, dialog(), "save")
    settle(window)
    assert now(window).bird(teasel).dams == (bird_named(window, "Avens"),)
    assert not now(window).husbandry.moves


def test_a_death_entered_late_lists_the_chicks_first(
    qtbot: QtBot, window: Window, doubtful_book: Path
) -> None:
    window.context.record.open(doubtful_book, today=TODAY)
    settle(window)
    teasel, betony = bird_named(window, "Teasel"), bird_named(window, "Betony")
    page = page_of(window, "Betony")
    press(qtbot, page, "page_status")
    settle(window)
    form = dialog()
    assert isinstance(form, StatusDialog)
    form.status.setCurrentIndex(form.status.findData(Status.DIED))
    write(qtbot, form.left.edit, (TODAY - timedelta(60)).isoformat())
    press(qtbot, form, "save")
    settle(window)
    assert "The parents of 1 bird would change:" in plain(form.moved.toPlainText())
    assert now(window).bird(betony).is_living
    press(qtbot, form, "save")
    settle(window)
    assert betony not in now(window).bird(teasel).dams
