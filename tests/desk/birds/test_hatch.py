"""Registering a hatch: mark series, the grid, warnings as one types, one undo for all."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from studbook.book.records import MarkKind, Sex, Snapshot
from studbook.book.rules import mark_key
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.deeds.series import mark_series, next_code, proposed_code, worn_codes
from studbook.desk.hatch.chicks import COLOUR, MARK, NAME, SEX, ChicksModel, read_sex
from studbook.desk.hatch.form import HatchForm, Marking
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.window import Window
from tests.desk.birds.conftest import named, press, type_into

CONTROL = Qt.KeyboardModifier.ControlModifier
Changes = Callable[[Callable[[], object]], None]
Book = Callable[[], Snapshot]


@pytest.fixture
def form(qtbot: QtBot, window: Window, room: BirdsRoom) -> HatchForm:
    """The form, opened by its button."""
    press(qtbot, room, "register_hatch")
    settle(window)
    found = room.findChild(HatchForm)
    assert isinstance(found, HatchForm)
    return found


def choose_parent(qtbot: QtBot, form: HatchForm, name: str, bird: str) -> None:
    edit = form.findChild(QWidget, name).focusProxy()
    edit.setFocus()
    qtbot.keyClicks(edit, bird)
    qtbot.keyClick(edit, Qt.Key.Key_Return)


def marks_in(form: HatchForm) -> list[str]:
    return [draft.mark for draft in form.model.drafts]


@pytest.mark.parametrize(
    ("code", "after"),
    [("B26-01", "B26-02"), ("B26-09", "B26-10"), ("B26-99", "B26-100"), ("7", "8"), ("26-04a", "26-05a")],
)
def test_the_next_code_counts_its_last_number(code: str, after: str) -> None:
    assert next_code(code) == after


def test_a_code_without_a_number_cannot_be_counted_on() -> None:
    with pytest.raises(ValueError, match="holds no number"):
        mark_series("red", 2, ())
    assert mark_series("red", 1, ()) == ("red",)


def test_a_series_skips_what_is_worn() -> None:
    worn = {mark_key("b26-02"), mark_key("B26-03")}
    assert mark_series("B26-01", 3, worn) == ("B26-01", "B26-04", "B26-05")


def test_the_series_goes_on_where_the_year_stands(book: Book, room: BirdsRoom) -> None:
    assert proposed_code(book(), 2024) == "W24-03"
    assert proposed_code(book(), 2027) == "W27-01"
    assert mark_key("W23-05") not in worn_codes(book())


def test_a_hatch_of_eight_is_registered_and_one_undo_takes_it_back(
    qtbot: QtBot, window: Window, form: HatchForm, book: Book, changes: Changes
) -> None:
    before = len(book().birds)
    type_into(qtbot, form.hatched, "10 Feb 2027")
    choose_parent(qtbot, form, "sire", "dart")
    choose_parent(qtbot, form, "dam", "sloe")
    type_into(qtbot, form.count, "8")
    type_into(qtbot, form.colour, "blue")
    assert marks_in(form) == [f"W27-0{number}" for number in range(1, 9)]
    settle(window)
    changes(lambda: press(qtbot, form, "save_hatch"))
    chicks = [bird for bird in book().birds if bird.hatched == PartialDate(2027, 2, 10)]
    assert len(chicks) == 8
    assert {chick.sire for chick in chicks} == {named(book(), "Dart").id}
    assert {chick.dam for chick in chicks} == {named(book(), "Sloe").id}
    assert {chick.colour for chick in chicks} == {"blue"}
    assert [chick.mark for chick in chicks] == [f"W27-0{number}" for number in range(1, 9)]
    assert "8 chicks are in the book" in form.findChild(QLabel, "hatch_saved").text()
    changes(window.undo)
    assert len(book().birds) == before


def test_another_hatch_keeps_the_parents_and_counts_on(
    qtbot: QtBot, form: HatchForm, book: Book, changes: Changes
) -> None:
    choose_parent(qtbot, form, "dam", "sloe")
    type_into(qtbot, form.count, "2")
    changes(lambda: press(qtbot, form, "save_hatch"))
    press(qtbot, form, "another_hatch")
    assert form.change().pairs[0].dam == named(book(), "Sloe").id
    assert marks_in(form) == ["W27-03"]
    changes(lambda: press(qtbot, form, "save_hatch"))
    assert len(book().offspring[named(book(), "Sloe").id]) == 4


def test_a_related_pair_is_said_at_once_in_words_and_with_f(
    qtbot: QtBot, window: Window, form: HatchForm
) -> None:
    choose_parent(qtbot, form, "sire", "dart")
    choose_parent(qtbot, form, "dam", "hazel")
    settle(window)
    words = form.findChild(QLabel, "outlook").text()
    # half sibs by one sire who is not inbred: F = (1/2)^3 = 12.5 % (Wright 1922)
    assert "half sister by the sire" in words
    assert "F of the chicks 12.5 %" in words
    assert "Close mating lowers hatch and vigour." in words


def test_a_parent_too_young_is_said_as_one_types(
    qtbot: QtBot, window: Window, form: HatchForm, book: Book
) -> None:
    choose_parent(qtbot, form, "dam", "teasel")
    settle(window)
    assert "too young" in form.form.fields["parents"].problem_text
    before = len(book().birds)
    press(qtbot, form, "save_hatch")
    settle(window)
    assert len(book().birds) == before
    type_into(qtbot, form.hatched, "today")
    choose_parent(qtbot, form, "dam", "")
    form.parents.set_pairs(())
    settle(window)
    assert form.form.fields["parents"].problem_text == ""


def test_a_toe_punch_marks_the_whole_hatch_and_carries_its_caution(
    qtbot: QtBot, window: Window, form: HatchForm, book: Book, changes: Changes
) -> None:
    type_into(qtbot, form.count, "3")
    form.marking.setCurrentIndex(form.marking.findData(Marking.TOE_PUNCH))
    assert "restricted" in form.findChild(QLabel, "mark_caution").text()
    for web in ("web_left_outer", "web_right_inner"):
        press(qtbot, form, web)
    assert marks_in(form) == ["left outer + right inner"] * 3
    changes(lambda: press(qtbot, form, "save_hatch"))
    punched = [mark for bird in book().birds for mark in bird.marks if mark.kind is MarkKind.TOE_PUNCH]
    assert [mark.code for mark in punched] == ["left outer + right inner"] * 3


def test_rings_of_chicks_carry_the_caution_that_they_grow_in(form: HatchForm) -> None:
    assert "grows in" in form.findChild(QLabel, "mark_caution").text()


def test_two_possible_sires_share_the_hatch(
    qtbot: QtBot, form: HatchForm, book: Book, changes: Changes
) -> None:
    choose_parent(qtbot, form, "sire", "severn")
    choose_parent(qtbot, form, "dam", "sloe")
    press(qtbot, form, "another_pair")
    choose_parent(qtbot, form, "sire_2", "dart")
    changes(lambda: press(qtbot, form, "save_hatch"))
    chick = next(bird for bird in book().birds if bird.hatched == PartialDate(2027, 2, 14))
    assert {book().bird(pair.sire).name: pair.weight for pair in chick.pairs if pair.sire} == {
        "Severn": 0.5,
        "Dart": 0.5,
    }
    assert chick.dam == named(book(), "Sloe").id


def test_the_grid_is_filled_by_keys_alone(
    qtbot: QtBot, form: HatchForm, book: Book, changes: Changes
) -> None:
    type_into(qtbot, form.count, "3")
    table = form.table
    table.setFocus()
    table.setCurrentIndex(form.model.index(0, SEX))
    for key in "chc":
        qtbot.keyClicks(table, key)
    assert [draft.sex for draft in form.model.drafts] == [Sex.COCK, Sex.HEN, Sex.COCK]
    table.setCurrentIndex(form.model.index(0, NAME))
    QGuiApplication.clipboard().setText("Lune\tc\tblack\nYarrow\th\tsplash")
    qtbot.keyClick(table, Qt.Key.Key_V, CONTROL)
    assert [draft.name for draft in form.model.drafts] == ["Lune", "Yarrow", ""]
    assert form.model.index(1, COLOUR).data() == "splash"
    changes(lambda: press(qtbot, form, "save_hatch"))
    assert named(book(), "Yarrow").sex is Sex.HEN


def test_a_mark_written_by_hand_stays_when_the_series_changes(qtbot: QtBot, form: HatchForm) -> None:
    type_into(qtbot, form.count, "3")
    form.model.setData(form.model.index(1, MARK), "X7")
    type_into(qtbot, form.first, "B27-11")
    assert marks_in(form) == ["B27-11", "X7", "B27-13"] or marks_in(form) == ["B27-11", "X7", "B27-12"]


def test_a_mark_that_is_worn_is_refused_where_it_stands(
    qtbot: QtBot, window: Window, form: HatchForm, book: Book
) -> None:
    before = len(book().birds)
    form.model.setData(form.model.index(0, MARK), "W24-01")
    settle(window)
    assert "W24-01" in form.findChild(QLabel, "hatch_problems").text()
    press(qtbot, form, "save_hatch")
    settle(window)
    assert len(book().birds) == before


@pytest.mark.parametrize(
    ("written", "sex"),
    [
        ("c", Sex.COCK),
        ("Cockerel", Sex.COCK),
        ("hen", Sex.HEN),
        ("f", Sex.HEN),
        ("", Sex.UNKNOWN),
        ("x", None),
    ],
)
def test_the_sex_is_read_from_a_word_or_a_letter(written: str, sex: Sex | None) -> None:
    assert read_sex(written) is sex


def test_the_grid_keeps_the_rules_of_models(qtmodeltester: ModelTester) -> None:
    model = ChicksModel()
    model.set_count(4)
    model.set_marks(("A1", "A2", "A3", "A4"), has_marks=True)
    qtmodeltester.check(model)
    model.set_count(2)
    assert [draft.mark for draft in model.drafts] == ["A1", "A2"]
