"""The eggs on hand for setting, with their ages and what storage does to them."""

from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import day_text, number_text
from studbook.planning.eggs.stock import OnHand, eggs_on_hand
from studbook.planning.eggs.telling import ageing_text, laid_text, on_hand_name, storage_sentences
from studbook.planning.eggs.week import Source
from studbook.words import _, plural

_MOST_ROWS = 8


class OnHandPanel(QWidget):
    """What could be set today, pen by pen.

    Signals
    -------
    setting_asked
        The keeper wants to set eggs.
    """

    setting_asked = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._names: dict[Source, str] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        ask = link(_("set eggs…"), self.setting_asked.emit)
        ask.setObjectName("on_hand_set")
        column.addWidget(SectionHeading(_("On hand for setting"), ask))
        self._told = label("", Role.FAINT, wraps=True)
        self._told.setObjectName("on_hand_told")
        column.addWidget(self._told)
        self._model: RowsModel[OnHand] = RowsModel(self._columns(), identity=lambda row: row.of)
        self.table = Table(self._model, "eggs_on_hand")
        self._model.setParent(self.table)
        self.table.setAccessibleName(_("Eggs on hand for setting"))
        self.table.set_dense(True)
        self.table.restore_state(context.settings)
        column.addWidget(self.table)
        self._warning = label("", Role.CAUTION, wraps=True)
        self._warning.setObjectName("on_hand_warning")
        column.addWidget(self._warning)

    def _columns(self) -> tuple[Column[OnHand], ...]:
        return (
            Column("of", _("Pen or hen"), lambda row: self._names.get(row.of, ""), width=14),
            Column("eggs", _("Eggs"), lambda row: number_text(row.eggs), lambda row: row.eggs, right=True),
            Column(
                "days",
                _("Days old"),
                _age_text,
                lambda row: row.storage.oldest_days,
                tip=lambda row: _("Gathered {days}").format(days=laid_text(row, day_text)),
            ),
            Column("ageing", _("To mind"), ageing_text, lambda row: row.ageing),
        )

    def show_snapshot(self, snapshot: Snapshot, today: date) -> None:
        """Show what is on hand."""
        found = eggs_on_hand(snapshot, today)
        self._names = {row.of: on_hand_name(row, snapshot) for row in found}
        self._model.set_rows(found)
        eggs = sum(row.eggs for row in found)
        if found:
            text = plural(
                "{count} egg gathered and neither set nor used; what left is taken from the oldest.",
                "{count} eggs gathered and neither set nor used; what left is taken from the oldest.",
                eggs,
            )
            self._told.setText(text.format(count=number_text(eggs)))
        else:
            self._told.setText(
                _("None: eggs gathered lately show here with their age until they are set or used.")
            )
        self.table.setVisible(bool(found))
        self.table.fit_rows(_MOST_ROWS)
        self._warning.setText("\n".join(storage_sentences(found)))
        self._warning.setVisible(bool(self._warning.text()))

    def save_state(self) -> None:
        """Keep the columns."""
        self.table.save_state(self._context.settings)


def _age_text(row: OnHand) -> str:
    youngest, oldest = row.storage.youngest_days, row.storage.oldest_days
    if youngest == oldest:
        return number_text(oldest)
    return _("{low} to {high}").format(low=youngest, high=oldest)
