"""The house: the stack of rooms, each made on the first visit and kept up with the book.

A room that needs more space than the window has, in large text, is scrolled.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QScrollArea, QStackedWidget, QWidget

from studbook.book.records import BirdId, Entry, Snapshot
from studbook.desk.actions import Action
from studbook.desk.context import Context
from studbook.desk.room import BirdList, Door, Room
from studbook.desk.work import Progress

BIRDS = "birds"
BOOK = "book"
TREE = "tree"
PAIRING = "pairing"


class House(QStackedWidget):
    """Makes rooms, leads from one to the other and tells the one on view of every change.

    Signals
    -------
    entered
        One is in another room (str, its key).
    room_made
        A room adds its actions (tuple[Action, ...]).
    """

    entered = Signal(str)
    room_made = Signal(object)

    def __init__(self, context: Context, doors: Sequence[Door], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._doors = {door.key: door for door in doors}
        self._rooms: dict[str, Room] = {}
        self._areas: dict[str, QScrollArea] = {}
        self._stale: set[str] = set()
        self.key = doors[0].key
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)

    @property
    def room(self) -> Room | None:
        """The room one is in."""
        return self._rooms.get(self.key)

    def go(self, key: str) -> Room:
        """Go to a room and give it."""
        self.key = key
        room = self._rooms.get(key) or self._make(self._doors[key])
        snapshot = self._context.record.snapshot
        if snapshot is not None and key in self._stale:
            self._stale.discard(key)
            room.show_snapshot(snapshot)
        self.setCurrentWidget(self._areas[key])
        self.entered.emit(key)
        return room

    @property
    def printing(self) -> Action | None:
        """What prints the room on view: its action whose key ends in ".print"."""
        here = self.room.actions_here() if self.room is not None else ()
        return next((action for action in here if action.key.endswith(".print") and action.enabled()), None)

    def go_to_bird(self, bird: str) -> None:
        """Open the page of a bird."""
        self.go(BIRDS).show_bird(BirdId(bird))

    def go_to_tree(self, bird: str) -> None:
        """Show the family tree of a bird."""
        self.go(TREE).show_bird(BirdId(bird))

    def go_to_pairing(self, bird: str) -> None:
        """Show whom a bird may be paired with."""
        self.go(PAIRING).show_bird(BirdId(bird))

    def go_to_birds(self, birds: BirdList) -> None:
        """Show a list of birds."""
        self.go(BIRDS).show_birds(birds)

    def import_list(self, path: str) -> None:
        """Begin the import of a list."""
        self.go(BOOK).import_list(path)

    def show_change(self, entry: Entry, snapshot: Snapshot) -> None:
        """Tell the room one is in; the others follow when they are visited."""
        self._stale = set(self._rooms) - {self.key}
        if self.room is not None:
            self.room.show_snapshot(snapshot, entry)

    def begin(self) -> None:
        """Another book is open: make every room anew, the first at once, the rest while nobody waits."""
        self.leave()
        for area in self._areas.values():
            self.removeWidget(area)
            area.deleteLater()
        self._areas.clear()
        self._rooms.clear()
        self._stale.clear()
        self.go(next(iter(self._doors)))
        self._make_next()

    def rebuild(self) -> None:
        """Make the rooms anew, for another text size, and stay in the one on view."""
        if self._context.record.snapshot is None:
            return
        here = self.key
        self.begin()
        self.go(here)

    def leave(self) -> None:
        """Keep what the rooms want kept, and stop what they are doing."""
        for room in self._rooms.values():
            room.save_state()
            room.leave()

    def _make(self, door: Door) -> Room:
        room = door.build(self._context)
        room.bird_asked.connect(self.go_to_bird)
        room.birds_asked.connect(self.go_to_birds)
        room.room_asked.connect(self.go)
        room.tree_asked.connect(self.go_to_tree)
        room.pairing_asked.connect(self.go_to_pairing)
        self._rooms[door.key] = room
        self._stale.add(door.key)
        self._areas[door.key] = area = QScrollArea()
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setWidgetResizable(True)
        area.setWidget(room)
        self.addWidget(area)
        self.room_made.emit(tuple(self._at_home(door.key, action) for action in room.actions_here()))
        return room

    def _at_home(self, key: str, action: Action) -> Action:
        """An action of a room, done in that room as it is by then."""

        def run() -> None:
            self.go(key)
            self._own(key, action).run()

        def enabled() -> bool:
            return key in self._rooms and self._own(key, action).enabled()

        checked: Callable[[], bool] | None = None
        if action.checked is not None:

            def checked() -> bool:
                asked = self._own(key, action).checked
                return asked is not None and asked()

        return replace(action, run=run, enabled=enabled, checked=checked)

    def _own(self, key: str, action: Action) -> Action:
        here = self._rooms[key].actions_here()
        return next((own for own in here if own.key == action.key), action)

    def _make_next(self) -> None:
        """Import and make the rooms not visited yet, one by one, so that menus are whole and visits quick."""
        door = next((door for key, door in self._doors.items() if key not in self._rooms), None)
        if door is None:
            return

        def load(_progress: Progress) -> None:
            door.load()

        def make(_nothing: None) -> None:
            if door.key not in self._rooms:
                self._make(door)
            self._make_next()

        self._context.workers.run(load, make, key="rooms")
