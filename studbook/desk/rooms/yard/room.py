"""The Yard: what is due, who is in the flock and who is apart, what hatched, what is missing, what was done last."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QGridLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from studbook.book.husbandry.rows import Job
from studbook.book.records import Bird, Entry, Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.room import BirdList, Room
from studbook.desk.rooms.yard.diary.apart import apart_line, now_apart
from studbook.desk.rooms.yard.diary.jobs import JobForm, end_of, job_line, running_jobs
from studbook.desk.rooms.yard.diary.panel import DiaryPanel
from studbook.desk.rooms.yard.figures import FigureLine
from studbook.desk.rooms.yard.flock_row import FlockRow
from studbook.desk.rooms.yard.section import Section
from studbook.desk.rooms.yard.summary import Ages, Gaps, Group, Hatch, Season, by_year, gaps, groups, season
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import date_text, day_text, entry_label, moment_text, number_text
from studbook.planning.diary.agenda import Agenda, agenda
from studbook.planning.diary.calendar_file import calendar_days, calendar_tasks, calendar_text
from studbook.planning.diary.task import Kind, Task
from studbook.words import _, plural

if TYPE_CHECKING:
    from studbook.book.door import Book

_HATCHES = 8
_CHANGES = 6
_NARROW = 860
_TOP_RIGHT = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignRight


class YardRoom(Room):
    """What is in the flock now, and what in the record needs the keeper."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        self._area = QScrollArea()
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setWidgetResizable(True)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        whole.addWidget(self._area)
        self._page: YardPage | None = None
        self._diary: DiaryPanel | None = None
        self._figures: FigureLine | None = None

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        if not snapshot.birds:
            self._page = self._figures = self._diary = None
            self._area.setWidget(self._nothing_yet())
            return
        today = self.context.today
        # the page is first laid out when everything on it is known
        self.context.record.ask(
            lambda book: (book.snapshot(), agenda(book.snapshot(), today, day_text), book.journal(_CHANGES)),
            self._show,
            key="yard",
        )

    def _show(self, answer: tuple[Snapshot, Agenda, tuple[Entry, ...]]) -> None:
        snapshot, due, entries = answer
        today = self.context.today
        is_new = self._page is None
        page = self._page = self._page or YardPage()
        told = groups(snapshot, today)
        page.figures.show_told(told, lambda column: self._add_figures(column, told, snapshot))
        place = self._diary.place if self._diary is not None else -1
        if page.diary.show_told(due, lambda column: self._add_diary(column, due)) and self._diary is not None:
            self._diary.go_to(place)
        ages = by_year(snapshot)
        page.ages.show_told(ages, lambda column: self._add_ages(column, ages))
        last = season(snapshot, today)
        page.season.show_told(
            (last, _only_parents(snapshot, last)), lambda column: self._add_season(column, snapshot, last)
        )
        apart = tuple((row, snapshot.bird(row.bird)) for row in now_apart(snapshot))
        page.apart.show_told(apart, lambda column: self._add_apart(column, snapshot))
        jobs = running_jobs(snapshot, today)
        page.jobs.show_told(jobs, lambda column: self._add_jobs(column, jobs))
        missing = gaps(snapshot, today)
        page.gaps.show_told(missing, lambda column: self._add_gaps(column, missing))
        page.changes.show_told(entries, lambda column: self._add_changes(column, entries))
        if is_new:
            self._arrange()
            self._area.setWidget(page)

    def _add_figures(self, column: QVBoxLayout, told: tuple[Group, ...], snapshot: Snapshot) -> None:
        line = self._figures = FigureLine(told, snapshot.details.species)
        line.set_narrow(not self._is_wide())
        line.birds_asked.connect(self.birds_asked)
        column.addWidget(line)

    def _add_diary(self, column: QVBoxLayout, due: Agenda) -> None:
        self._diary = DiaryPanel(
            due, link(_("add a job…"), self.add_job), link(_("to a calendar…"), self.write_calendar)
        )
        self._diary.done.connect(self._do)
        self._diary.asked.connect(self._go_to)
        column.addWidget(self._diary)

    def _do(self, task: Task) -> None:
        """Do a task, or open a ticked one again; Undo takes either back."""
        from studbook.desk.deeds.foreseeing import apply_foreseen
        from studbook.planning.diary.doing import do, take_back

        snapshot = self.context.record.snapshot
        if snapshot is None:
            return
        if task.is_done:
            self.context.record.apply(take_back(task))
        else:
            change = do(task, snapshot, self.context.today, day_text)
            if task.kind is Kind.MOVE:
                apply_foreseen(self.context, change, self)
            else:
                self.context.record.apply(change)

    def _go_to(self, task: Task) -> None:
        """Go to what a task is about."""
        if isinstance(task.row, Job):
            self._ask_job(task.row)
        elif task.kind is Kind.MOVE or task.kind is Kind.CLEAR:
            self.room_asked.emit("pens")
        elif task.kind in (Kind.CANDLING, Kind.LOCKDOWN, Kind.HATCH, Kind.STORAGE):
            self.room_asked.emit("eggs")
        elif task.kind is Kind.TRIAL or len(task.birds) == 1:
            self.bird_asked.emit(str(task.birds[0]))
        else:
            self.birds_asked.emit(BirdList(task.words, task.birds))

    def add_job(self) -> None:
        """Ask for a job of the keeper's own."""
        self._ask_job(None)

    def _ask_job(self, job: Job | None) -> None:
        if (snapshot := self.context.record.snapshot) is not None:
            JobForm(self.context, self, snapshot, job).ask()

    def _end_job(self, job: Job) -> None:
        self.context.record.apply(end_of(job, self.context.today))

    def write_calendar(self) -> None:
        """Ask for a file and write the diary into it as a calendar."""
        proposed = Path(_("diary.ics"))
        self.context.questions.file_to_save(
            _("Write the diary as a calendar"), _("Calendars (*.ics)"), proposed, self._write_calendar
        )

    def _write_calendar(self, file: Path) -> None:
        today = self.context.today

        def write(book: "Book") -> str:
            tasks = calendar_tasks(book.snapshot(), *calendar_days(today), today)
            if not tasks:
                return _("Nothing is due for a quarter of a year: no calendar was written.")
            (entry,) = book.journal(1)
            try:
                file.write_bytes(calendar_text(tasks, book.snapshot(), entry.at).encode())
            except OSError as error:
                text = _("{file} cannot be written: {reason}.")
                return text.format(file=file.name, reason=error.strerror)
            text = plural("Wrote {count} date to {file}.", "Wrote {count} dates to {file}.", len(tasks))
            return text.format(count=number_text(len(tasks)), file=file.name)

        self.context.record.ask(write, self.context.say)

    def actions_here(self) -> tuple[Action, ...]:
        return (
            Action("yard.job", _("Add a &job of your own…"), self.add_job, Menu.BOOK, icon="list-checks"),
            Action(
                "yard.calendar",
                _("Write the diary as a &calendar…"),
                self.write_calendar,
                Menu.BOOK,
                icon="export",
            ),
        )

    def _add_apart(self, column: QVBoxLayout, snapshot: Snapshot) -> None:
        column.addWidget(SectionHeading(_("Apart")))
        found = now_apart(snapshot)
        for apart in found:
            column.addWidget(apart_line(apart, snapshot, self.bird_asked.emit))
        if not found:
            column.addWidget(label(_("No bird is apart from its flock."), Role.FAINT, wraps=True))

    def _add_jobs(self, column: QVBoxLayout, found: tuple[tuple[Job, date], ...]) -> None:
        if not found:
            return
        column.addWidget(SectionHeading(_("Your own jobs")))
        for job, day in found:
            column.addWidget(
                job_line(
                    job,
                    day,
                    lambda job=job: self._ask_job(job),  # type: ignore[misc]
                    lambda job=job: self._end_job(job),  # type: ignore[misc]
                )
            )

    def _is_wide(self) -> bool:
        """True where there is room for two columns."""
        return self.width() >= length(_NARROW)

    def _nothing_yet(self) -> QWidget:
        return EmptyState(
            "farm",
            _("Nobody in the yard yet"),
            _("Here you will see who is in the flock, what hatched this season and what still needs you."),
            (_("Add your first birds"), lambda: self.room_asked.emit("birds")),
            (_("Import a list…"), self._go_to_book),
        )

    def _go_to_book(self) -> None:
        self.room_asked.emit("book")

    def _ask_birds(self, title: str, birds: tuple[Bird, ...]) -> None:
        self.birds_asked.emit(BirdList(title, tuple(bird.id for bird in birds)))

    def _add_ages(self, column: QVBoxLayout, ages: Ages) -> None:
        column.addWidget(SectionHeading(_("The flock by hatch year")))
        grid = QGridLayout()
        grid.setHorizontalSpacing(space(2))
        grid.setVerticalSpacing(space(0.5))
        grid.setColumnStretch(1, 1)
        for row, (year, birds) in enumerate(ages):
            title = str(year) if year is not None else _("not known")
            heading = _("In the flock, hatched {year}").format(year=title)
            to_birds = link(title, lambda heading=heading, birds=birds: self._ask_birds(heading, birds))  # type: ignore[misc]
            to_birds.setAccessibleName(heading)
            shapes = FlockRow(birds)
            shapes.bird_asked.connect(self.bird_asked)
            grid.addWidget(to_birds, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(shapes, row, 1, Qt.AlignmentFlag.AlignVCenter)
            count = label(number_text(len(birds)), Role.FAINT)
            count.setContentsMargins(0, space(0.375), 0, 0)
            grid.addWidget(count, row, 2, _TOP_RIGHT)
        column.addLayout(grid)

    def _add_season(self, column: QVBoxLayout, snapshot: Snapshot, last: Season | None) -> None:
        if last is None:
            return
        this_year = last.year == self.context.today.year
        heading = (
            _("Hatched this season") if this_year else _("Last season's hatch, {year}").format(year=last.year)
        )
        hatched = _("Hatched in {year}").format(year=last.year)
        everything = link(_("all of them"), lambda: self._ask_birds(hatched, last.birds))
        column.addWidget(SectionHeading(heading, everything))
        living = sum(hatch.living for hatch in last.hatches)
        counted = plural(
            "{count} chick in {hatches}, {living} in the flock",
            "{count} chicks in {hatches}, {living} in the flock",
            len(last.birds),
        )
        hatches = plural("{count} hatch", "{count} hatches", len(last.hatches)).format(
            count=len(last.hatches)
        )
        column.addWidget(
            label(
                counted.format(count=len(last.birds), hatches=hatches, living=living), Role.FAINT, wraps=True
            )
        )
        grid = QGridLayout()
        grid.setHorizontalSpacing(space(2))
        grid.setVerticalSpacing(space(0.25))
        grid.setColumnStretch(5, 1)
        for row, hatch in enumerate(last.hatches[-_HATCHES:]):
            self._add_hatch(grid, row, snapshot, hatch)
        column.addLayout(grid)

    def _add_hatch(self, grid: QGridLayout, row: int, snapshot: Snapshot, hatch: Hatch) -> None:
        when = date_text(hatch.hatched)
        title = _("Hatched {date}").format(date=when)
        count = len(hatch.birds)
        words = plural("{count} chick", "{count} chicks", count).format(count=count)
        grid.addWidget(label(when), row, 0)
        to_birds = link(words, lambda: self._ask_birds(title, hatch.birds))
        to_birds.setAccessibleDescription(when)
        grid.addWidget(to_birds, row, 1)
        for column, parents, unknown, many in (
            (2, hatch.sires, _("sire not known"), _("several sires")),
            (4, hatch.dams, _("dam not known"), _("several dams")),
        ):
            if len(parents) == 1 and snapshot.has(parents[0]):
                bird = BirdLink(snapshot.bird(parents[0]))
                bird.asked.connect(self.bird_asked)
                grid.addWidget(bird, row, column)
            else:
                missing = label(many if parents else unknown, Role.FAINT)
                missing.setIndent(space(0.5))
                grid.addWidget(missing, row, column)
        grid.addWidget(label("×", Role.FAINT), row, 3)

    def _add_gaps(self, column: QVBoxLayout, missing: Gaps) -> None:
        column.addWidget(SectionHeading(_("To look at")))
        lines = (
            (missing.parents, _("No sire or no dam"), _("{count} without a sire or a dam")),
            (missing.marks, _("No mark"), _("{count} without a mark")),
            (missing.sexes, _("Grown, sex not known"), _("{count} grown, sex not known")),
            (missing.doubtful, _("Doubtful parents"), _("{count} with doubtful parents")),
        )
        for birds, title, text in lines:
            if birds:
                words = text.format(count=number_text(len(birds)))
                column.addWidget(link(words, lambda title=title, birds=birds: self._ask_birds(title, birds)))  # type: ignore[misc]
        if not any(birds for birds, _title, _text in lines):
            column.addWidget(
                label(_("Every bird of the flock has its parents and its mark."), Role.GOOD, wraps=True)
            )

    def _add_changes(self, column: QVBoxLayout, entries: tuple[Entry, ...]) -> None:
        column.addWidget(SectionHeading(_("Last written"), link(_("whole journal"), self._go_to_book)))
        for entry in entries:
            column.addWidget(self._change(entry))
        if not entries:
            column.addWidget(label(_("Nothing yet."), Role.FAINT))

    def _change(self, entry: Entry) -> QWidget:
        words = entry_label(entry)
        made = QWidget()
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 0, 0, space(0.5))
        column.setSpacing(0)
        deeper = link(words, lambda: self._open_change(entry, words))
        deeper.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        column.addWidget(deeper)
        moment = label(moment_text(entry.at), Role.SMALL)
        column.addWidget(moment)
        return made

    def _open_change(self, entry: Entry, words: str) -> None:
        if len(entry.birds) == 1:
            self.bird_asked.emit(str(entry.birds[0]))
        elif entry.birds:
            self.birds_asked.emit(BirdList(words, entry.birds))
        else:
            self._go_to_book()

    def _arrange(self) -> None:
        """Two columns where there is room for them, else one."""
        if self._page is not None and self._figures is not None:
            self._page.set_narrow(not self._is_wide())
            self._figures.set_narrow(not self._is_wide())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()


