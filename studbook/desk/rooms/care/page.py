"""What the pages of the room have in common: they scroll and hand on which bird is wanted."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QLayout, QScrollArea, QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from studbook.desk.context import Context
from studbook.desk.theme import length, space
from studbook.desk.widgets.empty_state import EmptyState

_LEAST = 160


class CarePage(QWidget):
    """One page of the room, or in its place what is missing.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    """

    bird_asked = Signal(str)

    def __init__(self, context: Context, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.context = context
        area = QScrollArea()
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidgetResizable(True)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inner = QWidget()
        self.column = QVBoxLayout(inner)
        self.column.setContentsMargins(0, space(1), space(1.5), space(2))
        self.column.setSpacing(space(1))
        area.setWidget(inner)
        self._stack = QStackedWidget()
        self._stack.addWidget(area)
        # what needs more height than there is scrolls; the window is not asked for it
        self._stack.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)
        self._stack.setMinimumHeight(length(_LEAST))
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._stack)

    def show_missing(self, state: EmptyState) -> None:
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
    def can_edit(self) -> bool:
        """True when the open book may be changed."""
        book = self.context.record.open_book
        return book is not None and not book.read_only


def clear(layout: QLayout) -> None:
    """Take every widget out of a layout."""
    while (item := layout.takeAt(0)) is not None:
        if (widget := item.widget()) is not None:
            widget.hide()
            widget.deleteLater()
