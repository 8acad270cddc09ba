"""The line above the grid: which week it is, the one before and after, and any week by a day of it."""

from datetime import date, timedelta

from PySide6.QtCore import QLocale, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from studbook.dates import Precision
from studbook.desk import icons
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.text import button, label, link
from studbook.desk.wording import day_text
from studbook.planning.eggs.week import WEEK_DAYS, monday
from studbook.words import _


class WeekLine(QWidget):
    """Says which week is shown and asks for another.

    Signals
    -------
    week_asked
        The week of a day is wanted (date).
    """

    week_asked = Signal(object)

    def __init__(self, today: date) -> None:
        super().__init__()
        self._today = today
        self.week = monday(today)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(1))
        before = self._step("week_before", _("Week before"), _("The week before (Page Up)"), -1)
        after = self._step("week_after", _("Week after"), _("The week after (Page Down)"), 1)
        self._name = label("", Role.HEADING)
        self._name.setObjectName("week_name")
        row.addWidget(before)
        row.addWidget(after)
        row.addSpacing(space(1))
        row.addWidget(self._name)
        row.addStretch(1)
        self._now = link(_("this week"), lambda: self.week_asked.emit(self._today))
        self._now.setObjectName("week_now")
        row.addWidget(self._now)
        caption = label(_("Week of"), Role.CAPTION)
        self.day = DateField(today)
        self.day.edit.setObjectName("week_day")
        self.day.edit.setAccessibleName(_("Any day of the week wanted"))
        self.day.edit.setMinimumWidth(length(100))
        self.day.edit.setMaximumWidth(length(150))
        self.day.edit.setPlaceholderText(_("any day"))
        self.day.edit.returnPressed.connect(self._take_day)
        caption.setBuddy(self.day.edit)
        row.addWidget(caption)
        # the field keeps a line below for what it understood
        self.day.setContentsMargins(0, length(18), 0, 0)
        row.addWidget(self.day)

    def show_week(self, week: date, today: date) -> None:
        """Say which week is shown."""
        self.week, self._today = monday(week), today
        last = self.week + timedelta(WEEK_DAYS - 1)
        number = self.week.isocalendar().week
        text = _("{first} to {last} · week {number}")
        self._name.setText(text.format(first=_short_day(self.week, last), last=day_text(last), number=number))
        self._now.setVisible(self.week != monday(today))

    def step(self, weeks: int) -> None:
        """Ask for a week before or after."""
        self.week_asked.emit(self.week + timedelta(WEEK_DAYS * weeks))

    def _step(self, name: str, text: str, tip: str, weeks: int) -> QWidget:
        made = button("", lambda: self.step(weeks))
        made.setIcon(icons.icon("caret-left" if weeks < 0 else "caret-right"))
        made.setObjectName(name)
        made.setAccessibleName(text)
        made.setToolTip(tip)
        return made

    def _take_day(self) -> None:
        value = self.day.value
        if not self.day.error and value.is_known and value.precision is Precision.DAY:
            self.week_asked.emit(value.earliest)
            self.day.edit.clear()


def _short_day(first: date, last: date) -> str:
    """The first day without what it shares with the last."""
    if first.year != last.year:
        return day_text(first)
    if first.month != last.month:
        return _("{day} {month}").format(
            day=first.day, month=QLocale().monthName(first.month, QLocale.FormatType.ShortFormat)
        )
    return str(first.day)
