"""The diary of the Yard: ticked with one key, undone, led through, with jobs of the keeper's own and a calendar."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
from icalendar import Calendar
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QComboBox, QLabel, QLineEdit, QPushButton, QSpinBox, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.changes import Enter, SetApart
from studbook.book.husbandry.rows import Apart, Every, Husbandry, Job, Move
from studbook.book.ids import ApartId, JobId, MoveId
from studbook.desk.app import settle
from studbook.desk.room import Room
from studbook.desk.rooms.yard.diary.panel import DiaryPanel
from studbook.desk.rooms.yard.diary.row import TaskRow
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.window import Window
from studbook.season.practice import ApartReason
from tests.desk.conftest import Answers
from tests.season_flock import new_yard, set_eggs

TODAY = date(2026, 3, 11)


@dataclass(frozen=True)
class Open:
    """The window on a yard with a candling today, a move overdue, a job in the week and a bird apart."""

    window: Window

    @property
    def room(self) -> Room:
        return self.window.go("yard")

    @property
    def year(self) -> Husbandry:
        snapshot = self.window.context.record.snapshot
        assert snapshot is not None
        return snapshot.husbandry

    @property
    def rows(self) -> list[TaskRow]:
        settle(self.window)
        (panel,) = [panel for panel in self.room.findChildren(DiaryPanel) if panel.isVisible()]
        return panel.rows

    def row(self, words: str) -> TaskRow:
        (found,) = [row for row in self.rows if words in row.task.words]
        return found

    @property
    def words(self) -> list[str]:
        return [row.task.words for row in self.rows]

    @property
    def texts(self) -> list[str]:
        settle(self.window)
        return [label.text() for label in self.room.findChildren(QLabel) if label.isVisible()]

    def press(self, text: str) -> None:
        settle(self.window)
        found = [
            button
            for button in self.room.findChildren(QPushButton)
            if text in (button.text(), button.accessibleName()) and button.isVisible()
        ]
        found[0].click()
        settle(self.window)


@pytest.fixture
def yard(window: Window, tmp_path: Path) -> Open:
    made = new_yard(tmp_path / "yard.studbook")
    set_eggs(made, 12, date(2026, 3, 1), pen=made.orchard)
    made.book.apply(
        Enter(
            (
                Move(MoveId(""), made.avens, made.lane, date(2026, 3, 9)),
                Job(JobId(""), "Fetch straw", date(2026, 3, 12), Every.MONTHS),
            )
        )
    )
    apart = Apart(ApartId(""), made.betony, ApartReason.HURT, date(2026, 3, 10), "Crate", date(2026, 3, 13))
    made.book.apply(SetApart(apart))
    made.book.close()
    window.context.record.open(made.book.path, today=TODAY)
    settle(window)
    return Open(window)


def test_it_parts_what_is_overdue_due_and_to_come(yard: Open) -> None:
    assert yard.words == [
        "Move W24-11 Avens to Lane",
        "Candle the eggs in Cabinet, set on 4 Mar 2026",
        "Fetch straw",
        "Look at W24-12 Betony, apart: hurt",
    ]
    assert {"Overdue", "2 days overdue", "Today", "until Sat 14 Mar 2026", "This week"} <= set(yard.texts)


@pytest.mark.parametrize("key", [Qt.Key.Key_Space, Qt.Key.Key_Return])
def test_one_key_does_a_task_and_undo_opens_it(qtbot: QtBot, yard: Open, key: Qt.Key) -> None:
    box = yard.row("Candle").box
    box.setFocus()
    with qtbot.waitSignal(yard.window.context.record.changed):
        qtbot.keyClick(box, key)
    settle(yard.window)
    assert yard.row("Candle").box.isChecked()
    assert "Done today" in yard.texts
    assert len(yard.year.ticks) == 1
    with qtbot.waitSignal(yard.window.context.record.changed):
        yard.window.undo()
    assert not yard.row("Candle").box.isChecked()
    assert not yard.year.ticks


def test_a_ticked_task_is_opened_by_the_same_key(qtbot: QtBot, yard: Open) -> None:
    for _press in range(2):
        with qtbot.waitSignal(yard.window.context.record.changed):
            qtbot.keyClick(yard.row("straw").box, Qt.Key.Key_Space)
    assert not yard.row("straw").box.isChecked()


def test_after_a_tick_the_keyboard_stays_in_the_diary(qtbot: QtBot, yard: Open) -> None:
    rows = yard.rows
    rows[0].box.setFocus()
    qtbot.keyClick(rows[0].box, Qt.Key.Key_Down)
    assert rows[1].box.hasFocus()
    with qtbot.waitSignal(yard.window.context.record.changed):
        qtbot.keyClick(rows[1].box, Qt.Key.Key_Space)
    assert yard.rows[1].box.hasFocus()


def test_a_planned_move_is_carried_out(qtbot: QtBot, yard: Open) -> None:
    with qtbot.waitSignal(yard.window.context.record.changed):
        qtbot.keyClick(yard.row("Move").box, Qt.Key.Key_Space)
    assert not yard.year.moves
    assert not any("Move" in words for words in yard.words)


def test_a_bird_looked_at_is_looked_at_again(qtbot: QtBot, yard: Open) -> None:
    with qtbot.waitSignal(yard.window.context.record.changed):
        qtbot.keyClick(yard.row("Look at").box, Qt.Key.Key_Space)
    (apart,) = yard.year.aparts.values()
    assert apart.review == date(2026, 3, 14)  # hurt: three days on


@pytest.mark.parametrize(("words", "room"), [("Candle", "eggs"), ("Move", "pens")])
def test_words_lead_to_the_room(qtbot: QtBot, yard: Open, words: str, room: str) -> None:
    with qtbot.waitSignal(yard.room.room_asked) as asked:
        qtbot.keyClick(yard.row(words).words, Qt.Key.Key_Return)
    assert asked.args == [room]


def test_words_about_one_bird_lead_to_it(qtbot: QtBot, yard: Open) -> None:
    (apart,) = yard.year.aparts.values()
    with qtbot.waitSignal(yard.room.bird_asked) as asked:
        qtbot.mouseClick(yard.row("Look at").words, Qt.MouseButton.LeftButton)
    assert asked.args == [apart.bird]


def test_who_is_apart_is_told(yard: Open) -> None:
    assert "hurt, since 10 Mar 2026, Crate; look again 13 Mar 2026" in yard.texts


def dialog() -> FormDialog:
    (found,) = [widget for widget in QApplication.topLevelWidgets() if isinstance(widget, FormDialog)]
    return found


def field(name: str, kind: type[QWidget] = QLineEdit) -> QWidget:
    found = dialog().form.fields[name].control
    control = found.focusProxy() or found
    assert isinstance(control, kind)
    return control


def test_a_job_is_added_changed_and_ended(qtbot: QtBot, yard: Open) -> None:
    yard.press("add a job…")
    qtbot.keyClicks(field("text"), "Scrub the drinkers")
    every, count = field("every", QComboBox), field("count", QSpinBox)
    assert isinstance(every, QComboBox)
    assert isinstance(count, QSpinBox)
    assert not count.isEnabled()
    every.setCurrentIndex(every.findData(Every.DAYS))
    count.setValue(2)
    with qtbot.waitSignal(yard.window.context.record.changed):
        qtbot.keyClick(dialog(), Qt.Key.Key_Return)
    settle(yard.window)
    job = next(job for job in yard.year.jobs.values() if job.text == "Scrub the drinkers")
    assert (job.starts, job.every, job.count, job.until) == (TODAY, Every.DAYS, 2, None)
    assert yard.row("Scrub").task.day == TODAY
    with qtbot.waitSignal(yard.window.context.record.changed):
        qtbot.keyClick(yard.row("Scrub").box, Qt.Key.Key_Space)
    assert [row.task.day for row in yard.rows if row.task.words == "Scrub the drinkers"] == [
        date(2026, 3, 13),  # the next turn, and what was ticked today
        TODAY,
    ]

    row = next(row for row in yard.rows if row.task.words == "Scrub the drinkers")
    qtbot.keyClick(row.words, Qt.Key.Key_Return)
    settle(yard.window)
    note = field("note")
    qtbot.keyClicks(note, "vinegar")
    with qtbot.waitSignal(yard.window.context.record.changed):
        qtbot.keyClick(dialog(), Qt.Key.Key_Return)
    settle(yard.window)
    assert yard.year.jobs[job.id].note == "vinegar"

    yard.press("End the job Scrub the drinkers")
    assert not any(row.task.day > TODAY for row in yard.rows if row.task.words == "Scrub the drinkers")


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("text", "", "The job is empty: write what is to be done."),
        ("starts", "Mar 2026", "A job needs an exact day, such as 4 Apr 2026."),
        ("until", "2026-01-01", "would end on 2026-01-01, before it starts on 2026-03-11"),
    ],
)
def test_what_is_wrong_with_a_job_stands_at_its_field(
    qtbot: QtBot, yard: Open, name: str, typed: str, sentence: str
) -> None:
    yard.press("add a job…")
    before = len(yard.year.jobs)
    if name != "text":
        qtbot.keyClicks(field("text"), "Dust the nests")
    control = field(name)
    assert isinstance(control, QLineEdit)
    control.clear()
    qtbot.keyClicks(control, typed)
    dialog().save()
    settle(yard.window)
    assert sentence in dialog().form.fields[name].problem_text
    assert len(yard.year.jobs) == before
    dialog().reject()


def test_the_diary_goes_to_a_calendar(yard: Open, answers: Answers, tmp_path: Path) -> None:
    file = tmp_path / "yard.ics"
    answers.files.append(file)
    yard.press("to a calendar…")
    summaries = [str(event["SUMMARY"]) for event in Calendar.from_ical(file.read_bytes()).walk("VEVENT")]
    assert summaries.count("Fetch straw") == 3


def test_an_idle_yard_says_so_in_words(window: Window, flock_book: Path) -> None:
    window.context.record.open(flock_book, today=date(2026, 3, 11))
    settle(window)
    shown = Open(window)
    assert shown.words == []
    assert any(text.startswith("Nothing is due within a week.") for text in shown.texts)
    assert "No bird is apart from its flock." in shown.texts
