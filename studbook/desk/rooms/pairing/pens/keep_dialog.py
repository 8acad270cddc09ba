"""Keeping a plan: with its planned moves in one change, or as it stands."""

from collections import Counter
from datetime import date, timedelta
from uuid import UUID, uuid5

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QComboBox, QSpinBox, QVBoxLayout, QWidget

from studbook.book.changes import Change, Enter, Together, Withdraw
from studbook.book.errors import Problem
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Snapshot
from studbook.dates import PartialDate, Precision
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.pens.numbers import Solved
from studbook.desk.theme import Role, space
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.text import label
from studbook.desk.wording import bird_text, sentence_text
from studbook.planning.best_pens.by_hand import Worth
from studbook.planning.best_pens.keeping import plan_rows
from studbook.planning.best_pens.moves import MovesOfPlan, moves_of_plan
from studbook.planning.best_pens.telling import moves_words
from studbook.planning.best_pens.wishes import PensPlan
from studbook.planning.pens.board import open_pens
from studbook.planning.pens.naming import pen_name
from studbook.words import _, plural

BEGINS_MONTH = 2
"""Breeding pens are put together in February where nothing else is planned (common practice in the north)."""


class KeepDialog(FormDialog):
    """A name, a note, and with moves the day they are planned for and who moves out."""

    def __init__(
        self,
        context: Context,
        snapshot: Snapshot,
        solved: Solved,
        plan: PensPlan,
        worth: Worth,
        words: tuple[str, dict[BirdId, str]],
        season: int,
        parent: QWidget,
        *,
        moves: bool,
        is_own: bool,
    ) -> None:
        title = _("Make these planned moves") if moves else _("Keep this plan")
        super().__init__(context, title, _("Plan the moves") if moves else _("Keep"), parent)
        self.setObjectName("keep_plan_dialog")
        self._snapshot, self._solved, self._plan, self._worth = snapshot, solved, plan, worth
        self._reasons, self._of_hens = words
        self._season, self._is_own, self._has_moves = season, is_own, moves
        self._out: dict[BirdId, QCheckBox] = {}
        self.planned_on: date | None = None
        self.planned_moves = 0
        if moves:
            self._add_moves()
        taken = sum(row.season == season for row in snapshot.husbandry.plans.values())
        self.name = self.form.add_line(
            "name", _("Name"), _("Season {year}, plan {number}").format(year=season, number=taken + 1)
        )
        self.chicks = QSpinBox()
        self.chicks.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.chicks.setRange(0, 9999)
        self.chicks.setSpecialValueText(_("not said"))
        self.form.add("chicks", _("Chicks hoped for"), self.chicks)
        self.note = self.form.add_text("note", _("Why you decided so, for next year"))
        self.set_change(self._read)
        if moves:
            self.on.changed.connect(self._suit)
            self._suit()
            self.on.setFocus()

    def _add_moves(self) -> None:
        self.on = DateField(self.context.today)
        self.on.set_value(PartialDate.of(self._first_day()))
        self.form.add("on", _("On"), self.on)
        self._told = label("", Role.SMALL, wraps=True)
        self._told.setObjectName("keep_plan_told")
        strangers = self._found().strangers
        if strangers:
            box = QWidget()
            column = QVBoxLayout(box)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(space(0.5))
            for at, stranger in enumerate(strangers):
                pen = pen_name(self._snapshot.husbandry, stranger.pen)
                text = (
                    _("{bird}, planned to come to {pen}: take that back")
                    if stranger.comes
                    else _("{bird}, in {pen}")
                )
                tick = QCheckBox(text.format(bird=bird_text(self._snapshot.bird(stranger.bird)), pen=pen))
                tick.setObjectName(f"move_out_{at + 1}")
                tick.setChecked(stranger.comes)
                tick.toggled.connect(lambda _on: self._suit())
                column.addWidget(tick)
                self._out[stranger.bird] = tick
            self.form.add(
                "out",
                _("Others in these pens"),
                box,
                _("They are not of the plan. A cock among them may sire chicks."),
            )
            self.out_to = QComboBox()
            self.out_to.addItem(_("no pen"), None)
            used = {pen.place for pen in self._plan.pens}
            for other in open_pens(self._snapshot.husbandry, self.context.today):
                if other.id not in used:
                    self.out_to.addItem(other.name, other.id)
            if not all(stranger.comes for stranger in strangers):
                self.form.add("out_to", _("They go to"), self.out_to)
        self.form.add("told", _("What will be planned"), self._told)

    def _first_day(self) -> date:
        """The day most moves into these pens are planned for, else the beginning of the season."""
        places = {pen.place for pen in self._plan.pens}
        today = self.context.today
        days = Counter(
            move.on
            for move in self._snapshot.husbandry.moves.values()
            if move.pen in places and move.on > today
        )
        if days:
            return days.most_common(1)[0][0]
        return max(date(self._season, BEGINS_MONTH, 1), today + timedelta(days=1))

    @property
    def _day(self) -> date | None:
        """The day, when it is one day."""
        found = self.on.value
        return found.earliest if found.precision is Precision.DAY and not self.on.error else None

    def _found(self) -> MovesOfPlan:
        out = [bird for bird, tick in self._out.items() if tick.isChecked()]
        to = self.out_to.currentData() if out else None
        note = self.name.text().strip() if hasattr(self, "name") else ""
        return moves_of_plan(
            self._snapshot,
            self._plan.pens,
            self._day or self.context.today,
            self.context.today,
            out=out,
            out_to=PenId(to) if to else None,
            note=note,
        )

    def _suit(self) -> None:
        said = moves_words(self._found(), self._snapshot)
        self._told.setText("\n".join(sentence_text(sentence, self._snapshot) for sentence in said))
        self.set_caution(
            _(
                "Moves may be stopped by a housing order, and a hen alone with a cock wears: local rules decide."
            )
        )

    def _read(self) -> Change | None:
        if self._has_moves and self._day is None:
            text = self.on.error or _("Say the day of the moves: a day, a month and a year.")
            self.form.show_problems((Problem("date", text, field="on"),))
            return None
        numbers = iter(range(10**6))
        root = UUID(self.new_id)
        rows = plan_rows(
            lambda: str(uuid5(root, str(next(numbers)))),
            self._plan,
            self._solved.wishes,
            self._worth,
            self._solved.kin,
            self._season,
            self.context.today,
            name=self.name.text().strip(),
            note=self.note.toPlainText().strip(),
            reasons=self._reasons,
            of_hens=self._of_hens,
            present=self._solved.present_worth,
            is_own=self._is_own,
            chicks=self.chicks.value() or None,
        )
        if not self._has_moves:
            return Together(
                (Enter(rows),), _("keep a plan of the pens of {season}").format(season=self._season)
            )
        found = self._found()
        self.planned_on, self.planned_moves = self._day, len(found.moves)
        if not found.moves and not found.replaced:
            return Together(
                (Enter(rows),), _("keep a plan of the pens of {season}").format(season=self._season)
            )
        title = plural(
            "plan the pens of {season} with {count} move",
            "plan the pens of {season} with {count} moves",
            len(found.moves),
        ).format(season=self._season, count=len(found.moves))
        changes: list[Change] = [Withdraw(found.replaced)] if found.replaced else []
        return Together((*changes, Enter((*rows, *found.moves))), title)
