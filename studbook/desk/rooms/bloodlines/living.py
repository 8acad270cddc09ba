"""The living birds by mean kinship: who carries what few others carry, and who is well covered by kin."""

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.records import BirdId, Snapshot
from studbook.desk.context import Context
from studbook.desk.room import BirdList
from studbook.desk.rooms.bloodlines import pictures
from studbook.desk.rooms.bloodlines.figures import method_paragraphs
from studbook.desk.rooms.bloodlines.numbers import Answer, StandingAnswer
from studbook.desk.rooms.bloodlines.page import Page, clear
from studbook.desk.theme import Role, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.chart_panel import ChartPanel
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import number_text, percent_text
from studbook.planning.bloodlines.report import RankedBird, Standing
from studbook.words import _


class LivingPage(Page):
    """Who of the living keeps the line wide?

    Signals
    -------
    standing_wanted
        What is said of a bird is wanted (str, its BirdId).
    """

    standing_wanted = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__(context, "bloodlines_living")
        self._answer: Answer | None = None
        self._snapshot: Snapshot | None = None
        self.chosen: BirdId | None = None
        self._standing: StandingAnswer | None = None
        self._is_listed = False
        self.ranking = ChartPanel(
            context,
            "ranking_chart",
            _("The living birds by mean kinship"),
            _(
                "How closely a bird is related to the whole flock. The further left, the more it carries that "
                "few others carry. Press a bird to read what it means."
            ),
        )
        self.ranking.asked.connect(lambda bird: self.choose(BirdId(bird)))
        self.add_halves(self.ranking, self._beside(), (6, 5))
        self.column.addStretch(1)

    def _beside(self) -> QWidget:
        made = QWidget()
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        column.addWidget(SectionHeading(_("One bird")))
        self._head = QHBoxLayout()
        column.addLayout(self._head)
        self.sentences = Prose("standing_sentences", _("How this bird stands"))
        self.sentences.bird_asked.connect(self.bird_asked)
        column.addWidget(self.sentences)
        self.opening = link("", self._toggle_list)
        self.opening.setObjectName("standing_unknown")
        self.opening.hide()
        column.addWidget(self.opening, 0, Qt.AlignmentFlag.AlignLeft)
        self._facts = label("", Role.FAINT, wraps=True)
        self._facts.setObjectName("standing_facts")
        column.addWidget(self._facts)
        column.addWidget(SectionHeading(_("Who they are")))
        self._groups = QVBoxLayout()
        self._groups.setSpacing(space(0.5))
        column.addLayout(self._groups)
        return made

    def show_answer(self, answer: Answer, snapshot: Snapshot) -> None:
        """Show a report; the bird that is read about stays the same if it still lives."""
        self._answer, self._snapshot = answer, snapshot
        if answer.ranking is not None:
            self.ranking.show_chart(answer.ranking)
        else:
            self.ranking.show_sentence(_("No bird of this kind is in the flock."))
        clear(self._groups)
        for standing, birds in answer.by_standing:
            self._add_group(standing, birds)
        if answer.ranked:
            kept = self.chosen if self.chosen in answer.ranked else next(iter(answer.ranked))
            self.choose(kept)

    def choose(self, bird: BirdId) -> None:
        """Read about a bird."""
        answer, snapshot = self._answer, self._snapshot
        if answer is None or snapshot is None:
            return
        self.chosen = bird
        clear(self._head)
        head = BirdLink(snapshot.bird(bird))
        head.setObjectName("standing_bird")
        head.asked.connect(self.bird_asked)
        self._head.addWidget(head)
        self._head.addStretch(1)
        self._facts.setText(_facts(answer.ranked[bird], len(answer.ranked)))
        self.standing_wanted.emit(str(bird))

    def show_standing(self, bird: BirdId, standing: StandingAnswer) -> None:
        """Show what is said of a bird, if it is still the chosen one."""
        if bird == self.chosen:
            self._standing, self._is_listed = standing, False
            self._write()

    def _toggle_list(self) -> None:
        self._is_listed = not self._is_listed
        self._write()

    def _write(self) -> None:
        standing, snapshot = self._standing, self._snapshot
        if standing is None or snapshot is None:
            return
        self.opening.setVisible(bool(standing.lists))
        self.opening.setText(_("close the list") if self._is_listed else standing.opens)
        paragraphs = [Paragraph(standing.sentences), *(Paragraph(told) for told in standing.hidden)]
        if self._is_listed:
            for head, *birds in standing.lists:
                paragraphs.append(Paragraph((head,)))
                paragraphs += [Paragraph((bird,), Style.ITEM) for bird in birds]
            paragraphs += method_paragraphs(standing.method)
        self.sentences.show_paragraphs(paragraphs, snapshot)

    def cancel(self) -> None:
        self.ranking.cancel()

    def _add_group(self, standing: Standing, found: tuple[BirdId, ...]) -> None:
        words = pictures.standing_text(standing)
        count = len(found)
        row = QHBoxLayout()
        row.setSpacing(space(1))
        text = _("{standing}: {count}").format(
            standing=words[:1].upper() + words[1:], count=number_text(count)
        )
        if count:
            birds = BirdList(text, found)
            deeper = link(text, lambda: self.birds_asked.emit(birds))
            deeper.setObjectName(f"standing_{standing.name.lower()}")
            row.addWidget(deeper)
        else:
            row.addWidget(label(text, Role.FAINT))
        row.addStretch(1)
        self._groups.addLayout(row)


def _facts(ranked: RankedBird, count: int) -> str:
    return _(
        "Mean kinship {cautious} cautiously (place {rank_cautious} of {count}), {convention} by convention "
        "(place {rank_convention}). Its own F {inbreeding}; {generations} generations of its ancestors are known."
    ).format(
        cautious=percent_text(ranked.cautious),
        rank_cautious=ranked.rank_cautious,
        count=count,
        convention=percent_text(ranked.by_convention),
        rank_convention=ranked.rank_by_convention,
        inbreeding=percent_text(ranked.inbreeding),
        generations=QLocale().toString(ranked.generations, "f", 1),
    )
