"""The model of the birds' table: an order of all birds, and of these the ones a filter shows."""

from collections.abc import Sequence

from PySide6.QtCore import QObject, Qt, Signal

from studbook.book.records import Bird
from studbook.desk.rooms.birds.filters import Filter
from studbook.desk.rooms.birds.index import BirdIndex, Sorting
from studbook.desk.tables import Column, RowsModel


class BirdsModel(RowsModel[Bird]):
    """The birds of an index; quick for a hundred thousand.

    A filter keeps the order there is, and one that only narrows the one before looks through the rows
    shown alone. An order that takes long is asked for, and shown when it is there.

    Signals
    -------
    order_wanted
        The birds are to be sorted otherwise, which the index has not done yet: `sort` again when it has.
    """

    order_wanted = Signal()

    def __init__(self, columns: Sequence[Column[Bird]], parent: QObject | None = None) -> None:
        super().__init__(columns, lambda bird: bird.id, parent)
        self.index_of_birds: BirdIndex | None = None
        self.wanted = Filter()
        self.sorting: Sorting | None = None
        self._all: list[int] = []

    def show_index(self, index: BirdIndex, wanted: Filter) -> None:
        """Show other birds, in the order there is."""
        known = index.known_order(self.sorting)
        self.beginResetModel()
        self.index_of_birds, self.wanted = index, wanted
        self._rows = list(index.rows)
        self._all = list(range(len(self._rows))) if known is None else known
        self._sorted_by = self.sorting
        self._order = index.places(wanted, self._all)
        self.endResetModel()
        self.shown_changed.emit()
        if known is None:
            # sorted otherwise while the index was made
            self.order_wanted.emit()

    def show_only(self, wanted: Filter) -> None:
        """Show the birds of another filter."""
        index, before = self.index_of_birds, self.wanted
        if index is None or wanted == before:
            return
        self.beginResetModel()
        self.wanted = wanted
        self._order = index.places(wanted, self._order if wanted.narrows(before) else self._all)
        self.endResetModel()
        self.shown_changed.emit()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        self.sorting = (column, order) if column >= 0 else None
        index = self.index_of_birds
        known = index.known_order(self.sorting) if index is not None else []
        if known is None:
            self.order_wanted.emit()
            return
        self._all = known
        super().sort(column, order)

    def _arranged(self) -> list[int]:
        index = self.index_of_birds
        return [] if index is None else index.places(self.wanted, self._all)
