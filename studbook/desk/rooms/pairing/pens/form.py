"""The form of wishes: who may breed, how many pens, where, what is too close, and what weighs how much."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDoubleSpinBox, QHBoxLayout, QSlider, QSpinBox, QVBoxLayout, QWidget

from studbook.book.records import Sex, Snapshot
from studbook.book.relatedness import Unknown
from studbook.desk.forms import Form
from studbook.desk.rooms.pairing.pairs.chooser import Chooser
from studbook.desk.rooms.pairing.pens.places import PlacesField
from studbook.desk.rooms.pairing.pens.wish_rows import NumberRow, PairRow, WishRows
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import label, link
from studbook.desk.widgets.unknown_switch import UnknownSwitch
from studbook.desk.wording import bird_text, percent_text
from studbook.planning.best_pens.asking import Proposal, left_out_text
from studbook.planning.best_pens.wishes import Wishes
from studbook.planning.limits import LIMIT
from studbook.words import _, plural

_EGGS = 10
"""The eggs wanted of a hen unless the keeper says otherwise; only what a hen gives against the others counts."""


class WishesForm(QWidget):
    """What is wished for, with what suits the flock proposed.

    Signals
    -------
    changed
        The wishes are other ones.
    pens_asked
        There are no pens in the book: the room of the pens is wanted.
    """

    changed = Signal()
    pens_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("best_form")
        self._shown: tuple[str, int] | None = None
        self._proposed: Wishes | None = None
        self._touched = False
        self._filling = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, space(1.5), space(1))
        column.setSpacing(space(1.5))
        column.addLayout(self._weight_line())
        self.form = Form(2)
        self.pens = _spin(1, 99)
        self.reserve = _spin(0, 99)
        self.least = _spin(1, 999)
        self.most = _spin(1, 999)
        self.placed = _spin(0, 9999)
        self.placed.setSpecialValueText(_("every hen"))
        self.limit = QDoubleSpinBox()
        self.limit.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.limit.setRange(0, 100)
        self.limit.setDecimals(2)
        self.limit.setSingleStep(0.5)
        self.limit.setSuffix(_(" %"))
        self.limit.setSpecialValueText(_("no limit"))
        self.limit.setToolTip(_("Half sibs give 12.5 %, first cousins 6.25 %."))
        for key, text, control in (
            ("best_pens_count", _("Pens, one cock in each"), self.pens),
            ("best_reserve", _("Cocks kept in reserve"), self.reserve),
            ("best_least", _("Hens per cock, at least"), self.least),
            ("best_most", _("Hens per cock, at most"), self.most),
            ("best_placed", _("Hens that get a pen"), self.placed),
            ("best_limit", _("Limit of F of the chicks"), self.limit),
        ):
            self.form.add(key, text, control)
            control.valueChanged.connect(self._touch)
        column.addWidget(self.form)
        self._limit_words = label("", Role.SMALL, wraps=True)
        self._limit_words.setObjectName("best_limit_words")
        self._limit_words.hide()
        column.addWidget(self._limit_words)
        self._usual = label("", Role.SMALL, wraps=True)
        column.addWidget(self._usual)
        self.cocks = Chooser("best_cocks", _("Cocks that may get a pen"), _("add another cock"))
        self.hens = Chooser("best_hens", _("Hens"), _("add another hen"))
        for chooser, high in ((self.cocks, 128), (self.hens, 208)):
            chooser.list.setFixedHeight(length(high))
            chooser.changed.connect(self._touch)
            column.addWidget(chooser)
        self._left_out = label("", Role.SMALL, wraps=True)
        self._left_out.setObjectName("best_left_out")
        column.addWidget(self._left_out)
        self.places = PlacesField()
        self.places.changed.connect(self._touch)
        self.places.pens_asked.connect(self.pens_asked)
        column.addWidget(self.places)
        self.unknown = UnknownSwitch("best")
        self.unknown.changed.connect(self._touch)
        column.addWidget(self.unknown)
        self._bans = label("", Role.SMALL, wraps=True)
        self._bans.setObjectName("best_bans")
        column.addWidget(self._bans)
        self._add_single_wishes(column)
        column.addStretch(1)

    def _weight_line(self) -> QVBoxLayout:
        made = QVBoxLayout()
        made.setSpacing(space(0.5))
        caption = label(_("What weighs more"), Role.CAPTION)
        made.addWidget(caption)
        self.weight = QSlider(Qt.Orientation.Horizontal)
        self.weight.setObjectName("best_weight")
        self.weight.setRange(0, 100)
        self.weight.setSingleStep(5)
        self.weight.setPageStep(10)
        self.weight.setTickInterval(25)
        self.weight.setValue(50)
        self.weight.setAccessibleName(
            _("What weighs more: keep the lines for later, or avoid close mating now")
        )
        self.weight.valueChanged.connect(self._say_weight)
        self.weight.valueChanged.connect(self._touch)
        caption.setBuddy(self.weight)
        made.addWidget(self.weight)
        ends = QHBoxLayout()
        ends.setSpacing(space(1))
        lines = label(_("keep the lines for later"), Role.SMALL, wraps=True)
        close = label(_("avoid close mating now"), Role.SMALL, wraps=True)
        close.setAlignment(Qt.AlignmentFlag.AlignRight)
        ends.addWidget(lines, 1)
        ends.addWidget(close, 1)
        made.addLayout(ends)
        self._weight_words = label("", Role.SMALL, wraps=True)
        self._weight_words.setObjectName("best_weight_words")
        made.addWidget(self._weight_words)
        self._say_weight(50)
        return made

    def _say_weight(self, value: int) -> None:
        text = _("Mean F of the chicks counts {weight} %, the kinship of the next generation {rest} %.")
        self._weight_words.setText(text.format(weight=value, rest=100 - value))

    def _add_single_wishes(self, column: QVBoxLayout) -> None:
        self._more = link(_("wishes about single birds"), self._toggle_single)
        self._more.setObjectName("best_more_wishes")
        column.addWidget(self._more)
        self._single = QWidget()
        inner = QVBoxLayout(self._single)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(space(1.5))
        self.eggs = WishRows(
            "best_eggs",
            _("Eggs wanted of a hen"),
            _("Every hen counts for {count} eggs. Name those of whom more or fewer are wanted.").format(
                count=_EGGS
            ),
            _("add a hen"),
            lambda name: NumberRow(name, _("Eggs wanted of her"), 999, 2 * _EGGS, ""),
        )
        self.shares = WishRows(
            "best_shares",
            _("Largest share of the next generation"),
            _(
                "A cock with every hen gives 50 %. Name a bird that must not give too much, a newcomer above all."
            ),
            _("add a bird"),
            lambda name: NumberRow(name, _("Largest share of this bird, in per cent"), 50, 20, _(" %")),
        )
        self.together = WishRows(
            "best_together", _("Must be together"), "", _("add two birds"), lambda name: PairRow(name)
        )
        self.never = WishRows(
            "best_never", _("Must not be together"), "", _("add two birds"), lambda name: PairRow(name)
        )
        for rows in (self.eggs, self.shares, self.together, self.never):
            rows.changed.connect(self._touch)
            inner.addWidget(rows)
        self._single.hide()
        column.addWidget(self._single)

    def _toggle_single(self) -> None:
        self._single.setVisible(self._single.isHidden())
        self._more.setText(
            _("wishes about single birds")
            if self._single.isHidden()
            else _("hide the wishes about single birds")
        )

    def _touch(self, _value: object = None) -> None:
        if not self._filling:
            self._touched = True
            self.changed.emit()

    def show_proposal(self, proposal: Proposal, snapshot: Snapshot, species: str, season: int) -> None:
        """Hold what is proposed; what the keeper set for this season and species is kept."""
        wishes = proposal.wishes
        other = self._shown != (species, season)
        anew = other or (not self._touched and wishes != self._proposed)
        self._proposed = wishes
        self._filling = True
        self.cocks.set_birds(snapshot, species, Sex.COCK, wishes.cocks)
        self.hens.set_birds(snapshot, species, Sex.HEN, wishes.hens)
        self.places.show_places(snapshot, proposal.places, anew=anew)
        named = [bird for bird in snapshot.living if bird.species == species and bird.sex is not Sex.UNKNOWN]
        for rows in (self.shares, self.together, self.never):
            rows.set_birds(named)
        self.eggs.set_birds(bird for bird in named if bird.sex is Sex.HEN)
        if anew:
            self._shown, self._touched = (species, season), False
            self.pens.setValue(wishes.pens)
            self.reserve.setValue(wishes.reserve_males)
            self.least.setValue(wishes.least_hens)
            self.most.setValue(wishes.most_hens)
            self.placed.setValue(wishes.hens_placed or 0)
            self.limit.setValue((wishes.limit or 0) * 100)
            self._limit_words.hide()
            self.weight.setValue(round(wishes.weight * 100))
            for rows in (self.eggs, self.shares, self.together, self.never):
                rows.clear()
        usual = _("{few} to {many} hens a cock are usual for this breed.")
        self._usual.setText(usual.format(few=proposal.usual.few, many=proposal.usual.many))
        said = [
            _("{bird} ({why})").format(bird=bird_text(snapshot.bird(found.bird)), why=left_out_text(found))
            for found in proposal.left_out
        ]
        text = _("Left out, and can be added: {birds}.")
        self._left_out.setText(text.format(birds=", ".join(said)))
        self._left_out.setVisible(bool(said))
        count = len(proposal.bans)
        words = plural(
            "{count} pair you noted as not wanted is kept apart in any case.",
            "{count} pairs you noted as not wanted are kept apart in any case.",
            count,
        )
        self._bans.setText(words.format(count=count))
        self._bans.setVisible(bool(count))
        self._filling = False

    def loosen(self, without: int) -> None:
        """Propose no limit where hens have no cock within it; a limit the keeper set is left alone."""
        if not without or self._touched:
            return
        self._filling = True
        self.limit.setValue(0)
        self._filling = False
        text = plural(
            "No limit is proposed: {count} hen has no cock within {limit}.",
            "No limit is proposed: {count} hens have no cock within {limit}.",
            without,
        )
        self._limit_words.setText(text.format(count=without, limit=percent_text(LIMIT)))
        self._limit_words.show()

    @property
    def wishes(self) -> Wishes:
        """What is wished for now."""
        eggs = self.eggs.numbers
        return Wishes(
            self.cocks.chosen,
            self.hens.chosen,
            self.pens.value(),
            self.most.value(),
            self.least.value(),
            self.placed.value() or None,
            self.limit.value() / 100 if self.limit.value() > 0 else None,
            self.weight.value() / 100,
            self.places.places,
            self.together.pairs,
            self.never.pairs,
            {hen: count / _EGGS for hen, count in eggs.items()},
            {bird: share / 100 for bird, share in self.shares.numbers.items()},
            self.reserve.value(),
            Unknown.FLOCK if self.unknown.is_cautious else Unknown.UNRELATED,
        )


def _spin(least: int, most: int) -> QSpinBox:
    made = QSpinBox()
    made.setAlignment(Qt.AlignmentFlag.AlignHCenter)
    made.setRange(least, most)
    return made
