"""What the forms of care share: days that must be whole, pens by name, a second id."""

from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSpinBox, QWidget

from studbook.book.changes import Change, Enter
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Husbandry, Pen
from studbook.book.ids import PenId
from studbook.dates import PartialDate
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.forms import Form
from studbook.desk.theme import length
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.name_box import NameBox
from studbook.words import _


class CareDialog(ForeseeingDialog):
    """A form that may add two rows others of its change point to; saving waits for both ids.

    Attributes
    ----------
    other_id
        A second id of the book, for a pen or a machine written anew.
    """

    def __init__(self, context: Context, title: str, verb: str, parent: QWidget, *, columns: int = 1) -> None:
        super().__init__(context, title, verb, parent, columns=columns)
        self.other_id = ""
        self.verb.setEnabled(False)
        context.record.ask(lambda book: book.new_id(), self._take_other)

    def _take_other(self, new_id: str) -> None:
        self.other_id = new_id
        self.verb.setEnabled(True)

    def save(self) -> None:
        """Ask the record for the change once both ids are there."""
        if self.other_id:
            super().save()


class DayField(DateField):
    """A date that must be one day, or nothing."""

    def __init__(self, today: date, day: date | None = None) -> None:
        super().__init__(today)
        if day is not None:
            self.set_day(day)

    @property
    def day(self) -> date | None:
        """The day it holds; None when it is empty or no whole day (see `fault`)."""
        value = self.value
        return value.earliest if value.day and not value.about else None

    @property
    def fault(self) -> str:
        """Why it cannot be taken; an empty field is fine."""
        if self.error:
            return self.error
        if self.value.is_known and self.day is None:
            return _("Enter the day itself, such as 4 Apr 2026.")
        return ""

    def set_day(self, day: date) -> None:
        """Show a day."""
        self.set_value(PartialDate.of(day))


def days_are_read(form: Form, fields: dict[str, DayField], required: tuple[str, ...] = ()) -> bool:
    """True when every date can be taken and the `required` ones are there; else what is wrong is shown."""
    problems = []
    for key, field in fields.items():
        fault = field.fault
        if not fault and key in required and field.day is None:
            fault = _("The day is missing: enter it.")
        if fault:
            problems.append(Problem("date", fault, field=key))
    if problems:
        form.show_problems(problems)
    return not problems


class PenBox(NameBox):
    """An open pen by its name, or the name of a new one."""

    def __init__(self, year: Husbandry, placeholder: str = "") -> None:
        super().__init__(
            ((pen.name, pen.id) for pen in year.pens.values() if pen.closed is None), placeholder=placeholder
        )

    def pen(self, new_id: str) -> PenId | None:
        """The pen meant; a new one is known as `new_id`."""
        known = self.named.known_as(new_id)
        return PenId(known) if known else None

    def added(self, new_id: str) -> tuple[Change, ...]:
        """The change that adds the pen when it is new."""
        return (Enter((Pen(PenId(new_id), self.named.new),)),) if self.named.new else ()


def count_box(name: str, least: int, most: int, value: int, suffix: str = "") -> QSpinBox:
    """A box for a whole number."""
    made = QSpinBox()
    made.setObjectName(name)
    made.setRange(least, most)
    made.setValue(value)
    made.setSuffix(suffix)
    made.setAlignment(Qt.AlignmentFlag.AlignHCenter)
    made.setMinimumWidth(length(90))
    return made
