"""The journal: every change since the book was begun, and the way back."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.records import Entry, Snapshot
from studbook.desk.context import Context
from studbook.desk.room import BirdList
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import button, label
from studbook.desk.wording import entry_label, moment_text, number_text
from studbook.words import _

_ENTRIES = 1000


class JournalPage(QWidget):
    """What was done, newest first; Enter goes to the birds an entry touched.

    Signals
    -------
    bird_asked
        The page of the only bird of an entry is wanted (str, its BirdId).
    birds_asked
        The birds of an entry are wanted (BirdList).
    """

    bird_asked = Signal(str)
    birds_asked = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        columns = (
            Column[Entry](
                "number",
                _("No."),
                lambda row: number_text(row.number),
                value=lambda row: row.number,
                width=5,
                right=True,
            ),
            Column[Entry](
                "at", _("When"), lambda row: moment_text(row.at), value=lambda row: row.at, width=20
            ),
            Column[Entry]("label", _("What"), entry_label, width=50),
            Column[Entry](
                "birds",
                _("Birds"),
                lambda row: number_text(len(row.birds)) if row.birds else "",
                value=lambda row: len(row.birds),
                width=6,
                right=True,
            ),
            Column[Entry]("why", _("Why"), lambda row: row.why, width=30),
        )
        self._model: RowsModel[Entry] = RowsModel(columns, identity=lambda row: row.number)
        self.table = Table(self._model, "journal")
        self.table.restore_state(context.settings)
        self.table.row_asked.connect(self._open)
        self._undo = button(_("Undo"), context.record.undo, icon="arrow-u-up-left")
        self._redo = button(_("Redo"), context.record.redo, icon="arrow-u-up-right")
        self._undo.setObjectName("journal_undo")
        self._redo.setObjectName("journal_redo")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, space(2), 0, space(1))
        column.setSpacing(space(1.5))
        column.addWidget(
            label(
                _("Nothing is ever lost: what is taken back stays in the journal and can be done again."),
                Role.FAINT,
                wraps=True,
            )
        )
        column.addWidget(self.table, 1)
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        row.addWidget(self._undo)
        row.addWidget(self._redo)
        row.addStretch(1)
        column.addLayout(row)

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Say what would be taken back or done again."""
        for made, plain, named, name in (
            (self._undo, _("Undo"), _("Undo: {change}"), snapshot.undo_label),
            (self._redo, _("Redo"), _("Redo: {change}"), snapshot.redo_label),
        ):
            made.setEnabled(bool(name))
            made.setText(named.format(change=name) if name else plain)

    def read(self) -> None:
        """Read the last entries."""
        self._context.record.ask(lambda book: book.journal(_ENTRIES), self._model.set_rows, key="journal")

    def _open(self, entry: Entry) -> None:
        if len(entry.birds) == 1:
            self.bird_asked.emit(str(entry.birds[0]))
        elif entry.birds:
            self.birds_asked.emit(BirdList(entry_label(entry), entry.birds))
