"""F of a bird and why: by convention and cautious, how much is known, the common ancestors of its parents."""

from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from studbook.book.records import Bird, BirdId, Snapshot, StoredFigures
from studbook.desk.context import Context
from studbook.desk.kin import Kin
from studbook.desk.theme import Role, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.text import label, link
from studbook.desk.wording import bird_text, percent_text
from studbook.desk.work import Progress
from studbook.words import _, plural

_ANCESTORS = 8
_PATHS = 3
MOST_EXPLAINED = 10_000
"""With more ancestors than this their common ones are not listed: nobody waits so long for them."""

_SEVERAL_PAIRS = 5
"""Where several pairs are possible, an ancestor that is foremost in all of them may not be so in each."""


@dataclass(frozen=True)
class Common:
    """A common ancestor of the parents: its part of F, its number of paths, the strongest of them."""

    bird: BirdId
    contribution: float
    path_count: int
    paths: tuple[tuple[BirdId, ...], ...]


@dataclass(frozen=True)
class Inbreeding:
    """What a worker found about one bird.

    Attributes
    ----------
    convention, cautious
        F; None when no parent is recorded.
    ancestors
        The common ancestors of its parents by convention, largest part first; weighted where several
        pairs are possible.
    from_origins
        The part of F that rests on the assumed relationship of birds of one yard.
    """

    convention: float | None
    cautious: float | None
    generations: float
    known_ancestors: int
    ancestors: tuple[Common, ...]
    from_origins: float


def inbreeding_of(kin: Kin, bird: Bird) -> Inbreeding:
    """Everything the page says about F; for a worker."""
    snapshot, plain = kin.snapshot, kin.convention
    row = snapshot.rows[bird.id]
    parts: dict[BirdId, list[Common]] = {}
    from_origins = 0.0
    known_ancestors = plain.known_ancestors(bird.id)
    foremost = _ANCESTORS * (_SEVERAL_PAIRS if len(bird.pairs) > 1 else 1)
    for pair in bird.pairs:
        if pair.sire is None or pair.dam is None or known_ancestors > MOST_EXPLAINED:
            continue
        found = plain.explain(pair.sire, pair.dam, _PATHS, foremost)
        for ancestor in found.ancestors:
            part = Common(
                ancestor.bird, pair.weight * ancestor.contribution, ancestor.path_count, ancestor.paths
            )
            parts.setdefault(ancestor.bird, []).append(part)
        from_origins += pair.weight * sum(origin.contribution for origin in found.origins)
    ancestors = [
        Common(
            ancestor,
            sum(part.contribution for part in of_bird),
            sum(part.path_count for part in of_bird),
            tuple(path for part in of_bird for path in part.paths)[:_PATHS],
        )
        for ancestor, of_bird in parts.items()
    ]
    ancestors.sort(key=lambda common: -common.contribution)
    known = bool(bird.pairs)
    return Inbreeding(
        float(plain.inbreeding[row]) if known else None,
        float(kin.cautious.inbreeding[row]) if known or not bird.is_founder else None,
        float(plain.generations[row]),
        known_ancestors,
        tuple(ancestors),
        from_origins,
    )


