"""The log of a sitting: temperature, humidity, the weight of the eggs."""

from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QLineEdit, QWidget

from studbook.book.changes import Change, Enter
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Reading, Sitting
from studbook.book.ids import ReadingId
from studbook.desk.context import Context
from studbook.desk.rooms.eggs.sittings.dialog import MISSING, SittingDialog, count_box, day_field, day_of
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.planning.sittings.days import kind_of
from studbook.planning.sittings.drafting import before_setting
from studbook.words import _


def read_number(text: str) -> float | None:
    """The number written, by the locale or with a point; None for nothing.

    Raises
    ------
    ValueError
        If the text is no number.
    """
    plain = text.strip().replace("%", "").replace("°C", "").strip()
    if not plain:
        return None
    value, is_number = QLocale().toDouble(plain)
    if not is_number:
        value, is_number = QLocale.c().toDouble(plain.replace(",", "."))
    if not is_number:
        raise ValueError(_("{text} is no number.").format(text=text.strip()))
    return float(value)


class LogDialog(SittingDialog):
    """Enter a line of the log."""

    def __init__(self, context: Context, view: View, sitting: Sitting, parent: QWidget) -> None:
        super().__init__(context, _("Log of the sitting"), _("Save the line"), parent, columns=2)
        self.setObjectName("log")
        self._sitting = sitting
        self.on = day_field(context.today, context.today)
        self.form.add("on", _("Day"), self.on)
        self.at = self.form.add_line("at", _("Time"))
        self.temperature = self.form.add_line("temperature", _("Temperature, °C"))
        self.humidity = self.form.add_line("humidity", _("Relative humidity, %"))
        self.weight = self.form.add_line(
            "weight",
            _("Weight of eggs, g"),
            "",
            _("Weigh the same eggs when set and again: their loss shows the air."),
        )
        self.weighed = count_box("weighed", _("Eggs weighed"), view.standing(sitting).count.left)
        self.form.add("weighed", _("Eggs weighed together"), self.weighed)
        self.note = self.form.add_line("note", _("Note"), wide=True)
        climate = kind_of(sitting).climate
        if sitting.machine is not None:
            text = _("Guides print {low} to {high} °C in moving air, {still} °C in still air ({source}).")
            self.set_caution(
                text.format(
                    low=_number(climate.moving_air_c.low),
                    high=_number(climate.moving_air_c.high),
                    still=_number(climate.still_air_c),
                    source=_(climate.source),
                )
            )
        self.on.changed.connect(self.check)
        for edit in self._figures().values():
            edit.textChanged.connect(lambda _text: self.check())
        self.weighed.valueChanged.connect(lambda _value: self.check())
        self.check()

    def _figures(self) -> dict[str, QLineEdit]:
        return {"temperature": self.temperature, "humidity": self.humidity, "weight": self.weight}

    def own_problems(self) -> tuple[Problem, ...]:
        if self.on.error:
            found = [Problem("date", self.on.error, field="on")]
        else:
            found = list(before_setting(day_of(self.on), self._sitting.set_on, self.context.today, "on"))
        for key, edit in self._figures().items():
            try:
                read_number(edit.text())
            except ValueError as error:
                found.append(Problem("count", str(error), field=key))
        if not any(edit.text().strip() for edit in (*self._figures().values(), self.note)):
            found.append(
                Problem(MISSING, _("The line is empty: enter a figure or a note."), field="temperature")
            )
        return tuple(found)

    def change(self) -> Change:
        values = {key: read_number(edit.text()) for key, edit in self._figures().items()}
        reading = Reading(
            ReadingId(""),
            self._sitting.id,
            day_of(self.on) or self.context.today,
            self.at.text().strip(),
            temperature=values["temperature"],
            humidity=values["humidity"],
            weight=values["weight"],
            weighed=self.weighed.value() if values["weight"] is not None else None,
            note=self.note.text().strip(),
        )
        return Enter((reading,))


def _number(value: float) -> str:
    return QLocale().toString(value, "f", 1)
