"""The policies side by side, as many in a row as there is room for, with ways to add and remove one."""

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from studbook.desk.rooms.pairing.ahead.column import PolicyColumn
from studbook.desk.theme import length, look, space
from studbook.desk.widgets.text import link
from studbook.planning.forecast.policy import MOST_POLICIES, Policy, Yard
from studbook.words import _

_COLUMN = 232
_MUCH = 100


class PolicyBoard(QWidget):
    """Up to four policies.

    Signals
    -------
    changed
        A policy is another one, or one more or less.
    again_asked
        The policies the program proposes are wanted again.
    """

    changed = Signal()
    again_asked = Signal()

    def __init__(self, before: QWidget) -> None:
        """`before` is what the keyboard comes from."""
        super().__init__()
        self.setObjectName("policies")
        self._before = before
        self._yards: tuple[tuple[str, Yard], ...] = ()
        self._more: list[Policy] = []
        self.columns: list[PolicyColumn] = []
        self._shows_rest = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(space(3))
        self._grid.setVerticalSpacing(space(2))
        column.addLayout(self._grid)
        row = QHBoxLayout()
        row.setSpacing(space(2))
        self._add = link(_("add a policy"), self.add)
        self._add.setObjectName("policy_add")
        self._rest = link(_("more fields"), self._turn_rest)
        self._rest.setObjectName("policy_more")
        row.addWidget(self._add)
        row.addWidget(self._rest)
        again = link(_("propose anew"), self.again_asked.emit)
        again.setObjectName("policy_again")
        again.setToolTip(_("The policies read from the last years, in place of these"))
        row.addWidget(again)
        row.addStretch(1)
        column.addLayout(row)

    @property
    def policies(self) -> tuple[Policy, ...]:
        """What is to be compared, in order; equal names are told apart by a number."""
        found: list[Policy] = []
        for column in self.columns:
            policy, number = column.policy, 2
            name = policy.name
            while any(name == other.name for other in found):
                name, number = f"{policy.name} {number}", number + 1
            found.append(policy if name == policy.name else replace(policy, name=name))
        return tuple(found)

    @property
    def can_run(self) -> bool:
        """True when every policy can be bred out."""
        fits = [column.check() for column in self.columns]
        return all(fits)

    def show_policies(
        self, policies: Sequence[Policy], more: Sequence[Policy], yards: Sequence[tuple[str, Yard]]
    ) -> None:
        """Begin with other policies; `more` are offered when one is added."""
        self._yards, self._more = tuple(yards), list(more)
        for column in self.columns:
            self._let_go(column)
        self.columns = []
        for policy in policies:
            self._put(policy)
        self._arrange()

    def add(self) -> None:
        """One more policy: the next that is offered, else the last once more."""
        if len(self.columns) >= MOST_POLICIES:
            return
        policy = self._more.pop(0) if self._more else self.columns[-1].policy
        self._put(policy)
        self._arrange()
        made = self.columns[-1]
        made.name.setFocus()
        made.name.selectAll()
        self.changed.emit()

    def dress(self) -> None:
        """Take the colours of the look."""
        for column in self.columns:
            column.dress(look())

    def _put(self, policy: Policy) -> None:
        made = PolicyColumn(policy, self._yards, len(self.columns))
        made.changed.connect(self.changed)
        made.removed.connect(self._remove)
        made.show_rest(self._shows_rest)
        self.columns.append(made)

    def _remove(self) -> None:
        gone = self.sender()
        if not isinstance(gone, PolicyColumn) or len(self.columns) < 2:
            return
        at = self.columns.index(gone)
        self.columns.remove(gone)
        self._let_go(gone)
        for place, column in enumerate(self.columns):
            column.place = place
            column.setObjectName(f"policy_{place}")
        self.dress()
        self._arrange()
        self.columns[min(at, len(self.columns) - 1)].name.setFocus()
        self.changed.emit()

    def _let_go(self, column: PolicyColumn) -> None:
        self._grid.removeWidget(column)
        column.hide()
        column.deleteLater()

    def _turn_rest(self) -> None:
        self._shows_rest = not self._shows_rest
        self._rest.setText(_("fewer fields") if self._shows_rest else _("more fields"))
        for column in self.columns:
            column.show_rest(self._shows_rest)

    def _arrange(self) -> None:
        across = max(1, min(len(self.columns), self.width() // (length(_COLUMN) + space(3))))
        if len(self.columns) == MOST_POLICIES and across == MOST_POLICIES - 1:
            across = 2
        for number, column in enumerate(self.columns):
            self._grid.addWidget(column, number // across, number % across)
        for place in range(MOST_POLICIES):
            self._grid.setColumnStretch(place, _MUCH if place < across else 0)
        # what the columns do not take
        self._grid.setColumnStretch(MOST_POLICIES, 1)
        for column in self.columns:
            column.remove.setVisible(len(self.columns) > 1)
            column.show()
        self._add.setEnabled(len(self.columns) < MOST_POLICIES)
        last = self._before
        for field in (field for column in self.columns for field in column.fields):
            QWidget.setTabOrder(last, field)
            last = field

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._arrange()
