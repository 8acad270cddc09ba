"""What the pages of a room with several have in common: a page, or what it lacks, and the actions it adds."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QScrollArea, QStackedWidget, QVBoxLayout, QWidget

from studbook.book.records import Snapshot
from studbook.desk.actions import Action
from studbook.desk.context import Context


class Page(QWidget):
    """One page of a room; in its place what is missing for it.

    It lays itself out in `content`, which scrolls where the window is too small for it. The book as it is reaches
    it while it is on view, and when it comes into view.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    birds_asked
        A list of birds is wanted (BirdList).
    room_asked
        Another room is wanted (str, its key).
    """

    bird_asked = Signal(str)
    birds_asked = Signal(object)
    room_asked = Signal(str)

    def __init__(self, context: Context, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.context = context
        self.content = QWidget()
        area = QScrollArea()
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidgetResizable(True)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setWidget(self.content)
        self._stack = QStackedWidget()
        self._stack.addWidget(area)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._stack)

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Show the book as it is now."""
        raise NotImplementedError

    def actions_here(self) -> tuple[Action, ...]:
        """The actions this page adds; the room turns to its page before one is done."""
        return ()

    def save_state(self) -> None:
        """Keep columns and splitters in the settings."""

    def leave(self) -> None:
        """The window closes: cancel what is running."""

    def show_missing(self, state: QWidget) -> None:
        """Say what is missing instead."""
        self.show_content()
        self._stack.addWidget(state)
        self._stack.setCurrentWidget(state)

    def show_content(self) -> None:
        """Show the page itself again."""
        while self._stack.count() > 1:
            old = self._stack.widget(1)
            assert old is not None
            self._stack.removeWidget(old)
            old.deleteLater()

    @property
    def is_missing(self) -> bool:
        """True while something else stands in its place."""
        return self._stack.count() > 1
