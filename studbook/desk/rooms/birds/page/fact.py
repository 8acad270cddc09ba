"""One fact of a bird, read as text and edited where it stands."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, Protocol

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QPlainTextEdit, QVBoxLayout, QWidget

from studbook.book.errors import Problem
from studbook.desk.theme import Role, length, look, space
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.name_box import NameBox
from studbook.desk.widgets.text import label, set_property, set_role
from studbook.desk.wording import MISSING
from studbook.words import _


class Editor(Protocol):
    """What a fact is edited with."""

    @property
    def widget(self) -> QWidget:
        """The control itself."""

    def read(self) -> Any:
        """The value it holds."""

    def show(self, value: Any) -> None:
        """Show a value."""

    def error(self) -> str:
        """Why what it holds is no value; empty when it is one."""


class LineEditor:
    """A line of text."""

    def __init__(self) -> None:
        self.widget = QLineEdit()

    def read(self) -> str:
        return self.widget.text().strip()

    def show(self, value: str) -> None:
        self.widget.setText(value)
        self.widget.selectAll()

    def error(self) -> str:
        return ""


class TextEditor:
    """A text of several lines; Ctrl+Enter saves."""

    def __init__(self) -> None:
        self.widget = QPlainTextEdit()
        self.widget.setTabChangesFocus(True)
        self.widget.setFixedHeight(length(96))

    def read(self) -> str:
        return self.widget.toPlainText().strip()

    def show(self, value: str) -> None:
        self.widget.setPlainText(value)
        self.widget.moveCursor(self.widget.textCursor().MoveOperation.End)

    def error(self) -> str:
        return ""


class DateEditor:
    """A date with precision."""

    def __init__(self, field: DateField) -> None:
        self.widget = field

    def read(self) -> Any:
        return self.widget.value

    def show(self, value: Any) -> None:
        self.widget.set_value(value)
        self.widget.edit.selectAll()

    def error(self) -> str:
        return self.widget.error


class ChoiceEditor:
    """One of a few values."""

    def __init__(self, choices: Iterable[tuple[str, object]]) -> None:
        self.widget = QComboBox()
        for words, value in choices:
            self.widget.addItem(words, value)

    def read(self) -> Any:
        return self.widget.currentData()

    def show(self, value: Any) -> None:
        self.widget.setCurrentIndex(max(self.widget.findData(value), 0))

    def error(self) -> str:
        return ""


class NameEditor:
    """Someone of the book, or a new name."""

    def __init__(self) -> None:
        self.widget: QWidget = QWidget()
        self._column = QVBoxLayout(self.widget)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._box = NameBox(())
        self._column.addWidget(self._box)
        self.widget.setFocusProxy(self._box)

    def offer(self, names: Sequence[tuple[str, str]]) -> None:
        """Offer these names."""
        box = NameBox(names)
        self._column.replaceWidget(self._box, box)
        self._box.deleteLater()
        self._box = box
        self.widget.setFocusProxy(box)

    def read(self) -> Any:
        return self._box.named

    def show(self, value: Any) -> None:
        self._box.choose(value.id)

    def error(self) -> str:
        return ""


class PickEditor:
    """A bird of the book."""

    def __init__(self) -> None:
        self.widget = BirdPicker()

    def read(self) -> Any:
        return self.widget.bird

    def show(self, value: Any) -> None:
        self.widget.choose(value)

    def error(self) -> str:
        return ""


class Value(QLabel):
    """The text of a fact; a click, Enter or F2 edits it.

    Signals
    -------
    asked
        It is to be edited.
    """

    asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.IBeamCursor)
        self.setToolTip(_("Click, or press Enter, to change this"))
        self.setContentsMargins(space(0.5), space(0.5), space(0.5), space(0.5))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton and self.rect().contains(event.position().toPoint()):
            self.asked.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2, Qt.Key.Key_Space):
            self.asked.emit()
        else:
            super().keyPressEvent(event)

    def enterEvent(self, event: Any) -> None:
        self.update()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        self.update()
        super().leaveEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        self.update()
        super().focusInEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        if self.underMouse() and self.isEnabled():
            painter.fillRect(self.rect(), look().hover)
        if self.hasFocus():
            painter.setPen(QPen(look().comb, 1.5))
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -1, -1), 4, 4)
        painter.end()
        super().paintEvent(event)


class Fact(QWidget):
    """A caption, the value, and its editor in the same place.

    Enter or leaving the editor saves, Esc leaves the fact as it was. What the record refuses stays in
    the editor with the reason below it.

    Signals
    -------
    given
        A new value is to be saved (object).
    """

    given = Signal(object)

    def __init__(
        self, key: str, caption: str, make_editor: Callable[[], Editor], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.key = key
        self._caption = caption
        self._make_editor = make_editor
        self._editor: Editor | None = None
        self._held: Any = None
        self._offers: Callable[[Editor], None] | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        caption_label = label(caption, Role.CAPTION)
        caption_label.setContentsMargins(space(0.5), 0, 0, 0)
        column.addWidget(caption_label)
        self.value = Value()
        self.value.setObjectName(f"{key}_value")
        self.value.asked.connect(self.edit)
        self._place = QVBoxLayout()
        self._place.addWidget(self.value)
        column.addLayout(self._place)
        self._problem = label("", Role.ERROR, wraps=True)
        self._problem.setObjectName(f"{key}_problem")
        self._problem.hide()
        column.addWidget(self._problem)
        column.addStretch(1)

    @property
    def is_edited(self) -> bool:
        """True while the editor is open."""
        return self._editor is not None and self._editor.widget.isVisibleTo(self)

    @property
    def problem_text(self) -> str:
        """What it says is wrong."""
        return self._problem.text()

    def set_offers(self, offers: Callable[[Editor], None]) -> None:
        """What fills the editor's list just before it opens."""
        self._offers = offers

    def show_value(self, value: Any, text: str) -> None:
        """Show a fact; an editor that is open is closed."""
        self._held = value
        self.value.setText(text or MISSING)
        set_role(self.value, None if text else Role.FAINT)
        self.value.setAccessibleName(_("{fact}: {value}").format(fact=self._caption, value=text or MISSING))
        self.close_editor()

    def edit(self) -> None:
        """Open the editor."""
        if not self.value.isEnabled():
            return
        if self._editor is None:
            self._editor = self._make_editor()
            widget = self._editor.widget
            widget.setObjectName(self.key)
            widget.setAccessibleName(self._caption)
            self._place.addWidget(widget)
            for watched in (widget, *widget.findChildren(QWidget)):
                watched.installEventFilter(self)
        if self._offers is not None:
            self._offers(self._editor)
            for watched in (self._editor.widget, *self._editor.widget.findChildren(QWidget)):
                watched.installEventFilter(self)
        self._editor.show(self._held)
        self.value.hide()
        self._editor.widget.show()
        self._editor.widget.setFocus()

    def save(self) -> None:
        """Give the new value, if it is one and another one."""
        if self._editor is None or not self.is_edited:
            return
        if error := self._editor.error():
            self.show_problems((Problem("date", error, field=self.key),))
            return
        value = self._editor.read()
        if value == self._held:
            self.close_editor()
            return
        self.given.emit(value)

    def show_problems(self, problems: Sequence[Problem]) -> None:
        """Say why the value was refused; the editor stays open."""
        self._problem.setText("\n".join(problem.message for problem in problems))
        self._problem.setVisible(bool(problems))
        if self._editor is not None:
            set_property(self._editor.widget, "wrong", bool(problems))

    def close_editor(self) -> None:
        """Show the text again."""
        self.show_problems(())
        if self._editor is None or not self.is_edited:
            return
        had_focus = self._editor.widget.isAncestorOf(self.focusWidget() or self) or (
            self._editor.widget.hasFocus()
        )
        self._editor.widget.hide()
        self.value.show()
        if had_focus:
            self.value.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self._editor is None or not self.is_edited:
            return False
        if event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            entered = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            several_lines = isinstance(self._editor.widget, QPlainTextEdit)
            if event.key() == Qt.Key.Key_Escape:
                self.close_editor()
                self.value.setFocus()
                return True
            if entered and (not several_lines or event.modifiers() & Qt.KeyboardModifier.ControlModifier):
                if isinstance(self._editor, PickEditor) and self._editor.widget.edit.found:
                    return False
                self.save()
                return True
        if event.type() is QEvent.Type.FocusOut and isinstance(event, QFocusEvent):
            leaves = event.reason() not in (
                Qt.FocusReason.PopupFocusReason,
                Qt.FocusReason.ActiveWindowFocusReason,
                Qt.FocusReason.MenuBarFocusReason,
            )
            inside = self._editor.widget.isAncestorOf(watched) if isinstance(watched, QWidget) else False
            if leaves and (watched is self._editor.widget or inside):
                self._left_editor()
        return False

    def _left_editor(self) -> None:
        focused = self.window().focusWidget()
        if self._editor is not None and focused is not None and self._editor.widget.isAncestorOf(focused):
            return
        self.save()
