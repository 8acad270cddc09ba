"""The planned pens with all that is told of them: figures, other plans, the board, why, and what wishes cost."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtWidgets import QToolButton, QVBoxLayout, QWidget

from studbook.book.ids import BirdId, PenId
from studbook.book.records import Snapshot
from studbook.desk.rooms.pairing.pens.board import PlannedBoard, Shown
from studbook.desk.rooms.pairing.pens.figures import PlanFigures
from studbook.desk.rooms.pairing.pens.kept import KeptPlans
from studbook.desk.rooms.pairing.pens.numbers import Solved
from studbook.desk.theme import Role, space
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.wording import sentence_text
from studbook.planning.best_pens.by_hand import (
    Breach,
    Broken,
    Worth,
    breaches,
    plan_of,
    with_cock,
    with_hen,
    with_place,
    worth_of,
)
from studbook.planning.best_pens.present import company
from studbook.planning.best_pens.telling import (
    HenReason,
    against_present,
    broken_words,
    caution_words,
    cost_words,
    figure_words,
    hen_words,
    proof_words,
    reserve_told,
    summary,
)
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Wishes
from studbook.planning.pens.board import walking_pens
from studbook.planning.sentences import Sentence
from studbook.words import _

_OF_A_PEN = frozenset(
    {Breach.LIMIT, Breach.BANNED, Breach.TOO_MANY_HENS, Breach.TOO_FEW_HENS, Breach.PLACE_FULL}
)


@dataclass(frozen=True)
class Variant:
    """A plan that can be picked: its words on the button and on hover."""

    plan: PensPlan
    words: str
    tip: str = ""


class ResultPanel(QWidget):
    """What was found, and what the keeper makes of it by hand.

    Signals
    -------
    changed_by_hand
        The pens are other ones than before: the reasons must be found again.
    moves_asked, keep_asked
        The planned moves are to be made, or the plan is to be kept as it stands.
    go_to_pens
        The room of the pens is wanted.
    bird_asked, pair_asked
        The page of a bird (str), or a pair (cock, hen), is wanted.
    """

    changed_by_hand = Signal()
    moves_asked = Signal()
    keep_asked = Signal()
    go_to_pens = Signal()
    bird_asked = Signal(str)
    pair_asked = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("best_result")
        self.solved: Solved | None = None
        self._snapshot: Snapshot | None = None
        self._pens: tuple[BestPen, ...] = ()
        self._variants: tuple[Variant, ...] = ()
        self._marked: tuple[BirdId, ...] = ()
        self._reasons: tuple[HenReason, ...] = ()
        self._is_planned = False
        self._worth: Worth | None = None
        self._plan: PensPlan | None = None
        self._editable = True
        column = QVBoxLayout(self)
        column.setContentsMargins(space(1.5), 0, space(1), space(1))
        column.setSpacing(space(1))
        self.lead = self._prose(column, "best_lead", _("What was found"))
        self._found = QWidget()
        inner = QVBoxLayout(self._found)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(space(1))
        self.figures = PlanFigures("best_figure", _("now {value}"))
        inner.addWidget(self.figures)
        self._picks = QWidget()
        self._picks.setObjectName("best_variants")
        self._flow = Flow(self._picks)
        inner.addWidget(self._picks)
        inner.addWidget(SectionHeading(_("The pens")))
        self.board = PlannedBoard()
        self.board.hen_moved.connect(self.move_hen)
        self.board.cock_changed.connect(self._change_cock)
        self.board.place_chosen.connect(self._choose_place)
        self.board.bird_asked.connect(self.bird_asked)
        self.board.pair_asked.connect(self.pair_asked)
        inner.addWidget(self.board)
        inner.addWidget(
            label(
                _(
                    "Drag a hen to another pen, or move her with Ctrl and an arrow key; Delete takes her out, "
                    "the menu key offers more. Nothing is forbidden: what it costs is said at once."
                ),
                Role.SMALL,
                wraps=True,
            )
        )
        self.cost = self._prose(inner, "best_cost", _("What your own pens cost"))
        row = QWidget()
        flow = Flow(row)
        self.move_button = button(_("Move this hen…"), self._ask_menu)
        self.move_button.setObjectName("best_move_hen")
        self.back = button(_("Back to the best"), self.take_best)
        self.back.setObjectName("best_back")
        self.keep = button(_("Keep this plan…"), self.keep_asked.emit)
        self.keep.setObjectName("best_keep")
        self.make = button(_("Make these planned moves…"), self.moves_asked.emit, primary=True)
        self.make.setObjectName("best_make_moves")
        for each in (self.make, self.keep, self.back, self.move_button):
            flow.addWidget(each)
        inner.addWidget(row)
        self.said = label("", Role.GOOD, wraps=True)
        self.said.setObjectName("best_said")
        self.said.hide()
        inner.addWidget(self.said)
        self.to_pens = link(_("Show the planned moves in Pens"), self.go_to_pens.emit)
        self.to_pens.setObjectName("best_to_pens")
        self.to_pens.hide()
        inner.addWidget(self.to_pens)
        inner.addWidget(SectionHeading(_("Why, hen by hen")))
        self.why = self._prose(inner, "best_why", _("Why, hen by hen"))
        self._looking = label("", Role.SMALL, wraps=True)
        self._looking.setObjectName("best_looking")
        self._looking.hide()
        inner.addWidget(self._looking)
        self._cost_heading = SectionHeading(_("What each wish costs"))
        inner.addWidget(self._cost_heading)
        self.wish_costs = self._prose(inner, "best_wish_costs", _("What each wish costs"))
        column.addWidget(self._found)
        self.kept = KeptPlans()
        column.addWidget(self.kept)
        column.addStretch(1)
        self._found.hide()
        self.show_wish_costs(())

    def _prose(self, column: QVBoxLayout, name: str, spoken: str) -> Prose:
        made = Prose(name, spoken)
        made.bird_asked.connect(self.bird_asked)
        made.pair_asked.connect(self.pair_asked)
        column.addWidget(made)
        return made

    @property
    def plan(self) -> PensPlan | None:
        """The pens on view as a plan; None while there are none."""
        return self._plan

    @property
    def pens(self) -> tuple[BestPen, ...]:
        """The pens on view."""
        return self._pens

    @property
    def worth(self) -> Worth | None:
        """What the pens on view would do."""
        return self._worth

    @property
    def is_own(self) -> bool:
        """True when the keeper put the pens together by hand."""
        return self.solved is not None and not _same(self._pens, self.solved.plan.pens)

    @property
    def words(self) -> tuple[str, dict[BirdId, str]]:
        """The reasons of the plan on view, and those of each hen, as plain text to be kept."""
        snapshot, solved = self._snapshot, self.solved
        if snapshot is None or solved is None or self._worth is None:
            return "", {}
        said: list[Sentence] = []
        if self.is_own:
            said += cost_words(self._worth, solved.plan)
        else:
            said.append(proof_words(solved.plan))
        said += self._against_present(self._worth, solved)
        whole = " ".join(sentence_text(sentence, snapshot) for sentence in said)
        of_hens = {
            reason.hen: " ".join(sentence_text(sentence, snapshot) for sentence in hen_words(reason))
            for reason in self._reasons
        }
        return whole, of_hens

    def show_lead(self, sentences: Sequence[Sentence], snapshot: Snapshot) -> None:
        """Say something while there is no plan."""
        self._found.hide()
        self.solved, self._pens, self._worth, self._plan = None, (), None, None
        self._snapshot = snapshot
        self.lead.show_paragraphs([Paragraph((sentence,)) for sentence in sentences], snapshot)

    def show_solved(
        self, solved: Solved, snapshot: Snapshot, marked: Sequence[BirdId], *, is_planned: bool
    ) -> None:
        """Show a plan that was found."""
        self.solved, self._snapshot = solved, snapshot
        self._marked, self._is_planned = tuple(marked), is_planned
        self._pens, self._reasons = solved.plan.pens, solved.reasons
        self._hide_said()
        self.show_variants(())
        self.show_wish_costs(())
        self.show_looking("")
        self._found.setVisible(solved.is_possible)
        if solved.is_possible:
            self._refresh()
            self._show_why()

    def set_editable(self, editable: bool) -> None:
        """Whether plans can be kept: not in a book that is only read."""
        self._editable = editable

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """The book has changed and none of the birds: names and places may be others."""
        self._snapshot = snapshot
        if self.solved is not None and self.solved.is_possible:
            self._refresh()

    def show_variants(self, variants: Sequence[Variant]) -> None:
        """Offer other plans beside the best."""
        self._variants = tuple(variants)
        self._flow.clear()
        for at, variant in enumerate(self._variants):
            made = QToolButton()
            made.setObjectName(f"best_variant_{at + 1}")
            made.setText(variant.words)
            made.setToolTip(variant.tip)
            made.setAccessibleDescription(variant.tip)
            made.setCheckable(True)
            made.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            made.clicked.connect(lambda _on=False, variant=variant: self._take(variant.plan.pens))
            self._flow.addWidget(made)
        self._picks.setVisible(len(self._variants) > 1)
        self._mark_variant()

    def show_looking(self, text: str) -> None:
        """Say what is still being looked for; an empty text says nothing."""
        self._looking.setText(text)
        self._looking.setVisible(bool(text))

    def show_wish_costs(self, sentences: Sequence[Sentence]) -> None:
        """Say what each wish costs."""
        self._cost_heading.setVisible(bool(sentences))
        self.wish_costs.setVisible(bool(sentences))
        if sentences and self._snapshot is not None:
            self.wish_costs.show_paragraphs(
                [Paragraph((sentence,)) for sentence in sentences], self._snapshot
            )

    def show_reasons(self, reasons: Sequence[HenReason]) -> None:
        """Say why each hen goes where she stands now."""
        self._reasons = tuple(reasons)
        self._show_why()

    def show_said(self, text: str, *, has_moves: bool) -> None:
        """Say that the plan is kept."""
        self.said.setText(text)
        self.said.show()
        self.to_pens.setVisible(has_moves)

    def _hide_said(self) -> None:
        self.said.hide()
        self.to_pens.hide()

    def move_hen(self, hen: BirdId, cock: BirdId | None) -> None:
        """Put a hen into the pen of a cock, or out of all."""
        if self.solved is not None:
            self._take(with_hen(self._pens, hen, cock, self.solved.wishes.places))

    def take_best(self) -> None:
        """Go back to the plan that was found."""
        if self.solved is not None:
            self._take(self.solved.plan.pens)

    def _change_cock(self, cock: BirdId, other: BirdId) -> None:
        self._take(with_cock(self._pens, cock, other))

    def _choose_place(self, cock: BirdId, place: PenId | None) -> None:
        self._take(with_place(self._pens, cock, place))

    def _take(self, pens: tuple[BestPen, ...]) -> None:
        self._pens = pens
        self._hide_said()
        self._refresh()
        self.changed_by_hand.emit()

    def _ask_menu(self) -> None:
        self.board.ask_menu(self.move_button.mapToGlobal(QPoint(0, self.move_button.height())))

    def _refresh(self) -> None:
        """Tell the pens on view anew."""
        solved, snapshot = self.solved, self._snapshot
        if solved is None or snapshot is None:
            return
        wishes, kin = solved.wishes, solved.kin
        companies = [company(pen) for pen in self._pens]
        self._worth = worth_of(companies, kin, wishes)
        self._plan = plan = plan_of(companies, kin, wishes, solved.plan, self._worth)
        broken = breaches(self._pens, kin, wishes, solved.bans)
        self._write_lead(solved, snapshot)
        if self._worth is not None:
            self.figures.show_words(
                figure_words(self._worth, solved.present_worth, plan, wishes.weight), snapshot
            )
        placed = {bird for pen in self._pens for bird in pen.hens}
        self.board.show_pens(
            Shown(
                snapshot,
                plan.pens,
                tuple(hen for hen in wishes.hens if hen not in placed),
                wishes.cocks,
                kin,
                wishes.limit,
                _places(snapshot, wishes),
                self._remarks(broken, snapshot),
            )
        )
        self._write_cost(solved, snapshot, broken)
        self._mark_variant()
        can_keep = self._worth is not None and self._editable
        has_place = any(pen.place is not None for pen in self._pens)
        self.make.setEnabled(can_keep and has_place)
        self.make.setToolTip("" if has_place else _("Say first where the pens stand."))
        self.keep.setEnabled(can_keep)
        self.back.setVisible(self.is_own)

    def _write_lead(self, solved: Solved, snapshot: Snapshot) -> None:
        plan = self.plan
        if plan is None or self._worth is None:
            return
        paragraphs = [
            Paragraph((summary(plan), proof_words(solved.plan)), Style.LEAD),
            Paragraph(self._against_present(self._worth, solved)),
        ]
        used = {pen.cock for pen in plan.pens}
        marked = [bird for bird in self._marked if bird not in used]
        for sentence in reserve_told(plan, solved.wishes, snapshot, marked):
            paragraphs.append(Paragraph((sentence,), Style.REMARK))
        pairs = {(pen.cock, hen): solved.kin[pen.cock, hen] for pen in plan.pens for hen in pen.hens}
        if caution := caution_words(plan.pens, pairs):
            paragraphs.append(Paragraph((caution,), Style.REMARK))
        self.lead.show_paragraphs(paragraphs, snapshot)

    def _against_present(self, worth: Worth, solved: Solved) -> tuple[Sentence, ...]:
        here = {(cock, hen) for pen in solved.present for cock in pen.cocks for hen in pen.hens}
        return against_present(
            worth,
            solved.present_worth,
            is_planned=self._is_planned,
            is_same=here == {(pen.cock, hen) for pen in self._pens for hen in pen.hens},
        )

    def _write_cost(self, solved: Solved, snapshot: Snapshot, broken: Sequence[Broken]) -> None:
        paragraphs = []
        if self.is_own:
            paragraphs.append(Paragraph(cost_words(self._worth, solved.plan)))
        for each in broken:
            if each.breach not in _OF_A_PEN:
                paragraphs.append(Paragraph((broken_words(each, snapshot),), Style.REMARK))
        self.cost.setVisible(bool(paragraphs))
        if paragraphs:
            self.cost.show_paragraphs(paragraphs, snapshot)

    def _remarks(self, broken: Sequence[Broken], snapshot: Snapshot) -> dict[BirdId, tuple[str, ...]]:
        found: dict[BirdId, tuple[str, ...]] = {}
        for each in broken:
            if each.breach in _OF_A_PEN:
                text = sentence_text(broken_words(each, snapshot), snapshot)
                found[each.birds[0]] = (*found.get(each.birds[0], ()), text)
        return found

    def _show_why(self) -> None:
        if self._snapshot is not None:
            self.why.show_paragraphs(
                [Paragraph(hen_words(reason)) for reason in self._reasons], self._snapshot
            )

    def _mark_variant(self) -> None:
        for at, variant in enumerate(self._variants):
            made = self._picks.findChild(QToolButton, f"best_variant_{at + 1}")
            if made is not None:
                made.setChecked(_same(variant.plan.pens, self._pens))


def _same(pens: Sequence[BestPen], others: Sequence[BestPen]) -> bool:
    """True for the same hens with the same cocks, wherever they stand."""
    one = {(pen.cock, hen) for pen in pens for hen in pen.hens}
    return one == {(pen.cock, hen) for pen in others for hen in pen.hens}


def _places(snapshot: Snapshot, wishes: Wishes) -> dict[PenId, str]:
    """The pens of the yard a planned pen may stand in: those of the wishes first, then others in use."""
    year = snapshot.husbandry
    in_use = [pen.id for pen in walking_pens(year, year.pens.values()) if pen.closed is None]
    order = dict.fromkeys((*(place.pen for place in wishes.places), *in_use))
    return {pen: year.pens[pen].name for pen in order if pen in year.pens}
