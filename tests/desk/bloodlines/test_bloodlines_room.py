"""The room Bloodlines, worked with keys and clicks: what it says, and what one does about it."""

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrintPreviewDialog
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QComboBox,
    QLabel,
    QPushButton,
    QScrollArea,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from studbook.book.changes import AddOrigin, EditOrigin, SetStatus
from studbook.book.records import BookDetails, Origin, OriginId, Status
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.rooms.bloodlines.room import BloodlinesRoom
from studbook.desk.theme import Choice, Theme
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.chart_view import ChartView
from studbook.desk.widgets.sentence_view import SentenceView
from studbook.desk.window import Window
from studbook.planning.bloodlines.report import Standing
from tests.desk.bloodlines.conftest import id_of
from tests.desk.conftest import Answers

LINE, FOUNDERS, LIVING, CALLING, ORIGINS = range(5)


def press(qtbot: QtBot, room: QWidget, name: str) -> None:
    """Click a button by its name."""
    found = room.findChild(QAbstractButton, name)
    assert found is not None, name
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def said(view: SentenceView) -> str:
    """Sentences as a keeper reads them."""
    text = view.toPlainText().replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(text.split())


def turn_to(qtbot: QtBot, window: Window, room: BloodlinesRoom, page: int) -> None:
    """Go to a page with the arrow keys on its tab."""
    bar = room.tabs.tabBar()
    bar.setFocus()
    while room.tabs.currentIndex() < page:
        qtbot.keyClick(bar, Qt.Key.Key_Right)
    settle(window)


def walk_to(qtbot: QtBot, chart: ChartView, text: str) -> None:
    """Walk through a chart with the arrow keys to the place that says `text`."""
    assert chart.drawing is not None
    chart.setFocus()
    for _spot in chart.drawing.spots:
        qtbot.keyClick(chart, Qt.Key.Key_Down)
        if chart.current is not None and text in chart.current.label:
            return
    raise AssertionError(f"no place of {chart.objectName()} says {text}")


def test_it_answers_first_whether_the_line_narrows(room: BloodlinesRoom) -> None:
    words = said(room.line.summary)
    assert words.startswith("The line is narrowing: inbreeding rises by 5.30 % a year")
    assert "Breed from" in words
    assert room.line.summary.isVisible()


def test_a_figure_opens_to_its_meaning_and_its_source_and_closes_again(
    qtbot: QtBot, room: BloodlinesRoom
) -> None:
    figure = room.findChild(QPushButton, "figure_inbreeding")
    assert figure is not None
    figure.setFocus()
    qtbot.keyClick(figure, Qt.Key.Key_Space)
    explained = room.line.figures.explained
    assert explained.isVisible()
    words = said(explained)
    assert "8.2 % is about what chicks of first cousins have" in words
    assert "Wright 1922" in words
    press(qtbot, room, "figure_close")
    assert not explained.isVisible()
    assert figure.window().focusWidget() is figure


def test_every_figure_names_its_method_and_a_published_source(qtbot: QtBot, room: BloodlinesRoom) -> None:
    press(qtbot, room, "more_figures")
    assert room.answer is not None
    for words in room.answer.figures:
        press(qtbot, room, f"figure_{words.figure.name.lower()}")
        assert words.method.sources, words.title
        parts = ("How it is found", *(" ".join(source.split()) for source in words.method.sources))

        def is_written(parts: tuple[str, ...] = parts) -> bool:
            read = said(room.line.figures.explained)
            return all(part in read for part in parts)

        # on a busy machine the end of a long text is written after a breath
        qtbot.waitUntil(is_written)


def test_by_convention_a_founder_is_lost(qtbot: QtBot, room: BloodlinesRoom, window: Window) -> None:
    # cautiously Sloe may be among the unknown parents of Wye; by convention nothing of her is left
    press(qtbot, room, "bloodlines_convention")
    settle(window)
    press(qtbot, room, "figure_founders")
    words = said(room.line.figures.explained)
    assert "Nothing is left in the living flock of W20-03 Sloe." in words


