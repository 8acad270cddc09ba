"""Whose egg: a pen or a hen and the days of laying, answered in sentences as one chooses."""

from collections import Counter
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QScrollArea, QVBoxLayout, QWidget

from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.desk.deeds.pen_fields import DayField, PenBox
from studbook.desk.forms import Form
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import label
from studbook.desk.wording import day_text
from studbook.planning.pens.board import stays_on
from studbook.planning.pens.whose import ask_hen, ask_pen, whose_words
from studbook.season.paternity import Candidates
from studbook.words import _

_LONGEST_DAYS = 92


class WhosePage(QScrollArea):
    """The question and, below it, the candidates with their weights and why.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    """

    bird_asked = Signal(str)

    def __init__(self, today: date) -> None:
        super().__init__()
        self.setObjectName("pens_whose")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._today = today
        self._snapshot: Snapshot | None = None
        self._is_stale = False
        self._is_filling = False
        inner = QWidget()
        inner.setMaximumWidth(length(920))
        self._column = QVBoxLayout(inner)
        self._column.setContentsMargins(0, space(1), space(1), space(2))
        self._column.setSpacing(space(1.5))
        words = _(
            "Who can the parents of an egg be? Choose the pen it was gathered in, or the hen if she is known, "
            "and the day it was laid, or the first and last day it may have been."
        )
        self._column.addWidget(label(words, Role.FAINT, wraps=True))
        self._place = QGridLayout()
        self._column.addLayout(self._place)
        self.form: Form | None = None
        self.answer = Prose("whose_answer", _("Whose egg it can be"))
        self.answer.bird_asked.connect(self.bird_asked)
        self._column.addWidget(self.answer)
        self._column.addStretch(1)
        self.setWidget(inner)

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Ask the book as it is now, once the page is looked at; what was chosen stays."""
        self._snapshot = snapshot
        self._is_stale = True
        if self.isVisible():
            self._fill(snapshot)

    def _fill(self, snapshot: Snapshot) -> None:
        held = self._chosen() if self.form is not None else None
        self._is_stale = False
        self._is_filling = True
        self._make_form(snapshot)
        if held is not None:
            pen, hen, first, last = held
            self.pen.choose(pen)
            self.hen.choose(hen)
            if first is not None:
                self.first.set_day(first)
            if last is not None:
                self.last.set_day(last)
        self._is_filling = False
        self._ask()

    def _chosen(self) -> tuple[PenId | None, BirdId | None, date | None, date | None]:
        return self.pen.pen, self.hen.bird, self.first.day, self.last.day

    def _make_form(self, snapshot: Snapshot) -> None:
        """The fields over the pens and hens there are."""
        form = Form(2)
        year = snapshot.husbandry
        self.pen = PenBox(year, self._today, also=year.pens.values())
        form.add("whose_pen", _("Gathered in"), self.pen)
        self.pen.choose(_fullest(snapshot, self._today))
        self.hen = BirdPicker(placeholder=_("mark or name, if the hen is known"))
        self.hen.set_birds(snapshot.birds, _is_hen)
        form.add("whose_hen", _("or laid by"), self.hen)
        self.first = DayField(self._today, self._today)
        form.add("whose_first", _("Laid on, or from"), self.first)
        self.last = DayField(self._today, optional=True)
        form.add("whose_last", _("to"), self.last, _("Empty when the day is known."))
        self.colour = form.add_line(
            "whose_colour", _("Colour of the egg"), "", _("Where it tells hens apart.")
        )
        for signal in (
            self.pen.currentIndexChanged,
            self.hen.changed,
            self.first.changed,
            self.last.changed,
            self.colour.textEdited,
        ):
            signal.connect(lambda *_values: self._ask())
        if self.form is not None:
            self._place.removeWidget(self.form)
            self.form.hide()
            self.form.deleteLater()
        self.form = form
        self._place.addWidget(form, 0, 0)

    def _ask(self) -> None:
        if self._snapshot is None or self._is_filling:
            return
        _pen, _hen, first, last = self._chosen()
        found = None
        if first is not None and last is not None and (last - first).days > _LONGEST_DAYS:
            hint = _("Ask about three months at most: an egg is not kept longer.")
        else:
            hint = _("The answer stands here.")
            found = self._found(self._snapshot)
        if found is None:
            said = [Paragraph(((hint,),), Style.REMARK)]
        else:
            words = whose_words(found, day_text)
            said = [Paragraph((words.verdict,), Style.LEAD)]
            said += [Paragraph((sentence,), Style.ITEM) for sentence in words.candidates]
            said += [Paragraph((sentence,), Style.REMARK) for sentence in (*words.reasons, *words.left_out)]
        self.answer.show_paragraphs(said, self._snapshot)

    def _found(self, snapshot: Snapshot) -> Candidates | None:
        pen, hen, first, last = self._chosen()
        if first is None or self.last.error:
            return None
        last = max(first, last or first)
        if hen is not None:
            return ask_hen(snapshot, hen, first, last)
        if pen is None:
            return None
        return ask_pen(snapshot, pen, first, last, _species(snapshot, pen), self.colour.text().strip())

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_stale and self._snapshot is not None:
            self._fill(self._snapshot)


def _fullest(snapshot: Snapshot, today: date) -> PenId | None:
    """The pen with the most birds, the likeliest to be asked about."""
    count = Counter(stay.pen for stay in stays_on(snapshot.husbandry, today).values())
    return max(count, key=count.__getitem__) if count else None


def _species(snapshot: Snapshot, pen: PenId) -> str:
    """The species kept in a pen: that of the bird that came last."""
    stays = snapshot.husbandry.stays_in.get(pen, ())
    known = [stay.bird for stay in stays if snapshot.has(stay.bird)]
    return snapshot.bird(known[-1]).species if known else snapshot.details.species


def _is_hen(bird: Bird) -> bool:
    return bird.sex is not Sex.COCK and not bird.placeholder
