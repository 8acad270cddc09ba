"""The clock of a search, and whoever watches it: progress, cancelling, and stopping with the best so far."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from highspy import Highs

Progress = Callable[[float], None]
"""Hears the share done, 0 to 1; an exception it raises ends the work."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How far the search is: the objective of the best pens so far (None before there are any) and its bound."""

    seconds: float
    objective: float | None
    bound: float


class Watch:
    """The clock of a search, and whoever listens to it."""

    def __init__(
        self,
        seconds: float,
        progress: Progress | None = None,
        enough: Callable[[], bool] | None = None,
        told: Callable[[Standing], None] | None = None,
    ) -> None:
        self.seconds = seconds
        self._begun = time.monotonic()
        self._progress = progress
        self._enough = enough
        self._told = told
        self._last = -1.0
        self.error: BaseException | None = None
        self.is_enough = False

    @property
    def passed(self) -> float:
        """Seconds since the search began."""
        return time.monotonic() - self._begun

    def look(self) -> bool:
        """True when the search must end; an exception of whoever listens is kept, not raised."""
        passed = self.passed
        if passed - self._last > 0.02:
            self._last = passed
            try:
                if self._progress is not None:
                    self._progress(min(0.99, passed / self.seconds) if self.seconds > 0 else 0.0)
                if self._enough is not None and self._enough():
                    self.is_enough = True
            except BaseException as error:
                # it must not travel through the solver: `check` raises it
                self.error = error
        return self.error is not None or self.is_enough or passed > self.seconds

    def check(self) -> bool:
        """As `look`, but an exception is raised here, outside the solver."""
        over = self.look()
        if self.error is not None:
            raise self.error
        return over

    def part(self, parts: int) -> "Watch":
        """The clock of the first of so many searches that share the time that is left; it ends when this one does."""
        return Watch(max(0.0, self.seconds - self.passed) / parts, enough=self.check)

    def tell(self, objective: float | None, bound: float) -> None:
        """Tell the standing to whoever listens."""
        if self._told is not None and self.error is None:
            try:
                self._told(Standing(self.passed, objective, bound))
            except BaseException as error:
                self.error = error


def listen(solver: "Highs", watch: Watch) -> None:
    """Let a watch interrupt a solver."""

    def asked(event: Any) -> None:
        if watch.look():
            event.interrupt()

    for signal in (solver.cbMipInterrupt, solver.cbSimplexInterrupt, solver.cbIpmInterrupt):
        signal.callbacks.clear()
        signal.user_callback_data.clear()
        signal.subscribe(asked)
