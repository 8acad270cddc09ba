"""The room Bloodlines: is the line narrowing, whom does it hang on, and who could bring back what fades?"""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QProgressBar,
    QSizePolicy,
    QStackedWidget,
    QTabWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from studbook.book.errors import RecordProblems
from studbook.book.records import BirdId, Entry, OriginId, Snapshot
from studbook.desk import printing
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.room import Room
from studbook.desk.rooms.bloodlines import pictures
from studbook.desk.rooms.bloodlines.calling import CallingPage
from studbook.desk.rooms.bloodlines.founders import FoundersPage
from studbook.desk.rooms.bloodlines.line import LinePage
from studbook.desk.rooms.bloodlines.living import LivingPage
from studbook.desk.rooms.bloodlines.numbers import (
    Answer,
    Calls,
    FounderAnswer,
    Numbers,
    Question,
    StandingAnswer,
)
from studbook.desk.rooms.bloodlines.origins import OriginsPage
from studbook.desk.rooms.bloodlines.paper import BloodlinesPaper
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import button, label, link
from studbook.desk.widgets.unknown_switch import UnknownSwitch
from studbook.season.species import all_species
from studbook.words import _

if TYPE_CHECKING:
    from studbook.planning.bloodlines.report import FounderKey, OriginEffect

_LEAST = 160
_NARROW = 860
_LOW = 400
_PATIENCE_MS = 400
"""Only work that takes longer than this shows its progress."""


