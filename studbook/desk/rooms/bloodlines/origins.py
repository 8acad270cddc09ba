"""The yards birds came from: how related their birds are assumed to be, and what assuming otherwise would do."""

from collections import Counter
from collections.abc import Callable

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDoubleSpinBox,
    QGridLayout,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from studbook.book.changes import EditOrigin, RelateOrigins
from studbook.book.errors import Problem
from studbook.book.records import Origin, OriginId, Snapshot
from studbook.desk.context import Context
from studbook.desk.rooms.bloodlines.page import Page, clear
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import SectionHeading, button, label
from studbook.desk.wording import MISSING, percent_text
from studbook.planning.bloodlines.relations import assumed, related_origins
from studbook.planning.bloodlines.report import OriginEffect
from studbook.words import _, plural

_MOST_GAMMA = 2.0


def likeness(gamma: float) -> str:
    """What the assumed kinship γ/2 of two birds is like."""
    known = {
        0.0: _("unrelated"),
        0.03125: _("about like half cousins"),
        0.0625: _("about like cousins"),
        0.125: _("about like half sibs"),
        0.25: _("about like full sibs"),
        0.375: _("about like full sibs whose parents were full sibs"),
        0.5: _("closer than any one mating makes them"),
    }
    return known[min(known, key=lambda kinship: abs(kinship - gamma / 2))]


