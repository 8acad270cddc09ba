"""The room of the birds: the table, the page of a bird beside or over it, a hatch, a certificate."""

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from studbook.book.records import BirdId, Entry, Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.certificate.panel import CertificatePanel
from studbook.desk.context import Context
from studbook.desk.hatch.form import HatchForm
from studbook.desk.kin import Kin
from studbook.desk.room import BirdList, Room
from studbook.desk.rooms.birds.adding import AddBirdDialog
from studbook.desk.rooms.birds.page.page import BirdPage
from studbook.desk.rooms.birds.table import BirdsTable, empty_room
from studbook.desk.theme import length, space
from studbook.desk.widgets.text import button
from studbook.words import _

_WIDE = 940
_FOLLOW_MS = 90


class _Stack(QStackedWidget):
    """Asks the window for no height: what needs more than there is scrolls inside."""

    def hasHeightForWidth(self) -> bool:
        return False


class BirdsRoom(Room):
    """Who is this, who do I have?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self._kin: Kin | None = None
        self._is_page_open = False
        self._wanted: BirdId | None = None
        whole = QVBoxLayout(self)
        whole.setContentsMargins(space(4), space(3), space(4), space(2))
        self._stack = _Stack()
        whole.addWidget(self._stack)
        add = button(_("Add a bird…"), self.add_bird, icon="plus")
        add.setObjectName("add_bird")
        hatch = button(_("Register hatchlings"), self.register_hatch, primary=True)
        hatch.setObjectName("register_hatch")
        self.table = BirdsTable(context, hatch, add)
        self.table.bird_asked.connect(self.bird_asked)
        self.table.current_moved.connect(self._follow)
        self.page = BirdPage(context)
        self.page.bird_asked.connect(self.bird_asked)
        self.page.birds_asked.connect(self.birds_asked)
        self.page.tree_asked.connect(self.tree_asked)
        self.page.pairing_asked.connect(self.pairing_asked)
        self.page.hatch_asked.connect(lambda bird: self.register_hatch(BirdId(bird)))
        self.page.certificate_asked.connect(lambda bird: self.show_certificate(BirdId(bird)))
        self.page.closed.connect(self.close_page)
        self.page.hide()
        self._split = QSplitter(Qt.Orientation.Horizontal)
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(self.table)
        self._split.addWidget(self.page)
        self._split.setStretchFactor(0, 1)
        self._split.setStretchFactor(1, 1)
        if (state := context.settings.value("birds/split")) is not None:
            self._split.restoreState(state)
        self._split.setHandleWidth(1)
        self._empty = empty_room(self.add_bird, self.register_hatch, lambda: self.room_asked.emit("book"))
        # hidden, it must not ask the window for more height than the list does
        self._empty.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        for widget in (self._split, self._empty):
            self._stack.addWidget(widget)
        self._task: HatchForm | CertificatePanel | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_FOLLOW_MS)
        self._timer.timeout.connect(self._show_wanted)

    def actions_here(self) -> tuple[Action, ...]:
        def has_chosen() -> bool:
            return self._stack.currentWidget() is self._split and bool(self.table.chosen)

        def can_add() -> bool:
            book = self.context.record.open_book
            return book is not None and not book.read_only

        table = self.table
        return (
            Action(
                "birds.hatch",
                _("Register &hatchlings"),
                self.register_hatch,
                Menu.BIRDS,
                ("Ctrl+H",),
                enabled=can_add,
                icon="egg",
            ),
            Action(
                "birds.add", _("&Add a bird…"), self.add_bird, Menu.BIRDS, ("Ctrl+B",), can_add, icon="plus"
            ),
            Action(
                "birds.search", _("&Search the birds"), self.search, Menu.BIRDS, ("Ctrl+Shift+F",), group=1
            ),
            Action(
                "birds.status", _("Change &status…"), table.change_status, Menu.BIRDS, (), has_chosen, group=2
            ),
            Action("birds.mark", _("Add a &mark…"), table.add_mark, Menu.BIRDS, (), has_chosen, group=2),
            Action("birds.strike", _("Strike &out…"), table.strike_out, Menu.BIRDS, (), has_chosen, group=2),
            Action("birds.export", _("&Export what is shown…"), table.export, Menu.BIRDS, group=3),
            Action(
                "birds.print",
                self._print_text,
                self._print,
                Menu.BIRDS,
                enabled=lambda: not isinstance(self._task, HatchForm),
                icon="printer",
                group=3,
            ),
        )

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        kin = Kin(snapshot)
        self._kin = kin
        self.table.show_snapshot(snapshot, kin)
        if self._task is not None:
            self._task.show_snapshot(kin)
        else:
            self._show_list()
        if self._is_page_open and self.page.bird is not None and not self.page.show_bird(self.page.bird, kin):
            self.close_page()

    def show_bird(self, bird: BirdId) -> None:
        if self._kin is None or not self.page.show_bird(bird, self._kin):
            return
        self._end_task()
        self._is_page_open = True
        self._stack.setCurrentWidget(self._split)
        self._wanted = bird
        self.table.go_to(bird)
        self._timer.stop()
        self._arrange()

    def show_birds(self, birds: BirdList) -> None:
        self._end_task()
        self.close_page()
        self.table.filters.show_list(birds.title, birds.birds)

    def add_bird(self) -> None:
        """Ask for one bird."""
        if self._kin is not None:
            AddBirdDialog(self.context, self._kin.snapshot, self.window()).ask()

    def register_hatch(self, parent: BirdId | None = None) -> None:
        """Open the form of a whole hatch, of this hen or cock if one is given."""
        if self._kin is None:
            return
        form = HatchForm(self.context, self._kin, parent)
        form.birds_asked.connect(self.birds_asked)
        self._begin_task(form)

    def show_certificate(self, bird: BirdId) -> None:
        """Open the certificate of a bird."""
        if self._kin is not None:
            self._begin_task(CertificatePanel(self.context, self._kin, bird))

    def search(self) -> None:
        """Put the cursor into the search line."""
        self._end_task()
        if not self._is_wide():
            self.close_page()
        self.table.filters.search.setFocus()
        self.table.filters.search.selectAll()

    def close_page(self) -> None:
        """Give the whole room to the table."""
        had_focus = self.page.isAncestorOf(self.window().focusWidget() or self)
        self._is_page_open = False
        self._arrange()
        if had_focus or self.isVisible():
            self.table.table.setFocus()

    def save_state(self) -> None:
        self.table.save_state()
        self.context.settings.setValue("birds/split", self._split.saveState())

    def leave(self) -> None:
        self._timer.stop()
        self.table.leave()
        self.page.leave()
        if self._task is not None:
            self._task.leave()

    def _show_list(self) -> None:
        has_birds = self._kin is not None and bool(self._kin.snapshot.birds or self._kin.snapshot.struck)
        self._stack.setCurrentWidget(self._split if has_birds else self._empty)

    def _print_text(self) -> str:
        is_certificate = isinstance(self._task, CertificatePanel)
        return _("&Print the certificate…") if is_certificate else _("&Print the list of birds…")

    def _print(self) -> None:
        if isinstance(self._task, CertificatePanel):
            self._task.print_it()
        else:
            self.table.print_list()

    def _begin_task(self, task: HatchForm | CertificatePanel) -> None:
        self._end_task()
        self._task = task
        task.closed.connect(self._end_task)
        self._stack.addWidget(task)
        self._stack.setCurrentWidget(task)
        task.begin()

    def _end_task(self) -> None:
        task, self._task = self._task, None
        if task is not None:
            task.leave()
            self._stack.removeWidget(task)
            task.hide()
            task.deleteLater()
            self._show_list()
            if self._is_page_open:
                self.page.back.setFocus()
            else:
                self.table.table.setFocus()

    def _is_wide(self) -> bool:
        return self.width() >= length(_WIDE)

    def _arrange(self) -> None:
        """The page beside the table where there is room, else over it."""
        self.table.setVisible(not self._is_page_open or self._is_wide())
        was_hidden = self.page.isHidden()
        self.page.setVisible(self._is_page_open)
        if was_hidden and self._is_page_open and self._is_wide():
            whole = self._split.width()
            self._split.setSizes([whole * 45 // 100, whole * 55 // 100])

    def _follow(self, bird: str) -> None:
        """The page beside follows the keyboard once it rests."""
        if self._is_page_open and self._is_wide() and self.page.bird != bird:
            self._wanted = BirdId(bird)
            self._timer.start()

    def _show_wanted(self) -> None:
        if self._kin is not None and self._wanted is not None and self._is_page_open:
            self.page.show_bird(self._wanted, self._kin)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()


def build(context: Context) -> QWidget:
    """The room."""
    return BirdsRoom(context)
