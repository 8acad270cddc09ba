"""The page The years ahead, worked with keys and clicks."""

import csv
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QCheckBox, QLabel, QLineEdit, QPushButton, QSpinBox, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.opening import create_book
from studbook.book.records import BookDetails
from studbook.desk.app import settle
from studbook.desk.rooms.pairing.ahead.page import AheadPage
from studbook.desk.rooms.pairing.pairs.page import PairsPage
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.theme import Choice
from studbook.desk.widgets.sentence_view import SentenceView
from studbook.desk.window import Window
from studbook.genetics.breeding_policy import Keep
from studbook.planning.forecast.methods import Ahead, ahead_method, ahead_word
from tests.desk.conftest import Answers
from tests.desk.test_words import bare, brackets, letters, texts_of, vocabulary  # noqa: F401
from tests.planning.flock import TODAY


def page_of(window: Window) -> AheadPage:
    """The page as it is entered from the tabs."""
    room = window.go("pairing")
    assert isinstance(room, PairingRoom)
    room.ahead.runs.setValue(60)
    room.ahead.years.setValue(8)
    room.turn_to("ahead")
    settle(window)
    return room.ahead


@pytest.fixture
def page(window: Window, room: PairsPage) -> AheadPage:
    """The page with its first answer on view."""
    return page_of(window)


def press(qtbot: QtBot, inside: QWidget, name: str, kind: type[QWidget] = QPushButton) -> None:
    found = inside.findChild(kind, name)
    assert found is not None
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def read(view: SentenceView) -> str:
    text = view.toPlainText().replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(text.split())


def stale(page: AheadPage) -> bool:
    found = page.findChild(QLabel, "ahead_stale")
    assert found is not None
    return found.isVisibleTo(page)


def test_it_opens_with_three_policies_and_their_answer(page: AheadPage) -> None:
    assert [policy.name for policy in page.board.policies] == [
        "as now",
        "three cocks a year",
        "three cocks, new blood",
    ]
    said = read(page.told)
    assert said.startswith("As now: ")
    assert "A simulation of 60 runs, not a promise" in said
    assert "Cautious figures" in said
    assert "The chicks of 2033 have a mean F of" in read(page.details)
    assert page.chart.view.chart is not None
    assert page.chart.view.chart.title == "Mean F of the chicks by hatch year"
    basis = page.findChild(QLabel, "ahead_basis")
    assert basis is not None
    assert "is read from the chicks of 2022 to 2026" in basis.text()


