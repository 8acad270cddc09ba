"""The page Outcome: what came of the eggs that were set, where losses fall, and what guides say to look at."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QComboBox, QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from studbook.book.records import Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.page import Page
from studbook.desk.rooms.eggs.outcome.columns import outcome_columns
from studbook.desk.rooms.eggs.outcome.numbers import Answer, Question, answer, loss_chart
from studbook.desk.tables import RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.chart_panel import ChartPanel
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.wording import bird_text, day_text
from studbook.planning.eggs.outcome import By, OutcomeRow, Parents, seasons
from studbook.planning.eggs.telling import (
    by_text,
    doubt_of_group,
    group_text,
    loss_sentences,
    loss_sources,
    outcome_sentences,
    reliance_sentence,
)
from studbook.words import _

_BESIDE = 340
_NARROW, _WIDE = 900, 1480
"""Below the first all is one column; from the second the table and what it tells stand side by side."""
_LEAST_TABLE, _LEAST_TOLD = 200, 250
_MOST_ROWS = 9


class OutcomePage(Page):
    """What came of the eggs?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "eggs_outcome")
        self._snapshot: Snapshot | None = None
        self._answer: Answer | None = None
        self._parents: Parents | None = None
        self._season: int | None = None
        self._is_first = True
        self._ticket = 0
        self._model: RowsModel[OutcomeRow] = RowsModel(
            outcome_columns(self._name, self._order, self._tip),
            identity=lambda row: row.group,
        )
        self.table = Table(self._model, "outcome_table")
        self._model.setParent(self.table)
        self.table.setAccessibleName(_("What came of the eggs set"))
        self.table.restore_state(context.settings)
        self.table.selection_changed.connect(self._show_chosen)
        self.table.row_asked.connect(self._go_to)
        self._build()

    def _build(self) -> None:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        column.addLayout(self._head())
        self.table.setMinimumHeight(length(_LEAST_TABLE))
        column.addWidget(self.table, 1)
        column.addWidget(label(reliance_sentence(), Role.SMALL, wraps=True))
        right = QWidget()
        self._parts = QBoxLayout(QBoxLayout.Direction.TopToBottom, right)
        self._parts.setContentsMargins(0, 0, space(1.5), 0)
        self._parts.setSpacing(space(1))
        words, picture = QVBoxLayout(), QVBoxLayout()
        self._heading = SectionHeading(_("All together"))
        self._all = link(_("all together"), self.table.clearSelection)
        self._all.setObjectName("outcome_all")
        self.told = label("", wraps=True)
        self.told.setObjectName("outcome_told")
        self.doubt = label("", Role.CAUTION, wraps=True)
        self.doubt.setObjectName("outcome_doubt")
        self.losses = ChartPanel(self.context, "loss_chart", _("Where losses fall"))
        self.advice = label("", wraps=True)
        self.advice.setObjectName("outcome_advice")
        self.sources = label("", Role.SMALL, wraps=True)
        self.sources.setObjectName("outcome_sources")
        for column_of, parts in (
            (words, (self._heading, self.told, self.doubt, self._all)),
            (picture, (self.losses, self.advice, self.sources)),
        ):
            column_of.setSpacing(space(1))
            for part in parts:
                column_of.addWidget(part)
            column_of.addStretch(1)
            self._parts.addLayout(column_of, 1)
        self._beside = QScrollArea()
        self._beside.setFrameShape(QFrame.Shape.NoFrame)
        self._beside.setWidgetResizable(True)
        self._beside.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._beside.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._beside.setWidget(right)
        self._beside.setMinimumWidth(length(_BESIDE))
        self._right = right
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, self.content)
        self._halves.setContentsMargins(0, space(1.5), 0, 0)
        self._halves.setSpacing(space(4))
        self._halves.addWidget(left, 2)
        self._halves.addWidget(self._beside, 1)

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space(1))
        self._by = QComboBox()
        self._by.setObjectName("outcome_by")
        self._by.setAccessibleName(_("By what the eggs are taken together"))
        for by in By:
            self._by.addItem(by_text(by), by)
        self._by.currentIndexChanged.connect(lambda _index: self._ask())
        self._seasons = QComboBox()
        self._seasons.setObjectName("outcome_season")
        self._seasons.setAccessibleName(_("Season"))
        self._seasons.activated.connect(self._take_season)
        for caption, control in ((_("By"), self._by), (_("Season"), self._seasons)):
            words = label(caption, Role.CAPTION)
            words.setBuddy(control)
            control.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
            row.addWidget(words)
            row.addWidget(control)
            row.addSpacing(space(1))
        row.addStretch(1)
        export = button(_("Export…"), self.export, icon="export")
        export.setObjectName("outcome_export")
        row.addWidget(export)
        return row

    @property
    def question(self) -> Question:
        """What the controls ask for."""
        return Question(By(self._by.currentData()), self._season)

    def actions_here(self) -> tuple[Action, ...]:
        return (
            Action(
                "eggs.outcome_export",
                _("E&xport what came of the eggs…"),
                self.export,
                Menu.BIRDS,
                enabled=lambda: self._answer is not None and bool(self._answer.rows),
                icon="export",
            ),
        )

    def show_snapshot(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        years = seasons(snapshot)
        if not years:
            self._answer = None
            self.show_missing(
                EmptyState(
                    "egg",
                    _("Nothing has been set yet"),
                    _(
                        "Once eggs are set, candled and hatched, here you see how many were fertile and how many "
                        "hatched, by pen, cock, hen, broody, machine and week, with how sure such small numbers are, "
                        "and at which stage eggs were lost."
                    ),
                )
            )
            return
        self.show_content()
        if self._is_first or (self._season is not None and self._season not in years):
            self._season, self._is_first = years[0], False
        self._seasons.clear()
        self._seasons.addItem(_("all seasons"), None)
        for year in years:
            self._seasons.addItem(str(year), year)
        self._seasons.setCurrentIndex(self._seasons.findData(self._season))
        self._ask()

    def save_state(self) -> None:
        self.table.save_state(self.context.settings)

    def leave(self) -> None:
        self.context.workers.cancel(self._ticket)
        self.losses.cancel()

    def export(self) -> None:
        """Write the table as it stands."""
        self.context.questions.file_to_save(
            _("Export what came of the eggs"),
            _("Numbers (*.csv)"),
            Path.home() / f"{_('What came of the eggs')}.csv",
            self._write,
        )

    def _write(self, path: Path) -> None:
        try:
            self.table.export(path)
        except OSError as error:
            reason = _("{file} could not be written: {reason}.").format(file=path, reason=error.strerror)
            self.context.questions.tell(_("The table is not written"), reason)
        else:
            self.context.say(_("Wrote the table to {file}.").format(file=path.name))

    def _take_season(self) -> None:
        self._season = self._seasons.currentData()
        self._ask()

    def _ask(self) -> None:
        snapshot, question, known = self._snapshot, self.question, self._parents
        if snapshot is None:
            return
        self._ticket = self.context.workers.run(
            lambda _progress: answer(snapshot, question, known), self._show, key=("eggs", "outcome")
        )

    def _show(self, found: Answer) -> None:
        self._answer, self._parents = found, found.parents
        self._model.set_rows(found.rows)
        self._fit_table()
        self._show_chosen()

    def _show_chosen(self) -> None:
        """Tell of the line chosen, else of all together."""
        found = self._answer
        if found is None:
            return
        chosen = self.table.selected
        row = chosen[0] if len(chosen) == 1 else None
        self._all.setVisible(row is not None)
        name = self._name(row) if row is not None else _("All together")
        self._heading.set_text(name)
        self.doubt.setText(doubt_of_group(row.group) if row is not None else "")
        self.doubt.setVisible(bool(self.doubt.text()))
        self._tell(name, row if row is not None else found.together)

    def _tell(self, name: str, row: OutcomeRow) -> None:
        self.told.setText("\n".join(outcome_sentences(row)))
        chart = loss_chart(_("Where losses fall: {name}").format(name=name), row)
        if chart is None:
            self.losses.show_sentence(_("No egg of these has met its end yet."))
        else:
            self.losses.show_chart(chart)
        for part, texts in ((self.advice, loss_sentences(row)), (self.sources, loss_sources(row))):
            part.setText("\n".join(texts))
            part.setVisible(bool(texts))

    def _name(self, row: OutcomeRow) -> str:
        snapshot = self._snapshot
        if snapshot is None:
            return ""
        called = bird_text if len(row.group.birds) == 1 else lambda bird: bird.called
        return group_text(row.group, snapshot, called, day_text)

    def _tip(self, row: OutcomeRow) -> str:
        return "\n".join(text for text in (self._name(row), doubt_of_group(row.group)) if text)

    def _order(self, row: OutcomeRow) -> object:
        return row.group.week.isoformat() if row.group.week is not None else self._name(row)

    def _go_to(self, row: OutcomeRow) -> None:
        """Enter on a line of one bird opens its page."""
        birds = [bird for bird in row.group.birds if bird is not None]
        if len(birds) == 1 and row.group.is_certain:
            self.bird_asked.emit(str(birds[0]))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        across, below = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        narrow, wide = self.width() < length(_NARROW), self.width() >= length(_WIDE)
        self._halves.setDirection(across if wide else below)
        self._halves.setSpacing(space(4) if wide else space(1))
        self._halves.setStretch(0, 2 if wide else 0)
        self._parts.setDirection(below if narrow or wide else across)
        self._parts.setSpacing(space(1) if narrow or wide else space(5))
        least = self._right.sizeHint().height() if narrow else 0 if wide else length(_LEAST_TOLD)
        self._beside.setMinimumHeight(least)
        self._fit_table()

    def _fit_table(self) -> None:
        """Beside what it tells the table is as high as the page; above it, as its rows."""
        if self.width() >= length(_WIDE):
            self.table.fit_rows(0)
            self.table.setMinimumHeight(length(_LEAST_TABLE))
        else:
            self.table.fit_rows(_MOST_ROWS)
