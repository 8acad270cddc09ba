"""What eggs need: the incubation table, with the source of each figure."""

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label, link
from studbook.planning.sittings.days import kind_word
from studbook.planning.sittings.telling import listed
from studbook.season.incubation import Incubation, Span, all_incubations
from studbook.season.practice import Evidence
from studbook.words import _


def _span(low: float, high: float, decimals: int = 0) -> str:
    texts = [QLocale().toString(float(value), "f", decimals) for value in (low, high)]
    return texts[0] if low == high else _("{low} to {high}").format(low=texts[0], high=texts[1])


def _humidity(span: Span) -> str:
    return _("{span} %").format(span=_span(span.low, span.high))


def _candlings(kind: Incubation) -> str:
    return listed([_span(first, last) for first, last in kind.candling_days])


def _columns() -> tuple[Column[Incubation], ...]:
    return (
        Column("kind", _("Kind of egg"), lambda kind: kind_word(kind.kind), width=16),
        Column("days", _("Days"), lambda kind: str(kind.days), lambda kind: kind.days, right=True),
        Column("window", _("Hatch on day"), lambda kind: _span(kind.first_day, kind.last_day), width=9),
        Column("candle", _("Candle on day"), _candlings, width=18),
        Column(
            "lockdown",
            _("Lockdown"),
            lambda kind: str(kind.transfer_day),
            lambda kind: kind.transfer_day,
            right=True,
        ),
        Column(
            "moving",
            _("Moving air, °C"),
            lambda kind: _span(kind.climate.moving_air_c.low, kind.climate.moving_air_c.high, 1),
        ),
        Column("still", _("Still air, °C"), lambda kind: _span(*(kind.climate.still_air_c,) * 2, 1)),
        Column("humidity", _("Humidity"), lambda kind: _humidity(kind.climate.humidity), width=11),
        Column("hatcher", _("at hatching"), lambda kind: _humidity(kind.climate.hatcher_humidity), width=11),
        Column(
            "loss",
            _("Weight loss"),
            lambda kind: _("{span} %").format(
                span=_span(kind.weight_loss.low * 100, kind.weight_loss.high * 100)
            ),
            width=10,
        ),
    )


def evidence_word(evidence: Evidence) -> str:
    """How sure a figure is, in words."""
    return {
        Evidence.CONFIRMED: _("seen in the publication"),
        Evidence.COMMON_PRACTICE: _("common practice"),
        Evidence.MEMORY: _("from memory"),
        Evidence.KEEPER: _("the keeper's own"),
    }[evidence]


class ReferencePage(QWidget):
    """The table of kinds; below it the sources of the kind one stands on.

    Signals
    -------
    closed
        The keeper is done.
    """

    closed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("incubation_table")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, space(1), 0, 0)
        column.setSpacing(space(1))
        top = QHBoxLayout()
        top.addWidget(label(_("What eggs need"), Role.HEADING))
        top.addStretch(1)
        back = link(_("← the sittings"), self.closed.emit)
        back.setObjectName("close_reference")
        top.addWidget(back)
        column.addLayout(top)
        self.table = Table(RowsModel(_columns(), identity=lambda kind: kind.kind), "incubation_kinds")
        self.table.setAccessibleName(_("Kinds of eggs"))
        self.table.rows.set_rows(all_incubations().values())
        self.table.selection_changed.connect(self._tell)
        column.addWidget(self.table, 1)
        self.sources = label("", Role.SMALL, wraps=True)
        self.sources.setObjectName("kind_sources")
        self.sources.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        column.addWidget(self.sources)
        caution = _(
            "Temperature and humidity are what guides print. The guide of the machine's maker comes first, and a "
            "second thermometer is worth its price. Days count from the day of setting; a day either side is usual."
        )
        column.addWidget(label(caution, Role.CAUTION, wraps=True))
        self.table.select("chicken")

    def _tell(self) -> None:
        kind = self.table.current
        if kind is None:
            return
        days = _("Days: {source} ({evidence}).").format(
            source=_(kind.source), evidence=evidence_word(kind.evidence)
        )
        candling = _("Candling: {source} ({evidence}).").format(
            source=_(kind.candling_source), evidence=evidence_word(kind.candling_evidence)
        )
        climate = _("Air: {source}").format(source=_(kind.climate.source))
        loss = _("Weight loss until the lockdown: from memory.")
        self.sources.setText("\n".join((days, candling, climate, loss)))
