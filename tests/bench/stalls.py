"""How long the window stands still in a book of 100,000 birds: the longest gap between two turns of its loop.

    python -m tests.bench.stalls [--book FILE] [--runs N]

A timer on the window's own thread notes each turn, so that a job which keeps the interpreter to itself counts as
well as work of the window. Prints a Markdown table of milliseconds: the least and the most of some runs, each on a
book opened anew, since a busy machine can only add to a gap. It measures and judges nothing: no test rests on it.
"""

import argparse
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy as np
from PySide6.QtCore import QEventLoop, QObject, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from studbook.book.changes import AddBirds, AddContact
from studbook.book.ids import BirdId, ContactId, MarkId
from studbook.book.opening import create_book
from studbook.book.records import Bird, BookDetails, Contact, Mark, MarkKind, Pair, Sex, Status
from studbook.dates import PartialDate
from studbook.desk.app import build_window, settle
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.rooms.bloodlines.room import BloodlinesRoom
from studbook.desk.window import Window
from tests.bench.shapes import SHAPES, bred

FIRST_YEAR = 1997
TODAY = date(2027, 2, 14)
RUNS = 3

_SCHEDULER = Path("/proc/thread-self/schedstat")
_TURN_MS = 2
_PATIENCE_MS = 400
"""After the last job the window may still fill its pages bit by bit."""
_AT_ONCE = 20_000


def build(path: Path) -> None:
    """A society's book: thirty years of forty flocks; of some chicks a parent is unknown or one of two."""
    with create_book(path, BookDetails("", keeper="Ada Thorn", yard="Withybrook"), today=TODAY) as book:
        ida = Contact(ContactId(book.new_id()), "Ida Fell", address="3 Quarry Row")
        book.apply(AddContact(ida))
        birds: list[Bird] = []
        for bird in _birds(book.new_id, ida.id):
            birds.append(bird)
            if len(birds) == _AT_ONCE:
                book.apply(AddBirds(tuple(birds)))
                birds.clear()
        if birds:
            book.apply(AddBirds(tuple(birds)))


def _birds(new_id: Callable[[], str], taker: ContactId) -> Iterator[Bird]:
    shape = bred(SHAPES["hundred"])
    rng = np.random.default_rng(5)
    ids = [BirdId(new_id()) for _row in shape.sire]
    last = int(shape.season.max())
    chance = rng.random((len(ids), 3))
    for row, season in enumerate(shape.season.tolist()):
        sire, dam = int(shape.sire[row]), int(shape.dam[row])
        hatched = date(FIRST_YEAR + season, 4, 1) + timedelta(row % 60)
        pairs: tuple[Pair, ...] = ()
        if sire >= 0 and chance[row, 0] < 0.01:
            pairs = (Pair(None, ids[dam]),)
        elif sire >= 0 and chance[row, 0] < 0.03 and row % 2 == 0:
            other = int(shape.sire[row - 1])
            others = {ids[sire]: 0.6, ids[other]: 0.4} if other not in (sire, -1) else {ids[sire]: 1.0}
            pairs = tuple(Pair(each, ids[dam], weight) for each, weight in others.items())
        elif sire >= 0:
            pairs = (Pair(ids[sire], ids[dam]),)
        gone = season < last - 1 or (season == last - 1 and chance[row, 1] < 0.3)
        sold = gone and chance[row, 2] < 0.15
        yield Bird(
            ids[row],
            name=f"Hedgerow {row}" if row % 10 == 0 else "",
            sex=Sex.HEN if row % 2 else Sex.COCK,
            hatched=PartialDate.parse(hatched.isoformat()),
            breed="Andalusian",
            colour=("blue", "black", "splash")[row % 3],
            founder=season == 0,
            status=(Status.SOLD if sold else Status.DIED) if gone else Status.LIVING,
            left=PartialDate.parse((hatched + timedelta(900 if season < last - 1 else 500)).isoformat())
            if gone
            else PartialDate.parse(""),
            taker=taker if sold else None,
            marks=(Mark(MarkId(""), MarkKind.RING, f"F{int(shape.flock[row]):02}-{season:02}-{row:06}"),),
            pairs=pairs,
        )


@dataclass(frozen=True, order=True)
class Moment:
    """Seconds of the clock, of the window's own work, and that its thread waited for a free processor."""

    clock: float = 0.0
    work: float = 0.0
    queued: float = 0.0

    @classmethod
    def now(cls) -> "Moment":
        """This one, on the window's thread; only Linux tells how long one waited for a processor."""
        queued = 0.0
        if _SCHEDULER.exists():
            queued = int(_SCHEDULER.read_text().split()[1]) / 1e9
        return cls(time.perf_counter(), time.thread_time(), queued)

    def __sub__(self, other: "Moment") -> "Moment":
        return Moment(self.clock - other.clock, self.work - other.work, self.queued - other.queued)


