"""Matings outside a pen: visits, borrowed cocks and inseminations."""

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Change, Correct, Enter, Withdraw
from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Mating, MatingKind
from studbook.book.husbandry.wording import mating_word
from studbook.book.ids import MatingId
from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.deeds.pen_fields import DayField
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.wording import bird_text, day_text
from studbook.words import _


class MatingDialog(ForeseeingDialog):
    """One or several hens that met a cock outside their pen, from a day to a day."""

    def __init__(
        self,
        context: Context,
        snapshot: Snapshot,
        parent: QWidget,
        *,
        hens: tuple[BirdId, ...] = (),
        mating: Mating | None = None,
    ) -> None:
        title = _("Correct a mating") if mating else _("A mating outside the pen")
        super().__init__(context, title, _("Save the mating"), parent)
        self.setObjectName("mating_dialog")
        self._mating = mating
        today = context.today
        self.hens = BirdPicker(several=mating is None, placeholder=_("mark or name of the hen"))
        self.hens.set_birds(snapshot.birds, _is_hen)
        self.form.add("hen", _("Hen") if mating else _("Hens"), self.hens)
        self.kind = self.form.add_choice(
            "kind",
            _("How"),
            [(mating_word(kind), kind) for kind in MatingKind],
            mating.kind if mating else MatingKind.VISIT,
        )
        self.cock = BirdPicker(placeholder=_("mark or name of the cock"))
        self.cock.set_birds(snapshot.birds, _is_cock)
        self.form.add("cock", _("Cock"), self.cock)
        self.outside = self.form.add_line(
            "outside",
            _("or a cock that is not in the book"),
            mating.outside if mating else "",
            _("Whose he is, and what was told of him."),
        )
        self.since = DayField(today, mating.since if mating else today)
        self.form.add("since", _("From"), self.since)
        self.until = DayField(today, mating.until if mating else None, optional=True)
        self.form.add("until", _("To"), self.until, _("Empty for a single day."))
        self.note = self.form.add_line("note", _("Note"), mating.note if mating else "")
        for hen in (mating.hen,) if mating else hens:
            self.hens.choose(hen)
        if mating is not None:
            self.cock.choose(mating.cock)
        self.set_change(self._read)

    def _read(self) -> Change | None:
        problems = [*self.since.problems("since"), *self.until.problems("until")]
        if not self.hens.chosen:
            problems.append(Problem("hen", _("Choose the hen."), field="hen"))
        since = self.since.day
        if problems or since is None:
            self.form.show_problems(problems)
            return None
        made = tuple(
            Mating(
                self._mating.id if self._mating else MatingId(""),
                hen,
                MatingKind(self.kind.currentData()),
                since,
                self.until.day or since,
                self.cock.bird,
                self.outside.text().strip(),
                self.note.text().strip(),
            )
            for hen in self.hens.chosen
        )
        return Correct((self._mating,), made) if self._mating else Enter(made)


class RemoveMatingDialog(ForeseeingDialog):
    """Take out a mating that never was."""

    def __init__(self, context: Context, bird: Bird, mating: Mating, parent: QWidget) -> None:
        text = _("Take out the mating of {bird} on {day}?")
        title = text.format(bird=bird_text(bird), day=day_text(mating.since))
        super().__init__(context, title, _("Take out"), parent)
        self.setObjectName("remove_mating_dialog")
        self.set_caution(_("For a mating entered by mistake. Undo brings it back."))
        self.set_change(lambda: Withdraw((mating,)))


def _is_hen(bird: Bird) -> bool:
    return bird.sex is not Sex.COCK and not bird.placeholder


def _is_cock(bird: Bird) -> bool:
    return bird.sex is Sex.COCK and not bird.placeholder