class OriginsPage(Page):
    """How related are the birds we bought in, and what rests on it?

    Signals
    -------
    effect_wanted
        What another assumption would do is to be worked out (OriginId, OriginId or None, float).
    """

    effect_wanted = Signal(str, object, float)

    def __init__(self, context: Context, ask_book: Callable[[], None]) -> None:
        super().__init__(context, "bloodlines_origins")
        self._ask_book = ask_book
        self._snapshot: Snapshot | None = None
        self.list = QListWidget()
        self.list.setObjectName("origin_list")
        self.list.setAccessibleName(_("Origins"))
        self.list.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.list.setSpacing(space(0.5))
        self.list.setWordWrap(True)
        self.list.setMinimumHeight(length(200))
        self.list.currentItemChanged.connect(lambda _now, _before: self._choose())
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(SectionHeading(_("Where your birds came from")))
        column.addWidget(self.list)
        column.addWidget(
            label(
                _(
                    "Birds of one yard are often related, even where nobody wrote down how. What you assume here "
                    "moves every figure of the flock; it says so wherever it does."
                ),
                Role.SMALL,
                wraps=True,
            )
        )
        self.add_halves(left, self._editor(), (4, 6))
        self.column.addStretch(1)

    def _editor(self) -> QWidget:
        made = QWidget()
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        self._heading = SectionHeading("")
        column.addWidget(self._heading)
        with_whom = QHBoxLayout()
        with_whom.setSpacing(space(1))
        self.other = QComboBox()
        self.other.setObjectName("origin_other")
        self.other.setAccessibleName(_("With which birds they are related"))
        self.other.setMinimumContentsLength(14)
        self.other.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.other.activated.connect(self._choose_other)
        caption = label(_("Its birds &with"))
        caption.setBuddy(self.other)
        with_whom.addWidget(caption)
        with_whom.addWidget(self.other, 1)
        column.addLayout(with_whom)
        row = QHBoxLayout()
        row.setSpacing(space(1))
        caption = label(_("Assumed &relationship γ"))
        self.gamma = QDoubleSpinBox()
        self.gamma.setObjectName("origin_gamma")
        self.gamma.setAccessibleName(_("Assumed relationship, from 0 to 2"))
        self.gamma.setRange(0, _MOST_GAMMA)
        self.gamma.setSingleStep(0.05)
        self.gamma.setDecimals(3)
        self.gamma.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.gamma.setMinimumWidth(length(110))
        self.gamma.valueChanged.connect(self._changed)
        caption.setBuddy(self.gamma)
        row.addWidget(caption)
        row.addWidget(self.gamma)
        row.addStretch(1)
        column.addLayout(row)
        self.meaning = label("", Role.FAINT, wraps=True)
        self.meaning.setObjectName("origin_meaning")
        column.addWidget(self.meaning)
        self.problem = label("", Role.ERROR, wraps=True)
        self.problem.setObjectName("origin_problem")
        self.problem.hide()
        column.addWidget(self.problem)
        self._table = QGridLayout()
        self._table.setHorizontalSpacing(space(3))
        self._table.setVerticalSpacing(space(0.75))
        self._table.setColumnStretch(3, 1)
        column.addLayout(self._table)
        buttons = QHBoxLayout()
        buttons.setSpacing(space(1))
        self.apply = button(_("Assume this"), self._apply, primary=True)
        self.apply.setObjectName("origin_apply")
        self.back = button(_("Leave it as it is"), self._reset)
        self.back.setObjectName("origin_reset")
        buttons.addWidget(self.apply)
        buttons.addWidget(self.back)
        buttons.addStretch(1)
        column.addLayout(buttons)
        return made

    @property
    def origin(self) -> Origin | None:
        """The yard that is chosen."""
        item = self.list.currentItem()
        if item is None or self._snapshot is None:
            return None
        return self._snapshot.origin(OriginId(item.data(Qt.ItemDataRole.UserRole)))

    @property
    def related(self) -> Origin | None:
        """The yard to whose birds those of the chosen one are related; None is to each other."""
        found = self.other.currentData()
        return self._snapshot.origin(OriginId(found)) if self._snapshot is not None and found else None

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Show the yards of the book; those that are chosen stay so."""
        kept = self.origin.id if self.origin else None
        related = self.related.id if self.related else None
        self._snapshot = snapshot
        if not snapshot.origins:
            self.show_missing(
                EmptyState(
                    "map-pin",
                    _("No origins yet"),
                    _(
                        "When you buy birds from another yard, note the yard as their origin. Here you can then say "
                        "how related its birds are likely to be, and see what that does to the figures."
                    ),
                    (_("Note an origin in the book"), self._ask_book),
                )
            )
            return
        self.show_content()
        counts = Counter(bird.origin for bird in snapshot.birds if bird.origin is not None)
        self.list.blockSignals(True)
        self.list.clear()
        for origin in snapshot.origins:
            count = counts[origin.id]
            birds = plural("{n} bird", "{n} birds", count).format(n=count)
            text = _("{origin}: {birds}, {likeness}").format(
                origin=origin.name, birds=birds, likeness=likeness(origin.self_relationship)
            )
            others = ", ".join(other.name for other in related_origins(snapshot, origin.id))
            if others:
                text = _("{text}; related to birds of {others}").format(text=text, others=others)
            item = QListWidgetItem(text)
            item.setData(Qt.ItemDataRole.UserRole, str(origin.id))
            self.list.addItem(item)
            if origin.id == kept:
                self.list.setCurrentItem(item)
        if self.list.currentItem() is None:
            self.list.setCurrentRow(0)
        self.list.blockSignals(False)
        self._choose()
        if related is not None:
            self.other.setCurrentIndex(max(0, self.other.findData(str(related))))
            self._choose_other()

    def show_effect(self, effect: OriginEffect) -> None:
        """Show what the assumption would do, if it is still the one in the field."""
        origin = self.origin
        related = self.related.id if self.related else None
        if (
            origin is None
            or (effect.origin, effect.other) != (origin.id, related)
            or effect.gamma_after != self._wanted()
        ):
            return
        clear(self._table)
        for column, title in enumerate((_("The living flock"), _("now"), _("with this"))):
            side = Qt.AlignmentFlag.AlignRight if column else Qt.AlignmentFlag.AlignLeft
            self._table.addWidget(label(title, Role.CAPTION), 0, column, side)
        before, after = effect.before, effect.after
        rows = (
            (_("Mean F"), before.mean_inbreeding, after.mean_inbreeding, True),
            (_("Mean kinship"), before.mean_kinship, after.mean_kinship, True),
            (_("Gene diversity"), before.gene_diversity, after.gene_diversity, True),
            (
                _("Founder genome equivalents"),
                before.founder_genome_equivalents,
                after.founder_genome_equivalents,
                False,
            ),
        )
        for row, (name, was, will_be, in_per_cent) in enumerate(rows, 1):
            self._table.addWidget(label(name), row, 0)
            for column, value in ((1, was), (2, will_be)):
                text = _figure(value, in_per_cent=in_per_cent)
                made = label(text, Role.NAME if column == 2 else Role.FAINT)
                made.setObjectName(f"effect_{row}_{column}")
                self._table.addWidget(made, row, column, Qt.AlignmentFlag.AlignRight)

    def show_problems(self, problems: tuple[Problem, ...]) -> None:
        """Say why no birds can be related so."""
        clear(self._table)
        self.apply.setEnabled(False)
        self.problem.setText("\n".join(problem.message for problem in problems))
        self.problem.show()

    def _assumed(self) -> float:
        """What the book assumes now of the birds that are chosen."""
        origin, related, snapshot = self.origin, self.related, self._snapshot
        if origin is None or snapshot is None:
            return 0.0
        return assumed(snapshot, origin.id, related.id if related else None)

    def _wanted(self) -> float:
        return round(self.gamma.value(), 3)

    def _choose(self) -> None:
        """Another yard is chosen: its birds with each other come first."""
        origin, snapshot = self.origin, self._snapshot
        if origin is None or snapshot is None:
            return
        self._heading.set_text(origin.name)
        self.other.clear()
        self.other.addItem(_("each other"), "")
        for other in snapshot.origins:
            if other.id != origin.id:
                self.other.addItem(_("birds of {origin}").format(origin=other.name), str(other.id))
        self._choose_other()

    def _choose_other(self) -> None:
        self.gamma.blockSignals(True)
        self.gamma.setValue(self._assumed())
        self.gamma.blockSignals(False)
        self._changed()

    def _changed(self) -> None:
        origin = self.origin
        if origin is None:
            return
        gamma = self._wanted()
        self.problem.hide()
        is_other = gamma != round(self._assumed(), 3)
        self.apply.setEnabled(is_other)
        self.back.setEnabled(is_other)
        kinship, related = percent_text(gamma / 2, 2), self.related
        if related is None:
            text = _(
                "Two of its birds are taken to have a kinship of {kinship}: {likeness}. If two birds are known sibs, "
                "give them parents instead."
            ).format(kinship=kinship, likeness=likeness(gamma))
        else:
            text = _(
                "A bird of {origin} and one of {other} are taken to have a kinship of {kinship}: {likeness}. Assume it "
                "where one yard had its birds from the other, or both from a third."
            ).format(origin=origin.name, other=related.name, kinship=kinship, likeness=likeness(gamma))
        self.meaning.setText(text)
        self.effect_wanted.emit(str(origin.id), related.id if related else None, gamma)

    def _reset(self) -> None:
        self._choose_other()
        self.gamma.setFocus()

    def _apply(self) -> None:
        origin = self.origin
        if origin is None:
            return
        related = self.related
        if related is not None:
            change: EditOrigin | RelateOrigins = RelateOrigins(origin.id, related.id, self._wanted())
        else:
            change = EditOrigin(origin, Origin(origin.id, origin.name, self._wanted(), origin.note))
        self.context.record.apply(change, refused=self.show_problems)


def _figure(value: float | None, *, in_per_cent: bool) -> str:
    if value is None:
        return MISSING
    return percent_text(value, 2) if in_per_cent else QLocale().toString(value, "f", 2)
