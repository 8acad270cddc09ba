"""The page Who may breed, worked with keys and clicks."""

import csv
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtPrintSupport import QPrintPreviewDialog
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QMenu, QSpinBox, QWidget
from pytestqt.qtbot import QtBot

from studbook import places, words
from studbook.book.changes import AddBirds, AddOrigin, Enter, SetStatus
from studbook.book.husbandry.choosing_rows import Choice, Verdict
from studbook.book.husbandry.rows import Apart
from studbook.book.ids import ApartId, ChoiceId
from studbook.book.opening import SAMPLE_TODAY, create_book
from studbook.book.records import BirdId, BookDetails, Sex, Status
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.rooms.pairing.who.page import WhoPage
from studbook.desk.widgets.sentence_view import SentenceView
from studbook.desk.window import Window
from studbook.planning.breeders.methods import Asked, breeder_method
from studbook.season.practice import ApartReason
from tests.desk.conftest import Answers
from tests.desk.test_words import Brackets, bare, letters, texts_of, vocabulary
from tests.planning.flock import ALDER_YARD, TODAY, bird, flock

SEASON = 2026


@pytest.fixture
def choosing_book(tmp_path: Path) -> Path:
    """The small flock; Tamar was not to breed last year, Bryony is apart."""
    path = tmp_path / "withybrook.studbook"
    with create_book(path, BookDetails("", yard="Withybrook"), today=TODAY) as book:
        book.apply(AddOrigin(ALDER_YARD))
        book.apply(AddBirds(flock().birds))
        book.apply(
            Enter((Choice(ChoiceId(""), BirdId("Tamar"), SEASON - 1, Verdict.NO, TODAY, "crooked toes"),))
        )
        book.apply(Enter((Apart(ApartId(""), BirdId("Bryony"), ApartReason.HURT, date(2026, 2, 1)),)))
    return path


@pytest.fixture
def page(window: Window, choosing_book: Path) -> WhoPage:
    """The page with its lines on view."""
    window.context.record.open(choosing_book, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    room = window.go("pairing")
    settle(window)
    assert isinstance(room, PairingRoom)
    room.turn_to("who")
    settle(window)
    settle(window)
    return room.who


def names(page: WhoPage) -> list[str]:
    return [line.bird.name for line in page.table.rows.shown]


def cells(page: WhoPage, name: str) -> dict[str, str]:
    line = next(line for line in page.table.rows.shown if line.bird.name == name)
    return {column.key: column.text(line) for column in page.table.rows.columns}


def verdicts(page: WhoPage) -> dict[str, str]:
    """Every mark of the season as it stands in the record."""
    snapshot = page.context.record.snapshot
    assert snapshot is not None
    return {
        choice.bird: f"{choice.verdict}{': ' if choice.reason else ''}{choice.reason}"
        for choice in snapshot.husbandry.choices.values()
        if choice.season == SEASON
    }


def press(qtbot: QtBot, page: WhoPage, name: str) -> None:
    found = page.findChild(QAbstractButton, name)
    assert found is not None, name
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def go_to(page: WhoPage, *wanted: str) -> None:
    """Select birds as a click and further clicks with Ctrl would."""
    page.table.setFocus()
    assert page.table.select(BirdId(wanted[0]))
    for name in wanted[1:]:
        place = page.table.rows.place_of(BirdId(name))
        index = page.table.rows.index(place, 0)
        flags = page.table.selectionModel().SelectionFlag
        page.table.selectionModel().select(index, flags.Select | flags.Rows)


def key(qtbot: QtBot, page: WhoPage, window: Window, pressed: Qt.Key) -> None:
    qtbot.keyClick(page.table, pressed)
    settle(window)
    settle(window)


def text_of(view: SentenceView) -> str:
    said = view.toPlainText().replace("\N{WORD JOINER}", "").replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(said.split())


def take(qtbot: QtBot, page: WhoPage, window: Window, box_name: str, words: str) -> None:
    box = page.findChild(QComboBox, box_name)
    assert box is not None
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Home)
    while box.currentText() != words:
        before = box.currentIndex()
        qtbot.keyClick(box, Qt.Key.Key_Down)
        assert box.currentIndex() != before, words
    settle(window)


def wait_for_best(qtbot: QtBot, page: WhoPage, window: Window, ready: Callable[[], bool]) -> None:
    qtbot.waitUntil(ready, timeout=5000)
    settle(window)


