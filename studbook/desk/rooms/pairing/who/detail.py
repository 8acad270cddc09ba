"""One bird beside the table: its mark and the reason, what speaks for and against it, what goes with it."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLineEdit, QToolButton, QVBoxLayout, QWidget

from studbook.book.husbandry.choosing_rows import Verdict
from studbook.book.husbandry.wording import verdict_word
from studbook.book.records import BirdId, Snapshot
from studbook.desk.rooms.pairing.who.figure_list import FigureList
from studbook.desk.theme import Role, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, label
from studbook.desk.wording import MISSING, day_text, number_text, percent_text
from studbook.planning.breeders.lines import Line, Lines
from studbook.planning.breeders.methods import Asked
from studbook.planning.breeders.telling import (
    change_text,
    parting_caution,
    parting_sentences,
    risks_text,
    told_of,
    trial_text,
)
from studbook.planning.eggs.telling import share_text
from studbook.words import _, plural


class MarkRow(QWidget):
    """Chosen, reserve, no, or not marked: four buttons of which one is down.

    Signals
    -------
    asked
        Another mark is wanted (Verdict or None).
    """

    asked = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(0.5))
        self._group = QButtonGroup(self)
        self._group.setExclusive(False)
        self._buttons: dict[Verdict | None, QToolButton] = {}
        marks: tuple[tuple[Verdict | None, str, str, str], ...] = (
            (Verdict.CHOSEN, verdict_word(Verdict.CHOSEN), _("Mark as chosen (key C)"), "chosen"),
            (Verdict.RESERVE, verdict_word(Verdict.RESERVE), _("Keep in reserve (key R)"), "reserve"),
            (Verdict.NO, verdict_word(Verdict.NO), _("Not to breed (key N)"), "no"),
            (None, _("not marked"), _("Take the mark off (Backspace)"), "none"),
        )
        for verdict, words, explained, name in marks:
            made = QToolButton()
            made.setObjectName(f"who_mark_{name}")
            made.setText(words)
            made.setToolTip(explained)
            made.setAccessibleDescription(explained)
            made.setCheckable(True)
            made.clicked.connect(lambda _on=False, verdict=verdict: self.asked.emit(verdict))
            self._group.addButton(made)
            self._buttons[verdict] = made
            row.addWidget(made)
        row.addStretch(1)

    def show_marks(self, verdicts: set[Verdict | None]) -> None:
        """Put down the mark all birds share; none where they differ."""
        shared = next(iter(verdicts)) if len(verdicts) == 1 else "several"
        for verdict, made in self._buttons.items():
            made.setChecked(verdict == shared and shared != "several")


class Detail(QWidget):
    """The bird, or the birds, that are selected.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    mark_asked
        Another mark is wanted for what is shown (Verdict or None).
    reason_given
        Why, and for which birds (str, tuple of BirdId).
    """

    bird_asked = Signal(str)
    mark_asked = Signal(object)
    reason_given = Signal(str, object)

    def __init__(self) -> None:
        super().__init__()
        self._shown: tuple[Line, ...] = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, space(1.5), 0)
        column.setSpacing(space(1))
        self._head = QHBoxLayout()
        column.addLayout(self._head)
        self.marks = MarkRow()
        self.marks.asked.connect(self.mark_asked)
        column.addWidget(self.marks)
        self.reason = QLineEdit()
        self.reason.setObjectName("who_reason")
        self.reason.setAccessibleName(_("Why"))
        self.reason.editingFinished.connect(self._give_reason)
        caption = label(_("Why"), Role.CAPTION)
        caption.setBuddy(self.reason)
        self._caption = caption
        column.addWidget(caption)
        column.addWidget(self.reason)
        self.told = Prose("who_told", _("What speaks for and against the bird"))
        self.told.bird_asked.connect(self.bird_asked)
        column.addWidget(self.told)
        self._parting_heading = SectionHeading(_("Keep or part"))
        column.addWidget(self._parting_heading)
        self.parting = Prose("who_parting_told", _("What becomes of the flock if the bird goes"))
        self.parting.bird_asked.connect(self.bird_asked)
        column.addWidget(self.parting)
        self.caution = label("", Role.SMALL, wraps=True)
        self.caution.setObjectName("who_caution")
        column.addWidget(self.caution)
        self._figures_heading = SectionHeading(_("The figures"))
        column.addWidget(self._figures_heading)
        self.figures = FigureList("who_figure")
        column.addWidget(self.figures)
        column.addStretch(1)

    def show_lines(self, shown: Sequence[Line], lines: Lines, snapshot: Snapshot, *, can_edit: bool) -> None:
        """Show the selected birds; of several their mark and reason alone."""
        if self.reason.hasFocus() and self.reason.isModified():
            self._give_reason()
        self._shown = tuple(shown)
        while (item := self._head.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        one = self._shown[0] if len(self._shown) == 1 else None
        if one is not None:
            link = BirdLink(one.bird)
            link.setObjectName("who_bird")
            link.asked.connect(self.bird_asked)
            self._head.addWidget(link)
        else:
            self._head.addWidget(label(self._heading(), Role.HEADING, wraps=True))
        self._head.addStretch(1)
        has_birds = bool(self._shown)
        self.marks.show_marks({line.verdict for line in self._shown})
        for part in (self.marks, self._caption, self.reason):
            part.setVisible(has_birds and can_edit)
        self._show_reason()
        for each in (self.told, self._parting_heading, self.parting, self._figures_heading, self.figures):
            each.setVisible(one is not None)
        self.caution.setText(parting_caution())
        self.caution.setVisible(one is not None)
        if one is not None:
            self._tell(one, lines, snapshot)

    def _heading(self) -> str:
        if not self._shown:
            return _("Choose a bird in the table")
        return plural("{count} bird", "{count} birds", len(self._shown)).format(count=len(self._shown))

    def _show_reason(self) -> None:
        marked = [line for line in self._shown if line.choice is not None]
        reasons = {line.choice.reason for line in marked if line.choice is not None}
        self.reason.setText(next(iter(reasons)) if len(reasons) == 1 else "")
        self.reason.setModified(False)
        self.reason.setEnabled(bool(marked))
        self.reason.setPlaceholderText(
            _("kept for next year; Enter saves it") if marked else _("mark the bird first")
        )

    def _tell(self, line: Line, lines: Lines, snapshot: Snapshot) -> None:
        told = told_of(line, lines, snapshot, day_text)
        paragraphs = []
        for heading, sentences in (
            (_("For it"), told.speaks_for),
            (_("Against it"), told.against),
            (_("Also"), told.known),
        ):
            if sentences:
                paragraphs.append(Paragraph(((heading,),), Style.HEAD))
                paragraphs += [Paragraph((sentence,), Style.ITEM) for sentence in sentences]
        self.told.show_paragraphs(paragraphs, snapshot)
        self.parting.show_paragraphs(
            [Paragraph((sentence,)) for sentence in parting_sentences(line, lines, snapshot)], snapshot
        )
        self.figures.show_figures(_figures(line, lines), snapshot)

    def _give_reason(self) -> None:
        if self.reason.isModified() and self._shown:
            self.reason.setModified(False)
            self.reason_given.emit(self.reason.text().strip(), tuple(line.bird.id for line in self._shown))

    @property
    def birds(self) -> tuple[BirdId, ...]:
        """Who is shown."""
        return tuple(line.bird.id for line in self._shown)


def _figures(line: Line, lines: Lines) -> list[tuple[Asked, str, str]]:
    flock, parting = lines.flock, line.parting

    def without(before: float | None, after: float | None) -> str:
        if before is None or after is None:
            return MISSING
        return _("{after}, {change}").format(after=percent_text(after, 2), change=change_text(after - before))

    kinship = _("{share}, number {rank} of {count}").format(
        share=percent_text(line.kinship), rank=number_text(line.rank), count=number_text(flock.living)
    )
    found = [
        (Asked.KINSHIP, _("mean kinship"), kinship),
        (Asked.INBREEDING, _("its own F"), percent_text(line.inbreeding)),
        (Asked.AT_RISK, _("founders at risk"), risks_text(line) or _("none")),
    ]
    if line.is_cock:
        found.append((Asked.TRIAL, _("fertility trial"), trial_text(line) or MISSING))
    return [
        *found,
        (Asked.HATCHED, _("hatched of set"), share_text(line.hatched) or MISSING),
        (
            Asked.DIVERSITY,
            _("gene diversity without it"),
            without(flock.gene_diversity, parting.gene_diversity),
        ),
        (Asked.EXPECTED, _("F of next generation"), without(flock.expected, parting.expected)),
        (Asked.NEXT_KINSHIP, _("kinship of next generation"), without(flock.kinship, parting.kinship)),
    ]
