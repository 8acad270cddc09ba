"""How long the matrix of pairs takes to redraw after a click, in a book of 10,000 birds of ten seasons.

    python -m tests.bench.matrix [--book FILE] [--repeats N]

The last hatch is the flock: 200 cocks and 800 hens. For 40 × 200 the first of them are ticked. Prints a Markdown
table of milliseconds over some repeats: the numbers, the model and the painting each alone, and from a real click
until the matrix has painted the answer, with the threads between and the sentences already begun behind it. The
processor's time is that of all threads, since a busy machine distorts the clock on the wall. It measures and judges
nothing: no test rests on it.
"""

import argparse
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy as np
from PySide6.QtCore import QEvent, QEventLoop, QObject, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QDoubleSpinBox, QToolButton

from studbook.book.changes import AddBirds
from studbook.book.opening import create_book
from studbook.book.records import Bird, BirdId, BookDetails, Mark, MarkId, MarkKind, Pair, Sex, Status
from studbook.dates import PartialDate
from studbook.desk.app import build_window, settle
from studbook.desk.rooms.pairing.pairs.page import PairsPage
from studbook.desk.rooms.pairing.room import PairingRoom
from studbook.desk.window import Window
from studbook.desk.work import Progress
from studbook.planning.pair_methods import Shown

TODAY = date(2027, 2, 14)
SEASONS, HATCH, BREEDING_COCKS = 10, 1000, 40
REPEATS = 7
SIZES = ((40, 200), (200, 800))


def build(path: Path) -> None:
    """Ten hatches of 1,000, a cock to every five; full sibs come in threes, of some the dam is not known."""
    rng = np.random.default_rng(8)
    with create_book(path, BookDetails("", keeper="Ada Thorn", yard="Withybrook"), today=TODAY) as book:
        cocks: list[BirdId] = []
        hens: list[BirdId] = []
        for season in range(SEASONS):
            hatched: list[Bird] = []
            pair: tuple[Pair, ...] = ()
            for number in range(HATCH):
                if season and number % 3 == 0:
                    dam = None if rng.random() < 0.05 else hens[rng.integers(len(hens))]
                    pair = (Pair(cocks[rng.integers(BREEDING_COCKS)], dam),)
                is_last = season == SEASONS - 1
                year = 2026 - SEASONS + 1 + season
                hatched.append(
                    Bird(
                        BirdId(book.new_id()),
                        sex=Sex.HEN if number % 5 else Sex.COCK,
                        hatched=PartialDate.parse(f"{year}-04-02"),
                        founder=not season,
                        status=Status.LIVING if is_last else Status.SOLD,
                        left=PartialDate() if is_last else PartialDate.parse(f"{year + 1}-09-01"),
                        marks=(Mark(MarkId(""), MarkKind.RING, f"W{year % 100}-{number + 1:04}"),),
                        pairs=pair,
                    )
                )
            book.apply(AddBirds(tuple(hatched)))
            cocks = [bird.id for bird in hatched if bird.sex is Sex.COCK]
            hens = [bird.id for bird in hatched if bird.sex is Sex.HEN]


@dataclass
class Taken:
    """Milliseconds: on the wall, and of the processor over all threads."""

    wall: list[float] = field(default_factory=list)
    processor: list[float] = field(default_factory=list)

    def time(self, work: Callable[[], object]) -> None:
        """Note how long a piece of work takes."""
        wall, processor = time.perf_counter(), time.process_time()
        work()
        self.wall.append((time.perf_counter() - wall) * 1000)
        self.processor.append((time.process_time() - processor) * 1000)


class Answered(QObject):
    """Waits, without keeping the processor busy, until the matrix has painted the answer to a click."""

    def __init__(self, page: PairsPage) -> None:
        super().__init__()
        self._loop = QEventLoop()
        self._is_answered = False
        self._viewport = page.matrix.viewport()
        self._viewport.installEventFilter(self)
        page.model.layoutChanged.connect(self._take)
        page.model.modelReset.connect(self._take)

    def wait(self, click: Callable[[], object]) -> None:
        """Click, and wait for the painted answer."""
        self._is_answered = False
        click()
        self._loop.exec()

    def _take(self) -> None:
        self._is_answered = True

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.Paint and self._is_answered:
            self._is_answered = False
            QTimer.singleShot(0, self._loop.quit)
        return False


