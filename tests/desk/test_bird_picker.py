"""Choosing birds by typing."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from studbook.book.records import Bird, BirdId, Mark, MarkId, MarkKind, Sex
from studbook.desk.finding import Finder
from studbook.desk.theme import Theme
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.words import fold


def bird(number: int, name: str, sex: Sex, code: str) -> Bird:
    marks = (Mark(MarkId(f"m{number}"), MarkKind.RING, code),) if code else ()
    return Bird(BirdId(str(number)), name=name, sex=sex, marks=marks)


FLOCK = (
    bird(1, "Severn", Sex.COCK, "W22-01"),
    bird(2, "Bramble", Sex.HEN, "W22-02"),
    bird(3, "Øland", Sex.HEN, "W23-11"),
    bird(4, "Éowen", Sex.HEN, "W23-12"),
    bird(5, "Bryony", Sex.HEN, ""),
)


def names(birds: list[Bird]) -> list[str]:
    return [found.name for found in birds]


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("oland", ["Øland"]),
        ("EOWEN", ["Éowen"]),
        ("w23", ["Øland", "Éowen"]),
        ("23-12", ["Éowen"]),
        ("br", ["Bramble", "Bryony"]),
        ("w22 bram", ["Bramble"]),
        ("nobody", []),
    ],
)
def test_part_of_a_mark_or_name_finds_a_bird(typed: str, found: list[str]) -> None:
    assert names(Finder(FLOCK).find(typed)) == found


def test_the_whole_mark_comes_first() -> None:
    flock = (bird(1, "One", Sex.HEN, "A-11"), bird(2, "Two", Sex.HEN, "A-1"))
    assert names(Finder(flock).find("a-1")) == ["Two", "One"]


def test_a_mark_no_longer_worn_still_finds_its_bird() -> None:
    worn_before = Mark(MarkId("old"), MarkKind.RING, "OLD-7")
    assert names(Finder([replace(FLOCK[0], marks=(worn_before,))]).find("old-7")) == ["Severn"]


def test_letters_are_folded() -> None:
    assert fold("Łódź Straße Þór") == "lodz strasse thor"


@pytest.fixture
def picker(qtbot: QtBot, theme: Theme) -> BirdPicker:
    made = BirdPicker()
    made.set_birds(FLOCK, allowed=lambda bird: bird.sex is Sex.HEN)
    qtbot.addWidget(made)
    made.show()
    made.activateWindow()
    qtbot.waitActive(made)
    made.setFocus()
    return made


def test_arrow_and_enter_choose_from_the_list(qtbot: QtBot, picker: BirdPicker) -> None:
    qtbot.keyClicks(picker.edit, "br")
    assert names(list(picker.edit.found)) == ["Bramble", "Bryony"]
    qtbot.keyClick(picker.edit, Qt.Key.Key_Down)
    with qtbot.waitSignal(picker.changed):
        qtbot.keyClick(picker.edit, Qt.Key.Key_Return)
    assert picker.bird == "5"


def test_only_the_birds_that_may_be_chosen_are_found(qtbot: QtBot, picker: BirdPicker) -> None:
    qtbot.keyClicks(picker.edit, "severn")
    assert picker.edit.found == ()


def test_escape_closes_the_list_and_chooses_nothing(qtbot: QtBot, picker: BirdPicker) -> None:
    qtbot.keyClicks(picker.edit, "br")
    qtbot.keyClick(picker.edit, Qt.Key.Key_Escape)
    assert picker.edit.found == ()
    assert picker.bird is None


def test_a_whole_mark_is_taken_without_the_list(qtbot: QtBot, picker: BirdPicker) -> None:
    qtbot.keyClicks(picker.edit, "w23-11")
    qtbot.keyClick(picker.edit, Qt.Key.Key_Escape)
    qtbot.keyClick(picker.edit, Qt.Key.Key_Return)
    assert picker.bird == "3"


def test_several_birds_are_kept_and_can_be_taken_out(qtbot: QtBot, theme: Theme) -> None:
    picker = BirdPicker(several=True)
    picker.set_birds(FLOCK)
    qtbot.addWidget(picker)
    picker.show()
    picker.activateWindow()
    qtbot.waitActive(picker)
    picker.setFocus()
    for typed in ("bramble", "severn"):
        qtbot.keyClicks(picker.edit, typed)
        qtbot.keyClick(picker.edit, Qt.Key.Key_Return)
    assert picker.chosen == ("2", "1")
    qtbot.keyClicks(picker.edit, "bramble")
    assert picker.edit.found == ()
    picker.drop(BirdId("2"))
    assert picker.chosen == ("1",)
