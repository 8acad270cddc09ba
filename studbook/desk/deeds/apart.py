"""The forms of birds apart: setting one apart, changing what is noted, and the end of it."""

from dataclasses import replace
from datetime import date

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Change, Correct, EndApart, SetApart, Together
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Apart
from studbook.book.husbandry.wording import apart_word
from studbook.book.ids import ApartId, BirdId
from studbook.book.records import Bird, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.care_fields import DayField, PenBox, days_are_read
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.wording import bird_text, day_text
from studbook.planning.care.apart import TimeApart, in_one_line, reason_caution, review_day
from studbook.planning.care.pen_mates import pen_mate_sentences
from studbook.season.practice import ApartReason
from studbook.words import _


def mates_paragraphs(snapshot: Snapshot, bird: BirdId, day: date, today: date) -> list[Paragraph]:
    """The pen mates of an ill bird, set to be read."""
    head, *places = pen_mate_sentences(snapshot, bird, day, today)
    return [Paragraph((head,)), *(Paragraph((place,), Style.ITEM) for place in places)]


def where_text(time: TimeApart, snapshot: Snapshot) -> str:
    """Pen and place of a bird apart."""
    pen = snapshot.husbandry.pens.get(time.pen) if time.pen is not None else None
    return in_one_line(pen.name if pen is not None else "", time.apart.place)


def review_text(time: TimeApart) -> str:
    """When it is to be looked at again, and if that day is past."""
    day = time.apart.review
    if day is None:
        return _("no day to look at it")
    if time.is_overdue:
        return _("overdue since {day}").format(day=day_text(day))
    return _("look again {day}").format(day=day_text(day))


class SetApartDialog(ForeseeingDialog):
    """Set a bird apart: why, from when, where, and when to look again."""

    def __init__(self, context: Context, snapshot: Snapshot, bird: Bird | None, parent: QWidget) -> None:
        title = _("Set {bird} apart").format(bird=bird_text(bird)) if bird else _("Set a bird apart")
        super().__init__(context, title, _("Set apart"), parent, columns=2)
        self.setObjectName("set_apart_dialog")
        self._snapshot = snapshot
        self.aliases = {**self.aliases, "name": "pen", "until": "since"}
        self.bird = BirdPicker()
        self.bird.set_birds(snapshot.birds, _can_be_apart)
        self.form.add("bird", _("Bird"), self.bird)
        if bird is not None:
            self.bird.choose(bird.id)
        self.reason = self.form.add_choice(
            "reason", _("Reason"), [(apart_word(reason), reason) for reason in ApartReason], ApartReason.ILL
        )
        self.since = DayField(context.today, context.today)
        self.form.add("since", _("Since"), self.since)
        self.review = DayField(context.today)
        self.form.add(
            "review", _("Look at it again on"), self.review, _("Usual for the reason, and yours to change.")
        )
        self.pen = PenBox(snapshot.husbandry, _("no pen, or the name of a new one"))
        self.form.add("pen", _("In pen"), self.pen, _("Until then it counts as in none of the other pens."))
        self.place = self.form.add_line("place", _("Place"), hint=_("Such as: the box by the door."))
        self.note = self.form.add_line("note", _("Note"), wide=True)
        self.mates = Prose("pen_mates", _("Birds that shared its pen"))
        self.form.add("mates", _("Pen mates"), self.mates, wide=True)
        self._proposed: date | None = None
        self.bird.changed.connect(self._suit)
        self.reason.currentIndexChanged.connect(self._suit)
        self.since.changed.connect(self._suit)
        self.set_change(self._read)
        self._suit()
        (self.reason if bird is not None else self.bird).setFocus()

    @property
    def chosen_reason(self) -> ApartReason:
        """Why the bird is set apart."""
        return ApartReason(self.reason.currentData())

    def _suit(self) -> None:
        """Propose the day of the next look, show the caution and, for an ill bird, its pen mates."""
        reason, bird, since = self.chosen_reason, self.bird.bird, self.since.day
        if since is not None and self.review.day == self._proposed and not self.review.fault:
            self._proposed = review_day(self._snapshot, bird, reason, since)
            self.review.set_day(self._proposed)
        self.set_caution(reason_caution(reason))
        asks_mates = reason is ApartReason.ILL and bird is not None and since is not None
        self.form.fields["mates"].setVisible(asks_mates)
        if asks_mates and bird is not None and since is not None:
            today = self.context.today
            self.mates.show_paragraphs(mates_paragraphs(self._snapshot, bird, since, today), self._snapshot)

    def _read(self) -> Change | None:
        bird = self.bird.bird
        if bird is None:
            message = _("No bird is chosen: enter its mark or name.")
            self.form.show_problems((Problem("bird", message, field="bird"),))
            return None
        if not days_are_read(self.form, {"since": self.since, "review": self.review}, ("since",)):
            return None
        since = self.since.day
        assert since is not None
        apart = Apart(
            ApartId(""),
            bird,
            self.chosen_reason,
            since,
            self.place.text().strip(),
            self.review.day,
            note=self.note.text().strip(),
        )
        change = SetApart(apart, self.pen.pen(self.new_id))
        added = self.pen.added(self.new_id)
        if not added:
            return change
        title = _("set {bird} apart").format(bird=self._snapshot.bird(bird).called)
        return Together((*added, change), title)