class BloodlinesRoom(Room):
    """Is the line narrowing?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.setObjectName("bloodlines_room")
        self._snapshot: Snapshot | None = None
        self._numbers: Numbers | None = None
        self.answer: Answer | None = None
        self._species = ""
        self._is_stale = False
        self._filled: set[int] = set()
        self._tickets: dict[str, int] = {}
        self.line = LinePage(context)
        self.founders = FoundersPage(context)
        self.living = LivingPage(context)
        self.calling = CallingPage(context)
        self.origins = OriginsPage(context, lambda: self.room_asked.emit("book"))
        self._pages = (self.line, self.founders, self.living, self.calling, self.origins)
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(_PATIENCE_MS)
        self._patience.timeout.connect(lambda: self._busy.show())
        self._build()
        for page in self._pages:
            page.bird_asked.connect(self.bird_asked)
            page.birds_asked.connect(self.birds_asked)
        self.line.founder_asked.connect(lambda key: self.follow(pictures.key_of(key)))
        self.founders.founder_wanted.connect(self._ask_founder)
        self.living.standing_wanted.connect(lambda bird: self._ask_standing(BirdId(bird)))
        self.calling.founder_asked.connect(self.follow)
        self.origins.effect_wanted.connect(self._ask_effect)

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(space(4), space(3), space(4), space(2))
        column.setSpacing(space())
        column.addLayout(self._head())
        self._basis = label("", Role.FAINT, wraps=True)
        self._basis.setObjectName("bloodlines_basis")
        column.addWidget(self._basis)
        self.tabs = QTabWidget()
        self.tabs.setObjectName("bloodlines_tabs")
        self.tabs.setDocumentMode(True)
        titles = (_("The line"), _("Founders"), _("Living birds"), _("Calling home"), _("Origins"))
        for page, title in zip(self._pages, titles, strict=True):
            self.tabs.addTab(page, title)
        self.tabs.currentChanged.connect(lambda _page: self._show_page())
        self._waiting = label(_("Reckoning the bloodlines…"), Role.FAINT)
        self._waiting.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._stack = QStackedWidget()
        self._stack.addWidget(self.tabs)
        self._stack.addWidget(self._waiting)
        self._stack.setCurrentWidget(self._waiting)
        # the wrapped texts above make the window ask for the height one would like, not the least
        self._stack.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)
        self._stack.setMinimumHeight(length(_LEAST))
        column.addWidget(self._stack, 1)

    def _head(self) -> QVBoxLayout:
        whole = QVBoxLayout()
        whole.setSpacing(space(0.5))
        row = QHBoxLayout()
        row.setSpacing(space())
        row.addWidget(label(_("Bloodlines"), Role.TITLE))
        row.addSpacing(space(2))
        self._kinds = QComboBox()
        self._kinds.setObjectName("bloodlines_species")
        self._kinds.setAccessibleName(_("Species"))
        self._kinds.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self._kinds.activated.connect(self._take_species)
        row.addWidget(self._kinds)
        self._ways = UnknownSwitch("bloodlines")
        self._ways.changed.connect(self._ask)
        row.addWidget(self._ways)
        row.addStretch(1)
        row.addWidget(self._progress())
        self._print = button(_("Print…"), self.print_pages, icon="printer")
        self._print.setObjectName("bloodlines_print")
        row.addWidget(self._print)
        whole.addLayout(row)
        self._first, self._second = row, QHBoxLayout()
        whole.addLayout(self._second)
        return whole

    def _progress(self) -> QWidget:
        self._busy = QWidget()
        row = QHBoxLayout(self._busy)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(1))
        self._bar = QProgressBar()
        self._bar.setObjectName("bloodlines_progress")
        self._bar.setAccessibleName(_("How much of the figures is worked out"))
        self._bar.setRange(0, 100)
        self._bar.setTextVisible(False)
        self._bar.setFixedWidth(length(120))
        row.addWidget(self._bar)
        stop = link(_("stop"), self.stop)
        stop.setObjectName("bloodlines_stop")
        row.addWidget(stop)
        self._busy.hide()
        return self._busy

    @property
    def question(self) -> Question:
        """What the controls ask for."""
        return Question(self._species, self._ways.is_cautious, self.context.today)

    def actions_here(self) -> tuple[Action, ...]:
        def has_report() -> bool:
            return self.answer is not None

        return (
            Action(
                "bloodlines.print", _("Print the &bloodlines…"), self.print_pages, Menu.BIRDS,
                enabled=has_report, icon="printer", group=5,
            ),
        )  # fmt: skip

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        self._snapshot = snapshot
        self._numbers = Numbers(snapshot)
        self._is_stale = True
        if self.isVisible():
            self._ask()

    def follow(self, key: "FounderKey") -> None:
        """Follow a founder on its page."""
        self.tabs.setCurrentWidget(self.founders)
        self.founders.choose(key)

    def stop(self) -> None:
        """Stop what is being worked out; what was shown before stays."""
        self._rest()
        for ticket in self._tickets.values():
            self.context.workers.cancel(ticket)
        if self.answer is None:
            self._waiting.setText(
                _("Stopped. Come back to this room, or change the figures, to begin again.")
            )
        self._is_stale = True

    def print_pages(self) -> None:
        """Open the preview of the report on paper."""
        if self.answer is not None and self._snapshot is not None:
            paper = BloodlinesPaper(self.answer, self._snapshot)
            printing.preview(self, _("Bloodlines"), paper.paint)

    def leave(self) -> None:
        self._patience.stop()
        for ticket in self._tickets.values():
            self.context.workers.cancel(ticket)
        for page in self._pages:
            page.cancel()

    def _ask(self) -> None:
        """Ask for the report of what is chosen now."""
        numbers, question = self._numbers, self.question
        if numbers is None:
            return
        self._is_stale = False
        if not numbers.snapshot.birds:
            self._show_nothing()
            return
        self._wait()
        self._tickets["report"] = self.context.workers.run(
            lambda progress: numbers.report(question, progress),
            self._show_answer,
            failed=self._failed,
            progressed=self._show_progress,
            key=("bloodlines", "report"),
        )

    def _show_answer(self, answer: Answer) -> None:
        snapshot = self._snapshot
        if snapshot is None:
            return
        self._rest()
        self._show_kinds(answer)
        self._basis.setText(answer.basis)
        if not answer.report.birds:
            self._show_nothing()
            return
        self.answer = answer
        self._ways.show()
        self._print.setEnabled(True)
        self._stack.setCurrentWidget(self.tabs)
        self._show_page(fresh=True)

    def _show_page(self, *, fresh: bool = False) -> None:
        """Fill the page on view; the others wait until they are looked at."""
        answer, snapshot = self.answer, self._snapshot
        if answer is None or snapshot is None:
            return
        if fresh:
            self._filled = set()
        page = self.tabs.currentIndex()
        if page in self._filled:
            return
        self._filled.add(page)
        match self._pages[page]:
            case LinePage() | FoundersPage() | LivingPage() as found:
                found.show_answer(answer, snapshot)
            case CallingPage():
                self._ask_calls()
            case OriginsPage() as found:
                found.show_snapshot(snapshot)

    def _show_kinds(self, answer: Answer) -> None:
        table = all_species()
        self._species = answer.report.species or ""
        self._kinds.clear()
        for code in answer.kinds:
            self._kinds.addItem(table[code].plural if code in table else code, code)
        self._kinds.setCurrentIndex(self._kinds.findData(self._species))
        self._kinds.setVisible(len(answer.kinds) > 1)

    def _take_species(self) -> None:
        self._species = self._kinds.currentData()
        self._ask()

    def _show_nothing(self) -> None:
        self.answer = None
        self._rest()
        for control in (self._kinds, self._ways):
            control.hide()
        self._basis.clear()
        self._print.setEnabled(False)
        while self._stack.count() > 2:
            old = self._stack.widget(2)
            assert old is not None
            self._stack.removeWidget(old)
            old.deleteLater()
        state = EmptyState(
            "drop",
            _("No line to follow yet"),
            _(
                "Here you will see how inbred the flock is and whether it rises, which founders are about to be lost "
                "and which birds carry them. It begins with birds and their parents."
            ),
            (_("Add your first birds"), lambda: self.room_asked.emit("birds")),
            (_("Import a list…"), lambda: self.room_asked.emit("book")),
        )
        self._stack.addWidget(state)
        self._stack.setCurrentWidget(state)

    def _ask_founder(self, key: "FounderKey") -> None:
        numbers, answer = self._numbers, self.answer
        if numbers is None or answer is None:
            return

        def show(found: FounderAnswer) -> None:
            self._rest()
            self.founders.show_founder(found)

        self._wait()
        self._tickets["founder"] = self.context.workers.run(
            lambda progress: numbers.founder(answer, key, progress),
            show,
            failed=self._failed,
            progressed=self._show_progress,
            key=("bloodlines", "founder"),
        )

    def _ask_standing(self, bird: BirdId) -> None:
        numbers, answer = self._numbers, self.answer
        if numbers is None or answer is None:
            return

        def show(standing: StandingAnswer) -> None:
            self.living.show_standing(bird, standing)

        self._tickets["standing"] = self.context.workers.run(
            lambda progress: numbers.standing(answer, bird, progress), show, key=("bloodlines", "standing")
        )

    def _ask_calls(self) -> None:
        numbers, answer = self._numbers, self.answer
        if numbers is None or answer is None:
            return
        self._wait()

        def show(calls: Calls) -> None:
            self._rest()
            self.calling.show_calls(calls, numbers)

        self._tickets["calls"] = self.context.workers.run(
            lambda progress: numbers.calls(answer, progress),
            show,
            failed=self._failed,
            progressed=self._show_progress,
            key=("bloodlines", "calls"),
        )

    def _ask_effect(self, origin: OriginId, other: OriginId | None, gamma: float) -> None:
        numbers, answer = self._numbers, self.answer
        if numbers is None or answer is None:
            return

        def show(effect: "OriginEffect") -> None:
            self._rest()
            self.origins.show_effect(effect)

        def failed(error: Exception) -> None:
            if isinstance(error, RecordProblems):
                self._rest()
                self.origins.show_problems(error.problems)
            else:
                self._failed(error)

        self._wait()
        self._tickets["effect"] = self.context.workers.run(
            lambda progress: numbers.effect(answer, origin, other, gamma, progress),
            show,
            failed=failed,
            progressed=self._show_progress,
            key=("bloodlines", "effect"),
        )

    def _failed(self, error: Exception) -> None:
        self._rest()
        self.context.workers.broke.emit(error)

    def _wait(self) -> None:
        self._bar.setValue(0)
        self._waiting.setText(_("Reckoning the bloodlines…"))
        self._patience.start()

    def _rest(self) -> None:
        self._patience.stop()
        self._busy.hide()

    def _show_progress(self, share: float) -> None:
        self._bar.setValue(round(share * 100))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        # on a low window the page needs the height; the switch says the same on hover
        self._basis.setVisible(self.height() >= length(_LOW))
        if self.width() < length(_NARROW):
            self._second.addWidget(self._ways)
        elif self._second.count():
            self._first.insertWidget(self._first.indexOf(self._kinds) + 1, self._ways)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_stale:
            self._ask()


def _way(name: str, words: str, explained: str) -> QToolButton:
    """One of the two ways to take what is unknown."""
    made = QToolButton()
    made.setObjectName(name)
    made.setText(words)
    made.setToolTip(explained)
    made.setAccessibleDescription(explained)
    made.setCheckable(True)
    made.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return made


def build(context: Context) -> BloodlinesRoom:
    """The room."""
    return BloodlinesRoom(context)
