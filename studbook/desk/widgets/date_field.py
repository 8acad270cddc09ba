"""A field for a date with precision that says what it understood."""

from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from studbook.dates import UNKNOWN_DATE, PartialDate
from studbook.desk.date_entry import read_date
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import label, set_property, set_role
from studbook.desk.wording import date_text
from studbook.words import _


class DateField(QWidget):
    """Takes "4 Apr 2026", "2026-04-04", "Apr 2026", "2026", "about May 2019" or nothing.

    Signals
    -------
    changed
        The date is another one, or has become unreadable.
    """

    changed = Signal()

    def __init__(self, today: date, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._today = today
        self._value = UNKNOWN_DATE
        self._error = ""
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.25))
        self.edit = QLineEdit()
        self.edit.setPlaceholderText(_("4 Apr 2026, Apr 2026, 2026 …"))
        self.edit.setMinimumWidth(length(170))
        self._understood = label(" ", Role.SMALL)
        column.addWidget(self.edit)
        column.addWidget(self._understood)
        self.setFocusProxy(self.edit)
        self.edit.textEdited.connect(lambda: self._read(typing=True))
        self.edit.editingFinished.connect(self._tidy)

    @property
    def value(self) -> PartialDate:
        """The date it holds; unknown while it cannot be read (see `error`)."""
        return self._value

    @property
    def error(self) -> str:
        """Why the text is no date; empty when it is one."""
        return self._error

    @property
    def understood(self) -> str:
        """The remark below the field."""
        return self._understood.text().strip()

    def set_value(self, value: PartialDate) -> None:
        """Show a date."""
        self.edit.setText(date_text(value))
        self._read()

    def _read(self, *, typing: bool = False) -> None:
        try:
            self._value, self._error = read_date(self.edit.text(), self._today), ""
        except ValueError as error:
            self._value, self._error = UNKNOWN_DATE, str(error)
        if self._error:
            remark = self._error
        elif self._value.is_known and date_text(self._value) != self.edit.text():
            remark = date_text(self._value)
        else:
            remark = " "
        wrong = bool(self._error) and not typing
        set_role(self._understood, Role.ERROR if wrong else Role.SMALL)
        set_property(self.edit, "wrong", wrong)
        self._understood.setText(remark)
        self.changed.emit()

    def _tidy(self) -> None:
        """Write the date our way, or say what is wrong, once the keeper has left the field."""
        if self._error:
            self._read()
        elif self._value.is_known:
            self.edit.setText(date_text(self._value))
            self._understood.setText(" ")
