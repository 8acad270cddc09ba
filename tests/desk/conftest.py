"""A window on a small flock, worked with real keys and buttons; what a test leaves running fails it."""

import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from studbook import places
from studbook.book.changes import AddBirds
from studbook.book.records import Sex
from studbook.desk.app import settle
from studbook.desk.record import Record
from studbook.desk.theme import Choice, Theme
from studbook.desk.window import Window
from studbook.desk.work import Workers
from tests.flock import TODAY, bird, new_book


@dataclass
class Answers:
    """The port to the keeper, answered by the test: files and verbs in the order they are asked for."""

    files: list[Path] = field(default_factory=list)
    verbs: list[int] = field(default_factory=list)
    told: list[str] = field(default_factory=list)

    def choose(self, title: str, text: str, verbs: Sequence[str], then: Callable[[int], None]) -> None:
        self.told.append(f"{title}: {text}")
        if self.verbs:
            then(self.verbs.pop(0))

    def tell(self, title: str, text: str, details: str = "") -> None:
        self.told.append(f"{title}: {text}")

    def file_to_open(self, title: str, kinds: str, then: Callable[[Path], None]) -> None:
        if self.files:
            then(self.files.pop(0))

    def file_to_save(self, title: str, kinds: str, proposed: Path, then: Callable[[Path], None]) -> None:
        if self.files:
            then(self.files.pop(0))


@pytest.fixture(autouse=True)
def nothing_left_running(qapp: QApplication) -> Iterator[None]:
    """A thread or a window that outlives its test fails it."""
    before = set(threading.enumerate())
    yield
    left = [thread.name for thread in set(threading.enumerate()) - before if thread.is_alive()]
    open_windows = [type(widget).__name__ for widget in qapp.topLevelWidgets() if widget.isVisible()]
    assert not left, f"threads left running: {left}; close the window or the workers"
    assert not open_windows, f"windows left open: {open_windows}"


@pytest.fixture
def theme(qapp: QApplication) -> Iterator[Theme]:
    """The look of the application, light and at 100 % at the start of every test."""
    made = qapp.findChild(Theme) or Theme(qapp)
    made.choose(Choice.LIGHT)
    yield made
    made.choose(Choice.LIGHT)


@pytest.fixture
def answers() -> Answers:
    """What the keeper will answer."""
    return Answers()


@pytest.fixture
def settings() -> QSettings:
    """The settings file of this test's user."""
    return QSettings(str(places.settings_file()), QSettings.Format.IniFormat)


@pytest.fixture
def flock_book(tmp_path: Path) -> Path:
    """A book with two founders and two of their chicks, one of them without a mark."""
    path = tmp_path / "withybrook.studbook"
    with new_book(path) as book:
        severn = bird(book, "W22-01", Sex.COCK, "2022-04-03", name="Severn", founder=True)
        bramble = bird(book, "W22-02", Sex.HEN, "2022-04-03", name="Bramble", founder=True)
        hazel = bird(book, "W26-01", Sex.HEN, "2026-05-02", name="Hazél", sire=severn.id, dam=bramble.id)
        teme = bird(book, "", Sex.COCK, "2026-05-02", name="Teme", sire=severn.id)
        book.apply(AddBirds((severn, bramble, hazel, teme)))
    return path


@pytest.fixture
def window(qtbot: QtBot, theme: Theme, answers: Answers, settings: QSettings) -> Iterator[Window]:
    """A window that is shown and active, without a book; what nobody foresaw fails the test."""
    broken: list[BaseException] = []
    made = Window(Record(), Workers(2, "numbers"), settings, theme, answers)
    made.context.record.broke.connect(broken.append)
    made.context.workers.broke.connect(broken.append)
    made.show()
    with qtbot.waitActive(made):
        made.activateWindow()
    yield made
    made.close()
    made.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert not broken, broken


@pytest.fixture
def open_window(window: Window, flock_book: Path) -> Window:
    """The window with the small flock open and every room made."""
    window.context.record.open(flock_book, today=TODAY)
    settle(window)
    return window
