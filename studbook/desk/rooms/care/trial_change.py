"""The form that changes a fertility trial: its days, what is to be shown, its hens."""

from dataclasses import replace
from datetime import date, timedelta

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Change
from studbook.book.errors import Problem
from studbook.book.records import Bird, Sex, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.care_fields import DayField, count_box, days_are_read
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.wording import bird_text
from studbook.planning.care.trial_change import changed_trial
from studbook.planning.care.trials import TrialStudy
from studbook.words import _


class ChangeTrialDialog(FormDialog):
    """Other days, another aim or other hens for a trial that is planned or under way."""

    def __init__(self, context: Context, snapshot: Snapshot, study: TrialStudy, parent: QWidget) -> None:
        title = _("Change the trial of {cock}").format(cock=bird_text(study.cock))
        super().__init__(context, title, _("Save"), parent, columns=2)
        self.setObjectName("change_trial_dialog")
        self.aliases = {**self.aliases, "since": "begun", "until": "ends", "on": "begun", "hen": "hens"}
        self._snapshot, self._study = snapshot, study
        trial = study.trial
        self.begun = DayField(context.today, trial.begun)
        self.form.add("begun", _("Begins"), self.begun)
        self.counts_from = DayField(context.today, trial.counts_from)
        self.form.add("counts_from", _("First day whose eggs count"), self.counts_from)
        self.ends = DayField(context.today, trial.ends)
        self.form.add("ends", _("Ends"), self.ends, _("The hens' last day with him."))
        self.eggs = count_box("eggs_wanted", 1, 2000, trial.eggs_wanted)
        self.form.add("eggs_wanted", _("Eggs wanted"), self.eggs)
        self.share = count_box("share", 1, 99, round(trial.share * 100), _(" %"))
        self.form.add("share", _("Fertility to show, at least"), self.share)
        self.confidence = count_box("confidence", 1, 99, round(trial.confidence * 100), _(" %"))
        self.form.add("confidence", _("Confidence wanted"), self.confidence)
        self.hens = BirdPicker(several=True)
        self.hens.set_birds(snapshot.birds, self._may_be_with_him)
        self.form.add("hens", _("Hens"), self.hens, wide=True)
        for hen in snapshot.husbandry.hens_of.get(trial.id, ()):
            if snapshot.has(hen):
                self.hens.choose(hen)
        self.note = self.form.add_line("note", _("Note"), trial.note, wide=True)
        self.set_caution(
            _(
                "Moves planned for its first and last day, its days in the diary and the cock's day to be looked at "
                "again go with the days. Where the birds were stays as it is: correct their stays on their pages."
            )
        )
        self._proposed = trial.counts_from
        self.begun.changed.connect(self._suit)
        self.set_change(self._read)
        self.begun.setFocus()

    def _may_be_with_him(self, bird: Bird) -> bool:
        held = self._snapshot.husbandry.hens_of.get(self._study.trial.id, ())
        may = bird.is_living and bird.sex is Sex.HEN and bird.species == self._study.cock.species
        return may or bird.id in held

    def _wait(self) -> timedelta:
        return self._study.trial.counts_from - self._study.trial.begun

    def _suit(self) -> None:
        """The first day that counts keeps its distance, unless it was set to another."""
        begun: date | None = self.begun.day
        if begun is not None and self.counts_from.day == self._proposed:
            self._proposed = begun + self._wait()
            self.counts_from.set_day(self._proposed)

    def _read(self) -> Change | None:
        days = {"begun": self.begun, "counts_from": self.counts_from, "ends": self.ends}
        if not self.hens.chosen:
            message = _("No hen is chosen: enter her mark or name.")
            self.form.show_problems((Problem("bird", message, field="hens"),))
            return None
        if not days_are_read(self.form, days, ("begun", "counts_from")):
            return None
        begun, counts_from = self.begun.day, self.counts_from.day
        assert begun is not None
        assert counts_from is not None
        trial = self._study.trial
        after = replace(
            trial,
            begun=begun,
            counts_from=counts_from,
            ends=self.ends.day,
            eggs_wanted=self.eggs.value(),
            share=_kept(trial.share, self.share.value()),
            confidence=_kept(trial.confidence, self.confidence.value()),
            note=self.note.text().strip(),
        )
        change = changed_trial(self._snapshot, trial, after, self.hens.chosen, self.context.today)
        if change is None:
            self.reject()
        return change


def _kept(share: float, per_cent: int) -> float:
    """A share as it was while the whole per cent shown for it is not changed."""
    return share if round(share * 100) == per_cent else per_cent / 100
