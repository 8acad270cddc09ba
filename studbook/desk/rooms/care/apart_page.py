"""Who is apart now, what is overdue, whom an ill bird was with; and every time apart before."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.husbandry.wording import apart_word
from studbook.book.ids import BirdId
from studbook.book.records import Bird, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.apart import (
    EditApartDialog,
    EndApartDialog,
    SetApartDialog,
    mates_paragraphs,
    review_text,
    where_text,
)
from studbook.desk.rooms.care.page import CarePage, clear
from studbook.desk.tables import Column, Paint, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.text import SectionHeading, button, label, link, rule
from studbook.desk.wording import MISSING, bird_text, day_text
from studbook.planning.care.apart import (
    TimeApart,
    apart_before,
    apart_now,
    days_text,
    in_one_line,
    reason_caution,
)
from studbook.season.practice import ApartReason
from studbook.words import _, plural

_ROWS_SEEN = 8


class ApartPage(CarePage):
    """Who is apart, and until when?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "care_apart")
        self._snapshot: Snapshot | None = None
        self._set = button(_("Set a bird apart…"), self.set_apart, primary=True)
        self._set.setObjectName("set_apart")
        self.column.addWidget(SectionHeading(_("Apart now"), self._set))
        self.summary = label("", Role.FAINT, wraps=True)
        self.summary.setObjectName("apart_summary")
        self.column.addWidget(self.summary)
        self._now = QVBoxLayout()
        self._now.setSpacing(space(0.5))
        self.column.addLayout(self._now)
        self.column.addWidget(label(reason_caution(ApartReason.OTHER), Role.SMALL, wraps=True))
        self._before_heading = SectionHeading(_("Apart before"))
        self.column.addWidget(self._before_heading)
        self.model: RowsModel[TimeApart] = RowsModel(self._columns(), identity=lambda time: time.apart.id)
        self.table = Table(self.model, "apart_before")
        self.table.setAccessibleName(_("Times apart that are over"))
        self.table.row_asked.connect(lambda time: self.bird_asked.emit(str(time.bird.id)))
        self.column.addWidget(self.table)
        self.column.addStretch(1)

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Show who is apart in a state of the book."""
        self._snapshot = snapshot
        today = self.context.today
        now, before = apart_now(snapshot, today), apart_before(snapshot, today)
        if not now and not before:
            self.show_missing(self._nothing())
            return
        self.show_content()
        self._set.setVisible(self.can_edit)
        self.summary.setText(_summary(now))
        clear(self._now)
        for place, time in enumerate(now):
            self._now.addWidget(_Line(self, time, snapshot, place))
        self.model.set_rows(before)
        self._before_heading.setVisible(bool(before))
        self.table.setVisible(bool(before))
        self.table.fit_rows(_ROWS_SEEN)

    def set_apart(self, bird: Bird | None = None) -> None:
        """Ask for a bird to set apart."""
        if self._snapshot is not None and self.can_edit:
            SetApartDialog(self.context, self._snapshot, bird, self.window()).ask()

    def edit(self, time: TimeApart) -> None:
        """Change what is noted of a bird apart."""
        EditApartDialog(self.context, time, self.window()).ask()

    def end(self, time: TimeApart) -> None:
        """Ask how a time apart ended."""
        if self._snapshot is not None:
            EndApartDialog(self.context, self._snapshot, time, self.window()).ask()

    def _nothing(self) -> EmptyState:
        has_birds = self._snapshot is not None and bool(self._snapshot.living)
        return EmptyState(
            "bandaids",
            _("Nobody is apart"),
            _(
                "Set a bird apart when it is ill, hurt, newly bought, bullied or on trial: with a reason, a place and "
                "a day to look again. It then counts as in none of the pens, and here stands what is overdue."
            ),
            (_("Set a bird apart…"), self.set_apart) if has_birds and self.can_edit else None,
        )

    def _columns(self) -> tuple[Column[TimeApart], ...]:
        return (
            Column(
                "bird", _("Bird"), lambda time: bird_text(time.bird), lambda time: time.bird.called, 22,
                paint=Paint.BIRD, bird=lambda time: time.bird,
            ),
            Column("reason", _("Reason"), lambda time: apart_word(time.apart.reason), width=18),
            Column("since", _("Since"), lambda time: day_text(time.apart.since), lambda time: time.apart.since, 13),
            Column(
                "until", _("Until"), lambda time: day_text(time.apart.until) if time.apart.until else MISSING,
                lambda time: time.apart.until, 13,
            ),
            Column("days", _("Days"), lambda time: str(time.days), lambda time: time.days, 7, right=True),
            Column("outcome", _("Outcome"), lambda time: time.apart.outcome or MISSING, width=30),
        )  # fmt: skip


def _summary(now: tuple[TimeApart, ...]) -> str:
    if not now:
        return _("Nobody is apart now.")
    overdue = sum(time.is_overdue for time in now)
    text = plural("{count} bird is apart.", "{count} birds are apart.", len(now)).format(count=len(now))
    if not overdue:
        return text
    late = plural(
        "{count} should have been looked at by now.", "{count} should have been looked at by now.", overdue
    ).format(count=overdue)
    return f"{text} {late}"


class _Line(QWidget):
    """One bird apart: who and why, where and since, what is due, and what can be done."""

    def __init__(self, page: ApartPage, time: TimeApart, snapshot: Snapshot, place: int) -> None:
        super().__init__()
        self.setObjectName(f"apart_{place}")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(space(0.5))
        grid = QGridLayout()
        grid.setHorizontalSpacing(space(2))
        grid.setVerticalSpacing(0)
        who = BirdLink(time.bird)
        who.asked.connect(page.bird_asked)
        grid.addWidget(who, 0, 0, Qt.AlignmentFlag.AlignLeft)
        since = _("{reason}, since {day} ({days})").format(
            reason=apart_word(time.apart.reason), day=day_text(time.apart.since), days=days_text(time.days)
        )
        grid.addWidget(label(since, wraps=True), 0, 1)
        due = label(review_text(time), Role.CAUTION if time.is_overdue else None, wraps=True)
        due.setObjectName(f"apart_due_{place}")
        grid.addWidget(due, 0, 2)
        told = in_one_line(where_text(time, snapshot), time.apart.note)
        grid.addWidget(label(told or _("place not noted"), Role.FAINT, wraps=True), 1, 1, 1, 2)
        grid.setColumnMinimumWidth(0, length(180))
        grid.setColumnStretch(1, 3)
        grid.setColumnStretch(2, 2)
        if page.can_edit:
            deeds = QHBoxLayout()
            deeds.setSpacing(space(1))
            called = bird_text(time.bird)
            edit = link(_("change…"), lambda: page.edit(time))
            edit.setObjectName(f"edit_apart_{place}")
            edit.setAccessibleName(_("Change what is noted of {bird}").format(bird=called))
            end = link(_("back…"), lambda: page.end(time))
            end.setObjectName(f"end_apart_{place}")
            end.setAccessibleName(_("End the time apart of {bird}").format(bird=called))
            deeds.addWidget(edit)
            deeds.addWidget(end)
            grid.addLayout(deeds, 0, 3)
        whole.addLayout(grid)
        if time.apart.reason is ApartReason.ILL:
            mates = Prose(f"apart_mates_{place}", _("Birds that shared its pen"))
            mates.bird_asked.connect(page.bird_asked)
            whole.addWidget(mates)
            paragraphs = mates_paragraphs(
                snapshot, BirdId(time.bird.id), time.apart.since, page.context.today
            )
            mates.show_paragraphs(paragraphs, snapshot)
            whole.addWidget(label(reason_caution(ApartReason.ILL).splitlines()[0], Role.CAUTION, wraps=True))
        whole.addWidget(rule())
