"""Before a change that reaches back is saved, the chicks whose parents it would change are listed."""

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
            self.send(change)
            return
        self._asking = True
        self.context.record.ask(
            lambda book: foresee(book, change), lambda found: self.show_foreseen(change, found)
        )

    def show_foreseen(self, change: Change, found: Foreseen) -> None:
        """Save the change at once, or list what it does to parents and wait until it is asked for again."""
        self._asking = False
        if found.problems:
            self.show_refusal(found.problems)
            return
        self._agreed = change
        if not found.moved or found.after is None:
            self.send(change)
            return
        head, *lines = found.moved
        paragraphs = [Paragraph((head,), Style.LEAD), *(Paragraph((line,), Style.ITEM) for line in lines)]
        self.moved.show_paragraphs(paragraphs, found.after)
        self.moved.show()
        self.verb.setText(_("Save, and change these parents"))


class ForeseenDialog(ForeseeingDialog):
    """The chicks whose parents a change made without a form would give others; it is made only when asked for."""

    def __init__(
        self, context: Context, title: str, change: Change, found: Foreseen, parent: QWidget
    ) -> None:
        super().__init__(context, title, _("Save"), parent)
        self.setObjectName("foreseen_dialog")
        self.set_change(lambda: change)
        self.show_foreseen(change, found)


def apply_foreseen(context: Context, change: Change, parent: QWidget) -> None:
    """Save at once a change that moves no parents; else list the birds it moves first, to save or to cancel.

    For what is done without a form: a bird that is dragged, a note that is ticked, a plan that is carried out.
    """

    def show(answer: tuple[Foreseen, str]) -> None:
        found, title = answer
        if found.problems or not found.moved or found.after is None:
            context.record.apply(change)
        else:
            ForeseenDialog(context, title, change, found, parent.window()).ask()

    def look(book: Book) -> tuple[Foreseen, str]:
        title = change.label(book.snapshot())
        return foresee(book, change), title[:1].upper() + title[1:]

    context.record.ask(look, show)
