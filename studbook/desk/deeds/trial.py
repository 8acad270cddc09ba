"""The form that plans a fertility trial, with what it takes and on which days, as one types."""

from datetime import date, timedelta

from PySide6.QtWidgets import QCheckBox, QWidget

from studbook.book.changes import Change, Enter, MoveBirds, SetApart, Together
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Apart, Move, Trial, TrialHen
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import ApartId, BirdId, MoveId, PenId, TrialHenId, TrialId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.care_fields import CareDialog, DayField, PenBox, count_box, days_are_read
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.wording import day_text
from studbook.desk.work import Progress
from studbook.planning.care.apart import pen_left
from studbook.planning.care.trial_plan import (
    OWN_PEN,
    Draft,
    Outlook,
    date_sentences,
    foresee,
    hen_sentences,
    hens_sentence,
    plan_sentences,
    wear_caution,
)
from studbook.season.fertility import eggs_needed
from studbook.season.practice import ApartReason
from studbook.words import _

_SHARE, _CONFIDENCE = 85, 95
_EGGS_A_WEEK = 4


class TrialDialog(CareDialog):
    """Plan a fertility trial: who, where, from when, how many eggs, and until when."""

    def __init__(self, context: Context, snapshot: Snapshot, cock: Bird | None, parent: QWidget) -> None:
        title = _("Plan a fertility trial")
        super().__init__(context, title, _("Begin the trial"), parent, columns=2)
        self.setObjectName("trial_dialog")
        self.aliases = {**self.aliases, "name": "pen", "since": "begun", "on": "begun"}
        self._snapshot = snapshot
        self._figures = WhoseEgg({}, snapshot.husbandry)
        self.cock = BirdPicker()
        self.cock.set_birds(snapshot.birds, lambda bird: bird.is_living and bird.sex is Sex.COCK)
        self.form.add("cock", _("Cock"), self.cock)
        self.hens = BirdPicker(several=True)
        self.hens.set_birds(snapshot.birds, self._may_be_with_him)
        self.form.add("hens", _("Hens"), self.hens)
        self.begun = DayField(context.today, context.today)
        self.form.add("begun", _("Begins"), self.begun, _("A day to come plans the moves for it."))
        self.pen = PenBox(snapshot.husbandry, _("choose or write a pen"))
        self.form.add("pen", _("Pen of the trial"), self.pen)
        self.wait = count_box("wait_days", 0, 60, 7, _(" days"))
        self.form.add(
            "counts_from",
            _("Days before the first egg counts"),
            self.wait,
            _("From practice; yours to change."),
        )
        self.ends = DayField(context.today)
        self.form.add("ends", _("Ends"), self.ends, _("The hens' last day with him."))
        self.share = count_box("share", 50, 99, _SHARE, _(" %"))
        self.form.add("share", _("Fertility to show, at least"), self.share)
        self.confidence = count_box("confidence", 50, 99, _CONFIDENCE, _(" %"))
        self.form.add("confidence", _("Confidence wanted"), self.confidence)
        self.eggs = count_box("eggs_wanted", 1, 2000, eggs_needed(_SHARE / 100, _CONFIDENCE / 100))
        self.form.add("eggs_wanted", _("Eggs wanted"), self.eggs)
        self.rate = count_box("eggs_a_week", 1, 7, _EGGS_A_WEEK)
        self.form.add(
            "eggs_a_week", _("Eggs a hen lays in a week"), self.rate, _("An assumption, for the days below.")
        )
        self.told = Prose("trial_told", _("What the trial takes"))
        self.form.add("told", _("What it takes"), self.told, wide=True)
        self.sets_apart = QCheckBox(_("Set the cock apart from his flock, for the trial"))
        self.sets_apart.setChecked(True)
        self.form.add("apart", _("The cock"), self.sets_apart)
        self.plans_back = QCheckBox(_("Plan the hens' way back to their pens for the last day"))
        self.plans_back.setChecked(True)
        self.form.add("back", _("Afterwards"), self.plans_back)
        self.note = self.form.add_line("note", _("Note"), wide=True)
        self.set_caution(wear_caution())
        self._proposed_end: date | None = None
        self._draft: Draft | None = None
        if cock is not None:
            self.cock.choose(cock.id)
            self._suit_cock()
        self.cock.changed.connect(self._suit_cock)
        for changed in (self.hens.changed, self.begun.changed, self.pen.currentTextChanged):
            changed.connect(self._suit)
        for box in (self.wait, self.rate, self.eggs):
            box.valueChanged.connect(self._suit)
        for box in (self.share, self.confidence):
            box.valueChanged.connect(self._suit_certainty)
        self.set_change(self._read)
        self._suit()
        (self.hens if cock is not None else self.cock).setFocus()

    @property
    def draft(self) -> Draft | None:
        """The trial as far as it is planned; None while cock or day is missing."""
        cock, begun = self.cock.bird, self.begun.day
        if cock is None or begun is None:
            return None
        pen = self.pen.named.id
        return Draft(
            cock,
            self.hens.chosen,
            begun,
            self.wait.value(),
            PenId(pen) if pen else OWN_PEN,
            self.eggs.value(),
            float(self.rate.value()),
        )

    def _may_be_with_him(self, bird: Bird) -> bool:
        cock = self.cock.bird
        same = cock is None or self._snapshot.bird(cock).species == bird.species
        return bird.is_living and bird.sex is Sex.HEN and same

    def _species(self) -> str:
        cock = self.cock.bird
        return self._snapshot.bird(cock).species if cock is not None else "chicken"

    def _suit_cock(self) -> None:
        """Another cock may be of another species: other hens, another wait."""
        self.hens.set_birds(self._snapshot.birds, self._may_be_with_him)
        self.wait.setValue(self._figures.practice(self._species()).covered_days)
        cock = self.cock.bird
        held = self._snapshot.husbandry.apart_of.get(cock, ()) if cock is not None else ()
        self.form.fields["apart"].setVisible(all(apart.until is not None for apart in held))
        self._suit()

    def _suit_certainty(self) -> None:
        """The eggs that show what is wanted."""
        try:
            self.eggs.setValue(eggs_needed(self.share.value() / 100, self.confidence.value() / 100))
        except ValueError:
            self.eggs.setValue(self.eggs.maximum())
        self._suit()

    def _suit(self) -> None:
        """Work out what the trial takes; on a worker, since stays are gone through."""
        draft, snapshot = self.draft, self._snapshot
        if draft is None or not draft.hens:
            self._tell(None)
            return
        self._draft = draft

        def work(_progress: Progress) -> Outlook:
            return foresee(snapshot, draft)

        self.context.workers.run(work, lambda outlook: self._take(draft, outlook), key=("care", "draft"))

    def _take(self, draft: Draft, outlook: Outlook) -> None:
        if draft != self.draft:
            return
        end = outlook.dates.laid_by if outlook.dates is not None else None
        if end is not None and self.ends.day == self._proposed_end and not self.ends.fault:
            self._proposed_end = end
            self.ends.set_day(end)
        self._tell(outlook)

    def _tell(self, outlook: Outlook | None) -> None:
        practice = self._figures.practice(self._species())
        first, *others = plan_sentences(self.share.value() / 100, self.confidence.value() / 100)
        paragraphs = [Paragraph((first,)), Paragraph(tuple(others), Style.REMARK)]
        paragraphs.append(Paragraph(((hens_sentence(len(self.hens.chosen), practice),),)))
        if outlook is not None:
            paragraphs += [
                Paragraph((sentence,), Style.ITEM) for sentence in hen_sentences(outlook, day_text)
            ]
            paragraphs.append(Paragraph(date_sentences(outlook, day_text)))
        self.told.show_paragraphs(paragraphs, self._snapshot)

    def _read(self) -> Change | None:
        if not self._is_whole():
            return None
        cock, begun = self.cock.bird, self.begun.day
        assert cock is not None
        assert begun is not None
        pen = self.pen.pen(self.other_id)
        assert pen is not None
        hens = self.hens.chosen
        trial = Trial(
            TrialId(self.new_id),
            cock,
            begun,
            begun + timedelta(days=self.wait.value()),
            self.ends.day,
            pen,
            self.eggs.value(),
            self.share.value() / 100,
            self.confidence.value() / 100,
            note=self.note.text().strip(),
        )
        rows = (trial, *(TrialHen(TrialHenId(""), trial.id, hen) for hen in hens))
        changes = (
            *self.pen.added(self.other_id),
            Enter(rows),
            *self._moves(cock, hens, pen, begun),
            *self._ways_back(hens, pen, begun),
        )
        title = _("begin a fertility trial of {cock}").format(cock=self._snapshot.bird(cock).called)
        return Together(changes, title)

    def _is_whole(self) -> bool:
        missing = []
        if self.cock.bird is None:
            missing.append(Problem("bird", _("No cock is chosen: enter his mark or name."), field="cock"))
        if not self.hens.chosen:
            missing.append(Problem("bird", _("No hen is chosen: enter her mark or name."), field="hens"))
        if self.pen.pen(self.other_id) is None:
            message = _("No pen is chosen: the stays there say from which day eggs count.")
            missing.append(Problem("pen", message, field="pen"))
        if missing:
            self.form.show_problems(missing)
            return False
        return days_are_read(self.form, {"begun": self.begun, "ends": self.ends}, ("begun",))

    def _moves(self, cock: BirdId, hens: tuple[BirdId, ...], pen: PenId, begun: date) -> tuple[Change, ...]:
        """The way into the trial pen: made now, or planned for a day to come."""
        if begun > self.context.today:
            return (Enter(tuple(Move(MoveId(""), bird, pen, begun) for bird in (cock, *hens))),)
        if self.sets_apart.isChecked() and not self.form.fields["apart"].isHidden():
            apart = Apart(ApartId(""), cock, ApartReason.TRIAL, begun, review=self.ends.day)
            return (SetApart(apart, pen), MoveBirds(hens, pen, begun))
        return (MoveBirds((cock, *hens), pen, begun),)

    def _ways_back(self, hens: tuple[BirdId, ...], pen: PenId, begun: date) -> tuple[Change, ...]:
        """The hens' planned way back on the last day, to the pens they come from."""
        ends = self.ends.day
        if ends is None or ends <= self.context.today or not self.plans_back.isChecked():
            return ()
        year = self._snapshot.husbandry
        homes = ((hen, pen_left(year, hen, begun)) for hen in hens)
        moves = tuple(
            Move(MoveId(""), hen, home, ends) for hen, home in homes if home is not None and home != pen
        )
        return (Enter(moves),) if moves else ()
