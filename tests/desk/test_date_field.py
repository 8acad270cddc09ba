"""Dates as a keeper types them."""

from collections.abc import Iterator
from datetime import date

import pytest
from PySide6.QtCore import QLocale, Qt
from pytestqt.qtbot import QtBot

from studbook.dates import PartialDate
from studbook.desk.date_entry import read_date
from studbook.desk.theme import Theme
from studbook.desk.widgets.date_field import DateField
from studbook.desk.wording import date_text

TODAY = date(2027, 2, 14)


@pytest.fixture
def locale() -> Iterator[None]:
    before = QLocale()
    yield
    QLocale.setDefault(before)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("4 Apr 2026", "2026-04-04"),
        ("4 april 2026", "2026-04-04"),
        ("4th of April 2026", "2026-04-04"),
        ("Apr 4, 2026", "2026-04-04"),
        ("2026-04-04", "2026-04-04"),
        ("2026-4-4", "2026-04-04"),
        ("4 Apr 26", "2026-04-04"),
        ("Apr 2026", "2026-04"),
        ("2026-04", "2026-04"),
        ("2026", "2026"),
        ("about May 2019", "2019-05~"),
        ("ca. 2019", "2019~"),
        ("~2019", "2019~"),
        ("today", "2027-02-14"),
        ("yesterday", "2027-02-13"),
        ("", ""),
    ],
)
def test_a_date_is_read_with_its_precision(typed: str, meant: str) -> None:
    assert read_date(typed, TODAY) == PartialDate.parse(meant)


@pytest.mark.parametrize(
    "typed", ["31 Feb 2026", "Smarch 2026", "4 Apr", "13.13.2026", "hello", "4 Apr May 2026"]
)
def test_what_is_no_date_is_refused_in_words(typed: str) -> None:
    with pytest.raises(ValueError, match=r"[A-Z].*\."):
        read_date(typed, TODAY)


@pytest.mark.parametrize(
    ("language", "meant"), [("en_GB", "2026-05-04"), ("de_DE", "2026-05-04"), ("en_US", "2026-04-05")]
)
def test_figures_are_read_in_the_order_of_the_locale(locale: None, language: str, meant: str) -> None:
    QLocale.setDefault(QLocale(language))
    assert read_date("04.05.2026", TODAY) == PartialDate.parse(meant)


@pytest.mark.parametrize("language", ["en_GB", "en_US", "de_DE", "fr_FR", "sv_SE", "ja_JP"])
@pytest.mark.parametrize("written", ["2026-04-04", "2026-12-31", "2019-05", "2019"])
def test_a_date_shown_is_read_back_as_itself(locale: None, language: str, written: str) -> None:
    QLocale.setDefault(QLocale(language))
    when = PartialDate.parse(written)
    assert read_date(date_text(when), TODAY) == when


def test_the_field_says_what_it_understood(qtbot: QtBot, theme: Theme) -> None:
    field = DateField(TODAY)
    qtbot.addWidget(field)
    field.show()
    qtbot.keyClicks(field.edit, "about may 2019")
    assert field.understood == "about May 2019"
    assert field.value == PartialDate(2019, 5, about=True)
    qtbot.keyClick(field.edit, Qt.Key.Key_Return)
    assert field.edit.text() == "about May 2019"


def test_the_field_says_what_to_do_when_it_cannot_read(qtbot: QtBot, theme: Theme) -> None:
    field = DateField(TODAY)
    qtbot.addWidget(field)
    field.show()
    qtbot.keyClicks(field.edit, "soon")
    qtbot.keyClick(field.edit, Qt.Key.Key_Return)
    assert "such as 4 Apr 2026" in field.understood
    assert not field.value.is_known
