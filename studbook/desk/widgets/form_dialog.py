"""A form asked over the window: a title, fields, a caution, and one button that carries the verb."""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QDialog, QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from studbook.book.errors import Problem
from studbook.desk.context import Context
from studbook.desk.forms import Form
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import button, label
from studbook.words import _

if TYPE_CHECKING:
    from studbook.book.changes import Change


_TWO_COLUMNS = 620
"""The least width of a screen on which a form stands in two columns."""


class FormDialog(QDialog):
    """Fields of one change. Enter saves, Esc leaves everything as it was; nothing is half saved.

    Whoever makes one fills `form` and gives `set_change` a function that reads the fields.

    Attributes
    ----------
    new_id
        An id of the book for a row the change adds beside the others; saving waits for it.
    aliases
        The field of this form that shows the problems of a field the record speaks of.
    """

    def __init__(self, context: Context, title: str, verb: str, parent: QWidget, *, columns: int = 1) -> None:
        super().__init__(parent)
        self.context = context
        self._change: Callable[[], Change | None] = lambda: None
        self._saving = False
        self._wants_save = False
        self.new_id = ""
        self.aliases = {"sire": "parents", "dam": "parents"}
        self.setWindowTitle(title)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(space(3), space(2), space(3), space(2))
        whole.setSpacing(space(2))
        self._heading = label(title, Role.HEADING, wraps=True)
        whole.addWidget(self._heading)
        has_room = self.screen().availableGeometry().width() >= length(_TWO_COLUMNS)
        self.form = Form(columns if has_room else 1)
        scrolled = QScrollArea()
        scrolled.setFrameShape(QFrame.Shape.NoFrame)
        scrolled.setWidgetResizable(True)
        scrolled.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inner = QWidget()
        self._column = QVBoxLayout(inner)
        self._column.setContentsMargins(0, 0, space(1), space(1))
        self._column.setSpacing(space(1.5))
        self._column.addWidget(self.form)
        self._caution = label("", Role.CAUTION, wraps=True)
        self._caution.setObjectName("caution")
        self._caution.hide()
        self._column.addWidget(self._caution)
        self._column.addStretch(1)
        scrolled.setWidget(inner)
        whole.addWidget(scrolled, 1)
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        row.addStretch(1)
        cancel = button(_("Cancel"), self.reject)
        cancel.setObjectName("cancel")
        cancel.setAutoDefault(False)
        self.verb = button(verb, self.save, primary=True)
        self.verb.setObjectName("save")
        self.verb.setDefault(True)
        row.addWidget(cancel)
        row.addWidget(self.verb)
        whole.addLayout(row)
        self._inner = inner
        inner.installEventFilter(self)
        self.finished.connect(self.deleteLater)
        context.record.ask(lambda book: book.new_id(), self._take_id)

    def set_change(self, change: Callable[[], "Change | None"]) -> None:
        """How the fields are read: gives the change, or None when it has shown what is wrong."""
        self._change = change

    def set_caution(self, text: str) -> None:
        """A caution below the fields; empty for none."""
        self._caution.setText(text)
        self._caution.setVisible(bool(text))

    def ask(self) -> None:
        """Open over the window."""
        self._fit()
        self.open()

    def _fit(self) -> None:
        """As large as the fields, within the screen; what does not fit is scrolled."""
        screen = self.screen().availableGeometry()
        layout = self._inner.layout()
        assert layout is not None
        chrome = space(10)
        width = max(layout.sizeHint().width() + chrome, length(460), self.width())
        width = min(width, screen.width() - space(4))
        height = layout.sizeHint().height()
        if layout.hasHeightForWidth():
            height = max(height, layout.heightForWidth(width - chrome))
        height = max(height + self._around, self.height() if self.isVisible() else 0)
        self.resize(width, min(height, screen.height() - space(8)))

    @property
    def _around(self) -> int:
        """The height of title, buttons and margins."""
        return self._heading.sizeHint().height() + self.verb.sizeHint().height() + space(10)

    def save(self) -> None:
        """Ask the record for the change; a refusal stands beside the fields it is about."""
        if self._saving:
            return
        self._wants_save = not self.new_id
        if self._wants_save:
            return
        self.form.show_problems(())
        change = self._change()
        if change is not None:
            self.send(change)

    def send(self, change: "Change") -> None:
        """Ask the record for a change that was read."""
        self._saving = True
        self.verb.setEnabled(False)
        self.context.record.apply(change, done=lambda _entry, _snapshot: self._saved(), refused=self._refused)

    def _take_id(self, new_id: str) -> None:
        self.new_id = new_id
        if self._wants_save:
            self.save()

    def _saved(self) -> None:
        self._saving = False
        self.accept()

    def _refused(self, problems: tuple[Problem, ...]) -> None:
        self._saving = False
        self.verb.setEnabled(True)
        self.show_refusal(problems)

    def show_refusal(self, problems: tuple[Problem, ...]) -> None:
        """Put what the record says beside the fields it is about."""
        self.form.show_problems(
            replace(problem, field=self.aliases.get(problem.field, problem.field)) for problem in problems
        )

    def reject(self) -> None:
        if not self._saving:
            super().reject()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.LayoutRequest and watched is self._inner:
            self._fit()
        return super().eventFilter(watched, event)
