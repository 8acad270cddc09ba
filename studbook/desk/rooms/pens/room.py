"""The room Pens: the board of the yard on a day, what is planned, whose egg, and the houses and pens."""

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMenu,
    QSizePolicy,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from studbook.book.changes import CarryOut, Together, Withdraw
from studbook.book.husbandry.rows import ConditionKind, House, Machine, Move, Pen
from studbook.book.husbandry.wording import condition_word
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Entry, Sex, Snapshot
from studbook.desk import printing
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import apply_foreseen
from studbook.desk.deeds.mating import MatingDialog
from studbook.desk.deeds.moving import MoveDialog, moved
from studbook.desk.deeds.pen_fields import DayField
from studbook.desk.deeds.stay import StayDialog
from studbook.desk.room import Room
from studbook.desk.rooms.pens.board_page import BoardPage
from studbook.desk.rooms.pens.condition_form import ConditionDialog, all_have, turned
from studbook.desk.rooms.pens.exchanging import ExchangeDialog
from studbook.desk.rooms.pens.housing import HouseDialog, MachineDialog, PenDialog
from studbook.desk.rooms.pens.numbers import Answer, Numbers
from studbook.desk.rooms.pens.paper import BoardPaper
from studbook.desk.rooms.pens.places_page import PlacesPage
from studbook.desk.rooms.pens.planned_page import PlannedPage
from studbook.desk.rooms.pens.whose_page import WhosePage
from studbook.desk.sheets import ask_sheet
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.text import button, label, link
from studbook.desk.wording import day_text
from studbook.planning.pens.board import stays_on
from studbook.words import _, plural

_LEAST = 240
_QUICK = (ConditionKind.BROODY, ConditionKind.MOULTING, ConditionKind.NOT_LAYING)


class _Pages(QStackedWidget):
    """Pages that scroll by themselves: their wrapped texts do not ask the window for the height they would like."""

    def hasHeightForWidth(self) -> bool:
        return False


