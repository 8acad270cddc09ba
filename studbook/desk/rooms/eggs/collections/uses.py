"""Eggs that left without being set: sold or given for hatching, eaten, spoiled; and day-olds sold."""

from datetime import date, timedelta

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.changes import Enter, Together, Withdraw
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import EggUse, EggUseKind
from studbook.book.husbandry.wording import egg_use_word
from studbook.book.ids import ContactId, EggUseId
from studbook.book.records import Entry, Snapshot
from studbook.dates import PartialDate, Precision
from studbook.desk.context import Context
from studbook.desk.forms import Form
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.wording import day_text, number_text
from studbook.planning.eggs.gathering import source_name
from studbook.planning.eggs.week import WEEK_DAYS, Source, TallyRow
from studbook.words import _, plural

_MOST_ROWS = 6
_ROW, _HEAD = 24, 34


class UsesPanel(QWidget):
    """The uses of the week shown, and a form to enter one."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("uses_panel")
        self._context = context
        self._snapshot: Snapshot | None = None
        self._open = link(_("enter some…"), self.begin)
        self._open.setObjectName("uses_open")
        self._none = label("", Role.FAINT, wraps=True)
        self._none.setObjectName("uses_none")
        self._model: RowsModel[EggUse] = RowsModel(self._columns(), identity=lambda row: row.id)
        self.table = Table(self._model, "egg_uses")
        self._model.setParent(self.table)
        self.table.setAccessibleName(_("Eggs that left in this week"))
        self.table.set_dense(True)
        self.table.restore_state(context.settings)
        self.table.selection_changed.connect(self._follow_selection)
        self._out = link(_("take this use out"), self._take_out)
        self._out.setObjectName("uses_out")
        self._build_form()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        column.addWidget(SectionHeading(_("Eggs that left"), self._open))
        column.addWidget(self._none)
        column.addWidget(self.table)
        column.addWidget(self._out, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self._entry)

    def _build_form(self) -> None:
        self._entry = QWidget()
        column = QVBoxLayout(self._entry)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        self._form = Form(2)
        self._count = self._form.add_line("eggs", _("How many"))
        self._kind = self._form.add_choice(
            "kind", _("What became of them"), ((egg_use_word(kind), kind) for kind in EggUseKind)
        )
        self._of = self._form.add_choice("pen", _("From"), ())
        self._on = DateField(self._context.today)
        self._form.add("on", _("Day"), self._on)
        self._taker = self._form.add_choice("taker", _("To whom"), ())
        self._note = self._form.add_line("note", _("Note"))
        column.addWidget(self._form)
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        save = button(_("Enter"), self._save, primary=True)
        save.setObjectName("uses_save")
        cancel = button(_("Cancel"), self._shut)
        cancel.setObjectName("uses_cancel")
        row.addWidget(save)
        row.addWidget(cancel)
        row.addStretch(1)
        column.addLayout(row)
        for line in (self._count, self._note):
            line.returnPressed.connect(self._save)
        self._entry.hide()

    def _columns(self) -> tuple[Column[EggUse], ...]:
        return (
            Column("on", _("Day"), lambda row: day_text(row.on), lambda row: row.on, width=11),
            Column("eggs", _("Eggs"), lambda row: number_text(row.eggs), lambda row: row.eggs, right=True),
            Column("kind", _("What became of them"), lambda row: egg_use_word(row.kind), width=16),
            Column("of", _("From"), self._from_text, width=10),
            Column("taker", _("To whom"), self._taker_text, width=12),
            Column("note", _("Note"), lambda row: row.note, width=12, shown=False),
        )

    def _from_text(self, row: EggUse) -> str:
        return source_name(self._snapshot, Source(row.pen, row.hen)) if self._snapshot is not None else ""

    def _taker_text(self, row: EggUse) -> str:
        taker = self._snapshot.contact(row.taker) if self._snapshot is not None else None
        return taker.name if taker is not None else ""

    def show_week(self, snapshot: Snapshot, week: date, rows: tuple[TallyRow, ...]) -> None:
        """Show the uses of a week; they may come from the sources of its lines."""
        self._snapshot = snapshot
        last = week + timedelta(WEEK_DAYS - 1)
        uses = [use for use in snapshot.husbandry.egg_uses.values() if week <= use.on <= last]
        self._model.set_rows(sorted(uses, key=lambda use: use.on))
        self.table.setVisible(bool(uses))
        self.table.setFixedHeight(length(_ROW) * min(len(uses), _MOST_ROWS) + length(_HEAD))
        self._none.setText(_("None in this week. Sold, given, eaten and spoiled eggs are no longer on hand."))
        self._none.setVisible(not uses)
        self._fill_choices(snapshot, rows)
        self._follow_selection()

    def begin(self) -> None:
        """Open the form."""
        self._form.show_problems(())
        self._count.clear()
        self._note.clear()
        self._on.set_value(PartialDate.of(self._context.today))
        self._entry.show()
        self._count.setFocus()

    def save_state(self) -> None:
        """Keep the columns."""
        self.table.save_state(self._context.settings)

    def _fill_choices(self, snapshot: Snapshot, rows: tuple[TallyRow, ...]) -> None:
        sources = [(source_name(snapshot, row.source), row.source) for row in rows]
        takers = [(_("nobody named"), None), *((contact.name, contact.id) for contact in snapshot.contacts)]
        for control, choices in ((self._of, sources), (self._taker, takers)):
            chosen = control.currentData()
            control.clear()
            for words, data in choices:
                control.addItem(words, data)
            control.setCurrentIndex(max(control.findData(chosen), 0))

    def _save(self) -> None:
        problems: list[Problem] = []
        text, day = self._count.text().strip(), self._on.value
        if not text.isdecimal() or not int(text):
            message = _("“{text}” is no count: enter a whole number.").format(text=text)
            problems.append(Problem("eggs", message, field="eggs"))
        if self._on.error or not day.is_known or day.precision is not Precision.DAY:
            message = self._on.error or _("Say the day on which they left.")
            problems.append(Problem("on", message, field="on"))
        self._form.show_problems(problems)
        if problems:
            return
        of = self._of.currentData()
        of = of if isinstance(of, Source) else Source()
        taker = self._taker.currentData()
        use = EggUse(
            EggUseId(""),
            day.earliest,
            EggUseKind(self._kind.currentData()),
            int(text),
            pen=of.pen,
            hen=of.hen,
            taker=ContactId(taker) if taker else None,
            note=self._note.text().strip(),
        )
        title = plural("enter {count} egg {kind}", "enter {count} eggs {kind}", use.eggs)
        title = title.format(count=use.eggs, kind=egg_use_word(use.kind))
        if use.kind is EggUseKind.DAY_OLDS_SOLD:
            title = plural("enter {count} day-old sold", "enter {count} day-olds sold", use.eggs)
            title = title.format(count=use.eggs)
        self._context.record.apply(
            Together((Enter((use,)),), title), done=self._saved, refused=self._form.show_problems
        )

    def _saved(self, _entry: Entry, _snapshot: Snapshot) -> None:
        self._shut()

    def _shut(self) -> None:
        self._entry.hide()
        self._open.setFocus()

    def _follow_selection(self) -> None:
        self._out.setVisible(len(self.table.selected) == 1)

    def _take_out(self) -> None:
        if len(self.table.selected) == 1:
            self._context.record.apply(Withdraw((self.table.selected[0],)))
