"""The one door for work off the GUI thread: plain functions in, results back by ticket.

Only an `int` ticket crosses from the worker thread to the GUI thread; the result waits in the future.
"""

import sys
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from itertools import count
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Qt, Signal

from studbook.desk import collector

T = TypeVar("T")

_GIVE_WAY_S = 0.001
"""A job of plain Python gives way to the window after so long; with Python's 0.005 a click, which takes
its turn many times, waited twice as long (109 against 62 ms, a book of 100,000 birds in work)."""


_LEAST_STEP = 0.01
"""What is done is told again after so much more of it: a step that can be seen."""


class Stopped(Exception):  # noqa: N818 - nothing went wrong
    """Ends a job from within, when nobody waits for its answer any more."""


@dataclass
class Progress:
    """Handed to a job: it reports its `share` done (0 to 1) and asks whether to go on."""

    ticket: int
    _told: Callable[[int], None]
    share: float = 0.0
    cancelled: bool = False

    def report(self, share: float) -> None:
        """Say how much is done."""
        self.share = share
        self._told(self.ticket)

    def go_on(self, share: float) -> None:
        """Hear from the numbers how much is done, and tell of it in steps that can be seen.

        Raises
        ------
        Stopped
            If nobody waits for the answer any more.
        """
        self.unless_stopped()
        if share - self.share >= _LEAST_STEP or share >= 1:
            self.report(share)

    def unless_stopped(self, _share: float = 0.0) -> None:
        """End the job when nobody waits for its answer any more, and tell nothing.

        Raises
        ------
        Stopped
            Then.
        """
        if self.cancelled:
            raise Stopped


Job = Callable[[Progress], T]
"""A plain function of what it closes over (snapshots, arrays); no widget and no session."""


@dataclass
class _Task:
    future: "Future[Any]"
    progress: Progress
    done: Callable[[Any], None] | None
    failed: Callable[[Exception], None] | None
    progressed: Callable[[float], None] | None
    key: object = field(default=None)


class Workers(QObject):
    """A few threads and the queued way back to the GUI thread.

    Signals
    -------
    broke
        An exception nobody asked for: a bug, told once by whoever listens (object: Exception).
    busy_changed
        Whether any job runs or waits (bool as int).
    """

    broke = Signal(object)
    busy_changed = Signal(int)
    _arrived = Signal(int)
    _moved = Signal(int)

    def __init__(self, threads: int, name: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        sys.setswitchinterval(_GIVE_WAY_S)
        self._pool = ThreadPoolExecutor(threads, thread_name_prefix=name)
        self._tickets = count(1)
        self._tasks: dict[int, _Task] = {}
        self._newest: dict[object, int] = {}
        self.is_closed = False
        self._arrived.connect(self._take, Qt.ConnectionType.QueuedConnection)
        self._moved.connect(self._progress, Qt.ConnectionType.QueuedConnection)

    @property
    def is_busy(self) -> bool:
        """True while a job runs or waits."""
        return bool(self._tasks)

    def run(
        self,
        job: Job[T],
        done: Callable[[T], None] | None = None,
        *,
        failed: Callable[[Exception], None] | None = None,
        progressed: Callable[[float], None] | None = None,
        key: object = None,
    ) -> int:
        """Start `job` and give its ticket; `done` gets the result on the GUI thread.

        With a `key` the newest job wins: an older one of the same key is cancelled and its answer
        dropped. Without `failed`, an exception goes to `broke`.
        """
        if key is not None and key in self._newest:
            self.cancel(self._newest[key])
        ticket = next(self._tickets)
        progress = Progress(ticket, self._moved.emit)
        collector.hold_back()
        future = self._pool.submit(job, progress)
        self._tasks[ticket] = _Task(future, progress, done, failed, progressed, key)
        if key is not None:
            self._newest[key] = ticket
        future.add_done_callback(lambda _done, ticket=ticket: self._announce(ticket))  # type: ignore[misc]
        if len(self._tasks) == 1:
            self.busy_changed.emit(1)
        return ticket

    def cancel(self, ticket: int) -> None:
        """Drop a job: it is told to stop and its answer never arrives."""
        task = self._tasks.get(ticket)
        if task is None:
            return
        task.progress.cancelled = True
        task.done = task.failed = task.progressed = None
        task.future.cancel()

    def close(self) -> None:
        """Cancel everything and wait for the threads to end."""
        self.is_closed = True
        for ticket in tuple(self._tasks):
            self.cancel(ticket)
        self._pool.shutdown(wait=True, cancel_futures=True)
        self._forget()

    def finish(self) -> None:
        """Let every job that was asked for end, then close; what was confirmed is kept."""
        self.is_closed = True
        self._pool.shutdown(wait=True)
        self._forget()

    def _forget(self) -> None:
        """Nobody waits for the tasks there are."""
        for _ticket in self._tasks:
            collector.let_go()
        self._tasks.clear()

    def _announce(self, ticket: int) -> None:
        """Called on the worker thread."""
        if not self.is_closed:
            self._arrived.emit(ticket)

    def _progress(self, ticket: int) -> None:
        task = self._tasks.get(ticket)
        if task is not None and task.progressed is not None:
            task.progressed(task.progress.share)

    def _take(self, ticket: int) -> None:
        task = self._tasks.pop(ticket, None)
        if task is None:
            return
        collector.let_go()
        if task.key is not None and self._newest.get(task.key) == ticket:
            del self._newest[task.key]
        if not task.progress.cancelled:
            self._answer(task)
        if not self._tasks:
            self.busy_changed.emit(0)

    def _answer(self, task: _Task) -> None:
        error = task.future.exception()
        if error is None:
            if task.done is not None:
                task.done(task.future.result())
        elif task.failed is not None and isinstance(error, Exception):
            task.failed(error)
        else:
            self.broke.emit(error)
