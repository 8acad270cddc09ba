"""The list of sittings: those under way by the day they are due, then the past ones."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRectF,
    QSignalBlocker,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QListView, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from studbook.book.ids import SittingId
from studbook.desk.rooms.eggs.sittings.bar import paint_bar
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.desk.theme import Type, font, length, look, space
from studbook.desk.widgets.bird_line import paint_ground
from studbook.planning.sittings.standing import Stage, Standing
from studbook.words import _

LineRole = Qt.ItemDataRole.UserRole + 1
"""The `Line` of an index."""

_PRESSING = (Stage.CANDLE, Stage.LOCKDOWN, Stage.HATCHING, Stage.OVERDUE, Stage.COUNTED)


@dataclass(frozen=True)
class Line:
    """A heading, or one sitting with what is said of it."""

    title: str
    text: str = ""
    sitting: SittingId | None = None
    standing: Standing | None = None


def lines_of(view: View) -> list[Line]:
    """The lines of the list."""
    found: list[Line] = []
    for heading, sittings in ((_("Under way"), view.open), (_("Past"), view.past)):
        if sittings:
            found.append(Line(heading))
        found += [
            Line(view.called(sitting), view.sentence(sitting), sitting.id, view.standing(sitting))
            for sitting in sittings
        ]
    return found


class LinesModel(QAbstractListModel):
    """The lines as a list model."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lines: list[Line] = []

    def show_lines(self, lines: Sequence[Line]) -> None:
        """Hold other lines."""
        self.beginResetModel()
        self.lines = list(lines)
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.lines)

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if not index.isValid():
            return None
        line = self.lines[index.row()]
        if role == LineRole:
            return line
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return (
                line.title
                if line.sitting is None
                else _("{sitting}. {text}").format(sitting=line.title, text=line.text)
            )
        return None

    def flags(self, index: QModelIndex | QPersistentModelIndex) -> Qt.ItemFlag:
        if not index.isValid() or self.lines[index.row()].sitting is None:
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


class _LineDelegate(QStyledItemDelegate):
    """A heading, or name, bar and sentence of a sitting on a hairline."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        line = index.data(LineRole)
        rect = QRectF(option.rect)
        painter.save()
        if line.standing is None:
            painter.setFont(font(Type.SMALL, bold=True))
            painter.setPen(look().faint)
            painter.drawText(
                rect.adjusted(space(), 0, -space(), -space(0.5)),
                int(Qt.AlignmentFlag.AlignBottom),
                line.title,
            )
        else:
            paint_ground(self, painter, option, index)
            inner = rect.adjusted(space(), space(0.75), -space(1.5), -space(0.75))
            face = font(Type.LARGE, serif=True)
            painter.setFont(face)
            painter.setPen(look().ink)
            high = _text_height(face, line.title, inner.width())
            title = QRectF(inner.left(), inner.top(), inner.width(), high)
            painter.drawText(title, int(Qt.TextFlag.TextWordWrap), line.title)
            bar = QRectF(inner.left(), inner.top() + high + space(0.75), inner.width(), length(6))
            paint_bar(painter, bar, line.standing)
            painter.setFont(font())
            painter.setPen(look().ink if line.standing.stage in _PRESSING else look().faint)
            below = QRectF(inner.left(), bar.bottom() + space(1), inner.width(), inner.bottom())
            painter.drawText(below, int(Qt.TextFlag.TextWordWrap), line.text)
        painter.setPen(look().hair)
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        line = index.data(LineRole)
        view = self.parent()
        width = view.viewport().width() if isinstance(view, QListView) else option.rect.width()
        if line.sitting is None:
            return QSize(width, length(34))
        title = _text_height(font(Type.LARGE, serif=True), line.title, width - space(2.5))
        text = _text_height(font(), line.text, width - space(2.5))
        return QSize(width, round(title + text + length(6) + space(3.5)))


def _text_height(face: QFont, text: str, width: float) -> float:
    """The height of a text wrapped to a width."""
    room = QRectF(0, 0, width, 10_000)
    return QFontMetricsF(face).boundingRect(room, int(Qt.TextFlag.TextWordWrap), text).height()


class SittingLines(QListView):
    """The list; Enter or a click opens a sitting, and with `follows` the arrow keys do.

    Signals
    -------
    opened
        A sitting is to be opened (str, its SittingId).
    """

    opened = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("sitting_lines")
        self.setAccessibleName(_("Sittings"))
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setMouseTracking(True)
        self.lines = LinesModel(self)
        self.setModel(self.lines)
        self.setItemDelegate(_LineDelegate(self))
        self.follows = True
        self.selectionModel().currentChanged.connect(lambda now, _before: self._tell(now, asked=False))
        self.activated.connect(lambda index: self._tell(index, asked=True))
        self.clicked.connect(lambda index: self._tell(index, asked=True))

    def show_view(self, view: View, opened: SittingId | None) -> None:
        """Show the sittings of a view; the one that is open stays chosen."""
        self.lines.show_lines(lines_of(view))
        if opened is not None:
            self.choose(opened)

    def choose(self, sitting: SittingId) -> None:
        """Go to a sitting without asking for it to be opened."""
        quiet = QSignalBlocker(self)
        for row, line in enumerate(self.lines.lines):
            if line.sitting == sitting:
                self.setCurrentIndex(self.lines.index(row, 0))
                break
        quiet.unblock()

    def _tell(self, now: QModelIndex, *, asked: bool) -> None:
        line = now.data(LineRole) if now.isValid() and (asked or self.follows) else None
        if line is not None and line.sitting is not None:
            self.opened.emit(str(line.sitting))
