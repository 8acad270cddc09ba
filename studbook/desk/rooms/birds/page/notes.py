"""The notes on a bird: dated remarks, added, corrected, removed."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QPlainTextEdit, QWidget

from studbook.book.changes import AddNote, Change, EditNote, RemoveNote
from studbook.book.errors import Problem
from studbook.book.records import Bird, Note, Snapshot
from studbook.dates import PartialDate
from studbook.desk.context import Context
from studbook.desk.theme import Role, space
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.text import label, link
from studbook.desk.wording import MISSING, bird_text, date_text
from studbook.words import _


class NotesView(QWidget):
    """A line for each note, the newest first."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(space(1.5))
        self._grid.setVerticalSpacing(space(0.5))
        self._grid.setColumnStretch(1, 1)
        self._bird: Bird | None = None

    def show_bird(self, bird: Bird, snapshot: Snapshot, *, can_edit: bool) -> None:
        """Show the notes on a bird."""
        self._bird = bird
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        notes = [note for note in snapshot.notes if note.bird == bird.id]
        notes.sort(key=lambda note: note.on.earliest, reverse=True)
        for row, note in enumerate(notes):
            top = Qt.AlignmentFlag.AlignTop
            day = label(date_text(note.on) or MISSING, Role.FAINT)
            words = label(note.text, wraps=True)
            for each in (day, words):
                each.setContentsMargins(0, space(0.4), 0, 0)
            self._grid.addWidget(day, row, 0, top)
            words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            self._grid.addWidget(words, row, 1, top)
            if not can_edit:
                continue
            edit = link(_("edit"), lambda note=note: self.edit(note))  # type: ignore[misc]
            edit.setAccessibleName(_("Edit the note of {date}").format(date=date_text(note.on)))
            edit.setObjectName(f"edit_note_{row}")
            remove = link(_("remove"), lambda note=note: self._remove(note))  # type: ignore[misc]
            remove.setAccessibleName(_("Remove the note of {date}").format(date=date_text(note.on)))
            remove.setObjectName(f"remove_note_{row}")
            self._grid.addWidget(edit, row, 2, top)
            self._grid.addWidget(remove, row, 3, top)
        if not notes:
            self._grid.addWidget(label(_("Nothing noted yet."), Role.FAINT), 0, 0, 1, 2)

    def add(self) -> None:
        """Ask for a new note."""
        if self._bird is not None:
            NoteDialog(self.context, self._bird, None, self.window()).ask()

    def edit(self, note: Note) -> None:
        """Correct a note."""
        if self._bird is not None:
            NoteDialog(self.context, self._bird, note, self.window()).ask()

    def _remove(self, note: Note) -> None:
        self.context.record.apply(RemoveNote(note.id))


class NoteDialog(FormDialog):
    """A day and what is to be remembered."""

    def __init__(self, context: Context, bird: Bird, note: Note | None, parent: QWidget) -> None:
        title = _("Note on {bird}").format(bird=bird_text(bird))
        super().__init__(context, title, _("Save the note"), parent)
        self.setObjectName("note_dialog")
        self._bird, self._note = bird, note
        self.on = DateField(context.today)
        self.form.add("on", _("Day"), self.on)
        self.on.set_value(note.on if note is not None else PartialDate.of(context.today))
        self.text: QPlainTextEdit = self.form.add_text("text", _("Note"), note.text if note else "")
        self.text.setFocus()
        self.set_change(self._read)

    def _read(self) -> Change | None:
        if self.on.error:
            self.form.show_problems((Problem("date", self.on.error, field="on"),))
            return None
        text = self.text.toPlainText().strip()
        if self._note is not None:
            return EditNote(self._note.id, self.on.value, text)
        return AddNote(self._bird.id, self.on.value, text)
