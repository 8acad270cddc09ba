"""When a bird was apart: now and before, with the way back."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from studbook.book.husbandry.wording import apart_word
from studbook.book.records import Bird, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.apart import EndApartDialog, SetApartDialog, review_text, where_text
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label, link
from studbook.desk.wording import day_text
from studbook.planning.care.apart import TimeApart, days_text, in_one_line, times_of
from studbook.words import _


class ApartView(QWidget):
    """A line for each time apart, the last first."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("page_apart")
        self.context = context
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(space(1.5))
        self._grid.setVerticalSpacing(space(0.5))
        self._grid.setColumnStretch(0, 1)
        self._bird: Bird | None = None
        self._snapshot: Snapshot | None = None

    def show_bird(self, bird: Bird, snapshot: Snapshot, *, can_edit: bool) -> None:
        """Show the times a bird was apart."""
        self._bird, self._snapshot = bird, snapshot
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        times = times_of(snapshot, bird.id, self.context.today)
        for row, time in enumerate(times):
            words = label(_told(time, snapshot), _role(time), wraps=True)
            words.setObjectName(f"page_apart_{row}")
            words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            self._grid.addWidget(words, row, 0)
            if can_edit and time.apart.until is None:
                end = link(_("back…"), lambda time=time: self._end(time))  # type: ignore[misc]
                end.setObjectName("page_end_apart")
                end.setAccessibleName(_("End its time apart"))
                self._grid.addWidget(end, row, 1, Qt.AlignmentFlag.AlignTop)
        if not times:
            self._grid.addWidget(label(_("Never set apart."), Role.FAINT), 0, 0)

    @property
    def is_apart(self) -> bool:
        """True while the bird shown is apart."""
        if self._bird is None or self._snapshot is None:
            return False
        held = self._snapshot.husbandry.apart_of.get(self._bird.id, ())
        return any(apart.until is None for apart in held)

    def set_apart(self) -> None:
        """Ask how to set the bird apart."""
        if self._bird is not None and self._snapshot is not None:
            SetApartDialog(self.context, self._snapshot, self._bird, self.window()).ask()

    def _end(self, time: TimeApart) -> None:
        if self._snapshot is not None:
            EndApartDialog(self.context, self._snapshot, time, self.window()).ask()


def _role(time: TimeApart) -> Role | None:
    if time.apart.until is not None:
        return Role.FAINT
    return Role.CAUTION if time.is_overdue else None


def _told(time: TimeApart, snapshot: Snapshot) -> str:
    """One time apart in a line."""
    apart = time.apart
    reason, since = apart_word(apart.reason), day_text(apart.since)
    if apart.until is None:
        head = _("Apart since {day} ({days}): {reason}").format(
            day=since, days=days_text(time.days), reason=reason
        )
        parts = [head, where_text(time, snapshot), review_text(time), apart.note]
    else:
        head = _("{since} to {until}: {reason}").format(
            since=since, until=day_text(apart.until), reason=reason
        )
        parts = [head, where_text(time, snapshot), apart.note, apart.outcome]
    return in_one_line(*parts)
