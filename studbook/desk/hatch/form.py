"""The form of a whole hatch: when, whose, reared by whom, how many, and each chick in a grid."""

from enum import Enum

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from studbook.book.changes import Chick, RegisterHatch
from studbook.book.errors import Problem
from studbook.book.records import BirdId, Entry, Mark, MarkId, MarkKind, Pair, Sex, Snapshot
from studbook.dates import PartialDate
from studbook.desk.context import Context
from studbook.desk.deeds.marks import WebChooser, colour_box, colour_of, mark_caution, mark_places
from studbook.desk.deeds.parents_editor import ParentsEditor
from studbook.desk.deeds.series import mark_series, proposed_code, used_codes, worn_codes
from studbook.desk.forms import Form
from studbook.desk.hatch.chicks import ChicksModel, ChicksTable
from studbook.desk.hatch.outlook import Outlook, outlook_of
from studbook.desk.kin import Kin
from studbook.desk.room import BirdList
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.text import SectionHeading, button, label, link, set_role
from studbook.desk.wording import date_text, percent_text
from studbook.desk.work import Progress
from studbook.words import _, plural

_MOST_CHICKS = 300
_WIDE = 900


class Marking(Enum):
    """How the chicks of a hatch are marked."""

    RINGS = MarkKind.RING
    WING_TAGS = MarkKind.WING_TAG
    TOE_PUNCH = MarkKind.TOE_PUNCH
    RING_COLOUR = MarkKind.RING_COLOUR
    NONE = None

    @property
    def has_series(self) -> bool:
        """True when each chick has a code of its own."""
        return self in (Marking.RINGS, Marking.WING_TAGS)


def _marking_words() -> list[tuple[str, object]]:
    return [
        (_("a numbered ring each"), Marking.RINGS),
        (_("a wing tag each"), Marking.WING_TAGS),
        (_("one toe punch for all"), Marking.TOE_PUNCH),
        (_("one ring colour for all"), Marking.RING_COLOUR),
        (_("none yet"), Marking.NONE),
    ]


