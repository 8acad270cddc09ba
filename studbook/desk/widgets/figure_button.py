"""A figure as a button: its name, its value, and what it is compared with; pressed, its meaning is opened."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QPushButton, QSizePolicy, QVBoxLayout

from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import label
from studbook.words import _

_COLUMN = 168


class FigureButton(QPushButton):
    """A figure under its name, the value it is compared with below; pressed, it is opened."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setProperty("choice", True)
        self.setCheckable(True)
        self.setToolTip(_("What does it mean?"))
        column = QVBoxLayout(self)
        column.setContentsMargins(space(1), space(0.75), space(1), space(0.75))
        column.setSpacing(space(0.25))
        self._title = label("", Role.CAPTION, wraps=True)
        self._value = label("", Role.HEADING, wraps=True)
        self._compared = label("", Role.SMALL)
        for part in (self._title, self._value, self._compared):
            part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            column.addWidget(part)
        column.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def show_value(self, title: str, value: str, compared: str = "") -> None:
        """Show a figure, and another it is compared with; empty where there is none."""
        self._title.setText(title)
        self._value.setText(value)
        self._compared.setText(compared)
        self._compared.setVisible(bool(compared))
        spoken = ", ".join(part for part in (value, compared) if part)
        self.setAccessibleName(_("{title}: {value}").format(title=title, value=spoken))
        self.updateGeometry()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        layout = self.layout()
        assert layout is not None
        return layout.heightForWidth(width)

    def sizeHint(self) -> QSize:
        return QSize(length(_COLUMN), self.heightForWidth(length(_COLUMN)))

    def minimumSizeHint(self) -> QSize:
        return QSize(length(_COLUMN) * 3 // 4, self.heightForWidth(length(_COLUMN)))