def test_a_policy_is_changed_and_run_by_keys(qtbot: QtBot, window: Window, page: AheadPage) -> None:
    before = page.answer
    column = page.board.columns[0]
    cocks = column.findChild(QSpinBox, "policy_cocks")
    assert cocks is not None
    cocks.setFocus()
    cocks.selectAll()
    qtbot.keyClicks(cocks, "2")
    qtbot.keyClick(cocks, Qt.Key.Key_Tab)
    assert page.board.policies[0].cocks == 2
    assert stale(page)
    qtbot.keyClick(cocks, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(window)
    assert not stale(page)
    assert page.answer is not None
    assert page.answer is not before
    assert page.answer.forecast.courses[0].policy.cocks == 2


def test_the_keeper_sets_the_limit(qtbot: QtBot, window: Window, page: AheadPage) -> None:
    page.limit.setFocus()
    page.limit.selectAll()
    qtbot.keyClicks(page.limit, "12.5")
    qtbot.keyClick(page.limit, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(window)
    assert "12.5 %" in read(page.told)
    assert page.answer is not None
    assert all(course.passing.limit == 0.125 for course in page.answer.forecast.courses)


def test_policies_are_added_up_to_four_and_removed(qtbot: QtBot, window: Window, page: AheadPage) -> None:
    press(qtbot, page, "policy_add")
    assert len(page.board.columns) == 4
    name = page.focusWidget()
    assert isinstance(name, QLineEdit)
    qtbot.keyClicks(name, "as now")
    assert [policy.name for policy in page.board.policies][-1] == "as now 2"
    add = page.findChild(QPushButton, "policy_add")
    assert add is not None
    assert not add.isEnabled()
    press(qtbot, page, "ahead_run")
    settle(window)
    assert page.answer is not None
    assert len(page.answer.courses) == 4
    press(qtbot, page.board.columns[1], "policy_remove")
    assert [policy.name for policy in page.board.policies] == ["as now", "three cocks, new blood", "as now 2"]
    assert stale(page)


def test_what_cannot_be_is_said_under_the_policy(qtbot: QtBot, page: AheadPage) -> None:
    before = page.answer
    column = page.board.columns[0]
    press(qtbot, page, "policy_more")
    chicks = column.findChild(QSpinBox, "policy_chicks")
    hens = column.findChild(QSpinBox, "policy_hens")
    assert chicks is not None
    assert hens is not None
    hens.setValue(40)
    chicks.setFocus()
    chicks.selectAll()
    qtbot.keyClicks(chicks, "12")
    qtbot.keyClick(chicks, Qt.Key.Key_Tab)
    problem = column.findChild(QLabel, "policy_problem")
    assert problem is not None
    assert "12 chicks a year are too few" in problem.text()
    page.run()
    assert page.answer is before


def test_tab_walks_from_the_answer_through_the_policies(qtbot: QtBot, page: AheadPage) -> None:
    page.told.setFocus()
    qtbot.keyClick(page.told, Qt.Key.Key_Tab)
    walked: list[QWidget] = []
    while (here := page.focusWidget()) is not None and here.objectName() != "policy_add" and len(walked) < 60:
        walked.append(here)
        qtbot.keyClick(here, Qt.Key.Key_Tab)
    assert here is not None
    assert here.objectName() == "policy_add"
    names = [column.name for column in page.board.columns]
    before = [place.objectName() for place in walked[: walked.index(names[0])]]
    assert before == ["ahead_chart_switch", "ahead_chart_export", "ahead_inbreeding", "ahead_chart"]
    of_policies = walked[walked.index(names[0]) :]
    assert [place for place in of_policies if place in names] == names
    assert all(any(column.isAncestorOf(place) for column in page.board.columns) for place in of_policies)


def test_the_fields_make_the_policy(qtbot: QtBot, page: AheadPage) -> None:
    column = page.board.columns[0]
    rotate = next(tick for tick in column.findChildren(QCheckBox) if "next pen" in tick.text())
    rotate.setFocus()
    qtbot.keyClick(rotate, Qt.Key.Key_Space)
    column.keep.setFocus()
    qtbot.keyClick(column.keep, Qt.Key.Key_Home)
    column.every.setFocus()
    qtbot.keyClick(column.every, Qt.Key.Key_Up)
    qtbot.keyClick(column.every, Qt.Key.Key_Up)
    column.yard.setFocus()
    qtbot.keyClick(column.yard, Qt.Key.Key_Down)
    policy = column.policy
    assert policy.rotate
    assert policy.keep is Keep.RANDOM
    assert policy.buy_in is not None
    assert policy.buy_in.every == 2
    assert policy.buy_in.yard.origin is not None


def test_the_chart_shows_the_figure_that_is_chosen(
    qtbot: QtBot, window: Window, page: AheadPage, answers: Answers, tmp_path: Path
) -> None:
    press(qtbot, page, "ahead_diversity", QToolButton)
    settle(window)
    assert page.chart.view.chart is not None
    assert page.chart.view.chart.title.startswith("Gene diversity")
    press(qtbot, page, "ahead_founders", QToolButton)
    press(qtbot, page, "ahead_chart_switch")
    assert page.chart.table is not None
    assert page.chart.table.model().rowCount() == 8
    answers.files = [tmp_path / "numbers.csv"]
    press(qtbot, page, "ahead_chart_export")
    settle(window)
    rows = list(csv.reader((tmp_path / "numbers.csv").read_text("utf-8-sig").splitlines()))
    assert rows[0][:2] == ["Year", "as now: mean"]
    assert [row[0] for row in rows[1:]] == [str(year) for year in range(2026, 2034)]


def test_every_figure_opens_its_explanation(qtbot: QtBot, page: AheadPage) -> None:
    for name, source in (
        ("inbreeding", "Emik & Terrill 1949"),
        ("diversity", "Ballou & Lacy 1995"),
        ("founders", "MacCluer"),
        ("exact", "Wright 1931"),
    ):
        press(qtbot, page.explained, f"explain_{name}")
        assert source in read(page.explained.prose)
    press(qtbot, page.explained, "explain_exact")
    assert not page.explained.prose.isVisibleTo(page)


def test_when_to_buy_in_is_worked_out_for_a_policy(qtbot: QtBot, window: Window, page: AheadPage) -> None:
    page.buying.policy.setFocus()
    qtbot.keyClick(page.buying.policy, Qt.Key.Key_Down)
    press(qtbot, page, "buying_run")
    settle(window)
    assert page.buying.policy.currentText() == "three cocks a year"
    said = read(page.buying.told)
    assert "used next season would bring the mean F of the chicks of 2026 from" in said
    assert "vet" in said
    yards = [page.buying.table.model().index(row, 0).data() for row in range(2)]
    assert set(yards) == {"an unrelated yard", "Alder Yard"}
    table = page.buying.table
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_Down)
    qtbot.keyClick(table, Qt.Key.Key_Down)
    settle(window)
    chart = page.buying.chart.view.chart
    assert chart is not None
    assert chart.title == f"Mean F of the chicks with one cock from {table.current.name}"
    press(qtbot, page.buying, "explain_buying")
    assert "Legarra" in read(page.buying.explained.prose)
    press(qtbot, page.buying, "buying_origins")
    settle(window)
    assert window.room is not None
    assert window.room.objectName() == "bloodlines_room"


def test_the_same_seed_repeats_and_the_other_figures_differ(
    qtbot: QtBot, window: Window, page: AheadPage
) -> None:
    first = page.answer
    assert first is not None
    page.run()
    settle(window)
    assert page.answer is not None
    assert page.answer.forecast == first.forecast
    press(qtbot, page, "ahead_convention", QToolButton)
    assert stale(page)
    page.run()
    settle(window)
    assert "by convention" in read(page.told)


def test_the_policies_are_there_again_next_time(qtbot: QtBot, window: Window, page: AheadPage) -> None:
    column = page.board.columns[1]
    column.name.setFocus()
    column.name.selectAll()
    qtbot.keyClicks(column.name, "two cocks")
    column.cocks.setValue(2)
    column.yard.setCurrentIndex(1)
    column.every.setValue(3)
    press(qtbot, page, "ahead_run")
    settle(window)
    asked = page.board.policies
    window.context.theme.choose(Choice.LIGHT, 1.25)
    settle(window)
    room = window.go("pairing")
    assert isinstance(room, PairingRoom)
    assert room.ahead is not page
    room.turn_to("ahead")
    settle(window)
    assert room.ahead.board.policies == asked
    press(qtbot, room.ahead, "policy_again")
    settle(window)
    assert [policy.name for policy in room.ahead.board.policies][1] == "three cocks a year"
    window.context.theme.choose(Choice.LIGHT, 1.0)
    settle(window)


def test_it_is_printed_with_what_was_worked_out(
    qtbot: QtBot, window: Window, page: AheadPage, tmp_path: Path
) -> None:
    press(qtbot, page, "buying_run")
    settle(window)
    qtbot.keyClick(page.years, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    preview = page.findChild(QPrintPreviewDialog, "print_preview")
    assert preview is not None
    printer = preview.printer()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "ahead.pdf"))
    preview.paintRequested.emit(printer)
    assert (tmp_path / "ahead.pdf").read_bytes().startswith(b"%PDF")
    preview.close()


