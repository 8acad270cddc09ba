"""What is written down of one cell: egg weights, the colour of the shell, a note."""

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from studbook.book.changes import Change
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Collection
from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.forms import Form
from studbook.desk.rooms.eggs.collections.model import Cell
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import day_text
from studbook.planning.eggs.gathering import (
    another_collection,
    collections_of,
    correct_collection,
    source_name,
    take_out_collection,
)
from studbook.planning.eggs.telling import weights_text
from studbook.words import _, plural


class CellPanel(QWidget):
    """The fields of one collection, each kept as soon as one leaves it."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("cell_panel")
        self._context = context
        self._snapshot: Snapshot | None = None
        self._cell: Cell | None = None
        self._held: Collection | None = None
        self._heading = SectionHeading(_("Eggs of a day"))
        self._hint = label("", Role.FAINT, wraps=True)
        self._hint.setObjectName("cell_hint")
        self._several = QHBoxLayout()
        self._several.setSpacing(space(1.5))
        self._form = Form(2)
        self._eggs = self._form.add_line("eggs", _("Eggs"))
        self._colour = self._form.add_line("colour", _("Shell colour"))
        self._weights = self._form.add_line(
            "weights",
            _("Weights in grams, if weighed"),
            hint=_("One for each egg, with spaces between"),
            wide=True,
        )
        self._note = self._form.add_line("note", _("Note"), wide=True)
        for control in self._controls:
            control.editingFinished.connect(self._keep)
        self._mean = label("", Role.SMALL, wraps=True)
        self._mean.setObjectName("cell_mean")
        self._more = link(_("another lot of this day"), self._add)
        self._more.setObjectName("cell_more")
        self._more.setToolTip(_("To count eggs of another shell colour apart"))
        self._out = link(_("take this lot out"), self._take_out)
        self._out.setObjectName("cell_out")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        column.addWidget(self._heading)
        column.addWidget(self._hint)
        column.addLayout(self._several)
        column.addWidget(self._form)
        column.addWidget(self._mean)
        row = QHBoxLayout()
        row.setSpacing(space(2))
        row.addWidget(self._more)
        row.addWidget(self._out)
        row.addStretch(1)
        column.addLayout(row)

    @property
    def _controls(self) -> tuple[QLineEdit, ...]:
        return self._eggs, self._colour, self._weights, self._note

    def show_cell(self, cell: Cell | None, snapshot: Snapshot) -> None:
        """Show what is written down of a cell; a collection one has chosen stays chosen."""
        self._cell, self._snapshot = cell, snapshot
        held = collections_of(snapshot, cell.of, cell.on) if cell is not None else ()
        chosen = next((row for row in held if self._held is not None and row.id == self._held.id), None)
        self._show(chosen or (held[0] if held else None), held)

    def _show(self, chosen: Collection | None, held: tuple[Collection, ...]) -> None:
        same = self._held is not None and chosen is not None and self._held.id == chosen.id
        changed = chosen != self._held
        self._held = chosen
        cell, snapshot = self._cell, self._snapshot
        if cell is not None and snapshot is not None:
            text = _("{where}, {day}").format(where=source_name(snapshot, cell.of), day=day_text(cell.on))
            self._heading.set_text(text)
        self._hint.setVisible(chosen is None)
        self._hint.setText(
            _("Type the number of eggs into the table; then their weights and a note can be kept here.")
        )
        for part in (self._form, self._more, self._out):
            part.setVisible(chosen is not None)
        self._show_several(held)
        self._mean.setText(weights_text(chosen.weights) if chosen is not None else "")
        self._mean.setVisible(bool(self._mean.text()))
        if changed and chosen is not None:
            if not same:
                self._form.show_problems(())
            for control, text in zip(self._controls, _texts(chosen), strict=True):
                if not (same and control.hasFocus()):
                    control.setText(text)

    def _show_several(self, held: tuple[Collection, ...]) -> None:
        while (item := self._several.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        if len(held) < 2:
            return
        for number, row in enumerate(held):
            made = link(_lot_text(row), self._chooser(row, held))
            made.setObjectName(f"cell_lot_{number}")
            made.setEnabled(self._held is None or row.id != self._held.id)
            self._several.addWidget(made)
        self._several.addStretch(1)

    def _chooser(self, row: Collection, held: tuple[Collection, ...]) -> Callable[[], None]:
        return lambda: self._show(row, held)

    def _keep(self) -> None:
        """Keep what differs, or say what cannot be read."""
        held, snapshot = self._held, self._snapshot
        if held is None or snapshot is None:
            return
        problems: list[Problem] = []
        eggs = _read_count(self._eggs.text(), problems)
        weights = _read_weights(self._weights.text(), problems)
        self._form.show_problems(problems)
        if problems:
            return
        after = replace(
            held,
            eggs=eggs,
            weights=weights,
            colour=self._colour.text().strip(),
            note=self._note.text().strip(),
        )
        if after != held:
            self._apply(correct_collection(snapshot, held, after, day_text))

    def _add(self) -> None:
        if self._snapshot is not None and self._cell is not None:
            self._apply(another_collection(self._snapshot, self._cell.of, self._cell.on, day_text))

    def _take_out(self) -> None:
        if self._snapshot is not None and self._held is not None:
            self._apply(take_out_collection(self._snapshot, self._held, day_text))

    def _apply(self, change: Change) -> None:
        self._context.record.apply(change, refused=self._form.show_problems)


def _texts(row: Collection) -> tuple[str, str, str, str]:
    weights = "  ".join(QLocale().toString(weight, "g", 6) for weight in row.weights)
    return str(row.eggs), row.colour, weights, row.note


def _lot_text(row: Collection) -> str:
    eggs = plural("{count} egg", "{count} eggs", row.eggs).format(count=row.eggs)
    return _("{eggs}, {colour}").format(eggs=eggs, colour=row.colour) if row.colour else eggs


def _read_count(text: str, problems: list[Problem]) -> int:
    if text.strip().isdecimal():
        return int(text)
    problems.append(
        Problem("eggs", _("“{text}” is no count: enter a whole number.").format(text=text), field="eggs")
    )
    return 0


def _read_weights(text: str, problems: list[Problem]) -> tuple[float, ...]:
    weights = []
    for part in text.replace(";", " ").split():
        weight, is_number = QLocale().toDouble(part)
        if not is_number or weight <= 0:
            message = _("“{text}” is no weight: enter grams with spaces between, such as 58 61.").format(
                text=part
            )
            problems.append(Problem("weights", message, field="weights"))
            return ()
        weights.append(weight)
    return tuple(weights)
