"""The tally of a week as an item model: a line for each source, seven days, the total and the laying rate."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QLocale, QModelIndex, QObject, QPersistentModelIndex, Qt

from studbook.book.records import Snapshot
from studbook.desk.theme import Type, font
from studbook.desk.widgets.bird_line import BirdRole
from studbook.desk.wording import MISSING, bird_text, day_text, number_text
from studbook.planning.eggs.telling import doubt_sentence, rate_sentence, rate_text
from studbook.planning.eggs.week import WEEK_DAYS, Source, TallyDay, TallyRow
from studbook.words import _

Index = QModelIndex | QPersistentModelIndex

NAME, FIRST_DAY, TOTAL, RATE = 0, 1, 1 + WEEK_DAYS, 2 + WEEK_DAYS
LAST_DAY = TOTAL - 1

CellRole = Qt.ItemDataRole.UserRole + 10
"""The `Cell` of an index; None beside the days."""

StateRole = Qt.ItemDataRole.UserRole + 11
"""The `State` of an index."""

HouseRole = Qt.ItemDataRole.UserRole + 12
"""The house of a pen's line."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One place of the tally: a source and a day."""

    of: Source
    on: date


@dataclass(frozen=True, slots=True)
class State:
    """How a cell is drawn: being typed, refused, doubtful, carrying a remark, on a day that is today or to come."""

    typed: bool = False
    refused: bool = False
    doubtful: bool = False
    remarked: bool = False
    today: bool = False
    to_come: bool = False


