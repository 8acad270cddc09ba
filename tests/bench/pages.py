"""How long the pages of Yard, Pens, Eggs, Care and of a bird keep the window from answering, in a large season.

    python -m tests.bench.pages [--book FILE] [--repeats N]

The book is that of `tests.bench.season`: 40 pens, 300 hens, 12,000 eggs; beside it trials, birds apart, jobs and plans.
For every page it prints what the window's own thread takes, in milliseconds of processor time, the least and the
middle of some repeats: for turning to it once it was filled, and for showing a change that was saved while it is on
view. The whole is all the thread did until nothing was left to do; the longest is the longest stretch without a look
at what the keeper pressed. It measures and judges nothing: no test rests on it.
"""

import argparse
import os
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import timedelta
from functools import partial
from pathlib import Path
from statistics import median

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QAbstractEventDispatcher
from PySide6.QtWidgets import QTabWidget

from studbook.book.changes import Change, Correct, Enter, MoveBirds
from studbook.book.door import Book
from studbook.book.husbandry.rows import (
    Apart,
    Collection,
    Every,
    Job,
    Move,
    Trial,
    TrialHen,
)
from studbook.book.ids import ApartId, CollectionId, JobId, MoveId, TrialHenId, TrialId
from studbook.book.opening import open_book
from studbook.book.records import Sex, Snapshot
from studbook.desk.app import build_window, settle
from studbook.desk.window import Window
from studbook.season.practice import ApartReason
from tests.bench.season import TODAY, build

BEGUN_TRIALS = TODAY - timedelta(60)


@dataclass
class Busy:
    """What the window's thread did since `begin`: all of it, and its longest stretch, in milliseconds."""

    stretches: list[float] = field(default_factory=list)
    _since: float = 0.0

    def watch(self) -> None:
        """Listen to the event loop, which looks for keys and clicks at every turn."""
        dispatcher = QAbstractEventDispatcher.instance()
        assert dispatcher is not None
        dispatcher.aboutToBlock.connect(self._pause)
        dispatcher.awake.connect(self._pause)

    def begin(self) -> None:
        """Forget what was."""
        self.stretches.clear()
        self._since = time.thread_time()

    def _pause(self) -> None:
        now = time.thread_time()
        self.stretches.append((now - self._since) * 1000)
        self._since = now

    def measure(self, window: Window, work: Callable[[], object]) -> tuple[float, float]:
        """The whole and the longest stretch of what `work` sets off."""
        self.begin()
        start = time.thread_time()
        work()
        settle(window)
        settle(window)
        whole = (time.thread_time() - start) * 1000
        self._pause()
        return whole, max(self.stretches)


def add_rest(book: Book) -> None:
    """What the season's book has not: trials, birds apart, planned moves and jobs."""
    snapshot = book.snapshot()
    year = snapshot.husbandry
    cocks = [bird.id for bird in snapshot.birds if bird.sex is Sex.COCK]
    hens = [bird.id for bird in snapshot.birds if bird.sex is Sex.HEN]
    begun = BEGUN_TRIALS
    trials = [
        Trial(TrialId(book.new_id()), cocks[place], begun, begun + timedelta(7), begun + timedelta(40))
        for place in range(12)
    ]
    book.apply(Enter(tuple(trials)))
    book.apply(
        Enter(
            tuple(
                TrialHen(TrialHenId(""), trial.id, hen)
                for place, trial in enumerate(trials)
                for hen in hens[place::40][:4]
            )
        )
    )
    reasons = list(ApartReason)
    book.apply(
        Enter(
            tuple(
                Apart(
                    ApartId(""), hens[150 + 7 * place], reasons[place % len(reasons)],
                    TODAY - timedelta(4 + place), "Hospital pen", TODAY + timedelta(place - 3),
                )
                for place in range(8)
            )
        )
    )  # fmt: skip
    pens = list(year.pens)
    book.apply(
        Enter(
            tuple(
                Move(MoveId(""), hen, pens[place % len(pens)], TODAY + timedelta(place % 9))
                for place, hen in enumerate(hens[200:220])
            )
        )
    )
    book.apply(
        Enter(
            tuple(
                Job(JobId(""), f"Look after drinker {place}", TODAY + timedelta(place), Every.WEEKS)
                for place in range(10)
            )
        )
    )


def noted_stay(snapshot: Snapshot) -> Change:
    """A note on a stay that lasts: every figure of the pens is asked for anew."""
    stay = next(stay for stay in snapshot.husbandry.stays.values() if stay.until is None)
    return Correct((stay,), (replace(stay, note="moved by lamp"),))


