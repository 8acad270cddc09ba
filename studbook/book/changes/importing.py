"""The change an accepted list makes: all of its birds, or none."""

from dataclasses import dataclass

from studbook.book import models
from studbook.book.changes.birds import add_birds, add_mark, edit_bird, replace_pairs
from studbook.book.changes.details import AddOrigin
from studbook.book.importing.plan import ImportPlan
from studbook.book.records import Bird, Origin, Snapshot
from studbook.book.writing import Writing
from studbook.words import _, plural


@dataclass(frozen=True, slots=True)
class ImportBirds:
    """Add and update the birds of a list, with the origins it brings."""

    added: tuple[Bird, ...]
    updated: tuple[tuple[Bird, Bird], ...] = ()
    origins_added: tuple[Origin, ...] = ()

    @classmethod
    def of(cls, plan: ImportPlan) -> "ImportBirds":
        """The change `plan` describes."""
        return cls(plan.added, plan.updated, plan.origins_added)

    def label(self, before: Snapshot) -> str:
        if not self.added:
            count = len(self.updated)
            return plural(
                "update {count} bird from a list", "update {count} birds from a list", count
            ).format(count=count)
        count = len(self.added)
        text = plural("import {count} bird", "import {count} birds", count).format(count=count)
        if not self.updated:
            return text
        return _("{text} and update {updated}").format(text=text, updated=len(self.updated))

    def write(self, writing: Writing) -> None:
        for origin in self.origins_added:
            AddOrigin(origin).write(writing)
        add_birds(writing, self.added)
        for before, after in self.updated:
            edit_bird(writing, before, after)
            _write_marks(writing, before, after)
            if after.pairs != before.pairs:
                replace_pairs(writing, writing.key(models.BirdRow, after.id), after.pairs)


def _write_marks(writing: Writing, before: Bird, after: Bird) -> None:
    """Correct the marks the bird had and add those it did not have."""
    known = {mark.id: mark for mark in before.marks}
    for mark in after.marks:
        if mark.id not in known:
            add_mark(writing, writing.key(models.BirdRow, after.id), mark)
        elif mark.code != known[mark.id].code:
            writing.row(models.MarkRow, mark.id).code = mark.code
