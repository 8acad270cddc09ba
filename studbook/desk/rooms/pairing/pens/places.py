"""The pens that may be used, each with the hens it takes, and which house is the second yard."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QGridLayout, QSpinBox, QVBoxLayout, QWidget

from studbook.book.ids import HouseId, PenId
from studbook.book.records import Snapshot
from studbook.desk.theme import Role, space
from studbook.desk.widgets.text import label, link
from studbook.planning.best_pens.asking import PlaceProposed, second_yard
from studbook.planning.best_pens.wishes import Place
from studbook.planning.pens.board import walking_houses
from studbook.words import _


class PlacesField(QWidget):
    """A line for each pen in use; nothing ticked puts no bound on the room.

    Signals
    -------
    changed
        Other pens, another room or another second yard.
    pens_asked
        There are no pens: the room of the pens is wanted.
    """

    changed = Signal()
    pens_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("best_places")
        self._snapshot: Snapshot | None = None
        self._lines: dict[PenId, tuple[QCheckBox, QSpinBox]] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        column.addWidget(
            label(_("Where they may stand, and for how many hens beside the cock"), Role.CAPTION, wraps=True)
        )
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(space(1))
        self._grid.setVerticalSpacing(space(0.5))
        self._grid.setColumnStretch(0, 1)
        column.addLayout(self._grid)
        self._none = label(
            _("The book has no pens yet: the plan will name cocks and hens only."), Role.SMALL, wraps=True
        )
        column.addWidget(self._none)
        self._go = link(_("Add pens first"), self.pens_asked.emit)
        self._go.setObjectName("best_go_to_pens")
        column.addWidget(self._go)
        self._caption = label(_("Second yard, for the reserve males"), Role.CAPTION, wraps=True)
        column.addWidget(self._caption)
        self.house = QComboBox()
        self.house.setObjectName("best_second_yard")
        self.house.setAccessibleName(_("Second yard, for the reserve males"))
        self.house.activated.connect(lambda _at: self.changed.emit())
        self._caption.setBuddy(self.house)
        column.addWidget(self.house)

    def show_places(self, snapshot: Snapshot, places: tuple[PlaceProposed, ...], *, anew: bool) -> None:
        """Show the pens of the yard; without `anew` what the keeper set is kept."""
        held = (
            {}
            if anew
            else {pen: (tick.isChecked(), room.value()) for pen, (tick, room) in self._lines.items()}
        )
        house = None if anew else self.house.currentData()
        self._snapshot = snapshot
        for tick, room in self._lines.values():
            for part in (tick, room):
                part.hide()
                part.deleteLater()
        self._lines.clear()
        for row, place in enumerate(places):
            tick = QCheckBox(place.pen.name)
            tick.setObjectName(f"best_place_{row + 1}")
            room = QSpinBox()
            room.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            room.setObjectName(f"best_room_{row + 1}")
            room.setAccessibleName(_("Hens that {pen} takes").format(pen=place.pen.name))
            room.setRange(0, 999)
            room.setSpecialValueText(_("any number"))
            is_ticked, hens = held.get(place.pen.id, (place.is_usual, place.hens or 0))
            tick.setChecked(is_ticked)
            room.setValue(hens)
            room.setEnabled(is_ticked)
            tick.toggled.connect(room.setEnabled)
            tick.toggled.connect(lambda _on: self.changed.emit())
            room.valueChanged.connect(lambda _value: self.changed.emit())
            self._grid.addWidget(tick, row, 0)
            self._grid.addWidget(room, row, 1)
            self._lines[place.pen.id] = tick, room
        self._none.setVisible(not places)
        self._go.setVisible(not places)
        self.house.clear()
        self.house.addItem(_("none"), None)
        for found in walking_houses(snapshot.husbandry):
            self.house.addItem(found.name, found.id)
        self.house.setCurrentIndex(max(self.house.findData(house), 0))
        self._caption.setVisible(self.house.count() > 1)
        self.house.setVisible(self.house.count() > 1)

    @property
    def ticked(self) -> int:
        """How many pens may be used."""
        return sum(tick.isChecked() for tick, _room in self._lines.values())

    @property
    def places(self) -> tuple[Place, ...]:
        """The pens that may be used."""
        found = tuple(
            Place(pen, room.value() or None) for pen, (tick, room) in self._lines.items() if tick.isChecked()
        )
        house = self.house.currentData()
        if self._snapshot is None:
            return found
        return second_yard(self._snapshot, HouseId(house) if house else None, found)
