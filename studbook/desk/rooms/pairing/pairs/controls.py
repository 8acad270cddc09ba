"""Which figures are shown and from which limit on they are greyed, with a sentence on what they mean."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QDoubleSpinBox,
    QHBoxLayout,
    QWidget,
)

from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import label
from studbook.desk.widgets.unknown_switch import UnknownSwitch
from studbook.planning.limits import LIMIT
from studbook.words import _

_NARROW = 840


class FigureControls(QWidget):
    """The switch between the cautious and the conventional figure, and the limit.

    Signals
    -------
    changed
        Other figures or another limit are wanted.
    """

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(space())
        choices = QHBoxLayout()
        choices.setSpacing(space(1.5))
        self._ways = UnknownSwitch("pairing")
        self._ways.changed.connect(self.changed)
        choices.addWidget(self._ways)
        choices.addSpacing(space(2))
        self._add_limit(choices)
        choices.addSpacing(space(2))
        choices.addStretch(1)
        self._row.addLayout(choices)
        self._basis = label("", Role.FAINT, wraps=True)
        self._basis.setObjectName("pairing_basis")
        self._row.addWidget(self._basis, 1)

    @property
    def cautious(self) -> bool:
        """True for the cautious figure, False for the one by convention."""
        return self._ways.is_cautious

    @property
    def limit(self) -> float:
        """The expected F above which a pair is greyed."""
        return self._limit.value() / 100

    def show_basis(self, sentence: str) -> None:
        """Say which figure is shown and what it means."""
        self._basis.setText(sentence)

    def _add_limit(self, row: QHBoxLayout) -> None:
        caption = label(_("&Limit"), Role.FAINT)
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
        caption.setBuddy(self._limit)
        row.addWidget(caption)
        row.addWidget(self._limit)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        narrow = self.width() < length(_NARROW)
        self._row.setDirection(
            QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        )
