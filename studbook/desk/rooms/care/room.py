"""The room Care: who needs looking after, and which young cock has proved himself?"""

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QTabWidget, QVBoxLayout

from studbook.book.records import Entry, Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.room import Room
from studbook.desk.rooms.care.apart_page import ApartPage
from studbook.desk.rooms.care.trials_page import TrialsPage
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label
from studbook.words import _


class CareRoom(Room):
    """Who needs looking after?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.setObjectName("care_room")
        self._snapshot: Snapshot | None = None
        self._is_stale: set[int] = set()
        column = QVBoxLayout(self)
        column.setContentsMargins(space(4), space(3), space(4), space(2))
        column.setSpacing(space())
        column.addWidget(label(_("Care"), Role.TITLE))
        self.apart = ApartPage(context)
        self.trials = TrialsPage(context)
        self.tabs = QTabWidget()
        self.tabs.setObjectName("care_tabs")
        self.tabs.setDocumentMode(True)
        self.tabs.addTab(self.apart, _("Apart"))
        self.tabs.addTab(self.trials, _("Fertility trials"))
        self.tabs.currentChanged.connect(lambda _page: self._fill())
        column.addWidget(self.tabs, 1)
        for page in (self.apart, self.trials):
            page.bird_asked.connect(self.bird_asked)
        self.apart.table.restore_state(context.settings)
        self.trials.table.restore_state(context.settings)

    def actions_here(self) -> tuple[Action, ...]:
        def can_edit() -> bool:
            return self.apart.can_edit

        return (
            Action("care.apart", _("Set a bird a&part…"), self.apart.set_apart, Menu.BIRDS, (), can_edit, group=4),
            Action("care.trial", _("Plan a fertility &trial…"), self.trials.plan, Menu.BIRDS, (), can_edit, group=4),
        )  # fmt: skip

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        self._snapshot = snapshot
        self._is_stale = {0, 1}
        if self.isVisible():
            self._fill()

    def save_state(self) -> None:
        self.apart.table.save_state(self.context.settings)
        self.trials.table.save_state(self.context.settings)

    def leave(self) -> None:
        self.trials.leave()

    def _fill(self) -> None:
        """Fill the page on view; the other waits until it is looked at."""
        page = self.tabs.currentIndex()
        if self._snapshot is None or page not in self._is_stale:
            return
        self._is_stale.discard(page)
        (self.apart if page == 0 else self.trials).show_snapshot(self._snapshot)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._fill()


def build(context: Context) -> CareRoom:
    """Make the room."""
    return CareRoom(context)
