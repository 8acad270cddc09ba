"""Parents and offspring: whose it is, and whose parent it is."""

from itertools import groupby

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.changes import Change, SetParents
from studbook.book.errors import Problem
from studbook.book.records import Bird, BirdId, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.parents_editor import ParentsEditor
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.text import label, link
from studbook.desk.wording import bird_text, percent_text
from studbook.words import _, plural

_SHOWN = 40


class ParentsView(QWidget):
    """Sire above dam; a line for each possible pair with its share and the reason.

    Signals
    -------
    bird_asked
        The page of a parent is wanted (str, its BirdId).
    """

    bird_asked = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(space(1.5))
        self._grid.setVerticalSpacing(space(0.25))
        self._grid.setColumnStretch(3, 1)

    def show_bird(self, bird: Bird, snapshot: Snapshot) -> None:
        """Show the parents of a bird."""
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        if not bird.pairs:
            if bird.is_founder:
                text = _("A founder: parents are not recorded.")
            else:
                text = _("Parents not recorded: the pedigree has a gap here.")
            self._grid.addWidget(label(text, Role.FAINT, wraps=True), 0, 0, 1, 4)
            return
        if len(bird.pairs) == 1:
            pair = bird.pairs[0]
            for row, (words, parent) in enumerate(((_("sire"), pair.sire), (_("dam"), pair.dam))):
                self._grid.addWidget(label(words, Role.FAINT), row, 0)
                self._grid.addWidget(self._parent(parent, snapshot), row, 1)
            if pair.reason:
                self._grid.addWidget(label(pair.reason, Role.SMALL, wraps=True), 2, 0, 1, 4)
            return
        for row, pair in enumerate(sorted(bird.pairs, key=lambda each: -each.weight)):
            self._grid.addWidget(label(percent_text(pair.weight, 0), Role.FAINT), row * 2, 0)
            couple = QWidget()
            flow = Flow(couple, gap=0.5)
            flow.addWidget(self._parent(pair.sire, snapshot))
            flow.addWidget(label("×", Role.FAINT))
            flow.addWidget(self._parent(pair.dam, snapshot))
            self._grid.addWidget(couple, row * 2, 1, 1, 3)
            if pair.reason:
                self._grid.addWidget(label(pair.reason, Role.SMALL, wraps=True), row * 2 + 1, 1, 1, 3)

    def _parent(self, parent: BirdId | None, snapshot: Snapshot) -> QWidget:
        if parent is None or not snapshot.has(parent):
            unknown = label(_("unknown"), Role.FAINT)
            unknown.setContentsMargins(space(0.5), 0, 0, 0)
            return unknown
        to_bird = BirdLink(snapshot.bird(parent))
        to_bird.asked.connect(self.bird_asked)
        return to_bird


class ParentsDialog(FormDialog):
    """Say who the parents are, and why one thinks so."""

    def __init__(self, context: Context, bird: Bird, snapshot: Snapshot, parent: QWidget) -> None:
        title = _("Parents of {bird}").format(bird=bird_text(bird))
        super().__init__(context, title, _("Save the parents"), parent)
        self.setObjectName("parents_dialog")
        self._bird = bird
        self.parents = ParentsEditor()
        self.parents.set_birds(snapshot, barred=[bird.id])
        self.parents.set_pairs(bird.pairs)
        self.form.add("parents", _("Sire and dam"), self.parents, wide=True)
        self.reason = self.form.add_line(
            "reason",
            _("Why you think so"),
            bird.pairs[0].reason if bird.pairs else "",
            _("Kept beside the parents: “seen on the nest”, “the only cock in the pen”."),
            wide=True,
        )
        self.parents.changed.connect(self._check)
        self.set_change(self._read)
        self.setMinimumWidth(length(480))

    def _change_now(self) -> SetParents:
        return SetParents(self._bird.id, self.parents.pairs, self.reason.text().strip())

    def _check(self) -> None:
        """Say at once what is wrong with the shares, or what the record would say."""
        if not self._show_own():
            self.context.record.preview(self._change_now(), self._take_problems, key="parents preview")

    def _show_own(self) -> bool:
        if self.parents.error:
            self.form.show_problems((Problem("weights", self.parents.error, field="parents"),))
        return bool(self.parents.error)

    def _take_problems(self, problems: tuple[Problem, ...]) -> None:
        if not self._show_own() and self.isVisible():
            self.show_refusal(problems)

    def _read(self) -> Change | None:
        return None if self._show_own() else self._change_now()


class OffspringView(QWidget):
    """The offspring by hatch year, the newest first; a bird that is only possibly its own is said to be.

    Signals
    -------
    bird_asked
        The page of one is wanted (str, its BirdId).
    all_asked
        All of them are wanted in the table.
    """

    bird_asked = Signal(str)
    all_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(space(0.5))

    def show_bird(self, bird: Bird, snapshot: Snapshot) -> None:
        """Show the offspring of a bird."""
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        chicks = [snapshot.bird(chick) for chick in snapshot.offspring.get(bird.id, ())]
        if not chicks:
            self._column.addWidget(label(_("No offspring in the book."), Role.FAINT))
            return
        chicks.sort(key=lambda chick: (chick.hatched.year or 0, str(chick.hatched), chick.mark), reverse=True)
        for year, of_year in groupby(chicks[:_SHOWN], key=lambda chick: chick.hatched.year):
            self._column.addWidget(self._year(year, list(of_year), bird))
        if len(chicks) > _SHOWN:
            text = plural("Show all {count} in the table", "Show all {count} in the table", len(chicks))
            self._column.addWidget(link(text.format(count=len(chicks)), self.all_asked.emit))

    def _year(self, year: int | None, chicks: list[Bird], parent: Bird) -> QWidget:
        line = QWidget()
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(1))
        words = label(str(year) if year else _("undated"), Role.FAINT)
        words.setFixedWidth(length(60))
        row.addWidget(words, 0, Qt.AlignmentFlag.AlignTop)
        links = QWidget()
        flow = Flow(links, gap=0.5)
        for chick in sorted(chicks, key=lambda each: (str(each.hatched), each.mark)):
            to_bird = BirdLink(chick)
            to_bird.asked.connect(self.bird_asked)
            weight = sum(pair.weight for pair in chick.pairs if parent.id in (pair.sire, pair.dam))
            flow.addWidget(to_bird if weight > 1 - 1e-6 else _with_share(to_bird, weight))
        row.addWidget(links, 1)
        return line


def _with_share(to_bird: BirdLink, weight: float) -> QWidget:
    """A bird that is only possibly an offspring, with how likely that is."""
    whole = QWidget()
    row = QHBoxLayout(whole)
    row.setContentsMargins(0, 0, space(0.5), 0)
    row.setSpacing(0)
    row.addWidget(to_bird)
    share = label(percent_text(weight, 0), Role.SMALL)
    share.setToolTip(_("one of several possible parents"))
    row.addWidget(share)
    return whole
