"""What the pages of the room have in common: they scroll, and their halves stand below each other when narrow."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QLayout, QScrollArea, QStackedWidget, QVBoxLayout, QWidget

from studbook.desk.context import Context
from studbook.desk.theme import length, space
from studbook.desk.widgets.empty_state import EmptyState

_NARROW = 900


class Page(QWidget):
    """One question of the room, answered; in its place what is missing for an answer.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    birds_asked
        A list of birds is wanted (BirdList).
    """

    bird_asked = Signal(str)
    birds_asked = Signal(object)

    def __init__(self, context: Context, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.context = context
        self._halves: list[QBoxLayout] = []
        self._area = QScrollArea()
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setWidgetResizable(True)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inner = QWidget()
        self.column = QVBoxLayout(inner)
        self.column.setContentsMargins(0, space(1), space(1.5), space(2))
        self.column.setSpacing(space(1.5))
        self._area.setWidget(inner)
        self._stack = QStackedWidget()
        self._stack.addWidget(self._area)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._stack)

    def add_halves(self, left: QWidget, right: QWidget, shares: tuple[int, int] = (1, 1)) -> None:
        """Two parts beside each other, or below each other where the window is narrow."""
        row = QBoxLayout(self._direction())
        row.setSpacing(space(5))
        for part, share in zip((left, right), shares, strict=True):
            row.addWidget(part, share, Qt.AlignmentFlag.AlignTop)
        self._halves.append(row)
        self.column.addLayout(row)

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

    def cancel(self) -> None:
        """The window closes: nothing is waited for any more."""

    @property
    def is_narrow(self) -> bool:
        """True where there is no room for two parts beside each other."""
        return self.width() < length(_NARROW)

    def _direction(self) -> QBoxLayout.Direction:
        return QBoxLayout.Direction.TopToBottom if self.is_narrow else QBoxLayout.Direction.LeftToRight

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        for row in self._halves:
            row.setDirection(self._direction())


def clear(layout: QLayout) -> None:
    """Take everything out of a layout."""
    while (item := layout.takeAt(0)) is not None:
        if (widget := item.widget()) is not None:
            widget.hide()
            widget.deleteLater()
        elif (inner := item.layout()) is not None:
            clear(inner)
