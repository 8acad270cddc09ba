"""The exchange of a cock: who comes, where the others go, and the sheet of dates before it is done."""

from datetime import date

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Change, Together
from studbook.book.errors import Problem
from studbook.book.ids import PenId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.cautions import housing_caution, wear_caution
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.deeds.moving import moved, planned
from studbook.desk.deeds.pen_fields import DayField, PenBox
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.wording import day_text
from studbook.planning.pens.exchange import Sheet, exchange_sheet, exchange_words
from studbook.planning.pens.naming import pen_name
from studbook.words import _


class ExchangeDialog(ForeseeingDialog):
    """A new cock for the hens of a pen; the dates change as one chooses."""

    def __init__(
        self, context: Context, snapshot: Snapshot, parent: QWidget, pen: PenId | None = None
    ) -> None:
        super().__init__(context, _("Exchange a cock"), _("Exchange"), parent)
        self.setObjectName("exchange_dialog")
        self._snapshot = snapshot
        year, today = snapshot.husbandry, context.today
        self.pen = PenBox(year, today)
        self.form.add("pen", _("In the pen"), self.pen)
        self.pen.choose(pen)
        self.cock = BirdPicker(placeholder=_("mark or name of the new cock"))
        self.cock.set_birds(snapshot.living, _is_cock)
        self.form.add("cock", _("The new cock"), self.cock)
        self.away = PenBox(year, today, none=_("no pen"))
        self.away.setCurrentIndex(self.away.count() - 1)
        self.form.add("away", _("The cock that is there goes to"), self.away)
        self.on = DayField(today, today)
        self.form.add("on", _("On"), self.on, _("A day to come plans the exchange."))
        self.sheet = Prose("exchange_sheet", _("The dates of the exchange"))
        self.form.add("sheet", _("What follows"), self.sheet, wide=True)
        self.aliases = {**self.aliases, "since": "on", "until": "on", "bird": "cock"}
        for signal in (self.pen.currentIndexChanged, self.cock.changed, self.on.changed):
            signal.connect(self._show_sheet)
        self.set_change(self._read)
        self._show_sheet()
        self.cock.setFocus()

    def _found(self) -> Sheet | None:
        """The dates of what is chosen; None while something is missing."""
        pen, cock, day = self.pen.pen, self.cock.bird, self.on.day
        if pen is None or cock is None or day is None:
            return None
        return exchange_sheet(self._snapshot, pen, cock, day)

    def _show_sheet(self) -> None:
        sheet = self._found()
        is_plan = self._is_plan(self.on.day)
        self.verb.setText(_("Plan the exchange") if is_plan else _("Exchange"))
        cautions = [housing_caution()]
        if sheet is not None and len(sheet.hens) == 1:
            cautions.insert(0, wear_caution())
        self.set_caution(" ".join(cautions))
        if sheet is None:
            asked = (_("Choose the pen, the new cock and the day: the dates stand here."),)
            self.sheet.show_paragraphs([Paragraph((asked,), Style.REMARK)], self._snapshot)
            return
        said = exchange_words(sheet, self._snapshot, day_text)
        self.sheet.show_paragraphs([Paragraph((sentence,)) for sentence in said], self._snapshot)

    def _is_plan(self, day: date | None) -> bool:
        return day is not None and day > self.context.today

    def _problems(self) -> tuple[Problem, ...]:
        found = list(self.on.problems("on"))
        if self.pen.pen is None:
            found.append(Problem("pen", _("There is no pen yet: add one first."), field="pen"))
        if self.cock.bird is None:
            found.append(Problem("cock", _("Choose the cock that comes."), field="cock"))
        if self.away.pen is not None and self.away.pen == self.pen.pen:
            found.append(
                Problem("pen", _("The cock that goes cannot stay: choose another pen."), field="away")
            )
        return tuple(found)

    def _read(self) -> Change | None:
        sheet, day = self._found(), self.on.day
        if (problems := self._problems()) or sheet is None or day is None:
            self.form.show_problems(problems)
            return None
        pen, cock = pen_name(self._snapshot.husbandry, sheet.pen), self._snapshot.bird(sheet.new_cock).called
        changes: list[Change]
        if self._is_plan(day):
            changes = [planned((sheet.new_cock,), sheet.pen, day)]
            if sheet.leaving:
                changes.insert(0, planned(sheet.leaving, self.away.pen, day))
            title = _("plan {cock} for {pen}").format(cock=cock, pen=pen)
        else:
            changes = [moved(self._snapshot, (sheet.new_cock,), sheet.pen, day)]
            if sheet.leaving:
                changes.insert(0, moved(self._snapshot, sheet.leaving, self.away.pen, day))
            title = _("exchange the cock of {pen} for {cock}").format(cock=cock, pen=pen)
        return Together(tuple(changes), title)


def _is_cock(bird: Bird) -> bool:
    return bird.sex is Sex.COCK
