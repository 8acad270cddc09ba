"""The eggs of a sitting that is being set: a line for each batch, with what is mixed into it and whose it is."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from studbook.book.changes import Change
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Batch, MixedIn, Sitting
from studbook.book.ids import BatchId, MixedInId, OriginId
from studbook.desk.rooms.eggs.sittings.dialog import count_box, day_of
from studbook.desk.rooms.eggs.sittings.sources import Source, SourceBox
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.name_box import NameBox, Named, origin_names
from studbook.desk.widgets.text import label, link, rule
from studbook.desk.wording import day_text
from studbook.planning.sittings.drafting import whose_draft
from studbook.planning.sittings.minding import age_sentence, age_when_set
from studbook.planning.sittings.whose import batch_words
from studbook.words import _, plural


@dataclass(frozen=True)
class Drawn:
    """The rows a form describes, and the yards it adds for eggs from outside."""

    batches: tuple[Batch, ...]
    mixed: tuple[MixedIn, ...]
    origins: tuple[Change, ...]

    @property
    def eggs(self) -> int:
        """All eggs together."""
        return sum(batch.eggs for batch in self.batches)


def cell(words: str, control: QWidget) -> QWidget:
    """A control with its caption above it."""
    made = QWidget()
    column = QVBoxLayout(made)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(space(0.25))
    caption = label(words, Role.CAPTION)
    caption.setBuddy(control)
    control.setAccessibleName(words)
    column.addWidget(caption)
    column.addWidget(control)
    if not isinstance(control, DateField):
        # a date says below itself what it understood: the fields beside it keep that room free
        column.addWidget(label(" ", Role.SMALL))
    return made


class LotLine(QWidget):
    """So many eggs of one source, laid on these days.

    Signals
    -------
    changed
        Something else was written.
    """

    changed = Signal()

    def __init__(self, name: str, view: View, species: str, *, bought: bool) -> None:
        super().__init__()
        self._bought = bought
        self.flow = Flow(self, gap=1.5)
        self.source = SourceBox(f"source_{name}")
        self.eggs = count_box(f"eggs_{name}", _("Eggs"))
        self.first = DateField(view.today)
        self.first.setObjectName(f"laid_from_{name}")
        self.last = DateField(view.today)
        self.last.setObjectName(f"laid_to_{name}")
        for field, words in ((self.first, _("Laid from")), (self.last, _("to"))):
            field.edit.setMinimumWidth(length(120))
            field.edit.setPlaceholderText(day_text(view.today))
            field.edit.setAccessibleName(words)
        self.flow.addWidget(cell(_("From"), self.source))
        self.flow.addWidget(cell(_("Eggs"), self.eggs))
        self.flow.addWidget(cell(_("Laid from"), self.first))
        self.flow.addWidget(cell(_("to"), self.last))
        self.source.source_changed.connect(self.changed)
        self.eggs.valueChanged.connect(lambda _value: self.changed.emit())
        self.first.changed.connect(self.changed)
        self.last.changed.connect(self.changed)
        self.supply(view, species)

    def supply(self, view: View, species: str) -> None:
        """Offer the pens and hens of a view."""
        self.source.set_sources(view.snapshot, species, bought=self._bought)

    def take_days(self, other: "LotLine") -> None:
        """Take the laying days written for other eggs."""
        for field, written in ((self.first, other.first), (self.last, other.last)):
            if written.value.is_known:
                field.set_value(written.value)

    @property
    def is_empty(self) -> bool:
        """True while nothing is written."""
        return not self.source.currentText().strip() and not self.eggs.value()

    @property
    def days(self) -> tuple[date | None, date | None]:
        """The first and last day of laying; one alone stands for both."""
        first, last = day_of(self.first), day_of(self.last)
        return first or last, last or first

    def problems(self) -> Iterator[str]:
        """What is wrong with it."""
        if self.source.remark:
            yield self.source.remark
        elif self.eggs.value() < 1:
            yield _("{source}: enter one egg or more.").format(source=self.source.currentText())
        for field in (self.first, self.last):
            if field.error:
                yield field.error
            elif field.value.is_known and day_of(field) is None:
                yield _("A laying day needs day, month and year; leave it empty when it is not known.")


class BatchLine(QFrame):
    """One batch: its own eggs, those of other pens or hens mixed in, what was told of eggs from outside.

    Signals
    -------
    changed
        Something else was written.
    """

    changed = Signal()

    def __init__(self, number: int, view: View, species: str) -> None:
        super().__init__()
        self._number, self._view, self._species = number, view, species
        self._mixed: list[LotLine] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, space(0.5))
        column.setSpacing(space(0.75))
        self.own = LotLine(f"{number}", view, species, bought=True)
        self.colour = QLineEdit()
        self.colour.setObjectName(f"colour_{number}")
        self.colour.setMaximumWidth(length(110))
        self.own.flow.addWidget(cell(_("Shell colour"), self.colour))
        column.addWidget(self.own)
        self._place = QVBoxLayout()
        column.addLayout(self._place)
        self.outside = QWidget()
        told_flow = Flow(self.outside, gap=1.5)
        self.told = QLineEdit()
        self.told.setObjectName(f"told_{number}")
        self.told.setMinimumWidth(length(330))
        self.told.setPlaceholderText(_("a blue cock and five black hens, not related"))
        self.yard = NameBox(origin_names(view.snapshot.origins), placeholder=_("a yard, if it is told"))
        self.yard.setObjectName(f"yard_{number}")
        told_flow.addWidget(cell(_("What was told of the parents"), self.told))
        told_flow.addWidget(cell(_("From the yard"), self.yard))
        column.addWidget(self.outside)
        row = QHBoxLayout()
        self.mix = link(_("mixed with eggs of another pen or hen"), self.add_mixed)
        self.mix.setObjectName(f"mix_{number}")
        row.addWidget(self.mix)
        row.addStretch(1)
        column.addLayout(row)
        self.said = label("", Role.SMALL, wraps=True)
        self.said.setObjectName(f"whose_{number}")
        self.caution = label("", Role.CAUTION, wraps=True)
        self.caution.setObjectName(f"age_{number}")
        column.addWidget(self.said)
        column.addWidget(self.caution)
        column.addWidget(rule())
        self.own.changed.connect(self._suit)
        for edit in (self.colour, self.told):
            edit.textChanged.connect(lambda _text: self.changed.emit())
        self.yard.editTextChanged.connect(lambda _text: self.changed.emit())
        self._suit()

    def add_mixed(self) -> LotLine:
        """Another source whose eggs cannot be told from these."""
        line = LotLine(f"{self._number}_{len(self._mixed) + 1}", self._view, self._species, bought=False)
        line.changed.connect(self.changed)
        self._mixed.append(line)
        self._place.addWidget(line)
        line.take_days(self.own)
        line.source.setFocus()
        self.changed.emit()
        return line

    def supply(self, view: View, species: str) -> None:
        """Offer the pens and hens of another species."""
        self._view, self._species = view, species
        for line in (self.own, *self._mixed):
            line.supply(view, species)

    @property
    def is_empty(self) -> bool:
        """True while nothing is written."""
        return self.own.is_empty and all(line.is_empty for line in self._mixed)

    def problems(self) -> Iterator[str]:
        """What is wrong with the batch."""
        yield from self.own.problems()
        for line in self._written:
            yield from line.problems()
        source = self.own.source.source
        if source is not None and source.outside and not self.told.text().strip():
            yield _("Write what was told of the parents of the eggs bought in, if only “nothing was told”.")

    def rows(self, sitting: Sitting, fresh_id: Callable[[], str]) -> Drawn:
        """The rows it describes; asked only while there is no problem with it."""
        source = self.own.source.source or Source()
        batch_id = BatchId(fresh_id())
        mixed = tuple(
            MixedIn(
                MixedInId(fresh_id()),
                batch_id,
                line.eggs.value(),
                pen=of.pen,
                hen=of.hen,
                laid_from=line.days[0],
                laid_to=line.days[1],
            )
            for line in self._written
            if (of := line.source.source) is not None
        )
        yard = self.yard.named if source.outside else Named()
        new_id = fresh_id() if yard.new else ""
        origin = yard.known_as(new_id)
        first, last = self.own.days
        batch = Batch(
            batch_id,
            sitting.id,
            self.own.eggs.value() + sum(lot.eggs for lot in mixed),
            pen=source.pen,
            hen=source.hen,
            laid_from=first,
            laid_to=last,
            colour=self.colour.text().strip(),
            outside=self.told.text().strip() if source.outside else "",
            origin=OriginId(origin) if origin else None,
        )
        return Drawn((batch,), mixed, yard.origin(new_id))

    def look_ahead(self, sitting: Sitting) -> None:
        """Say whose the eggs would be and how old they are."""
        self.said.setText("")
        self.caution.setText("")
        source = self.own.source.source
        if source is None or any(True for _text in self.problems()):
            return
        numbers = iter(range(1000))
        drawn = self.rows(sitting, lambda: f"draft {next(numbers)}")
        batch = drawn.batches[0]
        view = self._view
        if source.outside:
            self.said.setText(_("Parents outside the book: the chicks will carry what was told of them."))
        else:
            whose = whose_draft(view.asking, sitting, batch, drawn.mixed)
            self.said.setText(view.told(batch_words(whose, day_text)))
        practice = view.asking.practice(sitting.species)
        lots: tuple[Batch | MixedIn, ...] = (batch, *drawn.mixed)
        ages = [age for lot in lots if (age := age_when_set(lot, sitting.set_on, practice)) is not None]
        if ages:
            oldest = max(ages, key=lambda age: age.oldest_days)
            self.caution.setText(age_sentence(oldest, practice))
        else:
            text = plural(
                "Laying day not told: taken as within the last {count} day before setting.",
                "Laying days not told: taken as within the last {count} days before setting.",
                practice.storage_warn_days,
            )
            self.caution.setText(text.format(count=practice.storage_warn_days))

    @property
    def _written(self) -> list[LotLine]:
        return [line for line in self._mixed if not line.is_empty]

    def _suit(self) -> None:
        source = self.own.source.source
        bought = source is not None and source.outside
        self.outside.setVisible(bought)
        self.mix.setVisible(not bought)
        self.changed.emit()


class BatchLines(QWidget):
    """The batches of a sitting, a line each.

    Signals
    -------
    changed
        Something else was written.
    """

    changed = Signal()

    def __init__(self, view: View, species: str) -> None:
        super().__init__()
        self._view, self._species = view, species
        self.lines: list[BatchLine] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space())
        self._place = QVBoxLayout()
        self._place.setSpacing(space())
        column.addLayout(self._place)
        row = QHBoxLayout()
        self.another = link(_("another batch, of another pen or hen"), self.add)
        self.another.setObjectName("another_batch")
        row.addWidget(self.another)
        row.addStretch(1)
        column.addLayout(row)
        self._append()
        self.setFocusProxy(self.lines[0].own.source)

    def add(self) -> None:
        """One more batch, laid on the same days as the one before."""
        before = self.lines[-1].own
        line = self._append()
        line.own.take_days(before)
        line.own.source.setFocus()
        self.changed.emit()

    def supply(self, view: View, species: str) -> None:
        """Offer the pens and hens of another species."""
        self._view, self._species = view, species
        for line in self.lines:
            line.supply(view, species)

    def problems(self) -> tuple[Problem, ...]:
        """What is wrong with the batches."""
        written = self._written or self.lines[:1]
        return tuple(
            Problem("eggs", text, field="batches")
            for text in dict.fromkeys(text for line in written for text in line.problems())
        )

    def rows(self, sitting: Sitting, fresh_id: Callable[[], str]) -> Drawn:
        """The rows the lines describe."""
        drawn = [line.rows(sitting, fresh_id) for line in self._written]
        return Drawn(
            tuple(batch for each in drawn for batch in each.batches),
            tuple(lot for each in drawn for lot in each.mixed),
            tuple(origin for each in drawn for origin in each.origins),
        )

    def look_ahead(self, sitting: Sitting) -> None:
        """Say of every batch whose it would be."""
        for line in self.lines:
            line.look_ahead(sitting)

    @property
    def _written(self) -> list[BatchLine]:
        return [line for line in self.lines if not line.is_empty]

    def _append(self) -> BatchLine:
        line = BatchLine(len(self.lines) + 1, self._view, self._species)
        line.changed.connect(self.changed)
        self.lines.append(line)
        self._place.addWidget(line)
        return line
