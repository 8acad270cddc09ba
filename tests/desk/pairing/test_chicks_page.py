"""The page How many eggs, worked with keys: the wish, the answer, the reasons, the days in the diary."""

from datetime import date, timedelta
from pathlib import Path
from shutil import copy

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.changes import Enter
from studbook.book.husbandry.rows import Batch, EggFate, Fate, Job, Sitting
from studbook.book.ids import BatchId, EggFateId, JobId, SittingId
from studbook.book.opening import create_book
from studbook.book.records import BookDetails
from studbook.desk.app import settle
from studbook.desk.rooms.pairing.chicks.page import ChicksPage
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.prose import Prose
from studbook.desk.window import Window
from tests.season_flock import new_yard

TODAY = date(2027, 2, 14)


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The yard of the tests of the year, with eggs hatched in two seasons."""
    made = new_yard(tmp_path_factory.mktemp("yard") / "withybrook.studbook")
    for season in (2025, 2026):
        set_on = date(season, 3, 8)
        sitting = Sitting(SittingId(made.book.new_id()), set_on, machine=made.machine)
        laid = set_on - timedelta(3)
        batch = Batch(
            BatchId(made.book.new_id()), sitting.id, 20, pen=made.orchard, laid_from=laid, laid_to=laid
        )
        ends = [
            EggFate(EggFateId(""), batch.id, fate, eggs)
            for fate, eggs in ((Fate.CLEAR, 3), (Fate.LATE_DEAD, 4), (Fate.HATCHED, 13))
        ]
        made.book.apply(Enter((sitting, batch, *ends)))
    made.book.close()
    return made.book.path


def enter(window: Window, path: Path) -> ChicksPage:
    """Open a book in the window and turn to the page."""
    window.context.record.open(path, today=TODAY)
    settle(window)
    window.resize(1280, 800)
    room = window.go("pairing")
    settle(window)
    assert isinstance(room, PairingRoom)
    bar = room.tabs.tabBar()
    bar.setFocus()
    room.turn_to("chicks")
    settle(window)
    settle(window)
    return room.chicks


@pytest.fixture
def page(window: Window, yard: Path, tmp_path: Path) -> ChicksPage:
    return enter(window, Path(copy(yard, tmp_path)))


def answered(page: ChicksPage) -> str:
    return read(page, "season_answer")


def read(page: ChicksPage, name: str) -> str:
    found = page.findChild(Prose, name)
    assert found is not None
    return " ".join(found.toPlainText().replace("\N{NO-BREAK SPACE}", " ").split())


def said(page: QWidget, name: str) -> str:
    found = page.findChild(QLabel, name)
    assert found is not None
    return found.text()


def eggs_of(page: ChicksPage) -> int:
    assert page.answer is not None
    assert page.answer.plan.eggs is not None
    return page.answer.plan.eggs


def type_number(qtbot: QtBot, window: Window, control: QWidget, number: int) -> None:
    control.setFocus()
    qtbot.keyClick(control, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(control, str(number))
    qtbot.keyClick(control, Qt.Key.Key_Tab)
    settle(window)
    settle(window)


def test_it_answers_at_once_with_the_flocks_figures(page: ChicksPage) -> None:
    assert "To have at least 8 pullets and 3 cockerels to choose from on 1 Oct 2027" in answered(page)
    assert f"set {eggs_of(page)} eggs" in answered(page)
    rows = {row.name: row.basis for row in page.figures.rows.rows}
    assert rows["fertile"].startswith("34 of 40 · ")
    assert rows["chicks hatched"].startswith("26 of 34 · ")
    assert rows["grown birds"] == "usual: 80 %"


def test_every_lot_and_every_figure_is_in_view(page: ChicksPage) -> None:
    for table in (page.lots, page.figures):
        last = table.visualRect(table.rows.index(len(table.rows.rows) - 1, 0))
        assert len(table.rows.rows) > 1
        assert table.viewport().rect().contains(last)


def test_more_pullets_take_more_eggs(qtbot: QtBot, window: Window, page: ChicksPage) -> None:
    before = eggs_of(page)
    type_number(qtbot, window, page.wish_form.pullets, 16)
    assert eggs_of(page) > before
    assert "at least 16 pullets" in answered(page)


def test_a_surer_chance_takes_more_eggs(qtbot: QtBot, window: Window, page: ChicksPage) -> None:
    before = eggs_of(page)
    box = page.wish_form.chance
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Down)
    settle(window)
    settle(window)
    assert "with 19 chances in 20" in answered(page)
    assert eggs_of(page) > before


def test_the_day_one_chooses_moves_the_last_setting(qtbot: QtBot, window: Window, page: ChicksPage) -> None:
    edit = page.wish_form.choose_on.edit
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, "1 Nov 2027")
    qtbot.keyClick(edit, Qt.Key.Key_Tab)
    settle(window)
    settle(window)
    last = page.lots.rows.rows[-1]
    assert last.set_on == date(2027, 11, 1) - timedelta(150 + 22)
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, "Nov 2027")
    qtbot.keyClick(edit, Qt.Key.Key_Tab)
    settle(window)
    assert "exact day" in page.wish_form.form.fields["choose_on"].problem_text
    assert "1 Nov 2027" in answered(page)


def test_a_wish_is_kept_while_the_book_changes(qtbot: QtBot, window: Window, page: ChicksPage) -> None:
    type_number(qtbot, window, page.wish_form.pullets, 12)
    window.context.record.apply(Enter((Job(JobId(""), "Dust the hens", TODAY),)))
    settle(window)
    settle(window)
    assert page.wish_form.pullets.value() == 12
    assert "12 pullets" in answered(page)


def test_every_line_opens_what_it_rests_on(qtbot: QtBot, window: Window, page: ChicksPage) -> None:
    table = page.figures
    table.setFocus()
    titles = []
    table.selectRow(0)
    for _line in range(len(table.rows.rows)):
        titles.append(read(page, "season_opened"))
        qtbot.keyClick(table, Qt.Key.Key_Down)
    assert "summed exactly" in titles[0]
    assert "Skellam 1948" in titles[0]
    assert "34 of 40" in titles[1]
    assert "Clopper & Pearson 1934" in titles[1]
    assert "usual figure stands in for it" in titles[3]
    assert all("Choose a line" not in title for title in titles)


def test_the_days_go_into_the_diary_in_one_step(qtbot: QtBot, window: Window, page: ChicksPage) -> None:
    button = page.findChild(QPushButton, "season_diary")
    assert button is not None
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    settle(window)
    settle(window)
    jobs = [(job.text, job.starts) for job in jobs_of(window)]
    assert ("Choose among the young birds", date(2027, 10, 1)) in jobs
    assert [day for text, day in jobs if text.startswith("Set ")] == [
        lot.set_on for lot in page.lots.rows.rows
    ]
    assert (button.text(), button.isEnabled()) == ("The days are in the diary", False)
    window.context.record.undo()
    settle(window)
    assert jobs_of(window) == ()


def test_another_plan_takes_the_place_of_the_first_in_the_diary(
    qtbot: QtBot, window: Window, page: ChicksPage
) -> None:
    page.put_into_diary()
    settle(window)
    settle(window)
    type_number(qtbot, window, page.wish_form.pullets, 10)
    button = page.findChild(QPushButton, "season_diary")
    assert button is not None
    assert button.isEnabled()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    settle(window)
    settle(window)
    eggs = sum(int(job.text.split()[1]) for job in jobs_of(window) if job.text.startswith("Set "))
    assert eggs == eggs_of(page)
    assert [job.text for job in jobs_of(window)].count("Choose among the young birds") == 1


def jobs_of(window: Window) -> tuple[Job, ...]:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return tuple(snapshot.husbandry.jobs.values())


def test_a_share_of_ones_own_is_reckoned_with(qtbot: QtBot, window: Window, page: ChicksPage) -> None:
    before = eggs_of(page)
    assert page.wish_form.reared.text() == "from the book"
    type_number(qtbot, window, page.wish_form.reared, 50)
    assert eggs_of(page) > before
    rows = {row.name: (row.share, row.basis) for row in page.figures.rows.rows}
    assert rows["grown birds"] == ("50 %", "your own figure")


def test_too_few_hens_are_warned_of(qtbot: QtBot, window: Window, page: ChicksPage) -> None:
    type_number(qtbot, window, page.wish_form.hens, 0)
    assert "no hens" in said(page, "season_warnings")
    assert not page.lots.isVisible()


def test_an_empty_book_says_what_the_page_will_show(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "empty.studbook"
    create_book(path, BookDetails("", yard="Withybrook"), today=TODAY).close()
    page = enter(window, path)
    assert page.is_missing
    state = page.findChild(EmptyState)
    assert state is not None
    assert any("how many eggs to set" in part.text() for part in state.findChildren(QLabel))
