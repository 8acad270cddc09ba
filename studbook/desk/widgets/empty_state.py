"""What an empty room shows: what it will hold, drawn faintly, and one action."""

from collections.abc import Callable

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from studbook.desk import icons
from studbook.desk.look import mix
from studbook.desk.theme import Role, length, look, space
from studbook.desk.widgets.text import button, label


class FaintDrawing(QWidget):
    """One icon, large and pale."""

    def __init__(self, icon: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._icon = icon

    def sizeHint(self) -> QSize:
        return QSize(length(112), length(112))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        side = min(self.width(), self.height())
        place = QRectF(0, 0, side, side)
        place.moveCenter(QRectF(self.rect()).center())
        icons.paint(QPainter(self), place, self._icon, mix(look().paper, look().faint, 0.45))


class EmptyState(QWidget):
    """A faint drawing, a sentence and one action; `others` are quieter ways to begin."""

    def __init__(
        self,
        icon: str,
        heading: str,
        text: str,
        action: tuple[str, Callable[[], None]] | None = None,
        *others: tuple[str, Callable[[], None]],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setSpacing(space())
        column.addStretch(2)
        column.addWidget(FaintDrawing(icon), 0, Qt.AlignmentFlag.AlignHCenter)
        title = label(heading, Role.HEADING)
        title.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        column.addWidget(title)
        words = label(text, Role.FAINT, wraps=True)
        words.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        words.setMaximumWidth(length(460))
        line = QHBoxLayout()
        line.addStretch(1)
        line.addWidget(words, 100)
        line.addStretch(1)
        column.addLayout(line)
        column.addSpacing(space())
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        row.addStretch(1)
        if action is not None:
            row.addWidget(button(action[0], action[1], primary=True))
        for text_, run in others:
            row.addWidget(button(text_, run))
        row.addStretch(1)
        column.addLayout(row)
        column.addStretch(3)
