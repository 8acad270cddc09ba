"""Choosing the cocks and the hens: the living adults to tick, and any other bird to add."""

from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_line import BirdRole, line_size, paint_bird, paint_ground
from studbook.desk.widgets.bird_picker import FindEdit
from studbook.desk.widgets.text import label, link
from studbook.desk.wording import bird_text, spoken
from studbook.words import _


class _Ticked(QAbstractListModel):
    """Birds, each ticked or not."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.birds: tuple[Bird, ...] = ()
        self.ticked: set[BirdId] = set()

    def show(self, birds: Iterable[Bird], ticked: set[BirdId]) -> None:
        """Hold other birds."""
        self.beginResetModel()
        self.birds, self.ticked = tuple(birds), ticked
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.birds)

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if not index.isValid():
            return None
        bird = self.birds[index.row()]
        is_ticked = bird.id in self.ticked
        if role == BirdRole:
            return bird
        if role == Qt.ItemDataRole.DisplayRole:
            return bird_text(bird)
        if role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if is_ticked else Qt.CheckState.Unchecked
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return spoken(bird)
        return None


class _Line(QStyledItemDelegate):
    """A tick and a bird line."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        paint_ground(self, painter, option, index)
        drawn = QStyleOptionViewItem(option)
        self.initStyleOption(drawn, index)
        box = option.widget.style().subElementRect(
            QStyle.SubElement.SE_ItemViewItemCheckIndicator, drawn, option.widget
        )
        inner = QRectF(option.rect)
        inner.setLeft(box.right() + space())
        paint_bird(painter, inner, index.data(BirdRole))

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        size = line_size(index.data(BirdRole))
        return QSize(size.width() + length(24) + space(2), size.height() + space(0.75))


class _List(QListView):
    """A list whose lines are ticked with a click, Space or Enter."""

    toggled = Signal(object)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.currentIndex().isValid():
                self.toggled.emit(self.currentIndex())
        else:
            super().keyPressEvent(event)


class Chooser(QWidget):
    """The birds of one side: those proposed and those added, ticked or not.

    Signals
    -------
    changed
        Other birds are ticked.
    """

    changed = Signal()

    def __init__(self, name: str, heading: str, adding: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._left_out: set[BirdId] = set()
        self._added: list[BirdId] = []
        self._proposed: tuple[BirdId, ...] = ()
        self._snapshot: Snapshot | None = None
        self._species, self._sex = "", Sex.UNKNOWN
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        row = QHBoxLayout()
        row.setSpacing(space(0.5))
        row.addWidget(label(heading, Role.CAPTION), 1)
        ways = (
            ("all", _("all"), self.take_all, _("Take all: {heading}")),
            ("none", _("none"), self.take_none, _("Take none: {heading}")),
            ("proposed", _("as proposed"), self.take_proposed, _("Take the living adults: {heading}")),
        )
        for key, words, run, spoken_text in ways:
            way = link(words, run)
            way.setObjectName(f"{name}_{key}")
            way.setAccessibleName(spoken_text.format(heading=heading))
            way.setToolTip(spoken_text.format(heading=heading))
            row.addWidget(way)
        column.addLayout(row)
        self.list = _List()
        self.list.setObjectName(name)
        self.list.setAccessibleName(heading)
        self.list.setMinimumHeight(length(72))
        self.list.setMouseTracking(True)
        self._ticked = _Ticked(self.list)
        self.list.setModel(self._ticked)
        self.list.setItemDelegate(_Line(self.list))
        self.list.clicked.connect(self._toggle)
        self.list.toggled.connect(self._toggle)
        column.addWidget(self.list, 1)
        self.finder = FindEdit()
        self.finder.setObjectName(f"{name}_add")
        self.finder.setPlaceholderText(adding)
        self.finder.setAccessibleName(adding)
        self.finder.picked.connect(lambda bird: self.add(bird.id))
        column.addWidget(self.finder)

    @property
    def chosen(self) -> tuple[BirdId, ...]:
        """The birds that are ticked, in the order they are shown."""
        return tuple(bird.id for bird in self._ticked.birds if bird.id in self._ticked.ticked)

    @property
    def count(self) -> int:
        """How many birds can be ticked."""
        return len(self._ticked.birds)

    def set_birds(self, snapshot: Snapshot, species: str, sex: Sex, proposed: tuple[BirdId, ...]) -> None:
        """The birds of this side are those of a kind and sex; those proposed are ticked, others can be added.

        What the keeper chose is kept.
        """
        self._snapshot, self._species, self._sex = snapshot, species, sex
        self._proposed = proposed
        self._added = [bird for bird in self._added if snapshot.has(bird) and self._fits(snapshot.bird(bird))]
        self._show()

    def _fits(self, bird: Bird) -> bool:
        return bird.species == self._species and bird.sex is self._sex and not bird.placeholder

    def add(self, bird: BirdId) -> None:
        """Take a bird that was not proposed, such as one lent, sold or still young."""
        self.finder.clear()
        self._left_out.discard(bird)
        if bird not in self._proposed and bird not in self._added:
            self._added.append(bird)
        self._show()
        self.changed.emit()

    def take_all(self) -> None:
        """Tick every bird shown."""
        self._left_out.clear()
        self._show()
        self.changed.emit()

    def take_none(self) -> None:
        """Tick no bird."""
        self._left_out = {bird.id for bird in self._ticked.birds}
        self._show()
        self.changed.emit()

    def take_proposed(self) -> None:
        """Go back to the living adults."""
        self._left_out.clear()
        self._added.clear()
        self._show()
        self.changed.emit()

    def _toggle(self, index: QModelIndex) -> None:
        self._left_out ^= {self._ticked.birds[index.row()].id}
        self._show()
        self.list.setCurrentIndex(self._ticked.index(index.row()))
        self.changed.emit()

    def _show(self) -> None:
        snapshot = self._snapshot
        if snapshot is None:
            return
        proposed = set(self._proposed)
        shown = [*self._proposed, *(bird for bird in self._added if bird not in proposed)]
        here = set(shown)
        self._ticked.show((snapshot.bird(bird) for bird in shown), here - self._left_out)
        # a large book is gone through when somebody types, not before
        self.finder.set_birds(bird for bird in snapshot.birds if bird.id not in here and self._fits(bird))
