"""Looking back: each kept plan with its reasons and predictions, beside what came of it."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.husbandry.choosing_rows import Plan
from studbook.book.ids import PlanId
from studbook.book.records import Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.room import BirdList
from studbook.desk.rooms.pairing.back.columns import PenLine, columns
from studbook.desk.rooms.pairing.back.note_form import NoteDialog
from studbook.desk.rooms.pairing.back.numbers import Answer, Numbers
from studbook.desk.rooms.pairing.page import Choosing, ChoosingPage
from studbook.desk.rooms.pairing.pens.figures import PlanFigures
from studbook.desk.table_paper import TablePaper, print_table
from studbook.desk.tables import RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.wording import bird_text, day_text
from studbook.planning.looking_back.report import plans_of
from studbook.planning.looking_back.telling import (
    company_words,
    compared,
    differently,
    pen_called,
    standing_words,
    tally_words,
)
from studbook.planning.sentences import BirdPart, Sentence, compose
from studbook.season.calendar import season_planned
from studbook.words import _, plural


class BackPage(ChoosingPage):
    """What did last year's choice do?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "pairing_back")
        self._choosing: Choosing | None = None
        self._numbers: Numbers | None = None
        self._plans: tuple[Plan, ...] = ()
        self._shown: PlanId | None = None
        self._ticket = 0
        self.answer: Answer | None = None
        column = QVBoxLayout(self.content)
        column.setContentsMargins(0, space(1.5), space(1), space(1))
        column.setSpacing(space(1))
        row = QHBoxLayout()
        row.setSpacing(space(1))
        caption = label(_("Plan"), Role.FAINT)
        self.chooser = QComboBox()
        self.chooser.setObjectName("back_plan")
        self.chooser.setAccessibleName(_("The plan to look back on"))
        self.chooser.activated.connect(lambda _at: self.show_plan(self.chooser.currentData()))
        caption.setBuddy(self.chooser)
        row.addWidget(caption)
        row.addWidget(self.chooser)
        row.addStretch(1)
        column.addLayout(row)
        self.lead = self._prose(column, "back_lead", _("What came of the plan"))
        self.figures = PlanFigures("back_figure", _("foreseen {value}"))
        column.addWidget(self.figures)
        self.basis = label("", Role.SMALL, wraps=True)
        column.addWidget(self.basis)
        self.chicks = link("", self._list_chicks)
        self.chicks.setObjectName("back_chicks")
        column.addWidget(self.chicks)
        column.addWidget(SectionHeading(_("What you might do differently")))
        self.differently = self._prose(column, "back_differently", _("What you might do differently"))
        self.note = label("", wraps=True)
        self.note.setObjectName("back_note")
        column.addWidget(self.note)
        self._write = button(_("Write a note…"), self.write_note)
        self._write.setObjectName("back_write_note")
        column.addWidget(self._write)
        column.addWidget(SectionHeading(_("Pen by pen")))
        self.model: RowsModel[PenLine] = RowsModel(columns(), identity=lambda line: line.number)
        self.table = Table(self.model, "back_pens")
        self.table.setAccessibleName(_("What was foreseen of each pen, and what came"))
        self.table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.table.row_asked.connect(self._open_cock)
        column.addWidget(self.table)
        self.company = self._prose(column, "back_company", _("Who was in the pens"))
        column.addWidget(SectionHeading(_("What you thought then")))
        self.reasons = self._prose(column, "back_reasons", _("The reasons of the plan"))
        column.addStretch(1)

    def _prose(self, column: QVBoxLayout, name: str, spoken: str) -> Prose:
        made = Prose(name, spoken)
        made.bird_asked.connect(self.bird_asked)
        made.pair_asked.connect(self.pair_asked)
        column.addWidget(made)
        return made

    def show_choosing(self, choosing: Choosing) -> None:
        self._choosing = choosing
        snapshot = choosing.snapshot
        self._numbers = Numbers(snapshot, choosing.kinship)
        self._plans = plans_of(snapshot, choosing.species)
        if not self._plans:
            self.answer = None
            self.show_missing(self._nothing())
            return
        self.show_content()
        self.chooser.clear()
        for plan in self._plans:
            name = plan.name or str(plan.season)
            text = _("{season}: {name}, made on {day}")
            self.chooser.addItem(text.format(season=plan.season, name=name, day=day_text(plan.made)), plan.id)
        held = {plan.id for plan in self._plans}
        self.show_plan(self._shown if self._shown in held else self._first())

    def actions_here(self) -> tuple[Action, ...]:
        def has_answer() -> bool:
            return self.answer is not None

        return (
            Action("looking_back.print", _("Print what came of the &plan…"), self.print_pages, Menu.BIRDS,
                   enabled=has_answer, icon="printer", group=3),
        )  # fmt: skip

    def print_pages(self) -> None:
        """Open the preview of the table of pens."""
        if self.answer is None or self._choosing is None:
            return
        plan = self.answer.plan
        title = _("What came of the plan {name}").format(name=plan.name or plan.season)
        text = _("Season {season}. {yard}, {day}")
        yard = self._choosing.snapshot.details.yard
        remark = text.format(season=plan.season, yard=yard, day=day_text(self.context.today))
        print_table(self.window(), TablePaper(title, remark, self.table.shown_as_columns(), self.model.shown))

    def _nothing(self) -> QWidget:
        return EmptyState(
            "clock-counter-clockwise",
            _("Nothing to look back on yet"),
            _(
                "Here each plan of pens you keep will stand beside what came of it: what hatched, how closely bred it "
                "is, what lived and what was kept. Keep a plan first."
            ),
            (_("Plan the pens"), lambda: self.page_asked.emit("pens")),
        )

    def _first(self) -> PlanId:
        """The latest plan whose season is over, else the latest."""
        season = season_planned(self.context.today)
        over = [plan for plan in self._plans if plan.season < season]
        return (over or self._plans)[0].id

    def show_plan(self, plan_id: PlanId) -> None:
        """Look back on one plan."""
        numbers, today = self._numbers, self.context.today
        plan = next((found for found in self._plans if found.id == plan_id), None)
        if numbers is None or plan is None:
            return
        self._shown = plan_id
        self.chooser.setCurrentIndex(self.chooser.findData(plan_id))
        self._ticket = self.context.workers.run(
            lambda _progress: numbers.look(plan, today), self._show, key=("pairing", "looking back")
        )

    def leave(self) -> None:
        self.context.workers.cancel(self._ticket)

    def _show(self, answer: Answer) -> None:
        if self._choosing is None:
            return
        self.answer = answer
        snapshot, back, plan = self._choosing.snapshot, answer.back, answer.plan
        lead = [Paragraph((standing_words(back),), Style.LEAD)]
        if back.elsewhere:
            text = plural(
                "{count} chick of the season is of none of these pens.",
                "{count} chicks of the season are of none of these pens.",
                len(back.elsewhere),
            )
            lead.append(Paragraph(((text.format(count=len(back.elsewhere)),),), Style.REMARK))
        self.lead.show_paragraphs(lead, snapshot)
        self.figures.show_words(compared(back), snapshot)
        self.basis.setText(
            _("Cautious figures, as the plan was made with them.")
            if answer.cautious
            else _("Figures by convention, as the plan was made with them.")
        )
        count = len(back.chicks)
        text = plural("Show the {count} chick", "Show the {count} chicks", count)
        self.chicks.setText(text.format(count=count))
        self.chicks.setVisible(bool(count))
        said = differently(back, snapshot, day_text) or (
            (_("Nothing has hatched yet. After the moult this says what might be done differently."),),
        )
        self.differently.show_paragraphs([Paragraph((sentence,)) for sentence in said], snapshot)
        self.note.setText(_("Your note: {note}").format(note=plan.note) if plan.note else "")
        self.note.setVisible(bool(plan.note))
        self._write.setText(_("Change the note…") if plan.note else _("Write a note…"))
        book = self.context.record.open_book
        self._write.setEnabled(book is not None and not book.read_only)
        self._show_pens(answer, snapshot)
        self._show_reasons(plan, snapshot)

    def _show_pens(self, answer: Answer, snapshot: Snapshot) -> None:
        pens = answer.back.pens
        self.model.set_rows(
            [
                PenLine(
                    number,
                    pen_called(pen, snapshot),
                    snapshot.bird(pen.cock) if pen.cock is not None else None,
                    ", ".join(bird_text(snapshot.bird(hen)) for hen in pen.hens),
                    pen,
                )
                for number, pen in enumerate(pens)
            ]
        )
        rows = max(self.model.rowCount(), 1)
        bar = self.table.horizontalScrollBar().sizeHint().height()
        high = self.table.horizontalHeader().sizeHint().height() + rows * self.table.rowHeight(0)
        self.table.setFixedHeight(high + bar + length(4))
        paragraphs = []
        for pen in pens:
            words = company_words(pen, snapshot, day_text)
            if pen.tally.chicks:
                words = (tally_words(pen.tally), *words)
            if words:
                head: Sentence = (_("{pen}:").format(pen=pen_called(pen, snapshot)),)
                paragraphs.append(Paragraph((head, *words)))
        self.company.setVisible(bool(paragraphs))
        if paragraphs:
            self.company.show_paragraphs(paragraphs, snapshot)

    def _show_reasons(self, plan: Plan, snapshot: Snapshot) -> None:
        year = snapshot.husbandry
        paragraphs = [Paragraph(((plan.reasons,),))] if plan.reasons else []
        for pen in year.pens_of_plan.get(plan.id, ()):
            for row in year.birds_of_planned_pen.get(pen.id, ()):
                if row.reason and snapshot.has(row.bird):
                    words = compose(_("{bird}: {reason}"), bird=BirdPart(row.bird), reason=row.reason)
                    paragraphs.append(Paragraph((words,), Style.REMARK))
        if not paragraphs:
            paragraphs = [Paragraph(((_("No reason was kept with this plan."),),), Style.REMARK)]
        self.reasons.show_paragraphs(paragraphs, snapshot)

    def _open_cock(self, line: PenLine) -> None:
        if line.cock is not None:
            self.bird_asked.emit(str(line.cock.id))

    def _list_chicks(self) -> None:
        if self.answer is not None and self.answer.back.chicks:
            title = _("Chicks of the plan {name}").format(
                name=self.answer.plan.name or self.answer.plan.season
            )
            self.birds_asked.emit(BirdList(title, self.answer.back.chicks))

    def write_note(self) -> None:
        """Ask for a note on the plan on view."""
        if self.answer is not None:
            NoteDialog(self.context, self.answer.plan, self.window()).ask()
