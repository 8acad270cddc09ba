"""The rail of rooms at the left of the window."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QFrame, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from studbook.desk import icons
from studbook.desk.room import Door
from studbook.desk.theme import length, space
from studbook.desk.widgets.text import rule

_ICONS, _WORDS = Qt.ToolButtonStyle.ToolButtonTextUnderIcon, Qt.ToolButtonStyle.ToolButtonTextOnly


class Rail(QFrame):
    """One word and icon for each room; the last room, the book itself, stands at the foot.

    In a window too low for all of them the words stand without icons.

    Signals
    -------
    asked
        A room is wanted (str, its key).
    """

    asked = Signal(str)

    def __init__(self, doors: Sequence[Door], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("rail")
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, space(1.5), 0, space())
        self._column.setSpacing(space(0.25))
        self._buttons: dict[str, QToolButton] = {}
        group = QButtonGroup(self)
        group.setExclusive(True)
        for door in doors:
            if door.key == "book":
                self._column.addStretch(1)
                self._column.addWidget(rule())
            made = self._button(door)
            group.addButton(made)
            self._column.addWidget(made)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)
        self.resize_to_text()

    def resize_to_text(self) -> None:
        """Fit the text size."""
        self.setFixedWidth(length(88))
        for button in self._buttons.values():
            button.setIconSize(QSize(length(24), length(24)))

    def show_room(self, key: str) -> None:
        """Mark the room one is in."""
        self._buttons[key].setChecked(True)

    def _set_style(self, style: Qt.ToolButtonStyle) -> None:
        for button in self._buttons.values():
            button.setToolButtonStyle(style)

    def _button(self, door: Door) -> QToolButton:
        made = QToolButton()
        made.setObjectName(f"rail_{door.key}")
        made.setProperty("rail", True)
        made.setText(door.title())
        made.setIcon(icons.icon(door.icon))
        made.setToolButtonStyle(_ICONS)
        made.setCheckable(True)
        made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        made.clicked.connect(lambda: self.asked.emit(door.key))
        self._buttons[door.key] = made
        return made

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._set_style(_ICONS)
        if self._column.minimumSize().height() > event.size().height():
            self._set_style(_WORDS)

    def minimumSizeHint(self) -> QSize:
        now = next(iter(self._buttons.values())).toolButtonStyle()
        self._set_style(_WORDS)
        self._column.invalidate()
        least = self._column.minimumSize()
        self._set_style(now)
        return least
