"""Everything that is wrong with the book or worth a look."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from studbook.book.errors import Problem, Severity
from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.room import BirdList
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import button, label, set_role
from studbook.words import _, plural


class ProblemsPage(QWidget):
    """Checked whenever the page is opened.

    Signals
    -------
    bird_asked
        The page of the only bird of a problem is wanted (str, its BirdId).
    birds_asked
        The birds of a problem are wanted (BirdList).
    """

    bird_asked = Signal(str)
    birds_asked = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._snapshot: Snapshot | None = None
        columns = (
            Column[Problem](
                "severity",
                _("What it is"),
                lambda row: _("error") if row.is_error else _("warning"),
                value=lambda row: row.severity is Severity.WARNING,
                width=10,
            ),
            Column[Problem]("birds", _("Birds"), lambda row: ", ".join(row.birds), width=20),
            Column[Problem](
                "message",
                _("What is wrong, and what to do"),
                lambda row: row.message,
                width=90,
                tip=lambda row: row.message,
            ),
        )
        self._model: RowsModel[Problem] = RowsModel(columns, identity=lambda row: (row.kind, row.message))
        self.table = Table(self._model, "problems")
        self.table.restore_state(context.settings)
        self.table.row_asked.connect(self._open)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, space(2), 0, space(1))
        column.setSpacing(space(1.5))
        row = QHBoxLayout()
        self._verdict = label(_("Checking…"), Role.FAINT)
        self._verdict.setObjectName("verdict")
        self._verdict.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        row.addWidget(self._verdict, 1)
        row.addWidget(button(_("Check again"), self.check, icon="list-checks"))
        column.addLayout(row)
        column.addWidget(self.table, 100)
        column.addStretch(1)

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Remember the birds the problems are about."""
        self._snapshot = snapshot

    def check(self) -> None:
        """Ask the record for everything that is wrong."""
        set_role(self._verdict, Role.FAINT)
        self._verdict.setText(_("Checking…"))
        self._context.record.ask(lambda book: book.check(), self._show, key="check")

    def _show(self, problems: tuple[Problem, ...]) -> None:
        self._model.set_rows(problems)
        self.table.setVisible(bool(problems))
        errors = sum(problem.is_error for problem in problems)
        warnings = len(problems) - errors
        if not problems:
            set_role(self._verdict, Role.GOOD)
            self._verdict.setText(_("The file and the record are sound: nothing to mend."))
            return
        parts = []
        if errors:
            parts.append(plural("{count} error", "{count} errors", errors).format(count=errors))
        if warnings:
            parts.append(plural("{count} warning", "{count} warnings", warnings).format(count=warnings))
        set_role(self._verdict, Role.ERROR if errors else Role.CAUTION)
        self._verdict.setText(_(", ").join(parts))

    def _open(self, problem: Problem) -> None:
        if self._snapshot is None:
            return
        called = set(problem.birds)
        birds = tuple(bird.id for bird in self._snapshot.birds if bird.called in called)
        if len(birds) == 1:
            self.bird_asked.emit(str(birds[0]))
        elif birds:
            self.birds_asked.emit(BirdList(_("Birds of a problem"), birds))
