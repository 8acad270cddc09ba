"""The days of the story in order: what is still to come, and the clock a book reads meanwhile."""

import heapq
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from itertools import count

Deed = Callable[[], None]

_EVENING = time(18, 0, tzinfo=UTC)


class Diary:
    """Plays deeds day by day; a deed may plan others for later days.

    The keeper writes his book in the evening, a minute for each line.
    """

    def __init__(self, begun: date) -> None:
        self._day = begun
        self._minutes = 0
        self._number = count()
        self._to_come: list[tuple[date, int, Deed]] = []

    @property
    def today(self) -> date:
        """The day that is being played."""
        return self._day

    def now(self) -> datetime:
        """The time the book is given."""
        return datetime.combine(self._day, _EVENING) + timedelta(minutes=self._minutes)

    def plan(self, on: date, deed: Deed) -> None:
        """Have `deed` done on that day, after what was planned for it before."""
        heapq.heappush(self._to_come, (max(on, self._day), next(self._number), deed))

    def play(self) -> None:
        """Do everything planned, until nothing is left."""
        while self._to_come:
            day, _number, deed = heapq.heappop(self._to_come)
            self._minutes = self._minutes + 1 if day == self._day else 0
            self._day = day
            deed()
