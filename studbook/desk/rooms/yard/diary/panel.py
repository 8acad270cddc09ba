"""The agenda in the Yard: overdue, now, this week, and what was ticked today."""

from collections.abc import Sequence

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from studbook.desk.rooms.yard.diary.row import TaskRow, WhenText
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import day_text
from studbook.planning.diary.agenda import Agenda
from studbook.planning.diary.task import Standing, Task, late_text
from studbook.words import _, plural

_MOST = 12
"""So many rows of a section at first; the rest by one press."""


class DiaryPanel(QWidget):
    """What needs the keeper today and this week.

    Signals
    -------
    done
        A task is to be done, or a ticked one to be open again (Task).
    asked
        What a task is about is wanted (Task).
    """

    done = Signal(object)
    asked = Signal(object)

    def __init__(self, agenda: Agenda, *aside: QWidget) -> None:
        super().__init__()
        self.setObjectName("diary")
        self._today = agenda.today
        self.rows: list[TaskRow] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(space(0.25))
        self._column.addWidget(SectionHeading(_("Diary"), *aside))
        if not (agenda.overdue or agenda.now or agenda.week):
            said = (
                _("All done for today, and nothing is due within a week.")
                if agenda.done
                else _(
                    "Nothing is due within a week. Sittings, planned moves, trials and birds apart put their days "
                    "here by themselves; a job of your own is added above."
                )
            )
            self._column.addWidget(label(said, Role.FAINT, wraps=True))
        self._section(_("Overdue"), agenda.overdue, self._late, Role.CAUTION)
        self._section(_("Today"), agenda.now, self._in_time, Role.FAINT)
        self._section(_("This week"), agenda.week, self._day, Role.FAINT)
        self._section(_("Done today"), agenda.done, lambda _task: "", Role.FAINT)

    def _section(self, title: str, tasks: Sequence[Task], when: WhenText, role: Role) -> None:
        if not tasks:
            return
        caption = label(title, Role.CAPTION)
        caption.setContentsMargins(0, space(0.75), 0, 0)
        self._column.addWidget(caption)
        rows = QVBoxLayout()
        rows.setSpacing(space(0.25))
        self._column.addLayout(rows)
        self._add(rows, tasks[:_MOST], when, role)
        if rest := tasks[_MOST:]:
            text = plural("{count} more", "{count} more", len(rest)).format(count=len(rest))

            def show_rest() -> None:
                more.hide()
                self._add(rows, rest, when, role)

            more = link(text, show_rest)
            self._column.addWidget(more)

    def _add(self, column: QVBoxLayout, tasks: Sequence[Task], when: WhenText, role: Role) -> None:
        for task in tasks:
            hinted = task.standing(self._today) in (Standing.OVERDUE, Standing.NOW)
            row = TaskRow(task, when(task), role, hinted=hinted)
            row.done.connect(self.done)
            row.asked.connect(self.asked)
            row.stepped.connect(self._step)
            self.rows.append(row)
            column.addWidget(row)

    def _late(self, task: Task) -> str:
        return late_text(task.days_late(self._today))

    def _in_time(self, task: Task) -> str:
        if task.until <= self._today:
            return _("today")
        return _("until {day}").format(day=self._day(task, until=True))

    def _day(self, task: Task, *, until: bool = False) -> str:
        day = task.until if until else task.first_day
        weekday = QLocale().dayName(day.isoweekday(), QLocale.FormatType.ShortFormat)
        return _("{weekday} {day}").format(weekday=weekday, day=day_text(day))

    @property
    def place(self) -> int:
        """The row the keyboard is in, or -1."""
        here = [row.box.hasFocus() or row.words.hasFocus() for row in self.rows]
        return here.index(True) if True in here else -1

    def go_to(self, place: int) -> None:
        """Put the keyboard into a row, or the last one where there are fewer."""
        if self.rows and place >= 0:
            self.rows[min(place, len(self.rows) - 1)].box.setFocus(Qt.FocusReason.OtherFocusReason)

    def _step(self, step: int) -> None:
        place = self.place + step
        if 0 <= place < len(self.rows):
            self.go_to(place)
