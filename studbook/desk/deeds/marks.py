"""The fields of a mark: kind, code, colour, place, size; and the cautions that go with its kind."""

from collections.abc import Iterable

from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QWidget

from studbook.book.records import Mark, MarkId, MarkKind
from studbook.book.wording import mark_kind_word
from studbook.dates import UNKNOWN_DATE, PartialDate
from studbook.desk.forms import Form
from studbook.desk.look import RING_COLOURS
from studbook.desk.theme import length
from studbook.desk.widgets.flow import Flow
from studbook.words import _, fold, later

# common practice: four webs can be punched, two on each foot
_FEET = (later("left"), later("right"))
_WEBS = (later("outer"), later("inner"))


def ring_colour_words() -> tuple[tuple[str, str], ...]:
    """The colours rings are sold in, for the eye and for the record."""
    words = {
        "white": _("white"),
        "black": _("black"),
        "grey": _("grey"),
        "silver": _("silver"),
        "red": _("red"),
        "pink": _("pink"),
        "orange": _("orange"),
        "yellow": _("yellow"),
        "gold": _("gold"),
        "green": _("green"),
        "light green": _("light green"),
        "blue": _("blue"),
        "light blue": _("light blue"),
        "purple": _("purple"),
        "brown": _("brown"),
    }
    return tuple((words[code], code) for code in RING_COLOURS if code in words)


def mark_places(kind: MarkKind) -> tuple[str, ...]:
    """Where a mark of this kind is usually worn, as seen from the bird."""
    match kind:
        case MarkKind.RING | MarkKind.RING_COLOUR:
            return _("left leg"), _("right leg")
        case MarkKind.WING_TAG:
            return _("left wing"), _("right wing")
        case MarkKind.MICROCHIP:
            return _("breast"), _("neck")
        case MarkKind.TOE_PUNCH:
            return ()


def mark_caution(kind: MarkKind) -> str:
    """What to mind with a mark of this kind; empty when there is nothing."""
    match kind:
        case MarkKind.RING | MarkKind.RING_COLOUR:
            return _(
                "A ring that is too small grows in: choose the size for the grown leg and look at the legs of "
                "growing birds every week."
            )
        case MarkKind.WING_TAG:
            return _("Wing tags are restricted in places: local rules and a vet decide.")
        case MarkKind.TOE_PUNCH:
            return _(
                "Toe punching wounds the chick and is restricted or forbidden in places: local rules and a vet "
                "decide. A ring does the same work."
            )
        case MarkKind.MICROCHIP:
            return _("A microchip is put in by a vet or a trained person.")


class WebChooser(QWidget):
    """The four webs that can be punched, one tick each; its code is "left outer + right both"."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = Flow(self, gap=1.5)
        self.boxes: dict[tuple[str, str], QCheckBox] = {}
        self._unread = ""
        for foot in _FEET:
            for web in _WEBS if foot == "left" else reversed(_WEBS):
                box = QCheckBox(_("{foot} {web} web").format(foot=_(foot), web=_(web)))
                box.setObjectName(f"web_{foot}_{web}")
                self.boxes[foot, web] = box
                row.addWidget(box)

    @property
    def code(self) -> str:
        """The punched webs as a mark code; a code it cannot read stays as it was until a web is ticked."""
        punched = []
        for foot in _FEET:
            webs = [web for web in _WEBS if self.boxes[foot, web].isChecked()]
            if webs:
                which = _("both") if len(webs) == len(_WEBS) else _(webs[0])
                punched.append(_("{foot} {web}").format(foot=_(foot), web=which))
        return " + ".join(punched) or self._unread

    def show_code(self, code: str) -> None:
        """Tick the webs of a code."""
        parts = [fold(part).split() for part in code.split("+")]
        for (foot, web), box in self.boxes.items():
            names = (fold(_(web)), fold(_("both")))
            box.setChecked(any(fold(_(foot)) in part and any(n in part for n in names) for part in parts))
        self._unread = "" if any(box.isChecked() for box in self.boxes.values()) else code


def colour_box(colour: str = "") -> QComboBox:
    """A choice of ring colours in which another word can be written."""
    box = QComboBox()
    box.setEditable(True)
    box.addItem("", "")
    for words, code in ring_colour_words():
        box.addItem(words, code)
    box.setMinimumWidth(length(120))
    place = box.findData(colour)
    box.setCurrentIndex(max(place, 0))
    if place < 0:
        box.setEditText(colour)
    return box


def colour_of(box: QComboBox) -> str:
    """The colour a `colour_box` holds, as the record writes it."""
    written = box.currentText().strip()
    place = box.findText(written)
    return str(box.itemData(place)) if place > 0 else written


class MarkFields:
    """The fields of one mark within a form; they change with its kind."""

    def __init__(
        self, form: Form, mark: Mark | None = None, *, kinds: Iterable[MarkKind] = tuple(MarkKind)
    ) -> None:
        known = mark or Mark(MarkId(""), next(iter(kinds)), "")
        self.kind: QComboBox = form.add_choice(
            "kind", _("Kind of mark"), [(mark_kind_word(kind), kind) for kind in kinds], known.kind
        )
        self.code: QLineEdit = form.add_line("marks", _("Code"), known.code)
        self.webs = WebChooser()
        if known.kind is MarkKind.TOE_PUNCH:
            self.webs.show_code(known.code)
        form.add("webs", _("Punched webs, as seen from the bird"), self.webs, wide=True)
        self.colour = colour_box(known.colour)
        form.add("mark_colour", _("Colour of the mark"), self.colour)
        self.place = QComboBox()
        self.place.setEditable(True)
        form.add("place", _("Where it is worn, as seen from the bird"), self.place)
        self.size: QLineEdit = form.add_line(
            "size", _("Size"), known.size, _("The inner width of a ring, as printed on it.")
        )
        self._form = form
        self._known = known
        self.kind.currentIndexChanged.connect(self._suit_kind)
        self._suit_kind()
        self.place.setEditText(known.place)

    @property
    def chosen_kind(self) -> MarkKind:
        """The kind of mark."""
        return MarkKind(self.kind.currentData())

    def read(self, since: PartialDate = UNKNOWN_DATE, code: str | None = None) -> Mark:
        """The mark the fields describe."""
        kind = self.chosen_kind
        punched = kind is MarkKind.TOE_PUNCH
        own_code = self.webs.code if punched else self.code.text().strip()
        colour = colour_of(self.colour)
        if kind is MarkKind.RING_COLOUR:
            own_code = own_code or colour
        return Mark(
            MarkId(""),
            kind,
            own_code if code is None else code,
            self._known.place if punched else self.place.currentText().strip(),
            "" if punched else colour,
            "" if punched else self.size.text().strip(),
            since,
        )

    def _suit_kind(self) -> None:
        kind = self.chosen_kind
        ring = kind in (MarkKind.RING, MarkKind.RING_COLOUR)
        punched = kind is MarkKind.TOE_PUNCH
        written = self.place.currentText()
        offered = mark_places(kind)
        self.place.clear()
        self.place.addItems(["", *offered])
        self.place.setEditText(written if written in offered else "")
        fields = self._form.fields
        fields["webs"].setVisible(punched)
        fields["marks"].setVisible(not punched)
        fields["mark_colour"].setVisible(not punched and kind is not MarkKind.MICROCHIP)
        fields["place"].setVisible(not punched)
        fields["size"].setVisible(ring)
