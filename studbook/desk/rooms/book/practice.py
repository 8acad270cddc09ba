"""The figures of practice: where each comes from, and the keeper's own in their place."""

from dataclasses import replace

from PySide6.QtCore import QLocale, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QComboBox, QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from studbook.book.changes import Change, Correct, Enter, Withdraw
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Figure
from studbook.book.ids import FigureId
from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import Foreseen, foresee
from studbook.desk.forms import Form
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import button, label
from studbook.planning.practice import FigureLine, figure_lines
from studbook.season.species import all_species
from studbook.words import _

_NARROW, _LEAST = 760, 220
_ANY_WIDTH = 16_777_215


class PracticePage(QWidget):
    """A species, its figures in a table, and the chosen one beside it to be changed.

    A change that gives chicks other parents lists them first and is saved when asked for again.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    """

    bird_asked = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._snapshot: Snapshot | None = None
        self._line: FigureLine | None = None
        self._agreed: Change | None = None
        self._asking = False
        self._model: RowsModel[FigureLine] = RowsModel(_columns(), identity=lambda row: row.name)
        self.table = Table(self._model, "practice")
        self.table.setAccessibleName(_("Figures of practice"))
        self.table.restore_state(context.settings)
        self.table.selection_changed.connect(self._show_chosen)
        self.table.row_asked.connect(lambda _row: self._value.setFocus())
        self._species = QComboBox()
        self._species.setObjectName("practice_species")
        self._species.setAccessibleName(_("Species"))
        for kind in all_species().values():
            self._species.addItem(_(kind.name), kind.code)
        self._species.currentIndexChanged.connect(lambda: self._show_lines())
        self._build()

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Show the figures as they are in the book."""
        if self._snapshot is None:
            self._species.setCurrentIndex(max(self._species.findData(snapshot.details.species), 0))
        self._snapshot = snapshot
        self._show_lines()

    def _build(self) -> None:
        self._heading = label("", Role.HEADING, wraps=True)
        self._about = label("", Role.SMALL, wraps=True)
        self._about.setObjectName("figure_about")
        self._form = Form()
        self._value = self._form.add_line("value", _("Your own value"))
        self._value.returnPressed.connect(self.keep)
        self._value.textEdited.connect(lambda: self._forget())
        self._note = self._form.add_line("note", _("Why"))
        self._note.returnPressed.connect(self.keep)
        self._moved = Prose("practice_moved", _("The birds whose parents would change"))
        self._moved.bird_asked.connect(self.bird_asked)
        self._moved.hide()
        self._keep = button("", self.keep, primary=True)
        self._keep.setObjectName("figure_keep")
        self._reset = button(_("Use the program's again"), self.reset, icon="arrow-u-up-left")
        self._reset.setObjectName("figure_reset")
        page = QWidget()
        fields = QVBoxLayout(page)
        fields.setContentsMargins(space(3), 0, space(1), 0)
        fields.setSpacing(space(1.5))
        for part in (self._heading, self._about, self._form, self._moved, self._keep, self._reset):
            fields.addWidget(part)
        fields.addStretch(1)
        beside = QScrollArea()
        beside.setFrameShape(QFrame.Shape.NoFrame)
        beside.setWidgetResizable(True)
        beside.setWidget(page)
        self._beside = beside
        head = QHBoxLayout()
        head.setSpacing(space(2))
        head.addWidget(self._species)
        told = _(
            "What the program reckons with. Values from memory are to be checked; your own win. About an ill bird a "
            "vet decides, whatever a figure says."
        )
        head.addWidget(label(told, Role.FAINT, wraps=True), 1)
        both = self._both = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        both.setSpacing(space(1))
        both.addWidget(self.table, 1)
        both.addWidget(beside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, space(2), 0, space(1))
        whole.setSpacing(space(1.5))
        whole.addLayout(head)
        whole.addLayout(both, 1)
        self._arrange()

    def _arrange(self) -> None:
        """The chosen figure beside the table, or below it where names would be cut."""
        wide = self.width() >= length(_NARROW)
        across, below = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._both.setDirection(across if wide else below)
        self._beside.setMinimumWidth(length(300) if wide else 0)
        self._beside.setMaximumWidth(length(300) if wide else _ANY_WIDTH)
        for part in (self.table, self._beside):
            part.setMinimumHeight(0 if wide else length(_LEAST))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _show_lines(self) -> None:
        if self._snapshot is None:
            return
        self._model.set_rows(figure_lines(self._snapshot, self._species.currentData()))
        if not self.table.selected and self._model.rows:
            self.table.select(self._model.rows[0].name)
        self._show_chosen()

    def _show_chosen(self) -> None:
        chosen = self.table.selected
        line = chosen[0] if len(chosen) == 1 else None
        if line == self._line:
            return
        self._line = line
        self._forget()
        self._form.show_problems(())
        self._form.setVisible(line is not None and line.is_editable)
        self._keep.setVisible(line is not None and line.is_editable)
        self._reset.setVisible(line is not None and line.own is not None)
        if line is None:
            self._heading.setText(_("Choose a figure"))
            self._about.setText("")
            return
        self._heading.setText(line.words)
        self._about.setText(_about(line))
        self._value.setText(QLocale().toString(float(line.value), "g", 6))
        self._note.setText(line.own.note if line.own is not None else "")

    def keep(self) -> None:
        """Keep the value that is written, once the chicks it moves were shown."""
        line = self._line
        if line is None or not line.is_editable or self._asking:
            return
        value, is_number = QLocale().toDouble(self._value.text().strip())
        if not is_number:
            said = _("Write a number, such as {example}.").format(example=line.published)
            self._form.show_problems((Problem("value", said, field="value"),))
            return
        note = self._note.text().strip()
        if line.own is not None:
            after = replace(line.own, value=value, note=note)
            if after != line.own:
                self._ask(Correct((line.own,), (after,)))
        else:
            code = self._species.currentData()
            self._ask(Enter((Figure(FigureId(""), code, line.name, value, note),)))

    def reset(self) -> None:
        """Take the keeper's value back, once the chicks that moves were shown."""
        if self._line is not None and self._line.own is not None and not self._asking:
            self._ask(Withdraw((self._line.own,)))

    def _ask(self, change: Change) -> None:
        self._form.show_problems(())
        if change == self._agreed:
            self._apply(change)
            return
        self._asking = True
        self._context.record.ask(
            lambda book: foresee(book, change), lambda found: self._show_foreseen(change, found)
        )

    def _show_foreseen(self, change: Change, found: Foreseen) -> None:
        self._asking = False
        self._forget()
        if found.problems:
            self._form.show_problems(found.problems)
        elif not found.moved or found.after is None:
            self._apply(change)
        else:
            head, *lines = found.moved
            paragraphs = [Paragraph((head,), Style.LEAD), *(Paragraph((line,), Style.ITEM) for line in lines)]
            self._moved.show_paragraphs(paragraphs, found.after)
            self._moved.show()
            self._agreed = change
            self._keep_text(change)

    def _keep_text(self, change: Change) -> None:
        asked = self._reset if isinstance(change, Withdraw) else self._keep
        asked.setText(_("Save, and change these parents"))

    def _apply(self, change: Change) -> None:
        self._forget()
        self._context.record.apply(change, refused=self._form.show_problems)

    def _forget(self) -> None:
        """Drop what was foreseen: another figure or value needs another look."""
        self._agreed = None
        self._moved.hide()
        self._keep.setText(_("Keep this value"))
        self._reset.setText(_("Use the program's again"))


def _columns() -> tuple[Column[FigureLine], ...]:
    return (
        Column("figure", _("Figure"), lambda row: row.words, width=38, tip=lambda row: row.words),
        Column("value", _("Value"), lambda row: row.shown, value=lambda row: row.value, width=9, right=True),
        Column("unit", _("Unit"), lambda row: row.unit, width=8),
        Column("evidence", _("How sure"), lambda row: row.evidence, width=16),
        Column("published", _("The program's"), lambda row: row.published, width=12, right=True, shown=False),
        Column("source", _("Where it comes from"), _source, width=60, tip=_source),
    )


def _source(line: FigureLine) -> str:
    if line.own is None:
        return line.source
    return line.own.note or _("your own; the program has {value}").format(value=line.published)


def _about(line: FigureLine) -> str:
    told = _("The program's: {value}, {evidence}. {source}.").format(
        value=line.told, evidence=line.published_evidence, source=line.source
    )
    if line.is_editable:
        return told
    return _("{told} Other days are set on the sitting itself.").format(told=told)
