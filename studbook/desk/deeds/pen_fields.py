"""The fields the forms of the pens share: an exact day, and a pen of the yard."""

from collections.abc import Iterable
from datetime import date

from PySide6.QtWidgets import QComboBox, QWidget

from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Husbandry, Pen
from studbook.book.ids import PenId
from studbook.dates import PartialDate, Precision
from studbook.desk.theme import length
from studbook.desk.widgets.date_field import DateField
from studbook.planning.pens.board import open_pens
from studbook.words import _


class DayField(DateField):
    """A date that must be an exact day; it may be left empty where `optional`."""

    def __init__(
        self, today: date, value: date | None = None, *, optional: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(today, parent)
        self._optional = optional
        self.edit.setPlaceholderText(_("4 Apr 2026"))
        if value is not None:
            self.set_day(value)

    @property
    def day(self) -> date | None:
        """The day, or None while it holds none."""
        value = self.value
        if value.precision is not Precision.DAY or value.about:
            return None
        return value.earliest

    def set_day(self, day: date) -> None:
        """Show a day."""
        self.set_value(PartialDate.of(day))

    def problems(self, key: str) -> tuple[Problem, ...]:
        """What is wrong with it, for the field `key` of a form."""
        if self.error:
            return (Problem("date", self.error, field=key),)
        if self.day is None and (self.value.is_known or not self._optional):
            return (Problem("date", _("Enter the exact day, such as 4 Apr 2026."), field=key),)
        return ()


class PenBox(QComboBox):
    """The open pens in walking order, each with its house; `none` is the words for no pen, where that is a choice."""

    def __init__(
        self,
        year: Husbandry,
        today: date,
        *,
        none: str = "",
        also: Iterable[Pen] = (),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setMinimumWidth(length(220))
        pens = open_pens(year, today)
        for pen in (*pens, *(pen for pen in also if pen not in pens)):
            self.addItem(pen_text(year, pen), pen.id)
        if none:
            self.addItem(none, None)

    @property
    def pen(self) -> PenId | None:
        """The pen chosen; None for none."""
        held = self.currentData()
        return PenId(held) if held is not None else None

    def choose(self, pen: PenId | None) -> None:
        """Show a pen."""
        place = self.findData(pen)
        if place >= 0:
            self.setCurrentIndex(place)


def pen_text(year: Husbandry, pen: Pen) -> str:
    """A pen with the house it is in."""
    house = year.houses.get(pen.house) if pen.house is not None else None
    return _("{pen}, {house}").format(pen=pen.name, house=house.name) if house is not None else pen.name
