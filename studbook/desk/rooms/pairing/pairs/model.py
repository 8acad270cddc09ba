"""The matrix as a table model: a row for each hen, a column for each cock, the means first.

It holds the arrays of a `Picture` and its own two lists of places; no object is made for a cell.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from studbook.book.records import Bird, BirdId, Snapshot
from studbook.desk.rooms.pairing.pairs.figures import cell_text
from studbook.desk.widgets.bird_line import BirdRole
from studbook.desk.wording import bird_text, spoken
from studbook.planning.limits import FREE, Bar
from studbook.planning.pair_methods import Shown
from studbook.words import _

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from studbook.planning.pairs import Matrix

MEAN = 0
"""The row and the column of the means."""

Told = Callable[[BirdId, BirdId, Bar], str]
"""What is told of a pair, and of why it is not wanted, beyond its figure."""


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


@dataclass(frozen=True, eq=False)
class Picture:
    """What a matrix shows of its pairs.

    Attributes
    ----------
    values
        The figure of each pair (c, h).
    best
        For each hen the place of the cock that suits her best (h,) by this figure.
    cock_means, hen_means
        The means of the figures (c,), (h,).
    decimals
        With how many decimals of a hundredth a figure is written.
    """

    matrix: Matrix
    shown: Shown
    values: NDArray[np.float64]
    best: NDArray[np.intp]
    cock_means: NDArray[np.float64]
    hen_means: NDArray[np.float64]
    lowest: float
    highest: float
    decimals: int = 1


def _nothing(_cock: BirdId, _hen: BirdId, _bar: Bar) -> str:
    return ""


class MatrixModel(QAbstractTableModel):
    """The figures of every pair of a `Picture`.

    Signals
    -------
    pins_changed
        Other birds are pinned to the front.
    """

    pins_changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._birds: dict[BirdId, Bird] = {}
        self._picture: Picture | None = None
        self._cocks: list[BirdId] = []
        self._hens: list[BirdId] = []
        self._cock_place: dict[BirdId, int] = {}
        self._hen_place: dict[BirdId, int] = {}
        self._columns: list[int] = []
        self._rows: list[int] = []
        self._earlier: Mapping[tuple[BirdId, BirdId], bool] = {}
        self.told: Told = _nothing
        self._texts: dict[float, str] = {}
        self._pins = (0, 0)
        self.pinned: list[BirdId] = []
        self.hens_by = Order()
        self.cocks_by = Order()

    @property
    def shown(self) -> Shown:
        """Which figure is shown."""
        return self._picture.shown if self._picture is not None else Shown.EXPECTED

    @property
    def limit(self) -> float:
        """The expected F above which a pair is not wanted."""
        return self._picture.matrix.limit if self._picture is not None else 0.0

    def show_picture(self, picture: Picture, snapshot: Snapshot) -> None:
        """Hold other figures; an order by a bird that is still there is kept."""
        matrix = picture.matrix
        if tuple(self._cocks) == matrix.cocks and tuple(self._hens) == matrix.hens:
            self._birds = {bird: snapshot.bird(bird) for bird in (*matrix.cocks, *matrix.hens)}
            self._picture = picture
            self._reorder(self.hens_by, self.cocks_by)
            return
        self.beginResetModel()
        hens_by = self._cocks[self.hens_by.by - 1] if self.hens_by.by else None
        cocks_by = self._hens[self.cocks_by.by - 1] if self.cocks_by.by else None
        self._cocks, self._hens = list(matrix.cocks), list(matrix.hens)
        self._cock_place = {bird: place for place, bird in enumerate(self._cocks)}
        self._hen_place = {bird: place for place, bird in enumerate(self._hens)}
        self._birds = {bird: snapshot.bird(bird) for bird in (*matrix.cocks, *matrix.hens)}
        self._picture = picture
        self.hens_by = _kept(self.hens_by, hens_by, self._cock_place)
        self.cocks_by = _kept(self.cocks_by, cocks_by, self._hen_place)
        self._arrange()
        self.endResetModel()

    def show_earlier(self, earlier: Mapping[tuple[BirdId, BirdId], bool]) -> None:
        """Mark the pairs that had eggs or chicks before; False stands for those that may have had."""
        self._earlier = earlier
        if self._rows and self._columns:
            self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, self.columnCount() - 1))

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

    def set_pinned(self, birds: list[BirdId]) -> None:
        """Pin these birds to the front; those that are not here are kept for when they are."""
        self.pinned = birds
        self._reorder(self.hens_by, self.cocks_by)

    def turn_pin(self, bird: BirdId) -> None:
        """Pin a bird to the front of its side, or let it go back to its place."""
        self.set_pinned(
            [each for each in self.pinned if each != bird] if bird in self.pinned else [*self.pinned, bird]
        )
        self.pins_changed.emit()

    @property
    def has_pins(self) -> bool:
        """True when birds are pinned to the front of a side."""
        return self._pins != (0, 0)

    def pins(self, orientation: Qt.Orientation) -> int:
        """How many birds of a side stand pinned at its front."""
        return self._pins[orientation is Qt.Orientation.Vertical]

    def value(self, row: int, column: int) -> float:
        """The figure of a cell; a row or column `MEAN` gives the mean of the other side."""
        picture = self._picture
        assert picture is not None
        if row == MEAN and column == MEAN:
            return float(picture.hen_means.mean())
        if row == MEAN:
            return picture.cock_means.item(self._columns[column - 1])
        if column == MEAN:
            return picture.hen_means.item(self._rows[row - 1])
        return picture.values.item(self._columns[column - 1], self._rows[row - 1])

    def depth(self, row: int, column: int) -> float:
        """Which tint of the relatedness scale a figure has, as a kinship: darker is worse."""
        picture, value = self._picture, self.value(row, column)
        assert picture is not None
        if not picture.shown.is_better_high:
            return value
        width = picture.highest - picture.lowest
        return _DEEPEST * (picture.highest - value) / width if width > 0 else 0.0

    def bar(self, row: int, column: int) -> Bar:
        """Why the pair of a cell is not wanted."""
        if row == MEAN or column == MEAN or self._picture is None:
            return FREE
        return Bar(self._picture.matrix.bars.item(self._columns[column - 1], self._rows[row - 1]))

    def is_greyed(self, row: int, column: int) -> bool:
        """True for a pair that is not wanted."""
        return self.bar(row, column) != FREE

    def is_best(self, row: int, column: int) -> bool:
        """True for the cock that suits the hen of this row best."""
        if row == MEAN or column == MEAN or self._picture is None:
            return False
        return self._picture.best.item(self._rows[row - 1]) == self._columns[column - 1]

    def had_eggs(self, row: int, column: int) -> bool | None:
        """True for a pair that had eggs or chicks before, False for one that may have had, else None."""
        if not self._earlier or row == MEAN or column == MEAN:
            return None
        pair = self._cocks[self._columns[column - 1]], self._hens[self._rows[row - 1]]
        return self._earlier.get(pair)

    def text(self, row: int, column: int) -> str:
        """The figure of a cell as it is written."""
        value = self.value(row, column)
        found = self._texts.get(value)
        if found is None:
            decimals = self._picture.decimals if self._picture is not None else 1
            found = self._texts[value] = cell_text(value, self.shown, decimals)
        return found

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
        if cock not in self._cock_place or hen not in self._hen_place:
            return QModelIndex()
        column = self._columns.index(self._cock_place[cock]) + 1
        return self.index(self._rows.index(self._hen_place[hen]) + 1, column)

    def best_of(self, bird: BirdId) -> QModelIndex:
        """The cell of the mate with the best figure for a bird; invalid when it is not here."""
        picture = self._picture
        if picture is None:
            return QModelIndex()
        if bird in self._hen_place and self._cocks:
            return self.index_of(self._cocks[picture.best.item(self._hen_place[bird])], bird)
        if bird in self._cock_place and self._hens:
            figures = picture.values[self._cock_place[bird]]
            best = figures.argmax() if picture.shown.is_better_high else figures.argmin()
            return self.index_of(bird, self._hens[int(best)])
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
        picture = self._picture
        if picture is None:
            return
        self._texts = {}
        self._pins = (
            sum(bird in self._cock_place for bird in self.pinned),
            sum(bird in self._hen_place for bird in self.pinned),
        )
        self._columns = self._ordered(self._cocks, self.cocks_by, picture.cock_means, picture.values.T)
        self._rows = self._ordered(self._hens, self.hens_by, picture.hen_means, picture.values)

    def _ordered(
        self, birds: list[BirdId], order: Order, means: NDArray[np.float64], figures: NDArray[np.float64]
    ) -> list[int]:
        """The places of some birds as they are sorted, the pinned ones before all others."""
        places = list(range(len(birds)))
        if order.by is not None:
            figure = means if order.by == MEAN else figures[order.by - 1]
            # a stable sort keeps equals in their order whichever way it runs
            places = (-figure if order.descending else figure).argsort(kind="stable").tolist()
        pinned = set(self.pinned)
        if pinned:
            places.sort(key=lambda place: birds[place] not in pinned)
        return places

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
            return self.text(row, column)
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return self._told(row, column)
        return None

    def _told(self, row: int, column: int) -> str:
        cock, hen = self.cock(column), self.hen(row)
        share = self.text(row, column)
        if cock is None or hen is None:
            bird = cock or hen
            if bird is None:
                return _("mean of all pairs: {share}").format(share=share)
            return _("{bird}, mean: {share}").format(bird=bird_text(bird), share=share)
        text = (
            _("{cock} with {hen}: {share}, the best for her")
            if self.is_best(row, column)
            else _("{cock} with {hen}: {share}")
        )
        said = text.format(cock=bird_text(cock), hen=bird_text(hen), share=share)
        more = self.told(cock.id, hen.id, self.bar(row, column))
        return f"{said}\n{more}" if more else said

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
            if bird is None:
                return _("mean")
            return _("{bird}, pinned").format(bird=spoken(bird)) if bird.id in self.pinned else spoken(bird)
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


_DEEPEST = 0.375
"""The kinship whose tint is the deepest of the scale."""


def _kept(order: Order, bird: BirdId | None, places: dict[BirdId, int]) -> Order:
    if not order.by:
        return order
    return Order(places[bird] + 1, order.descending) if bird in places else Order()