def choose(window: Window, page: PairsPage, cocks: int, hens: int) -> None:
    """Tick the first of each side."""
    for chooser, count in ((page.cocks, cocks), (page.hens, hens)):
        chooser._left_out = set(chooser._proposed[count:])
        chooser._show()
    page.cocks.changed.emit()
    settle(window)


def each(work: Callable[[], object], repeats: int) -> Taken:
    """The same work some times over."""
    taken = Taken()
    for _turn in range(repeats):
        taken.time(work)
    return taken


def measure(path: Path, repeats: int) -> Iterator[tuple[str, Taken]]:
    """Every step for both sizes."""
    window = build_window(path, TODAY)
    window.resize(1920, 1080)
    window.show()
    room = window.go("pairing")
    settle(window)
    assert isinstance(room, PairingRoom)
    answered = Answered(room.pairs)
    for cocks, hens in SIZES:
        choose(window, room.pairs, cocks, hens)
        yield from _of_size(window, room.pairs, answered, f"{cocks} × {hens}", repeats)
    window.close()


def _of_size(
    window: Window, page: PairsPage, answered: Answered, size: str, repeats: int
) -> Iterator[tuple[str, Taken]]:
    numbers, snapshot = page._numbers, window.context.record.snapshot
    assert numbers is not None
    assert snapshot is not None
    question, going = page.question, Progress(0, lambda _ticket: None)
    figures = numbers.figures(question, going)
    yield f"{size}: numbers of F", each(lambda: numbers.figures(question, going), repeats)
    yield f"{size}: model", each(lambda: page.model.show_picture(figures.picture, snapshot), repeats)
    yield f"{size}: paint", each(page.matrix.viewport().repaint, repeats)
    convention, cautious = (
        page.findChild(QToolButton, f"pairing_{way}") for way in ("convention", "cautious")
    )
    limit = page.findChild(QDoubleSpinBox, "pairing_limit")
    shown = page.findChild(QComboBox, "pairing_shown")
    assert convention is not None
    assert cautious is not None
    assert limit is not None
    assert shown is not None

    def after(click: Callable[[int], object], back: Callable[[], object] = lambda: None) -> Taken:
        taken = Taken()
        for turn in range(repeats):
            taken.time(lambda turn=turn: answered.wait(lambda: click(turn)))  # type: ignore[misc]
            settle(window)
            back()
            settle(window)
        return taken

    page.matrix.setFocus()
    page.matrix.setCurrentIndex(page.model.index(3, 3))
    yield f"{size}: sorted by a key", after(lambda _turn: QTest.keyClick(page.matrix, Qt.Key.Key_C))
    # the first turn finds the pedigree by convention
    answered.wait(convention.click)
    settle(window)
    yield (
        f"{size}: click on the other figure",
        after(lambda turn: QTest.mouseClick((cautious, convention)[turn % 2], Qt.MouseButton.LeftButton)),
    )
    yield f"{size}: another limit", after(lambda turn: limit.setValue(5 + turn))
    for kind in (Shown.DIVERSITY, Shown.RECENT):

        def back() -> None:
            numbers._parts.clear()
            shown.setCurrentIndex(0)

        yield (
            f"{size}: {kind.value} chosen",
            after(lambda _turn, kind=kind: shown.setCurrentIndex(shown.findData(kind.value)), back),  # type: ignore[misc]
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--book", type=Path, help="keep the book here, or use the one that is there")
    parser.add_argument("--repeats", type=int, default=REPEATS)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        for name in ("DATA", "CONFIG", "CACHE"):
            os.environ[f"XDG_{name}_HOME"] = home
        path = options.book or Path(home) / "matrix.studbook"
        if not path.exists():
            build(path)
        print("| step | processor, least | on the wall, least | most |\n|---|---|---|---|")
        for step, taken in measure(path, options.repeats):
            wall = taken.wall
            print(f"| {step} | {min(taken.processor):.0f} | {min(wall):.0f} | {max(wall):.0f} |", flush=True)


if __name__ == "__main__":
    main()
