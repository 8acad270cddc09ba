"""Correcting a stay, entering one that was forgotten, and taking one out."""

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Change, Correct, Enter, Withdraw
from studbook.book.husbandry.rows import Stay
from studbook.book.ids import PenId, StayId
from studbook.book.records import Bird, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.deeds.pen_fields import DayField, PenBox, pen_text
from studbook.desk.wording import bird_text, day_text
from studbook.words import _


class StayDialog(ForeseeingDialog):
    """The pen and the days of one stay; `stay` None enters one that was forgotten."""

    def __init__(
        self, context: Context, snapshot: Snapshot, bird: Bird, stay: Stay | None, parent: QWidget
    ) -> None:
        text = _("Correct a stay of {bird}") if stay else _("Enter a stay of {bird}")
        super().__init__(context, text.format(bird=bird_text(bird)), _("Save"), parent)
        self.setObjectName("stay_dialog")
        self._bird, self._stay = bird, stay
        year, today = snapshot.husbandry, context.today
        self.pen = PenBox(year, today, also=year.pens.values())
        self.form.add("pen", _("Pen"), self.pen)
        self.since = DayField(today, stay.since if stay else today)
        self.form.add("since", _("From"), self.since)
        self.until = DayField(today, stay.until if stay else None, optional=True)
        self.form.add("until", _("To"), self.until, _("Empty while it is there."))
        self.note = self.form.add_line("note", _("Note"), stay.note if stay else "")
        if stay is not None:
            self.pen.choose(stay.pen)
        self.since.setFocus()
        self.set_change(self._read)

    def _read(self) -> Change | None:
        since, pen = self.since.day, self.pen.pen
        problems = (*self.since.problems("since"), *self.until.problems("until"))
        if problems or since is None or pen is None:
            self.form.show_problems(problems)
            return None
        made = Stay(
            self._stay.id if self._stay else StayId(""),
            self._bird.id,
            PenId(pen),
            since,
            self.until.day,
            self.note.text().strip(),
        )
        return Correct((self._stay,), (made,)) if self._stay else Enter((made,))


class RemoveStayDialog(ForeseeingDialog):
    """Take out a stay that never was."""

    def __init__(self, context: Context, snapshot: Snapshot, bird: Bird, stay: Stay, parent: QWidget) -> None:
        pen = pen_text(snapshot.husbandry, snapshot.husbandry.pens[stay.pen])
        text = _("Take out the stay of {bird} in {pen} since {day}?")
        title = text.format(bird=bird_text(bird), pen=pen, day=day_text(stay.since))
        super().__init__(context, title, _("Take out"), parent)
        self.setObjectName("remove_stay_dialog")
        self.set_caution(_("For a stay entered by mistake. Undo brings it back."))
        self.set_change(lambda: Withdraw((stay,)))
