"""The room Eggs: what was laid, what is set, and what came of it."""

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtWidgets import QTabWidget, QVBoxLayout

from studbook.book.records import Entry, Snapshot
from studbook.desk.actions import Action
from studbook.desk.context import Context
from studbook.desk.page import Page
from studbook.desk.room import Room
from studbook.desk.rooms.eggs.collections.page import CollectionsPage
from studbook.desk.rooms.eggs.outcome.page import OutcomePage
from studbook.desk.rooms.eggs.sittings.page import build_sittings
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label
from studbook.words import _


class EggsRoom(Room):
    """What was laid, what is set, what came of it?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.setObjectName("eggs_room")
        self._snapshot: Snapshot | None = None
        self._fresh: set[Page] = set()
        self.collections = CollectionsPage(context)
        self.sittings: Page = build_sittings(context)
        self.outcome = OutcomePage(context)
        self._pages: tuple[Page, ...] = (self.collections, self.sittings, self.outcome)
        column = QVBoxLayout(self)
        column.setContentsMargins(space(4), space(3), space(4), space(2))
        column.setSpacing(space())
        column.addWidget(label(_("Eggs"), Role.TITLE))
        self.tabs = QTabWidget()
        self.tabs.setObjectName("eggs_tabs")
        self.tabs.setAccessibleName(_("Pages of the room Eggs"))
        self.tabs.setDocumentMode(True)
        titles = (_("Collections"), _("Sittings"), _("Outcome"))
        for page, title in zip(self._pages, titles, strict=True):
            self.tabs.addTab(page, title)
            page.bird_asked.connect(self.bird_asked)
            page.birds_asked.connect(self.birds_asked)
            page.room_asked.connect(self.room_asked)
        self.tabs.currentChanged.connect(lambda _page: self._show_page())
        self.collections.setting_asked.connect(lambda: self.tabs.setCurrentWidget(self.sittings))
        column.addWidget(self.tabs, 1)

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        self._snapshot = snapshot
        self._fresh.clear()
        self._show_page()

    def actions_here(self) -> tuple[Action, ...]:
        """The actions of all pages, those of the page on view first: it is the one that is printed."""
        here = self.tabs.currentWidget()
        return tuple(
            replace(action, run=self._on_page(page, action.run))
            for page in sorted(self._pages, key=lambda page: page is not here)
            for action in page.actions_here()
        )

    def save_state(self) -> None:
        for page in self._pages:
            page.save_state()

    def leave(self) -> None:
        for page in self._pages:
            page.leave()

    def _on_page(self, page: Page, run: Callable[[], object]) -> Callable[[], object]:
        """Do something on a page once it is on view."""

        def turn_and_run() -> object:
            self.tabs.setCurrentWidget(page)
            return run()

        return turn_and_run

    def _show_page(self) -> None:
        """Fill the page on view; the others wait until they are looked at."""
        page = self.tabs.currentWidget()
        if self._snapshot is None or not isinstance(page, Page) or page in self._fresh:
            return
        self._fresh.add(page)
        page.show_snapshot(self._snapshot)


def build(context: Context) -> EggsRoom:
    """The room."""
    return EggsRoom(context)
