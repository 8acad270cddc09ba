"""The forms of a sitting by keys: broodies, machines, eggs bought in, moving, pips, the log, chicks that grow."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QDialog, QLabel, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from studbook.book.changes import AddBirds, Enter, MoveBirds
from studbook.book.husbandry.rows import Batch, ConditionKind, MixedIn
from studbook.book.ids import MixedInId
from studbook.book.records import BirdId, Sex, Snapshot
from studbook.book.relatedness import Relatedness
from studbook.desk.app import settle
from studbook.desk.rooms.eggs.sittings.hatching import HatchDialog
from studbook.desk.rooms.eggs.sittings.lines import LinesModel, SittingLines, lines_of
from studbook.desk.rooms.eggs.sittings.log import read_number
from studbook.desk.rooms.eggs.sittings.page import SittingsPage
from studbook.desk.rooms.eggs.sittings.rearing import RearingDialog
from studbook.desk.rooms.eggs.sittings.registering import RegisterForm
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.desk.window import Window
from tests.desk.birds.conftest import type_into
from tests.desk.conftest import Answers
from tests.desk.sittings.conftest import press, write
from tests.flock import TODAY, bird, reopened
from tests.season_flock import Yard, hatch, new_yard, set_eggs

Book = Callable[[], Snapshot]
Changes = Callable[[Callable[[], object]], None]


def dialog(window: Window, name: str) -> QDialog:
    """The form of this name over the window."""
    settle(window)
    found = [each for each in window.findChildren(QDialog, name) if each.isVisible()]
    assert len(found) == 1, (name, found)
    return found[0]


def said(parent: QWidget, name: str) -> str:
    found = parent.findChild(QLabel, name)
    assert found is not None, name
    return found.text()


def choose(qtbot: QtBot, parent: QWidget, name: str, words: str) -> None:
    """Choose from a list by the arrow keys."""
    box = parent.findChild(QComboBox, name)
    assert box is not None, name
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Home)
    for _step in range(box.count()):
        if not box.currentText().startswith(words):
            qtbot.keyClick(box, Qt.Key.Key_Down)
    assert box.currentText().startswith(words), box.currentText()


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    """Twelve eggs of the Orchard in the Cabinet since 25 January, and Tansy, whose parents are Usk and Avens."""
    made = new_yard(tmp_path / "withybrook.studbook")
    tansy = bird(made.book, "W25-01", Sex.HEN, "2025-04-20", name="Tansy", sire=made.usk, dam=made.avens)
    made.book.apply(AddBirds((tansy,)))
    made.book.apply(MoveBirds((tansy.id,), made.orchard, date(2026, 6, 1)))
    set_eggs(made, 12, date(2027, 1, 22), pen=made.orchard)
    made.book.close()
    return made


def named(snapshot: Snapshot, name: str) -> BirdId:
    return next(found.id for found in snapshot.birds if found.name == name)


def first_batch(snapshot: Snapshot) -> Batch:
    return next(iter(snapshot.husbandry.batches.values()))


def test_a_broody_counts_as_broody_until_the_sitting_is_closed(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book, changes: Changes, answers: Answers
) -> None:
    page.set_eggs()
    form = dialog(window, "set_eggs")
    choose(qtbot, form, "under", "a broody")
    write(qtbot, form, "broody", "betony")
    write(qtbot, form, "set_on", "1 Feb 2027")
    write(qtbot, form, "source_1", "Lane")
    write(qtbot, form, "eggs_1", "9")
    settle(window)
    assert "lockdown 19 Feb 2027" in said(form, "caution")
    changes(lambda: press(qtbot, form, "save"))
    sitting = next(each for each in book().husbandry.sittings.values() if each.broody)
    (condition,) = book().husbandry.conditions.values()
    assert (condition.kind, condition.since) == (ConditionKind.BROODY, date(2027, 2, 1))
    page.open_sitting(sitting.id)
    answers.verbs = [1]
    changes(lambda: press(qtbot, page, "ask_close_sitting"))
    assert "9 eggs have no end yet" in answers.told[-1]
    (condition,) = book().husbandry.conditions.values()
    assert condition.until == TODAY
    assert book().husbandry.sittings[sitting.id].closed == TODAY
    changes(lambda: press(qtbot, page, "ask_close_sitting"))
    assert book().husbandry.sittings[sitting.id].closed is None


def test_two_broodies_share_and_a_missing_one_is_asked_for(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book, changes: Changes
) -> None:
    page.set_eggs()
    form = dialog(window, "set_eggs")
    choose(qtbot, form, "under", "two")
    write(qtbot, form, "broody", "betony")
    write(qtbot, form, "source_1", "Lane")
    write(qtbot, form, "eggs_1", "9")
    press(qtbot, form, "save")
    settle(window)
    assert form.isVisible()
    assert "second hen" in said(form, "second_broody_problem")
    write(qtbot, form, "second_broody", "cowslip")
    changes(lambda: press(qtbot, form, "save"))
    sitting = list(book().husbandry.sittings.values())[-1]
    assert sitting.second_broody == named(book(), "Cowslip")


def test_bought_in_eggs_keep_what_was_told_and_their_yard(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book, changes: Changes
) -> None:
    page.set_eggs()
    form = dialog(window, "set_eggs")
    write(qtbot, form, "machine", "Hatcher")
    write(qtbot, form, "places", "20")
    choose(qtbot, form, "species", "bantam")
    write(qtbot, form, "source_1", "bought in")
    write(qtbot, form, "eggs_1", "8")
    settle(window)
    assert "what was told" in form.form.fields["batches"].problem_text
    write(qtbot, form, "told_1", "a blue cock, two black hens")
    write(qtbot, form, "yard_1", "Coombe End")
    changes(lambda: press(qtbot, form, "save"))
    batch = list(book().husbandry.batches.values())[-1]
    assert (batch.outside, batch.eggs) == ("a blue cock, two black hens", 8)
    assert [origin.name for origin in book().origins if origin.id == batch.origin] == ["Coombe End"]
    sitting = book().husbandry.sittings[batch.sitting]
    assert sitting.days == 20
    assert sitting.machine is not None
    assert book().husbandry.machines[sitting.machine].places == 20


def test_more_eggs_seen_than_there_are_is_met_with_a_sentence(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book
) -> None:
    press(qtbot, page, "ask_candle")
    form = dialog(window, "candle")
    write(qtbot, form, "alive_1", "13")
    assert "13 eggs told of, but only 12 are left" in said(form, "batch_1_problem")
    press(qtbot, form, "save")
    settle(window)
    assert form.isVisible()
    assert not book().husbandry.candlings
    write(qtbot, form, "alive_1", "12")
    write(qtbot, form, "on", "20 Jan 2027")
    settle(window)
    assert "before the eggs were set" in said(form, "on_problem")
    qtbot.keyClick(form, Qt.Key.Key_Escape)


def test_enter_saves_a_candling_and_it_can_be_repeated(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book, changes: Changes
) -> None:
    for clear in ("2", "1"):
        press(qtbot, page, "ask_candle")
        form = dialog(window, "candle")
        box = form.findChild(QWidget, "clear_1")
        assert box is window.focusWidget() or box.hasFocus() or box.isAncestorOf(form.focusWidget())
        write(qtbot, form, "clear_1", clear)
        changes(lambda form=form: qtbot.keyClick(form, Qt.Key.Key_Return))
    batch = first_batch(book())
    assert [each.alive for each in book().husbandry.candlings_of[batch.id]] == [10, 9]
    assert book().husbandry.eggs_left(batch) == 9


def test_pips_are_an_observation(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book, changes: Changes
) -> None:
    press(qtbot, page, "ask_pips")
    form = dialog(window, "pips")
    write(qtbot, form, "pipped_1", "3")
    changes(lambda: press(qtbot, form, "save"))
    (seen,) = book().husbandry.candlings.values()
    assert (seen.pipped, seen.alive) == (3, 9)
    assert book().husbandry.eggs_left(first_batch(book())) == 12


def test_a_line_of_the_log_is_shown_with_the_weight_lost(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book, changes: Changes
) -> None:
    for day, weight in (("25 Jan 2027", "720"), ("3 Feb 2027", "676.8")):
        press(qtbot, page, "ask_log")
        form = dialog(window, "log")
        write(qtbot, form, "on", day)
        write(qtbot, form, "temperature", "37.6")
        write(qtbot, form, "humidity", "52")
        write(qtbot, form, "weight", weight)
        write(qtbot, form, "weighed", "12")
        changes(lambda form=form: press(qtbot, form, "save"))
    words = said(page.sheet, "sitting_log")
    assert "37.6 °C, 52 % humidity, 12 eggs weigh 676.8 g" in words
    assert "By day 9 the eggs have lost 6.0 %" in words


def test_a_humidity_that_cannot_be_is_refused_by_the_record(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book
) -> None:
    press(qtbot, page, "ask_log")
    form = dialog(window, "log")
    write(qtbot, form, "humidity", "140")
    settle(window)
    assert "cannot be" in said(form, "humidity_problem")
    write(qtbot, form, "humidity", "wet")
    assert "wet is no number" in said(form, "humidity_problem")
    qtbot.keyClick(form, Qt.Key.Key_Escape)
    settle(window)
    assert not book().husbandry.readings


@pytest.mark.parametrize(("text", "value"), [("37.6", 37.6), ("37,6 °C", 37.6), ("55 %", 55.0), ("", None)])
def test_figures_are_read_as_they_are_written(text: str, value: float | None) -> None:
    assert read_number(text) == value


def test_eggs_are_moved_to_a_second_broody_and_keep_their_day(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book, changes: Changes
) -> None:
    press(qtbot, page, "ask_move_eggs")
    form = dialog(window, "move_eggs")
    write(qtbot, form, "moved_1", "5")
    choose(qtbot, form, "under", "a broody")
    write(qtbot, form, "broody", "cowslip")
    changes(lambda: press(qtbot, form, "save"))
    first, second = book().husbandry.sittings.values()
    assert (second.broody, second.set_on, first.closed) == (named(book(), "Cowslip"), first.set_on, None)
    (moved,) = book().husbandry.batches_of[second.id]
    assert (moved.eggs, moved.moved_from) == (5, first_batch(book()).id)
    assert {pair.sire for pair in View(book(), TODAY).whose(moved).pairs} == {named(book(), "Usk")}


def test_moving_every_egg_closes_the_sitting_it_leaves(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book, changes: Changes
) -> None:
    press(qtbot, page, "ask_move_eggs")
    form = dialog(window, "move_eggs")
    write(qtbot, form, "machine", "Hatcher")
    changes(lambda: press(qtbot, form, "save"))
    first, second = book().husbandry.sittings.values()
    assert first.closed == TODAY
    assert second.closed is None
    changes(window.undo)
    assert len(book().husbandry.sittings) == 1
    assert {machine.name for machine in book().husbandry.machines.values()} == {"Cabinet"}


def test_the_caution_on_late_embryos_stands_where_they_are_entered(
    qtbot: QtBot, window: Window, page: SittingsPage
) -> None:
    press(qtbot, page, "ask_hatch_result")
    form = dialog(window, "hatch_result")
    assert isinstance(form, HatchDialog)
    assert "quickly and without pain" in said(form, "caution")
    assert "a vet decide" in said(form, "caution")
    write(qtbot, form, "hatched_1", "2")
    write(qtbot, form, "died_1", "3")
    assert "lost than hatched" in said(form, "batch_1_problem")
    qtbot.keyClick(form, Qt.Key.Key_Escape)


def test_two_compartments_of_one_name_are_refused(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book
) -> None:
    press(qtbot, page, "ask_part")
    form = dialog(window, "part")
    press(qtbot, form, "split_1")
    write(qtbot, form, "compartment_1_2", "orchard")
    write(qtbot, form, "parted_1_2", "4")
    assert "could not be told apart" in said(form, "batch_1_problem")
    write(qtbot, form, "compartment_1_2", "left")
    write(qtbot, form, "parted_1_2", "12")
    assert "leave one or more" in said(form, "batch_1_problem")
    press(qtbot, form, "save")
    settle(window)
    assert len(book().husbandry.batches) == 1
    qtbot.keyClick(form, Qt.Key.Key_Escape)


@pytest.fixture
def hatched(yard: Yard) -> Yard:
    """Half the eggs of another sitting are Tansy's, a daughter of Usk, half are the Lane's; four chicks hatched."""
    with reopened(yard.book) as book:
        snapshot = book.snapshot()
        again = replace(yard, book=book)
        tansy = named(snapshot, "Tansy")
        batch = set_eggs(again, 4, date(2027, 1, 20), hen=tansy)
        day = date(2027, 1, 20)
        book.apply(Enter((MixedIn(MixedInId(""), batch.id, 2, pen=yard.lane, laid_from=day, laid_to=day),)))
        hatch(again, batch, 4, date(2027, 2, 13))
    return yard


@pytest.fixture
def register(qtbot: QtBot, hatched: Yard, page: SittingsPage, window: Window, book: Book) -> RegisterForm:
    """The form that registers the four chicks."""
    batch = list(book().husbandry.batches.values())[-1]
    page.open_sitting(batch.sitting)
    settle(window)
    press(qtbot, page, "register_1")
    settle(window)
    found = page.findChild(RegisterForm)
    assert found is not None
    return found


def test_f_and_kinship_of_the_chicks_show_the_two_sires(
    qtbot: QtBot, window: Window, register: RegisterForm, book: Book, changes: Changes
) -> None:
    assert "F of the chicks" in said(register, "outlook")
    changes(lambda: press(qtbot, register, "save_hatch"))
    chick = book().bird(next(iter(book().husbandry.hatchlings.values())).bird)
    kin = Relatedness(book())
    usk, lune = named(book(), "Usk"), named(book(), "Lune")
    # half the eggs are Usk's with his own daughter (F 1/4), half are of unrelated founders: F = 1/8
    assert kin.inbreeding[book().rows[chick.id]] == pytest.approx(0.125)
    # f(Usk, chick) = 1/2 · (f(Usk, Usk) + f(Usk, Tansy)) / 2 = 1/2 · (1/2 + 1/4) / 2
    assert kin.kinship([usk], [chick.id])[0, 0] == pytest.approx(0.1875)
    assert kin.kinship([lune], [chick.id])[0, 0] == pytest.approx(0.125)
    page_of_bird = window.go("birds")
    page_of_bird.show_bird(chick.id)
    settle(window)
    egg = page_of_bird.findChild(QWidget, "egg_of_bird")
    assert egg.isVisible()
    assert "An egg of W25-01 Tansy mixed with Lane, laid 20 Jan 2027." in egg.toPlainText()


def test_the_keeper_overrides_the_parents_with_a_reason(
    qtbot: QtBot, window: Window, register: RegisterForm, book: Book, changes: Changes
) -> None:
    press(qtbot, register, "other_parents")
    register.parents.set_pairs(())
    write(qtbot, register, "sire", "lune")
    write(qtbot, register, "dam", "cowslip")
    press(qtbot, register, "save_hatch")
    settle(window)
    assert not book().husbandry.hatchlings
    assert "Write why" in said(register, "hatch_problems")
    write(qtbot, register, "reason", "seen to leave that nest")
    changes(lambda: press(qtbot, register, "save_hatch"))
    chick = book().bird(next(iter(book().husbandry.hatchlings.values())).bird)
    (pair,) = chick.pairs
    assert (pair.sire, pair.dam) == (named(book(), "Lune"), named(book(), "Cowslip"))
    assert pair.reason == "seen to leave that nest"
    changes(window.undo)
    assert not book().husbandry.batch_pairs


def test_more_chicks_than_hatched_are_refused(
    qtbot: QtBot, window: Window, register: RegisterForm, book: Book
) -> None:
    type_into(qtbot, register.count, "5")
    settle(window)
    words = register.chicks_form.fields["chicks"].problem_text
    assert "5 chicks would be registered of 4 hatched" in words
    press(qtbot, register, "save_hatch")
    settle(window)
    assert not book().husbandry.hatchlings


def test_chicks_are_sexed_and_ringed_anew_in_one_go(
    qtbot: QtBot, window: Window, register: RegisterForm, page: SittingsPage, book: Book, changes: Changes
) -> None:
    write(qtbot, register, "marks", "c1")
    changes(lambda: press(qtbot, register, "save_hatch"))
    press(qtbot, page, "ask_rearing")
    form = dialog(window, "rearing")
    assert isinstance(form, RearingDialog)
    for key in "chhc":
        qtbot.keyClicks(form.table, key)
    write(qtbot, form, "marks", "W27-01")
    settle(window)
    changes(lambda: press(qtbot, form, "save"))
    chicks = [book().bird(row.bird) for row in book().husbandry.hatchlings.values()]
    assert [chick.mark for chick in chicks] == ["W27-01", "W27-02", "W27-03", "W27-04"]
    assert [chick.sex for chick in chicks] == [Sex.COCK, Sex.HEN, Sex.HEN, Sex.COCK]
    assert [[mark.is_worn for mark in chick.marks] for chick in chicks] == [[False, True]] * 4
    changes(window.undo)
    assert [book().bird(chick.id).mark for chick in chicks] == ["c1", "c2", "c3", "c4"]


def test_the_list_is_walked_by_keys(
    qtbot: QtBot, hatched: Yard, window: Window, page: SittingsPage, book: Book
) -> None:
    lines = page.findChild(SittingLines)
    assert lines is not None
    first, second = View(book(), TODAY).open
    lines.setFocus()
    lines.choose(first.id)
    qtbot.keyClick(lines, Qt.Key.Key_Down)
    assert page.opened == second.id
    assert page.sheet.title.text() == View(book(), TODAY).called(second)


def test_the_list_keeps_the_rules_of_models(
    qtmodeltester: ModelTester, hatched: Yard, page: SittingsPage, book: Book
) -> None:
    model = LinesModel()
    model.show_lines(lines_of(View(book(), TODAY)))
    qtmodeltester.check(model)


def test_the_reference_names_its_sources(qtbot: QtBot, window: Window, page: SittingsPage) -> None:
    press(qtbot, page, "ask_reference")
    table = page.findChild(QWidget, "incubation_kinds")
    assert "University of Nebraska incubation guide" in said(page, "kind_sources")
    qtbot.keyClick(table, Qt.Key.Key_Down)
    assert "often 19 to 20" in said(page, "kind_sources")
    qtbot.keyClick(table, Qt.Key.Key_Escape)
    assert page.lines.isVisible()


def test_a_sitting_entered_by_mistake_is_taken_out_with_all_that_hangs_on_it(
    qtbot: QtBot,
    hatched: Yard,
    window: Window,
    page: SittingsPage,
    book: Book,
    changes: Changes,
    answers: Answers,
) -> None:
    batch = list(book().husbandry.batches.values())[-1]
    page.open_sitting(batch.sitting)
    answers.verbs = [0]
    changes(lambda: press(qtbot, page, "ask_withdraw_sitting"))
    assert batch.sitting not in book().husbandry.sittings
    changes(window.undo)
    assert batch.sitting in book().husbandry.sittings


def test_undo_under_an_open_form_never_leaves_it_on_eggs_that_are_gone(
    qtbot: QtBot, register: RegisterForm, window: Window, page: SittingsPage, book: Book, changes: Changes
) -> None:
    changes(window.undo)
    assert register.isVisible()
    press(qtbot, register, "save_hatch")
    settle(window)
    assert not book().husbandry.hatchlings
    assert "of 0 hatched" in register.chicks_form.fields["chicks"].problem_text
    for _step in range(2):
        changes(window.undo)
    assert len(book().husbandry.sittings) == 1
    assert page.lines.isVisible()


def test_a_chick_that_was_lost_leaves_with_its_cause(
    qtbot: QtBot, register: RegisterForm, window: Window, page: SittingsPage, book: Book, changes: Changes
) -> None:
    changes(lambda: press(qtbot, register, "save_hatch"))
    page.sheet.chicks.selectRow(0)
    press(qtbot, page, "ask_losses")
    form = dialog(window, "status_dialog")
    choose(qtbot, form, "status", "died")
    write(qtbot, form, "left", "14 Feb 2027")
    write(qtbot, form, "cause", "chilled")
    changes(lambda: press(qtbot, form, "save"))
    lost = [chick for chick in page.sheet.chicks.rows.rows if not chick.is_living]
    assert [chick.cause for chick in lost] == ["chilled"]


def test_the_card_of_one_sitting_is_written_from_its_sheet(
    qtbot: QtBot, page: SittingsPage, window: Window, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "card.pdf"
    answers.verbs.append(1)
    answers.files.append(path)
    press(qtbot, page, "ask_sitting_card")
    settle(window)
    assert "card of" in answers.told[0]
    assert path.read_bytes().startswith(b"%PDF")
