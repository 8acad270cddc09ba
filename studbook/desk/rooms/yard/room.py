"""The Yard: who is in the flock, what hatched, what is missing, what was done last."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QGridLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from studbook.book.records import Bird, Entry, Snapshot
from studbook.desk.context import Context
from studbook.desk.room import BirdList, Room
from studbook.desk.rooms.yard.figures import FigureLine
from studbook.desk.rooms.yard.flock_row import FlockRow
from studbook.desk.rooms.yard.summary import Hatch, Season, by_year, gaps, groups, season
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import date_text, entry_label, moment_text, number_text
from studbook.words import _, plural

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
        self._changes = QVBoxLayout()
        self._halves: QBoxLayout | None = None
        self._figures: FigureLine | None = None

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        if not snapshot.birds:
            self._halves = self._figures = None
            self._area.setWidget(self._nothing_yet())
            return
        today = self.context.today
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(space(4), space(3), space(4), space(3))
        column.setSpacing(space(1))
        line = self._figures = FigureLine(groups(snapshot, today), snapshot.details.species)
        line.set_narrow(not self._is_wide())
        line.birds_asked.connect(self.birds_asked)
        column.addWidget(line)
        halves = self._halves = QBoxLayout(self._direction())
        halves.setSpacing(space(6))
        left, right = QVBoxLayout(), QVBoxLayout()
        for half in (left, right):
            half.setSpacing(space(1))
        self._add_ages(left, snapshot)
        if (last := season(snapshot, today)) is not None:
            self._add_season(left, snapshot, last)
        left.addStretch(1)
        self._add_gaps(right, snapshot)
        right.addWidget(SectionHeading(_("Last written"), link(_("whole journal"), self._go_to_book)))
        self._changes = QVBoxLayout()
        self._changes.setSpacing(space(0.5))
        right.addLayout(self._changes)
        right.addStretch(1)
        halves.addLayout(left, 3)
        halves.addLayout(right, 2)
        column.addLayout(halves)
        column.addStretch(1)
        self._area.setWidget(page)
        self.context.record.ask(lambda book: book.journal(_CHANGES), self._show_changes, key="yard changes")

    def _is_wide(self) -> bool:
        """True where there is room for two columns."""
        return self.width() >= length(_NARROW)

    def _direction(self) -> QBoxLayout.Direction:
        return QBoxLayout.Direction.LeftToRight if self._is_wide() else QBoxLayout.Direction.TopToBottom

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

    def _add_ages(self, column: QVBoxLayout, snapshot: Snapshot) -> None:
        column.addWidget(SectionHeading(_("The flock by hatch year")))
        grid = QGridLayout()
        grid.setHorizontalSpacing(space(2))
        grid.setVerticalSpacing(space(0.5))
        grid.setColumnStretch(1, 1)
        for row, (year, birds) in enumerate(by_year(snapshot)):
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

    def _add_season(self, column: QVBoxLayout, snapshot: Snapshot, last: Season) -> None:
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

    def _add_gaps(self, column: QVBoxLayout, snapshot: Snapshot) -> None:
        missing = gaps(snapshot, self.context.today)
        column.addWidget(SectionHeading(_("To look at")))
        column.setSpacing(space(0.25))
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

    def _show_changes(self, entries: tuple[Entry, ...]) -> None:
        while (item := self._changes.takeAt(0)) is not None:
            if (old := item.widget()) is not None:
                old.deleteLater()
        for entry in entries:
            self._changes.addWidget(self._change(entry))
        if not entries:
            self._changes.addWidget(label(_("Nothing yet."), Role.FAINT))

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

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._halves is not None and self._figures is not None:
            self._halves.setDirection(self._direction())
            self._halves.setSpacing(space(6 if self._is_wide() else 1))
            self._figures.set_narrow(not self._is_wide())


def build(context: Context) -> YardRoom:
    """The room, for the window."""
    return YardRoom(context)