class YardPage(QWidget):
    """The parts of the Yard: a line of figures over two columns, or over one where there is little room."""

    def __init__(self) -> None:
        super().__init__()
        self.figures, self.diary, self.ages, self.season = (Section(space(1)) for _part in range(4))
        self.apart, self.jobs = Section(space(1)), Section(space(1))
        self.gaps, self.changes = Section(space(0.25)), Section(space(0.25))
        column = QVBoxLayout(self)
        column.setContentsMargins(space(4), space(3), space(4), space(3))
        column.setSpacing(space(1))
        column.addWidget(self.figures)
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        for share, parts in (
            (3, (self.diary, self.ages, self.season)),
            (2, (self.apart, self.jobs, self.gaps, self.changes)),
        ):
            half = QVBoxLayout()
            half.setSpacing(space(1))
            for part in parts:
                half.addWidget(part)
            half.addStretch(1)
            self._halves.addLayout(half, share)
        column.addLayout(self._halves)
        column.addStretch(1)

    def set_narrow(self, narrow: bool) -> None:
        """Set the second column below the first."""
        across, below = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._halves.setDirection(below if narrow else across)
        self._halves.setSpacing(space(1 if narrow else 6))


def _only_parents(snapshot: Snapshot, last: Season | None) -> tuple[Bird, ...]:
    """The sires and dams that are named with a hatch: those of a whole hatch."""
    hatches = last.hatches if last is not None else ()
    sides = (parents for hatch in hatches for parents in (hatch.sires, hatch.dams))
    return tuple(snapshot.bird(side[0]) for side in sides if len(side) == 1 and snapshot.has(side[0]))


def build(context: Context) -> YardRoom:
    """The room, for the window."""
    return YardRoom(context)
