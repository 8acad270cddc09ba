"""The form of the decision after a fertility trial: keep, sell, test again, with day and reason."""

from dataclasses import replace

from PySide6.QtWidgets import QCheckBox, QWidget

from studbook.book.changes import Change, Correct, EndApart, Together
from studbook.book.husbandry.rows import Apart, Decision
from studbook.book.husbandry.wording import decision_word
from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.care_fields import DayField, PenBox, days_are_read
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.wording import bird_text
from studbook.planning.care.apart import pen_left
from studbook.planning.care.trials import TrialStudy
from studbook.season.fertility import TrialVerdict
from studbook.season.practice import ApartReason
from studbook.words import _


class DecisionDialog(ForeseeingDialog):
    """Say what is made of a trial; his time apart for it can end with it."""

    def __init__(self, context: Context, snapshot: Snapshot, study: TrialStudy, parent: QWidget) -> None:
        title = _("What becomes of {cock}?").format(cock=bird_text(study.cock))
        super().__init__(context, title, _("Save the decision"), parent)
        self.setObjectName("decision_dialog")
        self.aliases = {**self.aliases, "until": "decided", "since": "decided", "name": "pen"}
        self._study = study
        trial = study.trial
        self._apart = _apart_for_trial(snapshot, study)
        self.decision = self.form.add_choice(
            "decision",
            _("Decision"),
            [(decision_word(decision), decision) for decision in Decision],
            trial.decision if trial.decision is not Decision.OPEN else _proposed(study),
        )
        self.decided = DayField(context.today, trial.decided or context.today)
        self.form.add("decided", _("Decided on"), self.decided)
        self.reason = self.form.add_line("reason", _("Why"), trial.reason)
        self.ends_apart = QCheckBox(_("He is no longer apart"))
        self.ends_apart.setChecked(self._apart is not None)
        self.form.add("ends_apart", _("His time apart"), self.ends_apart)
        self.pen = PenBox(snapshot.husbandry, _("no pen, or the name of a new one"))
        self.form.add("pen", _("Goes to"), self.pen)
        if self._apart is not None:
            self.pen.choose(pen_left(snapshot.husbandry, trial.cock, self._apart.since))
        self.form.fields["ends_apart"].setVisible(self._apart is not None)
        self.ends_apart.toggled.connect(self._suit)
        self.decision.currentIndexChanged.connect(self._suit)
        if study.result.verdict is TrialVerdict.WEAK_TEST_AGAIN:
            self.set_caution(
                _(
                    "A weak result condemns nobody: it may be the season, his age, the feed or the hens. Test again."
                )
            )
        self.set_change(self._read)
        self._suit()
        self.decision.setFocus()

    def _suit(self) -> None:
        is_open = self.decision.currentData() is Decision.OPEN
        self.form.fields["decided"].setVisible(not is_open)
        self.form.fields["pen"].setVisible(self._apart is not None and self.ends_apart.isChecked())

    def _read(self) -> Change | None:
        decision = Decision(self.decision.currentData())
        required = () if decision is Decision.OPEN else ("decided",)
        if not days_are_read(self.form, {"decided": self.decided}, required):
            return None
        trial = self._study.trial
        decided = self.decided.day if decision is not Decision.OPEN else None
        after = replace(trial, decision=decision, decided=decided, reason=self.reason.text().strip())
        changes: list[Change] = [Correct((trial,), (after,))]
        if self._apart is not None and self.ends_apart.isChecked() and decided is not None:
            changes += self.pen.added(self.new_id)
            outcome = decision_word(decision)
            changes.append(EndApart(self._apart.id, decided, outcome, self.pen.pen(self.new_id)))
        title = _("decide on {cock}: {decision}").format(
            cock=self._study.cock.called, decision=decision_word(decision)
        )
        return Together(tuple(changes), title)


def _apart_for_trial(snapshot: Snapshot, study: TrialStudy) -> Apart | None:
    held = snapshot.husbandry.apart_of.get(study.trial.cock, ())
    return next((apart for apart in held if apart.until is None and apart.reason is ApartReason.TRIAL), None)


def _proposed(study: TrialStudy) -> Decision:
    return Decision.KEEP if study.result.verdict is TrialVerdict.SHOWN_GOOD else Decision.AGAIN
