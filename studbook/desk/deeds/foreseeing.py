"""A form that lists the chicks whose parents would change before it saves anything."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from studbook.book.errors import Problem, RecordProblems
from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.planning.pens.moved import moved_words
from studbook.planning.sentences import Sentence
from studbook.words import _

if TYPE_CHECKING:
    from studbook.book.changes import Change
    from studbook.book.door import Book


@dataclass(frozen=True)
class Foreseen:
    """What a change would do to the parents of birds, or why it is refused."""

    after: Snapshot | None
    moved: tuple[Sentence, ...] = ()
    problems: tuple[Problem, ...] = ()


def foresee(book: Book, change: Change) -> Foreseen:
    """Ask the book; to be run on the record thread."""
    before = book.snapshot()
    try:
        after = book.foresee(change)
    except RecordProblems as refused:
        return Foreseen(None, problems=refused.problems)
    return Foreseen(after, moved_words(before, after))


class ForeseeingDialog(FormDialog):
    """Saves at once what moves no parents; else it shows the birds first and saves when asked again."""

    def __init__(self, context: Context, title: str, verb: str, parent: QWidget, *, columns: int = 1) -> None:
        super().__init__(context, title, verb, parent, columns=columns)
        self._agreed: Change | None = None
        self._asking = False
        self.moved = Prose("moved_parents", _("The birds whose parents would change"))
        self.moved.hide()
        self._column.insertWidget(self._column.count() - 1, self.moved)

    def save(self) -> None:
        if self._saving or self._asking:
            return
        if not self.new_id:
            super().save()
            return
        self.form.show_problems(())
        change = self._change()
        if change is None:
            return
        if change == self._agreed:
            super().save()
            return
        self._asking = True
        self.context.record.ask(lambda book: foresee(book, change), lambda found: self._show(change, found))

    def _show(self, change: Change, found: Foreseen) -> None:
        self._asking = False
        if found.problems:
            self.show_refusal(found.problems)
            return
        self._agreed = change
        if not found.moved or found.after is None:
            self.save()
            return
        head, *lines = found.moved
        paragraphs = [Paragraph((head,), Style.LEAD), *(Paragraph((line,), Style.ITEM) for line in lines)]
        self.moved.show_paragraphs(paragraphs, found.after)
        self.moved.show()
        self.verb.setText(_("Save, and change these parents"))
