"""The plans of a season that are kept: what they promise, to be opened again or withdrawn."""

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.husbandry.choosing_rows import Plan
from studbook.book.ids import PlanId
from studbook.book.records import Snapshot
from studbook.desk.theme import space
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import day_text, percent_text
from studbook.words import _


class KeptPlans(QWidget):
    """A line for each plan.

    Signals
    -------
    opened
        A plan is to be shown again (PlanId).
    withdrawn
        A plan is to be taken out of the book (PlanId).
    """

    opened = Signal(object)
    withdrawn = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("best_kept")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        self._heading = SectionHeading(_("Plans you kept"))
        column.addWidget(self._heading)
        self._lines = QVBoxLayout()
        self._lines.setSpacing(space(0.5))
        column.addLayout(self._lines)
        self._shown: tuple[Plan, ...] = ()

    def show_plans(self, snapshot: Snapshot, season: int, *, editable: bool) -> None:
        """Show the plans of a season, the latest first."""
        found = [row for row in snapshot.husbandry.plans.values() if row.season == season]
        plans = tuple(sorted(found, key=lambda row: row.made, reverse=True))
        self.setVisible(bool(plans))
        if plans == self._shown:
            return
        self._shown = plans
        while (item := self._lines.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        for at, plan in enumerate(plans):
            self._lines.addWidget(self._line(at + 1, plan, editable=editable))

    def _line(self, number: int, plan: Plan, *, editable: bool) -> QWidget:
        made = QWidget()
        row = QHBoxLayout(made)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(1.5))
        text = _("{name}, made on {day}: F of the chicks {f}, kinship of the next generation {kinship}")
        words = text.format(
            name=plan.name or str(plan.season),
            day=day_text(plan.made),
            f=percent_text(plan.inbreeding, 2),
            kinship=percent_text(plan.kinship, 2),
        )
        told = label(words, wraps=True)
        told.setToolTip(plan.note)
        row.addWidget(told, 1)
        for key, verb, run, spoken in (
            ("open", _("show"), self._emit(self.opened, plan.id), _("Show the plan {name}")),
            ("withdraw", _("withdraw"), self._emit(self.withdrawn, plan.id), _("Withdraw the plan {name}")),
        ):
            way = link(verb, run)
            way.setObjectName(f"best_kept_{key}_{number}")
            way.setAccessibleName(spoken.format(name=plan.name or plan.season))
            way.setEnabled(editable or key == "open")
            row.addWidget(way)
        return made

    def _emit(self, signal: object, plan: PlanId) -> Callable[[], None]:
        return lambda: signal.emit(plan)  # type: ignore[attr-defined]
