"""Parting eggs into compartments when turning stops, so that a chick is known by where it hatched."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import count as numbers

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QSpinBox, QVBoxLayout, QWidget

from studbook.book.changes import Change, Correct, PartBatch, Together
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Batch, Sitting
from studbook.desk.context import Context
from studbook.desk.rooms.eggs.sittings.dialog import SittingDialog, count_box, day_field, day_of
from studbook.desk.rooms.eggs.sittings.lots import cell
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.desk.theme import length, space
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.text import link
from studbook.planning.sittings.counts import with_eggs
from studbook.planning.sittings.drafting import before_setting
from studbook.planning.sittings.names import source_text
from studbook.words import _, fold, plural


class Compartments(QWidget):
    """The compartments of one batch: a name and its eggs each; the first takes what the others leave.

    Signals
    -------
    changed
        Another name, count or compartment.
    """

    changed = Signal()

    def __init__(self, number: int, name: str, left: int) -> None:
        super().__init__()
        self._number, self._left = number, left
        self._names = numbers(1)
        self.parts: list[tuple[QLineEdit, QSpinBox]] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        self._place = QVBoxLayout()
        column.addLayout(self._place)
        row = QHBoxLayout()
        self.split = link(_("part it in two"), lambda: self.add("", 0))
        self.split.setObjectName(f"split_{number}")
        self.split.setEnabled(left > 1)
        row.addWidget(self.split)
        row.addStretch(1)
        column.addLayout(row)
        self.add(name, left)
        self.setFocusProxy(self.parts[0][0])

    def add(self, name: str, eggs: int) -> None:
        """One more compartment."""
        place = next(self._names)
        suffix = f"{self._number}" if place == 1 else f"{self._number}_{place}"
        edit = QLineEdit(name)
        edit.setObjectName(f"compartment_{suffix}")
        edit.setMinimumWidth(length(200))
        box = count_box(f"parted_{suffix}", _("Eggs"), eggs)
        box.setEnabled(place > 1)
        line = QWidget()
        flow = Flow(line, gap=1.5)
        flow.addWidget(cell(_("Compartment"), edit))
        flow.addWidget(cell(_("Eggs"), box))
        self._place.addWidget(line)
        self.parts.append((edit, box))
        edit.textChanged.connect(lambda _text: self.changed.emit())
        box.valueChanged.connect(lambda _value: self._share())
        if place > 1:
            edit.setFocus()
            self.changed.emit()

    @property
    def names(self) -> list[str]:
        """The names written."""
        return [edit.text().strip() for edit, _box in self.parts if edit.text().strip()]

    def problems(self, field: str) -> Iterator[Problem]:
        """What is wrong."""
        parted = sum(box.value() for _edit, box in self.parts[1:])
        if parted >= self._left > 0 and len(self.parts) > 1:
            text = plural(
                "Only {count} egg is here: leave one or more in the first compartment.",
                "Only {count} eggs are here: leave one or more in the first compartment.",
                self._left,
            )
            yield Problem("count", text.format(count=self._left), field=field)
        for edit, box in self.parts[1:]:
            if bool(edit.text().strip()) != bool(box.value()):
                yield Problem("count", _("A compartment has a name and one egg or more."), field=field)
        if not self.parts[0][0].text().strip():
            yield Problem(
                "name", _("Name the compartment, or leave the name of the pen or hen."), field=field
            )

    def change(self, batch: Batch) -> tuple[Change, ...]:
        """The parting of a batch."""
        (first, _eggs), *others = self.parts
        parted = tuple(
            PartBatch(batch.id, box.value(), edit.text().strip()) for edit, box in others if box.value()
        )
        named = replace(batch, compartment=first.text().strip())
        return (Correct((batch,), (named,)), *parted) if named != batch else parted

    def _share(self) -> None:
        """The first compartment holds what is left."""
        parted = sum(box.value() for _edit, box in self.parts[1:])
        self.parts[0][1].setValue(max(self._left - parted, 0))
        self.changed.emit()


class PartDialog(SittingDialog):
    """Part the eggs of a sitting into compartments by pen or hen, on the day turning stops."""

    def __init__(self, context: Context, view: View, sitting: Sitting, parent: QWidget) -> None:
        super().__init__(context, _("Part into compartments"), _("Part the eggs"), parent)
        self.setObjectName("part")
        self.aliases = {"eggs": "batch_1"}
        self._view, self._sitting = view, sitting
        self.batches = with_eggs(view.year, view.batches(sitting))
        self.on = day_field(context.today, sitting.parted or context.today)
        self.form.add("on", _("Turning stopped on"), self.on)
        self.lines: list[Compartments] = []
        for number, batch in enumerate(self.batches, 1):
            left = view.year.eggs_left(batch)
            source = source_text(view.snapshot, batch)
            text = plural("{count} egg of {source}", "{count} eggs of {source}", left)
            line = Compartments(number, batch.compartment or source, left)
            line.changed.connect(self.check)
            self.form.add(f"batch_{number}", text.format(count=left, source=source), line, wide=True)
            self.lines.append(line)
        self.on.changed.connect(self.check)
        self.set_caution(
            _(
                "Chicks climb and squeeze through: close each compartment, pad wire edges, and let air and warmth "
                "through. Take the chicks out compartment by compartment."
            )
        )
        self.check()

    def own_problems(self) -> tuple[Problem, ...]:
        if self.on.error:
            found = [Problem("date", self.on.error, field="on")]
        else:
            found = list(before_setting(day_of(self.on), self._sitting.set_on, self.context.today, "on"))
        for number, line in enumerate(self.lines, 1):
            found += line.problems(f"batch_{number}")
        twice = Counter(fold(name) for line in self.lines for name in line.names)
        for number, line in enumerate(self.lines, 1):
            for name in line.names:
                if twice[fold(name)] > 1:
                    text = _("Two compartments are called {name}: the chicks could not be told apart.")
                    found.append(Problem("name", text.format(name=name), field=f"batch_{number}"))
        return tuple(dict.fromkeys(found))

    def change(self) -> Change:
        parted = replace(self._sitting, parted=day_of(self.on))
        first: tuple[Change, ...] = ()
        if parted != self._sitting:
            first = (Correct((self._sitting,), (parted,)),)
        changes = tuple(
            change
            for batch, line in zip(self.batches, self.lines, strict=True)
            for change in line.change(batch)
        )
        title = _("part the eggs of {sitting}").format(sitting=self._view.called(self._sitting))
        return Together((*first, *changes), title)
