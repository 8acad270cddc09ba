"""Counts on their way into the book: one change for each, in order, while the keeper types on."""

from PySide6.QtCore import QObject, Signal

from studbook.book.errors import Problem, RecordProblems
from studbook.book.records import Entry, Snapshot
from studbook.desk.record import Record
from studbook.desk.rooms.eggs.collections.model import Cell
from studbook.desk.wording import day_text
from studbook.planning.eggs.gathering import count_eggs


class CountSaver(QObject):
    """Saves counts cell by cell. A cell typed again before it is saved is saved again afterwards.

    Signals
    -------
    changed
        Other counts are under way, or one was refused.
    """

    changed = Signal()

    def __init__(self, record: Record, parent: QObject) -> None:
        super().__init__(parent)
        self._record = record
        self.saving: dict[Cell, int | None] = {}
        self.refused: dict[Cell, str] = {}
        self._under_way: set[Cell] = set()
        record.unusable.connect(self._give_up)
        record.broke.connect(self._give_up)

    def save(self, cell: Cell, eggs: int | None) -> None:
        """Save a count; None takes it out."""
        self.refused.pop(cell, None)
        self.saving[cell] = eggs
        if cell not in self._under_way:
            self._send(cell)
        self.changed.emit()

    def _send(self, cell: Cell) -> None:
        snapshot, eggs = self._record.snapshot, self.saving[cell]
        assert snapshot is not None
        try:
            change = count_eggs(snapshot, cell.of, cell.on, eggs, day_text)
        except RecordProblems as refused:
            self._refuse(cell, refused.problems)
            return
        if change is None:
            self._settle(cell)
            return
        self._under_way.add(cell)

        def done(_entry: Entry, _snapshot: Snapshot) -> None:
            self._under_way.discard(cell)
            if cell in self.saving and self.saving[cell] != eggs:
                self._send(cell)
            else:
                self._settle(cell)

        self._record.apply(change, done=done, refused=lambda problems: self._refuse(cell, problems))

    def _settle(self, cell: Cell) -> None:
        self.saving.pop(cell, None)
        self.changed.emit()

    def _refuse(self, cell: Cell, problems: tuple[Problem, ...]) -> None:
        self._under_way.discard(cell)
        self.refused[cell] = " ".join(problem.message for problem in problems if problem.is_error)
        self._settle(cell)

    def _give_up(self, _why: object) -> None:
        """The book cannot be written: the numbers are again what it says."""
        self._under_way.clear()
        self.saving.clear()
        self.changed.emit()