def test_it_can_be_stopped_by_key_and_by_button(qtbot: QtBot, window: Window, page: AheadPage) -> None:
    before = page.answer
    page.runs.setValue(20_000)
    page.years.setValue(30)
    page.seed.setFocus()
    qtbot.keyClick(page.seed, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert page.context.workers.is_busy
    qtbot.keyClick(page.seed, Qt.Key.Key_Escape)
    settle(window)
    assert page.answer is before
    page.run()
    stop = page.findChild(QPushButton, "ahead_stop")
    assert stop is not None
    qtbot.waitUntil(lambda: stop.isVisibleTo(page))
    qtbot.mouseClick(stop, Qt.MouseButton.LeftButton)
    settle(window)
    assert page.answer is before
    assert not stop.isVisibleTo(page)


def test_it_speaks_only_in_translated_texts(
    brackets: None,  # noqa: F811 - the fixture is the one imported
    window: Window,
    planned_book: Path,
) -> None:
    window.context.record.open(planned_book, today=TODAY)
    settle(window)
    page = page_of(window)
    page.work_out_buying()
    settle(window)
    page.chart.switch()
    settle(window)
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    known = vocabulary(snapshot)
    texts = [text for widget in page.findChildren(QWidget) for text in texts_of(widget)]
    texts += [view.toPlainText() for view in page.findChildren(SentenceView)]
    for figure in Ahead:
        # the names of published sources are no language
        texts += [ahead_method(figure).name, ahead_method(figure).text, ahead_word(figure)]
    texts += [spot.label for spot in page.chart.view.drawing.spots] if page.chart.view.drawing else []
    assert [text for text in texts if not set(letters(bare(text))) <= known] == []


def test_an_empty_book_says_what_will_be_here(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "empty.studbook"
    create_book(path, BookDetails("", yard="Withybrook"), today=TODAY).close()
    window.context.record.open(path, today=TODAY)
    settle(window)
    page = page_of(window)
    assert page.is_missing
