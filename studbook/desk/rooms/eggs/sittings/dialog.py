"""A form of a sitting, which says as one types what the record would say; and its fields for days and counts."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSpinBox, QVBoxLayout, QWidget

from studbook.book.changes import Change
from studbook.book.errors import Problem
from studbook.dates import PartialDate, Precision
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.text import label

MISSING = "missing"
"""The kind of a problem that is only said when the keeper wants to save: nothing is written yet."""

_IDS = 1000
_MOST_EGGS = 9999


class SittingDialog(ForeseeingDialog):
    """Fields of one change of a sitting; nothing is half saved.

    Whoever makes one says what is wrong with its fields by `own_problems` and what they mean by `change`, connects
    its fields to `check`, and calls `check` once when all are there.

    Attributes
    ----------
    ids
        Ids of the book for rows that point to each other; saving waits for them.
    """

    def __init__(self, context: Context, title: str, verb: str, parent: QWidget, *, columns: int = 1) -> None:
        super().__init__(context, title, verb, parent, columns=columns)
        self.ids: tuple[str, ...] = ()
        self._waits = False
        self._ticket: int | None = None
        self.set_change(self._read)
        self.finished.connect(self._stop_asking)
        context.record.ask(lambda book: tuple(book.new_id() for _number in range(_IDS)), self._take_ids)

    def widen(self, pixels: float) -> None:
        """Take at least this width at 100 %, as far as the screen has it."""
        self.setMinimumWidth(min(length(pixels), self.screen().availableGeometry().width() - space(4)))

    def own_problems(self) -> tuple[Problem, ...]:
        """What is wrong with the fields before the record is asked."""
        return ()

    def change(self) -> Change:
        """What the fields mean; asked only while `own_problems` finds no error."""
        raise NotImplementedError

    def check(self) -> None:
        """Say at once what is wrong."""
        if not self.ids:
            return
        own = self.own_problems()
        if any(problem.is_error for problem in own):
            self._stop_asking()
            self._show_quietly(tuple(problem for problem in own if problem.kind != MISSING))
            return
        self._ticket = self.context.record.preview(
            self.change(), lambda problems: self._take_problems(own, problems), key=self.objectName()
        )

    def save(self) -> None:
        self._waits = not self.ids
        if not self._waits:
            self._stop_asking()
            super().save()

    def _read(self) -> Change | None:
        own = self.own_problems()
        if any(problem.is_error for problem in own):
            self.show_refusal(own)
            return None
        return self.change()

    def _take_ids(self, ids: tuple[str, ...]) -> None:
        self.ids = ids
        self.check()
        if self._waits:
            self.save()

    def _take_problems(self, own: tuple[Problem, ...], problems: tuple[Problem, ...]) -> None:
        self._ticket = None
        self._show_quietly((*own, *problems))

    def _stop_asking(self) -> None:
        if self._ticket is not None:
            self.context.record.cancel(self._ticket)
            self._ticket = None

    def _show_quietly(self, problems: tuple[Problem, ...]) -> None:
        """Show problems beside their fields and leave the cursor where it is."""
        found = [
            replace(problem, field=self.aliases.get(problem.field, problem.field)) for problem in problems
        ]
        self.form.show_problems(problem for problem in found if problem.field not in self.form.fields)
        for key, field in self.form.fields.items():
            field.show_problems(problem for problem in found if problem.field == key)


def day_of(field: DateField) -> date | None:
    """The day a field holds; None unless it is one exact day."""
    value = field.value
    if value.precision is not Precision.DAY or value.about:
        return None
    return value.earliest


def day_field(today: date, value: date | None) -> DateField:
    """A field for a day, filled."""
    made = DateField(today)
    if value is not None:
        made.set_value(PartialDate.of(value))
    return made


def count_box(name: str, spoken: str, value: int = 0) -> QSpinBox:
    """A field for a number of eggs."""
    box = QSpinBox()
    box.setObjectName(name)
    box.setAccessibleName(spoken)
    box.setRange(0, _MOST_EGGS)
    box.setValue(value)
    box.setAlignment(Qt.AlignmentFlag.AlignHCenter)
    box.setMinimumWidth(length(72))
    return box


class CountRow(QWidget):
    """Several counts of one batch beside each other.

    Signals
    -------
    changed
        A count is another one (str, its key).
    """

    changed = Signal(str)

    def __init__(self, number: int, of: str, columns: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        flow = Flow(self, gap=1.5)
        self.boxes: dict[str, QSpinBox] = {}
        for key, words in columns:
            cell = QWidget()
            column = QVBoxLayout(cell)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(space(0.25))
            box = count_box(f"{key}_{number}", f"{words}, {of}")
            caption = label(words, Role.SMALL)
            caption.setBuddy(box)
            column.addWidget(caption)
            column.addWidget(box)
            flow.addWidget(cell)
            self.boxes[key] = box
            box.valueChanged.connect(lambda _value, key=key: self.changed.emit(key))
        self.setFocusProxy(next(iter(self.boxes.values())))

    def value(self, key: str) -> int:
        """One count."""
        return self.boxes[key].value()

    def total(self, keys: Iterable[str]) -> int:
        """The sum of some counts."""
        return sum(self.boxes[key].value() for key in keys)

    def show_values(self, values: Mapping[str, int]) -> None:
        """Show other counts."""
        for key, value in values.items():
            self.boxes[key].setValue(value)
