"""The room Pairing, worked with keys and clicks; figures as in every textbook since Wright 1922."""

import csv
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrintPreviewDialog
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QDoubleSpinBox, QPushButton, QToolButton
from pytestqt.qtbot import QtBot

from studbook.book.changes import SetStatus
from studbook.book.records import Status
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.rooms.pairing.pairs.page import PairsPage
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.window import Window
from tests.desk.conftest import Answers
from tests.desk.pairing.conftest import column_of, id_of, row_of
from tests.planning.flock import TODAY


def press(
    qtbot: QtBot, room: PairsPage, name: str, kind: type[QToolButton] | type[QPushButton] = QToolButton
) -> None:
    """Click a button by its name."""
    found = room.findChild(kind, name)
    assert found is not None
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def click_cell(qtbot: QtBot, room: PairsPage, cock: str, hen: str) -> None:
    """Click the cell of a pair in the matrix."""
    index = room.model.index(row_of(room, hen), column_of(room, cock))
    room.matrix.scrollTo(index)
    place = room.matrix.visualRect(index).center()
    qtbot.mouseClick(room.matrix.viewport(), Qt.MouseButton.LeftButton, pos=place)


def figure(room: PairsPage, cock: str, hen: str) -> str:
    """What a cell says."""
    return str(room.model.index(row_of(room, hen), column_of(room, cock)).data())


def text_of(room: PairsPage) -> str:
    """The sentences as a keeper reads them."""
    return room.sentences.toPlainText().replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ")


def test_it_opens_with_the_living_adults(room: PairsPage) -> None:
    assert room.model.columnCount() == 1 + 3
    assert room.model.rowCount() == 1 + 3
    assert figure(room, "Tamar", "Hazel") == "25.0 %"


def test_sentences_name_the_cock_that_suits_each_hen(room: PairsPage) -> None:
    said = " ".join(text_of(room).split())
    hazel = said[said.index("W22-02 Hazel") :]
    assert "A21-09 Dart suits her best, with 0.0 %: he is not related to her" in hazel
    assert "W22-01 Tamar with 25.0 %: her full brother." in hazel


