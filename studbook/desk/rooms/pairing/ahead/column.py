"""One policy as a small column of fields."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QSizePolicy,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from studbook.desk.look import Look
from studbook.desk.rooms.pairing.ahead.numbers import bought_every
from studbook.desk.theme import Role, length, look, space
from studbook.desk.widgets.text import label, link, rule
from studbook.genetics.breeding_policy import Keep
from studbook.planning.forecast.policy import UNRELATED, Impossible, Policy, Yard, checked
from studbook.planning.forecast.telling import keep_text
from studbook.words import _

_MOST_COCKS, _MOST_HENS, _MOST_CHICKS = 20, 40, 2000
_MOST_SEASONS, _MOST_EVERY = 10, 20
_LONGEST_NAME = 48
_WIDTH, _WIDEST = 216, 360


class PolicyColumn(QFrame):
    """The fields of one policy, headed by its name in the colour of its line.

    Signals
    -------
    changed
        Something is decided otherwise.
    removed
        The policy is to be left out.
    """

    changed = Signal()
    removed = Signal()

    def __init__(self, policy: Policy, yards: Sequence[tuple[str, Yard]], place: int) -> None:
        super().__init__()
        self.setObjectName(f"policy_{place}")
        self.setAccessibleName(policy.name)
        self.place = place
        self._yards = tuple(yards)
        self.name = QLineEdit(policy.name)
        self.name.setMaxLength(_LONGEST_NAME)
        self.name.setCursorPosition(0)
        self.name.setObjectName("policy_name")
        self.name.setAccessibleName(_("Name of the policy"))
        self.cocks = _number(1, _MOST_COCKS, policy.cocks)
        self.hens = _number(1, _MOST_HENS, policy.hens_per_cock)
        self.keep = QComboBox()
        for keep in Keep:
            self.keep.addItem(_keep_word(keep), keep)
            self.keep.setItemData(self.keep.count() - 1, keep_text(keep), Qt.ItemDataRole.ToolTipRole)
        self.keep.setCurrentIndex(self.keep.findData(policy.keep))
        self.apart = _tick(_("close matings avoided"), policy.mate_apart or policy.rotate)
        self.rotate = _tick(_("cockerels move to the next pen"), policy.rotate)
        self.every = _number(0, _MOST_EVERY, 0 if policy.buy_in is None else policy.buy_in.every or 0)
        self.every.setSpecialValueText(_("none"))
        self.every.setSuffix(_(" years"))
        self.every.setPrefix(_("every "))
        self.yard = QComboBox()
        for name, _yard in self._yards:
            self.yard.addItem(name)
        bought = UNRELATED if policy.buy_in is None else policy.buy_in.yard
        self.yard.setCurrentIndex(
            next((at for at, (_n, yard) in enumerate(self._yards) if yard == bought), 0)
        )
        self.replaced = _number(0, 100, round(100 * policy.replaced))
        self.replaced.setSuffix(_(" %"))
        self.replaced.setSingleStep(10)
        self.seasons = _number(1, _MOST_SEASONS, policy.seasons)
        self.doubtful = _number(0, 100, round(100 * policy.doubtful))
        self.doubtful.setSuffix(_(" %"))
        self.doubtful.setSingleStep(10)
        self.chicks = _number(2, _MOST_CHICKS, policy.chicks)
        self.chicks.setSingleStep(10)
        for box in (self.keep, self.yard):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(8)
        self.problem = label("", Role.ERROR, wraps=True)
        self.problem.setObjectName("policy_problem")
        self.problem.hide()
        self._build()
        self._fit()
        self._connect()

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.75))
        self._stripe = QFrame()
        self._stripe.setFixedHeight(length(4))
        column.addWidget(self._stripe)
        head = QHBoxLayout()
        head.setSpacing(space(0.5))
        head.addWidget(self.name, 1)
        self.remove = link(_("remove"), self.removed.emit)
        self.remove.setObjectName("policy_remove")
        head.addWidget(self.remove)
        column.addLayout(head)
        column.addLayout(
            self._grid(
                ("cocks", _("Cocks a year"), self.cocks),
                ("hens", _("Hens to each"), self.hens),
                ("keep", _("Who is kept"), self.keep),
                ("every", _("A cock bought"), self.every),
                ("yard", _("from"), self.yard),
            )
        )
        column.addWidget(self.apart)
        column.addWidget(self.rotate)
        self.rest = QWidget()
        below = QVBoxLayout(self.rest)
        below.setContentsMargins(0, 0, 0, 0)
        below.addWidget(rule())
        below.addLayout(
            self._grid(
                ("replaced", _("Hens replaced a year"), self.replaced),
                ("seasons", _("Seasons a cock serves"), self.seasons),
                ("doubtful", _("Chicks of doubtful sire"), self.doubtful),
                ("chicks", _("Chicks reared a year"), self.chicks),
            )
        )
        self.rest.hide()
        column.addWidget(self.rest)
        column.addWidget(self.problem)
        column.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setMaximumWidth(length(_WIDEST))
        self.dress(look())

    def _grid(self, *fields: tuple[str, str, QWidget]) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(space(1))
        grid.setVerticalSpacing(space(0.5))
        for row, (name, text, control) in enumerate(fields):
            caption = label(text, Role.FAINT, wraps=True)
            caption.setBuddy(control)
            control.setObjectName(f"policy_{name}")
            control.setAccessibleName(text)
            grid.addWidget(caption, row, 0)
            grid.addWidget(control, row, 1)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        return grid

    def _connect(self) -> None:
        for box in (
            self.cocks,
            self.hens,
            self.every,
            self.replaced,
            self.seasons,
            self.doubtful,
            self.chicks,
        ):
            box.valueChanged.connect(self._tell)
        for choice in (self.keep, self.yard):
            choice.currentIndexChanged.connect(self._tell)
        for tick in (self.apart, self.rotate):
            tick.toggled.connect(self._tell)
        self.name.textEdited.connect(self._tell)

    @property
    def fields(self) -> tuple[QWidget, ...]:
        """What the keyboard walks through, in order."""
        return (
            self.name,
            self.remove,
            self.cocks,
            self.hens,
            self.keep,
            self.every,
            self.yard,
            self.apart,
            self.rotate,
            self.replaced,
            self.seasons,
            self.doubtful,
            self.chicks,
        )

    @property
    def policy(self) -> Policy:
        """What the fields say."""
        return Policy(
            self.name.text().strip() or _("policy {number}").format(number=self.place + 1),
            self.cocks.value(),
            self.hens.value(),
            Keep(self.keep.currentData()),
            self.replaced.value() / 100,
            self.seasons.value(),
            self.apart.isChecked(),
            self.rotate.isChecked(),
            self.doubtful.value() / 100,
            self.chicks.value(),
            bought_every(self.every.value(), self._yards[self.yard.currentIndex()][1]),
        )

    def check(self) -> bool:
        """Say what cannot be; True when the policy can be bred out."""
        try:
            checked(self.policy)
        except Impossible as impossible:
            self.problem.setText(impossible.reason)
            self.problem.show()
            return False
        self.problem.hide()
        return True

    def dress(self, colours: Look) -> None:
        """Put the colour of its line on top."""
        colour = (colours.slate, colours.comb, colours.moss, colours.straw)[self.place % 4]
        self._stripe.setStyleSheet(f"background: {colour.name()};")

    def show_rest(self, shown: bool) -> None:
        """Show or hide the fields that are seldom changed."""
        self.rest.setVisible(shown)

    def _tell(self) -> None:
        self._fit()
        self.check()
        self.changed.emit()

    def _fit(self) -> None:
        """What goes with what."""
        self.yard.setEnabled(self.every.value() > 0)
        # where cockerels rotate, the pens decide who meets whom
        self.apart.setEnabled(not self.rotate.isChecked())
        # nothing rests on the record where chance decides
        by_chance = self.keep.currentData() == Keep.RANDOM and (
            self.rotate.isChecked() or not self.apart.isChecked()
        )
        self.doubtful.setEnabled(not by_chance)

    def minimumSizeHint(self) -> QSize:
        return QSize(length(_WIDTH), super().minimumSizeHint().height())


def _number(least: int, most: int, value: int) -> QSpinBox:
    made = QSpinBox()
    made.setRange(least, most)
    made.setValue(value)
    made.setKeyboardTracking(False)
    made.setAlignment(Qt.AlignmentFlag.AlignHCenter)
    return made


def _keep_word(keep: Keep) -> str:
    """Which young birds are kept, as short as it can be said."""
    return {
        Keep.RANDOM: _("by chance"),
        Keep.LEAST_RELATED: _("least related"),
        Keep.FOUNDER_BALANCED: _("founders even"),
    }[keep]


def _tick(text: str, on: bool) -> QCheckBox:
    made = QCheckBox(text)
    made.setChecked(on)
    made.setAccessibleName(text)
    return made
