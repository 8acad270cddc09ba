"""Choosing a bird by typing a mark, a name or part of either."""

from collections.abc import Callable, Iterable
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPoint,
    Qt,
    Signal,
)
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QListView, QVBoxLayout, QWidget

from studbook.book.records import Bird, BirdId
from studbook.desk.finding import Finder
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_line import BirdDelegate, BirdLink, BirdRole
from studbook.desk.widgets.text import label, link, set_role
from studbook.desk.wording import bird_text, spoken
from studbook.words import _

_SHOWN = 12

Search = Callable[[str, Callable[[list[Bird]], None]], object]
"""Finds the birds that fit a text and hands them, best first, to a function."""


def _within(birds: Iterable[Bird]) -> Search:
    finder = Finder(birds)
    return lambda text, answer: answer(finder.find(text))


class _FoundModel(QAbstractListModel):
    """The birds found, as a list model."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.birds: list[Bird] = []

    def show(self, birds: list[Bird]) -> None:
        """Hold other birds."""
        self.beginResetModel()
        self.birds = birds
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.birds)

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if not index.isValid():
            return None
        bird = self.birds[index.row()]
        if role == BirdRole:
            return bird
        if role == Qt.ItemDataRole.DisplayRole:
            return bird_text(bird)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return spoken(bird)
        return None


class FindEdit(QLineEdit):
    """A line that finds birds as one types; the list below it is worked with the arrow keys.

    Signals
    -------
    picked
        A bird was chosen (Bird).
    """

    picked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._search_birds: Search = _within(())
        self.setClearButtonEnabled(True)
        self._list = QListView()
        self._list.setWindowFlags(
            Qt.WindowType.ToolTip | Qt.WindowType.FramelessWindowHint | Qt.WindowType.WindowDoesNotAcceptFocus
        )
        self._list.setAttribute(Qt.WidgetAttribute.WA_ShowWithoutActivating)
        self._list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._list.setObjectName("found_birds")
        self._list.setUniformItemSizes(True)
        self._list.setMouseTracking(True)
        self._found = _FoundModel(self._list)
        self._list.setModel(self._found)
        self._list.setItemDelegate(BirdDelegate(self._list))
        self._list.clicked.connect(lambda index: self._pick(index.row()))
        self.textEdited.connect(self._search)
        self.destroyed.connect(self._list.deleteLater)

    @property
    def found(self) -> tuple[Bird, ...]:
        """The birds in the list below, best first; empty while it is closed."""
        return tuple(self._found.birds) if self._list.isVisible() else ()

    def set_birds(self, birds: Iterable[Bird]) -> None:
        """The birds that can be found."""
        self.set_search(_within(birds))

    def set_search(self, search: Search) -> None:
        """Find by other means, such as the index of the record; the answer may come later."""
        self._search_birds = search
        self.close_list()

    def open_list(self) -> None:
        """Show what fits the text (the first birds for an empty line)."""
        self._search_birds(self.text(), self._show_found)

    def _show_found(self, birds: list[Bird]) -> None:
        self._found.show(birds)
        if not self.hasFocus():
            return
        if not birds:
            self._list.hide()
            return
        rows = min(len(birds), _SHOWN)
        height = self._list.sizeHintForRow(0) * rows + 2 * self._list.frameWidth() + space()
        self._list.resize(max(self.width(), length(340)), height)
        self._list.move(self.mapToGlobal(QPoint(0, self.height() + 2)))
        self._list.setCurrentIndex(self._found.index(0))
        self._list.show()

    def close_list(self) -> None:
        """Hide the list."""
        self._list.hide()

    def _search(self) -> None:
        if self.text().strip():
            self.open_list()
        else:
            self.close_list()

    def _pick(self, row: int) -> None:
        if 0 <= row < len(self._found.birds):
            bird = self._found.birds[row]
            self.close_list()
            self.picked.emit(bird)

    def _step(self, steps: int) -> None:
        row = self._list.currentIndex().row() + steps
        row = min(max(row, 0), len(self._found.birds) - 1)
        self._list.setCurrentIndex(self._found.index(row))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        is_open = self._list.isVisible()
        steps = {
            Qt.Key.Key_Down: 1,
            Qt.Key.Key_Up: -1,
            Qt.Key.Key_PageDown: _SHOWN,
            Qt.Key.Key_PageUp: -_SHOWN,
        }
        if key == Qt.Key.Key_Down and not is_open:
            self.open_list()
        elif is_open and key in steps:
            self._step(steps[Qt.Key(key)])
        elif is_open and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._pick(self._list.currentIndex().row())
        elif is_open and key == Qt.Key.Key_Escape:
            self.close_list()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if not self._list.underMouse():
            self.close_list()

    def hideEvent(self, event: QHideEvent) -> None:
        self.close_list()
        super().hideEvent(event)


class BirdPicker(QWidget):
    """Holds one bird, or with `several` any number; typed text that fits one bird alone is taken too.

    Signals
    -------
    changed
        Another choice was made.
    """

    changed = Signal()

    def __init__(
        self, *, several: bool = False, placeholder: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._several = several
        self._birds: dict[BirdId, Bird] = {}
        self._chosen: list[BirdId] = []
        self._allowed: Callable[[Bird], bool] = lambda _bird: True
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        self._held = QVBoxLayout()
        self._held.setSpacing(space(0.25))
        column.addLayout(self._held)
        self.edit = FindEdit()
        self.edit.setPlaceholderText(placeholder or _("mark or name"))
        self.edit.setMinimumWidth(length(220))
        column.addWidget(self.edit)
        self._remark = label("", Role.ERROR)
        self._remark.hide()
        column.addWidget(self._remark)
        self.setFocusProxy(self.edit)
        self.edit.picked.connect(lambda bird: self.choose(bird.id))
        self.edit.editingFinished.connect(self._take_typed)
        self.edit.textEdited.connect(lambda: self._remark.hide())

    @property
    def chosen(self) -> tuple[BirdId, ...]:
        """The birds chosen, in the order of choosing."""
        return tuple(self._chosen)

    @property
    def bird(self) -> BirdId | None:
        """The one bird chosen."""
        return self._chosen[0] if self._chosen else None

    def set_birds(self, birds: Iterable[Bird], allowed: Callable[[Bird], bool] = lambda _bird: True) -> None:
        """The birds of the book, and which of them may be chosen here."""
        self._birds = {bird.id: bird for bird in birds}
        self._allowed = allowed
        self._chosen = [bird for bird in self._chosen if bird in self._birds]
        self._refresh()

    def choose(self, bird: BirdId | None) -> None:
        """Take a bird (the only one, unless several may be chosen); None takes none."""
        if bird is None:
            self._chosen = []
        elif bird not in self._birds:
            return
        elif self._several:
            self._chosen = [*(held for held in self._chosen if held != bird), bird]
        else:
            self._chosen = [bird]
        self.edit.clear()
        self._remark.hide()
        self._refresh()
        self.changed.emit()

    def drop(self, bird: BirdId) -> None:
        """Take a bird out of the choice."""
        if bird in self._chosen:
            self._chosen.remove(bird)
            self._refresh()
            self.edit.setFocus()
            self.changed.emit()

    def _take_typed(self) -> None:
        """Take the bird the text means when only one fits; else say what is the matter."""
        text = self.edit.text().strip()
        if not text:
            return
        allowed = [bird for bird in self._birds.values() if self._allowed(bird)]
        found = Finder(allowed).find(text, 3)
        exact = [bird for bird in found if text.casefold() in (bird.mark.casefold(), bird.name.casefold())]
        fitting = exact or found
        if len(fitting) == 1:
            self.choose(fitting[0].id)
            return
        remark = _("Several birds fit {text}: choose one.") if fitting else _("No bird here fits {text}.")
        self._remark.setText(remark.format(text=text))
        set_role(self._remark, Role.ERROR)
        self._remark.show()

    def _refresh(self) -> None:
        while (item := self._held.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for bird_id in self._chosen:
            self._held.addWidget(_Held(self._birds[bird_id], self.drop))
        taken = set(self._chosen)
        self.edit.set_birds(
            bird for bird in self._birds.values() if bird.id not in taken and self._allowed(bird)
        )
        self.edit.setVisible(self._several or not self._chosen)


class _Held(QFrame):
    """One chosen bird with a word to take it out again."""

    def __init__(self, bird: Bird, drop: Callable[[BirdId], None]) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space())
        shown = BirdLink(bird)
        shown.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        shown.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        row.addWidget(shown)
        remove = link(_("remove"), lambda: drop(bird.id))
        remove.setAccessibleName(_("Remove {bird}").format(bird=bird_text(bird)))
        row.addWidget(remove)
        row.addStretch(1)
