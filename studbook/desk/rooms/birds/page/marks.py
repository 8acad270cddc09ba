"""The marks of a bird with their history: put on, corrected, taken off."""

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from studbook.book.changes import Change, EditMark, RemoveMark
from studbook.book.errors import Problem
from studbook.book.records import Bird, Mark, Snapshot
from studbook.dates import PartialDate
from studbook.desk.context import Context
from studbook.desk.deeds.marks import MarkFields, mark_caution
from studbook.desk.deeds.several import MarkDialog
from studbook.desk.theme import Role, space
from studbook.desk.widgets.chips import MarkChip, mark_text
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.text import label, link
from studbook.desk.wording import date_text
from studbook.words import _


class MarksView(QWidget):
    """A line for each mark, those worn first."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(space(1.5))
        self._grid.setVerticalSpacing(space(0.5))
        self._grid.setColumnStretch(1, 1)
        self._bird: Bird | None = None
        self._snapshot: Snapshot | None = None

    def show_bird(self, bird: Bird, snapshot: Snapshot, *, can_edit: bool) -> None:
        """Show the marks of a bird."""
        self._bird, self._snapshot = bird, snapshot
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        marks = sorted(bird.marks, key=lambda mark: not mark.is_worn)
        for row, mark in enumerate(marks):
            self._grid.addWidget(MarkChip(mark), row, 0, Qt.AlignmentFlag.AlignLeft)
            self._grid.addWidget(
                label(_history(mark), None if mark.is_worn else Role.FAINT, wraps=True), row, 1
            )
            if not can_edit:
                continue
            edit = link(_("edit"), lambda mark=mark: self.edit(mark))  # type: ignore[misc]
            edit.setAccessibleName(_("Edit mark {mark}").format(mark=mark.code))
            edit.setObjectName(f"edit_mark_{row}")
            self._grid.addWidget(edit, row, 2)
            if mark.is_worn:
                off = link(_("take off"), lambda mark=mark: self.take_off(mark))  # type: ignore[misc]
                off.setAccessibleName(_("Take off mark {mark}").format(mark=mark.code))
                off.setObjectName(f"take_off_{row}")
                self._grid.addWidget(off, row, 3)
            else:
                remove = link(_("remove"), lambda mark=mark: self._remove(mark))  # type: ignore[misc]
                remove.setAccessibleName(_("Remove mark {mark}, entered by mistake").format(mark=mark.code))
                self._grid.addWidget(remove, row, 3)
        if not marks:
            self._grid.addWidget(label(_("Unmarked."), Role.FAINT), 0, 0, 1, 2)

    def add(self) -> None:
        """Ask for a new mark."""
        if self._bird is not None and self._snapshot is not None:
            MarkDialog(self.context, self._snapshot, (self._bird,), self.window()).ask()

    def edit(self, mark: Mark) -> None:
        """Correct a mark."""
        EditMarkDialog(self.context, mark, self.window()).ask()

    def take_off(self, mark: Mark) -> None:
        """Say when a mark came off."""
        TakeOffDialog(self.context, mark, self.window()).ask()

    def _remove(self, mark: Mark) -> None:
        self.context.record.apply(RemoveMark(mark.id))


def _history(mark: Mark) -> str:
    since, until = date_text(mark.since), date_text(mark.until) if mark.until is not None else ""
    parts = [mark_text(mark)]
    if since:
        parts.append(_("since {date}").format(date=since))
    if mark.until is not None:
        parts.append(_("until {date}").format(date=until) if until else _("taken off"))
    return ", ".join(parts)


class EditMarkDialog(FormDialog):
    """Correct what is written of a mark."""

    def __init__(self, context: Context, mark: Mark, parent: QWidget) -> None:
        super().__init__(context, _("Edit mark {mark}").format(mark=mark.code), _("Save"), parent)
        self.setObjectName("edit_mark_dialog")
        self._mark = mark
        self.mark = MarkFields(self.form, mark)
        self.since = DateField(context.today)
        self.form.add("since", _("Since"), self.since)
        self.since.set_value(mark.since)
        self.until = DateField(context.today)
        self.form.add("until", _("Until"), self.until, _("Empty while it is worn."))
        if mark.until is not None:
            self.until.set_value(mark.until)
        self.set_caution(mark_caution(mark.kind))
        self.set_change(self._read)

    def _read(self) -> Change | None:
        for key, field in (("since", self.since), ("until", self.until)):
            if field.error:
                self.form.show_problems((Problem("date", field.error, field=key),))
                return None
        until: PartialDate | None = self.until.value if self.until.value.is_known else None
        if until is None and self._mark.until is not None and not self._mark.until.is_known:
            until = self._mark.until
        read = self.mark.read(self.since.value)
        if not read.code:
            self.form.show_problems(
                (Problem("mark", _("The mark is empty: enter what stands on it."), field="marks"),)
            )
            return None
        return EditMark(self._mark, replace(read, id=self._mark.id, until=until))


class TakeOffDialog(FormDialog):
    """Say when a mark was taken off or lost."""

    def __init__(self, context: Context, mark: Mark, parent: QWidget) -> None:
        super().__init__(context, _("Take off mark {mark}").format(mark=mark.code), _("Take it off"), parent)
        self.setObjectName("take_off_dialog")
        self._mark = mark
        self.until = DateField(context.today)
        self.form.add("marks", _("Taken off or lost on"), self.until)
        self.until.set_value(PartialDate.of(context.today))
        self.set_change(self._read)

    def _read(self) -> Change | None:
        if self.until.error:
            self.form.show_problems((Problem("date", self.until.error, field="marks"),))
            return None
        return EditMark(self._mark, replace(self._mark, until=self.until.value))
