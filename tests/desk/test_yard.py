"""The Yard: what is in the flock, what hatched, what is missing."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from studbook.book.changes import Chick, Enter, RegisterHatch, SetStatus
from studbook.book.husbandry.rows import Job
from studbook.book.ids import JobId
from studbook.book.records import BookDetails, Pair, Snapshot, Status
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.room import BirdList
from studbook.desk.rooms.yard.summary import gaps, groups, season
from studbook.desk.window import Window
from studbook.desk.wording import several


def snapshot_of(window: Window) -> Snapshot:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return snapshot


def texts(window: Window) -> list[str]:
    room = window.go("yard")
    settle(window)
    labels = [label.text() for label in room.findChildren(QLabel) if label.isVisible()]
    return labels + [button.text() for button in room.findChildren(QPushButton) if button.isVisible()]


def button(window: Window, text: str) -> QPushButton:
    room = window.go("yard")
    return next(
        found
        for found in room.findChildren(QPushButton)
        if text in (found.text(), found.accessibleName()) and found.isVisible()
    )


def test_the_flock_is_counted_in_the_words_of_its_species(open_window: Window) -> None:
    found = {group.word: len(group.birds) for group in groups(snapshot_of(open_window), date(2027, 2, 14))}
    assert found == {"cock": 1, "hen": 1, "cockerel": 1, "pullet": 1}
    assert {"cock", "hen", "cockerel", "pullet"} <= set(texts(open_window))


def test_young_birds_are_grown_a_year_later(open_window: Window) -> None:
    found = {group.word: len(group.birds) for group in groups(snapshot_of(open_window), date(2027, 6, 1))}
    assert found == {"cock": 2, "hen": 2}


@pytest.mark.parametrize(
    ("word", "many"),
    [
        ("hen", "hens"),
        ("goose", "geese"),
        ("young goose", "young geese"),
        ("guinea fowl", "guinea fowl"),
        ("turkey of unknown sex", "turkeys of unknown sex"),
    ],
)
def test_a_word_for_several_birds(word: str, many: str) -> None:
    assert (several(word, 1), several(word, 2)) == (word, many)


def test_the_last_season_is_told_with_its_parents(open_window: Window) -> None:
    last = season(snapshot_of(open_window), date(2027, 2, 14))
    assert last is not None
    assert (last.year, len(last.birds)) == (2026, 2)
    shown = texts(open_window)
    assert "Last season's hatch, 2026" in shown
    assert "2 chicks in 1 hatch, 2 in the flock" in shown


def test_a_bird_that_left_is_hatched_but_not_in_the_flock(qtbot: QtBot, open_window: Window) -> None:
    teme = next(bird for bird in snapshot_of(open_window).birds if bird.name == "Teme")
    with qtbot.waitSignal(open_window.context.record.changed):
        open_window.context.record.apply(SetStatus((teme.id,), Status.SOLD, PartialDate(2026, 9, 1)))
    assert "2 chicks in 1 hatch, 1 in the flock" in texts(open_window)


def test_birds_without_parents_or_mark_are_found(open_window: Window) -> None:
    missing = gaps(snapshot_of(open_window), date(2027, 2, 14))
    assert [bird.name for bird in missing.parents] == ["Teme"]
    assert [bird.name for bird in missing.marks] == ["Teme"]
    assert missing.sexes == missing.doubtful == ()


def test_a_line_leads_to_its_birds(qtbot: QtBot, open_window: Window) -> None:
    room = open_window.go("yard")
    settle(open_window)
    with qtbot.waitSignal(room.birds_asked) as asked:
        qtbot.mouseClick(button(open_window, "1 without a mark"), Qt.MouseButton.LeftButton)
    found = asked.args[0]
    assert isinstance(found, BirdList)
    assert [snapshot_of(open_window).bird(bird).name for bird in found.birds] == ["Teme"]


def test_a_new_hatch_shows_at_once(qtbot: QtBot, open_window: Window) -> None:
    snapshot = snapshot_of(open_window)
    by_name = {bird.name: bird.id for bird in snapshot.birds}
    hatch = RegisterHatch(
        PartialDate(2027, 2, 10), (Pair(by_name["Severn"], by_name["Bramble"]),), (Chick(),) * 5
    )
    with qtbot.waitSignal(open_window.context.record.changed):
        open_window.context.record.apply(hatch)
    shown = texts(open_window)
    assert "Hatched this season" in shown
    assert "5 chicks in 1 hatch, 5 in the flock" in shown
    assert "Register 5 chicks hatched 2027-02-10" in shown


def test_what_a_change_does_not_touch_stays_where_the_keyboard_is(qtbot: QtBot, open_window: Window) -> None:
    texts(open_window)
    asked = button(open_window, "In the flock, hatched 2026")
    asked.setFocus()
    job = Job(JobId(""), "Scrub the drinkers", date(2027, 2, 15))
    with qtbot.waitSignal(open_window.context.record.changed):
        open_window.context.record.apply(Enter((job,)))
    settle(open_window)
    found = open_window.go("yard").findChildren(QAbstractButton)
    assert any("Scrub the drinkers" in each.text() for each in found if each.isVisible())
    assert asked.hasFocus()


def test_an_empty_yard_says_how_to_begin(qtbot: QtBot, window: Window, tmp_path: Path) -> None:
    with qtbot.waitSignal(window.filled):
        window.context.record.create(tmp_path / "new.studbook", BookDetails(""))
    settle(window)
    assert "Nobody in the yard yet" in texts(window)
    with qtbot.waitSignal(window.go("yard").room_asked) as asked:
        qtbot.mouseClick(button(window, "Import a list…"), Qt.MouseButton.LeftButton)
    assert asked.args == ["book"]
