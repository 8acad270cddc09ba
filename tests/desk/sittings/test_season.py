"""From setting to chicks in the book: the whole way of a sitting by keys and buttons."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QLabel, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.husbandry.rows import Fate, Sitting
from studbook.book.records import Snapshot
from studbook.book.relatedness import Relatedness
from studbook.desk.app import settle
from studbook.desk.rooms.eggs.sittings.page import SittingsPage
from studbook.desk.rooms.eggs.sittings.registering import RegisterForm
from studbook.desk.window import Window
from tests.desk.sittings.conftest import press, write
from tests.season_flock import Yard

Book = Callable[[], Snapshot]
Changes = Callable[[Callable[[], object]], None]


def dialog(window: Window, name: str) -> QDialog:
    """The form of this name over the window."""
    settle(window)
    found = [each for each in window.findChildren(QDialog, name) if each.isVisible()]
    assert len(found) == 1, (name, found)
    return found[0]


def only_sitting(snapshot: Snapshot) -> Sitting:
    (found,) = snapshot.husbandry.sittings.values()
    return found


def said(parent: QWidget, name: str) -> str:
    found = parent.findChild(QLabel, name)
    assert found is not None, name
    return found.text()


def set_mixed_eggs(qtbot: QtBot, window: Window, page: SittingsPage, changes: Changes) -> None:
    """Six eggs of the Orchard mixed with six of the Lane, set in the Cabinet on 20 January."""
    page.set_eggs()
    form = dialog(window, "set_eggs")
    write(qtbot, form, "machine", "Cabinet")
    write(qtbot, form, "set_on", "20 Jan 2027")
    write(qtbot, form, "source_1", "Orchard")
    write(qtbot, form, "eggs_1", "6")
    write(qtbot, form, "laid_from_1", "15 Jan 2027")
    write(qtbot, form, "laid_to_1", "18 Jan 2027")
    press(qtbot, form, "mix_1")
    write(qtbot, form, "source_1_1", "Lane")
    write(qtbot, form, "eggs_1_1", "6")
    settle(window)
    words = said(form, "whose_1")
    assert "Usk" in words
    assert "Lune" in words
    assert "2 to 5 days old when set" in said(form, "age_1")
    changes(lambda: press(qtbot, form, "save"))


def test_the_whole_way_of_a_sitting(
    qtbot: QtBot, window: Window, yard: Yard, page: SittingsPage, book: Book, changes: Changes
) -> None:
    set_mixed_eggs(qtbot, window, page, changes)
    year = book().husbandry
    sitting = only_sitting(book())
    (batch,) = year.batches_of[sitting.id]
    assert (batch.eggs, batch.pen) == (12, yard.orchard)
    assert [(lot.eggs, lot.pen) for lot in year.mixed_into[batch.id]] == [(6, yard.lane)]
    assert "Day 25 of 21" in said(page.sheet, "sitting_standing")

    press(qtbot, page, "ask_candle")
    form = dialog(window, "candle")
    write(qtbot, form, "on", "28 Jan 2027")
    write(qtbot, form, "clear_1", "2")
    write(qtbot, form, "doubtful_1", "1")
    assert form.findChild(QWidget, "alive_1").value() == 9
    changes(lambda: press(qtbot, form, "save"))
    (candling,) = book().husbandry.candlings_of[batch.id]
    assert (candling.alive, candling.clear, candling.doubtful) == (9, 2, 1)
    assert book().husbandry.eggs_left(book().husbandry.batches[batch.id]) == 10

    press(qtbot, page, "ask_part")
    form = dialog(window, "part")
    write(qtbot, form, "on", "7 Feb 2027")
    write(qtbot, form, "compartment_1", "upper basket")
    press(qtbot, form, "split_1")
    write(qtbot, form, "compartment_1_2", "lower basket")
    write(qtbot, form, "parted_1_2", "4")
    changes(lambda: press(qtbot, form, "save"))
    upper, lower = book().husbandry.batches_of[sitting.id]
    assert (upper.compartment, lower.compartment, lower.eggs) == ("upper basket", "lower basket", 4)
    assert str(only_sitting(book()).parted) == "2027-02-07"

    press(qtbot, page, "ask_hatch_result")
    form = dialog(window, "hatch_result")
    write(qtbot, form, "on", "11 Feb 2027")
    write(qtbot, form, "hatched_1", "5")
    write(qtbot, form, "late_dead_1", "1")
    write(qtbot, form, "hatched_2", "3")
    write(qtbot, form, "died_2", "1")
    write(qtbot, form, "pipped_dead_2", "1")
    changes(lambda: press(qtbot, form, "save"))
    assert book().husbandry.hatched(upper.id) == 5
    assert {fate.fate for fate in book().husbandry.fates_of[lower.id]} == {Fate.HATCHED, Fate.PIPPED_DEAD}

    press(qtbot, page, "register_2")
    settle(window)
    register = page.findChild(RegisterForm)
    assert register is not None
    assert register.count.value() == 2
    assert "Usk" in said(register, "whose_chicks")
    write(qtbot, register, "marks", "W27-01")
    settle(window)
    changes(lambda: press(qtbot, register, "save_hatch"))
    chicks = [book().bird(bird) for bird in book().husbandry.birds_of[lower.id]]
    assert [chick.mark for chick in chicks] == ["W27-01", "W27-02"]
    assert {str(chick.hatched) for chick in chicks} == {"2027-02-11"}
    weights: dict[str, float] = {}
    for pair in chicks[0].pairs:
        weights[str(pair.sire)] = weights.get(str(pair.sire), 0) + pair.weight
    # six of twelve eggs each: either cock is the sire of half, his own hens the dams
    assert weights == pytest.approx({yard.usk: 0.5, yard.lune: 0.5})
    assert {pair.dam for pair in chicks[0].pairs if pair.sire == yard.lune} == {yard.cowslip}
    kin = Relatedness(book())
    # half of the time a chick of Usk: kinship 1/2 · 1/2 · 1/2 with him, by the weighted mean over its pairs
    assert kin.kinship([yard.usk], [chicks[0].id])[0, 0] == pytest.approx(0.125)
    # the sires are unrelated founders and no pair is of kin, so the doubt alone makes no chick inbred
    assert kin.inbreeding[book().rows[chicks[0].id]] == pytest.approx(0.0)

    press(qtbot, page, "ask_close_sitting")
    settle(window)
    assert str(only_sitting(book()).closed) == "2027-02-14"
    assert "Closed on" in said(page.sheet, "sitting_standing")
    for _step in range(6):
        changes(window.undo)
    assert not book().husbandry.sittings
    assert page.is_missing


def test_nothing_is_half_saved_when_the_record_refuses(
    qtbot: QtBot, window: Window, page: SittingsPage, book: Book
) -> None:
    page.set_eggs()
    form = dialog(window, "set_eggs")
    write(qtbot, form, "machine", "Cabinet")
    write(qtbot, form, "source_1", "Orchard")
    write(qtbot, form, "eggs_1", "6")
    write(qtbot, form, "laid_from_1", "20 Feb 2027")
    settle(window)
    assert "after they were set" in form.form.fields["batches"].problem_text
    press(qtbot, form, "save")
    settle(window)
    assert form.isVisible()
    assert not book().husbandry.sittings
    qtbot.keyClick(form, Qt.Key.Key_Escape)
    settle(window)
