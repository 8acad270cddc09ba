"""The room Care, worked with keys and buttons: birds set apart and brought back, a trial from plan to decision."""

from collections.abc import Callable
from datetime import date
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QComboBox, QLabel, QPushButton, QSpinBox, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.husbandry.rows import Decision
from studbook.book.records import Snapshot
from studbook.desk.app import settle
from studbook.desk.deeds.apart import EditApartDialog, EndApartDialog, SetApartDialog
from studbook.desk.deeds.trial import TrialDialog
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.rooms.care.decision import DecisionDialog
from studbook.desk.rooms.care.room import CareRoom
from studbook.desk.rooms.care.trial_change import ChangeTrialDialog
from studbook.desk.rooms.care.trial_eggs import CandleDialog, TrialEggsDialog
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.window import Window
from studbook.season.practice import ApartReason
from tests.desk.birds.conftest import named, opened, press, type_into
from tests.desk.conftest import Answers

Changes = Callable[[Callable[[], object]], None]
Book = Callable[[], Snapshot]


def pick(qtbot: QtBot, picker: BirdPicker, name: str) -> None:
    """Type the name of a bird and leave the field by Tab."""
    picker.edit.setFocus()
    qtbot.keyClicks(picker.edit, name)
    qtbot.keyClick(picker.edit, Qt.Key.Key_Return)


def choose(qtbot: QtBot, box: QComboBox, data: object) -> None:
    """Go down a list with the arrow keys until this choice is shown."""
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Home)
    for _step in range(box.count()):
        if box.currentData() == data:
            return
        qtbot.keyClick(box, Qt.Key.Key_Down)
    raise AssertionError(data)


def write_pen(qtbot: QtBot, box: QComboBox, name: str) -> None:
    line = box.lineEdit()
    assert line is not None
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, name)


def count(qtbot: QtBot, dialog: FormDialog, name: str, number: int) -> None:
    box = dialog.findChild(QSpinBox, name)
    assert box is not None, name
    box.setFocus()
    box.selectAll()
    qtbot.keyClicks(box, str(number))
    qtbot.keyClick(box, Qt.Key.Key_Tab)


def text_of(room: QWidget, name: str) -> str:
    found: Any = room.findChild(QWidget, name)
    assert found is not None, name
    return str(found.text() if isinstance(found, QLabel) else found.toPlainText())


def button_of(parent: QWidget, words: str) -> QPushButton:
    return next(
        found for found in parent.findChildren(QPushButton) if found.text() == words and found.isVisible()
    )


def set_apart(
    qtbot: QtBot, window: Window, changes: Changes, name: str, reason: ApartReason, since: str = ""
) -> None:
    """Set a bird apart with the form that is open."""
    dialog = opened(window, SetApartDialog)
    if dialog.bird.bird is None:
        pick(qtbot, dialog.bird, name)
    choose(qtbot, dialog.reason, reason)
    if since:
        type_into(qtbot, dialog.since, since)
    settle(window)
    changes(lambda: press(qtbot, dialog, "save"))


def test_an_empty_room_teaches_and_begins(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes
) -> None:
    qtbot.mouseClick(button_of(room.apart, "Set a bird apart…"), Qt.MouseButton.LeftButton)
    set_apart(qtbot, window, changes, "Avens", ApartReason.BULLIED)
    (apart,) = book().husbandry.aparts.values()
    assert (apart.bird, apart.reason) == (named(book(), "Avens").id, ApartReason.BULLIED)
    # a week, by common practice
    assert apart.review == date(2027, 2, 21)
    assert book().husbandry.stay_on(apart.bird, date(2027, 2, 15)) is None
    assert text_of(room, "apart_summary") == "1 bird is apart."
    assert text_of(room, "apart_due_0") == "look again 21 Feb 2027"


def test_an_ill_bird_is_shown_with_its_pen_mates_and_the_caution(
    qtbot: QtBot, window: Window, room: CareRoom, changes: Changes
) -> None:
    room.apart.set_apart()
    dialog = opened(window, SetApartDialog)
    pick(qtbot, dialog.bird, "Avens")
    choose(qtbot, dialog.reason, ApartReason.ILL)
    assert "Usk" in dialog.mates.toPlainText()
    assert "Now in Orchard" in dialog.mates.toPlainText()
    caution = text_of(dialog, "caution")
    assert "separated first and asked about after" in caution
    assert "a vet decides" in caution
    assert "must be reported" in caution
    choose(qtbot, dialog.reason, ApartReason.HURT)
    assert not dialog.mates.isVisible()
    choose(qtbot, dialog.reason, ApartReason.ILL)
    changes(lambda: press(qtbot, dialog, "save"))
    assert "Betony" in text_of(room, "apart_mates_0")


