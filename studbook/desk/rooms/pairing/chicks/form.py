"""What a keeper wishes to have next autumn, as a form that asks anew with every change."""

from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QSpinBox, QVBoxLayout, QWidget

from studbook.book.errors import Problem
from studbook.dates import PartialDate, Precision
from studbook.desk.forms import Form
from studbook.desk.widgets.date_field import DateField
from studbook.planning.next_season.wish import CHANCES, Way, Wish, chance_text
from studbook.words import _

_MOST_BIRDS = 99
_MOST_HENS = 500
_YOUNGEST, _OLDEST = 20, 400


class WishForm(QWidget):
    """The wish of one species.

    Signals
    -------
    changed
        Something else is wished; `wish` tells what, None while a field is not filled well.
    """

    changed = Signal()

    def __init__(self, today: date) -> None:
        super().__init__()
        self._today = today
        self._is_filling = False
        self._hens_here = 0
        self.form = Form(2)
        self.pullets = self._number("pullets", _("Pullets to choose from"), 0, _MOST_BIRDS)
        self.cockerels = self._number("cockerels", _("Cockerels to choose from"), 0, _MOST_BIRDS)
        chances = [(chance_text(chance), chance) for chance in CHANCES]
        self.chance: QComboBox = self.form.add_choice("chance", _("At least so many"), chances)
        ways = ((_("in the machine"), Way.MACHINE), (_("under broodies"), Way.BROODY))
        self.way: QComboBox = self.form.add_choice("way", _("Hatched"), ways)
        self.choose_on = DateField(today)
        self.choose_on.edit.setMinimumWidth(0)
        self.form.add("choose_on", _("You choose on"), self.choose_on)
        self.age = self._number("age", _("Then at least so old"), _YOUNGEST, _OLDEST)
        self.hens = self._number("hens", _("Hens that lay"), 0, _MOST_HENS)
        self.age.setSuffix(_(" days"))
        self.fertile = self._share("fertile", _("Fertile of eggs set"))
        self.hatched = self._share("hatched", _("Hatched of fertile"))
        self.reared = self._share("reared", _("Grown of hatched"))
        self.form.fields["hens"].control.setToolTip(
            _("All hens and pullets of the flock, unless you say otherwise.")
        )
        for box in (self.chance, self.way):
            box.currentIndexChanged.connect(self._tell)
        self.choose_on.changed.connect(self._tell)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.form)

    def show_wish(self, wish: Wish, hens_here: int) -> None:
        """Fill the form."""
        self._is_filling = True
        self._hens_here = hens_here
        self.pullets.setValue(wish.pullets)
        self.cockerels.setValue(wish.cockerels)
        self.chance.setCurrentIndex(max(0, self.chance.findData(wish.chance)))
        self.way.setCurrentIndex(max(0, self.way.findData(wish.way)))
        self.choose_on.set_value(PartialDate.of(wish.choose_on))
        self.age.setValue(wish.age_days)
        self.hens.setValue(hens_here if wish.hens is None else wish.hens)
        for control, share in (
            (self.fertile, wish.fertile),
            (self.hatched, wish.hatched),
            (self.reared, wish.reared),
        ):
            control.setValue(0 if share is None else round(100 * share))
        self._is_filling = False
        self.form.show_problems(())

    @property
    def wish(self) -> Wish | None:
        """What is wished; None while the day cannot be read."""
        value = self.choose_on.value
        if value.precision is not Precision.DAY or value.about:
            return None
        hens = self.hens.value()
        return Wish(
            self.pullets.value(),
            self.cockerels.value(),
            float(self.chance.currentData()),
            value.earliest,
            self.age.value(),
            Way(self.way.currentData()),
            None if hens == self._hens_here else hens,
            *(_share_of(control) for control in (self.fertile, self.hatched, self.reared)),
        )

    def _number(self, key: str, text: str, least: int, most: int) -> QSpinBox:
        control = QSpinBox()
        control.setRange(least, most)
        control.setKeyboardTracking(False)
        control.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        control.valueChanged.connect(lambda _value: self._tell())
        self.form.add(key, text, control)
        return control

    def _share(self, key: str, text: str) -> QSpinBox:
        """A share in per cent; its lowest step leaves it to the book."""
        control = self._number(key, text, 0, 99)
        control.setSuffix(_(" %"))
        control.setSpecialValueText(_("from the book"))
        control.setToolTip(_("A share of your own, where you know better than the book."))
        return control

    def _tell(self) -> None:
        if self._is_filling:
            return
        field = self.form.fields["choose_on"]
        message = self.choose_on.error or _("Enter the exact day, such as 4 Apr 2026.")
        wrong = () if self.wish is not None else (Problem("date", message, field="choose_on"),)
        field.show_problems(wrong)
        self.changed.emit()


def _share_of(control: QSpinBox) -> float | None:
    """The share of a field; None where it is left to the book."""
    return control.value() / 100 if control.value() else None
