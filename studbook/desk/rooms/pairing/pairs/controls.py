"""Which figures are shown and what is not wanted of a pair, with a sentence on what they mean."""

from PySide6.QtCore import QLocale, QSettings, Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QHBoxLayout,
    QLabel,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from studbook.desk.theme import Role, space
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.text import label, link
from studbook.desk.widgets.unknown_switch import UnknownSwitch
from studbook.planning.limits import LIMIT, Rules
from studbook.planning.pair_methods import GENERATIONS, Shown, shown_word
from studbook.words import _, plural

_FARTHEST = 6
"""So many generations back recent inbreeding can be followed before it takes long."""


class FigureControls(QWidget):
    """What the matrix shows, the switch between cautious and conventional figures, and what is not wanted.

    Signals
    -------
    changed
        Other figures or rules are wanted.
    method_asked
        It is wanted how the figure is found.
    """

    changed = Signal()
    method_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        choices = QWidget()
        self._flow = Flow(choices)
        self._add_shown()
        self._ways = UnknownSwitch("pairing")
        self._ways.changed.connect(self.changed)
        self._flow.addWidget(self._ways)
        self._add_limit()
        self._add_rule()
        column.addWidget(choices)
        foot = QHBoxLayout()
        foot.setSpacing(space())
        self._basis = label("", Role.FAINT, wraps=True)
        self._basis.setObjectName("pairing_basis")
        self.method = link("", self.method_asked.emit)
        self.method.setObjectName("pairing_method")
        foot.addWidget(self._basis, 1)
        foot.addWidget(self.method, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(foot)
        self.show_method_open(is_open=False)

    @property
    def cautious(self) -> bool:
        """True for the cautious figure, False for the one by convention."""
        return self._ways.is_cautious

    @property
    def shown(self) -> Shown:
        """Which figure is wanted."""
        return Shown(self._shown.currentData())

    @property
    def generations(self) -> int:
        """How many generations back inbreeding is recent."""
        return self._generations.value()

    @property
    def rules(self) -> Rules:
        """What is not wanted of a pair."""
        return Rules(self._limit.value() / 100, self._rule.isChecked())

    def show_basis(self, sentence: str) -> None:
        """Say which figure is shown and what it means."""
        self._basis.setText(sentence)

    def show_method_open(self, *, is_open: bool) -> None:
        """Say where the link leads."""
        self.method.setText(_("back to the hens") if is_open else _("how the figure is found"))

    def restore(self, settings: QSettings) -> None:
        """Take up what was chosen when the window was last closed."""
        shown = self._shown.findData(str(settings.value("pairing/shown", Shown.EXPECTED.value)))
        self._shown.setCurrentIndex(max(shown, 0))
        self._rule.setChecked(str(settings.value("pairing/no_shared_parent", "no")) == "yes")
        limit, known = QLocale.c().toDouble(str(settings.value("pairing/limit", "")))
        self._limit.setValue(limit if known else LIMIT * 100)
        self._show_generations()

    def save(self, settings: QSettings) -> None:
        """Keep what is chosen."""
        settings.setValue("pairing/shown", self.shown.value)
        settings.setValue("pairing/no_shared_parent", "yes" if self._rule.isChecked() else "no")
        settings.setValue("pairing/limit", str(self._limit.value()))

    def _add_shown(self) -> None:
        self._shown = QComboBox()
        self._shown.setObjectName("pairing_shown")
        self._shown.setAccessibleName(_("What the matrix shows"))
        for shown in Shown:
            self._shown.addItem(shown_word(shown), shown.value)
        self._shown.currentIndexChanged.connect(self._take_shown)
        self._generations = QSpinBox()
        self._generations.setObjectName("pairing_generations")
        self._generations.setAccessibleName(_("Generations back that count as recent"))
        self._generations.setToolTip(_("Parents are one generation back, grandparents two."))
        self._generations.setRange(1, _FARTHEST)
        self._generations.setValue(GENERATIONS)
        self._generations.setKeyboardTracking(False)
        self._generations.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self._generations.valueChanged.connect(self._take_generations)
        self._count_generations()
        self._within = _group(label(_("within"), Role.FAINT), self._generations)
        self._flow.addWidget(_group(label(_("&Shown"), Role.FAINT), self._shown))
        self._flow.addWidget(self._within)
        self._within.hide()

    def _take_generations(self) -> None:
        self._count_generations()
        self.changed.emit()

    def _count_generations(self) -> None:
        self._generations.setSuffix(plural(" generation", " generations", self._generations.value()))

    def _take_shown(self) -> None:
        self._show_generations()
        self.changed.emit()

    def _show_generations(self) -> None:
        self._within.setVisible(self.shown.is_by_convention)

    def _add_limit(self) -> None:
        self._limit = QDoubleSpinBox()
        self._limit.setObjectName("pairing_limit")
        self._limit.setAccessibleName(_("Limit of the expected F, in per cent"))
        self._limit.setToolTip(
            _("Pairs whose chicks would be above it are greyed. Half sibs give 12.5 %, first cousins 6.25 %.")
        )
        self._limit.setRange(0, 100)
        self._limit.setDecimals(2)
        self._limit.setSingleStep(0.5)
        self._limit.setSuffix(_(" %"))
        self._limit.setValue(LIMIT * 100)
        self._limit.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self._limit.setKeyboardTracking(False)
        self._limit.valueChanged.connect(lambda _value: self.changed.emit())
        self._flow.addWidget(_group(label(_("&Limit"), Role.FAINT), self._limit))

    def _add_rule(self) -> None:
        self._rule = QCheckBox(_("&no shared parent"))
        self._rule.setObjectName("pairing_no_shared_parent")
        self._rule.setToolTip(
            _("Full and half sibs are marked as pairs you do not want, however low their figure.")
        )
        self._rule.toggled.connect(lambda _on: self.changed.emit())
        self._flow.addWidget(self._rule)


def _group(caption: QLabel, field: QWidget) -> QWidget:
    """A caption beside its field, kept together where the line breaks."""
    made = QWidget()
    row = QHBoxLayout(made)
    row.setContentsMargins(0, 0, space(), 0)
    row.setSpacing(space())
    caption.setBuddy(field)
    row.addWidget(caption)
    row.addWidget(field)
    return made
