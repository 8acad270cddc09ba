"""The page How many eggs: the wish at the left, the answer with its dates and its reasons beside it."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from studbook.book.changes import Change, Enter, Together, Withdraw
from studbook.book.husbandry.rows import Job
from studbook.book.ids import JobId
from studbook.book.records import Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.chicks.form import WishForm
from studbook.desk.rooms.pairing.chicks.numbers import Answer, Figure, Lot, answer
from studbook.desk.rooms.pairing.page import Choosing, ChoosingPage
from studbook.desk.rooms.pairing.revealing import reveal
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.chart_panel import ChartPanel
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, button, label
from studbook.desk.wording import day_text
from studbook.planning.next_season.wish import Wish, laying_hens, usual_wish
from studbook.words import _

_FORM = 344
_NARROW = 980
_ROWS_SEEN = 16


class ChicksPage(ChoosingPage):
    """How many eggs, so that there is enough to choose from?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "pairing_chicks")
        self._snapshot: Snapshot | None = None
        self._answer: Answer | None = None
        self._species = ""
        self._season = 0
        self._wishes: dict[tuple[str, int], Wish] = {}
        self._ticket = 0
        self.wish_form = WishForm(context.today)
        self.wish_form.changed.connect(self._take_wish)
        self._lots: RowsModel[Lot] = RowsModel(_lot_columns(), identity=lambda lot: lot.number)
        self.lots = Table(self._lots, "season_lots")
        self._lots.setParent(self.lots)
        self.lots.setAccessibleName(_("The lots of eggs and their days"))
        self._figures: RowsModel[Figure] = RowsModel(_figure_columns(), identity=lambda line: line.key)
        self.figures = Table(self._figures, "season_figures")
        self._figures.setParent(self.figures)
        self.figures.setAccessibleName(_("The figures the answer rests on"))
        self.figures.selection_changed.connect(self._open_figure)
        for table in (self.lots, self.figures):
            table.set_dense(True)
            table.restore_state(context.settings)
        self._build()

    def _build(self) -> None:
        left = QWidget()
        left.setFixedWidth(length(_FORM))
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1.5))
        column.addWidget(label(_("What you want to have"), Role.HEADING))
        column.addWidget(self.wish_form)
        column.addWidget(
            label(
                _(
                    "Eggs are counted backwards from the young birds you want to choose from, with your flock's own "
                    "fertility, hatch and losses where the book knows enough of them."
                ),
                Role.SMALL,
                wraps=True,
            )
        )
        column.addStretch(1)
        self._left = left
        right = QWidget()
        beside = QVBoxLayout(right)
        beside.setContentsMargins(0, 0, space(1.5), 0)
        beside.setSpacing(space(1))
        self.told = Prose("season_answer", _("The answer"))
        self.warned = label("", Role.CAUTION, wraps=True)
        self.warned.setObjectName("season_warnings")
        self._diary = button(_("Put the days into the diary"), self.put_into_diary, primary=True)
        self._diary.setObjectName("season_diary")
        self.joined = label("", Role.FAINT, wraps=True)
        self.joined.setObjectName("season_join")
        self.chart = ChartPanel(
            self.context,
            "season_chart",
            _("From the egg to the grown bird"),
            _("Numbers on average; the table below says between what they lie."),
        )
        self.opened = Prose("season_opened", _("What this figure rests on"))
        self._days_heading = SectionHeading(_("The days"), self._diary)
        for part in (
            self.told,
            self.warned,
            self._days_heading,
            self.joined,
            self.lots,
            self.chart,
            SectionHeading(_("What it rests on")),
            self.figures,
            self.opened,
        ):
            beside.addWidget(part)
        beside.addStretch(1)
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, self.content)
        self._halves.setContentsMargins(0, space(1.5), 0, 0)
        self._halves.setSpacing(space(4))
        self._halves.addWidget(left)
        self._halves.addWidget(right, 1)

    def actions_here(self) -> tuple[Action, ...]:
        return (
            Action(
                "pairing.season_diary",
                _("Put the days of the &season into the diary"),
                self.put_into_diary,
                Menu.BIRDS,
                enabled=lambda: self._can_put,
                icon="list-checks",
            ),
        )

    def show_choosing(self, choosing: Choosing) -> None:
        self._snapshot = choosing.snapshot
        self._species, self._season = choosing.species, choosing.season
        if not choosing.snapshot.living:
            self._answer = None
            self.show_missing(self._nothing())
            return
        self.show_content()
        kept = self._wishes.get((choosing.species, choosing.season))
        wish = kept or usual_wish(choosing.snapshot, choosing.species, choosing.season)
        self.wish_form.show_wish(wish, laying_hens(choosing.snapshot, choosing.species))
        self._ask()

    def save_state(self) -> None:
        for table in (self.lots, self.figures):
            table.save_state(self.context.settings)

    def leave(self) -> None:
        self.context.workers.cancel(self._ticket)
        self.chart.cancel()

    @property
    def answer(self) -> Answer | None:
        """What is shown."""
        return self._answer

    @property
    def _can_put(self) -> bool:
        book = self.context.record.open_book
        writable = book is not None and not book.read_only
        found = self._answer
        return (
            writable
            and found is not None
            and bool(found.jobs)
            and _told(found.jobs) != _told(found.jobs_before)
        )

    def put_into_diary(self) -> None:
        """Enter the days to come as jobs of the diary, in place of those of an earlier plan of the season."""
        found = self._answer
        if found is None or not self._can_put:
            return
        changes: list[Change] = [Withdraw(found.jobs_before)] if found.jobs_before else []
        changes.append(Enter(found.jobs))
        title = _("put the days of the season {season} into the diary").format(
            season=found.plan.wish.choose_on.year
        )
        self.context.record.apply(Together(tuple(changes), title))

    def _nothing(self) -> EmptyState:
        return EmptyState(
            "egg",
            _("No flock to plan for yet"),
            _(
                "Say how many pullets and cockerels you want to choose from next autumn: here you see how many eggs to "
                "set, on which days, how much room the young need, and how sure that is. Add your birds first."
            ),
            (_("Go to the birds"), lambda: self.room_asked.emit("birds")),
        )

    def _take_wish(self) -> None:
        wish = self.wish_form.wish
        if wish is not None:
            self._wishes[self._species, self._season] = wish
        self._ask()

    def _ask(self) -> None:
        snapshot, species, wish, today = (
            self._snapshot,
            self._species,
            self.wish_form.wish,
            self.context.today,
        )
        if snapshot is None or wish is None:
            return
        self._ticket = self.context.workers.run(
            lambda _progress: answer(snapshot, species, wish, today, day_text),
            self._show,
            key=("pairing", "chicks"),
        )

    def _show(self, found: Answer) -> None:
        self._answer = found
        assert self._snapshot is not None
        paragraphs = [Paragraph(((found.lead,),), Style.LEAD)]
        paragraphs += [Paragraph(tuple((text,) for text in said)) for said in found.said]
        self.told.show_paragraphs(paragraphs, self._snapshot)
        self.warned.setText("\n".join(found.warnings))
        self.warned.setVisible(bool(found.warnings))
        self.joined.setText(found.join)
        for part in (self._days_heading, self.joined, self.lots):
            part.setVisible(bool(found.lots))
        self._lots.set_rows(found.lots)
        self._figures.set_rows(found.figures)
        for table in (self.lots, self.figures):
            table.fit_rows(_ROWS_SEEN)
        if found.chart is None:
            self.chart.show_sentence(_("Without eggs there is nothing to show."))
        else:
            self.chart.show_chart(found.chart)
        self._diary.setEnabled(self._can_put)
        is_there = bool(found.jobs) and _told(found.jobs) == _told(found.jobs_before)
        self._diary.setText(_("The days are in the diary") if is_there else _("Put the days into the diary"))
        self._open_figure()

    def _open_figure(self) -> None:
        """Tell what the chosen figure rests on."""
        if self._snapshot is None:
            return
        chosen = self.figures.selected
        if len(chosen) != 1:
            hint = _("Choose a line: here stands what the figure rests on and how it is found.")
            self.opened.show_paragraphs([Paragraph(((hint,),), Style.REMARK)], self._snapshot)
            return
        opened = chosen[0].opened
        paragraphs = [Paragraph(((opened.title,),), Style.LEAD)]
        paragraphs.append(Paragraph(tuple((text,) for text in opened.told)))
        if opened.method:
            paragraphs.append(Paragraph(((opened.method,),), Style.REMARK))
        paragraphs += [Paragraph(((source,),), Style.REMARK) for source in opened.sources]
        self.opened.show_paragraphs(paragraphs, self._snapshot)
        if self.figures.hasFocus():
            reveal(self, self.opened)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        narrow = self.width() < length(_NARROW)
        directions = QBoxLayout.Direction
        self._halves.setDirection(directions.TopToBottom if narrow else directions.LeftToRight)


