"""How long the pages of the room Eggs take in a large season: 40 pens, 300 hens, 12,000 eggs.

    python -m tests.bench.season [--book FILE]

Prints a Markdown table of wall time in milliseconds, the best and the worst of some repeats. It measures and judges
nothing: no test rests on it.
"""

import argparse
import os
import tempfile
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox

from studbook.book.changes import AddBirds, Enter
from studbook.book.door import Book
from studbook.book.husbandry.rows import (
    Batch,
    Candling,
    Collection,
    EggFate,
    Fate,
    House,
    Machine,
    Pen,
    Sitting,
    Stay,
)
from studbook.book.ids import (
    BatchId,
    BirdId,
    CandlingId,
    CollectionId,
    EggFateId,
    HouseId,
    MachineId,
    PenId,
    SittingId,
    StayId,
)
from studbook.book.opening import create_book
from studbook.book.records import Bird, BookDetails, Mark, MarkId, MarkKind, Sex
from studbook.dates import PartialDate
from studbook.desk.app import build_window, settle
from studbook.desk.window import Window

TODAY = date(2026, 5, 10)
BEGUN = date(2026, 1, 10)
GATHERED_FROM = date(2026, 1, 31)
PENS, HENS, WEEKS, DAILY = 40, 300, 14, 3
REPEATS = 5


def build(path: Path) -> None:
    """A book of one season: a cock and seven or eight hens to a pen, all eggs of a week set in one machine."""
    with create_book(path, BookDetails("", keeper="Ada Thorn", yard="Withybrook"), today=TODAY) as book:
        pens = tuple(_enter_pens(book))
        _enter_birds(book, pens)
        _enter_collections(book, pens)
        _enter_sittings(book, pens)


