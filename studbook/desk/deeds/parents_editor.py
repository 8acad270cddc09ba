"""Who the parents are: one pair, several possible pairs with their shares, or nobody known."""

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QDoubleSpinBox, QFrame, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.records import Bird, BirdId, Pair, Sex, Snapshot
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_picker import BirdPicker
from studbook.desk.widgets.text import label, link
from studbook.words import _

_WHOLE = 100.0
_SLACK = 0.5


class _Line(QFrame):
    """One possible pair."""

    changed = Signal()

    def __init__(self, number: int) -> None:
        super().__init__()
        self.setObjectName(f"pair_{number}")
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(space(2))
        grid.setVerticalSpacing(space(0.5))
        self.sire = BirdPicker(placeholder=_("unknown sire"))
        self.dam = BirdPicker(placeholder=_("unknown dam"))
        for column, (picker, name, words) in enumerate(
            ((self.sire, "sire", _("Sire")), (self.dam, "dam", _("Dam")))
        ):
            picker.setObjectName(name if number == 1 else f"{name}_{number}")
            picker.setAccessibleName(words)
            picker.edit.setAccessibleName(words)
            picker.edit.setMinimumWidth(length(150))
            caption = label(words, Role.CAPTION)
            caption.setBuddy(picker)
            grid.addWidget(caption, 0, column)
            grid.addWidget(picker, 1, column)
            grid.setColumnStretch(column, 1)
            picker.changed.connect(self.changed)
        self.share = QDoubleSpinBox()
        self.share.setObjectName(f"share_{number}")
        self.share.setAccessibleName(_("Share of the eggs, in per cent"))
        self.share.setRange(0.1, _WHOLE)
        self.share.setDecimals(1)
        self.share.setSuffix(_(" %"))
        self.share.setValue(_WHOLE)
        self.share.valueChanged.connect(self.changed)
        self.share_caption = label(_("How likely"), Role.CAPTION)
        self.share_caption.setBuddy(self.share)
        self.remove = link(_("drop this pair"), lambda: None)
        self.remove.setAccessibleName(_("Drop this possible pair"))
        likely = QHBoxLayout()
        likely.setSpacing(space(1))
        likely.addWidget(self.share_caption)
        likely.addWidget(self.share)
        likely.addWidget(self.remove)
        likely.addStretch(1)
        grid.addLayout(likely, 2, 0, 1, 2)

    def show_share(self, shown: bool) -> None:
        """The share matters only where several pairs are possible."""
        for widget in (self.share, self.share_caption, self.remove):
            widget.setVisible(shown)


class ParentsEditor(QWidget):
    """A line for each possible pair; an empty line is unknown parents.

    Signals
    -------
    changed
        Other parents or shares.
    """

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space())
        self._place = QVBoxLayout()
        self._place.setSpacing(space())
        column.addLayout(self._place)
        row = QHBoxLayout()
        self.another = link(_("another pair is possible"), self.add_pair)
        self.another.setObjectName("another_pair")
        row.addWidget(self.another)
        row.addStretch(1)
        column.addLayout(row)
        self._lines: list[_Line] = []
        self._birds: tuple[Bird, ...] = ()
        self._barred: frozenset[BirdId] = frozenset()
        self._made = 0
        self._add()

    @property
    def pairs(self) -> tuple[Pair, ...]:
        """The candidate pairs; empty when nothing is known."""
        lines = [(line.sire.bird, line.dam.bird, line.share.value()) for line in self._lines]
        if len(lines) == 1:
            sire, dam, _share = lines[0]
            return (Pair(sire, dam),) if sire or dam else ()
        total = sum(share for _sire, _dam, share in lines)
        return tuple(Pair(sire, dam, share / total) for sire, dam, share in lines)

    @property
    def error(self) -> str:
        """What is wrong with the shares; empty when nothing is."""
        if len(self._lines) == 1:
            return ""
        total = sum(line.share.value() for line in self._lines)
        if abs(total - _WHOLE) <= _SLACK:
            return ""
        return _("The shares add up to {total:.0f} %: they must add up to 100 %.").format(total=total)

    def set_birds(self, snapshot: Snapshot, barred: Iterable[BirdId] = ()) -> None:
        """The birds that may be chosen: all of the book but the `barred`."""
        self._birds = snapshot.birds
        self._barred = frozenset(barred)
        for line in self._lines:
            self._supply(line)

    def set_pairs(self, pairs: Iterable[Pair]) -> None:
        """Show these candidate pairs."""
        wanted = list(pairs) or [Pair(None, None)]
        while len(self._lines) > len(wanted):
            self._drop(self._lines[-1])
        while len(self._lines) < len(wanted):
            self._add()
        for line, pair in zip(self._lines, wanted, strict=True):
            line.sire.choose(pair.sire)
            line.dam.choose(pair.dam)
            line.share.setValue(pair.weight * _WHOLE)
        self._show_shares()

    def add_pair(self) -> None:
        """One more possible pair, of the same dam: mostly it is the cock that is in doubt."""
        dam = self._lines[-1].dam.bird
        line = self._add()
        line.dam.choose(dam)
        for each in self._lines:
            each.share.setValue(_WHOLE / len(self._lines))
        self._show_shares()
        line.sire.setFocus()
        self.changed.emit()

    def _add(self) -> _Line:
        self._made += 1
        line = _Line(self._made)
        line.changed.connect(self.changed)
        line.remove.clicked.connect(self._remove_asked)
        self._supply(line)
        self._lines.append(line)
        self._place.addWidget(line)
        self._show_shares()
        return line

    def _remove_asked(self) -> None:
        sender = self.sender()
        for line in self._lines:
            if line.remove is sender:
                self._drop(line)
                for each in self._lines:
                    each.share.setValue(_WHOLE / len(self._lines))
                self._lines[0].sire.setFocus()
                self.changed.emit()
                return

    def _drop(self, line: _Line) -> None:
        self._lines.remove(line)
        line.hide()
        line.deleteLater()
        self._show_shares()

    def _supply(self, line: _Line) -> None:
        barred = self._barred
        line.sire.set_birds(self._birds, lambda bird: bird.sex is not Sex.HEN and bird.id not in barred)
        line.dam.set_birds(self._birds, lambda bird: bird.sex is not Sex.COCK and bird.id not in barred)

    def _show_shares(self) -> None:
        for line in self._lines:
            line.show_share(len(self._lines) > 1)
