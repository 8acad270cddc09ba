"""Chicks that grow: their sexes entered at once, and their chick rings changed for adult ones."""

from dataclasses import replace

from PySide6.QtWidgets import QCheckBox, QWidget

from studbook.book.changes import AddMarks, Change, EditBird, EditMark, Together
from studbook.book.errors import Problem
from studbook.book.records import Bird, BirdId, Mark, MarkKind
from studbook.book.rules import mark_key
from studbook.dates import PartialDate
from studbook.desk.context import Context
from studbook.desk.deeds.marks import MarkFields, mark_caution
from studbook.desk.deeds.series import mark_series, used_codes, worn_codes
from studbook.desk.hatch.chicks import ChicksModel, ChicksTable, Draft
from studbook.desk.rooms.eggs.sittings.dialog import SittingDialog, day_field, day_of
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.desk.theme import length
from studbook.words import _, plural

_KINDS = (MarkKind.RING, MarkKind.WING_TAG, MarkKind.MICROCHIP)


class RearingDialog(SittingDialog):
    """Sex and mark the chicks of a sitting, as far as one can."""

    def __init__(self, context: Context, view: View, chicks: tuple[Bird, ...], parent: QWidget) -> None:
        super().__init__(context, _("Sexes and marks"), _("Save"), parent, columns=2)
        self.setObjectName("rearing")
        self._chicks = chicks
        self._series_problem = ""
        own = {mark_key(bird.mark) for bird in chicks if _own_mark(bird) is not None}
        self._used = used_codes(view.snapshot)
        self.mark = MarkFields(self.form, kinds=_KINDS)
        self.mark.code.setPlaceholderText(_("first of the new marks; empty for none"))
        self.since = day_field(context.today, context.today)
        self.form.add("since", _("New marks since"), self.since)
        self.take_off = QCheckBox(_("the old own mark comes off"))
        self.take_off.setChecked(True)
        self.form.add("take_off", _("Old marks"), self.take_off)
        self.model = ChicksModel(self)
        self.model.set_count(len(chicks))
        for row, bird in enumerate(chicks):
            self.model.drafts[row] = _draft(bird)
        self.model.set_worn(worn_codes(view.snapshot) - own)
        self.table = ChicksTable(self.model)
        self.table.setMinimumHeight(length(240))
        hint = _("Type to fill a cell, Enter goes down. For the sex c or h will do. Ctrl+V pastes a list.")
        self.form.add("chicks", _("Chicks"), self.table, hint, wide=True)
        self.mark.code.textChanged.connect(lambda _text: self._remark())
        self.mark.kind.currentIndexChanged.connect(lambda _place: self._suit_kind())
        self.model.edited.connect(self.check)
        self.since.changed.connect(self.check)
        self.take_off.toggled.connect(lambda _on: self.check())
        self.widen(720)
        self._suit_kind()

    def begin(self) -> None:
        """Open with the cursor in the first sex."""
        self.ask()
        self.table.setFocus()
        self.table.setCurrentIndex(self.model.index(0, 2))

    def own_problems(self) -> tuple[Problem, ...]:
        found = []
        if self._series_problem:
            found.append(Problem("mark", self._series_problem, field="marks"))
        found += [Problem("duplicate mark", text, field="chicks") for text in self.model.problems]
        if self.since.error:
            found.append(Problem("date", self.since.error, field="since"))
        elif self._marked and day_of(self.since) is None:
            found.append(Problem("date", _("Enter the day, with month and year."), field="since"))
        return tuple(found)

    def change(self) -> Change:
        changes: list[Change] = []
        for bird, draft in zip(self._chicks, self.model.drafts, strict=True):
            after = replace(bird, name=draft.name, sex=draft.sex, colour=draft.colour, note=draft.note)
            if after != bird:
                changes.append(EditBird(bird, after))
        changes += self._mark_changes()
        text = plural("sex and mark {count} chick", "sex and mark {count} chicks", len(self._chicks))
        return Together(tuple(changes), text.format(count=len(self._chicks)))

    @property
    def _marked(self) -> list[tuple[Bird, str]]:
        """The chicks that get another mark, and its code."""
        return [
            (bird, draft.mark)
            for bird, draft in zip(self._chicks, self.model.drafts, strict=True)
            if draft.mark and draft.mark != _draft(bird).mark
        ]

    def _mark_changes(self) -> list[Change]:
        since = PartialDate.of(day_of(self.since) or self.context.today)
        marked: list[tuple[BirdId, Mark]] = []
        changes: list[Change] = []
        for bird, code in self._marked:
            old = _own_mark(bird)
            if old is not None and self.take_off.isChecked():
                changes.append(EditMark(old, replace(old, until=since)))
            marked.append((bird.id, self.mark.read(since, code)))
        return [*changes, AddMarks(tuple(marked))] if marked else changes

    def _remark(self) -> None:
        """Give the chicks the series, but for those the keeper wrote."""
        first = self.mark.code.text().strip()
        self._series_problem = ""
        codes = tuple(_draft(bird).mark for bird in self._chicks)
        if first:
            own = {mark_key(draft.mark) for draft in self.model.drafts if draft.own_mark}
            try:
                codes = mark_series(first, len(self._chicks), self._used | own)
            except ValueError as error:
                self._series_problem = str(error)
        self.model.set_marks(codes, has_marks=True)
        self.check()

    def _suit_kind(self) -> None:
        self.set_caution(mark_caution(self.mark.chosen_kind))
        self._remark()


def _own_mark(bird: Bird) -> Mark | None:
    """The mark a bird wears alone."""
    shown = bird.shown_mark
    return shown if shown is not None and shown.kind.is_own else None


def _draft(bird: Bird) -> Draft:
    mark = _own_mark(bird)
    return Draft(mark.code if mark is not None else "", bird.name, bird.sex, bird.colour, bird.note)