def test_a_day_that_is_no_day_and_a_missing_bird_are_said_at_the_field(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book
) -> None:
    room.apart.set_apart()
    dialog = opened(window, SetApartDialog)
    press(qtbot, dialog, "save")
    assert "No bird is chosen" in dialog.form.fields["bird"].problem_text
    pick(qtbot, dialog.bird, "Avens")
    type_into(qtbot, dialog.since, "Feb 2027")
    press(qtbot, dialog, "save")
    settle(window)
    assert "Enter the day itself" in dialog.form.fields["since"].problem_text
    type_into(qtbot, dialog.since, "1 Jan 2024")
    press(qtbot, dialog, "save")
    settle(window)
    assert "before W24-11 hatched" in dialog.form.fields["since"].problem_text
    assert not book().husbandry.aparts
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    settle(window)


def test_it_goes_back_to_the_pen_it_left_and_undo_takes_that_back(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes
) -> None:
    room.apart.set_apart(named(book(), "Avens"))
    set_apart(qtbot, window, changes, "Avens", ApartReason.HURT, "1 Feb 2027")
    assert text_of(room, "apart_due_0") == "overdue since 4 Feb 2027"
    press(qtbot, room, "edit_apart_0")
    edit = opened(window, EditApartDialog)
    type_into(qtbot, edit.review, "20 Feb 2027")
    changes(lambda: press(qtbot, edit, "save"))
    assert text_of(room, "apart_due_0") == "look again 20 Feb 2027"
    press(qtbot, room, "end_apart_0")
    end = opened(window, EndApartDialog)
    assert end.pen.currentText() == "Orchard"
    qtbot.keyClicks(end.outcome, "healed")
    changes(lambda: qtbot.keyClick(end.outcome, Qt.Key.Key_Return))
    stay = book().husbandry.stay_on(named(book(), "Avens").id, date(2027, 2, 14))
    assert stay is not None
    assert book().husbandry.pens[stay.pen].name == "Orchard"
    assert [time.apart.outcome for time in room.apart.model.rows] == ["healed"]
    changes(window.undo)
    assert text_of(room, "apart_due_0") == "look again 20 Feb 2027"


def test_a_bird_page_sets_apart_and_brings_back(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes
) -> None:
    birds = window.go("birds")
    assert isinstance(birds, BirdsRoom)
    birds.show_bird(named(book(), "Cowslip").id)
    settle(window)
    press(qtbot, birds.page, "page_set_apart")
    set_apart(qtbot, window, changes, "Cowslip", ApartReason.BROODY)
    assert "broody being broken" in text_of(birds.page, "page_apart_0")
    press(qtbot, birds.page, "page_end_apart")
    end = opened(window, EndApartDialog)
    changes(lambda: press(qtbot, end, "save"))
    assert "14 Feb 2027 to 14 Feb 2027: broody being broken" in text_of(birds.page, "page_apart_0")


def begin_trial(qtbot: QtBot, window: Window, room: CareRoom, changes: Changes, begun: str) -> None:
    """Plan a trial of Lune with Cowslip and Betony in a new pen."""
    room.tabs.setCurrentWidget(room.trials)
    settle(window)
    qtbot.mouseClick(button_of(room.trials, "Plan a trial…"), Qt.MouseButton.LeftButton)
    dialog = opened(window, TrialDialog)
    pick(qtbot, dialog.cock, "Lune")
    pick(qtbot, dialog.hens, "Cowslip")
    pick(qtbot, dialog.hens, "Betony")
    type_into(qtbot, dialog.begun, begun)
    write_pen(qtbot, dialog.pen, "Trial fold")
    settle(window)
    told = dialog.told.toPlainText().replace("\N{NO-BREAK SPACE}", " ")
    assert "you need 19 of 19; a cock of true 95 % passes that only 38 times in 100" in told
    assert "he treads each the more" in told
    assert "before that day they may be by" in told
    assert "wear" in text_of(dialog, "caution")
    changes(lambda: press(qtbot, dialog, "save"))


