"""The change an accepted list makes: all of its birds, or none."""

from dataclasses import dataclass

from studbook.book import models
from studbook.book.changes.birds import add_birds, add_mark, edit_bird, replace_pairs
from studbook.book.changes.details import AddOrigin
from studbook.book.errors import Problem, RecordProblems
from studbook.book.importing.plan import ImportPlan
from studbook.book.records import Bird, Origin, Snapshot
from studbook.book.writing import Writing
from studbook.words import plural


@dataclass(frozen=True, slots=True)
class ImportBirds:
    """Add and update the birds of a list, with the origins it brings; `source` is what the list is called."""

    added: tuple[Bird, ...]
    updated: tuple[tuple[Bird, Bird], ...] = ()
    origins_added: tuple[Origin, ...] = ()
    source: str = ""

    @classmethod
    def of(cls, plan: ImportPlan, source: str = "") -> "ImportBirds":
        """The change `plan` describes.

        Raises
        ------
        RecordProblems
            If the plan has errors: a list is imported whole or not at all.
        """
        if not plan.is_accepted:
            raise RecordProblems(
                tuple(Problem("list", error.message, field=error.column) for error in plan.errors)
            )
        return cls(plan.added, plan.updated, plan.origins_added, source)

    def label(self, before: Snapshot) -> str:
        count = len(self.added) + len(self.updated)
        if self.source:
            text = plural("import {count} bird from {list}", "import {count} birds from {list}", count)
            return text.format(count=count, list=self.source)
        return plural("import {count} bird", "import {count} birds", count).format(count=count)

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
