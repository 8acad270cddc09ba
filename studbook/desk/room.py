"""What a room is, and the door by which the window finds it."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from types import ModuleType

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from studbook.book.records import BirdId, Entry, Snapshot
from studbook.desk.actions import Action
from studbook.desk.context import Context


@dataclass(frozen=True)
class BirdList:
    """Some birds to be looked at together, and what they have in common ("Hatched in 2026")."""

    title: str
    birds: tuple[BirdId, ...]


class Room(QWidget):
    """One room of the window.

    Made on the first visit; from then on `show_snapshot` is called with every new state of the book.
    A room reads the snapshot, asks `context.record` for changes and `context.workers` for numbers,
    and knows no other room: it asks by signal.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    birds_asked
        A list of birds is wanted (BirdList).
    room_asked
        Another room is wanted (str, its key).
    tree_asked, pairing_asked
        The family tree of a bird, or whom to pair it with, is wanted (str, its BirdId).
    """

    bird_asked = Signal(str)
    birds_asked = Signal(object)
    room_asked = Signal(str)
    tree_asked = Signal(str)
    pairing_asked = Signal(str)

    def __init__(self, context: Context, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context

    def actions_here(self) -> tuple[Action, ...]:
        """The actions this room adds to the menus and the command palette.

        The one whose key ends in ".print" is also done by Ctrl+P while the room is on view.
        """
        return ()

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        """Show the book as it is now; `entry` is the change that led here, None for a book just opened."""
        raise NotImplementedError

    def show_bird(self, bird: BirdId) -> None:
        """Open at this bird; only the room of the birds need do so."""

    def show_birds(self, birds: BirdList) -> None:
        """Open at this list of birds; only the room of the birds need do so."""

    def import_list(self, path: str) -> None:
        """Begin the import of a list that was dropped or named; only the room of the book need do so."""

    def save_state(self) -> None:
        """Keep splitters and columns in `context.settings`."""

    def leave(self) -> None:
        """The window closes: cancel what is running."""


@dataclass(frozen=True)
class Door:
    """How the window finds a room without importing it.

    Attributes
    ----------
    key
        The name of the package below ``studbook.desk.rooms``.
    title
        Gives the word on the rail.
    icon
        A file name of ``resources/icons``, without suffix.
    """

    key: str
    title: Callable[[], str]
    icon: str

    def load(self) -> ModuleType:
        """Import the room's module."""
        return import_module(f"studbook.desk.rooms.{self.key}.room")

    def build(self, context: Context) -> Room:
        """Make the room."""
        made = self.load().build(context)
        assert isinstance(made, Room)
        return made
