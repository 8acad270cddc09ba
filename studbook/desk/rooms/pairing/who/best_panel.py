"""The best set to keep: how many, the answer with its proof, what each swap costs, and marking it in one go."""

from __future__ import annotations

from threading import Event
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QCheckBox, QGridLayout, QSpinBox, QVBoxLayout, QWidget

from studbook.book.records import Bird, Snapshot
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.page import Choosing
from studbook.desk.rooms.pairing.who.figure_list import FigureList
from studbook.desk.rooms.pairing.who.numbers import Keeping, Numbers, Refusal
from studbook.desk.tables import Column, Paint, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.wording import bird_text, percent_text
from studbook.planning.breeders.lines import Lines, usual_numbers
from studbook.planning.breeders.methods import Asked
from studbook.planning.breeders.telling import (
    best_sentences,
    change_text,
    impossible_text,
    kept_sentences,
    other_sentences,
)
from studbook.words import _

if TYPE_CHECKING:
    from studbook.planning.breeders.best import Best, Swap

_WAIT_MS = 250
_SWAPS_HIGH = 220


class BestPanel(QWidget):
    """Whom to keep for the least kinship of the next generation.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    choosing_asked
        A set is to be marked as chosen (tuple of BirdId).
    """

    bird_asked = Signal(str)
    choosing_asked = Signal(object)

    def __init__(self, context: Context, numbers: Numbers) -> None:
        super().__init__()
        self._context, self._numbers = context, numbers
        self._choosing: Choosing | None = None
        self._lines: Lines | None = None
        self._snapshot: Snapshot | None = None
        self._stop = Event()
        self._ticket = 0
        self._asked: tuple[Lines, Keeping] | None = None
        self._is_proposing = False
        self._species = ""
        self.best: Best | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_WAIT_MS)
        self._timer.timeout.connect(self._ask)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, space(1.5), 0)
        column.setSpacing(space(1))
        column.addWidget(SectionHeading(_("The best set to keep")))
        column.addLayout(self._wishes())
        self.state = label("", Role.FAINT, wraps=True)
        self.state.setObjectName("who_best_state")
        self._stopping = link(_("stop and take the best so far"), lambda: self._stop.set())
        self._stopping.setObjectName("who_best_stop")
        column.addWidget(self.state)
        column.addWidget(self._stopping)
        self.told = Prose("who_best_told", _("The best set to keep"))
        self.told.bird_asked.connect(self.bird_asked)
        column.addWidget(self.told)
        self._take = button(_("Mark these as chosen"), self._choose, primary=True)
        self._take.setObjectName("who_best_take")
        column.addWidget(self._take)
        self._after = label(
            _("Others that were chosen go into reserve; one undo takes it back."), Role.SMALL, wraps=True
        )
        column.addWidget(self._after)
        self._others_heading = SectionHeading(_("The next best sets"))
        column.addWidget(self._others_heading)
        self.others = Prose("who_best_others", _("The next best sets"))
        self.others.bird_asked.connect(self.bird_asked)
        column.addWidget(self.others)
        self._swaps_heading = SectionHeading(_("What each swap costs"))
        column.addWidget(self._swaps_heading)
        self._model: RowsModel[Swap] = RowsModel(
            self._columns(), identity=lambda swap: (swap.goes, swap.comes)
        )
        self.swaps = Table(self._model, "who_swaps")
        self._model.setParent(self.swaps)
        self.swaps.setAccessibleName(_("What each swap costs"))
        self.swaps.setMinimumHeight(length(_SWAPS_HIGH))
        self.swaps.row_asked.connect(lambda swap: self.bird_asked.emit(str(swap.comes)))
        column.addWidget(self.swaps)
        self.figures = FigureList("who_best_figure")
        column.addWidget(self.figures)
        column.addStretch(1)
        self._show_parts(answered=False)

    def _wishes(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(space(1))
        grid.setVerticalSpacing(space(0.5))
        self.cocks, self.hens = QSpinBox(), QSpinBox()
        for place, (name, words, box) in enumerate(
            (("who_best_cocks", _("Cocks"), self.cocks), ("who_best_hens", _("Hens"), self.hens))
        ):
            box.setObjectName(name)
            box.setAccessibleName(words)
            box.setRange(1, 9999)
            box.setMinimumWidth(length(72))
            box.valueChanged.connect(lambda _number: self._later())
            caption = label(words, Role.CAPTION)
            caption.setBuddy(box)
            grid.addWidget(caption, 0, 2 * place)
            grid.addWidget(box, 0, 2 * place + 1)
        grid.setColumnStretch(4, 1)
        self.keeps_chosen = QCheckBox(_("with all that are marked chosen"))
        self.keeps_chosen.setObjectName("who_best_keeps_chosen")
        self.without_apart = QCheckBox(_("without birds that are apart"))
        self.without_apart.setObjectName("who_best_without_apart")
        for row, tick in enumerate((self.keeps_chosen, self.without_apart), start=1):
            tick.toggled.connect(lambda _on: self._later())
            grid.addWidget(tick, row, 0, 1, 5)
        never = label(_("Birds marked “no” are in no set."), Role.SMALL, wraps=True)
        grid.addWidget(never, 3, 0, 1, 5)
        return grid

    @property
    def keeping(self) -> Keeping:
        """What the fields ask for."""
        return Keeping(
            self.cocks.value(),
            self.hens.value(),
            self.keeps_chosen.isChecked(),
            self.without_apart.isChecked(),
        )

    def show_lines(self, choosing: Choosing, lines: Lines, *, can_edit: bool) -> None:
        """Another state of the flock; the numbers stay once they are proposed for a species."""
        self._choosing, self._lines = choosing, lines
        if self.best is not None and not {line.bird.id for line in lines.lines} >= set(self.best.birds):
            # a set with a bird that has gone is nothing to choose
            self.best = self._asked = None
            self._show_parts(answered=False)
        if choosing.species != self._species:
            self._species = choosing.species
            cocks, hens = usual_numbers(lines)
            self._is_proposing = True
            self.cocks.setValue(max(1, cocks))
            self.hens.setValue(max(1, hens))
            self._is_proposing = False
        self._take.setVisible(can_edit and self.best is not None)
        self._after.setVisible(can_edit and self.best is not None)
        if self.isVisible():
            self._later()

    def leave(self) -> None:
        """Nobody waits for the set any more."""
        self._timer.stop()
        self._stop.set()
        self._context.workers.cancel(self._ticket)

    def _later(self) -> None:
        if not self._is_proposing and self._lines is not None and self.isVisible():
            self._timer.start()

    def _ask(self) -> None:
        lines, choosing, keeping = self._lines, self._choosing, self.keeping
        if lines is None or choosing is None or self._is_asked(lines, keeping):
            return
        self._asked = (lines, keeping)
        self._stop.set()
        self._stop = stop = Event()
        self.state.setText(_("Looking for the best set…"))
        self.state.show()
        self._stopping.show()
        numbers = self._numbers
        self._ticket = self._context.workers.run(
            lambda progress: numbers.best(choosing, lines, keeping, stop.is_set, progress),
            lambda found: self._show(found, choosing.snapshot),
            progressed=self._show_progress,
            key=("pairing", "best set"),
        )

    def _is_asked(self, lines: Lines, keeping: Keeping) -> bool:
        return self._asked is not None and self._asked[0] is lines and self._asked[1] == keeping

    def _show_progress(self, share: float) -> None:
        text = _(
            "Looking for the best set: it is proven that none is better by more than {gap} of its figure."
        )
        self.state.setText(text.format(gap=percent_text(1 - share, 2)))

    def _show(self, found: Best | Refusal, snapshot: Snapshot) -> None:
        self._stopping.hide()
        if isinstance(found, Refusal):
            self.best = None
            self.state.setText(impossible_text(found.which))
            self._show_parts(answered=False)
            return
        self.best = found
        self.state.hide()
        self._show_parts(answered=True)
        first, *rest = best_sentences(found)
        told = [Paragraph((first,), Style.LEAD), *(Paragraph((sentence,)) for sentence in rest)]
        told += [Paragraph((sentence,)) for sentence in kept_sentences(found)]
        self.told.show_paragraphs(told, snapshot)
        others = other_sentences(found)
        for part in (self._others_heading, self.others):
            part.setVisible(bool(others))
        self.others.show_paragraphs([Paragraph((sentence,)) for sentence in others], snapshot)
        self._snapshot = snapshot
        self._model.set_rows(found.swaps)
        self.figures.show_figures(
            [
                (Asked.NEXT_KINSHIP, _("kinship of next generation"), percent_text(found.kept.kinship, 2)),
                (Asked.EXPECTED, _("F of next generation"), percent_text(found.kept.expected, 2)),
                (Asked.BEST_SET, _("no set has less than"), percent_text(found.bound, 2)),
            ],
            snapshot,
        )

    def _show_parts(self, *, answered: bool) -> None:
        book = self._context.record.open_book
        can_edit = book is not None and not book.read_only
        for part in (
            self.told, self._others_heading, self.others, self._swaps_heading, self.swaps, self.figures,
        ):  # fmt: skip
            part.setVisible(answered)
        for control in (self._take, self._after):
            control.setVisible(answered and can_edit)
        if not answered:
            self._stopping.hide()

    def _choose(self) -> None:
        if self.best is not None:
            self.choosing_asked.emit(self.best.birds)

    def _columns(self) -> tuple[Column[Swap], ...]:
        def goes(swap: Swap) -> Bird:
            assert self._snapshot is not None
            return self._snapshot.bird(swap.goes)

        def comes(swap: Swap) -> Bird:
            assert self._snapshot is not None
            return self._snapshot.bird(swap.comes)

        return (
            Column(
                "goes", _("Goes"), lambda swap: goes(swap).called, width=8, paint=Paint.CHIP, bird=goes,
                tip=lambda swap: bird_text(goes(swap)),
            ),
            Column(
                "comes", _("Comes"), lambda swap: comes(swap).called, width=8, paint=Paint.CHIP, bird=comes,
                tip=lambda swap: bird_text(comes(swap)),
            ),
            Column(
                "change", _("Kinship"), lambda swap: change_text(swap.change), lambda swap: swap.change, 10, right=True,
                explained=_("What the mean kinship of the next generation changes by."),
            ),
            Column(
                "expected", _("F"), lambda swap: change_text(swap.expected_change),
                lambda swap: swap.expected_change, 10, right=True,
                explained=_("What the mean F of the next generation changes by."),
            ),
        )  # fmt: skip

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._later()
