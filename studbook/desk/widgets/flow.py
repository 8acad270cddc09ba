"""A layout whose widgets run in lines and break like words."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from studbook.desk.theme import space


class Flow(QLayout):
    """Places widgets from the left and begins a new line where the width ends."""

    def __init__(self, parent: QWidget | None = None, gap: float = 1) -> None:
        super().__init__(parent)
        self.setContentsMargins(0, 0, 0, 0)
        self._gap = space(gap)
        self._items: list[QLayoutItem] = []

    def clear(self) -> None:
        """Take every widget out and let it go."""
        while self._items:
            widget = self._items.pop().widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    def _arrange(self, rect: QRect, *, move: bool) -> int:
        """The height the items take in the width of `rect`."""
        x, y, line = rect.x(), rect.y(), 0
        row: list[tuple[QLayoutItem, QSize, int]] = []

        def close_row() -> None:
            for item, size, left in row:
                if move:
                    item.setGeometry(QRect(QPoint(left, y + (line - size.height()) // 2), size))

        for item in self._items:
            if item.isEmpty():
                continue
            size = item.sizeHint()
            size.setWidth(min(size.width(), rect.width()))
            if row and x + size.width() > rect.right() + 1:
                close_row()
                x, y, line, row = rect.x(), y + line + self._gap, 0, []
            row.append((item, size, x))
            x += size.width() + self._gap
            line = max(line, size.height())
        close_row()
        return y + line - rect.y()

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._arrange(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._arrange(rect, move=True)

    def sizeHint(self) -> QSize:
        shown = [item.sizeHint() for item in self._items if not item.isEmpty()]
        width = sum(size.width() for size in shown) + self._gap * max(len(shown) - 1, 0)
        return QSize(width, max((size.height() for size in shown), default=0))

    def minimumSize(self) -> QSize:
        size = QSize()
        for item in self._items:
            if not item.isEmpty():
                size = size.expandedTo(item.minimumSize())
        return size
