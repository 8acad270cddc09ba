"""Wishes about single birds, a row each: who must be together, who must not, and a number for one bird."""

from collections.abc import Callable, Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSpinBox, QVBoxLayout, QWidget

from studbook.book.records import Bird, BirdId
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.text import label, link
from studbook.words import _


class _Row(QWidget):
    """What every row has: a way to take it out."""

    gone = Signal()

    def __init__(self, name: str, birds: int, spoken: Iterable[str]) -> None:
        super().__init__()
        self.setObjectName(name)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(space(1))
        self.pickers = [BirdPicker() for _each in range(birds)]
        for at, (picker, words) in enumerate(zip(self.pickers, spoken, strict=True)):
            picker.edit.setMinimumWidth(length(96))
            picker.edit.setObjectName(f"{name}_bird_{at + 1}")
            picker.edit.setAccessibleName(words)
            self._row.addWidget(picker, 1)
        self._remove = link(_("remove"), self.gone.emit)
        self._remove.setObjectName(f"{name}_remove")
        self._remove.setAccessibleName(_("Remove this wish"))

    def finish(self) -> None:
        """Put the way out at the end."""
        self._row.addWidget(self._remove)

    def set_birds(self, birds: Iterable[Bird]) -> None:
        """The birds that can be named."""
        held = tuple(birds)
        for picker in self.pickers:
            picker.set_birds(held)


class PairRow(_Row):
    """Two birds."""

    def __init__(self, name: str) -> None:
        super().__init__(name, 2, (_("One bird"), _("The other bird")))
        self.finish()

    @property
    def pair(self) -> tuple[BirdId, BirdId] | None:
        """The two birds; None until both are named."""
        one, other = (picker.bird for picker in self.pickers)
        return (one, other) if one is not None and other is not None and one != other else None


class NumberRow(_Row):
    """One bird and a number."""

    def __init__(self, name: str, spoken: str, most: int, value: int, suffix: str) -> None:
        super().__init__(name, 1, (_("Bird"),))
        self.number = QSpinBox()
        self.number.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.number.setObjectName(f"{name}_number")
        self.number.setAccessibleName(spoken)
        self.number.setRange(1, most)
        self.number.setValue(value)
        self.number.setSuffix(suffix)
        self._row.addWidget(self.number)
        self.finish()

    @property
    def value(self) -> tuple[BirdId, int] | None:
        """The bird and its number; None until it is named."""
        bird = self.pickers[0].bird
        return (bird, self.number.value()) if bird is not None else None


class WishRows(QWidget):
    """A heading, a remark, the rows and a way to add one.

    Signals
    -------
    changed
        A row was added, filled or taken out.
    """

    changed = Signal()

    def __init__(
        self, name: str, heading: str, remark: str, adding: str, make: Callable[[str], PairRow | NumberRow]
    ) -> None:
        super().__init__()
        self.setObjectName(name)
        self._make = make
        self._made = 0
        self._birds: tuple[Bird, ...] = ()
        self.rows: list[PairRow | NumberRow] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        column.addWidget(label(heading, Role.CAPTION, wraps=True))
        if remark:
            column.addWidget(label(remark, Role.SMALL, wraps=True))
        self._held = QVBoxLayout()
        self._held.setSpacing(space(0.5))
        column.addLayout(self._held)
        self.adding = link(adding, lambda: self.add())
        self.adding.setObjectName(f"{name}_add")
        column.addWidget(self.adding)

    def set_birds(self, birds: Iterable[Bird]) -> None:
        """The birds that can be named."""
        self._birds = tuple(birds)
        for row in self.rows:
            row.set_birds(self._birds)

    def add(self) -> PairRow | NumberRow:
        """One more row, ready to type in."""
        self._made += 1
        row = self._make(f"{self.objectName()}_{self._made}")
        row.set_birds(self._birds)
        row.gone.connect(lambda: self._remove(row))
        for picker in row.pickers:
            picker.changed.connect(self.changed)
        if isinstance(row, NumberRow):
            row.number.valueChanged.connect(lambda _value: self.changed.emit())
        self.rows.append(row)
        self._held.addWidget(row)
        row.pickers[0].setFocus()
        self.changed.emit()
        return row

    def clear(self) -> None:
        """Take every row out."""
        for row in tuple(self.rows):
            self._remove(row)

    def _remove(self, row: PairRow | NumberRow) -> None:
        self.rows.remove(row)
        self._held.removeWidget(row)
        row.hide()
        row.deleteLater()
        self.adding.setFocus()
        self.changed.emit()

    @property
    def pairs(self) -> tuple[tuple[BirdId, BirdId], ...]:
        """The pairs that are filled in."""
        return tuple(row.pair for row in self.rows if isinstance(row, PairRow) and row.pair is not None)

    @property
    def numbers(self) -> dict[BirdId, int]:
        """The birds that are filled in, with their numbers."""
        found = (row.value for row in self.rows if isinstance(row, NumberRow))
        return dict(value for value in found if value is not None)
