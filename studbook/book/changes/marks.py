"""Changes of marks: ringing, re-ringing, correcting."""

from dataclasses import dataclass

from studbook.book import models
from studbook.book.changes.birds import MARK_FIELDS, add_mark
from studbook.book.changes.change import called
from studbook.book.records import BirdId, Mark, MarkId, Snapshot
from studbook.book.writing import Writing, write_differences
from studbook.words import _


@dataclass(frozen=True, slots=True)
class AddMarks:
    """Put a mark on each of several birds."""

    marks: tuple[tuple[BirdId, Mark], ...]

    def label(self, before: Snapshot) -> str:
        return _("mark {birds}").format(birds=called(before, *(bird for bird, _mark in self.marks)))

    def write(self, writing: Writing) -> None:
        for bird, mark in self.marks:
            add_mark(writing, writing.key(models.BirdRow, bird), mark)


@dataclass(frozen=True, slots=True)
class EditMark:
    """Change what differs between `before` and `after`; a date in `until` takes the mark off."""

    before: Mark
    after: Mark

    def label(self, before: Snapshot) -> str:
        if self.before.is_worn and not self.after.is_worn:
            return _("take off mark {mark}").format(mark=self.before.code)
        return _("edit mark {mark}").format(mark=self.before.code)

    def write(self, writing: Writing) -> None:
        row = writing.row(models.MarkRow, self.before.id)
        write_differences(row, self.before, self.after, MARK_FIELDS)


@dataclass(frozen=True, slots=True)
class RemoveMark:
    """Remove a mark that was entered by mistake; a mark taken off is edited instead."""

    mark: MarkId

    def label(self, before: Snapshot) -> str:
        found = next((mark for bird in before.birds for mark in bird.marks if mark.id == self.mark), None)
        return _("remove mark {mark}").format(mark=found.code if found else "")

    def write(self, writing: Writing) -> None:
        writing.session.delete(writing.row(models.MarkRow, self.mark))
