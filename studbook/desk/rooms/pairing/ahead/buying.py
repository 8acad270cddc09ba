"""When to buy in a cock, and from where: under one of the policies, yard by yard."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.ahead.explained import Explained
from studbook.desk.rooms.pairing.ahead.numbers import Bought, YardRow
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.chart_panel import ChartPanel
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.wording import MISSING, percent_text
from studbook.planning.forecast.methods import Ahead
from studbook.planning.forecast.policy import Policy
from studbook.words import _

_ROWS = 8


class BuyingPart(QWidget):
    """The answer in sentences, then a table of yards.

    Signals
    -------
    asked
        What a bought cock would do is to be worked out under the policy that is chosen.
    origins_asked
        The keeper wants to say how related the birds of a yard are.
    """

    asked = Signal()
    origins_asked = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("buying")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        column.addWidget(SectionHeading(_("When to buy in a cock, and from where")))
        row = QHBoxLayout()
        row.setSpacing(space(1))
        row.addWidget(label(_("Under the policy"), Role.FAINT))
        self.policy = QComboBox()
        self.policy.setObjectName("buying_policy")
        self.policy.setAccessibleName(_("The policy under which a cock is bought"))
        row.addWidget(self.policy)
        self.run = button(_("Work it out"), self.asked.emit)
        self.run.setObjectName("buying_run")
        row.addWidget(self.run)
        row.addStretch(1)
        column.addLayout(row)
        self.told = Prose("buying_told", _("What a bought cock would do"))
        column.addWidget(self.told)
        self._model: RowsModel[YardRow] = RowsModel(_columns(), identity=lambda row: row.place)
        self.table = Table(self._model, "buying_yards")
        self._model.setParent(self.table)
        self.table.setAccessibleName(_("Yards a cock may be bought from"))
        self.table.set_dense(True)
        self.table.selection_changed.connect(self._show_chart)
        column.addWidget(self.table)
        self.origins = link(_("say how related a yard's birds are (Bloodlines)"), self.origins_asked.emit)
        self.origins.setObjectName("buying_origins")
        column.addWidget(self.origins)
        self.chart = ChartPanel(
            context,
            "buying_chart",
            _("With one cock bought once"),
            _("Choose a yard in the table to see its cock."),
        )
        column.addWidget(self.chart)
        self.explained = Explained("buying_explained", (Ahead.BUYING,))
        column.addWidget(self.explained)
        self.clear()

    @property
    def chosen(self) -> int:
        """The place of the policy that is chosen."""
        return max(0, self.policy.currentIndex())

    def show_policies(self, policies: tuple[Policy, ...]) -> None:
        """Offer these policies."""
        names = [policy.name for policy in policies]
        if names == [self.policy.itemText(place) for place in range(self.policy.count())]:
            return
        at = self.chosen
        self.policy.clear()
        self.policy.addItems(names)
        self.policy.setCurrentIndex(min(at, len(names) - 1))

    def show_bought(self, bought: Bought, snapshot: Snapshot) -> None:
        """Show what a bought cock would do."""
        lead, *others = bought.sentences
        self.told.show_paragraphs(
            [
                Paragraph((lead,), Style.LEAD),
                *(Paragraph((sentence,)) for sentence in others[:-1]),
                Paragraph((others[-1],), Style.REMARK),
            ],
            snapshot,
        )
        self._model.set_rows(bought.rows)
        self.table.setFixedHeight(length(24) * min(len(bought.rows), _ROWS) + length(40))
        for part in self._parts:
            part.show()
        self.chart.show_chart(bought.rows[0].chart)

    def clear(self) -> None:
        """Nothing is worked out yet."""
        for part in self._parts:
            part.hide()

    @property
    def _parts(self) -> tuple[QWidget, ...]:
        return self.told, self.table, self.origins, self.chart, self.explained

    def _show_chart(self) -> None:
        rows = self.table.selected
        if rows:
            self.chart.show_chart(rows[0].chart)


def _columns() -> tuple[Column[YardRow], ...]:
    return (
        Column("yard", _("Yard"), lambda row: row.name, lambda row: row.name, width=26),
        Column(
            "gamma",
            _("Assumed γ"),
            lambda row: percent_text(row.newcomer.gamma, 0),
            lambda row: row.newcomer.gamma,
            right=True,
            explained=_(
                "How related the birds of the yard are assumed to be with each other: see Bloodlines, Origins."
            ),
        ),
        Column(
            "kin",
            _("Kinship with the hens"),
            lambda row: percent_text(row.newcomer.with_flock),
            lambda row: row.newcomer.with_flock,
            right=True,
        ),
        Column(
            "next",
            _("F next season"),
            lambda row: percent_text(row.newcomer.inbreeding[0]),
            lambda row: row.newcomer.inbreeding[0],
            right=True,
        ),
        Column(
            "diversity",
            _("Gene diversity after it"),
            lambda row: percent_text(row.newcomer.diversity[0]),
            lambda row: row.newcomer.diversity[0],
            right=True,
        ),
        Column(
            "best", _("Best for the chicks of"), lambda row: row.best, lambda row: row.newcomer.best, width=16
        ),
        Column(
            "passes",
            _("F then passes the limit"),
            lambda row: MISSING if row.passes is None else str(row.passes),
            lambda row: row.passes,
            right=True,
        ),
    )
