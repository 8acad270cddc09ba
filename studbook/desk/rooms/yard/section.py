"""A part of the Yard that is made anew only when what it tells has changed."""

from collections.abc import Callable

from PySide6.QtWidgets import QVBoxLayout, QWidget


class Section(QWidget):
    """Some widgets below each other; without any it takes no room."""

    def __init__(self, gap: int) -> None:
        super().__init__()
        self._gap = gap
        self._told: object = None
        self._inner: QWidget | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self.hide()

    def show_told(self, told: object, fill: Callable[[QVBoxLayout], None]) -> bool:
        """Tell `told`, which `fill` writes into a column; False when it is told already."""
        if self._inner is not None and told == self._told:
            return False
        layout = self.layout()
        assert layout is not None
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(self._gap)
        fill(column)
        if self._inner is not None:
            self._inner.hide()
            layout.removeWidget(self._inner)
            self._inner.deleteLater()
        layout.addWidget(inner)
        self._told, self._inner = told, inner
        self.setVisible(column.count() > 0)
        return True
