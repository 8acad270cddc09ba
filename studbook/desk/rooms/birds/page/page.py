"""The page of one bird: who it is, its line, why it is inbred, what happened to it."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, Signal, SignalInstance
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.dates import PartialDate
from studbook.desk.context import Context
from studbook.desk.deeds.several import StatusDialog, StrikeOutDialog
from studbook.desk.kin import Kin
from studbook.desk.room import BirdList
from studbook.desk.rooms.birds.page.apart import ApartView
from studbook.desk.rooms.birds.page.choice import ChoiceView
from studbook.desk.rooms.birds.page.egg import EggView
from studbook.desk.rooms.birds.page.facts import FactSheet
from studbook.desk.rooms.birds.page.fertility import FertilityView
from studbook.desk.rooms.birds.page.head import Head
from studbook.desk.rooms.birds.page.inbreeding import InbreedingView
from studbook.desk.rooms.birds.page.life import LifeLine, life_of
from studbook.desk.rooms.birds.page.line import LineView
from studbook.desk.rooms.birds.page.marks import MarksView
from studbook.desk.rooms.birds.page.notes import NotesView
from studbook.desk.rooms.birds.page.parents import OffspringView, ParentsDialog, ParentsView
from studbook.desk.rooms.birds.page.pictures import SUFFIXES, Pictures
from studbook.desk.rooms.birds.page.whereabouts import WhereaboutsView
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.wording import bird_text, date_text
from studbook.words import _


class BirdPage(QWidget):
    """The same page from everywhere.

    Signals
    -------
    bird_asked
        The page of another bird is wanted (str, its BirdId).
    birds_asked
        A list of birds is wanted (BirdList).
    tree_asked, pairing_asked, hatch_asked, certificate_asked
        The family tree, the pairs, the form of a hatch or the certificate of this bird (str, its BirdId).
    closed
        The keeper is done with the page.
    """

    bird_asked = Signal(str)
    birds_asked = Signal(object)
    tree_asked = Signal(str)
    pairing_asked = Signal(str)
    hatch_asked = Signal(str)
    certificate_asked = Signal(str)
    closed = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("bird_page")
        self.context = context
        self._bird: Bird | None = None
        self._kin: Kin | None = None
        self.setAcceptDrops(True)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(space(2), 0, 0, 0)
        whole.setSpacing(0)
        top = QHBoxLayout()
        self.back = link(_("← all birds"), self.closed.emit)
        self.back.setObjectName("close_page")
        self.back.setAccessibleName(_("Close the page and go back to all birds"))
        top.addWidget(self.back)
        top.addStretch(1)
        whole.addLayout(top)
        self._area = QScrollArea()
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setWidgetResizable(True)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        whole.addWidget(self._area, 1)
        inner = QWidget()
        inner.setMaximumWidth(length(1080))
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, space(1), space(2), space(3))
        column.setSpacing(space(1))
        self.head = Head()
        self.pictures = Pictures(context, self.head.picture)
        self.pictures.problem.connect(self._say_problem)
        self._problem = label("", Role.ERROR, wraps=True)
        self._problem.setObjectName("page_problem")
        self._problem.hide()
        column.addWidget(self.head)
        column.addWidget(self.pictures)
        column.addWidget(self._problem)
        column.addWidget(self._deeds())
        self.facts = FactSheet(context)
        self._all_fields = link(_("all fields"), self._turn_fields)
        self._all_fields.setObjectName("all_fields")
        column.addWidget(SectionHeading(_("Who it is"), self._all_fields))
        column.addWidget(self.facts)
        self.marks = MarksView(context)
        self._add_mark = link(_("add a mark"), self.marks.add)
        self._add_mark.setObjectName("page_add_mark")
        column.addWidget(SectionHeading(_("Marks"), self._add_mark))
        column.addWidget(self.marks)
        self.parents = ParentsView()
        self.parents.bird_asked.connect(self.bird_asked)
        self._edit_parents = link(_("edit the parents"), self._ask_parents)
        self._edit_parents.setObjectName("edit_parents")
        column.addWidget(SectionHeading(_("Parents"), self._edit_parents))
        column.addWidget(self.parents)
        self.egg = EggView()
        self.egg.bird_asked.connect(self.bird_asked)
        column.addWidget(self.egg)
        self.inbreeding = InbreedingView(context)
        self.inbreeding.bird_asked.connect(self.bird_asked)
        column.addWidget(SectionHeading(_("Inbreeding")))
        column.addWidget(self.inbreeding)
        self.line = LineView(context)
        self.line.bird_asked.connect(self.bird_asked)
        column.addSpacing(space(1))
        column.addWidget(self.line)
        self.life = LifeLine()
        column.addWidget(SectionHeading(_("Life")))
        column.addWidget(self.life)
        self._told = label(" ", Role.FAINT, wraps=True)
        self._told.setObjectName("life_words")
        self.life.told.connect(self._tell_life)
        column.addWidget(self._told)
        self.apart = ApartView(context)
        self._set_apart = link(_("set apart…"), self.apart.set_apart)
        self._set_apart.setObjectName("page_set_apart")
        column.addWidget(SectionHeading(_("Apart"), self._set_apart))
        column.addWidget(self.apart)
        self.fertility = FertilityView(context)
        self.fertility.bird_asked.connect(self.bird_asked)
        self._plan_trial = link(_("plan a trial…"), self.fertility.plan)
        self._plan_trial.setObjectName("page_plan_trial")
        self._fertility_heading = SectionHeading(_("Fertility"), self._plan_trial)
        column.addWidget(self._fertility_heading)
        column.addWidget(self.fertility)
        self.choice = ChoiceView()
        column.addWidget(self.choice)
        self.whereabouts = WhereaboutsView(context)
        self._move = link(_("move…"), self.whereabouts.ask_move)
        self._move.setObjectName("page_move")
        self._enter_stay = link(_("enter a stay"), self.whereabouts.ask_stay)
        self._enter_stay.setObjectName("page_stay")
        self._enter_mating = link(_("enter a mating"), self.whereabouts.ask_mating)
        self._enter_mating.setObjectName("page_mating")
        pens = (self._move, self._enter_stay, self._enter_mating)
        column.addWidget(SectionHeading(_("Where it was and is"), *pens))
        column.addWidget(self.whereabouts)
        self.notes = NotesView(context)
        self._add_note = link(_("add a note"), self.notes.add)
        self._add_note.setObjectName("add_note")
        column.addWidget(SectionHeading(_("Notes"), self._add_note))
        column.addWidget(self.notes)
        self.offspring = OffspringView()
        self.offspring.bird_asked.connect(self.bird_asked)
        self.offspring.all_asked.connect(self._ask_offspring)
        column.addWidget(SectionHeading(_("Offspring")))
        column.addWidget(self.offspring)
        self._papers = label("", Role.FAINT, wraps=True)
        self._papers.setObjectName("papers")
        self._papers_heading = SectionHeading(_("Certificates"))
        column.addWidget(self._papers_heading)
        column.addWidget(self._papers)
        column.addStretch(1)
        self._area.setWidget(inner)
        context.theme.changed.connect(self._redraw)

    @property
    def bird(self) -> BirdId | None:
        """Whose page it is."""
        return self._bird.id if self._bird is not None else None

    def show_bird(self, bird_id: BirdId, kin: Kin) -> bool:
        """Show a bird of a snapshot; False when it is not in it."""
        snapshot = kin.snapshot
        if not snapshot.has(bird_id):
            return False
        bird = snapshot.bird(bird_id)
        another = self._bird is None or self._bird.id != bird_id
        self._bird, self._kin = bird, kin
        book = self.context.record.open_book
        can_edit = book is not None and not book.read_only
        today = self.context.today
        self._say_problem("")
        self.head.show_bird(bird, snapshot, today)
        self.pictures.show_bird(bird, snapshot, can_edit=can_edit)
        self.facts.show_bird(bird, snapshot, can_edit=can_edit)
        self.marks.show_bird(bird, snapshot, can_edit=can_edit)
        self.parents.show_bird(bird, snapshot)
        self.egg.show_bird(bird, snapshot)
        self.notes.show_bird(bird, snapshot, can_edit=can_edit)
        self.whereabouts.show_bird(bird, snapshot, can_edit=can_edit)
        has_pens = can_edit and bool(snapshot.husbandry.pens) and not bird.placeholder
        self._move.setVisible(has_pens and bird.is_living)
        self._enter_stay.setVisible(has_pens)
        self._enter_mating.setVisible(can_edit and bird.sex is Sex.HEN and not bird.placeholder)
        self.apart.show_bird(bird, snapshot, can_edit=can_edit)
        self._set_apart.setVisible(can_edit and bird.is_living and not self.apart.is_apart)
        self.fertility.show_bird(bird, snapshot)
        has_trials = self.fertility.has_something(bird, snapshot)
        self.fertility.setVisible(has_trials)
        self._fertility_heading.setVisible(has_trials)
        self._plan_trial.setVisible(can_edit and bird.is_living and bird.sex is Sex.COCK)
        self.choice.show_bird(bird, snapshot)
        self.offspring.show_bird(bird, snapshot)
        self.inbreeding.show_bird(bird, kin)
        self.line.show_bird(bird, kin)
        self.life.show_life(life_of(snapshot, bird), today, goes_on=bird.is_living)
        self._tell_life("")
        self._show_papers(snapshot)
        for widget in (self._add_mark, self._edit_parents, self._add_note, self._status, self._strike):
            widget.setVisible(can_edit)
        self._hatch.setVisible(can_edit and bird.sex is not Sex.UNKNOWN and not bird.placeholder)
        self._pairing.setVisible(bird.sex is not Sex.UNKNOWN and bird.is_living)
        self._certificate.setVisible(not bird.placeholder)
        hatch = (
            _("Register hatchlings of this hen")
            if bird.sex is Sex.HEN
            else _("Register hatchlings of this cock")
        )
        self._hatch.setText(hatch)
        if another:
            self._area.verticalScrollBar().setValue(0)
        return True

    def leave(self) -> None:
        """The window closes: what workers are doing for the page is not wanted any more."""
        for part in (self.pictures, self.inbreeding, self.line, self.fertility):
            part.leave()

    def _deeds(self) -> QWidget:
        deeds = QWidget()
        flow = Flow(deeds)
        self._certificate = button(_("Certificate…"), self._ask(self.certificate_asked), icon="certificate")
        self._certificate.setObjectName("ask_certificate")
        self._tree = button(_("Family tree"), self._ask(self.tree_asked), icon="tree-structure")
        self._tree.setObjectName("ask_tree")
        self._hatch = button(_("Register hatchlings"), self._ask(self.hatch_asked), icon="egg")
        self._hatch.setObjectName("ask_hatch")
        self._pairing = button(_("Pair with…"), self._ask(self.pairing_asked), icon="heart-half")
        self._pairing.setObjectName("ask_pairing")
        self._status = button(_("Change status…"), self._ask_status)
        self._status.setObjectName("page_status")
        self._strike = link(_("Strike out…"), self._ask_strike)
        self._strike.setObjectName("page_strike")
        for each in (self._certificate, self._tree, self._hatch, self._pairing, self._status, self._strike):
            flow.addWidget(each)
        return deeds

    def _ask(self, signal: SignalInstance) -> Callable[[], None]:
        return lambda: signal.emit(str(self.bird))

    def _turn_fields(self) -> None:
        self.facts.show_all(not self.facts.shows_all)
        self._all_fields.setText(_("filled fields") if self.facts.shows_all else _("all fields"))

    def _ask_status(self) -> None:
        if self._bird is not None and self._kin is not None:
            StatusDialog(self.context, self._kin.snapshot, (self._bird,), self.window()).ask()

    def _ask_strike(self) -> None:
        if self._bird is not None:
            StrikeOutDialog(self.context, (self._bird,), self.window()).ask()

    def _ask_parents(self) -> None:
        if self._bird is not None and self._kin is not None:
            ParentsDialog(self.context, self._bird, self._kin.snapshot, self.window()).ask()

    def _ask_offspring(self) -> None:
        if self._bird is not None and self._kin is not None:
            title = _("Offspring of {bird}").format(bird=bird_text(self._bird))
            self.birds_asked.emit(BirdList(title, self._kin.snapshot.offspring.get(self._bird.id, ())))

    def _show_papers(self, snapshot: Snapshot) -> None:
        issued = [each for each in snapshot.certificates if each.bird == self.bird]
        lines = []
        for each in issued:
            words = _("{number}, issued {date}, for {owner}") if each.owner else _("{number}, issued {date}")
            day = PartialDate.of(each.issued)
            lines.append(words.format(number=each.number, date=date_text(day), owner=each.owner))
        self._papers.setText("\n".join(lines))
        self._papers.setVisible(bool(issued))
        self._papers_heading.setVisible(bool(issued))

    def _tell_life(self, words: str) -> None:
        self._told.setText(words or _("Point at a dot, or use the arrow keys, to read what happened."))

    def _say_problem(self, text: str) -> None:
        self._problem.setText(text)
        self._problem.setVisible(bool(text))

    def _redraw(self) -> None:
        """The drawing has its colours in it and is made anew for another look."""
        if self._bird is not None and self._kin is not None and self._kin.snapshot.has(self._bird.id):
            self.line.show_bird(self._bird, self._kin)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if _dropped_picture(event) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        path = _dropped_picture(event)
        if path is not None:
            event.acceptProposedAction()
            self.pictures.take_file(path)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
        else:
            super().keyPressEvent(event)


def _dropped_picture(event: QDropEvent) -> Path | None:
    for url in event.mimeData().urls():
        path = Path(url.toLocalFile())
        if url.isLocalFile() and path.suffix.lower() in SUFFIXES:
            return path
    return None