def test_the_switch_changes_figures_and_says_which_are_shown(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    cautious = figure(room, "Wye", "Hazel")
    assert cautious != "0.0 %"
    press(qtbot, room, "pairing_convention")
    settle(window)
    assert figure(room, "Wye", "Hazel") == "0.0 %"
    assert figure(room, "Tamar", "Bryony") == "12.5 %"
    assert room.answer is not None
    assert room.answer.figures.basis.startswith("Figures by convention")
    press(qtbot, room, "pairing_cautious")
    settle(window)
    assert figure(room, "Wye", "Hazel") == cautious


def test_pairs_over_the_limit_are_greyed(qtbot: QtBot, room: PairsPage, window: Window) -> None:
    def is_greyed() -> bool:
        return room.model.is_greyed(row_of(room, "Bryony"), column_of(room, "Tamar"))

    assert not is_greyed()  # exactly at 12.5 %
    limit = room.findChild(QDoubleSpinBox, "pairing_limit")
    assert limit is not None
    limit.selectAll()
    qtbot.keyClicks(limit, "6,25" if limit.locale().decimalPoint() == "," else "6.25")
    qtbot.keyClick(limit, Qt.Key.Key_Return)
    settle(window)
    assert is_greyed()
    assert room.answer is not None
    assert room.answer.figures.question.rules.limit == pytest.approx(0.0625)


def test_a_click_opens_the_pair_whose_contributions_add_up(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    click_cell(qtbot, room, "Tamar", "Hazel")
    settle(window)
    assert room.panel.isVisible()
    said = " ".join(room.panel.sentences.toPlainText().replace("\N{NO-BREAK SPACE}", " ").split())
    assert "is her full brother" in said
    assert "Severn contributes 12.50 %, by 1 path" in said
    assert "Bramble contributes 12.50 %, by 1 path" in said
    assert "Together 25.00 %" in said
    assert figure(room, "Tamar", "Hazel") == "25.0 %"
    drawing = room.panel.tree.drawing
    assert drawing is not None
    assert {id_of(room, name) for name in ("Severn", "Bramble", "Tamar", "Hazel")} == {
        box.bird for box in drawing.boxes
    }


def test_a_pair_says_where_it_is_not_worked_out_what_an_unknown_parent_hides(
    qtbot: QtBot, room: PairsPage, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("studbook.planning.unknown_parents._MOST_ANCESTORS", 1)
    click_cell(qtbot, room, "Tamar", "Elder")
    settle(window)
    settle(window)
    assert "Go by the cautious figure" in room.panel.sentences.toPlainText().replace(
        "\N{NO-BREAK SPACE}", " "
    )


def test_a_pair_says_what_an_unknown_parent_hides_and_lists_who_it_could_have_been(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    def said() -> str:
        text = room.panel.sentences.toPlainText()
        return " ".join(text.replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ").split())

    click_cell(qtbot, room, "Dart", "Hazel")
    settle(window)
    assert not room.panel.opening.isVisible()
    click_cell(qtbot, room, "Wye", "Hazel")
    settle(window)
    assert "Nobody wrote down the dam of W24-01 Wye: F of the chicks is" in said()
    assert room.panel.opening.isVisible()
    assert "could have been" in room.panel.opening.text()
    room.panel.opening.setFocus()
    qtbot.keyClick(room.panel.opening, Qt.Key.Key_Space)
    assert "If the dam of W24-01 Wye was, from the lowest figure to the highest:" in said()
    assert "W22-02 Hazel: 25.00 %" in said()
    assert "All are taken for alike likely" in said()
    qtbot.keyClick(room.panel.opening, Qt.Key.Key_Space)
    assert "from the lowest figure" not in said()


def test_the_keyboard_opens_a_pair_moves_on_and_closes_it(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    room.matrix.setFocus()
    room.matrix.setCurrentIndex(room.model.index(1, 1))
    qtbot.keyClick(room.matrix, Qt.Key.Key_Return)
    settle(window)
    first = room.panel.pair
    assert first == room.model.pair(room.model.index(1, 1))
    qtbot.keyClick(room.matrix, Qt.Key.Key_Down)
    settle(window)
    assert room.panel.pair == room.model.pair(room.model.index(2, 1))
    qtbot.keyClick(room.matrix, Qt.Key.Key_Escape)
    assert not room.panel.isVisible()


def test_a_bird_in_a_sentence_leads_to_its_page(qtbot: QtBot, room: PairsPage) -> None:
    room.sentences.setFocus()
    with qtbot.waitSignal(room.bird_asked) as asked:
        qtbot.keyClick(room.sentences, Qt.Key.Key_Tab)
        qtbot.keyClick(room.sentences, Qt.Key.Key_Return)
    assert asked.args == [id_of(room, "Dart")]


def test_headers_sort_and_sorting_comes_off_again(qtbot: QtBot, room: PairsPage) -> None:
    def hens() -> list[str]:
        return [found.name for row in range(1, room.model.rowCount()) if (found := room.model.hen(row))]

    before = hens()
    header = room.matrix.horizontalHeader()
    column = column_of(room, "Tamar")
    for _press in range(2):
        place = header.sectionViewportPosition(column) + header.sectionSize(column) // 2
        qtbot.mouseClick(
            header.viewport(), Qt.MouseButton.LeftButton, pos=header.rect().center().__class__(place, 9)
        )
    figures = [room.model.value(row, column) for row in range(1, room.model.rowCount())]
    assert figures == sorted(figures, reverse=True)
    room.matrix.setFocus()
    room.matrix.setCurrentIndex(room.model.index(1, column))
    qtbot.keyClick(room.matrix, Qt.Key.Key_C)
    assert hens() == before


def test_no_cock_leaves_a_word_and_a_way_on(qtbot: QtBot, room: PairsPage, window: Window) -> None:
    press(qtbot, room, "pairing_choose")
    settle(window)
    press(qtbot, room, "pairing_cocks_none", QPushButton)
    settle(window)
    press(qtbot, room, "pairing_choose")
    assert not room.matrix.isVisible()
    export = room.findChild(QPushButton, "pairing_export")
    assert export is not None
    assert not export.isEnabled()
    press(qtbot, room, "pairing_choose")
    settle(window)
    press(qtbot, room, "pairing_cocks_proposed", QPushButton)
    settle(window)
    assert room.matrix.isVisible()


def test_a_bird_is_left_out_with_space_and_another_added_by_typing(
    qtbot: QtBot, room: PairsPage, window: Window
) -> None:
    press(qtbot, room, "pairing_choose")
    ticked = room.cocks.list
    ticked.setCurrentIndex(ticked.model().index(0, 0))
    qtbot.keyClick(ticked, Qt.Key.Key_Space)
    settle(window)
    assert id_of(room, "Dart") not in room.question.cocks
    room.cocks.finder.setFocus()
    qtbot.keyClicks(room.cocks.finder, "lune")
    qtbot.keyClick(room.cocks.finder, Qt.Key.Key_Return)
    settle(window)
    assert id_of(room, "Lune") in room.question.cocks
    assert figure(room, "Lune", "Elder") != ""


def test_the_matrix_is_exported_as_shares(
    qtbot: QtBot, room: PairsPage, window: Window, answers: Answers, tmp_path: Path
) -> None:
    press(qtbot, room, "pairing_convention")
    settle(window)
    answers.files.append(tmp_path / "pairs.csv")
    press(qtbot, room, "pairing_export", QPushButton)
    head, *lines = list(csv.reader((tmp_path / "pairs.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert head == ["hen", "A21-09 Dart", "W22-01 Tamar", "W24-01 Wye"]
    assert lines[1] == ["W22-03 Bryony", "0.000000", "0.125000", "0.000000"]


def test_printing_opens_a_preview(qtbot: QtBot, room: PairsPage) -> None:
    press(qtbot, room, "pairing_print", QPushButton)
    preview = room.findChild(QPrintPreviewDialog, "print_preview")
    assert preview is not None
    assert preview.isVisible()
    preview.close()


def test_a_bird_that_leaves_the_flock_leaves_the_matrix(room: PairsPage, window: Window) -> None:
    gone = SetStatus((id_of(room, "Dart"),), Status.SOLD, PartialDate.of(TODAY))
    window.context.record.apply(gone)
    settle(window)
    assert id_of(room, "Dart") not in room.question.cocks
    assert room.model.columnCount() == 1 + 2


def test_the_matrix_is_a_sound_model(room: PairsPage) -> None:
    QAbstractItemModelTester(room.model, QAbstractItemModelTester.FailureReportingMode.Warning)
    room.model.sort_hens(1)
    room.model.sort_cocks(1)


def test_a_book_without_birds_says_what_will_be_here(window: Window, tmp_path: Path) -> None:
    from studbook.book.records import BookDetails

    window.context.record.create(tmp_path / "empty.studbook", BookDetails("", yard="Withybrook"))
    settle(window)
    empty = window.go("pairing")
    settle(window)
    assert isinstance(empty, PairingRoom)
    assert not empty.pairs.matrix.isVisible()
    button = next(found for found in empty.findChildren(QPushButton) if found.text() == "Go to the birds")
    assert button.isVisible()


def test_it_opens_at_a_bird(room: PairsPage, window: Window) -> None:
    room.show_bird(id_of(room, "Bryony"))
    assert room.model.pair(room.matrix.currentIndex()) == (id_of(room, "Dart"), id_of(room, "Bryony"))
    lune = id_of(room, "Lune")
    room.show_bird(lune)
    settle(window)
    assert lune in room.question.cocks
    cock = room.model.cock(room.matrix.currentIndex().column())
    assert cock is not None
    assert cock.id == lune
