"""From a hatched batch to chicks in the book: the parents are those of its eggs, unless the keeper knows better."""

from typing import Any

from PySide6.QtWidgets import QCheckBox, QLineEdit, QSizePolicy, QVBoxLayout

from studbook.book.changes import Enter, RegisterChicks, Together, Withdraw
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Batch, BatchPair, Fate
from studbook.book.ids import BatchId, BatchPairId
from studbook.book.records import Entry, Pair, Snapshot
from studbook.dates import PartialDate
from studbook.desk.context import Context
from studbook.desk.hatch.form import HatchForm
from studbook.desk.hatch.outlook import Outlook, outlook_of
from studbook.desk.kin import Kin
from studbook.desk.rooms.eggs.sittings.dialog import day_of
from studbook.desk.rooms.eggs.sittings.lots import cell
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.desk.theme import Role
from studbook.desk.widgets.text import label
from studbook.desk.wording import day_text
from studbook.desk.work import Progress
from studbook.planning.sittings.counts import count_batch
from studbook.planning.sittings.telling import chicks_text
from studbook.planning.sittings.whose import batch_words
from studbook.words import _, plural


class RegisterForm(HatchForm):
    """Registers the chicks of one batch; one Undo takes them all back."""

    def __init__(self, context: Context, view: View, batch: Batch) -> None:
        self._view, self._batch = view, batch
        self._whose = view.whose(batch)
        super().__init__(context, Kin(view.snapshot))
        self.setObjectName("register_chicks")
        sitting = view.year.sittings[batch.sitting]
        count = count_batch(view.year, batch)
        days = [
            fate.on for fate in view.year.fates_of.get(batch.id, ()) if fate.fate is Fate.HATCHED and fate.on
        ]
        self.hatched.set_value(PartialDate.of(max(days, default=context.today)))
        self.rearer.choose(sitting.broody)
        self.count.setValue(max(count.unregistered, 1))
        if (dam := next((pair.dam for pair in self._whose.pairs if pair.dam is not None), None)) is not None:
            self.breed.setText(view.birds[dam].breed or view.snapshot.details.breed)
        if count.died:
            text = plural(
                "{count} chick died on its first day and is left out: raise the number if it is to stand in the book.",
                "{count} chicks died on their first day and are left out: raise the number if they are to stand in "
                "the book.",
                count.died,
            )
            self._left_out.setText(text.format(count=count.died))
            self._left_out.show()
        back = self.findChild(type(self._see), "close_hatch")
        if back is not None:
            back.setText(_("← the sitting"))

    @property
    def batch(self) -> BatchId:
        """The batch whose chicks are registered."""
        return self._batch.id

    def change(self) -> Any:
        """The change the fields describe: the chicks, and before them the keeper's word on their parents."""
        chicks = super().change().chicks
        batch = self._batch
        hatched = day_of(self.hatched) or self.context.today
        register = RegisterChicks(batch.id, hatched, chicks, self.rearer.bird, self.breed.text().strip())
        if not self.other_parents.isChecked():
            return register
        held = self._view.year.pairs_of.get(batch.id, ())
        said = tuple(
            BatchPair(BatchPairId(""), batch.id, pair.sire, pair.dam, pair.weight, self.reason.text().strip())
            for pair in self.parents.pairs
        )
        before = (Withdraw(held),) if held else ()
        return Together((*before, Enter(said), register), register.label(self._view.snapshot))

    def _left_half(self) -> QVBoxLayout:
        column = super()._left_half()
        view, batch = self._view, self._batch
        head = _("{chicks} of {batch}").format(
            chicks=chicks_text(count_batch(view.year, batch).hatched), batch=view.batch_called(batch)
        )
        self._eggs = label(head, Role.CAPTION, wraps=True)
        self.said = label(view.told(batch_words(self._whose, day_text)), wraps=True)
        self.said.setObjectName("whose_chicks")
        self.other_parents = QCheckBox(_("the parents are others: I know better"))
        self.other_parents.setObjectName("other_parents")
        self.other_parents.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.reason = QLineEdit()
        self.reason.setObjectName("reason")
        self._reason_cell = cell(_("Why you think so"), self.reason)
        self.form.fields["parents"].hide()
        self._reason_cell.hide()
        for place, widget in enumerate((self._eggs, self.said, self.other_parents, self._reason_cell), 1):
            column.insertWidget(place, widget)
        return column

    def _right_half(self) -> QVBoxLayout:
        column = super()._right_half()
        self._left_out = label("", Role.SMALL, wraps=True)
        self._left_out.hide()
        column.insertWidget(1, self._left_out)
        return column

    def _connect(self) -> None:
        super()._connect()
        self.other_parents.toggled.connect(self._turn_parents)
        self.reason.textChanged.connect(self._check)

    def _turn_parents(self, others: bool) -> None:
        """Ask for the parents, or take those of the eggs again."""
        self.form.fields["parents"].setVisible(others)
        self._reason_cell.setVisible(others)
        if others:
            best = max(self._whose.pairs, key=lambda pair: pair.weight, default=None)
            self.parents.set_pairs([Pair(best.sire, best.dam)] if best is not None else ())
        self._check()

    def _own_problems(self) -> tuple[Problem, ...]:
        found = [problem for problem in super()._own_problems() if problem.kind != "weights"]
        if not self.hatched.error and self.hatched.value.is_known and day_of(self.hatched) is None:
            found.append(Problem("date", _("Enter the day, with month and year."), field="hatched"))
        if self.other_parents.isChecked():
            if self.parents.error:
                found.append(Problem("weights", self.parents.error, field="parents"))
            if not self.parents.pairs:
                found.append(Problem("weights", _("Name a sire or a dam."), field="parents"))
            elif not self.reason.text().strip():
                text = _("Write why the parents differ from what the stays say.")
                found.append(Problem("weights", text, field="reason"))
        return tuple(found)

    def _look_ahead(self) -> None:
        if self.other_parents.isChecked():
            super()._look_ahead()
            return
        pairs, kin = self._whose.pairs, self._kin
        if not any(pair.sire and pair.dam for pair in pairs):
            self.outlook.clear()
            return

        def work(_progress: Progress) -> Outlook:
            return outlook_of(kin, pairs)

        self._tickets.append(self.context.workers.run(work, self._take_outlook, key="hatch outlook"))

    def _saved(self, entry: Entry, snapshot: Snapshot) -> None:
        """The chicks are in the book: the sitting shows them."""
        self._saving = False
        self.closed.emit()
