"""The keeper's own jobs: the list of them, and the form that adds, changes or ends one."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QSpinBox, QWidget

from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Every, Job
from studbook.book.husbandry.wording import every_word
from studbook.book.ids import JobId
from studbook.book.records import Snapshot
from studbook.dates import PartialDate, Precision
from studbook.desk.context import Context
from studbook.desk.rooms.yard.diary.row import WordsLink
from studbook.desk.theme import space
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.text import link
from studbook.desk.wording import day_text
from studbook.planning.diary.jobs import recurrence
from studbook.words import _

if TYPE_CHECKING:
    from studbook.book.changes import Change

_MOST = 366


def running_jobs(snapshot: Snapshot, today: date) -> tuple[tuple[Job, date], ...]:
    """The jobs that still come round, each with the day it comes next, the nearest first."""
    found = [
        (job, day)
        for job in snapshot.husbandry.jobs.values()
        if (day := recurrence(job).next_from(today)) is not None
    ]
    return tuple(sorted(found, key=lambda pair: (pair[1], pair[0].text)))


def job_line(job: Job, day: date, change: Callable[[], None], end: Callable[[], None]) -> QWidget:
    """A job with its rhythm and its next day; one press opens it, another ends it."""
    text = _("{job}: {every}, next {day}").format(
        job=job.text, every=every_word(job.every, job.count), day=day_text(day)
    )
    made = QWidget()
    row = QHBoxLayout(made)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(space(1))
    words = WordsLink(text)
    words.clicked.connect(change)
    row.addWidget(words, 1)
    ending = link(_("end"), end)
    ending.setAccessibleName(_("End the job {job}").format(job=job.text))
    row.addWidget(ending)
    return made


class JobForm:
    """The form of one job, new or known; it stands over the window until it is saved or left."""

    def __init__(self, context: Context, parent: QWidget, snapshot: Snapshot, job: Job | None = None) -> None:
        self._context = context
        self._job = job
        title = _("A job of your own") if job is None else _("Change the job")
        self.dialog = FormDialog(context, title, _("Add the job") if job is None else _("Save"), parent)
        form = self.dialog.form
        shown = job or Job(JobId(""), "", context.today)
        self._text = form.add_line("text", _("What is to be done"), shown.text)
        self._starts = DateField(context.today)
        self._starts.set_value(PartialDate.of(shown.starts))
        form.add("starts", _("First on"), self._starts)
        rhythms = (
            (_("once"), Every.ONCE),
            (_("every so many days"), Every.DAYS),
            (_("every so many weeks"), Every.WEEKS),
            (_("every so many months"), Every.MONTHS),
            (_("every so many years"), Every.YEARS),
        )
        self._every = form.add_choice("every", _("How often"), rhythms, shown.every)
        self._count = QSpinBox()
        self._count.setRange(1, _MOST)
        self._count.setValue(shown.count)
        form.add("count", _("How many days, weeks, months or years between"), self._count)
        self._every.currentIndexChanged.connect(self._every_changed)
        self._until = DateField(context.today)
        self._until.set_value(PartialDate.of(shown.until) if shown.until is not None else PartialDate())
        form.add("until", _("Last on"), self._until, _("Left empty, it never ends."))
        houses = sorted(snapshot.husbandry.houses.values(), key=lambda house: house.position)
        choices = ((_("no house"), None), *((house.name, house.id) for house in houses))
        self._house = form.add_choice("house", _("House"), choices, shown.house)
        self._note = form.add_line("note", _("Note"), shown.note)
        self._every_changed()
        self.dialog.set_change(self._read)

    def ask(self) -> None:
        """Open over the window."""
        self.dialog.ask()
        self._text.setFocus()

    def _every_changed(self) -> None:
        self._count.setEnabled(Every(self._every.currentData()) is not Every.ONCE)

    def _read(self) -> "Change | None":
        from studbook.book.changes import Correct, Enter

        starts, until = self._day("starts", self._starts), self._day("until", self._until)
        problems = [found for found in (starts, until) if isinstance(found, Problem)]
        if starts is None:
            message = _("The job has no first day: enter one.")
            problems.append(Problem("date", message, field="starts"))
        if problems:
            self.dialog.show_refusal(tuple(problems))
            return None
        assert isinstance(starts, date)
        every = Every(self._every.currentData())
        read = Job(
            self._job.id if self._job is not None else JobId(self.dialog.new_id),
            self._text.text().strip(),
            starts,
            every,
            1 if every is Every.ONCE else self._count.value(),
            until if isinstance(until, date) else None,
            self._house.currentData(),
            self._note.text().strip(),
        )
        return Enter((read,)) if self._job is None else Correct((self._job,), (read,))

    def _day(self, field: str, control: DateField) -> date | Problem | None:
        """The exact day in a field, None when it is empty."""
        if control.error:
            return Problem("date", control.error, field=field)
        if not control.value.is_known:
            return None
        if control.value.precision is not Precision.DAY or control.value.about:
            return Problem("date", _("A job needs an exact day, such as 4 Apr 2026."), field=field)
        return control.value.earliest


def end_of(job: Job, today: date) -> "Change":
    """The change that ends a job: its last day is over. One that has not begun is taken out."""
    from studbook.book.changes import Correct, Together, Withdraw

    if job.starts >= today:
        change: Change = Withdraw((job,))
    else:
        change = Correct((job,), (replace(job, until=today - timedelta(days=1)),))
    return Together((change,), _("end the job “{job}”").format(job=job.text))
