"""The fertility trials: each with what its eggs show, hen by hen, and what was decided."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QSizePolicy, QWidget

from studbook.book.husbandry.rows import Decision, Trial
from studbook.book.husbandry.wording import decision_word
from studbook.book.ids import TrialId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.trial import TrialDialog
from studbook.desk.rooms.care.decision import DecisionDialog
from studbook.desk.rooms.care.page import CarePage, clear
from studbook.desk.rooms.care.trial_change import ChangeTrialDialog
from studbook.desk.rooms.care.trial_eggs import CandleDialog, TrialEggsDialog
from studbook.desk.tables import Column, Paint, RowsModel, Table
from studbook.desk.theme import Role, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, button, label
from studbook.desk.wording import MISSING, bird_text, day_text
from studbook.desk.work import Progress
from studbook.planning.care.telling import (
    comparison_sentences,
    decision_sentence,
    hen_remark,
    hens_part_sentences,
    interval_text,
    result_sentences,
    verdict_word,
)
from studbook.planning.care.trial_change import withdrawn_trial
from studbook.planning.care.trial_plan import wear_caution
from studbook.planning.care.trials import Trials, TrialStudy
from studbook.planning.sentences import Sentence, plain
from studbook.season.binomial import interval
from studbook.words import _

_ROWS_SEEN = 4


class TrialsPage(CarePage):
    """Which young cock has proved himself?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "care_trials")
        self._snapshot: Snapshot | None = None
        self._trials: Trials | None = None
        self._ticket: int | None = None
        self._plan = button(_("Plan a trial…"), self.plan, primary=True)
        self._plan.setObjectName("plan_trial")
        self.column.addWidget(SectionHeading(_("Fertility trials"), self._plan))
        self.model: RowsModel[TrialStudy] = RowsModel(_columns(), identity=lambda study: study.trial.id)
        self.table = Table(self.model, "trials")
        self.table.setAccessibleName(_("Fertility trials"))
        self.table.selectionModel().currentRowChanged.connect(lambda _now, _before: self._show_chosen())
        self.table.row_asked.connect(lambda study: self.bird_asked.emit(str(study.cock.id)))
        self.column.addWidget(self.table)
        self._heading = SectionHeading("")
        self.column.addWidget(self._heading)
        self.column.addWidget(self._deeds())
        self.result = self._prose("trial_result", _("What the eggs show"))
        self._hens = QWidget()
        self._hens.setObjectName("trial_hens")
        self._grid = QGridLayout(self._hens)
        self._grid.setContentsMargins(0, space(1), 0, space(1))
        self._grid.setHorizontalSpacing(space(3))
        self._grid.setVerticalSpacing(space(0.5))
        self.column.addWidget(self._hens)
        self.part = self._prose("trial_hens_part", _("The hens' own part"))
        self._against = SectionHeading(_("Beside other cocks"))
        self.column.addWidget(self._against)
        self.against = self._prose("trial_against", _("Beside other cocks"))
        self.column.addWidget(label(wear_caution(), Role.SMALL, wraps=True))
        self.column.addStretch(1)

    def _prose(self, name: str, spoken: str) -> Prose:
        made = Prose(name, spoken)
        made.bird_asked.connect(self.bird_asked)
        self.column.addWidget(made)
        return made

    def _deeds(self) -> QWidget:
        self._buttons = QWidget()
        row = QHBoxLayout(self._buttons)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(1))
        self._set = button(_("Set trial eggs…"), self.set_eggs, icon="egg")
        self._set.setObjectName("set_trial_eggs")
        self._candle = button(_("Candle…"), self.candle)
        self._candle.setObjectName("candle_trial")
        self._decide = button(_("Decide…"), self.decide)
        self._decide.setObjectName("decide_trial")
        self._change = button(_("Change…"), self.change)
        self._change.setObjectName("change_trial")
        self._withdraw = button(_("Take out…"), self.withdraw)
        self._withdraw.setObjectName("withdraw_trial")
        for each in (self._set, self._candle, self._decide, self._change, self._withdraw):
            row.addWidget(each)
        row.addStretch(1)
        self._buttons.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        return self._buttons

    @property
    def chosen(self) -> TrialStudy | None:
        """The trial that is looked at."""
        found = self.table.current
        return found if isinstance(found, TrialStudy) else None

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Study the trials of a state of the book on a worker, and show them."""
        self._snapshot = snapshot
        self._plan.setVisible(self.can_edit)
        if not snapshot.husbandry.trials:
            self.show_missing(self._nothing(snapshot))
            return
        self.show_content()

        def work(_progress: Progress) -> tuple[Trials, tuple[TrialStudy, ...]]:
            trials = Trials(snapshot)
            return trials, tuple(trials.study(trial) for trial in trials.all)

        self._ticket = self.context.workers.run(work, self._take, key=("care", "trials"))

    def show_trial(self, trial: TrialId) -> None:
        """Look at one trial."""
        self.table.select(trial)

    def plan(self, cock: Bird | None = None) -> None:
        """Plan a new trial."""
        if self._snapshot is not None and self.can_edit:
            TrialDialog(self.context, self._snapshot, cock, self.window()).ask()

    def set_eggs(self) -> None:
        """Set eggs of the chosen trial."""
        if self._snapshot is not None and self.chosen is not None:
            TrialEggsDialog(self.context, self._snapshot, self.chosen, self.window()).ask()

    def candle(self) -> None:
        """Enter what was seen of the chosen trial's eggs."""
        if self._snapshot is not None and self.chosen is not None:
            CandleDialog(self.context, self._snapshot, self.chosen, self.window()).ask()

    def decide(self) -> None:
        """Decide about the cock of the chosen trial."""
        if self._snapshot is not None and self.chosen is not None:
            DecisionDialog(self.context, self._snapshot, self.chosen, self.window()).ask()

    def change(self) -> None:
        """Change the days, the aim or the hens of the chosen trial."""
        if self._snapshot is not None and self.chosen is not None:
            ChangeTrialDialog(self.context, self._snapshot, self.chosen, self.window()).ask()

    def withdraw(self) -> None:
        """Take the chosen trial out of the book, before eggs were set for it."""
        if self._snapshot is None or self.chosen is None:
            return
        change = withdrawn_trial(self._snapshot, self.chosen.trial)

        def take_out(_verb: int) -> None:
            self.context.record.apply(change)

        self.context.questions.choose(
            _("Take the trial out of the book?"),
            _(
                "For a trial that is not held, or was entered by mistake. The moves planned for it go with it; where "
                "the birds are stays as it is. Undo brings it back."
            ),
            (_("Take it out"),),
            take_out,
        )

    def leave(self) -> None:
        """The window closes: nobody waits for the studies."""
        if self._ticket is not None:
            self.context.workers.cancel(self._ticket)

    def _take(self, answer: tuple[Trials, tuple[TrialStudy, ...]]) -> None:
        self._ticket = None
        self._trials, studies = answer
        known = {study.trial.id for study in self.model.rows}
        added = [study for study in studies if study.trial.id not in known]
        held = self.chosen.trial.id if self.chosen is not None else None
        self.model.set_rows(studies)
        self.table.fit_rows(_ROWS_SEEN)
        wanted = added[0].trial.id if added else held
        if wanted is None or not self.table.select(wanted):
            self.table.select(studies[0].trial.id)
        self._show_chosen()

    def _show_chosen(self) -> None:
        study, snapshot, trials = self.chosen, self._snapshot, self._trials
        if study is None or snapshot is None or trials is None or trials.snapshot is not snapshot:
            return
        text = _("{cock}, trial of {day}")
        self._heading.set_text(text.format(cock=bird_text(study.cock), day=day_text(study.trial.begun)))
        self._buttons.setVisible(self.can_edit)
        year = snapshot.husbandry
        eggs_wait = any(year.eggs_left(batch) for batch in year.batches_of_trial.get(study.trial.id, ()))
        self._candle.setEnabled(eggs_wait)
        self._set.setEnabled(study.trial.decision is Decision.OPEN)
        self._withdraw.setEnabled(study.trial.id not in year.batches_of_trial)
        lead, *rest = result_sentences(study)
        paragraphs = [Paragraph((lead,), Style.LEAD)]
        if rest:
            paragraphs.append(Paragraph(tuple(rest)))
        paragraphs.append(Paragraph((_days_sentence(study, snapshot), decision_sentence(study, day_text))))
        self.result.show_paragraphs(paragraphs, snapshot)
        self._show_hens(study, snapshot)
        part = hens_part_sentences(study)
        self.part.show_paragraphs([Paragraph(part, Style.REMARK)] if part else [], snapshot)
        self.part.setVisible(bool(part))
        against = comparison_sentences(trials, study)
        self._against.setVisible(bool(against))
        self.against.setVisible(bool(against))
        self.against.show_paragraphs(
            [Paragraph((sentence,), Style.ITEM) for sentence in against[:-1]]
            + [Paragraph((sentence,), Style.REMARK) for sentence in against[-1:]],
            snapshot,
        )

    def _show_hens(self, study: TrialStudy, snapshot: Snapshot) -> None:
        clear(self._grid)
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        for column, words in enumerate((_("Hen"), _("Set"), _("Seen"), _("Fertile"), _("Her eggs count"))):
            head = label(words, Role.CAPTION)
            if 1 <= column <= 2:
                head.setAlignment(right)
            self._grid.addWidget(head, 0, column)
        row = 0
        for row, hen in enumerate(study.hens, start=1):
            if snapshot.has(hen.hen):
                who = BirdLink(snapshot.bird(hen.hen))
                who.asked.connect(self.bird_asked)
                self._grid.addWidget(who, row, 0, Qt.AlignmentFlag.AlignLeft)
            eggs = hen.counted
            self._figures(row, eggs.eggs + hen.left_out.eggs, eggs.seen)
            found = interval(eggs.fertile, eggs.seen, study.trial.confidence)
            self._grid.addWidget(label(interval_text(found) or MISSING), row, 3)
            remark = label(_plain(hen_remark(hen, study, day_text), snapshot), Role.FAINT, wraps=True)
            self._grid.addWidget(remark, row, 4)
        pooled = study.pooled + study.pooled_left_out
        if pooled.eggs:
            row += 1
            self._grid.addWidget(label(_("hen not known")), row, 0)
            self._figures(row, pooled.eggs, study.pooled.seen)
            found = interval(study.pooled.fertile, study.pooled.seen, study.trial.confidence)
            self._grid.addWidget(label(interval_text(found) or MISSING), row, 3)
        self._grid.setColumnStretch(4, 1)

    def _figures(self, row: int, eggs: int, seen: int) -> None:
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        for column, number in ((1, eggs), (2, seen)):
            made = label(str(number))
            made.setAlignment(right)
            self._grid.addWidget(made, row, column)

    def _nothing(self, snapshot: Snapshot) -> EmptyState:
        has_cock = any(bird.sex is Sex.COCK for bird in snapshot.living)
        return EmptyState(
            "egg",
            _("No fertility trial yet"),
            _(
                "Prove a young cock before the season from a few eggs: put him with three hens or more, wait until "
                "their eggs can only be his, set some and candle them. Here stands how many it takes, and what the "
                "eggs show and do not show."
            ),
            (_("Plan a trial…"), self.plan) if has_cock and self.can_edit else None,
        )


