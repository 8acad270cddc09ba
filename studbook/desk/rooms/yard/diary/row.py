"""One task on one line: a box that does it, its day, and words that lead to the bird, pen or sitting."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QRect, QSize, Qt, Signal
from PySide6.QtGui import QEnterEvent, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QCheckBox, QGridLayout, QSizePolicy, QWidget

from studbook.desk.theme import Role, Type, font, length, look, space
from studbook.desk.widgets.text import label
from studbook.planning.diary.task import Task
from studbook.words import _

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_STEPS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
_WHEN = 120


def _press_key(button: QAbstractButton, event: QKeyEvent, otherwise: Callable[[QKeyEvent], None]) -> None:
    """Enter presses the button; Up and Down are the row's."""
    if event.key() in _ENTER:
        button.click()
    elif event.key() in _STEPS:
        event.ignore()
    else:
        otherwise(event)


class DoneBox(QCheckBox):
    """A box that always shows what the record says; Space, Enter or a click asks for the other state."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        _press_key(self, event, super().keyPressEvent)


class WordsLink(QAbstractButton):
    """Words that go deeper and break where the line ends."""

    def __init__(self, text: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setText(text)
        self._known: dict[int, QRect] = {}
        self.setAccessibleName(text)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def _bounds(self, width: int) -> QRect:
        """The room the words take in a width; a page of them is asked for it again and again."""
        if width not in self._known:
            wraps, room = int(Qt.TextFlag.TextWordWrap), QRect(0, 0, width, 10_000)
            self._known[width] = QFontMetrics(font(Type.BODY)).boundingRect(room, wraps, self.text())
        return self._known[width]

    def _inset(self) -> int:
        return space(0.5)

    def sizeHint(self) -> QSize:
        bounds = self._bounds(length(420))
        return QSize(bounds.width() + 2 * self._inset(), bounds.height() + self._inset())

    def minimumSizeHint(self) -> QSize:
        return QSize(length(160), self._bounds(length(420)).height() + self._inset())

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._bounds(width - 2 * self._inset()).height() + self._inset()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        _press_key(self, event, super().keyPressEvent)

    def enterEvent(self, event: QEnterEvent) -> None:
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        face = font(Type.BODY)
        face.setUnderline(self.underMouse())
        painter.setFont(face)
        painter.setPen(look().ink)
        inset = self._inset()
        place = self.rect().adjusted(inset, inset // 2, -inset, 0)
        painter.drawText(place, int(Qt.TextFlag.TextWordWrap), self.text())
        if self.hasFocus():
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(look().comb, 1.5))
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -1, -1), 4, 4)


class TaskRow(QWidget):
    """A task of the agenda. Up and Down go from box to box.

    Signals
    -------
    done
        It is to be done, or, when it was ticked, to be open again (Task).
    asked
        What it is about is wanted (Task).
    stepped
        The row above (-1) or below (1) is wanted (int).
    """

    done = Signal(object)
    asked = Signal(object)
    stepped = Signal(int)

    def __init__(self, task: Task, when: str, role: Role, *, hinted: bool) -> None:
        super().__init__()
        self.task = task
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(space(1))
        grid.setVerticalSpacing(0)
        grid.setColumnMinimumWidth(1, length(_WHEN))
        grid.setColumnStretch(2, 1)
        self.box = DoneBox()
        self.box.setChecked(task.is_done)
        spoken = _("Open again: {task}") if task.is_done else _("Done: {task}")
        self.box.setAccessibleName(spoken.format(task=task.words))
        self.box.setAccessibleDescription(when)
        # the box stands in the middle of the first line of the words
        self.box.setFixedHeight(QFontMetrics(font(Type.BODY)).height() + space(0.5))
        self.box.clicked.connect(self._press)
        grid.addWidget(self.box, 0, 0, Qt.AlignmentFlag.AlignTop)
        day = label(when, role)
        day.setContentsMargins(0, space(0.25), 0, 0)
        grid.addWidget(day, 0, 1, Qt.AlignmentFlag.AlignTop)
        self.words = WordsLink(task.words)
        self.words.setAccessibleDescription(when)
        self.words.setToolTip(task.hint)
        self.words.clicked.connect(lambda: self.asked.emit(task))
        grid.addWidget(self.words, 0, 2)
        if hinted and task.hint:
            hint = label(task.hint, Role.SMALL, wraps=True)
            hint.setContentsMargins(space(0.5), 0, 0, space(0.5))
            grid.addWidget(hint, 1, 2)

    def _press(self) -> None:
        self.box.setChecked(self.task.is_done)
        self.done.emit(self.task)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
        else:
            self.stepped.emit(step)


WhenText = Callable[[Task], str]
"""Writes the day of a task beside it."""
