"""The one record thread: it alone holds the `Book`; the window gets frozen rows back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal

from studbook import places
from studbook.book.errors import BookUnusable, Problem, RecordProblems
from studbook.book.records import Bird, BirdId, BookDetails, Entry, Snapshot, StoredFigures
from studbook.desk.work import Progress, Workers

if TYPE_CHECKING:
    from studbook.book.changes import Change
    from studbook.book.door import Book

SAMPLE_NAME = "demo_flock.db"
"""What the sample book is called, and the user's copy of it."""

T = TypeVar("T")
Done = Callable[[Entry, Snapshot], None]
Refused = Callable[[tuple[Problem, ...]], None]


@dataclass(frozen=True)
class OpenBook:
    """What the window knows of the open book."""

    path: Path
    today: date
    read_only: bool
    snapshot: Snapshot


class Record(QObject):
    """The open book, seen from the window; every call returns at once and answers by signal or callback.

    The database library is imported on the record thread when the first book opens.

    Signals
    -------
    opened
        A book is open (Snapshot).
    changed
        A change, an undo or a redo is saved (Entry, Snapshot).
    failed
        The record refuses a change nobody caught with `refused` (tuple[Problem, ...]).
    unusable
        The book cannot be opened, read or written (str, one sentence).
    broke
        A bug (Exception).
    closed
        No book is open: what was asked for could not be opened.
    """

    opened = Signal(object)
    changed = Signal(object, object)
    failed = Signal(object)
    unusable = Signal(str)
    broke = Signal(object)
    closed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.crew = Workers(1, "record", self)
        self.crew.broke.connect(self.broke)
        self._book: Book | None = None
        self.open_book: OpenBook | None = None

    @property
    def snapshot(self) -> Snapshot | None:
        """The book as it was after the last change, or None when none is open."""
        return self.open_book.snapshot if self.open_book else None

    def open(self, path: Path, *, today: date | None = None) -> None:
        """Open the book at `path` in place of the one that is open; the sample book opens as a copy."""

        def job(_progress: Progress) -> OpenBook:
            from studbook.book import opening

            is_sample = opening.is_sample(path) or path.resolve() == _own_sample().resolve()
            chosen = opening.working_copy(path) if opening.is_sample(path) else path
            if self._book is not None and self._book.path.resolve() == chosen.resolve():
                return _described(self._book)
            day = today or (opening.SAMPLE_TODAY if is_sample else None)
            return self._take_over(opening.open_book(chosen, today=day))

        self.crew.run(job, self._opened, failed=self._refused_to_open)

    def create(self, path: Path, details: BookDetails) -> None:
        """Make an empty book at `path` and open it."""

        def job(_progress: Progress) -> OpenBook:
            from studbook.book import opening

            return self._take_over(opening.create_book(path, details))

        self.crew.run(job, self._opened, failed=self._refused_to_open)

    def apply(
        self, change: Change, why: str = "", *, done: Done | None = None, refused: Refused | None = None
    ) -> int:
        """Ask for a change. `done` or `changed` follows when it is saved, `refused` or `failed` when not."""
        return self._change(lambda book: book.apply(change, why), done, refused)

    def undo(self) -> int:
        """Take back the last change."""
        return self._change(lambda book: book.undo(), None, None)

    def redo(self) -> int:
        """Make the last undone change again."""
        return self._change(lambda book: book.redo(), None, None)

    def preview(self, change: Change, answer: Callable[[tuple[Problem, ...]], None], *, key: object) -> int:
        """What the record would say to `change`; the newest question of a `key` wins."""
        return self.ask(lambda book: book.preview(change), answer, key=key)

    def search(
        self,
        text: str,
        answer: Callable[[tuple[BirdId, ...]], None],
        *,
        limit: int = 50,
        key: object = "search",
    ) -> int:
        """The birds whose marks or name hold `text`; the newest question of a `key` wins."""
        return self.ask(lambda book: book.search(text, limit), answer, key=key)

    def find_birds(self, text: str, answer: Callable[[list[Bird]], None]) -> None:
        """The same for a find field: the birds themselves, best first."""

        def found(ids: tuple[BirdId, ...]) -> None:
            if (snapshot := self.snapshot) is not None:
                answer([snapshot.bird(bird) for bird in ids if snapshot.has(bird)])

        self.search(text, found, key="find")

    def keep_figures(self, figures: StoredFigures | None) -> None:
        """Have numbers found on a worker kept in the book; what no longer fits it is dropped."""
        if figures is not None:
            self.crew.run(lambda _progress: self._held().keep_figures(figures), failed=_not_kept)

    def ask(self, question: Callable[[Book], T], answer: Callable[[T], None], *, key: object = None) -> int:
        """Run `question` on the record thread and give its frozen answer to `answer`."""

        def job(_progress: Progress) -> T:
            return question(self._held())

        return self.crew.run(job, answer, failed=self._failed, key=key)

    def cancel(self, ticket: int) -> None:
        """Drop a question; a change that has begun is still saved."""
        self.crew.cancel(ticket)

    def shut(self) -> None:
        """Close the book and end the thread; every change that was asked for is saved first."""
        if self.crew.is_closed:
            return

        def job(_progress: Progress) -> None:
            if self._book is not None:
                self._book.close()
                self._book = None

        self.crew.run(job)
        self.crew.finish()
        self.open_book = None

    def _held(self) -> Book:
        if self._book is None:
            raise BookUnusable("no book is open")
        return self._book

    def _take_over(self, book: Book) -> OpenBook:
        """On the record thread: `book` replaces the one that was open, once it can be read."""
        described = _described(book)
        if self._book is not None:
            self._book.close()
        self._book = book
        return described

    def _opened(self, book: OpenBook) -> None:
        self.open_book = book
        self.opened.emit(book.snapshot)

    def _change(self, step: Callable[[Book], Entry], done: Done | None, refused: Refused | None) -> int:
        def job(_progress: Progress) -> tuple[Entry, Snapshot]:
            book = self._held()
            return step(book), _indexed(book.snapshot())

        def saved(answer: tuple[Entry, Snapshot]) -> None:
            entry, snapshot = answer
            if self.open_book is not None:
                self.open_book = replace(self.open_book, snapshot=snapshot)
            self.changed.emit(entry, snapshot)
            if done is not None:
                done(entry, snapshot)

        def failed(error: Exception) -> None:
            if isinstance(error, RecordProblems) and refused is not None:
                refused(error.problems)
            else:
                self._failed(error)

        return self.crew.run(job, saved, failed=failed)

    def _refused_to_open(self, error: Exception) -> None:
        self._failed(error)
        if self.open_book is None:
            self.closed.emit()

    def _failed(self, error: Exception) -> None:
        if isinstance(error, RecordProblems):
            self.failed.emit(error.problems)
        elif isinstance(error, BookUnusable):
            self.unusable.emit(str(error))
        else:
            self.broke.emit(error)


def _not_kept(_error: Exception) -> None:
    """A cache that cannot be written is no failure: the numbers are found again next time."""


def _described(book: Book) -> OpenBook:
    return OpenBook(book.path, book.today, book.read_only, _indexed(book.snapshot()))


def _indexed(snapshot: Snapshot) -> Snapshot:
    """The snapshot with the indexes of its birds made here, where nobody waits for a click."""
    for index in ("rows", "living", "offspring"):
        getattr(snapshot, index)
    return snapshot


def _own_sample() -> Path:
    """Where the user's copy of the sample book lies."""
    return places.data_folder() / SAMPLE_NAME