def test_a_trial_goes_from_plan_to_decision(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes
) -> None:
    begin_trial(qtbot, window, room, changes, "10 Jan 2027")
    year = book().husbandry
    (trial,) = year.trials.values()
    lune, cowslip, betony = (named(book(), name).id for name in ("Lune", "Cowslip", "Betony"))
    assert trial.counts_from == date(2027, 1, 17)
    assert set(year.hens_of[trial.id]) == {cowslip, betony}
    pens = {stay.pen for bird in (lune, cowslip, betony) if (stay := year.stay_on(bird, date(2027, 1, 20)))}
    assert pens == {trial.pen}
    (apart,) = year.apart_of[lune]
    assert apart.reason is ApartReason.TRIAL
    assert "nothing" not in text_of(room, "trial_result")

    press(qtbot, room, "set_trial_eggs")
    setting = opened(window, TrialEggsDialog)
    type_into(qtbot, setting.set_on, "28 Jan 2027")
    type_into(qtbot, setting.laid_to, "27 Jan 2027")
    cowslips = 0 if setting.form.fields["eggs_0"].control.accessibleName().endswith("Cowslip") else 1
    count(qtbot, setting, f"eggs_{cowslips}", 10)
    count(qtbot, setting, f"eggs_{1 - cowslips}", 4)
    changes(lambda: press(qtbot, setting, "save"))
    assert sum(batch.eggs for batch in book().husbandry.batches_of_trial[trial.id]) == 14
    assert "10 eggs are set and not looked at yet" in text_of(room, "trial_result")

    press(qtbot, room, "candle_trial")
    candling = opened(window, CandleDialog)
    type_into(qtbot, candling.on, "5 Feb 2027")
    places = {line.batch.hen: place for place, line in enumerate(candling.lines)}
    count(qtbot, candling, f"alive_{places[cowslip]}", 9)
    count(qtbot, candling, f"clear_{places[cowslip]}", 1)
    count(qtbot, candling, f"alive_{places[betony]}", 4)
    changes(lambda: press(qtbot, candling, "save"))
    result = text_of(room, "trial_result").replace("\N{NO-BREAK SPACE}", " ")
    # Clopper & Pearson: 9 of 10, .5550 to .9975
    assert "9 of 10 eggs seen were fertile. The exact 95 % interval runs from 55.5 % to 99.7 %." in result
    # Betony was with Usk until the tenth of January
    assert "4 eggs are left out" in text_of(room, "trial_hens_part")

    press(qtbot, room, "decide_trial")
    decision = opened(window, DecisionDialog)
    choose(qtbot, decision.decision, Decision.AGAIN)
    qtbot.keyClicks(decision.reason, "too few eggs")
    assert decision.pen.currentText() == "Lane"
    changes(lambda: press(qtbot, decision, "save"))
    assert "test again. too few eggs" in text_of(room, "trial_result")
    assert all(apart.until is not None for apart in book().husbandry.apart_of[lune])
    birds = window.go("birds")
    assert isinstance(birds, BirdsRoom)
    birds.show_bird(lune)
    settle(window)
    told = text_of(birds.page, "fertility_told")
    assert "9 of 10" in told
    assert "test again. too few eggs" in told


def test_a_trial_to_come_plans_its_moves(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes
) -> None:
    begin_trial(qtbot, window, room, changes, "20 Feb 2027")
    year = book().husbandry
    (trial,) = year.trials.values()
    goes = [move for move in year.moves.values() if move.on == date(2027, 2, 20)]
    assert {move.pen for move in goes} == {trial.pen}
    assert len(goes) == 3
    assert trial.ends is not None
    homes = {move.bird: move.pen for move in year.moves.values() if move.on == trial.ends}
    assert {year.pens[pen].name for pen in homes.values() if pen is not None} == {"Orchard", "Lane"}
    assert not year.aparts