class InbreedingView(QWidget):
    """One line of figures, and behind a word the ancestors they come from.

    Signals
    -------
    bird_asked
        The page of a common ancestor is wanted (str, its BirdId).
    """

    bird_asked = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        self._ticket: int | None = None
        self._snapshot: Snapshot | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        self.figures = label("", wraps=True)
        self.figures.setObjectName("inbreeding")
        self.basis = label("", Role.FAINT, wraps=True)
        self.basis.setObjectName("inbreeding_basis")
        self.why = link(_("Why?"), self._turn)
        self.why.setObjectName("why_inbreeding")
        column.addWidget(self.figures)
        column.addWidget(self.basis)
        column.addWidget(self.why)
        self._reasons = QWidget()
        self._reasons.setObjectName("inbreeding_reasons")
        self._reasons_column = QVBoxLayout(self._reasons)
        self._reasons_column.setContentsMargins(0, 0, 0, 0)
        self._reasons.hide()
        column.addWidget(self._reasons)

    def show_bird(self, bird: Bird, kin: Kin) -> None:
        """Say what is known at once and the figures as soon as a worker has them."""
        self._snapshot = kin.snapshot
        self.why.hide()
        self._reasons.hide()
        if bird.placeholder:
            self.figures.setText(_("A placeholder has no inbreeding coefficient."))
            self.basis.clear()
            return
        self.figures.setText(_("working it out …"))
        self.basis.clear()

        def work(_progress: Progress) -> tuple[Inbreeding, StoredFigures | None]:
            found = inbreeding_of(kin, bird)
            return found, kin.cautious_to_store() if found.cautious is not None else None

        self._ticket = self.context.workers.run(work, self._take, key="bird inbreeding")

    def leave(self) -> None:
        """Nobody waits for the figures any more."""
        if self._ticket is not None:
            self.context.workers.cancel(self._ticket)

    def _take(self, answer: tuple[Inbreeding, StoredFigures | None]) -> None:
        found, to_store = answer
        self.context.record.keep_figures(to_store)
        self._show(found)

    def _show(self, found: Inbreeding) -> None:
        self._ticket = None
        if found.convention is None and found.cautious is None:
            self.figures.setText(_("F not known: a founder, its parents are not recorded."))
        elif found.convention is None:
            self.figures.setText(
                _("F not known by convention, {cautious} cautious").format(
                    cautious=percent_text(found.cautious or 0.0)
                )
            )
        else:
            self.figures.setText(
                _("F {convention} by convention, {cautious} cautious").format(
                    convention=percent_text(found.convention),
                    cautious=percent_text(found.cautious if found.cautious is not None else found.convention),
                )
            )
        self.figures.setToolTip(
            _(
                "F is the chance that both copies of a gene come from one copy in a common ancestor. By "
                "convention parents that are not recorded are unrelated; cautious takes each for one of the "
                "birds of the flock that could have been it."
            )
        )
        generations = plural(
            "{generations:.1f} generations known, {count} ancestor in the book",
            "{generations:.1f} generations known, {count} ancestors in the book",
            found.known_ancestors,
        )
        basis = generations.format(generations=found.generations, count=found.known_ancestors)
        if found.known_ancestors > MOST_EXPLAINED:
            basis = _("{text}: too many to list which of them both parents share").format(text=basis)
        self.basis.setText(basis)
        self._fill(found)
        self.why.setVisible(bool(found.ancestors) or found.from_origins > 0)
        self._say_why()

    def _fill(self, found: Inbreeding) -> None:
        while (item := self._reasons_column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        sheet = QWidget()
        grid = QGridLayout(sheet)
        grid.setContentsMargins(0, space(0.5), 0, 0)
        grid.setHorizontalSpacing(space(2))
        grid.setVerticalSpacing(space(0.25))
        grid.setColumnStretch(2, 1)
        snapshot = self._snapshot
        assert snapshot is not None
        row = 0
        for common in found.ancestors[:_ANCESTORS]:
            to_bird = BirdLink(snapshot.bird(common.bird))
            to_bird.asked.connect(self.bird_asked)
            grid.addWidget(to_bird, row, 0)
            grid.addWidget(label(percent_text(common.contribution, 2)), row, 1, Qt.AlignmentFlag.AlignRight)
            paths = plural("{count} path", "{count} paths", common.path_count)
            grid.addWidget(label(paths.format(count=common.path_count), Role.FAINT), row, 2)
            for path in common.paths:
                row += 1
                words = label(path_text(snapshot, path, common.bird), Role.SMALL, wraps=True)
                words.setContentsMargins(space(3), 0, 0, 0)
                grid.addWidget(words, row, 0, 1, 3)
            row += 1
        rest = found.ancestors[_ANCESTORS:]
        if rest:
            share = percent_text(sum(common.contribution for common in rest), 2)
            text = plural("{count} more ancestor: {share}", "{count} more ancestors: {share}", len(rest))
            grid.addWidget(label(text.format(count=len(rest), share=share), Role.FAINT), row, 0, 1, 3)
            row += 1
        if found.from_origins > 0:
            text = _("birds of one yard, taken as related: {share}")
            words = label(text.format(share=percent_text(found.from_origins, 2)), Role.FAINT, wraps=True)
            grid.addWidget(words, row, 0, 1, 3)
        self._reasons_column.addWidget(sheet)

    def _turn(self) -> None:
        self._reasons.setVisible(not self._reasons.isVisibleTo(self))
        self._say_why()

    def _say_why(self) -> None:
        self.why.setText(_("Hide why") if self._reasons.isVisibleTo(self) else _("Why?"))


def path_text(snapshot: Snapshot, path: tuple[BirdId, ...], ancestor: BirdId) -> str:
    """A path from one parent back to the ancestor and down to the other: "Dart ← Severn → Elder"."""
    at = path.index(ancestor)
    names = [bird_text(snapshot.bird(bird)) for bird in path]
    return " ← ".join(names[: at + 1]) + "".join(f" → {name}" for name in names[at + 1 :])
