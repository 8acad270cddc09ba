"""Which pens: what the keeper wishes at the left, the best pens and why at the right."""

from collections.abc import Sequence

from PySide6.QtCore import QByteArray, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QProgressBar,
    QScrollArea,
    QSizePolicy,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from studbook.book.changes import Change, Together, Withdraw
from studbook.book.ids import PlanId
from studbook.book.records import Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.page import Choosing, ChoosingPage
from studbook.desk.rooms.pairing.pens.form import WishesForm
from studbook.desk.rooms.pairing.pens.keep_dialog import KeepDialog
from studbook.desk.rooms.pairing.pens.numbers import More, Numbers, Ready, Search, Solved
from studbook.desk.rooms.pairing.pens.paper import pens_paper
from studbook.desk.rooms.pairing.pens.result import ResultPanel, Variant
from studbook.desk.table_paper import print_table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import button, label, set_property
from studbook.desk.wording import day_text, percent_text, sentence_text
from studbook.planning.best_pens.asking import Proposal, propose
from studbook.planning.best_pens.keeping import moves_left, rows_of
from studbook.planning.best_pens.telling import present_words, proof_words
from studbook.planning.sentences import Sentence
from studbook.words import _, plural

_FORM = 340
_NARROW = 720
_LOW = 300


class PensPage(ChoosingPage):
    """Which pens?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "pairing_pens")
        self._choosing: Choosing | None = None
        self._numbers: Numbers | None = None
        self._proposal: Proposal | None = None
        self._search: Search | None = None
        self._ticket = self._more = 0
        self.form = WishesForm()
        self.result = ResultPanel()
        self._build()
        self.form.changed.connect(self._wishes_changed)
        self.form.pens_asked.connect(lambda: self.room_asked.emit("pens"))
        self.result.changed_by_hand.connect(self._find_reasons)
        self.result.moves_asked.connect(lambda: self._ask_keep(moves=True))
        self.result.keep_asked.connect(lambda: self._ask_keep(moves=False))
        self.result.go_to_pens.connect(lambda: self.room_asked.emit("pens"))
        self.result.bird_asked.connect(self.bird_asked)
        self.result.pair_asked.connect(self.pair_asked)
        self.result.kept.opened.connect(self._reopen)
        self.result.kept.withdrawn.connect(self._withdraw)

    def _build(self) -> None:
        left = QWidget()
        side = QVBoxLayout(left)
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(space(1))
        side.addWidget(_scrolled(self.form, length(_FORM)), 1)
        row = QHBoxLayout()
        row.setSpacing(space(1))
        self.plan_button = button(_("Plan the pens"), self.plan, primary=True)
        self.plan_button.setObjectName("best_plan")
        self.enough = button(_("Take the best so far"), self._take_best_so_far)
        self.enough.setObjectName("best_enough")
        self.cancel_button = button(_("Cancel"), self.cancel)
        self.cancel_button.setObjectName("best_cancel")
        for each in (self.plan_button, self.enough, self.cancel_button):
            row.addWidget(each)
        row.addStretch(1)
        side.addLayout(row)
        self.bar = QProgressBar()
        self.bar.setObjectName("best_progress")
        self.bar.setAccessibleName(_("How far the search is"))
        self.bar.setTextVisible(False)
        self.bar.setRange(0, 1000)
        side.addWidget(self.bar)
        self.remark = label("", Role.SMALL, wraps=True)
        self.remark.setObjectName("best_remark")
        side.addWidget(self.remark)
        self._across = QSplitter(Qt.Orientation.Horizontal)
        self._across.setObjectName("best_across")
        self._sides = (left, _scrolled(self.result, length(300)))
        for each_side in self._sides:
            self._across.addWidget(each_side)
        self._across.setStretchFactor(0, 0)
        self._across.setStretchFactor(1, 1)
        self._across.setChildrenCollapsible(False)
        self._across.setSizes([length(_FORM), length(2 * _FORM)])
        state = self.context.settings.value("pairing/best_across")
        if isinstance(state, QByteArray):
            self._across.restoreState(state)
        column = QVBoxLayout(self.content)
        column.setContentsMargins(0, space(1.5), 0, 0)
        column.addWidget(self._across, 1)
        self._show_running(running=False)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        is_narrow = self.width() < length(_NARROW)
        wanted = Qt.Orientation.Vertical if is_narrow else Qt.Orientation.Horizontal
        if self._across.orientation() != wanted:
            self._across.setOrientation(wanted)
        high = length(_LOW) if is_narrow else 0
        for side in self._sides:
            side.setMinimumHeight(high)

    def actions_here(self) -> tuple[Action, ...]:
        def can_plan() -> bool:
            return self._proposal is not None and not self.is_missing

        def has_plan() -> bool:
            return self.result.plan is not None and bool(self.result.pens)

        return (
            Action("pairing.plan_pens", _("&Plan the pens of next season"), self.plan, Menu.BIRDS,
                   enabled=can_plan, group=3),
            Action("best_pens.print", _("&Print the planned pens…"), self.print_pages, Menu.BIRDS,
                   enabled=has_plan, icon="printer", group=3),
        )  # fmt: skip

    def show_choosing(self, choosing: Choosing) -> None:
        before, self._choosing = self._choosing, choosing
        snapshot = choosing.snapshot
        self._numbers = Numbers(snapshot, choosing.kinship)
        proposal = propose(snapshot, choosing.species, choosing.season, self.context.today)
        self._proposal = proposal
        grown = [*proposal.wishes.cocks, *proposal.wishes.hens, *(out.bird for out in proposal.left_out)]
        sexes = {snapshot.bird(bird).sex for bird in grown}
        if len(sexes) < 2:
            self._drop_search()
            self.show_missing(
                EmptyState(
                    "columns",
                    _("Nobody to put together yet"),
                    _(
                        "Here next season's pens are planned: which cock gets which hens, proven best by your wishes, "
                        "with the reasons. It takes a grown cock and a grown hen at least."
                    ),
                    (_("Go to the birds"), lambda: self.room_asked.emit("birds")),
                )
            )
            return
        self.show_content()
        self.form.show_proposal(proposal, snapshot, choosing.species, choosing.season)
        self.result.set_editable(self._is_editable)
        self.result.kept.show_plans(snapshot, choosing.season, editable=self._is_editable)
        same_flock = (
            before is not None
            and (before.species, before.season) == (choosing.species, choosing.season)
            and before.snapshot.details.id == snapshot.details.id
        )
        if same_flock and self.result.solved is not None and self._still_there(self.result.solved, snapshot):
            if before is not None and before.snapshot.birds != snapshot.birds:
                self._say_stale()
            self.result.show_snapshot(snapshot)
        else:
            self._drop_search()
            self._say_present(None)
        numbers, wishes, present = self._numbers, proposal.wishes, proposal.present
        self.context.workers.run(
            lambda _progress: numbers.ready(wishes, present),
            self._show_ready,
            key=("pairing", "best pens ready"),
        )

    def _show_ready(self, ready: Ready) -> None:
        self.form.loosen(ready.without)
        if self.result.solved is None and self._search is None:
            self._say_present(ready)

    @property
    def _is_editable(self) -> bool:
        book = self.context.record.open_book
        return book is not None and not book.read_only

    def _still_there(self, solved: Solved, snapshot: Snapshot) -> bool:
        return all(snapshot.has(bird) for pair in solved.kin for bird in pair)

    def _say_present(self, ready: Ready | None) -> None:
        """What the pens are now, and that a plan can be asked for."""
        choosing, proposal = self._choosing, self._proposal
        if choosing is None or proposal is None:
            return
        said: list[Sentence] = [
            (
                _(
                    "Say at the left what you wish and press “Plan the pens”: the cocks and hens are put together so "
                    "that the chicks are closely bred as little, and the lines are kept as well, as can be."
                ),
            ),
            *present_words(
                proposal.present,
                choosing.snapshot,
                ready.present_worth if ready is not None else None,
                is_planned=proposal.moves_planned,
            ),
        ]
        self.result.show_lead(said, choosing.snapshot)
        self._set_primary(planned=False)

    def plan(self) -> None:
        """Look for the best pens."""
        numbers, proposal = self._numbers, self._proposal
        if numbers is None or proposal is None or self.is_missing:
            return
        wishes = self.form.wishes
        if not wishes.cocks or not wishes.hens:
            self.remark.setText(_("Choose a cock and a hen at least."))
            return
        self._drop_search()
        self.context.workers.cancel(self._more)
        search, present, today = Search(), proposal.present, self.context.today
        self._search = search
        self._show_running(running=True)
        self._ticket = self.context.workers.run(
            lambda progress: numbers.solve(wishes, present, today, search, progress),
            self._show_solved,
            progressed=self._follow,
            key=("pairing", "best pens"),
        )

    def cancel(self) -> None:
        """Stop the search; what was on view stays."""
        self._drop_search()
        self.remark.setText(_("Cancelled: what is shown is as it was."))

    def print_pages(self) -> None:
        """Open the preview of the pens on view."""
        choosing, solved, plan = self._choosing, self.result.solved, self.result.plan
        if choosing is None or solved is None or plan is None:
            return
        text = _("F of the chicks {f}, kinship of the next generation {kinship}. {yard}, {day}")
        remark = text.format(
            f=percent_text(plan.inbreeding, 2),
            kinship=percent_text(plan.kinship, 2),
            yard=choosing.snapshot.details.yard,
            day=day_text(self.context.today),
        )
        paper = pens_paper(plan.pens, solved.kin, choosing.snapshot, choosing.season, remark)
        print_table(self.window(), paper)

    def leave(self) -> None:
        self._drop_search()
        self.context.workers.cancel(self._more)

    def save_state(self) -> None:
        self.context.settings.setValue("pairing/best_across", self._across.saveState())

    def _drop_search(self) -> None:
        if self._search is not None:
            self.context.workers.cancel(self._ticket)
            self._search = None
        self._show_running(running=False)

    def _take_best_so_far(self) -> None:
        if self._search is not None:
            self._search.enough.set()

    def _follow(self, share: float) -> None:
        """How far the search is, and how good the best is so far."""
        if self._search is None:
            return
        self.bar.setValue(round(share * 1000))
        standing = self._search.standing
        if standing is None or standing.objective is None:
            self.remark.setText(_("Looking for pens that meet the wishes …"))
            return
        self.enough.setEnabled(True)
        gap = max(0.0, 1 - standing.bound / standing.objective) if standing.objective > 0 else 0.0
        text = _("Pens found; a plan at most {gap} better may exist. Looking on …")
        self.remark.setText(text.format(gap=percent_text(gap)))

    def _show_running(self, *, running: bool) -> None:
        self.bar.setVisible(running)
        self.bar.setValue(0)
        self.enough.setVisible(running)
        self.enough.setEnabled(False)
        self.cancel_button.setVisible(running)
        self.plan_button.setEnabled(not running)
        if running:
            self.remark.setText(_("Looking for pens that meet the wishes …"))

    def _show_reopened(self, solved: Solved | None) -> None:
        """A kept plan: other plans are not looked for until the keeper plans again."""
        if solved is None:
            self._show_running(running=False)
            self.remark.setText(
                _("What was wished for was not kept with this plan, so it cannot be shown here.")
            )
            return
        self._show_solved(solved, is_kept=True)

    def _show_solved(self, solved: Solved, *, is_kept: bool = False) -> None:
        self._search = None
        self._show_running(running=False)
        choosing, proposal = self._choosing, self._proposal
        if choosing is None or proposal is None:
            return
        self.remark.setText("")
        snapshot = choosing.snapshot
        if not solved.is_possible:
            self.result.show_lead((proof_words(solved.plan), *solved.collided), snapshot)
            self._set_primary(planned=False)
            return
        marked = [bird for bird in proposal.reserve if bird not in solved.wishes.hens]
        self.result.show_solved(solved, snapshot, marked, is_planned=proposal.moves_planned)
        self._set_primary(planned=True)
        if not is_kept:
            self._find_more(solved)

    def _find_more(self, solved: Solved) -> None:
        """Other plans and what each wish costs come after the plan; nobody waits for them."""
        numbers, today = self._numbers, self.context.today
        if numbers is None:
            return
        self.result.show_looking(_("Looking for other plans, and for what each wish costs …"))
        self._more = self.context.workers.run(
            lambda progress: numbers.more(solved, today, progress),
            self._show_more,
            key=("pairing", "best pens more"),
        )

    def _show_more(self, more: More) -> None:
        if more.solved is not self.result.solved or self._choosing is None:
            return
        snapshot = self._choosing.snapshot
        self.result.show_looking("")
        variants = [Variant(more.solved.plan, _("Best"), "")]
        variants += [
            Variant(other.plan, sentence_text(other.short, snapshot), sentence_text(other.figures, snapshot))
            for other in more.alternatives
        ]
        self.result.show_variants(variants)
        self.result.show_wish_costs(more.costs)

    def _set_primary(self, *, planned: bool) -> None:
        """One button of the page is the primary one."""
        set_property(self.plan_button, "primary", not planned)
        self.plan_button.setText(_("Plan again") if planned else _("Plan the pens"))

    def _wishes_changed(self) -> None:
        if self.result.solved is not None and self._search is None:
            self.remark.setText(_("The wishes have changed: plan again."))

    def _say_stale(self) -> None:
        self.remark.setText(_("The birds of the book have changed since this was planned: plan again."))

    def _find_reasons(self) -> None:
        """Why each hen stands where the keeper put her."""
        numbers, solved, plan = self._numbers, self.result.solved, self.result.plan
        if numbers is None or solved is None or plan is None:
            return
        self.context.workers.run(
            lambda _progress: numbers.reasons(plan, solved.kin, solved.wishes, solved.bans),
            self.result.show_reasons,
            key=("pairing", "best pens why"),
        )

    def _ask_keep(self, *, moves: bool) -> None:
        choosing, solved = self._choosing, self.result.solved
        plan, worth = self.result.plan, self.result.worth
        if choosing is None or solved is None or plan is None or worth is None or not self._is_editable:
            return
        dialog = KeepDialog(
            self.context,
            choosing.snapshot,
            solved,
            plan,
            worth,
            self.result.words,
            choosing.season,
            self.window(),
            moves=moves,
            is_own=self.result.is_own,
        )
        dialog.accepted.connect(lambda: self._kept(dialog))
        dialog.ask()

    def _kept(self, dialog: KeepDialog) -> None:
        if not dialog.planned_on:
            self.result.show_said(
                _("The plan is kept; what comes of it will stand in Looking back."), has_moves=False
            )
            return
        if not dialog.planned_moves:
            self.result.show_said(
                _("The plan is kept; every bird is there already, or has its move planned."), has_moves=True
            )
            return
        text = plural(
            "The plan is kept, and {count} move is planned for {day}.",
            "The plan is kept, and {count} moves are planned for {day}.",
            dialog.planned_moves,
        )
        self.result.show_said(
            text.format(count=dialog.planned_moves, day=day_text(dialog.planned_on)), has_moves=True
        )

    def _reopen(self, plan: PlanId) -> None:
        numbers, proposal = self._numbers, self._proposal
        if numbers is None or proposal is None:
            return
        present = proposal.present
        self._drop_search()
        self.context.workers.cancel(self._more)
        self.context.workers.run(
            lambda _progress: numbers.reopen(plan, present),
            self._show_reopened,
            key=("pairing", "best pens"),
        )

    def _withdraw(self, plan: PlanId) -> None:
        choosing = self._choosing
        if choosing is None or plan not in choosing.snapshot.husbandry.plans:
            return
        snapshot = choosing.snapshot
        row, left = snapshot.husbandry.plans[plan], moves_left(snapshot, plan)
        title = _("withdraw the plan {name}").format(name=row.name or row.season)

        def take(changes: Sequence[Change]) -> None:
            self.context.record.apply(Together(tuple(changes), title))

        rows = Withdraw(rows_of(snapshot, plan))
        if not left:
            take((rows,))
            return
        text = plural(
            "{count} move it asked for is still planned.",
            "{count} moves it asked for are still planned.",
            len(left),
        )
        self.context.questions.choose(
            _("Withdraw the plan {name}").format(name=row.name or row.season),
            text.format(count=len(left)),
            (_("Withdraw it with the moves"), _("Withdraw the plan alone")),
            lambda verb: take((rows, Withdraw(left)) if verb == 0 else (rows,)),
        )


def _scrolled(widget: QWidget, least: int) -> QScrollArea:
    made = QScrollArea()
    made.setFrameShape(QFrame.Shape.NoFrame)
    made.setWidgetResizable(True)
    made.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    made.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
    made.setWidget(widget)
    made.setMinimumWidth(least)
    made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
    return made
