"""The matrix as a table model: a row for each hen, a column for each cock, the means first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from studbook.book.records import Bird, BirdId, Snapshot
from studbook.desk.widgets.bird_line import BirdRole
from studbook.desk.wording import bird_text, percent_text, spoken
from studbook.planning.limits import is_over
from studbook.words import _

if TYPE_CHECKING:
    from studbook.planning.pairs import Matrix

MEAN = 0
"""The row and the column of the means."""


@dataclass(frozen=True)
class Order:
    """What one side is sorted by: the place of a bird of the other side, `MEAN`, or nothing."""

    by: int | None = None
    descending: bool = False

    def turned(self, by: int) -> Order:
        """The order after another press on the same header: rising, falling, none."""
        if by != self.by:
            return Order(by)
        return Order() if self.descending else Order(by, descending=True)


class MatrixModel(QAbstractTableModel):
    """The expected F of every pair of a `Matrix`, over its own two lists of places."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._birds: dict[BirdId, Bird] = {}
        self._expected: tuple[tuple[float, ...], ...] = ()
        self._cocks: list[BirdId] = []
        self._hens: list[BirdId] = []
        self._cock_means: tuple[float, ...] = ()
        self._hen_means: tuple[float, ...] = ()
        self._best: dict[int, int] = {}
        self._columns: list[int] = []
        self._rows: list[int] = []
        self.limit = 0.0
        self.hens_by = Order()
        self.cocks_by = Order()

    def show_matrix(self, matrix: Matrix, snapshot: Snapshot) -> None:
        """Hold other pairs; an order by a bird that is still there is kept."""
        self.beginResetModel()
        hens_by = self._cocks[self.hens_by.by - 1] if self.hens_by.by else None
        cocks_by = self._hens[self.cocks_by.by - 1] if self.cocks_by.by else None
        self._cocks, self._hens = list(matrix.cocks), list(matrix.hens)
        self._birds = {bird: snapshot.bird(bird) for bird in (*matrix.cocks, *matrix.hens)}
        self._expected = matrix.expected
        self._cock_means, self._hen_means = matrix.cock_means, matrix.hen_means
        self._best = {number: places[0] for number, places in enumerate(matrix.ranked) if places}
        self.limit = matrix.limit
        self.hens_by = _kept(self.hens_by, hens_by, self._cocks)
        self.cocks_by = _kept(self.cocks_by, cocks_by, self._hens)
        self._arrange()
        self.endResetModel()

    def set_limit(self, limit: float) -> None:
        """Grey other pairs."""
        if limit == self.limit:
            return
        self.limit = limit
        if self._hens:
            self.dataChanged.emit(
                self.index(0, 0), self.index(self.rowCount() - 1, self.columnCount() - 1), []
            )

    def sort_hens(self, column: int) -> None:
        """Sort the hens by the cock of a column or by their mean; again to turn it round, then to end it."""
        by = MEAN if column == MEAN else self._columns[column - 1] + 1
        self._reorder(self.hens_by.turned(by), self.cocks_by)

    def sort_cocks(self, row: int) -> None:
        """Sort the cocks by the hen of a row or by their mean."""
        by = MEAN if row == MEAN else self._rows[row - 1] + 1
        self._reorder(self.hens_by, self.cocks_by.turned(by))

    def sorted_column(self) -> int | None:
        """The column the hens are sorted by."""
        by = self.hens_by.by
        return by if not by else self._columns.index(by - 1) + 1

    def sorted_row(self) -> int | None:
        """The row the cocks are sorted by."""
        by = self.cocks_by.by
        return by if not by else self._rows.index(by - 1) + 1

    def value(self, row: int, column: int) -> float:
        """The figure of a cell; a row or column `MEAN` gives the mean of the other side."""
        if row == MEAN and column == MEAN:
            return sum(self._hen_means) / len(self._hen_means)
        if row == MEAN:
            return self._cock_means[self._columns[column - 1]]
        if column == MEAN:
            return self._hen_means[self._rows[row - 1]]
        return self._expected[self._columns[column - 1]][self._rows[row - 1]]

    def is_greyed(self, row: int, column: int) -> bool:
        """True for a pair over the limit."""
        return row != MEAN and column != MEAN and is_over(self.value(row, column), self.limit)

    def is_best(self, row: int, column: int) -> bool:
        """True for the cock that suits the hen of this row best."""
        if row == MEAN or column == MEAN:
            return False
        return self._best.get(self._rows[row - 1]) == self._columns[column - 1]

    def cock(self, column: int) -> Bird | None:
        """The cock of a column, None for the means."""
        return None if column == MEAN else self._birds[self._cocks[self._columns[column - 1]]]

    def hen(self, row: int) -> Bird | None:
        """The hen of a row, None for the means."""
        return None if row == MEAN else self._birds[self._hens[self._rows[row - 1]]]

    def pair(self, index: QModelIndex | QPersistentModelIndex) -> tuple[BirdId, BirdId] | None:
        """The pair of a cell."""
        if not index.isValid():
            return None
        cock, hen = self.cock(index.column()), self.hen(index.row())
        return (cock.id, hen.id) if cock and hen else None

    def index_of(self, cock: BirdId, hen: BirdId) -> QModelIndex:
        """The cell of a pair; invalid when it is not here."""
        if cock not in self._cocks or hen not in self._hens:
            return QModelIndex()
        column = self._columns.index(self._cocks.index(cock)) + 1
        return self.index(self._rows.index(self._hens.index(hen)) + 1, column)

    def best_of(self, bird: BirdId) -> QModelIndex:
        """The cell of the mate with the lowest figure for a bird; invalid when it is not here."""
        if bird in self._hens and self._cocks:
            hen = self._hens.index(bird)
            return self.index_of(self._cocks[self._best[hen]], bird)
        if bird in self._cocks and self._hens:
            figures = self._expected[self._cocks.index(bird)]
            return self.index_of(bird, self._hens[min(range(len(figures)), key=figures.__getitem__)])
        return QModelIndex()

    def _reorder(self, hens_by: Order, cocks_by: Order) -> None:
        self.layoutAboutToBeChanged.emit()
        held = self.persistentIndexList()
        pairs = [self.pair(index) for index in held]
        self.hens_by, self.cocks_by = hens_by, cocks_by
        self._arrange()
        moved = [
            self.index_of(*pair) if pair else self.index(index.row(), index.column())
            for pair, index in zip(pairs, held, strict=True)
        ]
        self.changePersistentIndexList(held, moved)
        self.layoutChanged.emit()

    def _arrange(self) -> None:
        by = self.cocks_by.by
        self._columns = list(range(len(self._cocks)))
        if by is not None:
            self._columns.sort(
                key=lambda cock: self._cock_means[cock] if by == MEAN else self._expected[cock][by - 1],
                reverse=self.cocks_by.descending,
            )
        other = self.hens_by.by
        self._rows = list(range(len(self._hens)))
        if other is not None:
            self._rows.sort(
                key=lambda hen: self._hen_means[hen] if other == MEAN else self._expected[other - 1][hen],
                reverse=self.hens_by.descending,
            )

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() or not self._hens else len(self._hens) + 1

    def columnCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() or not self._cocks else len(self._cocks) + 1

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if not index.isValid():
            return None
        row, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return percent_text(self.value(row, column))
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return self._told(row, column)
        return None

    def _told(self, row: int, column: int) -> str:
        cock, hen = self.cock(column), self.hen(row)
        share = percent_text(self.value(row, column))
        if cock is None or hen is None:
            bird = cock or hen
            if bird is None:
                return _("mean of all pairs: {share}").format(share=share)
            return _("{bird}, mean: {share}").format(bird=bird_text(bird), share=share)
        text = (
            _("{cock} with {hen}: {share}, over the limit")
            if self.is_greyed(row, column)
            else _("{cock} with {hen}: {share}, the best for her")
            if self.is_best(row, column)
            else _("{cock} with {hen}: {share}")
        )
        return text.format(cock=bird_text(cock), hen=bird_text(hen), share=share)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        is_cock = orientation is Qt.Orientation.Horizontal
        if not 0 <= section < (self.columnCount() if is_cock else self.rowCount()):
            return None
        bird = self.cock(section) if is_cock else self.hen(section)
        if role == BirdRole:
            return bird
        if role == Qt.ItemDataRole.DisplayRole:
            return bird_text(bird) if bird else _("mean")
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return spoken(bird) if bird else _("mean")
        if role == Qt.ItemDataRole.ToolTipRole:
            if bird is None:
                return _("Sort by the mean") if is_cock else _("Sort the cocks by their mean")
            text = (
                _("{bird}. Sort the hens by this cock.")
                if is_cock
                else _("{bird}. Sort the cocks by this hen.")
            )
            return text.format(bird=spoken(bird))
        return None


def _kept(order: Order, bird: BirdId | None, birds: list[BirdId]) -> Order:
    if not order.by:
        return order
    return Order(birds.index(bird) + 1, order.descending) if bird in birds else Order()
