"""Several changes that are one intention."""

from dataclasses import dataclass

from studbook.book.changes.change import Change
from studbook.book.records import Snapshot
from studbook.book.writing import Writing


@dataclass(frozen=True, slots=True)
class Together:
    """Changes saved in one go and taken back by one undo, such as a new yard and the bird from it."""

    changes: tuple[Change, ...]
    title: str

    def label(self, before: Snapshot) -> str:
        return self.title

    def write(self, writing: Writing) -> None:
        for change in self.changes:
            change.write(writing)
