"""A note on a plan: what one would do differently, for the years after."""

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Correct
from studbook.book.husbandry.choosing_rows import Plan
from studbook.desk.context import Context
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.words import _


class NoteDialog(FormDialog):
    """The note of one plan."""

    def __init__(self, context: Context, plan: Plan, parent: QWidget) -> None:
        super().__init__(context, _("What you would do differently"), _("Save"), parent)
        self.setObjectName("plan_note_dialog")
        self.note = self.form.add_text("note", _("Note on the plan"), plan.note)
        self.set_change(lambda: Correct((plan,), (replace(plan, note=self.note.toPlainText().strip()),)))
        self.note.setFocus()