def test_each_grown_bird_has_its_line(page: WhoPage) -> None:
    assert names(page) == ["Dart", "Tamar", "Wye", "Hazel", "Bryony", "Elder"]
    tamar = cells(page, "Tamar")
    assert tamar["earlier"] == "2025: no – crooked toes"
    assert tamar["offspring"] == "2, 2 living"
    assert cells(page, "Bryony")["apart"] == "hurt"
    told = page.findChild(QLabel, "who_summary")
    assert told is not None
    assert told.text().startswith("3 cocks and 3 hens may breed in 2026.")


def test_one_key_marks_and_another_takes_it_off(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    go_to(page, "Dart")
    key(qtbot, page, window, Qt.Key.Key_C)
    assert verdicts(page) == {"Dart": "chosen"}
    assert cells(page, "Dart")["verdict"] == "chosen"
    key(qtbot, page, window, Qt.Key.Key_R)
    assert verdicts(page) == {"Dart": "reserve"}
    key(qtbot, page, window, Qt.Key.Key_N)
    assert verdicts(page) == {"Dart": "no"}
    key(qtbot, page, window, Qt.Key.Key_Backspace)
    assert verdicts(page) == {}
    assert page.table.current.bird.name == "Dart"


def test_several_birds_are_marked_at_once_and_taken_back_by_one_undo(
    qtbot: QtBot, page: WhoPage, window: Window
) -> None:
    go_to(page, "Hazel", "Elder", "Wye")
    key(qtbot, page, window, Qt.Key.Key_C)
    assert verdicts(page) == {"Hazel": "chosen", "Elder": "chosen", "Wye": "chosen"}
    go_to(page, "Elder", "Bryony")
    key(qtbot, page, window, Qt.Key.Key_N)
    assert verdicts(page)["Elder"] == verdicts(page)["Bryony"] == "no"
    window.context.record.undo()
    settle(window)
    assert verdicts(page) == {"Hazel": "chosen", "Elder": "chosen", "Wye": "chosen"}


def test_the_buttons_mark_too_and_the_reason_is_kept(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    go_to(page, "Wye")
    assert not page.detail.reason.isEnabled()
    press(qtbot, page, "who_mark_reserve")
    settle(window)
    settle(window)
    page.detail.reason.setFocus()
    qtbot.keyClicks(page.detail.reason, "second to Dart")
    qtbot.keyClick(page.detail.reason, Qt.Key.Key_Return)
    settle(window)
    assert verdicts(page) == {"Wye": "reserve: second to Dart"}
    go_to(page, "Dart")
    settle(window)
    assert page.detail.reason.text() == ""
    go_to(page, "Wye")
    settle(window)
    assert page.detail.reason.text() == "second to Dart"


def test_a_reason_typed_is_saved_when_another_bird_is_chosen(
    qtbot: QtBot, page: WhoPage, window: Window
) -> None:
    go_to(page, "Wye")
    key(qtbot, page, window, Qt.Key.Key_N)
    page.detail.reason.setFocus()
    qtbot.keyClicks(page.detail.reason, "wry tail")
    place = page.table.visualRect(page.table.rows.index(page.table.rows.place_of(BirdId("Dart")), 0)).center()
    qtbot.mouseClick(page.table.viewport(), Qt.MouseButton.LeftButton, pos=place)
    settle(window)
    settle(window)
    assert verdicts(page) == {"Wye": "no: wry tail"}


def test_the_bird_beside_is_told_for_and_against(page: WhoPage, window: Window) -> None:
    go_to(page, "Bryony")
    settle(window)
    said = text_of(page.detail.told)
    assert "Against it" in said
    assert "It is apart since 1 Feb 2026: hurt" in said
    go_to(page, "Tamar")
    settle(window)
    assert "For 2025: no – crooked toes" in text_of(page.detail.told)


def test_what_goes_with_a_bird_stands_with_its_caution(page: WhoPage, window: Window) -> None:
    go_to(page, "Dart")
    settle(window)
    said = text_of(page.detail.parting)
    assert "With A21-09 Dart the last copy of a founder that the book knows of would go" in said
    assert "gene diversity falls from" in said
    caution = page.findChild(QLabel, "who_caution")
    assert caution is not None
    assert caution.isVisible()
    assert "vet decide" in caution.text()


def test_the_other_columns_show_what_goes(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    take(qtbot, page, window, "who_columns", "keep or part")
    shown = [column.key for column in page.table.shown_as_columns()]
    assert shown == [
        "bird", "verdict", "kinship", "without_diversity", "without_expected", "without_kinship", "last_of",
    ]  # fmt: skip
    assert cells(page, "Dart")["without_diversity"].endswith("less")
    assert cells(page, "Dart")["last_of"] == "A21-09 Dart"
    take(qtbot, page, window, "who_columns", "for and against")
    assert "trial" in [column.key for column in page.table.shown_as_columns()]


def test_filters_leave_what_is_asked_for(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    take(qtbot, page, window, "who_sexes", "hens")
    assert set(names(page)) == {"Hazel", "Bryony", "Elder"}
    take(qtbot, page, window, "who_which", "apart")
    assert names(page) == ["Bryony"]
    take(qtbot, page, window, "who_sexes", "cocks and hens")
    take(qtbot, page, window, "who_which", "not marked yet")
    go_to(page, "Dart")
    key(qtbot, page, window, Qt.Key.Key_C)
    assert "Dart" not in names(page)


def test_a_bird_that_only_looks_rare_is_told_apart(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    """By convention Wye, both of whose parents are unknown, would be the rarest of all."""
    assert cells(page, "Wye")["standing"] == "only looks rare"
    take(qtbot, page, window, "who_which", "only looking rare")
    assert "Wye" in names(page)
    assert "Dart" not in names(page)


def test_the_switch_changes_the_figures(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    cautious = cells(page, "Wye")["kinship"]
    press(qtbot, page, "who_convention")
    settle(window)
    assert cells(page, "Wye")["kinship"] != cautious
    assert cells(page, "Wye")["kinship"] == cells(page, "Wye")["convention"]


def test_a_figure_opens_how_it_is_found(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    go_to(page, "Dart")
    settle(window)
    press(qtbot, page, "who_figure_diversity")
    said = text_of(page.detail.figures.explained)
    assert "Ballou & Lacy 1995" in said
    press(qtbot, page, "who_figure_next_kinship")
    assert "1/(2N) for each of N cocks" in text_of(page.detail.figures.explained)
    press(qtbot, page, "who_figure_next_kinship")
    assert not page.detail.figures.explained.isVisible()


def test_enter_opens_the_page_of_the_bird(qtbot: QtBot, page: WhoPage) -> None:
    go_to(page, "Hazel")
    with qtbot.waitSignal(page.bird_asked) as asked:
        qtbot.keyClick(page.table, Qt.Key.Key_Return)
    assert asked.args == ["Hazel"]


def test_the_best_set_is_proven_and_marked_in_one_go(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    go_to(page, "Tamar")
    key(qtbot, page, window, Qt.Key.Key_C)
    go_to(page, "Bryony")
    key(qtbot, page, window, Qt.Key.Key_N)
    press(qtbot, page, "who_side_best")
    cocks = page.findChild(QSpinBox, "who_best_cocks")
    hens = page.findChild(QSpinBox, "who_best_hens")
    assert cocks is not None
    assert hens is not None
    for box, number in ((cocks, "2"), (hens, "1")):
        box.setFocus()
        box.selectAll()
        qtbot.keyClicks(box, number)
        qtbot.keyClick(box, Qt.Key.Key_Tab)
    wait_for_best(qtbot, page, window, lambda: page.best.best is not None and len(page.best.best.birds) == 3)
    best = page.best.best
    assert best is not None
    assert best.is_proven
    assert "Bryony" not in best.birds
    assert "Proven: of 6 sets there is none better." in text_of(page.best.told)
    assert {swap.goes for swap in page.best.swaps.rows.shown} <= set(best.birds)
    assert "in place of" in text_of(page.best.others)
    press(qtbot, page, "who_best_take")
    settle(window)
    settle(window)
    after = verdicts(page)
    assert {name for name, verdict in after.items() if verdict == "chosen"} == set(best.birds)
    if "Tamar" not in best.birds:
        assert after["Tamar"] == "reserve"
    assert after["Bryony"] == "no"
    window.context.record.undo()
    settle(window)
    assert verdicts(page) == {"Tamar": "chosen", "Bryony": "no"}


def test_too_many_birds_are_refused_in_words(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    press(qtbot, page, "who_side_best")
    wait_for_best(qtbot, page, window, lambda: page.best.best is not None)
    page.best.cocks.setFocus()
    page.best.cocks.selectAll()
    qtbot.keyClicks(page.best.cocks, "9")
    qtbot.keyClick(page.best.cocks, Qt.Key.Key_Tab)
    wait_for_best(qtbot, page, window, lambda: page.best.best is None)
    assert "So many cocks cannot be kept" in page.best.state.text()
    assert page.best.state.isVisible()


def test_chosen_birds_stay_and_birds_apart_go_if_asked(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    go_to(page, "Tamar")
    key(qtbot, page, window, Qt.Key.Key_C)
    press(qtbot, page, "who_side_best")
    page.best.cocks.setValue(1)
    page.best.hens.setValue(1)
    for tick in (page.best.keeps_chosen, page.best.without_apart):
        tick.setFocus()
        qtbot.keyClick(tick, Qt.Key.Key_Space)
    wait_for_best(
        qtbot, page, window, lambda: page.best.best is not None and page.best.best.kept.cocks == ("Tamar",)
    )
    assert page.best.best is not None
    assert "Bryony" in page.best.best.wanted.must_go


@pytest.mark.qt_log_ignore("This plugin does not support grabbing the keyboard")
def test_the_menu_marks(qtbot: QtBot, page: WhoPage, window: Window) -> None:
    go_to(page, "Elder")
    page.table.customContextMenuRequested.emit(QPoint(5, 5))
    menu = page.findChild(QMenu, "who_menu")
    assert menu is not None
    action = next(action for action in menu.actions() if action.text() == "Keep in reserve")
    qtbot.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(action).center())
    settle(window)
    assert verdicts(page) == {"Elder": "reserve"}


def test_the_table_is_copied_exported_and_printed(
    qtbot: QtBot, page: WhoPage, window: Window, answers: Answers, tmp_path: Path
) -> None:
    answers.files.append(tmp_path / "who.csv")
    press(qtbot, page, "who_export")
    head, *lines = list(csv.reader((tmp_path / "who.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert head[:5] == ["Bird", "Marked", "Kinship", "Lines", "F"]
    assert len(lines) == 6
    press(qtbot, page, "who_print")
    preview = page.findChild(QPrintPreviewDialog, "print_preview")
    assert preview is not None
    preview.close()


def test_the_table_is_a_sound_model(page: WhoPage) -> None:
    QAbstractItemModelTester(page.table.rows, QAbstractItemModelTester.FailureReportingMode.Warning)
    page.table.sortByColumn(2, Qt.SortOrder.AscendingOrder)
    shown = [line.kinship for line in page.table.rows.shown]
    assert shown == sorted(shown)


def test_a_book_without_birds_says_what_will_be_here(window: Window, tmp_path: Path) -> None:
    window.context.record.create(tmp_path / "empty.studbook", BookDetails("", yard="Withybrook"))
    settle(window)
    room = window.go("pairing")
    assert isinstance(room, PairingRoom)
    room.turn_to("who")
    settle(window)
    assert room.who.is_missing
    button = next(
        found for found in room.who.findChildren(QAbstractButton) if found.text() == "Go to the birds"
    )
    assert button.isVisible()


def test_a_new_bird_comes_into_the_table(page: WhoPage, window: Window) -> None:
    window.context.record.apply(
        AddBirds((bird("Sorrel", Sex.HEN, "2024-04-03", "W24-09", "Tamar", "Hazel"),))
    )
    settle(window)
    settle(window)
    assert "Sorrel" in names(page)


@pytest.fixture
def in_brackets() -> Iterator[None]:
    """The language that puts every text in brackets."""
    words.use_translations(Brackets())
    yield
    words.use_language("en")


def test_the_page_speaks_only_in_translated_texts(in_brackets: None, window: Window) -> None:
    window.context.record.open(places.demo_flock(), today=SAMPLE_TODAY)
    settle(window)
    room = window.go("pairing")
    settle(window)
    assert isinstance(room, PairingRoom)
    room.turn_to("who")
    settle(window)
    settle(window)
    page, snapshot = room.who, window.context.record.snapshot
    assert snapshot is not None
    sources = " ".join(source for asked in Asked for source in breeder_method(asked).sources)
    known = vocabulary(snapshot) | set(letters(sources))
    for line in page.table.rows.shown[:8]:
        page.table.select(line.bird.id)
        settle(window)
        said = [text_of(page.detail.told), text_of(page.detail.parting)]
        texts = [text for widget in (page, *page.findChildren(QWidget)) for text in texts_of(widget)]
        assert [text for text in (*said, *texts) if not set(letters(bare(text))) <= known] == []
    for asked in (Asked.AT_RISK, Asked.TRIAL):
        opening = page.findChild(QAbstractButton, f"who_figure_{asked.name.lower()}")
        if opening is not None:
            opening.click()
            assert set(letters(bare(text_of(page.detail.figures.explained)))) <= known


def test_a_set_with_a_bird_that_has_gone_is_looked_for_again(
    qtbot: QtBot, page: WhoPage, window: Window
) -> None:
    press(qtbot, page, "who_side_best")
    wait_for_best(qtbot, page, window, lambda: page.best.best is not None)
    assert page.best.best is not None
    gone = page.best.best.kept.hens[0]
    window.context.record.apply(SetStatus((gone,), Status.SOLD, PartialDate.of(TODAY)))
    settle(window)
    wait_for_best(
        qtbot, page, window, lambda: page.best.best is not None and gone not in page.best.best.birds
    )
    assert gone not in names(page)
    assert page.best.told.isVisible()
