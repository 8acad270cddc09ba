"""A list of entries with the fields of the chosen one beside it: contacts, origins."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from studbook.book.changes import Change
from studbook.book.errors import Problem
from studbook.book.records import Entry, Snapshot
from studbook.desk.context import Context
from studbook.desk.forms import Form
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import button, label

R = TypeVar("R", bound=Any)


@dataclass(frozen=True)
class LedgerField:
    """One field: how a value is shown and read; `read` raises ValueError in words."""

    key: str
    title: str
    hint: str = ""
    long: bool = False
    show: Callable[[Any], str] = str
    read: Callable[[str], Any] = str.strip


@dataclass(frozen=True)
class LedgerWords:
    """What the page says; `icon` is drawn while the list is empty."""

    icon: str
    add: str
    new: str
    empty: str
    explained: str


class LedgerPage(QWidget, Generic[R]):
    """Each field of an entry is kept as soon as one leaves it; a new entry is added by its button."""

    def __init__(
        self,
        context: Context,
        name: str,
        columns: Sequence[Column[R]],
        fields: Sequence[LedgerField],
        words: LedgerWords,
        *,
        rows: Callable[[Snapshot], Sequence[R]],
        blank: R,
        add: Callable[[R], Change],
        edit: Callable[[R, R], Change],
    ) -> None:
        super().__init__()
        self._context = context
        self._fields = {field.key: field for field in fields}
        self._words = words
        self._rows, self._blank, self._add, self._edit = rows, blank, add, edit
        self._entry: R | None = None
        self._model: RowsModel[R] = RowsModel(columns, identity=lambda row: row.id)
        self.table = Table(self._model, name)
        self.table.restore_state(context.settings)
        self.table.selection_changed.connect(self._show_entry)
        self._form = Form()
        self._controls: dict[str, QLineEdit | QPlainTextEdit] = {}
        for field in fields:
            if field.long:
                self._controls[field.key] = self._form.add_text(field.key, field.title, hint=field.hint)
            else:
                self._controls[field.key] = self._form.add_line(field.key, field.title, hint=field.hint)
        for control in self._controls.values():
            control.installEventFilter(self)
        self._build()

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Show the entries as they are in the book."""
        rows = self._rows(snapshot)
        self._model.set_rows(rows)
        self._pages.setCurrentIndex(1 if rows or self._pages.currentIndex() == 1 else 0)
        self._show_entry()

    def begin(self) -> None:
        """Empty the fields for a new entry."""
        self._pages.setCurrentIndex(1)
        self.table.clearSelection()
        self._fill(None)
        next(iter(self._controls.values())).setFocus()

    def _build(self) -> None:
        self._heading = label(self._words.new, Role.HEADING)
        self._save = button(self._words.add, self._add_new, primary=True)
        self._save.setObjectName(f"{self.table.objectName()}_add")
        page = QWidget()
        fields = QVBoxLayout(page)
        fields.setContentsMargins(space(3), 0, 0, 0)
        fields.setSpacing(space(1.5))
        fields.addWidget(self._heading)
        fields.addWidget(self._form)
        fields.addWidget(self._save)
        fields.addStretch(1)
        beside = QScrollArea()
        beside.setFrameShape(QFrame.Shape.NoFrame)
        beside.setWidgetResizable(True)
        beside.setFixedWidth(length(300))
        beside.setWidget(page)
        left = QVBoxLayout()
        left.setSpacing(space(1.5))
        left.addWidget(self.table, 1)
        left.addWidget(button(self._words.new, self.begin, icon="plus"))
        both = QWidget()
        row = QHBoxLayout(both)
        row.setContentsMargins(0, space(2), 0, space(1))
        row.setSpacing(0)
        row.addLayout(left, 1)
        row.addWidget(beside)
        self._pages = QStackedWidget()
        words = self._words
        self._pages.addWidget(EmptyState(words.icon, words.empty, words.explained, (words.new, self.begin)))
        self._pages.addWidget(both)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._pages)

    def _show_entry(self) -> None:
        chosen = self.table.selected
        self._fill(chosen[0] if len(chosen) == 1 else None)

    def _fill(self, entry: R | None) -> None:
        if entry is None and self._entry is None and self._is_written():
            return
        self._entry = entry
        self._heading.setText(self._words.new if entry is None else entry.name)
        self._save.setVisible(entry is None)
        source = self._blank if entry is None else entry
        for key, control in self._controls.items():
            text = self._fields[key].show(getattr(source, key))
            if self._text(key) != text:
                control.setText(text) if isinstance(control, QLineEdit) else control.setPlainText(text)
        self._form.show_problems(())

    def _is_written(self) -> bool:
        """True when a new entry has been begun, which a change elsewhere must not wipe out."""
        return self._save.isVisible() and any(
            self._text(key) != field.show(getattr(self._blank, key)) for key, field in self._fields.items()
        )

    def _text(self, key: str) -> str:
        control = self._controls[key]
        return control.text() if isinstance(control, QLineEdit) else control.toPlainText()

    def _read(self, source: R) -> R | None:
        values, problems = {}, []
        for key, field in self._fields.items():
            try:
                values[key] = field.read(self._text(key))
            except ValueError as error:
                problems.append(Problem("value", str(error), field=key))
        self._form.show_problems(problems)
        made: R | None = None if problems else replace(source, **values)
        return made

    def _add_new(self) -> None:
        entry = self._read(self._blank)
        if entry is None:
            return

        def done(_entry: Entry, snapshot: Snapshot) -> None:
            known = {row.id for row in before}
            for row in self._rows(snapshot):
                if row.id not in known:
                    self._clear()
                    self.table.select(row.id)

        before = self._model.rows
        self._context.record.apply(self._add(entry), done=done, refused=self._form.show_problems)

    def _clear(self) -> None:
        for control in self._controls.values():
            control.clear()

    def _keep(self) -> None:
        if self._entry is None:
            return
        after = self._read(self._entry)
        if after is not None and after != self._entry:
            change = self._edit(self._entry, after)
            self._context.record.apply(change, refused=self._form.show_problems)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut:
            self._keep()
        return super().eventFilter(watched, event)