def test_the_days_of_a_trial_can_be_changed_and_what_was_planned_goes_with_them(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes
) -> None:
    begin_trial(qtbot, window, room, changes, "20 Feb 2027")
    (trial,) = book().husbandry.trials.values()
    assert trial.ends is not None
    press(qtbot, room, "change_trial")
    dialog = opened(window, ChangeTrialDialog)
    type_into(qtbot, dialog.begun, "1 Mar 2027")
    # the same seven days before the first egg counts
    assert dialog.counts_from.day == date(2027, 3, 8)
    type_into(qtbot, dialog.ends, "15 Apr 2027")
    pick(qtbot, dialog.hens, "Avens")
    count(qtbot, dialog, "eggs_wanted", 25)
    changes(lambda: press(qtbot, dialog, "save"))
    year = book().husbandry
    (after,) = year.trials.values()
    assert (after.begun, after.counts_from, after.ends) == (
        date(2027, 3, 1),
        date(2027, 3, 8),
        date(2027, 4, 15),
    )
    assert (after.eggs_wanted, after.share, after.confidence) == (25, trial.share, trial.confidence)
    names = {book().bird(hen).name for hen in year.hens_of[trial.id]}
    assert names == {"Cowslip", "Betony", "Avens"}
    assert {move.on for move in year.moves.values() if move.pen == trial.pen} == {date(2027, 3, 1)}
    assert sum(move.pen == trial.pen for move in year.moves.values()) == 4
    assert {move.on for move in year.moves.values() if move.pen != trial.pen} == {date(2027, 4, 15)}
    assert "ends 15 Apr 2027; 25 eggs wanted" in text_of(room, "trial_result")
    changes(window.context.record.undo)
    assert tuple(book().husbandry.trials.values()) == (trial,)


def test_a_trial_that_would_end_before_it_began_is_refused_beside_the_day(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes
) -> None:
    begin_trial(qtbot, window, room, changes, "10 Jan 2027")
    (trial,) = book().husbandry.trials.values()
    press(qtbot, room, "change_trial")
    dialog = opened(window, ChangeTrialDialog)
    type_into(qtbot, dialog.ends, "9 Jan 2027")
    press(qtbot, dialog, "save")
    settle(window)
    assert "before it began" in dialog.form.fields["ends"].problem_text
    assert tuple(book().husbandry.trials.values()) == (trial,)
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    settle(window)


def test_the_end_of_a_trial_is_the_day_to_look_at_the_cock_again(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes
) -> None:
    begin_trial(qtbot, window, room, changes, "10 Jan 2027")
    (apart,) = book().husbandry.aparts.values()
    assert apart.review == next(iter(book().husbandry.trials.values())).ends
    press(qtbot, room, "change_trial")
    dialog = opened(window, ChangeTrialDialog)
    type_into(qtbot, dialog.ends, "2 Mar 2027")
    changes(lambda: press(qtbot, dialog, "save"))
    (apart,) = book().husbandry.aparts.values()
    assert apart.review == date(2027, 3, 2)


def test_a_trial_that_is_not_held_is_taken_out_with_its_plans(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes, answers: Answers
) -> None:
    begin_trial(qtbot, window, room, changes, "20 Feb 2027")
    answers.verbs.append(0)
    changes(lambda: press(qtbot, room, "withdraw_trial"))
    year = book().husbandry
    assert not year.trials
    assert not year.moves
    assert not year.trial_hens


def test_more_eggs_than_were_set_are_refused_in_words(
    qtbot: QtBot, window: Window, room: CareRoom, book: Book, changes: Changes
) -> None:
    begin_trial(qtbot, window, room, changes, "10 Jan 2027")
    press(qtbot, room, "set_trial_eggs")
    setting = opened(window, TrialEggsDialog)
    press(qtbot, setting, "save")
    assert "No egg is entered" in setting.form.fields["eggs_0"].problem_text
    count(qtbot, setting, "eggs_0", 5)
    changes(lambda: press(qtbot, setting, "save"))
    press(qtbot, room, "candle_trial")
    candling = opened(window, CandleDialog)
    press(qtbot, candling, "save")
    assert "Nothing is entered" in candling.form.fields["lines"].problem_text
    count(qtbot, candling, "alive_0", 4)
    count(qtbot, candling, "clear_0", 3)
    press(qtbot, candling, "save")
    settle(window)
    assert "more than were set" in candling.form.fields["lines"].problem_text
    assert not book().husbandry.candlings
    qtbot.keyClick(candling, Qt.Key.Key_Escape)
    settle(window)
    assert QApplication.activeModalWidget() is None