def _told(jobs: Sequence[Job]) -> list[Job]:
    """Jobs without what tells one row from another, to see whether they are the same."""
    plain = [replace(job, id=JobId("")) for job in jobs]
    return sorted(plain, key=lambda job: (job.starts, job.text))


def _span(first: date, last: date) -> str:
    return _("{first} to {last}").format(first=day_text(first), last=day_text(last))


def _lot_columns() -> tuple[Column[Lot], ...]:
    return (
        Column("lot", _("Lot"), lambda lot: str(lot.number), lambda lot: lot.number, width=4, right=True),
        Column("eggs", _("Eggs"), lambda lot: str(lot.eggs), lambda lot: lot.eggs, width=5, right=True),
        Column("under", _("Under"), lambda lot: lot.under, width=10),
        Column(
            "collect", _("Keep from"), lambda lot: day_text(lot.collect_from), lambda lot: lot.collect_from,
            width=12, explained=_("The first day whose eggs are kept for this lot"),
        ),
        Column("set", _("Set on"), lambda lot: day_text(lot.set_on), lambda lot: lot.set_on, width=12),
        Column(
            "candle", _("Candle"),
            lambda lot: day_text(lot.candle[0][0]) if lot.candle else "",
            lambda lot: lot.candle, width=12, explained=_("The first day of the first candling"),
            tip=lambda lot: "\n".join(_span(first, last) for first, last in lot.candle),
        ),
        Column(
            "hatch", _("Hatch"), lambda lot: day_text(lot.hatch), lambda lot: lot.hatch, width=12,
            explained=_("The usual day; a day or two either side is usual too"),
            tip=lambda lot: _span(*lot.hatch_days),
        ),
        Column("ready", _("Old enough"), lambda lot: day_text(lot.ready), lambda lot: lot.ready, width=12),
    )  # fmt: skip


def _figure_columns() -> tuple[Column[Figure], ...]:
    return (
        Column("name", _("Figure"), lambda line: line.name, width=24),
        Column("expected", _("On average"), lambda line: line.expected, width=10, right=True),
        Column("span", _("8 seasons of 10"), lambda line: line.span, width=14, right=True),
        Column("share", _("Share"), lambda line: line.share, width=8, right=True),
        Column("basis", _("Rests on"), lambda line: line.basis, width=26),
    )
