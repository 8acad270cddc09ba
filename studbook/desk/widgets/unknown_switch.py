"""The switch between the cautious figure and the one by convention: how what is unknown is taken."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QToolButton, QWidget

from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label
from studbook.words import _


class UnknownSwitch(QWidget):
    """Two buttons of which one is down, cautious at first; their names begin with that of the room.

    Signals
    -------
    changed
        The other figure is wanted.
    """

    changed = Signal()

    def __init__(self, room: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space())
        figures = label(_("Figures"), Role.FAINT)
        figures.setToolTip(
            _(
                "F, the inbreeding coefficient: the chance that both genes a chick has at one place "
                "come from one gene of an ancestor its parents share."
            )
        )
        row.addWidget(figures)
        self._cautious = _way(
            f"{room}_cautious",
            _("cautious"),
            _(
                "Unknown is not new blood: an unknown parent of a home-hatched bird counts as the mean "
                "of the birds that could have been it."
            ),
        )
        convention = _way(
            f"{room}_convention",
            _("by convention"),
            _("The published convention: an unknown parent is related to nobody and not inbred."),
        )
        self._cautious.setChecked(True)
        ways = QButtonGroup(self)
        for way in (self._cautious, convention):
            ways.addButton(way)
            row.addWidget(way)
        row.addStretch(1)
        self._cautious.toggled.connect(lambda _on: self.changed.emit())

    @property
    def is_cautious(self) -> bool:
        """True for the cautious figure, False for the one by convention."""
        return self._cautious.isChecked()


def _way(name: str, words: str, explained: str) -> QToolButton:
    """One of the two ways to take what is unknown."""
    made = QToolButton()
    made.setObjectName(name)
    made.setText(words)
    made.setToolTip(explained)
    made.setAccessibleDescription(explained)
    made.setCheckable(True)
    made.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return made