class WeekModel(QAbstractTableModel):
    """An adapter over the lines of `tally_rows`, with what is typed or being saved laid over them."""

    def __init__(self, today: date, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._today = today
        self._rows: tuple[TallyRow, ...] = ()
        self._days: tuple[date, ...] = ()
        self._snapshot: Snapshot | None = None
        self._typed: tuple[Cell, str] | None = None
        self._saving: dict[Cell, int | None] = {}
        self._refused: dict[Cell, str] = {}

    @property
    def rows(self) -> tuple[TallyRow, ...]:
        """The lines, without the sum below them."""
        return self._rows

    @property
    def days(self) -> tuple[date, ...]:
        """The days of the week."""
        return self._days

    def show_rows(self, rows: tuple[TallyRow, ...], snapshot: Snapshot, today: date) -> None:
        """Hold other lines, or the same with other numbers."""
        self._snapshot, self._today = snapshot, today
        same = [row.source for row in rows] == [row.source for row in self._rows]
        days = tuple(day.on for day in rows[0].days) if rows else ()
        if same and days == self._days:
            self._rows = rows
            self._changed()
            return
        self.beginResetModel()
        self._rows, self._days = rows, days
        self.endResetModel()

    def show_typed(self, cell: Cell | None, text: str = "") -> None:
        """Show what is being typed into a cell, or nothing typed any more."""
        self._typed = (cell, text) if cell is not None else None
        self._changed()

    def show_saving(self, saving: dict[Cell, int | None], refused: dict[Cell, str]) -> None:
        """Lay what is being saved over the numbers, and mark what was refused."""
        self._saving, self._refused = saving, refused
        self._changed()

    def row(self, index: Index) -> TallyRow | None:
        """The line of an index; None for the sum."""
        return self._rows[index.row()] if 0 <= index.row() < len(self._rows) else None

    def day(self, index: Index) -> TallyDay | None:
        """The source's day of an index; None beside the days and in the sum."""
        row = self.row(index)
        if row is None or not FIRST_DAY <= index.column() <= LAST_DAY:
            return None
        return row.days[index.column() - FIRST_DAY]

    def cell(self, index: Index) -> Cell | None:
        """The cell of an index."""
        row, day = self.row(index), self.day(index)
        return Cell(row.source, day.on) if row is not None and day is not None else None

    def eggs(self, index: Index) -> int | None:
        """The eggs of a cell, as last entered."""
        cell, day = self.cell(index), self.day(index)
        if cell is None or day is None:
            return None
        return self._saving.get(cell, day.eggs)

    def place_of(self, cell: Cell) -> QModelIndex:
        """Where a cell is shown; an invalid index when it is not."""
        if cell.on not in self._days:
            return QModelIndex()
        column = FIRST_DAY + self._days.index(cell.on)
        for number, row in enumerate(self._rows):
            if row.source == cell.of:
                return self.index(number, column)
        return QModelIndex()

    def source_text(self, row: TallyRow) -> str:
        """What a line is called."""
        if row.source.hen is None or self._snapshot is None:
            return row.name
        return bird_text(self._snapshot.bird(row.source.hen))

    def as_lists(self) -> list[list[str]]:
        """The tally as it stands, with its titles."""
        titles = [
            str(self.headerData(column, Qt.Orientation.Horizontal)).replace("\n", " ")
            for column in range(self.columnCount())
        ]
        return [
            titles,
            *(
                [str(self.index(row, column).data() or "") for column in range(self.columnCount())]
                for row in range(self.rowCount())
            ),
        ]

    def _changed(self) -> None:
        if self._rows:
            self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, RATE))

    def _text(self, index: Index) -> str:
        row, column = self.row(index), index.column()
        if row is None:
            return self._sum_text(column)
        if column == NAME:
            return self.source_text(row)
        if column == RATE:
            return rate_text(row.rate)
        if column == TOTAL:
            eggs = [self.eggs(self.index(index.row(), day)) for day in range(FIRST_DAY, TOTAL)]
            return _sum(eggs)
        cell = self.cell(index)
        if self._typed is not None and self._typed[0] == cell:
            return self._typed[1]
        count = self.eggs(index)
        return "" if count is None else number_text(count)

    def _sum_text(self, column: int) -> str:
        if column == NAME:
            return _("All together")
        if column == RATE:
            return ""
        columns = range(FIRST_DAY, TOTAL) if column == TOTAL else (column,)
        return _sum([self.eggs(self.index(row, day)) for row in range(len(self._rows)) for day in columns])

    def _tip(self, index: Index) -> str | None:
        row, day, cell = self.row(index), self.day(index), self.cell(index)
        if row is None:
            return None
        if index.column() == RATE:
            return rate_sentence(row)
        if day is None or cell is None:
            return row.house or None
        said = [
            self._refused.get(cell, ""),
            doubt_sentence(day, self.source_text(row)),
            *(held.note for held in day.collections),
        ]
        return "\n".join(text for text in said if text) or None

    def _state(self, index: Index) -> State:
        cell, day = self.cell(index), self.day(index)
        if cell is None or day is None:
            column = index.column() - FIRST_DAY
            in_days = 0 <= column < len(self._days)
            return State(today=in_days and self._days[column] == self._today)
        return State(
            typed=self._typed is not None and self._typed[0] == cell,
            refused=cell in self._refused,
            doubtful=day.is_doubtful and cell not in self._saving,
            remarked=any(row.weights or row.colour or row.note for row in day.collections),
            today=day.on == self._today,
            to_come=day.on > self._today,
        )

    def _spoken(self, index: Index) -> str:
        row, day = self.row(index), self.day(index)
        text = self._text(index) or MISSING
        if row is None or day is None:
            return text
        return _("{where}, {day}: {eggs}").format(
            where=self.source_text(row), day=day_text(day.on), eggs=text
        )

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        if parent.isValid() or not self._rows:
            return 0
        return len(self._rows) + 1

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else RATE + 1

    def flags(self, index: Index) -> Qt.ItemFlag:
        if self.cell(index) is None:
            return Qt.ItemFlag.ItemIsEnabled
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return self._text(index)
            case Qt.ItemDataRole.ToolTipRole:
                return self._tip(index)
            case Qt.ItemDataRole.AccessibleTextRole:
                return self._spoken(index)
            case Qt.ItemDataRole.TextAlignmentRole:
                side = Qt.AlignmentFlag.AlignLeft if index.column() == NAME else Qt.AlignmentFlag.AlignRight
                return side | Qt.AlignmentFlag.AlignVCenter
            case Qt.ItemDataRole.FontRole:
                return font(Type.BODY, bold=self.row(index) is None or index.column() == TOTAL)
        row = self.row(index)
        if role == CellRole:
            return self.cell(index)
        if role == StateRole:
            return self._state(index)
        if index.column() == NAME and row is not None:
            if role == BirdRole and row.source.hen is not None and self._snapshot is not None:
                return self._snapshot.bird(row.source.hen)
            if role == HouseRole:
                return row.house
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignLeft if section == NAME else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.ToolTipRole and section == RATE:
            return _(
                "Eggs for each hen of laying age and day. A day without an entry counts as one without eggs; today "
                "counts once an egg of it is entered."
            )
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        if FIRST_DAY <= section <= LAST_DAY and self._days:
            day = self._days[section - FIRST_DAY]
            name = QLocale().dayName(day.isoweekday(), QLocale.FormatType.ShortFormat)
            return f"{name}\n{day.day}"
        return {NAME: _("Pen or hen"), TOTAL: _("Week"), RATE: _("Laying")}.get(section, "")


def _sum(counts: list[int | None]) -> str:
    """The sum of what is known; nothing if nothing is."""
    known = [count for count in counts if count is not None]
    return number_text(sum(known)) if known else ""
