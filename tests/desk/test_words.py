"""Every text a user reads goes through translation: in a language of brackets, none stays bare."""

import contextlib
import gettext
import io
import re
from collections.abc import Iterator
from dataclasses import fields
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QAbstractTableModel, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QTabBar,
    QWidget,
)

from studbook import places, words
from studbook.book.errors import RecordProblems
from studbook.book.husbandry.rows import Husbandry
from studbook.book.opening import SAMPLE_TODAY, open_book
from studbook.book.records import Sex, Snapshot
from studbook.book.relatedness import Relatedness
from studbook.commands.main import ALL, run
from studbook.desk.app import settle
from studbook.desk.window import Window
from studbook.drawing.tree import draw_tree
from studbook.words import fold

OPEN, SHUT = "«", "»"
SHOWN = 8
"""The entries of the journal a first look shows."""


class Brackets(gettext.NullTranslations):
    """A language that says everything as the source does, in brackets."""

    def gettext(self, message: str) -> str:
        return f"{OPEN}{message}{SHUT}" if message else message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


@pytest.fixture
def brackets() -> Iterator[None]:
    words.use_translations(Brackets())
    yield
    words.use_language("en")


@pytest.fixture(scope="module")
def flock() -> Snapshot:
    with open_book(places.demo_flock(), read_only=True) as book:
        return book.snapshot()


@pytest.fixture(scope="module")
def journal_labels() -> set[str]:
    """The words of the last entries of the journal, kept as they were said on the day."""
    with open_book(places.demo_flock(), read_only=True) as book:
        return {word for entry in book.journal(SHOWN) for word in letters(entry.label)}


def bare(text: str) -> str:
    """What of a text stands outside all brackets."""
    depth, rest = 0, []
    for sign in text:
        depth += (sign == OPEN) - (sign == SHUT)
        if not depth and sign != SHUT:
            rest.append(sign)
    return "".join(rest)


def vocabulary(snapshot: Snapshot) -> set[str]:
    """The words that are the keeper's own: names, marks, colours, notes, and the names of months and weekdays."""
    texts = [
        *(repr(bird) for bird in (*snapshot.birds, *snapshot.struck)),
        *map(
            repr,
            (
                *snapshot.origins,
                *snapshot.contacts,
                *snapshot.notes,
                *snapshot.certificates,
                snapshot.details,
                snapshot.husbandry,
            ),
        ),
        *kept_of_the_year(snapshot),
        *(date(2026, month, 1).strftime("%B %b") for month in range(1, 13)),
        *(date(2026, 6, day).strftime("%A %a") for day in range(1, 8)),
        "demo_flock Studbook studbook Ctrl Alt Shift Enter Del Esc Return F A4 Letter CSV PDF mm",
    ]
    return {word for text in texts for word in letters(text)}


WRITTEN = ("name", "text", "note", "outcome", "reason", "place", "outside", "colour", "compartment")


def kept_of_the_year(snapshot: Snapshot) -> Iterator[str]:
    """What the keeper wrote in rows of the year: names of houses and pens, notes, jobs, outcomes."""
    for kind in fields(Husbandry):
        for row in getattr(snapshot.husbandry, kind.name).values():
            yield from (str(getattr(row, name, "")) for name in WRITTEN)


def letters(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]{2,}", fold(text))


def texts_of(widget: QWidget) -> Iterator[str]:
    """Everything a widget shows or says to a screen reader."""
    yield widget.toolTip()
    yield widget.accessibleName()
    if isinstance(widget, QLabel | QAbstractButton):
        yield re.sub(r"<[^>]+>", " ", widget.text())
    elif isinstance(widget, QLineEdit | QPlainTextEdit):
        yield widget.placeholderText()
    elif isinstance(widget, QComboBox):
        yield from (widget.itemText(place) for place in range(widget.count()))
    elif isinstance(widget, QTabBar):
        yield from (widget.tabText(place) for place in range(widget.count()))
    elif isinstance(widget, QAbstractItemView) and isinstance(model := widget.model(), QAbstractTableModel):
        for column in range(model.columnCount()):
            yield str(model.headerData(column, Qt.Orientation.Horizontal) or "")
            yield from (str(model.index(row, column).data() or "") for row in range(min(model.rowCount(), 8)))


def test_the_window_speaks_only_in_translated_texts(
    brackets: None, window: Window, flock: Snapshot, journal_labels: set[str]
) -> None:
    known = vocabulary(flock) | journal_labels
    window.context.record.open(places.demo_flock(), today=SAMPLE_TODAY)
    settle(window)
    hen = next(bird for bird in flock.living if bird.sex is Sex.HEN and bird.pairs)
    for door in [door for door in window.doors if door.key != "bloodlines"]:
        room = window.go(door.key)
        settle(window)
        if door.key in ("birds", "tree"):
            room.show_bird(hen.id)
            settle(window)
    found = {
        text
        for widget in window.findChildren(QWidget)
        for text in texts_of(widget)
        if not set(letters(bare(text))) <= known
    }
    found |= {
        action.text()
        for action in window.findChildren(QAction)
        if not set(letters(bare(action.text()))) <= known
    }
    # Qt's own buttons of a tab bar speak through Qt's translations
    assert found - {"Scroll Left", "Scroll Right"} == set()


def test_every_command_explains_itself_in_translated_texts(brackets: None) -> None:
    for command in ALL:
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed), contextlib.suppress(SystemExit):
            run([command.name, "--help"])
        text = " ".join(printed.getvalue().split())
        described = re.sub(r"^.*?(?=«)", "", text)
        # argparse words its own headings, and options are no language
        rest = re.sub(
            r"positional arguments:|options:|show this help message and exit|-+[\w-]+|[A-Z]{1,9}\b|\{[^}]*\}",
            " ",
            bare(described),
        )
        assert letters(rest) == [], (command.name, rest)


def test_problems_and_drawings_speak_only_in_translated_texts(
    brackets: None, flock: Snapshot, tmp_path: Path
) -> None:
    from studbook.book.changes import SetParents
    from studbook.book.records import Pair
    from tests.flock import founders, new_book

    known = vocabulary(flock) | {"severn", "sorrel", "cock", "hen"}
    with new_book(tmp_path / "flock.db") as book:
        severn, sorrel = founders(book)
        with pytest.raises(RecordProblems) as refused:
            book.apply(SetParents(severn, (Pair(sorrel, severn),)))
    for problem in refused.value.problems:
        assert set(letters(bare(problem.message))) <= known
    hen = max(flock.living, key=lambda bird: bird.mark)
    drawing = draw_tree(flock, hen.id, up=4, inbreeding=Relatedness(flock).inbreeding)
    for text in re.findall(r"<text[^>]*>([^<]*)</text>", drawing.svg):
        assert set(letters(bare(text))) <= known, text
