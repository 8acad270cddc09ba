"""The rail of rooms at the left of the window."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QFrame, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from studbook.desk import icons
from studbook.desk.room import Door
from studbook.desk.theme import length, space
from studbook.desk.widgets.text import rule
from studbook.words import _

_ICONS, _WORDS = Qt.ToolButtonStyle.ToolButtonTextUnderIcon, Qt.ToolButtonStyle.ToolButtonTextOnly


_RULE = 4
"""The pixels of the line above the foot and what is beside it."""


def _rail_button(icon: str, title: str) -> QToolButton:
    made = QToolButton()
    made.setProperty("rail", True)
    made.setText(title)
    made.setIcon(icons.icon(icon))
    made.setToolButtonStyle(_ICONS)
    made.setCheckable(True)
    made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    return made


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
        self._probe = _rail_button("bird", _("Birds"))
        self._probe.setParent(self)
        self._probe.hide()
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

    def _height(self, style: Qt.ToolButtonStyle) -> int:
        """The height of all rooms in a style, asked of a button that is never shown.

        To restyle the buttons of the rail for it would lay the window out anew, which asks again.
        """
        self._probe.setToolButtonStyle(style)
        self._probe.setIconSize(QSize(length(24), length(24)))
        margins, count = self._column.contentsMargins(), len(self._buttons)
        each = self._probe.sizeHint().height() + self._column.spacing()
        return margins.top() + margins.bottom() + count * each + _RULE

    def _button(self, door: Door) -> QToolButton:
        made = _rail_button(door.icon, door.title())
        made.setObjectName(f"rail_{door.key}")
        made.clicked.connect(lambda: self.asked.emit(door.key))
        self._buttons[door.key] = made
        return made

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        style = _ICONS if self._height(_ICONS) <= event.size().height() else _WORDS
        for button in self._buttons.values():
            if button.toolButtonStyle() is not style:
                button.setToolButtonStyle(style)

    def minimumSizeHint(self) -> QSize:
        return QSize(self.width(), self._height(_WORDS))
