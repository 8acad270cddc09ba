"""The page The years ahead: policies side by side, what they come to, and when to buy in."""

from itertools import pairwise

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QButtonGroup,
    QDoubleSpinBox,
    QHBoxLayout,
    QProgressBar,
    QSpinBox,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from studbook.book.records import Snapshot
from studbook.desk import printing
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.ahead.board import PolicyBoard
from studbook.desk.rooms.pairing.ahead.buying import BuyingPart
from studbook.desk.rooms.pairing.ahead.explained import Explained
from studbook.desk.rooms.pairing.ahead.keeping import forget_policies, keep_policies, kept_policies
from studbook.desk.rooms.pairing.ahead.numbers import (
    Answer,
    Bought,
    Numbers,
    Opening,
    Question,
    yards_of,
)
from studbook.desk.rooms.pairing.ahead.paper import AheadPaper
from studbook.desk.rooms.pairing.page import Choosing, ChoosingPage
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.chart_panel import ChartPanel
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.widgets.unknown_switch import UnknownSwitch
from studbook.desk.work import Stopped
from studbook.planning.forecast.methods import Ahead, ahead_word
from studbook.planning.forecast.policy import (
    LIMIT,
    MOST_REPLICATES,
    REPLICATES,
    SEED,
    YEARS,
    NoFlock,
    TooMany,
)
from studbook.planning.forecast.telling import no_flock_text, too_many_text
from studbook.words import _

_FEWEST_YEARS, _MOST_YEARS = 5, 30
_FEWEST_RUNS = 50
_MOST_SEED = 2_000_000_000
_PATIENCE_MS = 300
"""Only work that takes longer than this shows its progress."""

_FIGURES = (Ahead.INBREEDING, Ahead.DIVERSITY, Ahead.FOUNDERS)


