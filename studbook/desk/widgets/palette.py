"""The command palette: every action of the window by a few letters of its name."""

from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import QDialog, QLineEdit, QListView, QVBoxLayout, QWidget

from studbook.desk import icons
from studbook.desk.theme import length, space
from studbook.words import _, fold


def plain_text(action: QAction) -> str:
    """The words of an action without mnemonic."""
    return action.text().replace("&&", "\0").replace("&", "").replace("\0", "&")


class _ActionsModel(QAbstractListModel):
    def __init__(self, actions: list[QAction], parent: QObject) -> None:
        super().__init__(parent)
        self._all = actions
        self.shown = actions

    def find(self, text: str) -> None:
        """Show the actions that hold every word of `text`."""
        words = fold(text).split()
        self.beginResetModel()
        self.shown = [
            action for action in self._all if all(word in fold(plain_text(action)) for word in words)
        ]
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.shown)

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if not index.isValid():
            return None
        action = self.shown[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            keys = action.shortcut().toString(action.shortcut().SequenceFormat.NativeText)
            words = plain_text(action)
            return _("{action}   ({keys})").format(action=words, keys=keys) if keys else words
        if role == Qt.ItemDataRole.DecorationRole:
            return action.icon() if not action.icon().isNull() else icons.icon("caret-right")
        return None


class CommandPalette(QDialog):
    """Type, choose with the arrow keys, Enter does it, Esc does nothing."""

    def __init__(self, actions: list[QAction], parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(_("Do something"))
        column = QVBoxLayout(self)
        column.setContentsMargins(space(2), space(2), space(2), space(2))
        self.edit = QLineEdit()
        self.edit.setPlaceholderText(_("what do you want to do?"))
        self.edit.setAccessibleName(_("Command"))
        self._model = _ActionsModel(actions, self)
        self._list = QListView()
        self._list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._list.setModel(self._model)
        column.addWidget(self.edit)
        column.addWidget(self._list)
        self.resize(length(520), length(380))
        self.edit.textEdited.connect(self._find)
        self._list.clicked.connect(lambda index: self._do(index.row()))
        self._list.setCurrentIndex(self._model.index(0))

    def _find(self, text: str) -> None:
        self._model.find(text)
        self._list.setCurrentIndex(self._model.index(0))

    def _do(self, row: int) -> None:
        if 0 <= row < len(self._model.shown):
            action = self._model.shown[row]
            self.close()
            action.trigger()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row = self._list.currentIndex().row()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._do(row)
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            step = 1 if event.key() == Qt.Key.Key_Down else -1
            self._list.setCurrentIndex(self._model.index(min(max(row + step, 0), self._model.rowCount() - 1)))
        else:
            super().keyPressEvent(event)