def test_the_newest_question_wins(qtbot: QtBot, room: BloodlinesRoom, window: Window) -> None:
    press(qtbot, room, "bloodlines_convention")
    press(qtbot, room, "bloodlines_cautious")
    settle(window)
    assert room.answer is not None
    assert room.answer.question.cautious


def test_stopped_work_leaves_what_was_shown(qtbot: QtBot, room: BloodlinesRoom, window: Window) -> None:
    before = said(room.line.summary)
    press(qtbot, room, "bloodlines_convention")
    room.stop()
    settle(window)
    assert said(room.line.summary) == before
    assert room.answer is not None
    assert room.answer.question.cautious


def test_a_chart_shows_its_numbers_and_writes_them(
    qtbot: QtBot, room: BloodlinesRoom, window: Window, answers: Answers, tmp_path: Path
) -> None:
    press(qtbot, room, "inbreeding_chart_switch")
    table = room.line.inbreeding.table
    assert table is not None
    assert window.focusWidget() is table
    assert not room.line.inbreeding.view.isVisible()
    read = [[str(table.rows.index(row, column).data()) for column in range(3)] for row in range(4)]
    assert read[2] == ["2024", "2", "25.0 %"]
    answers.files.append(tmp_path / "inbreeding.csv")
    press(qtbot, room, "inbreeding_chart_export")
    settle(window)
    rows = list(csv.reader((tmp_path / "inbreeding.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert rows[3][:3] == ["2024", "2", "0.25"]
    press(qtbot, room, "inbreeding_chart_switch")
    assert room.line.inbreeding.view.isVisible()


@pytest.mark.parametrize("suffix", ["svg", "pdf", "png"])
def test_a_chart_is_exported(
    qtbot: QtBot, room: BloodlinesRoom, window: Window, answers: Answers, tmp_path: Path, suffix: str
) -> None:
    path = tmp_path / f"founders.{suffix}"
    answers.files.append(path)
    press(qtbot, room, "founder_chart_export")
    settle(window)
    assert path.stat().st_size > 1000


def test_a_chart_that_cannot_be_written_says_why(
    qtbot: QtBot, room: BloodlinesRoom, window: Window, answers: Answers, tmp_path: Path
) -> None:
    answers.files.append(tmp_path / "nowhere" / "chart.csv")
    press(qtbot, room, "founder_chart_export")
    settle(window)
    assert "could not be written" in answers.told[-1]


def test_the_keyboard_reads_the_chart_year_by_year(qtbot: QtBot, room: BloodlinesRoom) -> None:
    chart = room.line.inbreeding.view
    walk_to(qtbot, chart, "2024")
    assert chart.accessibleName() == "Inbreeding by hatch year"
    assert chart.accessibleDescription() == (
        "2024, 2 birds: cautious 25.0 %, from 25.0 % to 25.0 %; by convention 25.0 %"
    )


def test_a_band_leads_to_its_founder(qtbot: QtBot, room: BloodlinesRoom, window: Window) -> None:
    chart = room.line.founders.view
    walk_to(qtbot, chart, "Dart, 2025: 50.0 %")
    qtbot.keyClick(chart, Qt.Key.Key_Return)
    settle(window)
    assert room.tabs.currentIndex() == FOUNDERS
    head = room.founders.findChild(BirdLink, "founder_bird")
    assert head is not None
    assert head.bird.name == "Dart"


def test_a_founder_is_followed_to_its_descendants_and_carriers(
    qtbot: QtBot, room: BloodlinesRoom, window: Window
) -> None:
    turn_to(qtbot, window, room, FOUNDERS)
    chart = room.founders.retention.view
    walk_to(qtbot, chart, "Severn")
    qtbot.keyClick(chart, Qt.Key.Key_Return)
    settle(window)
    assert "living birds carry it" in said(room.founders.sentences)
    carriers = {link.bird.name for link in room.founders.findChildren(BirdLink) if link.isVisible()}
    assert {"Tamar", "Hazel", "Lune", "Yarrow", "Teasel"} <= carriers
    assert room.founders.by_year.view.chart is not None
    with qtbot.waitSignal(room.birds_asked) as asked:
        press(qtbot, room, "founder_descendants")
    assert asked.args is not None
    found = set(asked.args[0].birds)
    assert {id_of(room, name) for name in ("Tamar", "Hazel", "Bryony", "Lune", "Yarrow", "Teasel")} <= found
    assert id_of(room, "Dart") not in found


def test_a_founder_is_chosen_from_the_list(qtbot: QtBot, room: BloodlinesRoom, window: Window) -> None:
    turn_to(qtbot, window, room, FOUNDERS)
    choice = room.founders.choice
    choice.setFocus()
    qtbot.keyClick(choice, Qt.Key.Key_Home)
    settle(window)
    qtbot.keyClick(choice, Qt.Key.Key_Down)
    settle(window)
    head = room.founders.findChild(BirdLink, "founder_bird")
    assert head is not None
    assert head.bird.name == choice.currentText()


def test_the_founder_most_in_danger_is_followed_first(
    qtbot: QtBot, room: BloodlinesRoom, window: Window
) -> None:
    turn_to(qtbot, window, room, FOUNDERS)
    assert "Elder" in said(room.founders.sentences)


def test_a_living_bird_says_how_it_stands_and_what_to_do(
    qtbot: QtBot, room: BloodlinesRoom, window: Window
) -> None:
    turn_to(qtbot, window, room, LIVING)
    chart = room.living.ranking.view
    assert chart.drawing is not None
    spot = next(spot for spot in chart.drawing.spots if "Lune" in spot.label)
    qtbot.mouseClick(chart, Qt.MouseButton.LeftButton, pos=chart.place_of(spot).center().toPoint())
    settle(window)
    assert "Lune is well covered by kin. Keep few more chicks" in said(room.living.sentences)
    facts = room.living.findChild(QLabel, "standing_facts")
    assert facts is not None
    assert "Its own F 25.0 %" in facts.text()
    with qtbot.waitSignal(room.birds_asked) as asked:
        press(qtbot, room, "standing_covered")
    assert asked.args is not None
    assert set(asked.args[0].birds) == {id_of(room, "Lune"), id_of(room, "Yarrow")}


def test_a_rare_bird_tells_what_its_unknown_parents_hide(
    qtbot: QtBot, room: BloodlinesRoom, window: Window
) -> None:
    turn_to(qtbot, window, room, LIVING)
    wye = id_of(room, "Wye")
    room.living.choose(wye)
    settle(window)
    assert room.answer is not None
    assert room.answer.ranked[wye].standing is Standing.RARE
    words = said(room.living.sentences)
    assert "Mean kinship hangs on who the dam of W23-01 Wye was:" in words
    opening = room.living.opening
    assert opening.isVisible()
    opening.setFocus()
    qtbot.keyClick(opening, Qt.Key.Key_Space)
    assert "If the dam of W23-01 Wye was, from the lowest figure to the highest:" in said(
        room.living.sentences
    )
    room.living.choose(id_of(room, "Lune"))
    settle(window)
    assert not opening.isVisible()


def test_what_is_not_worked_out_of_unknown_parents_is_said(
    qtbot: QtBot, room: BloodlinesRoom, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("studbook.planning.unknown_parents._MOST_ANCESTORS", 1)
    turn_to(qtbot, window, room, LIVING)
    room.living.choose(id_of(room, "Wye"))
    settle(window)
    words = said(room.living.sentences)
    assert "so many ancestors are known that it is not worked out here" in words
    assert "Go by the cautious figure" in words
    assert not room.living.opening.isVisible()


def test_calling_home_names_the_bird_its_keeper_and_the_gain(
    qtbot: QtBot, room: BloodlinesRoom, window: Window
) -> None:
    turn_to(qtbot, window, room, CALLING)
    words = " ".join(said(view) for view in room.calling.findChildren(SentenceView))
    assert "Bryony" in words
    assert "Ida Fell has it" in words
    whereabouts = [label.text() for label in room.calling.findChildren(QLabel)]
    assert "Ida Fell, sold 2 Sep 2023" in whereabouts


def test_the_letter_is_previewed_and_written(
    qtbot: QtBot, room: BloodlinesRoom, window: Window, answers: Answers, tmp_path: Path
) -> None:
    turn_to(qtbot, window, room, CALLING)
    press(qtbot, room, "letter_print_W22-03")
    settle(window)
    preview = window.findChild(QPrintPreviewDialog, "print_preview")
    assert preview is not None
    assert preview.isVisible()
    preview.close()
    answers.files.append(tmp_path / "letter.pdf")
    press(qtbot, room, "letter_write_W22-03")
    settle(window)
    assert (tmp_path / "letter.pdf").read_bytes().startswith(b"%PDF")


def test_an_assumption_shows_its_effect_before_it_is_applied(
    qtbot: QtBot, room: BloodlinesRoom, window: Window
) -> None:
    turn_to(qtbot, window, room, ORIGINS)
    apply = room.findChild(QPushButton, "origin_apply")
    assert apply is not None
    assert not apply.isEnabled()
    gamma = room.origins.gamma
    gamma.selectAll()
    qtbot.keyClicks(gamma, "0,5" if gamma.locale().decimalPoint() == "," else "0.5")
    qtbot.keyClick(gamma, Qt.Key.Key_Return)
    settle(window)
    assert "25.00 %: about like full sibs" in room.origins.meaning.text()
    now, then = (room.findChild(QLabel, f"effect_2_{column}") for column in (1, 2))
    assert now is not None
    assert then is not None
    promised = then.text()
    assert now.text() != promised
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    assert snapshot.origins[0].self_relationship == 0
    press(qtbot, room, "origin_apply")
    settle(window)
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    assert snapshot.origins[0].self_relationship == pytest.approx(0.5)
    assert room.origins.origin is not None
    assert room.origins.origin.self_relationship == pytest.approx(0.5)
    assert room.answer is not None
    assert room.answer.report.mean_kinship is not None
    assert f"{room.answer.report.mean_kinship * 100:.2f} %" == promised


def test_two_yards_are_related_and_what_cannot_be_is_said(
    qtbot: QtBot, room: BloodlinesRoom, window: Window
) -> None:
    record = window.context.record
    snapshot = record.snapshot
    assert snapshot is not None
    alder = snapshot.origins[0]
    record.apply(EditOrigin(alder, replace(alder, self_relationship=0.5)))
    record.apply(AddOrigin(Origin(OriginId("quarry"), "Quarry Farm", 0.5)))
    settle(window)
    turn_to(qtbot, window, room, ORIGINS)
    page = room.origins
    qtbot.keyClick(page.other, Qt.Key.Key_Down)
    settle(window)
    assert page.related is not None
    problem = room.findChild(QLabel, "origin_problem")
    assert problem is not None
    page.gamma.setValue(0.9)
    settle(window)
    assert problem.isVisible()
    assert "Alder Yard and Quarry Farm cannot be related by 0.9" in problem.text()
    assert not page.apply.isEnabled()
    page.gamma.setValue(0.25)
    settle(window)
    assert not problem.isVisible()
    assert "A bird of Alder Yard and one of Quarry Farm" in page.meaning.text()
    press(qtbot, room, "origin_apply")
    settle(window)
    after = record.snapshot
    assert after is not None
    assert [found.relationship for found in after.origin_relations] == [0.25]
    assert page.related is not None
    assert page.related.name == "Quarry Farm"
    assert page.list.item(0).text().endswith("related to birds of Quarry Farm")


def test_an_assumption_is_left_as_it_was(qtbot: QtBot, room: BloodlinesRoom, window: Window) -> None:
    turn_to(qtbot, window, room, ORIGINS)
    room.origins.gamma.stepUp()
    settle(window)
    press(qtbot, room, "origin_reset")
    settle(window)
    assert room.origins.gamma.value() == 0
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    origin = snapshot.origin(OriginId(str(snapshot.origins[0].id)))
    assert origin is not None
    assert origin.self_relationship == 0


def test_a_change_of_the_book_is_counted_when_the_room_is_seen(room: BloodlinesRoom, window: Window) -> None:
    assert room.answer is not None
    assert len(room.answer.ranked) == 7
    window.go("yard")
    dart = id_of(room, "Dart")
    window.context.record.apply(SetStatus((dart,), Status.SOLD, PartialDate.parse("2026-02-01")))
    settle(window)
    window.go("bloodlines")
    settle(window)
    assert room.answer is not None
    assert len(room.answer.ranked) == 6
    assert dart not in room.answer.ranked


def test_a_bird_in_a_sentence_leads_to_its_page(qtbot: QtBot, room: BloodlinesRoom) -> None:
    room.line.summary.setFocus()
    with qtbot.waitSignal(room.bird_asked) as asked:
        qtbot.keyClick(room.line.summary, Qt.Key.Key_Tab)
        qtbot.keyClick(room.line.summary, Qt.Key.Key_Return)
    assert asked.args == [id_of(room, "Elder")]


def test_the_report_is_printed(qtbot: QtBot, room: BloodlinesRoom) -> None:
    press(qtbot, room, "bloodlines_print")
    preview = room.findChild(QPrintPreviewDialog, "print_preview")
    assert preview is not None
    assert preview.isVisible()
    preview.close()


def test_a_book_without_birds_says_what_will_be_here(window: Window, tmp_path: Path) -> None:
    window.context.record.create(tmp_path / "empty.studbook", BookDetails("", yard="Withybrook"))
    settle(window)
    empty = window.go("bloodlines")
    settle(window)
    assert isinstance(empty, BloodlinesRoom)
    assert not empty.tabs.isVisible()
    button = next(
        found for found in empty.findChildren(QPushButton) if found.text() == "Add your first birds"
    )
    assert button.isVisible()


@pytest.mark.parametrize("page", [LINE, FOUNDERS, LIVING, CALLING, ORIGINS])
def test_nothing_is_cut_off_in_large_text(
    qtbot: QtBot, room: BloodlinesRoom, window: Window, theme: Theme, page: int
) -> None:
    theme.choose(Choice.LIGHT, 2.0)
    window.resize(1280, 800)
    settle(window)
    entered = window.go("bloodlines")
    settle(window)
    assert isinstance(entered, BloodlinesRoom)
    turn_to(qtbot, window, entered, page)
    area = entered.tabs.currentWidget().findChild(QScrollArea)
    assert area is not None
    inner = area.widget()
    assert inner is not None
    assert inner.minimumSizeHint().width() <= area.viewport().width()


def test_every_control_has_a_name_to_be_read_out(qtbot: QtBot, room: BloodlinesRoom, window: Window) -> None:
    for page in (FOUNDERS, LIVING, CALLING, ORIGINS):
        turn_to(qtbot, window, room, page)
    nameless = [
        found.objectName() or type(found).__name__
        for kind in (QAbstractButton, QComboBox, QAbstractSpinBox, ChartView, SentenceView)
        for found in room.findChildren(kind)
        if not (found.accessibleName() or (isinstance(found, QAbstractButton) and found.text()))
        and found.objectName() not in ("ScrollLeftButton", "ScrollRightButton", "qt_toolbar_ext_button")
        and not isinstance(found, QToolButton)
    ]
    assert nameless == []
