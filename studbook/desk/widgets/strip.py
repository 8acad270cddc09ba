"""The quiet message strip at the foot of the window: what just happened, and Undo."""

from collections.abc import Callable

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSizePolicy, QWidget

from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label, link, set_role
from studbook.words import _

_SECONDS = 20


class MessageStrip(QFrame):
    """Shows one sentence until it is old or replaced, and what the book holds at the right."""

    def __init__(self, undo: Callable[[], None], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        row = QHBoxLayout(self)
        row.setContentsMargins(space(2), space(0.5), space(2), space(0.5))
        row.setSpacing(space(1.5))
        self._words = label("")
        self._words.setObjectName("message")
        self._words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._undo = link(_("Undo"), undo)
        self._undo.setObjectName("strip_undo")
        self._undo.hide()
        self._count = label("", Role.FAINT)
        self._count.setObjectName("counts")
        row.addWidget(self._words, 1)
        row.addWidget(self._undo)
        row.addWidget(self._count)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_SECONDS * 1000)
        self._timer.timeout.connect(self.clear)

    def say(self, text: str, *, undoable: bool = False, wrong: bool = False, cautious: bool = False) -> None:
        """Show `text`; with an Undo link when it can be taken back."""
        set_role(self._words, Role.ERROR if wrong else Role.CAUTION if cautious else None)
        self._words.setText(text)
        self._words.setToolTip(text)
        self._undo.setVisible(undoable)
        self._timer.start()

    def clear(self) -> None:
        """Show nothing."""
        self._words.clear()
        self._undo.hide()

    def show_counts(self, text: str) -> None:
        """Show what the book holds."""
        self._count.setText(text)

    @property
    def text(self) -> str:
        """What it says now."""
        return self._words.text()
