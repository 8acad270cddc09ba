"""The page Collections: the eggs of a week, what is on hand for setting, and what left."""

from datetime import date, timedelta

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from studbook.book.ids import BirdId
from studbook.book.records import Sex, Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.page import Page
from studbook.desk.rooms.eggs.collections.cell import CellPanel
from studbook.desk.rooms.eggs.collections.grid import WeekGrid
from studbook.desk.rooms.eggs.collections.model import Cell, WeekModel
from studbook.desk.rooms.eggs.collections.on_hand import OnHandPanel
from studbook.desk.rooms.eggs.collections.saving import CountSaver
from studbook.desk.rooms.eggs.collections.uses import UsesPanel
from studbook.desk.rooms.eggs.collections.week_line import WeekLine
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import label, link
from studbook.planning.eggs.week import WEEK_DAYS, monday, tally_rows
from studbook.words import _

_BESIDE = 330
_NARROW = 980
_LEAST_GRID = 300


class CollectionsPage(Page):
    """What was laid?

    Signals
    -------
    setting_asked
        The keeper wants to set eggs.
    """

    setting_asked = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__(context, "eggs_collections")
        self._snapshot: Snapshot | None = None
        self._also: set[BirdId] = set()
        self.week = monday(context.today)
        self.saver = CountSaver(context.record, self)
        self.model = WeekModel(context.today, self)
        self.grid = WeekGrid(self.model)
        self.line = WeekLine(context.today)
        self.cell = CellPanel(context)
        self.on_hand = OnHandPanel(context)
        self.uses = UsesPanel(context)
        self._build()
        self.saver.changed.connect(self._show_saving)
        self.grid.counted.connect(self.saver.save)
        self.grid.cell_changed.connect(self._show_cell)
        self.grid.week_asked.connect(self.line.step)
        self.line.week_asked.connect(self.show_week)
        self.on_hand.setting_asked.connect(self.setting_asked)

    def _build(self) -> None:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        column.addWidget(self.line)
        self.grid.setMinimumHeight(length(_LEAST_GRID))
        column.addWidget(self.grid, 1)
        self.problem = label("", Role.ERROR, wraps=True)
        self.problem.setObjectName("eggs_problem")
        self.problem.hide()
        column.addWidget(self.problem)
        column.addLayout(self._nesting())
        keys = _(
            "Digits type, + adds, Delete takes out. Enter goes down, Tab to the right; Page Up and Page Down change "
            "the week; Esc leaves the table."
        )
        column.addWidget(label(keys, Role.SMALL, wraps=True))
        right = QWidget()
        beside = QVBoxLayout(right)
        beside.setContentsMargins(0, 0, space(1.5), 0)
        beside.setSpacing(space(1))
        for panel in (self.cell, self.on_hand, self.uses):
            beside.addWidget(panel)
        beside.addStretch(1)
        self._right = right
        self._beside = QScrollArea()
        self._beside.setFrameShape(QFrame.Shape.NoFrame)
        self._beside.setWidgetResizable(True)
        self._beside.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._beside.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._beside.setWidget(right)
        self._beside.setMinimumWidth(length(_BESIDE))
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, self.content)
        self._halves.setContentsMargins(0, space(1.5), 0, 0)
        self._halves.setSpacing(space(4))
        self._halves.addWidget(left, 2)
        self._halves.addWidget(self._beside, 1)

    def _nesting(self) -> QHBoxLayout:
        """The way to give a hen a line of her own."""
        row = QHBoxLayout()
        row.setSpacing(space(1))
        self._ask_hen = link(_("trap-nest a hen…"), self.ask_hen)
        self._ask_hen.setObjectName("nest_hen")
        self._ask_hen.setToolTip(
            _("Gives a hen a line of her own, for as long as eggs of her own are entered")
        )
        row.addWidget(self._ask_hen)
        self._hen = BirdPicker()
        self._hen.setObjectName("nest_hen_picker")
        self._hen.changed.connect(self._take_hen)
        self._hen.hide()
        row.addWidget(self._hen, 1)
        row.addStretch(1)
        return row

    def show_snapshot(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        if not snapshot.husbandry.pens:
            self.show_missing(self._empty())
            return
        self.show_content()
        self._show()

    def actions_here(self) -> tuple[Action, ...]:
        return (
            Action("eggs.collect", _("Enter the &eggs of today"), self.enter_today, Menu.BIRDS, icon="egg"),
            Action("eggs.use", _("Eggs sold, given or ea&ten…"), self.uses.begin, Menu.BIRDS),
        )

    def save_state(self) -> None:
        self.grid.keep()
        self.on_hand.save_state()
        self.uses.save_state()

    def show_week(self, day: date) -> None:
        """Show the week of a day; the keyboard stays on the same line and weekday."""
        self.grid.keep()
        here = self.grid.cell
        shift = (monday(day) - self.week).days
        self.week = monday(day)
        if self._snapshot is None:
            return
        self._show()
        if here is not None:
            self.grid.go_to(Cell(here.of, here.on + timedelta(shift)))

    def enter_today(self) -> None:
        """Go to today's cell of the first line."""
        today = self.context.today
        self.show_week(today)
        if self.model.rows:
            self.grid.go_to(Cell(self.model.rows[0].source, today))
            self.grid.setFocus()

    def ask_hen(self) -> None:
        """Ask for a hen to be trap-nested."""
        snapshot = self._snapshot
        if snapshot is None:
            return
        lined = {row.source.hen for row in self.model.rows}
        self._hen.set_birds(snapshot.living, lambda bird: bird.sex is Sex.HEN and bird.id not in lined)
        self._hen.show()
        self._hen.setFocus()

    def _take_hen(self) -> None:
        bird = self._hen.bird
        if bird is None:
            return
        self._also.add(bird)
        self._hen.hide()
        self._hen.choose(None)
        self._show()
        for row in self.model.rows:
            if row.source.hen == bird:
                day = min(max(self.context.today, self.week), self.week + timedelta(WEEK_DAYS - 1))
                self.grid.go_to(Cell(row.source, day))
        self.grid.setFocus()

    def _show(self) -> None:
        snapshot, today = self._snapshot, self.context.today
        if snapshot is None:
            return
        here, had_focus = self.grid.cell, self.grid.hasFocus()
        rows = tally_rows(snapshot, self.week, today, self._also)
        self.model.show_rows(rows, snapshot, today)
        if self.grid.cell is None and rows:
            first = Cell(rows[0].source, today if monday(today) == self.week else self.week)
            if here is None or not self.grid.go_to(here):
                self.grid.go_to(first)
        if had_focus:
            self.grid.setFocus()
        self.line.show_week(self.week, today)
        self.on_hand.show_snapshot(snapshot, today)
        self.uses.show_week(snapshot, self.week, rows)
        self._show_cell(self.grid.cell)

    def _show_cell(self, cell: Cell | None) -> None:
        if self._snapshot is not None:
            self.cell.show_cell(cell, self._snapshot)

    def _show_saving(self) -> None:
        self.model.show_saving(self.saver.saving, self.saver.refused)
        self.problem.setText("\n".join(dict.fromkeys(self.saver.refused.values())))
        self.problem.setVisible(bool(self.saver.refused))

    def _empty(self) -> EmptyState:
        return EmptyState(
            "egg",
            _("Eggs are counted by pen"),
            _(
                "Here you type the eggs of a week as into a ledger: a line for each pen in the order of your walk, a "
                "column for each day. It shows how well the hens lay and which eggs are on hand for setting. It begins "
                "with houses and pens."
            ),
            (_("Set up pens"), lambda: self.room_asked.emit("pens")),
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        narrow = self.width() < length(_NARROW)
        directions = QBoxLayout.Direction
        self._beside.setMinimumHeight(self._right.sizeHint().height() if narrow else 0)
        self._halves.setDirection(directions.TopToBottom if narrow else directions.LeftToRight)
