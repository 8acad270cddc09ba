"""The same tree as lines to unfold: for the keyboard and for readers that speak."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from studbook.book.records import Bird, BirdId, Snapshot
from studbook.desk.widgets.bird_line import BirdRole
from studbook.desk.wording import bird_text, date_text, spoken
from studbook.words import _


class Kin(Enum):
    """What a line is to the line it hangs from."""

    SUBJECT = "subject"
    PARENT = "parent"
    CHICK = "chick"


@dataclass
class Line:
    """One bird in the lines; a bird met before is `again` and not unfolded a second time."""

    bird: Bird
    kin: Kin
    above: Line | None
    place: int
    again: bool = False
    below: list[Line] = field(default_factory=list)

    @property
    def spoken_text(self) -> str:
        """The line in words."""
        facts = [spoken(self.bird)]
        if hatched := date_text(self.bird.hatched):
            facts.append(_("hatched {date}").format(date=hatched))
        if self.again:
            facts.append(_("met before"))
        said = ", ".join(facts)
        match self.kin:
            case Kin.PARENT:
                return _("parent: {bird}").format(bird=said)
            case Kin.CHICK:
                return _("chick: {bird}").format(bird=said)
        return said


def family_lines(snapshot: Snapshot, bird: BirdId, up: int, down: int) -> Line:
    """The bird with `up` generations of parents and `down` of chicks hanging from it."""
    subject = Line(snapshot.bird(bird), Kin.SUBJECT, None, 0)
    met = {bird}
    for kin, depth in ((Kin.PARENT, up), (Kin.CHICK, down)):
        level = [subject]
        for _generation in range(depth):
            level = [below for line in level for below in _hang(snapshot, line, kin, met)]
    return subject


def _hang(snapshot: Snapshot, line: Line, kin: Kin, met: set[BirdId]) -> Iterator[Line]:
    if line.again:
        return
    found = (
        (*line.bird.sires, *line.bird.dams) if kin is Kin.PARENT else snapshot.offspring.get(line.bird.id, ())
    )
    for bird in found:
        if not snapshot.has(bird):
            continue
        below = Line(snapshot.bird(bird), kin, line, len(line.below), again=bird in met)
        met.add(bird)
        line.below.append(below)
        yield below


class LinesModel(QAbstractItemModel):
    """The lines of one family as a tree model of two columns: the bird, and when it hatched."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._subject: Line | None = None

    def show(self, subject: Line | None) -> None:
        """Hold another family."""
        self.beginResetModel()
        self._subject = subject
        self.endResetModel()

    def line(self, index: QModelIndex | QPersistentModelIndex) -> Line | None:
        """The line of an index."""
        found = index.internalPointer() if index.isValid() else None
        return found if isinstance(found, Line) else None

    def index(
        self,
        row: int,
        column: int,
        parent: QModelIndex | QPersistentModelIndex = QModelIndex(),  # noqa: B008
    ) -> QModelIndex:
        if not self.hasIndex(row, column, parent):
            return QModelIndex()
        above = self.line(parent)
        return self.createIndex(row, column, above.below[row] if above else self._subject)

    def parent(self, index: QModelIndex | QPersistentModelIndex = QModelIndex()) -> Any:  # noqa: B008
        line = self.line(index)
        if line is None or line.above is None:
            return QModelIndex()
        return self.createIndex(line.above.place, 0, line.above)

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        if parent.column() > 0:
            return 0
        line = self.line(parent)
        if line is not None:
            return len(line.below)
        return 0 if parent.isValid() or self._subject is None else 1

    def columnCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 2

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        line = self.line(index)
        if line is None:
            return None
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return line.spoken_text
        if index.column() == 0:
            if role == BirdRole:
                return line.bird
            return bird_text(line.bird) if role == Qt.ItemDataRole.DisplayRole else None
        if role == Qt.ItemDataRole.DisplayRole:
            return self._remark(line)
        return None

    def _remark(self, line: Line) -> str:
        kin = {Kin.PARENT: _("parent"), Kin.CHICK: _("chick"), Kin.SUBJECT: ""}[line.kin]
        parts = (kin, date_text(line.bird.hatched), _("met before") if line.again else "")
        return ", ".join(part for part in parts if part)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return (_("Bird"), _("What it is here"))[section]
        return None