class Loop(QObject):
    """Notes the longest gap between two turns of the window's loop while a step is done."""

    def __init__(self) -> None:
        super().__init__()
        self._longest = self._last = Moment()
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(_TURN_MS)
        self._timer.timeout.connect(self._turn)

    def during(self, window: Window, step: Callable[[], object]) -> Moment:
        """The longest gap from the step until nothing is left to do."""
        settle(window)
        waiting = QEventLoop()
        QTimer.singleShot(5 * _TURN_MS, waiting.quit)
        self._longest, self._last = Moment(), Moment.now()
        self._timer.start()
        waiting.exec()
        step()
        settle(window)
        QTimer.singleShot(_PATIENCE_MS, waiting.quit)
        waiting.exec()
        settle(window)
        self._turn()
        self._timer.stop()
        return self._longest

    def _turn(self) -> None:
        now = Moment.now()
        self._longest = max(self._longest, now - self._last)
        self._last = now


def steps(window: Window) -> Iterator[tuple[str, Callable[[], object]]]:
    """What a keeper does, one thing after the other."""
    yield "Birds, first visit", lambda: window.go("birds")
    birds = window.go("birds")
    assert isinstance(birds, BirdsRoom)
    table, filters = birds.table.table, birds.table.filters
    for sign in "f07":
        yield f"Birds, typed “{sign}”", lambda sign=sign: QTest.keyClicks(filters.search, sign)  # type: ignore[misc]
    yield "Birds, search cleared", lambda: filters.search.clear()
    yield "Birds, all of them", lambda: filters.standing.setCurrentIndex(2)
    yield "Birds, sorted by sire", lambda: _click_header(birds, 3)
    yield "Birds, sorted by F", lambda: _click_header(birds, 7)
    yield "Birds, a bird chosen", lambda: table.select(table.rows.shown[100].id)
    yield "Birds, its page opened", lambda: QTest.keyClick(table, Qt.Key.Key_Return)
    yield "Bloodlines, first visit", lambda: window.go("bloodlines")
    room = window.go("bloodlines")
    assert isinstance(room, BloodlinesRoom)
    yield "The line, a figure opened", lambda: _press(room, "figure_founders")
    for place, name in enumerate(("Founders", "Living birds", "Calling home", "Origins"), start=1):
        yield f"{name}, first visit", lambda place=place: room.tabs.setCurrentIndex(place)  # type: ignore[misc]
        if name == "Founders":
            yield "Founders, another founder", lambda: _choose_founder(room)
        if name == "Living birds":
            yield "Living birds, another bird", lambda: room.living.choose(_ranked(room, -1))
    yield "Calling home, back", lambda: room.tabs.setCurrentIndex(3)
    yield "Living birds, back", lambda: room.tabs.setCurrentIndex(2)
    yield "The line, back", lambda: room.tabs.setCurrentIndex(0)
    yield "Birds, back", lambda: window.go("birds")
    yield "Bloodlines, back", lambda: window.go("bloodlines")


def _click_header(birds: BirdsRoom, column: int) -> None:
    header = birds.table.table.horizontalHeader()
    at = header.viewport().rect().center()
    at.setX(header.sectionViewportPosition(column) + 10)
    QTest.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)


def _press(room: QWidget, name: str) -> None:
    pressed = room.findChild(QWidget, name)
    assert pressed is not None
    QTest.mouseClick(pressed, Qt.MouseButton.LeftButton)


def _choose_founder(room: BloodlinesRoom) -> None:
    room.founders.choice.setCurrentIndex(5)
    room.founders.choice.activated.emit(5)


def _ranked(room: BloodlinesRoom, place: int) -> BirdId:
    assert room.answer is not None
    return list(room.answer.ranked)[place]


def measure(path: Path, loop: Loop) -> list[tuple[str, Moment]]:
    """The longest gap of every step, on a window opened anew."""
    window = build_window(None)
    found = [("the book opened", loop.during(window, lambda: window.context.record.open(path, today=TODAY)))]
    for name, step in steps(window):
        found.append((name, loop.during(window, step)))
    window.close()
    window.deleteLater()
    QApplication.processEvents()
    return found


def main() -> None:
    """Measure every step and print the gaps."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.stalls", description=__doc__.split("\n")[0])
    parser.add_argument("--book", type=Path, help="keep the book here, or use the one that is there")
    parser.add_argument("--runs", type=int, default=RUNS, help="how often everything is done")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        for name in ("DATA", "CONFIG", "CACHE"):
            os.environ[f"XDG_{name}_HOME"] = home
        path = options.book or Path(home) / "society.studbook"
        if not path.exists():
            build(path)
        found: dict[str, list[Moment]] = {}
        loop: Loop | None = None
        for _run in range(options.runs):
            QApplication.instance() or QApplication([])
            loop = loop or Loop()
            for name, gap in measure(path, loop):
                found.setdefault(name, []).append(gap)
        print("| step | least, ms | the window's own work in it | waiting for a processor | most, ms |")
        print("|---|---|---|---|---|")
        for name, gaps in found.items():
            least = min(gaps)
            print(
                f"| {name} | {least.clock * 1000:.0f} | {least.work * 1000:.0f} | {least.queued * 1000:.0f} "
                f"| {max(gaps).clock * 1000:.0f} |"
            )


if __name__ == "__main__":
    main()
