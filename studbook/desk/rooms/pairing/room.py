"""The room Pairing: who may breed, whom with whom, which pens, and what the years make of it."""

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QTabWidget, QVBoxLayout

from studbook.book.records import BirdId, Entry, Snapshot
from studbook.desk.actions import Action
from studbook.desk.context import Context
from studbook.desk.room import Room
from studbook.desk.rooms.pairing.ahead.page import AheadPage
from studbook.desk.rooms.pairing.back.page import BackPage
from studbook.desk.rooms.pairing.chicks.page import ChicksPage
from studbook.desk.rooms.pairing.page import Choosing, ChoosingPage, Kinship
from studbook.desk.rooms.pairing.pairs.page import PairsPage
from studbook.desk.rooms.pairing.pens.page import PensPage
from studbook.desk.rooms.pairing.rotation.page import RotationPage
from studbook.desk.rooms.pairing.who.page import WhoPage
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label
from studbook.planning.candidates import living_species
from studbook.season.calendar import season_planned
from studbook.season.species import all_species
from studbook.words import _


class PairingRoom(Room):
    """Whom with whom?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.setObjectName("pairing_room")
        self._snapshot: Snapshot | None = None
        self._kinship: Kinship | None = None
        self._species = ""
        self._fresh: set[ChoosingPage] = set()
        self.who = WhoPage(context)
        self.pairs = PairsPage(context)
        self.pens = PensPage(context)
        self.chicks = ChicksPage(context)
        self.rotation = RotationPage(context)
        self.ahead = AheadPage(context)
        self.back = BackPage(context)
        self._pages: dict[str, tuple[ChoosingPage, str]] = {
            "who": (self.who, _("Who may breed")),
            "pairs": (self.pairs, _("Whom with whom")),
            "pens": (self.pens, _("Which pens")),
            "chicks": (self.chicks, _("How many eggs")),
            "rotation": (self.rotation, _("Rotation")),
            "ahead": (self.ahead, _("The years ahead")),
            "back": (self.back, _("Looking back")),
        }
        self._kinds = QComboBox()
        self._kinds.setObjectName("pairing_species")
        self._kinds.setAccessibleName(_("Species"))
        self._kinds.activated.connect(self._take_species)
        head = QHBoxLayout()
        head.setSpacing(space(2))
        head.addWidget(label(_("Pairing"), Role.TITLE))
        head.addWidget(self._kinds)
        head.addStretch(1)
        self.tabs = QTabWidget()
        self.tabs.setObjectName("pairing_tabs")
        self.tabs.setAccessibleName(_("Pages of the room Pairing"))
        self.tabs.setDocumentMode(True)
        for page, title in self._pages.values():
            self.tabs.addTab(page, title)
            page.bird_asked.connect(self.bird_asked)
            page.birds_asked.connect(self.birds_asked)
            page.room_asked.connect(self.room_asked)
            page.page_asked.connect(self.turn_to)
            page.pair_asked.connect(self._open_pair)
        self.tabs.setCurrentWidget(self.pairs)
        self.tabs.currentChanged.connect(lambda _page: self._show_page())
        column = QVBoxLayout(self)
        column.setContentsMargins(space(4), space(3), space(4), space(2))
        column.setSpacing(space())
        column.addLayout(head)
        column.addWidget(self.tabs, 1)

    def turn_to(self, name: str) -> None:
        """Turn to a page by the name of its package."""
        self.tabs.setCurrentWidget(self._pages[name][0])

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        self._snapshot = snapshot
        self._kinship = Kinship(snapshot)
        kinds = living_species(snapshot)
        if self._species not in kinds:
            self._species = kinds[0] if kinds else snapshot.details.species
        table = all_species()
        self._kinds.clear()
        for code in kinds:
            self._kinds.addItem(_(table[code].plural) if code in table else code, code)
        self._kinds.setCurrentIndex(self._kinds.findData(self._species))
        self._kinds.setVisible(len(kinds) > 1)
        self._fresh.clear()
        self._show_page()

    def show_bird(self, bird: BirdId) -> None:
        """Whom for this bird?"""
        if self._snapshot is None or not self._snapshot.has(bird):
            return
        species = self._snapshot.bird(bird).species
        if species != self._species and self._kinds.findData(species) >= 0:
            self._kinds.setCurrentIndex(self._kinds.findData(species))
            self._take_species()
        self.turn_to("pairs")
        self.pairs.show_bird(bird)

    def actions_here(self) -> tuple[Action, ...]:
        """The actions of all pages, those of the page on view first: it is the one that is printed."""
        here = self.tabs.currentWidget()
        pages = [page for page, _title in self._pages.values()]
        return tuple(
            replace(action, run=self._on_page(page, action.run))
            for page in sorted(pages, key=lambda page: page is not here)
            for action in page.actions_here()
        )

    def save_state(self) -> None:
        for page, _title in self._pages.values():
            page.save_state()

    def leave(self) -> None:
        for page, _title in self._pages.values():
            page.leave()

    def _on_page(self, page: ChoosingPage, run: Callable[[], object]) -> Callable[[], object]:
        """Do something on a page once it is on view."""

        def turn_and_run() -> object:
            self.tabs.setCurrentWidget(page)
            return run()

        return turn_and_run

    def _open_pair(self, pair: tuple[BirdId, BirdId]) -> None:
        self.turn_to("pairs")
        self.pairs.open_pair(pair)

    def _take_species(self) -> None:
        self._species = self._kinds.currentData()
        self._fresh.clear()
        self._show_page()

    def _show_page(self) -> None:
        """Fill the page on view; the others wait until they are looked at."""
        page = self.tabs.currentWidget()
        if self._snapshot is None or self._kinship is None:
            return
        if not isinstance(page, ChoosingPage) or page in self._fresh:
            return
        self._fresh.add(page)
        page.show_choosing(
            Choosing(self._snapshot, self._kinship, self._species, season_planned(self.context.today))
        )


def build(context: Context) -> PairingRoom:
    """The room."""
    return PairingRoom(context)