class AheadPage(ChoosingPage):
    """What do the years make of it?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "pairing_ahead")
        self._snapshot: Snapshot | None = None
        self._numbers: Numbers | None = None
        self._species = ""
        self._begun = ""
        self._opening: Opening | None = None
        self._answer: Answer | None = None
        self._bought: Bought | None = None
        self._tickets: dict[str, int] = {}
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(_PATIENCE_MS)
        self._patience.timeout.connect(lambda: self._busy.show())
        self.told = Prose("ahead_told", _("What the policies come to"))
        self.told.bird_asked.connect(self.bird_asked)
        self.chart = ChartPanel(
            context,
            "ahead_chart",
            _("Year by year"),
            _lines_text(Ahead.INBREEDING),
        )
        self.board = PolicyBoard(self.chart.view)
        self.board.changed.connect(self._take_change)
        self.board.again_asked.connect(self.begin_again)
        self.details = Prose("ahead_details", _("The policies one by one"))
        self.details.bird_asked.connect(self.bird_asked)
        self.explained = Explained("ahead_explained", (*_FIGURES, Ahead.KEEPING, Ahead.RUNS, Ahead.EXACT))
        self.buying = BuyingPart(context)
        self.buying.asked.connect(self.work_out_buying)
        self.buying.origins_asked.connect(lambda: self.room_asked.emit("bloodlines"))
        self._build()
        context.theme.changed.connect(self.board.dress)

    def _build(self) -> None:
        column = QVBoxLayout(self.content)
        column.setContentsMargins(0, space(1.5), space(1.5), space(2))
        column.setSpacing(space(1))
        column.addLayout(self._controls())
        self.basis = label("", Role.FAINT, wraps=True)
        self.basis.setObjectName("ahead_basis")
        self.stale = label(_("Something is changed since: run it again."), Role.CAUTION, wraps=True)
        self.stale.setObjectName("ahead_stale")
        self.stale.hide()
        column.addWidget(self.stale)
        self.told.hide()
        column.addWidget(self.told)
        within = self.chart.layout()
        assert isinstance(within, QVBoxLayout)
        within.insertWidget(1, self._choice())
        self.chart.hide()
        column.addWidget(self.chart)
        walk = [self.told, *self.chart.links, *self._shown.buttons(), self.chart.view]
        for one, other in pairwise(walk):
            QWidget.setTabOrder(one, other)
        column.addWidget(SectionHeading(_("The policies")))
        column.addWidget(self.basis)
        column.addWidget(self.board)
        self._result = QWidget()
        below = QVBoxLayout(self._result)
        below.setContentsMargins(0, 0, 0, 0)
        below.setSpacing(space(1))
        below.addWidget(self.explained)
        below.addWidget(SectionHeading(_("The policies one by one")))
        below.addWidget(self.details)
        below.addWidget(self.buying)
        self._result.hide()
        column.addWidget(self._result)
        column.addStretch(1)
        go = QShortcut(QKeySequence("Ctrl+Return"), self)
        go.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        go.activated.connect(self.run)
        stop = QShortcut(QKeySequence(Qt.Key.Key_Escape), self)
        stop.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        stop.activated.connect(self.stop)

    def _controls(self) -> QVBoxLayout:
        self.years = _spin("ahead_years", _("Years"), _FEWEST_YEARS, _MOST_YEARS, YEARS)
        self.runs = _spin("ahead_runs", _("Runs"), _FEWEST_RUNS, MOST_REPLICATES, REPLICATES)
        self.runs.setSingleStep(100)
        self.seed = _spin("ahead_seed", _("Seed"), 0, _MOST_SEED, SEED)
        self.seed.setToolTip(_("The number chance starts from: the same seed gives the same runs."))
        self.limit = QDoubleSpinBox()
        self.limit.setObjectName("ahead_limit")
        self.limit.setAccessibleName(_("The F that should not be passed"))
        self.limit.setToolTip(
            _("The sentences say when the mean F of the chicks passes this: 25 % are chicks of full sibs.")
        )
        self.limit.setRange(1, 75)
        self.limit.setDecimals(1)
        self.limit.setSingleStep(2.5)
        self.limit.setSuffix(_(" %"))
        self.limit.setValue(100 * LIMIT)
        self.limit.setKeyboardTracking(False)
        self.limit.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        for box in (self.years, self.runs, self.seed, self.limit):
            box.valueChanged.connect(self._take_change)
        self.ways = UnknownSwitch("ahead")
        self.ways.changed.connect(self._take_change)
        self.go = button(_("Run"), self.run, primary=True)
        self.go.setObjectName("ahead_run")
        self.go.setToolTip(_("Breed the flock on under every policy (Ctrl+Enter)"))
        fields = QWidget()
        line = Flow(fields, gap=1.5)
        pairs = (
            (_("Years"), self.years),
            (_("F up to"), self.limit),
            (_("Runs"), self.runs),
            (_("Seed"), self.seed),
        )
        for text, box in pairs:
            line.addWidget(_pair(text, box))
        line.addWidget(self.ways)
        line.addWidget(self.go)
        self._print = button(_("Print…"), self.print_pages, icon="printer")
        self._print.setObjectName("ahead_print")
        self._print.setEnabled(False)
        line.addWidget(self._print)
        line.addWidget(self._progress())
        whole = QVBoxLayout()
        whole.addWidget(fields)
        return whole

    def _progress(self) -> QWidget:
        self._busy = QWidget()
        row = QHBoxLayout(self._busy)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(1))
        self.bar = QProgressBar()
        self.bar.setObjectName("ahead_progress")
        self.bar.setAccessibleName(_("How much is worked out"))
        self.bar.setRange(0, 100)
        self.bar.setTextVisible(False)
        self.bar.setFixedWidth(length(120))
        row.addWidget(self.bar)
        cancel = link(_("stop"), self.stop)
        cancel.setObjectName("ahead_stop")
        row.addWidget(cancel)
        self._busy.hide()
        return self._busy

    def _choice(self) -> QWidget:
        made = QWidget()
        row = Flow(made, gap=1)
        self._shown = QButtonGroup(made)
        for place, figure in enumerate(_FIGURES):
            way = QToolButton()
            way.setObjectName(f"ahead_{figure.value}")
            way.setText(ahead_word(figure))
            way.setCheckable(True)
            way.setChecked(not place)
            way.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            self._shown.addButton(way, place)
            row.addWidget(way)
        self._shown.idClicked.connect(lambda _place: self._show_chart())
        return made

    @property
    def answer(self) -> Answer | None:
        """What is shown."""
        return self._answer

    @property
    def question(self) -> Question:
        """What the fields ask for."""
        return Question(
            self._species,
            self.context.today,
            self.ways.is_cautious,
            self.board.policies,
            self.years.value(),
            self.runs.value(),
            self.seed.value(),
            self.limit.value() / 100,
        )

    def actions_here(self) -> tuple[Action, ...]:
        return (
            Action(
                "pairing.ahead",
                _("Breed the flock on (the &years ahead)"),
                self.run,
                Menu.BIRDS,
                enabled=lambda: bool(self.board.columns),
                group=3,
            ),
            Action(
                "pairing_ahead.print",
                _("Print the years a&head…"),
                self.print_pages,
                Menu.BIRDS,
                enabled=lambda: self._answer is not None,
                icon="printer",
                group=3,
            ),
        )

    def show_choosing(self, choosing: Choosing) -> None:
        self._snapshot, self._species = choosing.snapshot, choosing.species
        numbers = self._numbers = Numbers(choosing.snapshot)
        self.explained.show_snapshot(choosing.snapshot)
        self.buying.explained.show_snapshot(choosing.snapshot)
        self._forget()
        species, today = choosing.species, self.context.today
        self._tickets["opening"] = self.context.workers.run(
            lambda _progress: numbers.opening(species, today),
            self._begin,
            failed=self._failed,
            key=("ahead", "opening"),
        )

    def run(self) -> None:
        """Breed the flock on under every policy."""
        self._take_typed()
        numbers, question = self._numbers, self.question
        if numbers is None or not question.policies or not self.board.can_run:
            return
        if self._opening is not None and question.policies != self._opening.policies:
            keep_policies(self.context.settings, numbers.snapshot, self._species, question.policies)
        self._wait()
        self._tickets["forecast"] = self.context.workers.run(
            lambda progress: numbers.forecast(question, progress),
            self._show_answer,
            failed=self._failed,
            progressed=self._show_progress,
            key=("ahead", "work"),
        )

    def work_out_buying(self) -> None:
        """Work out when to buy in and from where, under the policy that is chosen."""
        self._take_typed()
        numbers, question = self._numbers, self.question
        if numbers is None or not question.policies or not self.board.can_run:
            return
        policy = question.policies[min(self.buying.chosen, len(question.policies) - 1)]
        self._wait()
        self._tickets["buying"] = self.context.workers.run(
            lambda progress: numbers.buying(question, policy, progress),
            self._show_bought,
            failed=self._failed,
            progressed=self._show_progress,
            key=("ahead", "work"),
        )

    def print_pages(self) -> None:
        """Open the preview of what is shown on paper."""
        if self._answer is not None and self._snapshot is not None:
            paper = AheadPaper(self._answer, self._bought, self._snapshot)
            printing.preview(self, _("The years ahead"), paper.paint)

    def begin_again(self) -> None:
        """The policies the program proposes, in place of the keeper's."""
        if self._snapshot is None or self._opening is None:
            return
        forget_policies(self.context.settings, self._snapshot, self._species)
        opening = self._opening
        self.board.show_policies(opening.policies, opening.more, yards_of(self._snapshot))
        self._take_change()
        self.run()

    def stop(self) -> None:
        """Stop what is being worked out; what was shown before stays."""
        self._rest()
        for ticket in self._tickets.values():
            self.context.workers.cancel(ticket)

    def leave(self) -> None:
        self.stop()
        self.chart.cancel()
        self.buying.chart.cancel()

    def _begin(self, opening: Opening) -> None:
        """Show the policies to begin with, and run them; the keeper's own stay through changes of the book."""
        if self._snapshot is None:
            return
        self.show_content()
        if self._begun != self._species or not self.board.columns:
            self._begun = self._species
            self._opening = opening
            kept = kept_policies(self.context.settings, self._snapshot, self._species)
            self.board.show_policies(kept or opening.policies, opening.more, yards_of(self._snapshot))
            self.buying.show_policies(self.board.policies)
        self.basis.setText(opening.told)
        self.run()

    def _show_answer(self, answer: Answer) -> None:
        if self._snapshot is None:
            return
        self._rest()
        self._answer = answer
        self._print.setEnabled(True)
        self.stale.setVisible(answer.question != self.question)
        lead = [Paragraph((sentence,), Style.LEAD) for sentence in answer.summary[: len(answer.courses)]]
        rest = [Paragraph((sentence,)) for sentence in answer.summary[len(answer.courses) : -1]]
        remarks = [Paragraph((answer.summary[-1], (answer.basis,)), Style.REMARK)]
        self.told.show_paragraphs([*lead, *rest, *remarks], self._snapshot)
        told: list[Paragraph] = []
        for course in answer.courses:
            told.append(Paragraph(((course.name,),), Style.HEAD))
            told.append(Paragraph(((course.line,),), Style.REMARK))
            told.append(Paragraph(course.sentences))
            told.append(Paragraph((course.founders,)))
        self.details.show_paragraphs(told, self._snapshot)
        for part in (self.told, self.chart, self._result):
            part.show()
        self._show_chart()

    def _show_chart(self) -> None:
        if self._answer is not None:
            figure = _FIGURES[self._shown.checkedId()]
            self.chart.told.setText(_lines_text(figure))
            self.chart.show_chart(self._answer.charts[figure])

    def _show_bought(self, bought: Bought) -> None:
        self._rest()
        if self._snapshot is not None:
            self._bought = bought
            self.buying.show_bought(bought, self._snapshot)

    def _take_typed(self) -> None:
        """Take what is typed in a field that was not left yet."""
        for box in self.findChildren(QAbstractSpinBox):
            box.interpretText()

    def _take_change(self) -> None:
        """What is shown is no longer what the fields ask for."""
        self.buying.show_policies(self.board.policies)
        self._clear_bought()
        if self._answer is not None:
            self.stale.setVisible(self._answer.question != self.question)

    def _forget(self) -> None:
        """Another state of the book: what was worked out is of the one before."""
        self.stop()
        self._answer = None
        self._print.setEnabled(False)
        for part in (self.told, self.stale, self.chart, self._result):
            part.hide()
        self._clear_bought()

    def _clear_bought(self) -> None:
        self._bought = None
        self.buying.clear()

    def _failed(self, error: Exception) -> None:
        self._rest()
        if isinstance(error, NoFlock):
            self._show_nothing(no_flock_text())
        elif isinstance(error, TooMany):
            self._show_nothing(too_many_text(error.count))
        elif not isinstance(error, Stopped):
            self.context.workers.broke.emit(error)

    def _show_nothing(self, reason: str) -> None:
        self._answer = None
        self.show_missing(
            EmptyState(
                "drop",
                _("Nothing to breed on with yet"),
                _(
                    "Here you will see what the years make of your flock under different policies: how fast inbreeding "
                    "rises, what gene diversity is left, and when a cock is best bought in."
                )
                + " "
                + reason,
                (_("Go to the birds"), lambda: self.room_asked.emit("birds")),
            )
        )

    def _wait(self) -> None:
        self.bar.setValue(0)
        self._patience.start()

    def _rest(self) -> None:
        self._patience.stop()
        self._busy.hide()

    def _show_progress(self, share: float) -> None:
        self.bar.setValue(round(share * 100))


def _lines_text(figure: Ahead) -> str:
    """What the lines of a chart are."""
    if figure is Ahead.FOUNDERS:
        return _("Lines: the mean of all runs. Bands: nine of ten runs.")
    return _(
        "Lines: the mean of all runs. Bands: nine of ten runs. Dotted: exactly, the same numbers kept and mated by "
        "chance."
    )


def _spin(name: str, text: str, least: int, most: int, value: int) -> QSpinBox:
    made = QSpinBox()
    made.setObjectName(name)
    made.setAccessibleName(text)
    made.setRange(least, most)
    made.setValue(value)
    made.setKeyboardTracking(False)
    made.setAlignment(Qt.AlignmentFlag.AlignHCenter)
    return made


def _pair(text: str, control: QWidget) -> QWidget:
    """A caption before its control, kept together where the line breaks."""
    made = QWidget()
    row = QHBoxLayout(made)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(space(0.75))
    caption = label(text, Role.FAINT)
    caption.setBuddy(control)
    row.addWidget(caption)
    row.addWidget(control)
    return made
