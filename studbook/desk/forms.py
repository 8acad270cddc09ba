"""Forms: labelled fields, each with the place for its error or warning right below it."""

from collections.abc import Iterable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QGridLayout, QLineEdit, QPlainTextEdit, QVBoxLayout, QWidget

from studbook.book.errors import Problem
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import label, set_property, set_role


class Field(QWidget):
    """A label, the control it belongs to, a hint, and the problems found with it."""

    def __init__(self, key: str, text: str, control: QWidget, hint: str = "") -> None:
        super().__init__()
        self.key = key
        self.control = control
        control.setObjectName(key)
        control.setAccessibleName(text)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        caption = label(text, Role.CAPTION)
        caption.setBuddy(control)
        column.addWidget(caption)
        column.addWidget(control)
        if hint:
            column.addWidget(label(hint, Role.SMALL, wraps=True))
        self._problem = label("", Role.ERROR, wraps=True)
        self._problem.setObjectName(f"{key}_problem")
        self._problem.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._problem.hide()
        column.addWidget(self._problem)
        column.addStretch(1)

    def show_problems(self, problems: Iterable[Problem]) -> None:
        """Show what is wrong with this field; nothing clears it."""
        found = list(problems)
        is_error = any(problem.is_error for problem in found)
        set_role(self._problem, Role.ERROR if is_error else Role.CAUTION)
        self._problem.setText("\n".join(problem.message for problem in found))
        self._problem.setVisible(bool(found))
        set_property(self.control.focusProxy() or self.control, "wrong", is_error)

    @property
    def problem_text(self) -> str:
        """What it says is wrong."""
        return self._problem.text()


class Form(QWidget):
    """Fields in one or two columns, with what concerns no single field at the foot."""

    def __init__(self, columns: int = 1, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._columns = columns
        self.fields: dict[str, Field] = {}
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(space(1.5))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(space(3))
        self._grid.setVerticalSpacing(space(1.5))
        for column in range(columns):
            self._grid.setColumnStretch(column, 1)
        whole.addLayout(self._grid)
        self._rest = label("", Role.ERROR, wraps=True)
        self._rest.setObjectName("form_problem")
        self._rest.hide()
        whole.addWidget(self._rest)
        self._next = 0

    def add(self, key: str, text: str, control: QWidget, hint: str = "", *, wide: bool = False) -> Field:
        """Add a field; `key` is what `Problem.field` calls it. A `wide` one takes the whole line."""
        field = Field(key, text, control, hint)
        self.fields[key] = field
        if wide and self._next % self._columns:
            self._next += self._columns - self._next % self._columns
        row, column = divmod(self._next, self._columns)
        span = self._columns if wide else 1
        self._grid.addWidget(field, row, column, 1, span)
        self._next += span
        return field

    def add_line(
        self, key: str, text: str, value: str = "", hint: str = "", *, wide: bool = False
    ) -> QLineEdit:
        """Add a line of text."""
        control = QLineEdit(value)
        control.setMinimumWidth(length(160))
        self.add(key, text, control, hint, wide=wide)
        return control

    def add_text(self, key: str, text: str, value: str = "", hint: str = "") -> QPlainTextEdit:
        """Add a text of several lines."""
        control = QPlainTextEdit(value)
        control.setTabChangesFocus(True)
        control.setFixedHeight(length(76))
        self.add(key, text, control, hint, wide=True)
        return control

    def add_choice(
        self, key: str, text: str, choices: Iterable[tuple[str, object]], value: object = None, hint: str = ""
    ) -> QComboBox:
        """Add a choice of (words, value); read it with ``currentData()``."""
        control = QComboBox()
        for words, data in choices:
            control.addItem(words, data)
        control.setCurrentIndex(max(control.findData(value), 0))
        self.add(key, text, control, hint)
        return control

    def show_problems(self, problems: Iterable[Problem]) -> None:
        """Put each problem under its field, the others at the foot; nothing clears them all."""
        found = list(problems)
        for key, field in self.fields.items():
            field.show_problems(problem for problem in found if problem.field == key)
        rest = [problem for problem in found if problem.field not in self.fields]
        set_role(self._rest, Role.ERROR if any(problem.is_error for problem in rest) else Role.CAUTION)
        self._rest.setText("\n".join(problem.message for problem in rest))
        self._rest.setVisible(bool(rest))
        for problem in found:
            if problem.is_error and problem.field in self.fields:
                self.fields[problem.field].control.setFocus()
                break