class HatchForm(QWidget):
    """Registers the chicks of one hatch; one Undo takes them all back.

    Signals
    -------
    closed
        The keeper is done.
    birds_asked
        The chicks that were registered are to be seen in the table (BirdList).
    """

    closed = Signal()
    birds_asked = Signal(object)

    def __init__(self, context: Context, kin: Kin, parent_bird: BirdId | None = None) -> None:
        super().__init__()
        self.setObjectName("hatch_form")
        self.context = context
        self._kin = kin
        self._saving = False
        self._tickets: list[int] = []
        self._preview: int | None = None
        self._last_colour = ""
        self._saved_birds: tuple[BirdId, ...] = ()
        self._own: tuple[Problem, ...] = ()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(space(1))
        top = QHBoxLayout()
        top.addWidget(label(_("Register hatchlings"), Role.TITLE))
        top.addStretch(1)
        back = link(_("← all birds"), self.closed.emit)
        back.setObjectName("close_hatch")
        top.addWidget(back)
        whole.addLayout(top)
        whole.addWidget(self._saved_line())
        scrolled = QScrollArea()
        scrolled.setFrameShape(QFrame.Shape.NoFrame)
        scrolled.setWidgetResizable(True)
        scrolled.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inner = QWidget()
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, inner)
        self._halves.setContentsMargins(0, 0, space(1), 0)
        self._halves.setSpacing(space(4))
        self._halves.addLayout(self._left_half(), 5)
        self._halves.addLayout(self._right_half(), 6)
        scrolled.setWidget(inner)
        whole.addWidget(scrolled, 1)
        whole.addLayout(self._foot())
        self._supply(kin.snapshot)
        self.hatched.set_value(PartialDate.of(context.today))
        self._begin_with(parent_bird)
        self._propose_series()
        self._connect()
        self._suit_marking()
        self._resize_hatch()

    def begin(self) -> None:
        """Put the cursor where the keeper begins."""
        self.hatched.setFocus()
        self.hatched.edit.selectAll()
        self._check()

    def show_snapshot(self, kin: Kin) -> None:
        """The book has changed: what was written here stays."""
        self._kin = kin
        self._supply(kin.snapshot)
        self._check()

    def leave(self) -> None:
        """The form closes: no answer is waited for any more."""
        for ticket in self._tickets:
            self.context.workers.cancel(ticket)
        if self._preview is not None:
            self.context.record.cancel(self._preview)

    def change(self) -> RegisterHatch:
        """The change the fields describe."""
        details = self._kin.snapshot.details
        parent = next(
            (self._kin.snapshot.bird(p) for p in self._parents() if self._kin.snapshot.has(p)), None
        )
        return RegisterHatch(
            hatched=self.hatched.value,
            pairs=self.parents.pairs,
            chicks=tuple(
                Chick(self._marks(draft.mark), draft.name, draft.sex, draft.colour, draft.note)
                for draft in self.model.drafts
            ),
            rearer=self.rearer.bird,
            species=parent.species if parent else details.species,
            breed=self.breed.text().strip(),
        )

    def save(self) -> None:
        """Register the chicks, all of them or none."""
        if self._saving:
            return
        problems = self._own_problems()
        self._show(problems)
        if problems:
            return
        self._saving = True
        self._verb.setEnabled(False)
        self.context.record.apply(self.change(), done=self._saved, refused=self._refused)

    def another(self) -> None:
        """Begin the next hatch of the same parents."""
        self._saved_box.hide()
        self.begin()

    def _saved_line(self) -> QWidget:
        self._saved_box = QFrame()
        self._saved_box.setProperty("sheet", True)
        row = QHBoxLayout(self._saved_box)
        row.setContentsMargins(space(1.5), space(1), space(1.5), space(1))
        self._saved_words = label("", Role.GOOD, wraps=True)
        self._saved_words.setObjectName("hatch_saved")
        self._another = button(_("Another hatch of these parents"), self.another)
        self._another.setObjectName("another_hatch")
        self._see = button(_("See the chicks"), self._see_chicks)
        self._see.setObjectName("see_chicks")
        row.addWidget(self._saved_words, 1)
        row.addWidget(self._another)
        row.addWidget(self._see)
        self._saved_box.hide()
        return self._saved_box

    def _left_half(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(space(1))
        self.form = Form(2)
        self.hatched = DateField(self.context.today)
        self.form.add("hatched", _("Hatched on"), self.hatched)
        self.rearer = BirdPicker(placeholder=_("nobody: a machine"))
        self.form.add("rearer", _("Brooded or reared by"), self.rearer)
        self.parents = ParentsEditor()
        self.form.add("parents", _("Parents"), self.parents, wide=True)
        column.addWidget(self.form)
        self.outlook = label("", wraps=True)
        self.outlook.setObjectName("outlook")
        column.addWidget(self.outlook)
        column.addWidget(SectionHeading(_("Marks")))
        self.marks_form = Form(2)
        self.marking: QComboBox = self.marks_form.add_choice("marking", _("Marked with"), _marking_words())
        self.first = self.marks_form.add_line("marks", _("First mark"))
        self.first.setPlaceholderText("B26-01")
        self.webs = WebChooser()
        self.marks_form.add("webs", _("Punched webs, as seen from the bird"), self.webs, wide=True)
        self.ring_colour = colour_box()
        self.marks_form.add("ring_colour", _("Colour of the ring"), self.ring_colour)
        self.place = QComboBox()
        self.place.setEditable(True)
        self.marks_form.add("place", _("Where, as seen from the bird"), self.place)
        self.ring_size = self.marks_form.add_line("size", _("Ring size"))
        column.addWidget(self.marks_form)
        self.caution = label("", Role.CAUTION, wraps=True)
        self.caution.setObjectName("mark_caution")
        column.addWidget(self.caution)
        column.addStretch(1)
        return column

    def _right_half(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(space(1))
        self.chicks_form = Form(2)
        self.count = QSpinBox()
        self.count.setRange(1, _MOST_CHICKS)
        self.count.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.chicks_form.add("chicks", _("How many chicks"), self.count)
        self.colour = self.chicks_form.add_line("colour", _("Colour of all"))
        self.breed = self.chicks_form.add_line(
            "breed", _("Breed"), self._kin.snapshot.details.breed, wide=True
        )
        column.addWidget(self.chicks_form)
        self.model = ChicksModel(self)
        self.table = ChicksTable(self.model)
        self.table.setMinimumHeight(length(260))
        column.addWidget(self.table, 1)
        hint = _("Type to fill a cell, Enter goes down. For the sex c or h will do. Ctrl+V pastes a list.")
        column.addWidget(label(hint, Role.SMALL, wraps=True))
        return column

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        self._found = label("", Role.CAUTION, wraps=True)
        self._found.setObjectName("hatch_problems")
        row.addWidget(self._found, 1)
        cancel = button(_("Cancel"), self.closed.emit)
        cancel.setObjectName("cancel_hatch")
        self._verb = button("", self.save, primary=True)
        self._verb.setObjectName("save_hatch")
        row.addWidget(cancel)
        row.addWidget(self._verb)
        return row

    def _connect(self) -> None:
        self.parents.changed.connect(self._check)
        self.hatched.changed.connect(self._follow_year)
        self.hatched.changed.connect(self._check)
        self.rearer.changed.connect(self._check)
        self.count.valueChanged.connect(self._resize_hatch)
        self.marking.currentIndexChanged.connect(self._suit_marking)
        self.first.textChanged.connect(self._remark)
        for box in self.webs.boxes.values():
            box.toggled.connect(self._remark)
        self.ring_colour.editTextChanged.connect(self._remark)
        self.colour.textChanged.connect(self._recolour)
        self.model.edited.connect(self._check)

    def _supply(self, snapshot: Snapshot) -> None:
        self.parents.set_birds(snapshot)
        self.rearer.set_birds(snapshot.birds, lambda bird: not bird.placeholder)
        self._used = used_codes(snapshot)
        self.model.set_worn(worn_codes(snapshot))

    def _begin_with(self, parent_bird: BirdId | None) -> None:
        snapshot = self._kin.snapshot
        if parent_bird is None or not snapshot.has(parent_bird):
            return
        bird = snapshot.bird(parent_bird)
        self.parents.set_pairs([Pair(None, bird.id) if bird.sex is Sex.HEN else Pair(bird.id, None)])
        self.breed.setText(bird.breed or snapshot.details.breed)

    def _propose_series(self) -> None:
        year = self.hatched.value.year or self.context.today.year
        self._proposed = proposed_code(self._kin.snapshot, year)
        self.first.setText(self._proposed)

    def _follow_year(self) -> None:
        """Propose the series of the year written, unless the keeper has begun one of their own."""
        if self.hatched.value.is_known and self.first.text() == self._proposed:
            self._propose_series()

    @property
    def _chosen_marking(self) -> Marking:
        return Marking(self.marking.currentData())

    def _suit_marking(self) -> None:
        marking = self._chosen_marking
        fields = self.marks_form.fields
        fields["marks"].setVisible(marking.has_series)
        fields["webs"].setVisible(marking is Marking.TOE_PUNCH)
        worn_rings = marking in (Marking.RINGS, Marking.RING_COLOUR)
        fields["ring_colour"].setVisible(worn_rings)
        fields["size"].setVisible(worn_rings)
        fields["place"].setVisible(marking.has_series or worn_rings)
        kind = marking.value
        self.caution.setText(mark_caution(kind) if kind is not None else "")
        written = self.place.currentText()
        offered = mark_places(kind) if kind is not None else ()
        self.place.clear()
        self.place.addItems(["", *offered])
        self.place.setEditText(written if written in offered else "")
        self._remark()

    def _marks(self, code: str) -> tuple[Mark, ...]:
        marking = self._chosen_marking
        kind = marking.value
        if kind is None or not code:
            return ()
        place = "" if marking is Marking.TOE_PUNCH else self.place.currentText().strip()
        has_colour = marking in (Marking.RINGS, Marking.RING_COLOUR)
        colour = colour_of(self.ring_colour) if has_colour else ""
        size = self.ring_size.text().strip() if has_colour else ""
        return (Mark(MarkId(""), kind, code, place, colour, size, self.hatched.value),)

    def _resize_hatch(self) -> None:
        self.model.set_count(self.count.value())
        if self.colour.text().strip():
            self.model.set_colour(self.colour.text().strip(), self._last_colour)
        self._remark()

    def _recolour(self) -> None:
        colour = self.colour.text().strip()
        self.model.set_colour(colour, self._last_colour)
        self._last_colour = colour

    def _remark(self) -> None:
        """Give the chicks their marks anew, but for those the keeper wrote."""
        marking = self._chosen_marking
        problem = ""
        codes: tuple[str, ...] = ()
        count = len(self.model.drafts)
        if marking.has_series and self.first.text().strip():
            own = {draft.mark.strip().casefold() for draft in self.model.drafts if draft.own_mark}
            try:
                codes = mark_series(self.first.text(), count, self._used | own)
            except ValueError as error:
                problem = str(error)
        elif marking is Marking.TOE_PUNCH:
            codes = (self.webs.code,) * count
        elif marking is Marking.RING_COLOUR:
            codes = (colour_of(self.ring_colour),) * count
        self.marks_form.fields["marks"].show_problems([Problem("mark", problem)] if problem else [])
        self.model.set_marks(codes, has_marks=marking.has_series)
        self._check()

    def _parents(self) -> list[BirdId]:
        return [bird for pair in self.parents.pairs for bird in (pair.dam, pair.sire) if bird is not None]

    def _own_problems(self) -> tuple[Problem, ...]:
        found = []
        if self.hatched.error:
            found.append(Problem("date", self.hatched.error, field="hatched"))
        elif not self.hatched.value.is_known:
            found.append(Problem("date", _("When did they hatch? A year will do."), field="hatched"))
        if self.parents.error:
            found.append(Problem("weights", self.parents.error, field="parents"))
        found += [Problem("duplicate mark", text) for text in self.model.problems]
        return tuple(found)

    def _check(self) -> None:
        """Say at once what the record and the numbers have to say to this hatch."""
        count = len(self.model.drafts)
        self._verb.setText(
            plural("Register {count} chick", "Register {count} chicks", count).format(count=count)
        )
        self._look_ahead()
        problems = self._own_problems()
        if any(problem.kind in ("date", "weights") for problem in problems):
            self._show([problem for problem in problems if problem.field != "hatched"])
            return
        self._own = problems
        self._preview = self.context.record.preview(self.change(), self._take_preview, key="hatch preview")

    def _take_preview(self, problems: tuple[Problem, ...]) -> None:
        if not self._saving:
            self._show(
                (*self._own, *(each for each in problems if each.kind != "duplicate mark" or not self._own))
            )

    def _look_ahead(self) -> None:
        pairs, kin = self.parents.pairs, self._kin
        if not any(pair.sire and pair.dam for pair in pairs):
            self.outlook.clear()
            return

        def work(_progress: Progress) -> Outlook:
            return outlook_of(kin, pairs)

        self._tickets.append(self.context.workers.run(work, self._take_outlook, key="hatch outlook"))

    def _take_outlook(self, outlook: Outlook) -> None:
        if outlook.inbreeding is None:
            self.outlook.clear()
            return
        if outlook.sentences:
            lines = [*outlook.sentences]
            if len(outlook.sentences) > 1 or len(self.parents.pairs) > 1:
                lines.append(
                    _("Over the possible pairs, F of the chicks {share}.").format(
                        share=percent_text(outlook.inbreeding)
                    )
                )
            lines.append(_("Close mating lowers hatch and vigour."))
            set_role(self.outlook, Role.CAUTION)
        else:
            lines = [_("No common ancestor of the parents is known: F of the chicks 0 %.")]
            set_role(self.outlook, Role.FAINT)
        if outlook.cautious is not None and outlook.cautious > outlook.inbreeding + 5e-4:
            lines.append(
                _("Cautious, unknown parents taken from the flock: {share}.").format(
                    share=percent_text(outlook.cautious)
                )
            )
        self.outlook.setText("\n".join(lines))

    def _show(self, problems: "tuple[Problem, ...] | list[Problem]") -> None:
        """Each sentence under its field, the others at the foot."""
        here = {
            "hatched": "hatched",
            "parents": "parents",
            "sire": "parents",
            "dam": "parents",
            "rearer": "rearer",
        }
        for key in ("hatched", "parents", "rearer"):
            self.form.fields[key].show_problems(p for p in problems if here.get(p.field) == key)
        self.chicks_form.fields["chicks"].show_problems(p for p in problems if p.field == "chicks")
        rest = [p for p in problems if p.field not in here and p.field != "chicks"]
        set_role(self._found, Role.ERROR if any(p.is_error for p in rest) else Role.CAUTION)
        self._found.setText("\n".join(dict.fromkeys(p.message for p in rest)))

    def _saved(self, entry: Entry, snapshot: Snapshot) -> None:
        self._saving = False
        self._verb.setEnabled(True)
        self._saved_birds = entry.birds
        count = len(entry.birds)
        text = plural(
            "{count} chick is in the book, hatched {date}.",
            "{count} chicks are in the book, hatched {date}.",
            count,
        )
        self._saved_words.setText(text.format(count=count, date=date_text(self.hatched.value)))
        self._saved_box.show()
        self._empty()
        self._another.setFocus()

    def _empty(self) -> None:
        """No chick written yet; date, parents and manner of marking stay."""
        self.model.set_count(0)
        self._propose_series()
        self.count.setValue(1)
        self._resize_hatch()

    def _refused(self, problems: tuple[Problem, ...]) -> None:
        self._saving = False
        self._verb.setEnabled(True)
        self._show(problems)

    def _see_chicks(self) -> None:
        title = _("Hatched {date}").format(date=date_text(self.hatched.value))
        birds = self._saved_birds
        self.closed.emit()
        self.birds_asked.emit(BirdList(title, birds))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        narrow = self.width() < length(_WIDE)
        self._halves.setDirection(
            QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.save()
        elif event.key() == Qt.Key.Key_Escape and not self._is_begun():
            self.closed.emit()
        else:
            super().keyPressEvent(event)

    def _is_begun(self) -> bool:
        """True once there is something that Esc would lose."""
        drafts = self.model.drafts
        return len(drafts) > 1 or any(draft.name or draft.note or draft.own_mark for draft in drafts)
