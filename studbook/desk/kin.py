"""How the birds of one snapshot are related, worked out on a worker where it is first asked for."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from studbook.book.records import Snapshot, StoredFigures

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness


class Kin:
    """The relatedness of a snapshot by convention and cautious; only jobs of a worker look into it.

    The numbers' library is imported with the first look.
    """

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot
        self._is_handed_out = False

    @cached_property
    def convention(self) -> Relatedness:
        """Unknown parents are taken as unrelated."""
        from studbook.book.relatedness import Relatedness

        return Relatedness(self.snapshot)

    @cached_property
    def cautious(self) -> Relatedness:
        """An unknown parent of a home-hatched bird is one of those that could have been it."""
        from studbook.book.relatedness import Relatedness, Unknown

        return Relatedness(self.snapshot, Unknown.FLOCK)

    def cautious_to_store(self) -> StoredFigures | None:
        """The cautious figures for the book to keep, the first time they are asked for."""
        if self._is_handed_out:
            return None
        self._is_handed_out = True
        return self.cautious.figures_to_store()
