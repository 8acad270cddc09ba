"""A list of pens in which some are ticked and all stand in an order of their own."""

from collections.abc import Iterable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from studbook.book.husbandry.rows import Pen
from studbook.book.ids import PenId
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import button, label
from studbook.words import _

_ROWS = 8


class _List(QListWidget):
    """Ticks by Space, moves a pen by Alt and an arrow."""

    stepped = Signal(int)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.AltModifier and event.key() in (
            Qt.Key.Key_Up,
            Qt.Key.Key_Down,
        ):
            self.stepped.emit(-1 if event.key() == Qt.Key.Key_Up else 1)
        else:
            super().keyPressEvent(event)


class PenOrder(QWidget):
    """Which pens, and one after the other.

    Signals
    -------
    changed
        Other pens are ticked, or they stand in another order.
    """

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.list = _List()
        self.list.setObjectName("rotation_pens")
        self.list.setAccessibleName(_("Pens of the rotation in their order"))
        self.list.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.list.itemChanged.connect(lambda _item: self.changed.emit())
        self.list.model().rowsMoved.connect(lambda: self.changed.emit())
        self.list.stepped.connect(self.step)
        self.setFocusProxy(self.list)
        row = QHBoxLayout()
        row.setSpacing(space(1))
        earlier = button(_("Earlier"), lambda: self.step(-1))
        earlier.setObjectName("rotation_earlier")
        later = button(_("Later"), lambda: self.step(1))
        later.setObjectName("rotation_later")
        for step in (earlier, later):
            step.setAutoDefault(False)
            row.addWidget(step)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.75))
        column.addWidget(self.list)
        column.addLayout(row)
        self.told = label("", Role.FAINT, wraps=True)
        self.told.setObjectName("rotation_foreseen")
        column.addWidget(self.told)

    def say(self, text: str) -> None:
        """Say below the pens what they come to."""
        self.told.setText(text)
        self._keep_height()

    def show_pens(self, pens: Iterable[tuple[Pen, str]], chosen: Sequence[PenId]) -> None:
        """List pens with their words; the chosen stand first and are ticked."""
        found = {pen.id: words for pen, words in pens}
        order = [*(pen for pen in chosen if pen in found), *(pen for pen in found if pen not in chosen)]
        self.list.clear()
        for pen in order:
            item = QListWidgetItem(found[pen])
            item.setData(Qt.ItemDataRole.UserRole, pen)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if pen in chosen else Qt.CheckState.Unchecked)
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        line = max(self.list.sizeHintForRow(0), length(20))
        rows = min(max(len(order), 3), _ROWS)
        self.list.setFixedHeight(line * rows + 2 * self.list.frameWidth() + space(0.5))

    @property
    def chosen(self) -> tuple[PenId, ...]:
        """The pens that are ticked, in their order."""
        items = [self.list.item(row) for row in range(self.list.count())]
        return tuple(
            PenId(item.data(Qt.ItemDataRole.UserRole))
            for item in items
            if item.checkState() is Qt.CheckState.Checked
        )

    def step(self, by: int) -> None:
        """Move the pen the keyboard is on one place up or down."""
        row = self.list.currentRow()
        to = row + by
        if row < 0 or not 0 <= to < self.list.count():
            return
        item = self.list.takeItem(row)
        self.list.insertItem(to, item)
        self.list.setCurrentRow(to)
        self.changed.emit()

    def _keep_height(self) -> None:
        """A form on a low screen scrolls rather than cut the text."""
        self.told.setMinimumHeight(self.told.heightForWidth(self.width()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._keep_height()