class PensRoom(Room):
    """Who runs with whom, and is it well?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.setObjectName("pens_room")
        self._snapshot: Snapshot | None = None
        self._numbers: Numbers | None = None
        self._day = context.today
        self._ticket = 0
        self.answer: Answer | None = None
        self.board = BoardPage()
        self.planned = PlannedPage(context.today)
        self.whose = WhosePage(context.today)
        self.places = PlacesPage()
        self._build()
        self.board.bird_asked.connect(self.bird_asked)
        self.board.dropped.connect(self._drop)
        self.board.edit_asked.connect(self._change_pen)
        self.board.card_asked.connect(self._print_card)
        self.board.menu_asked.connect(self._ask_menu)
        self.whose.bird_asked.connect(self.bird_asked)
        self.planned.carry_asked.connect(self._carry_out)
        self.planned.withdraw_asked.connect(lambda moves: context.record.apply(Withdraw(tuple(moves))))
        self.places.pen_asked.connect(self._ask_pen)
        self.places.house_asked.connect(self._ask_house)
        self.places.machine_asked.connect(self._ask_machine)
        self.places.withdraw_asked.connect(lambda row: context.record.apply(Withdraw((row,))))

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(space(4), space(3), space(4), space(2))
        column.setSpacing(space())
        column.addLayout(self._head())
        self._past = label("", Role.CAUTION, wraps=True)
        self._past.setObjectName("pens_past")
        self._past.hide()
        column.addWidget(self._past)
        self._deeds = self._make_deeds()
        board = QWidget()
        inner = QVBoxLayout(board)
        inner.setContentsMargins(0, space(1), 0, 0)
        inner.setSpacing(space(1))
        inner.addWidget(self._deeds)
        inner.addWidget(self.board, 1)
        self.tabs = QTabWidget()
        self.tabs.setObjectName("pens_tabs")
        self.tabs.setDocumentMode(True)
        for page, title in (
            (board, _("Board")),
            (self.planned, _("Planned moves")),
            (self.whose, _("Whose egg")),
            (self.places, _("Houses, pens and machines")),
        ):
            self.tabs.addTab(page, title)
        self._empty = EmptyState(
            "farm",
            _("No pens yet"),
            _(
                "Once there are pens you see here who runs with whom on any day, how close their chicks would be, "
                "and when eggs are by the cock that is there."
            ),
            (_("Add the first pen"), self.add_pen),
        )
        self._empty.setObjectName("pens_empty")
        self._stack = _Pages()
        self._stack.addWidget(self.tabs)
        self._stack.addWidget(self._empty)
        self._stack.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)
        self._stack.setMinimumHeight(length(_LEAST))
        column.addWidget(self._stack, 1)

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space())
        row.addWidget(label(_("Pens"), Role.TITLE))
        row.addStretch(1)
        caption = label(_("Show the yard on"), Role.FAINT)
        self.day = DayField(self.context.today, self.context.today)
        self.day.setObjectName("pens_day")
        self.day.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.day.edit.setObjectName("pens_day_edit")
        self.day.edit.setAccessibleName(_("Show the yard on this day"))
        self.day.edit.editingFinished.connect(self._take_day)
        caption.setBuddy(self.day.edit)
        caption.setContentsMargins(0, space(0.75), 0, 0)
        self._today = link(_("today"), self.show_today)
        self._today.setObjectName("pens_today")
        self._today.setAccessibleName(_("Show the yard of today"))
        for widget in (caption, self.day, self._today):
            row.addWidget(widget, 0, Qt.AlignmentFlag.AlignTop)
        return row

    def _make_deeds(self) -> QWidget:
        deeds = QWidget()
        flow = Flow(deeds)
        self._move = button(_("Move to…"), self.move_birds)
        self._exchange = button(_("Exchange a cock…"), self.exchange)
        self._condition = button(_("Note on the hens"), self._ask_conditions)
        self._mating = button(_("Mating…"), self.add_mating)
        self._stay = button(_("Correct the stay…"), self.correct_stay)
        self._add = button(_("Add a pen…"), self.add_pen, icon="plus")
        self._print = button(_("Print…"), self.print_board, icon="printer")
        for each, name in (
            (self._move, "pens_move"),
            (self._exchange, "pens_exchange"),
            (self._condition, "pens_condition"),
            (self._mating, "pens_mating"),
            (self._stay, "pens_stay"),
            (self._add, "pens_add"),
            (self._print, "pens_print"),
        ):
            each.setObjectName(name)
            flow.addWidget(each)
        return deeds

    @property
    def can_write(self) -> bool:
        """True when the book can be written."""
        book = self.context.record.open_book
        return book is not None and not book.read_only

    @property
    def editable(self) -> bool:
        """True when the board of today is shown and the book can be written."""
        return self.can_write and self._day == self.context.today

    @property
    def chosen(self) -> tuple[Bird, ...]:
        """The birds chosen on the board."""
        return self.board.chosen

    def actions_here(self) -> tuple[Action, ...]:
        def can_edit() -> bool:
            return self.editable

        def has_choice() -> bool:
            return self.editable and bool(self.chosen)

        def has_board() -> bool:
            return self.answer is not None and bool(self.answer.board.pens)

        return (
            Action(
                "pens.move", _("&Move the chosen birds…"), self.move_birds, Menu.BIRDS, ("Ctrl+M",),
                enabled=has_choice, group=4,
            ),
            Action("pens.exchange", _("E&xchange a cock…"), self.exchange, Menu.BIRDS, enabled=can_edit, group=4),
            Action(
                "pens.mating", _("Enter a ma&ting outside the pen…"), self.add_mating, Menu.BIRDS,
                enabled=can_edit, group=4,
            ),
            Action("pens.whose", _("&Whose egg?"), self.ask_whose, Menu.BIRDS, group=4),
            Action("pens.add", _("Add a &pen…"), self.add_pen, Menu.BIRDS, enabled=can_edit, group=4),
            Action(
                "pens.print", _("Print the pen &board…"), self.print_board, Menu.BIRDS, enabled=has_board,
                icon="printer", group=4,
            ),
        )  # fmt: skip

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        self._snapshot = snapshot
        self._numbers = Numbers(snapshot, self.context.today)
        self._stack.setCurrentIndex(0 if snapshot.husbandry.pens else 1)
        self.planned.show_snapshot(snapshot, self.context.today, editable=self.can_write)
        self.whose.show_snapshot(snapshot)
        self.places.show_snapshot(snapshot, self.context.today, editable=self.can_write)
        moves = len(snapshot.husbandry.moves)
        title = plural("{count} planned move", "{count} planned moves", moves).format(count=moves)
        self.tabs.setTabText(1, title if moves else _("Planned moves"))
        self._ask()

    def show_bird(self, bird: BirdId) -> None:
        """Choose a bird on the board."""
        self.tabs.setCurrentIndex(0)
        self.board.choose(bird)

    def leave(self) -> None:
        self.context.workers.cancel(self._ticket)

    def show_today(self) -> None:
        """Go back to the board of today."""
        self.show_day(self.context.today)

    def show_day(self, day: date) -> None:
        """Show the board of a day."""
        self.day.set_day(day)
        self._take_day()

    def _take_day(self) -> None:
        day = self.day.day
        if day is None or day == self._day:
            return
        if day > self.context.today:
            self.context.say(_("That day is still to come: what is planned stands under “Planned moves”."))
            self.day.set_day(self._day)
            return
        self._day = day
        self._ask()

    def _ask(self) -> None:
        """Ask for the board of the day: at once without figures, then with them."""
        numbers, day = self._numbers, self._day
        past = day != self.context.today
        text = _("The yard on {day}, as it was: to look at only.")
        self._past.setText(text.format(day=day_text(day)) if past else "")
        self._past.setVisible(past)
        self._today.setVisible(past)
        known = self.answer.board.pairs if self.answer is not None else {}
        if numbers is not None:
            self._ticket = self.context.workers.run(
                lambda _progress: numbers.plain(day, known), self._show_plain, key=("pens", "board")
            )

    def _show_plain(self, answer: Answer) -> None:
        numbers, day = self._numbers, self._day
        self._show(answer)
        if numbers is None:
            return
        self._ticket = self.context.workers.run(
            lambda _progress: numbers.full(day), self._show_full, key=("pens", "board")
        )

    def _show_full(self, answer: Answer) -> None:
        self._show(answer)
        self.context.record.keep_figures(answer.to_store)

    def _show(self, answer: Answer) -> None:
        if self._snapshot is None:
            return
        self.answer = answer
        self.board.show_board(answer, self._snapshot, answer.board.day, editable=self.editable)
        for each in (self._move, self._exchange, self._condition, self._mating, self._stay, self._add):
            each.setEnabled(self.editable)

    def _drop(self, birds: tuple[BirdId, ...], pen: PenId | None) -> None:
        """Birds were dropped on a pen: they are moved today."""
        if self.editable and self._snapshot is not None:
            apply_foreseen(self.context, moved(self._snapshot, birds, pen, self.context.today), self)

    def _carry_out(self, moves: tuple[Move, ...], as_planned: bool) -> None:
        if not as_planned:
            apply_foreseen(self.context, CarryOut(moves, self.context.today), self)
            return
        days = sorted({move.on for move in moves})
        changes = tuple(CarryOut(tuple(move for move in moves if move.on == day), day) for day in days)
        title = CarryOut(moves, self.context.today).label(self._snapshot) if self._snapshot else ""
        apply_foreseen(self.context, Together(changes, title), self)

    def _need_birds(self) -> tuple[Bird, ...]:
        """The birds chosen; none is told in the strip."""
        if not self.chosen:
            self.context.say(
                _("Choose birds on the board first: click them, or go there with Tab and the arrows.")
            )
        return self.chosen

    def move_birds(self) -> None:
        """Ask where the chosen birds go."""
        if self.editable and self._snapshot is not None and (birds := self._need_birds()):
            MoveDialog(self.context, self._snapshot, birds, self.window()).ask()

    def exchange(self) -> None:
        """Ask for the exchange of a cock, in the pen of the bird that is chosen."""
        if not self.editable or self._snapshot is None:
            return
        now = stays_on(self._snapshot.husbandry, self.context.today)
        pen = next((now[bird.id].pen for bird in self.chosen if bird.id in now), None)
        ExchangeDialog(self.context, self._snapshot, self.window(), pen).ask()

    def add_mating(self) -> None:
        """Ask for a mating of the chosen hens."""
        if self.editable and self._snapshot is not None:
            hens = tuple(bird.id for bird in self.chosen if bird.sex is not Sex.COCK)
            MatingDialog(self.context, self._snapshot, self.window(), hens=hens).ask()

    def correct_stay(self) -> None:
        """Ask for other days or another pen of the stay of the chosen bird."""
        if not self.editable or self._snapshot is None or not (birds := self._need_birds()):
            return
        stay = stays_on(self._snapshot.husbandry, self.context.today).get(birds[0].id)
        StayDialog(self.context, self._snapshot, birds[0], stay, self.window()).ask()

    def ask_whose(self) -> None:
        """Show the question whose an egg is."""
        self.tabs.setCurrentWidget(self.whose)
        self.whose.setFocus()

    def add_pen(self) -> None:
        """Ask for a new pen."""
        self._ask_pen(None)

    def print_board(self) -> None:
        """Print the board that is shown."""
        if self.answer is not None and self._snapshot is not None:
            paper = BoardPaper(self.answer, self._snapshot)
            printing.preview(self.window(), _("Pens"), paper.paint)

    def _print_card(self, pen: PenId) -> None:
        """Ask whether the card of a pen is to be printed or written as PDF."""
        if self._snapshot is not None and pen in self._snapshot.husbandry.pens:
            name = _("card of {pen}").format(pen=self._snapshot.husbandry.pens[pen].name)
            ask_sheet(self.window(), self.context, "pen-card", name, str(pen))

    def _change_pen(self, pen: PenId) -> None:
        if self._snapshot is not None:
            self._ask_pen(self._snapshot.husbandry.pens.get(pen))

    def _ask_pen(self, pen: Pen | None) -> None:
        if self._snapshot is not None and self.can_write:
            PenDialog(self.context, self._snapshot, pen, self.window()).ask()

    def _ask_house(self, house: House | None) -> None:
        if self._snapshot is not None and self.can_write:
            HouseDialog(self.context, self._snapshot, house, self.window()).ask()

    def _ask_machine(self, machine: Machine | None) -> None:
        if self._snapshot is not None and self.can_write:
            MachineDialog(self.context, machine, self.window()).ask()

    def _ask_conditions(self) -> None:
        if self._need_birds():
            menu = self._condition_menu()
            menu.popup(self._condition.mapToGlobal(QPoint(0, self._condition.height())))

    def _condition_menu(self) -> QMenu:
        """What can be noted of the chosen hens; what all of them have is ticked and ends today."""
        menu = QMenu(self)
        menu.setObjectName("condition_menu")
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        hens = self._hens()
        year = self._snapshot.husbandry if self._snapshot is not None else None
        for kind in _QUICK:
            action = menu.addAction(condition_word(kind))
            action.setObjectName(f"condition_{kind.name.lower()}")
            action.setCheckable(True)
            action.setChecked(year is not None and all_have(year, hens, kind, self.context.today))
            action.triggered.connect(self._turner(kind))
        menu.addSeparator()
        other = menu.addAction(_("Colour of the eggs, or other days…"), self._ask_condition)
        other.setObjectName("condition_other")
        menu.setEnabled(bool(hens))
        return menu

    def _turner(self, kind: ConditionKind) -> Callable[[], None]:
        return lambda: self._turn(kind)

    def _hens(self) -> tuple[Bird, ...]:
        return tuple(bird for bird in self.chosen if bird.sex is not Sex.COCK)

    def _turn(self, kind: ConditionKind) -> None:
        if self._snapshot is None or not self.editable:
            return
        change = turned(self._snapshot.husbandry, self._hens(), kind, self.context.today)
        if change is not None:
            apply_foreseen(self.context, change, self)

    def _ask_condition(self) -> None:
        if self._snapshot is not None and self.editable and (hens := self._hens()):
            ConditionDialog(self.context, self._snapshot, hens, self.window()).ask()

    def _ask_menu(self, place: QPoint) -> None:
        """What can be done with the chosen birds, where they are."""
        if not self.editable or not self.chosen:
            return
        menu = QMenu(self)
        menu.setObjectName("pens_menu")
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addAction(_("Move to…"), self.move_birds)
        menu.addAction(_("Exchange a cock…"), self.exchange)
        menu.addAction(_("Mating…"), self.add_mating)
        menu.addAction(_("Correct the stay…"), self.correct_stay)
        menu.addAction(_("Show its page"), self._ask_page)
        menu.popup(place)

    def _ask_page(self) -> None:
        if self.chosen:
            self.bird_asked.emit(str(self.chosen[0].id))


def build(context: Context) -> PensRoom:
    """Make the room."""
    return PensRoom(context)
