"""The page Rotation: the families now, what moves this season, and what came of it over the years."""

from collections.abc import Sequence
from datetime import date, timedelta

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.changes import Enter, Together, Withdraw
from studbook.book.husbandry.choosing_rows import Rotation
from studbook.book.husbandry.rows import Move
from studbook.book.ids import MoveId, RotationId
from studbook.book.records import Snapshot
from studbook.dates import PartialDate, Precision
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.page import Choosing, ChoosingPage
from studbook.desk.rooms.pairing.revealing import reveal
from studbook.desk.rooms.pairing.rotation.form import RotationDialog
from studbook.desk.rooms.pairing.rotation.numbers import Answer, AskRow, YearRow, answer
from studbook.desk.tables import Column, Paint, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.chart_panel import ChartPanel
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.wording import bird_text, day_text, percent_text
from studbook.planning.pens.board import open_pens
from studbook.planning.sentences import Sentence
from studbook.words import _, plural

_DAYS_TO_COME = 7
_ROWS_SEEN = 16
_SEASON_FROM = (2, 1)
"""Young birds are put into the breeding pens from the first of February on, unless the keeper says otherwise."""


class RotationPage(ChoosingPage):
    """Who moves on to the next pen, and what does it do to the line?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "pairing_rotation")
        self._choosing: Choosing | None = None
        self._answer: Answer | None = None
        self._shown: RotationId | None = None
        self._ticket = 0
        self._asks: RowsModel[AskRow] = RowsModel(_ask_columns(), identity=lambda row: row.ask.bird)
        self.asks = Table(self._asks, "rotation_asks")
        self._asks.setParent(self.asks)
        self.asks.setAccessibleName(_("Where each bird belongs"))
        self.asks.row_asked.connect(lambda row: self.bird_asked.emit(str(row.bird.id)))
        self.asks.selection_changed.connect(self._suit)
        self._years: RowsModel[YearRow] = RowsModel(
            _year_columns(), identity=lambda row: (row.year.season, row.year.pen)
        )
        self.years = Table(self._years, "rotation_years")
        self._years.setParent(self.years)
        self.years.setAccessibleName(_("The families over the years"))
        self.years.selection_changed.connect(self._open_year)
        for table in (self.asks, self.years):
            table.set_dense(True)
            table.restore_state(context.settings)
        self._build()

    def _build(self) -> None:
        column = QVBoxLayout(self.content)
        column.setContentsMargins(0, space(1.5), space(1.5), space(1))
        column.setSpacing(space(1))
        column.addLayout(self._head())
        self.told = self._prose("rotation_told", _("The rotation"))
        self.families = self._prose("rotation_families", _("The families now"))
        self.season = self._prose("rotation_season", _("What this season asks for"))
        self.why = self._prose("rotation_why", _("One bird and where it belongs"))
        self.why.pair_asked.connect(self.pair_asked)
        self.faults = self._prose("rotation_faults", _("What is out of line"))
        self.expected = self._prose("rotation_expected", _("What was to be expected"))
        self.opened = self._prose("rotation_opened", _("One family in one season"))
        self.methods = self._prose("rotation_methods", _("How these figures are found"))
        self.caution = label(_housing(), Role.SMALL, wraps=True)
        self.chart = ChartPanel(self.context, "rotation_chart", _("Over the years"))
        self._season_heading = SectionHeading(_("This season"))
        self._faults_heading = SectionHeading(_("Out of line"))
        self._years_heading = SectionHeading(_("Family by family"))
        above: tuple[QWidget, ...] = (
            self.told,
            SectionHeading(_("The families now")),
            self.families,
            self._faults_heading,
            self.faults,
            self._season_heading,
            self.season,
            self.asks,
        )
        below: tuple[QWidget, ...] = (
            self.why,
            self.caution,
            self.chart,
            self.expected,
            self._years_heading,
            self.years,
            self.opened,
            self.methods,
        )
        for part in above:
            column.addWidget(part)
        column.addLayout(self._planning())
        for part in below:
            column.addWidget(part)
        column.addStretch(1)

    def _prose(self, name: str, spoken: str) -> Prose:
        made = Prose(name, spoken)
        made.bird_asked.connect(self.bird_asked)
        return made

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        self._which = QComboBox()
        self._which.setObjectName("rotation_which")
        self._which.setAccessibleName(_("Rotation"))
        self._which.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self._which.activated.connect(self._take_rotation)
        row.addWidget(self._which)
        row.addStretch(1)
        self._buttons = (
            link(_("another rotation…"), self.set_up),
            link(_("take out of the book"), self.take_out),
            button(_("Change…"), self.change),
        )
        for control, name in zip(self._buttons, ("another", "take_out", "change"), strict=True):
            control.setObjectName(f"rotation_{name}")
            row.addWidget(control)
        return row

    def _planning(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        self._on = DateField(self.context.today)
        self._on.edit.setObjectName("rotation_on")
        self._on.edit.setAccessibleName(_("Day of the moves"))
        self._on.setMaximumWidth(length(220))
        self._on_label = label(_("Moves on"), Role.CAPTION)
        self._on_label.setBuddy(self._on)
        self._plan = button("", self.plan_moves, primary=True)
        self._plan.setObjectName("rotation_plan")
        self._on.changed.connect(self._suit)
        self._planned_hint = label("", Role.SMALL, wraps=True)
        # the field for the day has a remark below it: all stand at the height of its line
        line = max(self._on.edit.sizeHint().height(), self._plan.sizeHint().height())
        for words in (self._on_label, self._planned_hint):
            words.setMinimumHeight(line)
            words.setAlignment(Qt.AlignmentFlag.AlignVCenter)
        for part in (self._on_label, self._on, self._plan):
            row.addWidget(part, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._planned_hint, 1, Qt.AlignmentFlag.AlignTop)
        return row

    def actions_here(self) -> tuple[Action, ...]:
        return (
            Action(
                "pairing.rotation_begin",
                _("Set up pen &families…"),
                self.set_up,
                Menu.BIRDS,
                enabled=lambda: self._can_write and self._has_pens,
                icon="columns",
            ),
            Action(
                "pairing.rotation_plan",
                _("P&lan the moves of the rotation"),
                self.plan_moves,
                Menu.BIRDS,
                enabled=lambda: self._can_write and bool(self._moving),
            ),
        )

    def show_choosing(self, choosing: Choosing) -> None:
        self._choosing = choosing
        rotations = self._rotations
        if not rotations:
            self._answer = None
            self.show_missing(self._nothing())
            return
        self.show_content()
        if self._shown not in rotations:
            self._shown = next(iter(rotations))
        self._which.clear()
        for rotation in rotations.values():
            self._which.addItem(rotation.name, rotation.id)
        self._which.setCurrentIndex(self._which.findData(self._shown))
        self._which.setVisible(len(rotations) > 1)
        for control in self._buttons:
            control.setVisible(self._can_write)
        if not self._on.value.is_known:
            start = date(choosing.season, *_SEASON_FROM)
            soon = self.context.today + timedelta(_DAYS_TO_COME)
            self._on.set_value(PartialDate.of(max(start, soon)))
        self._ask()

    def save_state(self) -> None:
        for table in (self.asks, self.years):
            table.save_state(self.context.settings)

    def leave(self) -> None:
        self.context.workers.cancel(self._ticket)
        self.chart.cancel()

    @property
    def answer(self) -> Answer | None:
        """What is shown."""
        return self._answer

    def set_up(self) -> None:
        """Ask for a new rotation."""
        if self._choosing is not None and self._can_write:
            self._ask_form(None)

    def change(self) -> None:
        """Ask how the rotation shown is to be changed."""
        if self._answer is not None and self._can_write:
            self._ask_form(self._answer.rotation)

    def take_out(self) -> None:
        """Take the rotation shown out of the book; undo brings it back."""
        if self._answer is None or self._choosing is None or not self._can_write:
            return
        rotation = self._answer.rotation
        places = self._choosing.snapshot.husbandry.pens_of_rotation.get(rotation.id, ())
        title = _("take the rotation {name} out of the book").format(name=rotation.name)
        self.context.record.apply(Together((Withdraw((rotation, *places)),), title))

    def plan_moves(self) -> None:
        """Plan the moves of the birds selected, or of all that are due, in one change."""
        day, moving = self._day, self._moving
        if day is None or not moving or self._answer is None or not self._can_write:
            return
        moves = tuple(Move(MoveId(""), row.bird.id, row.ask.to, day) for row in moving)
        title = plural(
            "plan {count} move of the rotation {name}",
            "plan {count} moves of the rotation {name}",
            len(moves),
        )
        self.context.record.apply(
            Together((Enter(moves),), title.format(count=len(moves), name=self._answer.rotation.name))
        )

    @property
    def _can_write(self) -> bool:
        book = self.context.record.open_book
        return book is not None and not book.read_only

    @property
    def _has_pens(self) -> bool:
        if self._choosing is None:
            return False
        return len(open_pens(self._choosing.snapshot.husbandry, self.context.today)) > 1

    @property
    def _rotations(self) -> dict[RotationId, Rotation]:
        """The rotations of the book, those that go on first, the latest before others."""
        if self._choosing is None:
            return {}
        found = sorted(
            self._choosing.snapshot.husbandry.rotations.values(),
            key=lambda rotation: (rotation.ended is not None, -rotation.begun.toordinal()),
        )
        return {rotation.id: rotation for rotation in found}

    @property
    def _day(self) -> date | None:
        value = self._on.value
        exact = value.precision is Precision.DAY and not value.about
        return value.earliest if exact and value.earliest > self.context.today else None

    @property
    def _moving(self) -> tuple[AskRow, ...]:
        """The birds whose moves would be planned: those selected that are not there yet, else all that are due."""
        if self._answer is None:
            return ()
        chosen = self.asks.selected
        if chosen:
            return tuple(row for row in chosen if not row.ask.is_there and row.ask.planned is None)
        return tuple(row for row in self._answer.asks if row.ask.is_due)

    def _ask_form(self, rotation: Rotation | None) -> None:
        assert self._choosing is not None
        dialog = RotationDialog(
            self.context, self._choosing.snapshot, self._choosing.species, self.window(), rotation
        )
        dialog.ask()

    def _nothing(self) -> EmptyState:
        text = _(
            "Pens become families: pullets stay in their dams' pen, cockerels move on to the next, and no cock goes "
            "back to his own line. Three pens or more keep F low for many years. Here you will see who moves each "
            "season, and F year by year beside what was to be expected."
        )
        heading = _("No pen families yet")
        if not self._has_pens:
            more = _("It takes two pens at least: add them first.")
            return EmptyState(
                "columns",
                heading,
                f"{text} {more}",
                (_("Go to the pens"), lambda: self.room_asked.emit("pens")),
            )
        if not self._can_write:
            return EmptyState("columns", heading, text)
        return EmptyState("columns", heading, text, (_("Set up pen families…"), self.set_up))

    def _take_rotation(self) -> None:
        self._shown = self._which.currentData()
        self._ask()

    def _ask(self) -> None:
        choosing, today = self._choosing, self.context.today
        if choosing is None or self._shown is None:
            return
        rotation = choosing.snapshot.husbandry.rotations[self._shown]
        self._ticket = self.context.workers.run(
            lambda _progress: answer(
                choosing.snapshot,
                choosing.kinship,
                rotation,
                choosing.species,
                choosing.season,
                today,
                day_text,
            ),
            self._show,
            key=("pairing", "rotation"),
        )

    def _show(self, found: Answer) -> None:
        assert self._choosing is not None
        self._answer = found
        snapshot = self._choosing.snapshot
        lead, *more = found.summary
        self.told.show_paragraphs(
            [Paragraph(((lead,),), Style.LEAD), *(Paragraph(((text,),)) for text in more)], snapshot
        )
        paragraphs = []
        for name, sentences in found.families:
            paragraphs.append(Paragraph(((name,),), Style.HEAD))
            paragraphs += [Paragraph((sentence,)) for sentence in sentences]
        self.families.show_paragraphs(paragraphs, snapshot)
        self._tell(self.faults, found.deviations, snapshot)
        self._faults_heading.setVisible(bool(found.deviations))
        self._season_heading.set_text(_("For the season {season}").format(season=found.scheme.season))
        self._tell(self.season, found.season, snapshot)
        self._tell(self.expected, found.expected, snapshot)
        self.asks.setVisible(bool(found.asks))
        for control in (self._on_label, self._on, self._plan, self._planned_hint, self.caution):
            control.setVisible(bool(found.asks) and self._can_write)
        self._asks.set_rows(found.asks)
        self._years.set_rows(found.years)
        for table in (self.asks, self.years):
            table.fit_rows(_ROWS_SEEN)
        for part in (self._years_heading, self.years, self.opened):
            part.setVisible(bool(found.years))
        self.chart.show_chart(found.chart)
        methods = []
        for method in found.methods:
            methods.append(Paragraph(((_("How it is found: {method}").format(method=method.name),),)))
            methods.append(Paragraph(((method.text,),), Style.REMARK))
            methods += [Paragraph(((source,),), Style.REMARK) for source in method.sources]
        self.methods.show_paragraphs(methods, snapshot)
        self._open_year()
        self._suit()

    def _tell(self, prose: Prose, sentences: Sequence[Sentence], snapshot: Snapshot) -> None:
        prose.show_paragraphs([Paragraph((sentence,)) for sentence in sentences], snapshot)
        prose.setVisible(bool(sentences))

    def _suit(self) -> None:
        """What the button would plan now."""
        moving = self._moving
        chosen = bool(self.asks.selected)
        if chosen:
            text = plural("Plan the {count} selected move", "Plan the {count} selected moves", len(moving))
        else:
            text = plural("Plan {count} move", "Plan {count} moves", len(moving))
        self._tell_why()
        self._plan.setText(text.format(count=len(moving)))
        self._plan.setEnabled(bool(moving) and self._day is not None)
        if self._day is None:
            self._planned_hint.setText(_("Enter an exact day to come, such as 4 Apr 2026."))
        else:
            self._planned_hint.setText(
                _("They stand among the planned moves in Pens. Select rows to plan only those.")
            )

    def _tell_why(self) -> None:
        """Tell of the bird that is chosen among those that move or stay."""
        chosen = self.asks.selected
        self.why.setVisible(len(chosen) == 1)
        if len(chosen) == 1 and self._choosing is not None:
            self.why.show_paragraphs([Paragraph(chosen[0].opened)], self._choosing.snapshot)
            if self.asks.hasFocus():
                reveal(self, self.why)

    def _open_year(self) -> None:
        """Tell of the family and season that is chosen."""
        if self._choosing is None or self._answer is None:
            return
        chosen = self.years.selected
        snapshot = self._choosing.snapshot
        if len(chosen) != 1:
            hint = _("Choose a line: here stand the cock, the chicks and the F of each family's pullets.")
            self.opened.show_paragraphs([Paragraph(((hint,),), Style.REMARK)], snapshot)
            return
        title, *more = chosen[0].opened
        self.opened.show_paragraphs(
            [Paragraph((title,), Style.LEAD), *(Paragraph((sentence,)) for sentence in more)], snapshot
        )
        if self.years.hasFocus():
            reveal(self, self.opened)


def _housing() -> str:
    """Moves may be stopped by order."""
    return _(
        "While a housing order or a disease restriction is in force, birds may not be moved as one likes, "
        "not even between one's own yards. Local rules and a vet decide."
    )


def _share(value: float | None) -> str:
    return "" if value is None else percent_text(value)


def _home_tip(row: AskRow) -> str:
    return "\n".join(text for text in (row.home, row.known) if text)


def _ask_columns() -> tuple[Column[AskRow], ...]:
    return (
        Column(
            "bird", _("Bird"), lambda row: bird_text(row.bird), width=24, paint=Paint.BIRD,
            bird=lambda row: row.bird, tip=lambda row: bird_text(row.bird),
        ),
        Column("home", _("Family"), lambda row: row.home, width=14, tip=_home_tip),
        Column("now", _("Is in"), lambda row: row.now, width=14, tip=lambda row: row.now),
        Column("to", _("Belongs in"), lambda row: row.to, width=14, tip=lambda row: row.to),
        Column(
            "planned", _("Move"),
            lambda row: _("is there") if row.ask.is_there else day_text(row.planned) if row.planned else "",
            lambda row: row.planned, width=13,
        ),
        Column(
            "f", _("F of his chicks"), lambda row: _share(row.ask.kinship), lambda row: row.ask.kinship, right=True,
            explained=_("On average with the hens of the pen; choose a line to see it hen by hen"),
        ),
        Column("why", _("Why"), lambda row: row.why, width=30, tip=lambda row: row.why),
    )  # fmt: skip


def _year_columns() -> tuple[Column[YearRow], ...]:
    return (
        Column(
            "season", _("Season"), lambda row: str(row.year.season), lambda row: row.year.season, width=6,
            right=True,
        ),
        Column("pen", _("Family"), lambda row: row.pen, width=14, tip=lambda row: row.pen),
        Column("cock", _("Cock"), lambda row: row.cocks, width=14),
        Column(
            "pullets", _("Pullets"), lambda row: str(len(row.year.pullets)), lambda row: len(row.year.pullets),
            width=6, right=True,
        ),
        Column(
            "mean", _("F of the pullets"), lambda row: _share(row.year.mean), lambda row: row.year.mean, right=True,
        ),
        Column(
            "expected", _("Expected"), lambda row: _share(row.year.expected), lambda row: row.year.expected,
            right=True,
        ),
        Column("origin", _("He is from"), lambda row: row.origin, width=26, tip=lambda row: row.origin),
    )  # fmt: skip
