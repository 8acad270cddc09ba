"""The shape every change has."""

from typing import Protocol

from studbook.book.records import BirdId, Snapshot
from studbook.book.writing import Writing
from studbook.words import _, plural


class Change(Protocol):
    """An intention of the keeper: it says what it is called and writes itself."""

    def label(self, before: Snapshot) -> str:
        """What the journal and "Undo" call it, in the imperative: "register 8 chicks"."""

    def write(self, writing: Writing) -> None:
        """Change the rows; the door checks the rules and keeps or drops the whole."""


def called(before: Snapshot, *ids: BirdId) -> str:
    """What a label calls these birds: the one by its mark, several by their number."""
    if len(ids) == 1:
        known = next((bird for bird in (*before.birds, *before.struck) if bird.id == ids[0]), None)
        return known.called if known else _("a bird")
    return plural("{count} bird", "{count} birds", len(ids)).format(count=len(ids))