def _plain(sentence: Sentence, snapshot: Snapshot) -> str:
    return plain(
        sentence, lambda bird: bird_text(snapshot.bird(bird)), lambda value, decimals: f"{value:.{decimals}f}"
    )


def _days_sentence(study: TrialStudy, snapshot: Snapshot) -> Sentence:
    trial: Trial = study.trial
    pen = snapshot.husbandry.pens.get(trial.pen) if trial.pen is not None else None
    where = pen.name if pen is not None else _("no pen")
    if trial.ends is None:
        text = _("Begun {begun} in {pen}; eggs count from {first}; {wanted} eggs wanted.")
    else:
        text = _("Begun {begun} in {pen}; eggs count from {first}; ends {ends}; {wanted} eggs wanted.")
    return (
        text.format(
            begun=day_text(trial.begun),
            pen=where,
            first=day_text(trial.counts_from),
            ends=day_text(trial.ends) if trial.ends is not None else "",
            wanted=trial.eggs_wanted,
        ),
    )


def _columns() -> tuple[Column[TrialStudy], ...]:
    def decision(study: TrialStudy) -> str:
        is_open = study.trial.decision is Decision.OPEN
        return MISSING if is_open else decision_word(study.trial.decision)

    return (
        Column(
            "cock", _("Cock"), lambda study: bird_text(study.cock), lambda study: study.cock.called, 22,
            paint=Paint.BIRD, bird=lambda study: study.cock,
        ),
        Column("begun", _("Begun"), lambda study: day_text(study.trial.begun), lambda study: study.trial.begun, 13),
        Column("hens", _("Hens"), lambda study: str(len(study.hens)), lambda study: len(study.hens), 6, right=True),
        Column("set", _("Set"), lambda study: str(study.counted.eggs), lambda study: study.counted.eggs, 6, right=True),
        Column(
            "fertile", _("Fertile of seen"), lambda study: interval_text(study.result.whole) or MISSING,
            lambda study: study.result.whole.share, 24,
        ),
        Column("shows", _("Shows"), lambda study: verdict_word(study.result.verdict), width=20),
        Column("decision", _("Decision"), decision, width=14),
    )  # fmt: skip
