"""What the pages of the room have in common: the flock one chooses from, and how its birds are related."""

from __future__ import annotations

from dataclasses import dataclass
from threading import Lock
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from studbook.book.records import BirdId, Snapshot
from studbook.desk.page import Page

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness


class Kinship:
    """How the birds of one snapshot are related, both ways; made when first asked for, then kept.

    Nothing heavy is loaded before; ask on a worker thread.
    """

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        self._lock = Lock()
        self._made: dict[bool, Relatedness] = {}

    def asked(self, cautious: bool) -> Relatedness:
        """Cautious, or by convention."""
        from studbook.book.relatedness import Relatedness, Unknown

        with self._lock:
            if cautious not in self._made:
                way = Unknown.FLOCK if cautious else Unknown.UNRELATED
                self._made[cautious] = Relatedness(self._snapshot, way)
            return self._made[cautious]


@dataclass(frozen=True)
class Choosing:
    """What a page chooses from: the book as it is, the species on view and the season that is planned."""

    snapshot: Snapshot
    kinship: Kinship
    species: str
    season: int


class ChoosingPage(Page):
    """One page of the room Pairing. Fill it in `show_choosing`; it is called while the page is on view.

    Signals
    -------
    page_asked
        Another page of the room is wanted (str, the name of its package: "who", "pairs", "pens" …).
    pair_asked
        A pair is to be opened on the page Whom with whom (its cock and its hen).
    """

    page_asked = Signal(str)
    pair_asked = Signal(object)

    def show_choosing(self, choosing: Choosing) -> None:
        """Show the flock one chooses from as it is now."""
        raise NotImplementedError

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Not used: the room gives more than the snapshot."""

    def show_bird(self, bird: BirdId) -> None:
        """Open at a bird, where the page can."""
