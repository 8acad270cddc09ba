"""What importing a list would do: questions, problems by line, and the birds it adds."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QScrollArea,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from studbook.book.errors import Problem
from studbook.book.importing.columns import Column as ListColumn
from studbook.book.importing.plan import ImportPlan, Question, WhichBird, WhichOrder
from studbook.book.importing.table import LineProblem
from studbook.book.importing.written_dates import DateOrder
from studbook.book.records import Bird, BirdId, Snapshot
from studbook.book.wording import sex_word, status_word
from studbook.desk.tables import Column, Paint, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import button, label, set_role
from studbook.desk.wording import MISSING, bird_text, date_text
from studbook.words import _, plural


@dataclass
class Replies:
    """What the keeper has answered so far."""

    date_order: DateOrder | None = None
    answers: dict[tuple[ListColumn, str], int] = field(default_factory=dict)


class ImportPreview(QWidget):
    """Nothing is saved before the keeper presses the button that says how many birds it will be.

    Signals
    -------
    replied
        A question was answered: the list is to be read again.
    accepted
        The import is wanted (ImportPlan).
    left
        The list is put aside.
    other_asked
        Another list is wanted.
    """

    replied = Signal()
    accepted = Signal(object)
    left = Signal()
    other_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.replies = Replies()
        self._plan: ImportPlan | None = None
        self._snapshot: Snapshot | None = None
        self._coming: dict[BirdId, Bird] = {}
        self._title = label("", Role.HEADING)
        self._summary = label("", Role.FAINT, wraps=True)
        self._summary.setObjectName("import_summary")
        self._refused = label("", Role.ERROR, wraps=True)
        self._refused.hide()
        self._questions = QWidget()
        self._question_rows = QGridLayout(self._questions)
        self._question_rows.setContentsMargins(0, 0, 0, 0)
        self._question_rows.setHorizontalSpacing(space(2))
        self._question_rows.setColumnStretch(0, 1)
        self._problems: RowsModel[LineProblem] = RowsModel(_problem_columns(), identity=lambda row: row)
        self._problem_table = Table(self._problems, "import_problems")
        self._birds: RowsModel[Bird] = RowsModel(self._bird_columns(), identity=lambda bird: bird.id)
        self._bird_table = Table(self._birds, "import_birds")
        self._tabs = QTabWidget()
        self._tabs.setDocumentMode(True)
        self._tabs.addTab(self._problem_table, _("Problems"))
        self._tabs.addTab(self._bird_table, _("Birds"))
        self._accept = button(_("Import"), self._do, primary=True)
        self._accept.setObjectName("import_now")
        self._build()

    def begin(self, name: str) -> None:
        """Begin with another list."""
        self.replies = Replies()
        self._title.setText(name)
        self._summary.setText(_("Reading…"))
        self._refused.hide()
        self._questions.hide()
        self._accept.setEnabled(False)
        self._problems.set_rows(())
        self._birds.set_rows(())

    def show_plan(self, plan: ImportPlan, snapshot: Snapshot) -> None:
        """Show what the list would do to the book."""
        self._plan, self._snapshot = plan, snapshot
        self._coming = {bird.id: bird for bird in (*plan.added, *(after for _before, after in plan.updated))}
        self._summary.setText(_summary(plan))
        self._show_questions(plan.questions)
        self._problems.set_rows(plan.problems)
        self._birds.set_rows(self._coming.values())
        errors = len(plan.errors)
        self._tabs.setTabText(0, _("Problems ({count})").format(count=len(plan.problems)))
        self._tabs.setTabText(1, _("Birds ({count})").format(count=len(self._coming)))
        self._tabs.setCurrentIndex(0 if plan.problems else 1)
        count = len(self._coming)
        words = plural("Import {count} bird", "Import {count} birds", count).format(count=count)
        self._accept.setText(words)
        self._accept.setEnabled(plan.is_accepted and bool(count))
        refusal = plural(
            "{count} error is in the way: a list is imported whole or not at all. Mend the list and choose it again.",
            "{count} errors are in the way: a list is imported whole or not at all. Mend the list and choose it again.",
            errors,
        )
        self._refused.setText(refusal.format(count=errors))
        set_role(self._refused, Role.ERROR)
        self._refused.setVisible(bool(errors))

    def show_refused(self, problems: Sequence[Problem]) -> None:
        """Say why the book did not take the list."""
        self._refused.setText("\n".join(problem.message for problem in problems))
        self._refused.show()

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, space(2), 0, space(1))
        column.setSpacing(space(1))
        column.addWidget(self._title)
        column.addWidget(self._summary)
        area = QScrollArea()
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidgetResizable(True)
        area.setWidget(self._questions)
        area.setMaximumHeight(length(160))
        self._question_area = area
        column.addWidget(area)
        column.addWidget(self._tabs, 1)
        column.addWidget(self._refused)
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        row.addWidget(self._accept)
        row.addWidget(button(_("Choose another list…"), self.other_asked.emit))
        row.addWidget(button(_("Put it aside"), self.left.emit))
        row.addStretch(1)
        column.addLayout(row)

    def _do(self) -> None:
        if self._plan is not None:
            self._accept.setEnabled(False)
            self.accepted.emit(self._plan)

    def _show_questions(self, questions: Sequence[Question]) -> None:
        while (item := self._question_rows.takeAt(0)) is not None:
            if (old := item.widget()) is not None:
                old.deleteLater()
        for row, question in enumerate(questions):
            words, choices = _asked(question)
            answer = QComboBox()
            answer.setObjectName(f"question_{row}")
            answer.setAccessibleName(words)
            answer.addItem(_("choose…"), None)
            for text, value in choices:
                answer.addItem(text, value)
            answer.activated.connect(
                lambda _index, question=question, answer=answer: self._reply(question, answer.currentData())
            )
            self._question_rows.addWidget(label(words, wraps=True), row, 0)
            self._question_rows.addWidget(answer, row, 1)
        self._questions.setVisible(bool(questions))
        self._question_area.setVisible(bool(questions))

    def _reply(self, question: Question, answer: object) -> None:
        if answer is None:
            return
        if isinstance(question, WhichOrder) and isinstance(answer, str):
            self.replies.date_order = DateOrder(answer)
        elif isinstance(question, WhichBird) and isinstance(answer, int):
            self.replies.answers[question.side, question.key] = answer
        self.replied.emit()

    def _bird_columns(self) -> tuple[Column[Bird], ...]:
        return (
            Column(
                "line",
                _("Line"),
                lambda bird: str(self._line(bird) or ""),
                value=self._line,
                width=5,
                right=True,
            ),
            Column("bird", _("Bird"), bird_text, width=28, paint=Paint.BIRD, bird=lambda bird: bird),
            Column("sex", _("Sex"), lambda bird: sex_word(bird.sex), width=10),
            Column(
                "hatched",
                _("Hatched"),
                lambda bird: date_text(bird.hatched),
                value=lambda bird: bird.hatched.earliest if bird.hatched.is_known else None,
                width=12,
            ),
            Column("sire", _("Sire"), lambda bird: self._parents(bird.sires), width=20),
            Column("dam", _("Dam"), lambda bird: self._parents(bird.dams), width=20),
            Column("breed", _("Breed"), lambda bird: bird.breed, width=16),
            Column("status", _("Status"), lambda bird: status_word(bird.status), width=10),
            Column("note", _("Note"), lambda bird: " ".join(bird.note.split()), width=30),
        )

    def _line(self, bird: Bird) -> int | None:
        return self._plan.lines.get(bird.id) if self._plan is not None else None

    def _parents(self, parents: Sequence[BirdId]) -> str:
        names = []
        for parent in parents:
            if parent in self._coming:
                names.append(bird_text(self._coming[parent]))
            elif self._snapshot is not None and self._snapshot.has(parent):
                names.append(bird_text(self._snapshot.bird(parent)))
        return " | ".join(names) or MISSING


def _problem_columns() -> tuple[Column[LineProblem], ...]:
    return (
        Column("line", _("Line"), lambda row: str(row.line), value=lambda row: row.line, width=5, right=True),
        Column("column", _("Column"), lambda row: row.column, width=10),
        Column(
            "severity",
            _("What it is"),
            lambda row: _("error") if row.is_error else _("warning"),
            value=lambda row: not row.is_error,
            width=9,
        ),
        Column(
            "message",
            _("What is wrong, and what to do"),
            lambda row: row.message,
            width=80,
            tip=lambda row: row.message,
        ),
    )


def _asked(question: Question) -> tuple[str, list[tuple[str, object]]]:
    """A question in words, and its answers."""
    if isinstance(question, WhichOrder):
        words = _("In which order are the dates written? Line {line} has {example}.")
        orders = {
            DateOrder.DMY: _("day, month, year"),
            DateOrder.MDY: _("month, day, year"),
            DateOrder.YMD: _("year, month, day"),
        }
        text = words.format(line=question.line, example=question.example)
        return text, [(said, str(order)) for order, said in orders.items()]
    lines = ", ".join(str(line) for line in question.lines[:6]) + ("…" if len(question.lines) > 6 else "")
    words = _("Which bird is meant by {written} as {column} in line {lines}?")
    text = words.format(written=question.written, column=question.side, lines=lines)
    choices: list[tuple[str, object]] = []
    for place, candidate in enumerate(question.candidates):
        where = (
            _("{bird}, line {line} of the list").format(bird=candidate.called, line=candidate.line)
            if candidate.line is not None
            else _("{bird}, in the book").format(bird=candidate.called)
        )
        choices.append((where, place))
    return text, choices


def _summary(plan: ImportPlan) -> str:
    parts = []
    if added := len(plan.added):
        parts.append(plural("Adds {count} bird.", "Adds {count} birds.", added).format(count=added))
    if updated := len(plan.updated):
        parts.append(plural("Updates {count} bird.", "Updates {count} birds.", updated).format(count=updated))
    if plan.unchanged:
        same = plural("{count} line says", "{count} lines say", plan.unchanged).format(count=plan.unchanged)
        parts.append(_("{lines} what the book says already.").format(lines=same))
    if plan.origins_added:
        names = ", ".join(origin.name for origin in plan.origins_added)
        parts.append(_("New origins: {names}.").format(names=names))
    if plan.other_columns:
        names = ", ".join(plan.other_columns)
        parts.append(_("Kept in the notes: {columns}.").format(columns=names))
    return " ".join(parts) or _("The list adds nothing to the book.")
