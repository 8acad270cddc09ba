"""One pen of the board: its name, its figures, its birds and what is not well, on a hairline."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.ids import PenId
from studbook.book.records import Bird, Snapshot
from studbook.desk.deeds.saying import said
from studbook.desk.rooms.pens.flock_list import BIRDS_MIME, FlockList, Line, accessible_list_name, birds_of
from studbook.desk.theme import Role, look, space
from studbook.desk.widgets.text import label, link
from studbook.desk.wording import day_text, percent_text
from studbook.planning.pens.board import Occupant, PenOn
from studbook.planning.pens.naming import pen_name
from studbook.planning.pens.telling import coming_words, condition_words, figure_lines
from studbook.planning.pens.warnings import PenWarning
from studbook.words import _

WIDTH = 236
"""The least width of a column at 100 %."""

_LONG = 14
"""So many birds in no pen or apart are shown without scrolling."""


class Column(QWidget):
    """A heading, small lines, a list of birds, more small lines; birds can be dropped on it where `takes_birds`.

    Signals
    -------
    dropped
        Birds were dropped here (tuple[BirdId, ...], PenId or None).
    dragged_over
        Birds are held over this place of it (QPoint).
    """

    dropped = Signal(object, object)
    dragged_over = Signal(object)

    def __init__(
        self, name: str, carried: Callable[[], Sequence[Bird]], parent: QWidget, *, most: int = 0
    ) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.pen_id: PenId | None = None
        self._takes_birds = False
        self._is_over = False
        self.setAcceptDrops(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(space(1.5), space(0.5), space(1), space(1))
        column.setSpacing(space(0.5))
        self._house = label("", Role.SMALL, wraps=True)
        self._house.setObjectName(f"{name}_house")
        column.addWidget(self._house)
        self.head = QHBoxLayout()
        self._name = label("", Role.NAME, wraps=True)
        self.head.addWidget(self._name, 1)
        column.addLayout(self.head)
        self._figures = label("", Role.SMALL, wraps=True)
        self._figures.setObjectName(f"{name}_figures")
        column.addWidget(self._figures)
        self.list = FlockList(f"{name}_birds", carried, most=most)
        column.addWidget(self.list)
        self._plans = label("", Role.SMALL, wraps=True)
        self._plans.setObjectName(f"{name}_plans")
        column.addWidget(self._plans)
        self._cautions = label("", Role.CAUTION, wraps=True)
        self._cautions.setObjectName(f"{name}_warnings")
        self._cautions.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        column.addWidget(self._cautions)
        column.addStretch(1)

    def height_at(self, width: int) -> int:
        """The height it needs in a width."""
        layout = self.layout()
        assert layout is not None
        return layout.totalHeightForWidth(width)

    def set_editable(self, editable: bool) -> None:
        """Whether birds may be dragged from here and dropped here."""
        self._takes_birds = editable
        self.list.set_movable(editable)

    def show_texts(self, house: str, name: str, figures: str, plans: str = "", cautions: str = "") -> None:
        """Show the lines around the list; an empty one takes no room."""
        self._house.setText(house)
        self._name.setText(name)
        self.list.setAccessibleName(accessible_list_name(name))
        for place, text in ((self._figures, figures), (self._plans, plans), (self._cautions, cautions)):
            place.setText(text)
            place.setVisible(bool(text))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if self._takes_birds and event.mimeData().hasFormat(BIRDS_MIME):
            self._show_over(True)
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        self.dragged_over.emit(event.position().toPoint())
        event.acceptProposedAction()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self._show_over(False)

    def dropEvent(self, event: QDropEvent) -> None:
        self._show_over(False)
        birds = tuple(bird for bird in birds_of(event.mimeData()) if bird not in self.list.birds)
        event.acceptProposedAction()
        if birds:
            self.dropped.emit(birds, self.pen_id)

    def _show_over(self, over: bool) -> None:
        self._is_over = over
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colour = look().comb if self._is_over else look().hair
        painter.setPen(QPen(colour, 3 if self._is_over else 1))
        painter.drawLine(0, 0, 0, self.height())


class PenColumn(Column):
    """A pen.

    Signals
    -------
    edit_asked, card_asked
        The form of the pen, or its card to hang up, is wanted (PenId).
    """

    edit_asked = Signal(object)
    card_asked = Signal(object)

    def __init__(self, pen: PenId, name: str, carried: Callable[[], Sequence[Bird]], parent: QWidget) -> None:
        super().__init__(name, carried, parent)
        self.pen_id = pen
        self._card = link(_("card"), lambda: self.card_asked.emit(self.pen_id))
        self._card.setObjectName(f"{name}_card")
        self.head.addWidget(self._card)
        self._edit = link(_("change"), lambda: self.edit_asked.emit(self.pen_id))
        self._edit.setObjectName(f"{name}_edit")
        self.head.addWidget(self._edit)
        self._shown: tuple[object, ...] = ()

    def set_editable(self, editable: bool) -> None:
        super().set_editable(editable)
        self._edit.setVisible(editable)
        self._card.setVisible(editable)

    def show_pen(
        self, pen: PenOn, house: str, warned: Sequence[PenWarning], snapshot: Snapshot, day: date
    ) -> None:
        """Show the pen as it is on a day; what is shown already is left alone."""
        lines = tuple(_line(occupant, pen, snapshot) for occupant in pen.occupants)
        shown = (pen, house, tuple(warned), day, lines)
        if shown == self._shown:
            return
        self._shown = shown
        self.list.set_lines(lines)
        coming = "\n".join(said(coming_words(move, day_text), snapshot) for move in pen.coming)
        figures = "\n".join(said(line, snapshot) for line in figure_lines(pen, day, day_text))
        cautions = "\n".join(said(warning.sentence, snapshot) for warning in warned)
        self._card.setAccessibleName(_("Print the card of {pen}").format(pen=pen.pen.name))
        self._edit.setAccessibleName(_("Change the pen {pen}").format(pen=pen.pen.name))
        self.show_texts(house, pen.pen.name, figures, coming, cautions)


class LooseColumn(Column):
    """Birds that are in no pen, or apart."""

    def __init__(self, name: str, carried: Callable[[], Sequence[Bird]], parent: QWidget) -> None:
        super().__init__(name, carried, parent, most=_LONG)

    def show_lines(self, title: str, remark: str, lines: Sequence[Line]) -> None:
        """Show these birds."""
        self.list.set_lines(lines)
        self.show_texts(_("Elsewhere"), title, remark)


def _line(occupant: Occupant, pen: PenOn, snapshot: Snapshot) -> Line:
    """A bird of a pen, with the F of its chicks and what is noted and planned."""
    remarks = []
    if noted := condition_words(occupant.conditions, day_text):
        remarks.append(noted)
    for move in pen.going:
        if move.bird == occupant.bird:
            text = _("to {pen} on {day}")
            name = pen_name(snapshot.husbandry, move.pen)
            remarks.append(text.format(pen=name, day=day_text(move.on)))
    worst = occupant.worst
    tip = "\n".join(
        _("F of the chicks with {cock}: {share}").format(
            cock=snapshot.bird(cock).called, share=percent_text(share, 2)
        )
        for cock, share in occupant.expected
    )
    figure = percent_text(worst) if worst is not None else ""
    return Line(snapshot.bird(occupant.bird), figure, tuple(remarks), tip)