def _enter_pens(book: Book) -> list[Pen]:
    houses = [House(HouseId(book.new_id()), f"House {number}", number) for number in range(1, 9)]
    pens = [
        Pen(PenId(book.new_id()), f"Pen {number + 1}", houses[number // 5].id, number % 5)
        for number in range(PENS)
    ]
    book.apply(Enter((*houses, *pens)))
    return pens


def _enter_birds(book: Book, pens: tuple[Pen, ...]) -> None:
    birds, stays = [], []
    for number in range(PENS + HENS):
        bird = Bird(
            BirdId(book.new_id()),
            sex=Sex.COCK if number < PENS else Sex.HEN,
            hatched=PartialDate.parse("2024-04-02"),
            founder=True,
            marks=(Mark(MarkId(""), MarkKind.RING, f"W24-{number + 1:03}"),),
        )
        birds.append(bird)
        stays.append(Stay(StayId(""), bird.id, pens[number % PENS].id, BEGUN))
    book.apply(AddBirds(tuple(birds)))
    book.apply(Enter(tuple(stays)))


def _enter_collections(book: Book, pens: tuple[Pen, ...]) -> None:
    days = [GATHERED_FROM + timedelta(number) for number in range(100)]
    book.apply(
        Enter(tuple(Collection(CollectionId(""), day, DAILY, pen=pen.id) for day in days for pen in pens))
    )


def _enter_sittings(book: Book, pens: tuple[Pen, ...]) -> None:
    machine = Machine(MachineId(book.new_id()), "Cabinet", 1000)
    rows: list[object] = [machine]
    for week in range(WEEKS):
        set_on = GATHERED_FROM + timedelta(7 * (week + 1))
        sitting = Sitting(SittingId(book.new_id()), set_on, machine=machine.id)
        rows.append(sitting)
        for number, pen in enumerate(pens):
            batch = Batch(
                BatchId(book.new_id()), sitting.id, 18, pen=pen.id,
                laid_from=set_on - timedelta(7), laid_to=set_on - timedelta(1),
            )  # fmt: skip
            rows.append(batch)
            candled = set_on + timedelta(8)
            if candled <= TODAY:
                clear = number % 5
                rows.append(Candling(CandlingId(""), batch.id, candled, alive=18 - clear, clear=clear))
                if set_on + timedelta(21) <= TODAY:
                    ends = ((Fate.CLEAR, clear), (Fate.LATE_DEAD, number % 3), (Fate.BROKEN, 1))
                    lost = [(fate, eggs) for fate, eggs in ends if eggs]
                    lost.append((Fate.HATCHED, 18 - sum(eggs for _fate, eggs in lost)))
                    hatched = set_on + timedelta(21)
                    rows += [
                        EggFate(
                            EggFateId(""), batch.id, fate, eggs, hatched if fate is Fate.HATCHED else candled
                        )
                        for fate, eggs in lost
                    ]
    book.apply(Enter(tuple(rows)))


def timed(window: Window, work: Callable[[], object]) -> float:
    """Milliseconds until the window has nothing more in hand."""
    start = time.perf_counter()
    work()
    settle(window)
    QApplication.processEvents()
    return (time.perf_counter() - start) * 1000


def measure(path: Path) -> list[tuple[str, list[float]]]:
    """Every page and step, in milliseconds."""
    window = build_window(path, TODAY)
    found = [("the room, first visit", [timed(window, lambda: window.go("eggs"))])]
    room = window.go("eggs")
    page, outcome = room.collections, room.outcome  # type: ignore[attr-defined]
    tabs = room.tabs  # type: ignore[attr-defined]
    found.append(
        (
            "Collections, coming back",
            _repeat(window, lambda: tabs.setCurrentIndex(1), lambda: tabs.setCurrentIndex(0)),
        )
    )
    found.append(("another week", [timed(window, lambda: page.line.step(-1)) for _turn in range(REPEATS)]))
    page.enter_today()
    grid = page.grid

    def type_count() -> None:
        QTest.keyClick(grid, Qt.Key.Key_5)
        QTest.keyClick(grid, Qt.Key.Key_Return)

    blocked = []
    for _turn in range(REPEATS):
        start = time.perf_counter()
        type_count()
        blocked.append((time.perf_counter() - start) * 1000)
        settle(window)
    found.append(("a count typed, until the next may be", blocked))
    found.append(("a count typed, saved and shown", [timed(window, type_count) for _turn in range(REPEATS)]))
    snapshot = window.context.record.snapshot
    found.append(
        (
            "Collections shown anew",
            [timed(window, lambda: page.show_snapshot(snapshot)) for _turn in range(REPEATS)],
        )
    )
    found.append(("Outcome, first visit", [timed(window, lambda: tabs.setCurrentIndex(2))]))
    choice = outcome.findChild(QComboBox, "outcome_by")
    assert choice is not None
    for place in range(choice.count()):
        first = timed(window, lambda place=place: choice.setCurrentIndex(place))  # type: ignore[misc]
        again = _repeat(
            window,
            lambda place=place: choice.setCurrentIndex((place + 1) % 6),  # type: ignore[misc]
            lambda place=place: choice.setCurrentIndex(place),  # type: ignore[misc]
        )
        found.append((f"Outcome by {choice.itemText(place).lower()}, first time", [first]))
        found.append((f"Outcome by {choice.itemText(place).lower()}", again))
    window.close()
    return found


def _repeat(window: Window, away: Callable[[], object], back: Callable[[], object]) -> list[float]:
    times = []
    for _turn in range(REPEATS):
        timed(window, away)
        times.append(timed(window, back))
    return times


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--book", type=Path, help="keep the book here, or use the one that is there")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        for name in ("DATA", "CONFIG", "CACHE"):
            os.environ[f"XDG_{name}_HOME"] = home
        path = options.book or Path(home) / "season.studbook"
        if not path.exists():
            build(path)
        print("| step | best, ms | worst, ms |\n|---|---|---|")
        for step, times in measure(path):
            print(f"| {step} | {min(times):.0f} | {max(times):.0f} |")


if __name__ == "__main__":
    main()
