"""Labels by role, hairlines, section headings and the buttons that carry a word."""

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from studbook.desk import icons
from studbook.desk.theme import Role, length, set_figures, space


def label(text: str, role: Role | None = None, *, wraps: bool = False) -> QLabel:
    """A label whose type and colour follow from its role."""
    made = QLabel(text)
    made.setTextFormat(Qt.TextFormat.PlainText)
    face = QFont()
    set_figures(face)
    made.setFont(face)
    if role is not None:
        made.setProperty("role", str(role))
    if wraps:
        made.setWordWrap(True)
        made.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.MinimumExpanding)
    return made


def set_role(widget: QWidget, role: Role | None) -> None:
    """Give a label another role."""
    set_property(widget, "role", str(role) if role else None)


def set_property(widget: QWidget, name: str, value: object) -> None:
    """Set a property the style sheet looks at, and dress the widget anew."""
    if widget.property(name) == value:
        return
    widget.setProperty(name, value)
    widget.style().unpolish(widget)
    widget.style().polish(widget)


def rule() -> QFrame:
    """A hairline across."""
    made = QFrame()
    made.setProperty("rule", True)
    made.setFixedHeight(1)
    return made


def button(text: str, run: Callable[[], object], *, icon: str = "", primary: bool = False) -> QPushButton:
    """A push button; one of a view at most is `primary`."""
    made = QPushButton(text)
    made.setProperty("primary", primary)
    if icon:
        made.setIcon(icons.icon(icon))
        made.setIconSize(QSize(length(18), length(18)))
    made.clicked.connect(lambda: run())
    made.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
    return made


def link(text: str, run: Callable[[], object]) -> QPushButton:
    """A text that goes deeper."""
    made = QPushButton(text)
    made.setProperty("link", True)
    made.setCursor(Qt.CursorShape.PointingHandCursor)
    made.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
    made.clicked.connect(lambda: run())
    return made


class SectionHeading(QWidget):
    """A serif heading on a hairline, with room for a button or a remark at its right."""

    def __init__(self, text: str, *aside: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, space(2), 0, 0)
        row.setSpacing(space(1.5))
        self._label = label(text, Role.HEADING)
        row.addWidget(self._label)
        line = rule()
        line.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        row.addWidget(line, 1)
        for widget in aside:
            row.addWidget(widget)

    def set_text(self, text: str) -> None:
        """Change the heading."""
        self._label.setText(text)
