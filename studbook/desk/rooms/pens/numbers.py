"""The board and its warnings, made on the worker threads: first without figures, then with F of the chicks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from studbook.book.ids import PenId
from studbook.book.records import Snapshot, StoredFigures
from studbook.desk.wording import day_text
from studbook.planning.pens.board import Board, Pairs, board
from studbook.planning.pens.warnings import PenWarning, warnings

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness


@dataclass(frozen=True)
class Answer:
    """A board, the warnings of each pen, and what the book should keep of the figures."""

    board: Board
    warnings: dict[PenId, tuple[PenWarning, ...]]
    to_store: StoredFigures | None = None


class Numbers:
    """The boards of one snapshot; nothing heavy is loaded before figures are asked for."""

    def __init__(self, snapshot: Snapshot, today: date) -> None:
        self._snapshot = snapshot
        self._today = today
        self._is_handed_out = False

    @cached_property
    def _cautious(self) -> Relatedness:
        from studbook.book.relatedness import Relatedness, Unknown

        return Relatedness(self._snapshot, Unknown.FLOCK)

    def plain(self, day: date, known: Pairs) -> Answer:
        """Who is where, with the F that was known before."""
        found = board(self._snapshot, day, self._today).with_pairs(known)
        return Answer(found, warnings(self._snapshot, found, day_text))

    def full(self, day: date) -> Answer:
        """The same with the cautious F of the chicks of every pair that shares a pen."""
        found = board(self._snapshot, day, self._today, self._cautious)
        return Answer(found, warnings(self._snapshot, found, day_text), self._to_store())

    def _to_store(self) -> StoredFigures | None:
        if self._is_handed_out:
            return None
        self._is_handed_out = True
        return self._cautious.figures_to_store()
