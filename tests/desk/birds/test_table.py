"""The table: search, filters, sorting, the deeds done to several birds, copy and export."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QComboBox, QLabel
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from studbook.book.records import BirdId, MarkKind, Sex, Snapshot, Status
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.deeds.several import MarkDialog, StatusDialog, StrikeOutDialog
from studbook.desk.room import BirdList
from studbook.desk.rooms.birds.columns import code_order
from studbook.desk.rooms.birds.filters import Standing
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.window import Window
from tests.desk.birds.conftest import named, opened, press, type_into
from tests.desk.conftest import Answers

CONTROL = Qt.KeyboardModifier.ControlModifier
Changes = Callable[[Callable[[], object]], None]
Book = Callable[[], Snapshot]


def shown(room: BirdsRoom) -> list[str]:
    return [bird.name for bird in room.table.model.shown]


def choose(box: QComboBox, value: object) -> None:
    box.setCurrentIndex(box.findData(value))


def test_the_living_are_shown_in_the_order_of_their_marks(room: BirdsRoom) -> None:
    assert shown(room) == ["Teasel", "Severn", "Bramble", "Sloe", "Hazel", "Dart"]
    assert room.table.count.text() == "7 birds, 6 shown"


def test_marks_are_sorted_as_numbers() -> None:
    assert sorted(["W22-10", "W22-2", "A1", "W9-1"], key=code_order) == ["A1", "W9-1", "W22-2", "W22-10"]


def test_the_search_finds_marks_names_and_colours(qtbot: QtBot, room: BirdsRoom) -> None:
    type_into(qtbot, room.table.filters.search, "w24")
    assert shown(room) == ["Hazel", "Dart"]
    type_into(qtbot, room.table.filters.search, "haz")
    assert shown(room) == ["Hazel"]


def test_a_bird_that_has_gone_is_one_press_away(qtbot: QtBot, room: BirdsRoom) -> None:
    type_into(qtbot, room.table.filters.search, "tansy")
    assert shown(room) == []
    assert "1 does" in room.findChild(QLabel, "nobody").text()
    press(qtbot, room, "look_wider")
    assert shown(room) == ["Tansy"]


@pytest.mark.parametrize(
    ("box", "value", "names"),
    [
        ("standing", Standing.GONE, ["Tansy"]),
        ("sex_filter", Sex.HEN, ["Bramble", "Sloe", "Hazel"]),
        ("year_filter", 2024, ["Hazel", "Dart"]),
        ("marked_filter", False, ["Teasel"]),
        ("breed_filter", "Andalusian", ["Teasel", "Severn", "Bramble", "Sloe", "Hazel", "Dart"]),
    ],
)
def test_filters_narrow_the_table(room: BirdsRoom, box: str, value: object, names: list[str]) -> None:
    choose(room.findChild(QComboBox, box), value)
    assert shown(room) == names


def test_enter_in_the_search_goes_to_the_first_bird_and_enter_there_opens_its_page(
    qtbot: QtBot, window: Window, room: BirdsRoom
) -> None:
    type_into(qtbot, room.table.filters.search, "dart")
    qtbot.keyClick(room.table.filters.search, Qt.Key.Key_Return)
    assert room.table.table.hasFocus()
    qtbot.keyClick(room.table.table, Qt.Key.Key_Return)
    settle(window)
    assert room.page.isVisible()
    assert room.findChild(QLabel, "bird_name").text() == "Dart"


def test_the_page_opens_over_the_table_where_the_window_is_narrow(
    qtbot: QtBot, window: Window, room: BirdsRoom
) -> None:
    room.show_bird(named(window.context.record.snapshot, "Dart").id)  # type: ignore[arg-type]
    assert room.table.isVisible()
    window.resize(760, 640)
    qtbot.waitUntil(lambda: not room.table.isVisible())
    assert room.page.isVisible()
    press(qtbot, room, "close_page")
    assert room.table.isVisible()
    assert not room.page.isVisible()


def test_the_status_of_several_birds_is_changed_at_once_and_taken_back(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    room.table.filters.search.setText("w24")
    room.table.table.setFocus()
    qtbot.keyClick(room.table.table, Qt.Key.Key_A, CONTROL)
    assert "2 chosen" in room.table.count.text()
    press(qtbot, room, "change_status")
    dialog = opened(window, StatusDialog)
    choose(dialog.status, Status.LENT)
    type_into(qtbot, dialog.left, "3 Feb 2027")
    type_into(qtbot, dialog.taker, "Mary Lamb")
    changes(lambda: press(qtbot, dialog, "save"))
    taker = next(contact for contact in book().contacts if contact.name == "Mary Lamb")
    for name in ("Hazel", "Dart"):
        given = named(book(), name)
        assert (given.status, given.left, given.taker) == (
            Status.LENT,
            PartialDate(2027, 2, 3),
            taker.id,
        )
    changes(window.undo)
    assert named(book(), "Dart").status is Status.LIVING
    assert "Mary Lamb" not in {contact.name for contact in book().contacts}


def test_a_culled_bird_comes_with_a_caution(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book
) -> None:
    room.table.table.select(named(book(), "Sloe").id)
    press(qtbot, room, "change_status")
    dialog = opened(window, StatusDialog)
    choose(dialog.status, Status.CULLED)
    caution = dialog.findChild(QLabel, "caution")
    assert caution.isVisible()
    assert "vet" in caution.text()
    press(qtbot, dialog, "cancel")


def test_what_the_record_refuses_stands_in_the_form_and_saves_nothing(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book
) -> None:
    room.table.table.select(named(book(), "Teasel").id)
    press(qtbot, room, "change_status")
    dialog = opened(window, StatusDialog)
    choose(dialog.status, Status.DIED)
    type_into(qtbot, dialog.left, "1 May 2020")
    press(qtbot, dialog, "save")
    settle(window)
    assert "before it hatched" in dialog.form.fields["left"].problem_text
    assert named(book(), "Teasel").status is Status.LIVING
    press(qtbot, dialog, "cancel")


def test_rings_count_on_from_bird_to_bird(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    room.table.filters.search.setText("w24")
    room.table.table.selectAll()
    press(qtbot, room, "add_mark")
    dialog = opened(window, MarkDialog)
    choose(dialog.mark.kind, MarkKind.WING_TAG)
    type_into(qtbot, dialog.mark.code, "T-09")
    changes(lambda: press(qtbot, dialog, "save"))
    tags = {
        bird.name: [mark.code for mark in bird.marks if mark.kind is MarkKind.WING_TAG]
        for bird in book().birds
    }
    assert (tags["Hazel"], tags["Dart"], tags["Sloe"]) == (["T-09"], ["T-10"], [])


def test_striking_out_needs_a_reason_and_can_be_taken_back(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    room.table.table.select(named(book(), "Teasel").id)
    press(qtbot, room, "strike_out")
    dialog = opened(window, StrikeOutDialog)
    press(qtbot, dialog, "save")
    settle(window)
    assert "reason" in dialog.form.fields["reason"].problem_text
    type_into(qtbot, dialog.reason, "entered twice")
    changes(lambda: press(qtbot, dialog, "save"))
    assert "Teasel" not in shown(room)
    choose(room.table.filters.standing, Standing.STRUCK)
    assert shown(room) == ["Teasel"]
    room.table.table.selectAll()
    changes(lambda: press(qtbot, room, "strike_out"))
    assert named(book(), "Teasel").struck is None


def test_chosen_rows_are_copied_and_the_shown_ones_exported(
    qtbot: QtBot, window: Window, room: BirdsRoom, answers: Answers, tmp_path: Path
) -> None:
    room.table.filters.search.setText("w24")
    room.table.table.setFocus()
    qtbot.keyClick(room.table.table, Qt.Key.Key_A, CONTROL)
    qtbot.keyClick(room.table.table, Qt.Key.Key_C, CONTROL)
    copied = QGuiApplication.clipboard().text().splitlines()
    assert copied[1].startswith("W24-01 Hazel\t")
    assert "W22-01 Severn" in copied[1]
    target = tmp_path / "birds.csv"
    answers.files.append(target)
    press(qtbot, room, "export_birds")
    written = target.read_text(encoding="utf-8-sig").splitlines()
    assert len(written) == 3
    assert written[2].startswith("W24-02 Dart,")


def test_an_export_that_cannot_be_written_says_so(
    qtbot: QtBot, room: BirdsRoom, answers: Answers, tmp_path: Path
) -> None:
    answers.files.append(tmp_path / "no such folder" / "birds.csv")
    press(qtbot, room, "export_birds")
    assert "cannot be written" in answers.told[0]


def test_a_list_asked_for_elsewhere_is_shown_until_it_is_let_go(
    qtbot: QtBot, room: BirdsRoom, book: Book
) -> None:
    wanted: tuple[BirdId, ...] = (named(book(), "Tansy").id, named(book(), "Sloe").id)
    room.show_birds(BirdList("Two hens", wanted))
    assert sorted(shown(room)) == ["Sloe", "Tansy"]
    press(qtbot, room, "listed")
    assert len(shown(room)) == 6


def test_inbreeding_follows_from_a_worker_and_is_sorted_as_a_number(
    window: Window, room: BirdsRoom, book: Book
) -> None:
    settle(window)
    columns = [column.key for column in room.table.model.columns]
    index = room.table.model.index(shown(room).index("Hazel"), columns.index("inbreeding"))
    assert index.data() == "0.0 %"
    founder = room.table.model.index(shown(room).index("Sloe"), columns.index("inbreeding"))
    assert founder.data() == "–"
    room.table.table.sortByColumn(columns.index("hatched"), Qt.SortOrder.DescendingOrder)
    assert shown(room)[0] == "Teasel"


def test_the_model_keeps_the_rules_of_models(room: BirdsRoom, qtmodeltester: ModelTester) -> None:
    qtmodeltester.check(room.table.model)
    room.table.filters.search.setText("w22")
    room.table.table.sortByColumn(2, Qt.SortOrder.AscendingOrder)
    assert shown(room) == ["Severn", "Bramble", "Sloe"]


def test_figures_once_found_are_kept_in_the_book(qtbot: QtBot, window: Window, room: BirdsRoom) -> None:
    def stored() -> int:
        with qtbot.waitCallback() as answered:
            window.context.record.ask(lambda book: len(book.snapshot().stored), answered)
        count: int = answered.args[0]
        return count

    qtbot.waitUntil(lambda: room.table.facts.figures is not None)
    qtbot.waitUntil(lambda: stored() > 0)
