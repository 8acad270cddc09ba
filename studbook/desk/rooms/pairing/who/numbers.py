"""The figures behind the page, made on the worker threads and handed over as frozen rows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from typing import TYPE_CHECKING

from studbook.desk.work import Progress

if TYPE_CHECKING:
    from datetime import date

    from studbook.book.records import BirdId
    from studbook.desk.rooms.pairing.page import Choosing
    from studbook.planning.breeders.best import Best
    from studbook.planning.breeders.lines import Lines
    from studbook.planning.breeders.measuring import Known

_TOLD_AGAIN = 0.0005


@dataclass(frozen=True)
class Keeping:
    """How many birds to keep, whether those marked chosen must be among them, and whether birds apart may be."""

    cocks: int
    hens: int
    keeps_chosen: bool = False
    without_apart: bool = False


@dataclass(frozen=True)
class Refusal:
    """Why there is no such set: "cocks", "hens" or "both"."""

    which: str


class Numbers:
    """Works out everything of one page; what hangs on no decision of the keeper is kept from book to book.

    Nothing heavy is loaded before the first question.
    """

    def __init__(self) -> None:
        self._known: Known | None = None
        self._lock = Lock()

    def lines(self, choosing: Choosing, cautious: bool, today: date, progress: Progress) -> Lines:
        """A line for each bird that may breed."""
        from studbook.book.relatedness import Unknown
        from studbook.planning.breeders.measuring import breeder_lines, known

        with self._lock:
            self._known = found = known(choosing.snapshot, self._known)
        return breeder_lines(
            choosing.snapshot,
            found,
            choosing.species,
            choosing.season,
            today,
            Unknown.FLOCK if cautious else Unknown.UNRELATED,
            progress.unless_stopped,
        )

    def best(
        self,
        choosing: Choosing,
        lines: Lines,
        keeping: Keeping,
        is_stopped: Callable[[], bool],
        progress: Progress,
    ) -> Best | Refusal:
        """The best set to keep; `progress` hears how much of the figure is proven, and may end the work."""
        from studbook.book.husbandry.choosing_rows import Verdict
        from studbook.book.relatedness import Unknown
        from studbook.planning.breeders.best import best_to_keep, wanted

        chosen: tuple[BirdId, ...] = tuple(line.bird.id for line in lines.marked(Verdict.CHOSEN))
        apart = frozenset(line.bird.id for line in lines.lines if line.apart is not None)
        asked = wanted(
            lines,
            keeping.cocks,
            keeping.hens,
            frozenset(chosen) if keeping.keeps_chosen else frozenset(),
            apart if keeping.without_apart else frozenset(),
        )
        last = -1.0

        def told(figure: float, bound: float) -> None:
            nonlocal last
            progress.unless_stopped()
            share = max(0.0, min(1.0, bound / figure)) if figure > 0 else 1.0
            if share - last >= _TOLD_AGAIN:
                last = share
                progress.report(share)

        try:
            return best_to_keep(
                choosing.kinship.asked(lines.unknown is Unknown.FLOCK),
                asked,
                chosen,
                is_stopped=lambda: is_stopped() or progress.cancelled,
                told=told,
            )
        except ValueError as refused:
            return Refusal(str(refused.args[-1]))