def _can_be_apart(bird: Bird) -> bool:
    return bird.is_living


class EditApartDialog(ForeseeingDialog):
    """Change what is noted of a bird apart: the reason, the place, the day of the next look."""

    def __init__(self, context: Context, time: TimeApart, parent: QWidget) -> None:
        title = _("{bird}, apart").format(bird=bird_text(time.bird))
        super().__init__(context, title, _("Save"), parent)
        self.setObjectName("edit_apart_dialog")
        self._apart = time.apart
        self.reason = self.form.add_choice(
            "reason",
            _("Reason"),
            [(apart_word(reason), reason) for reason in ApartReason],
            time.apart.reason,
        )
        self.review = DayField(context.today, time.apart.review)
        self.form.add("review", _("Look at it again on"), self.review)
        self.place = self.form.add_line("place", _("Place"), time.apart.place)
        self.note = self.form.add_line("note", _("Note"), time.apart.note)
        self.reason.currentIndexChanged.connect(self._suit)
        self.set_change(self._read)
        self._suit()
        self.review.setFocus()

    def _suit(self) -> None:
        self.set_caution(reason_caution(ApartReason(self.reason.currentData())))

    def _read(self) -> Change | None:
        if not days_are_read(self.form, {"review": self.review}):
            return None
        after = replace(
            self._apart,
            reason=ApartReason(self.reason.currentData()),
            place=self.place.text().strip(),
            review=self.review.day,
            note=self.note.text().strip(),
        )
        return Correct((self._apart,), (after,))


class EndApartDialog(ForeseeingDialog):
    """End a bird's time apart: when, with what outcome, and into which pen it goes."""

    def __init__(self, context: Context, snapshot: Snapshot, time: TimeApart, parent: QWidget) -> None:
        title = _("{bird} is no longer apart").format(bird=bird_text(time.bird))
        super().__init__(context, title, _("End it"), parent)
        self.setObjectName("end_apart_dialog")
        self._time = time
        self.aliases = {**self.aliases, "name": "pen", "since": "until"}
        self.until = DayField(context.today, context.today)
        self.form.add("until", _("Until"), self.until)
        self.outcome = self.form.add_line(
            "outcome", _("Outcome"), hint=_("Such as: well again, feathers grown.")
        )
        self.pen = PenBox(snapshot.husbandry, _("no pen, or the name of a new one"))
        self.form.add("pen", _("Goes to"), self.pen, _("The pen it left, unless you choose another."))
        left = snapshot.husbandry.pens.get(time.left_pen) if time.left_pen is not None else None
        self.pen.choose(left.id if left is not None and left.closed is None else None)
        if time.apart.reason in (ApartReason.ILL, ApartReason.BOUGHT, ApartReason.SHOW):
            self.set_caution(
                _(
                    "That a bird looks well does not show that it carries nothing: a vet or local rules say when it "
                    "may go back."
                )
            )
        self.set_change(self._read)
        self.outcome.setFocus()

    def _read(self) -> Change | None:
        if not days_are_read(self.form, {"until": self.until}, ("until",)):
            return None
        until = self.until.day
        assert until is not None
        change = EndApart(self._time.apart.id, until, self.outcome.text().strip(), self.pen.pen(self.new_id))
        added = self.pen.added(self.new_id)
        if not added:
            return change
        title = _("end the time apart of {bird}").format(bird=self._time.bird.called)
        return Together((*added, change), title)