def moved_hen(snapshot: Snapshot) -> Change:
    """A hen goes to another pen."""
    year = snapshot.husbandry
    hen = next(bird for bird in reversed(snapshot.birds) if bird.sex is Sex.HEN)
    here = year.stays_of[hen.id][-1].pen
    return MoveBirds((hen.id,), next(pen for pen in year.pens if pen != here), TODAY)


def candled(snapshot: Snapshot) -> Change:
    """One more egg of the sitting that is open is clear."""
    seen = next(iter(snapshot.husbandry.candlings.values()))
    return Correct((seen,), (replace(seen, alive=(seen.alive or 1) - 1, clear=(seen.clear or 0) + 1),))


def gathered(_snapshot: Snapshot) -> Change:
    """Eggs of today."""
    pen = next(iter(_snapshot.husbandry.pens))
    return Enter((Collection(CollectionId(""), TODAY, 4, pen=pen),))


def noted_apart(snapshot: Snapshot) -> Change:
    """A note on a bird apart."""
    apart = next(iter(snapshot.husbandry.aparts.values()))
    return Correct((apart,), (replace(apart, note="eats again"),))


def noted_trial(snapshot: Snapshot) -> Change:
    """A note on a trial."""
    trial = next(iter(snapshot.husbandry.trials.values()))
    return Correct((trial,), (replace(trial, note="quiet cock"),))


@dataclass(frozen=True)
class PageAt:
    """A page: the room and its tab, and a change it shows."""

    name: str
    room: str
    tab: int | None
    change: Callable[[Snapshot], Change]


PAGES = (
    PageAt("Yard", "yard", None, noted_apart),
    PageAt("Pens, board", "pens", 0, moved_hen),
    PageAt("Pens, planned moves", "pens", 1, moved_hen),
    PageAt("Pens, whose egg", "pens", 2, moved_hen),
    PageAt("Pens, houses and pens", "pens", 3, moved_hen),
    PageAt("Eggs, collections", "eggs", 0, gathered),
    PageAt("Eggs, sittings", "eggs", 1, candled),
    PageAt("Eggs, outcome", "eggs", 2, candled),
    PageAt("Care, apart", "care", 0, noted_apart),
    PageAt("Care, trials", "care", 1, noted_trial),
    PageAt("Birds, the page of a cock", "birds", None, noted_stay),
)


def turn_to(window: Window, page: PageAt) -> None:
    """Go to a page."""
    room = window.go(page.room)
    if page.tab is not None:
        tabs = room.findChild(QTabWidget)
        assert tabs is not None
        tabs.setCurrentIndex(page.tab)
    elif page.room == "birds" and window.context.record.snapshot is not None:
        cock = next(bird for bird in window.context.record.snapshot.birds if bird.sex is Sex.COCK)
        room.show_bird(cock.id)


def measure(path: Path, repeats: int) -> None:
    """Print a line for each page."""
    window = build_window(path, TODAY)
    window.resize(1280, 800)
    busy = Busy()
    busy.watch()
    print("| page | first, whole | back, whole | back, longest | change, whole | change, longest |")
    print("|---|---|---|---|---|---|")
    for page in PAGES:
        away = "book" if page.room != "book" else "yard"
        first = busy.measure(window, lambda page=page: turn_to(window, page))
        back, changed = [], []
        for _turn in range(repeats):
            if page.tab is None:
                window.go(away)
            else:
                other = next(each for each in PAGES if each.room == page.room and each.tab != page.tab)
                turn_to(window, other)
            settle(window)
            back.append(busy.measure(window, lambda page=page: turn_to(window, page)))
        record = window.context.record
        for _turn in range(repeats):
            snapshot = record.snapshot
            assert snapshot is not None
            change = page.change(snapshot)
            changed.append(busy.measure(window, partial(record.apply, change)))
            changed.append(busy.measure(window, record.undo))
        said = " | ".join(_said(times, place) for times in (back, changed) for place in (0, 1))
        print(f"| {page.name} | {first[0]:.0f} | {said} |")
    window.close()


def _said(times: list[tuple[float, float]], place: int) -> str:
    """The least and the middle of some."""
    found = [each[place] for each in times]
    return f"{min(found):.0f} / {median(found):.0f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--book", type=Path, help="keep the book here, or use the one that is there")
    parser.add_argument("--repeats", type=int, default=5)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        for name in ("DATA", "CONFIG", "CACHE"):
            os.environ[f"XDG_{name}_HOME"] = home
        path = options.book or Path(home) / "season.studbook"
        if not path.exists():
            build(path)
            with open_book(path, today=TODAY) as book:
                add_rest(book)
        measure(path, options.repeats)


if __name__ == "__main__":
    main()
