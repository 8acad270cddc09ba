"""The founders: what is left of each, and one of them followed through the flock."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.records import BirdId, Snapshot
from studbook.desk.context import Context
from studbook.desk.room import BirdList
from studbook.desk.rooms.bloodlines import pictures
from studbook.desk.rooms.bloodlines.numbers import Answer, FounderAnswer
from studbook.desk.rooms.bloodlines.page import Page, clear
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.chart_panel import ChartPanel
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import percent_text, sentence_text
from studbook.planning.bloodlines.report import Founder, FounderKey
from studbook.words import _, plural

_MOST_LISTED = 200


class FoundersPage(Page):
    """How many founders, how even, which are about to be lost, and who carries them?

    Signals
    -------
    founder_wanted
        A founder is to be followed (FounderKey).
    """

    founder_wanted = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__(context, "bloodlines_founders")
        self._answer: Answer | None = None
        self._snapshot: Snapshot | None = None
        self.chosen: FounderKey | None = None
        self.retention = ChartPanel(
            context,
            "retention_chart",
            _("What is left of each founder"),
            _("How much of its genes the living flock is expected to hold still. Press a bar to follow it."),
        )
        self.retention.asked.connect(lambda key: self.choose(pictures.key_of(key)))
        self.choice = QComboBox()
        self.choice.setObjectName("founder_choice")
        self.choice.setAccessibleName(_("The founder to follow"))
        self.choice.setMinimumWidth(length(180))
        self.choice.activated.connect(self._take_choice)
        self.add_halves(self.retention, self._followed(), (5, 6))
        self.column.addStretch(1)

    def _followed(self) -> QWidget:
        made = QWidget()
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        column.addWidget(SectionHeading(_("One founder followed"), self.choice))
        self._head = QHBoxLayout()
        column.addLayout(self._head)
        self.sentences = Prose("founder_sentences", _("How this founder stands"))
        self.sentences.bird_asked.connect(self.bird_asked)
        column.addWidget(self.sentences)
        self._carried = label("", Role.CAPTION)
        column.addWidget(self._carried)
        self._carriers = QGridLayout()
        self._carriers.setHorizontalSpacing(space(1))
        self._carriers.setVerticalSpacing(0)
        column.addLayout(self._carriers)
        self._links = QHBoxLayout()
        self._links.setSpacing(space(2))
        column.addLayout(self._links)
        self.by_year = ChartPanel(
            self.context,
            "followed_chart",
            _("Its share by year"),
            _("How much of the genes of the chicks of each year comes from this founder."),
        )
        column.addWidget(self.by_year)
        return made

    def show_answer(self, answer: Answer, snapshot: Snapshot) -> None:
        """Show a report; the founder that is followed stays the same if it is still one."""
        self._answer, self._snapshot = answer, snapshot
        if answer.retention is not None:
            self.retention.show_chart(answer.retention)
        else:
            self.retention.show_sentence(_("No founder is known yet."))
        founders = answer.report.founders
        self.choice.clear()
        for founder in founders[:_MOST_LISTED]:
            self.choice.addItem(pictures.founder_text(founder.key, snapshot), founder.key)
        keys = [founder.key for founder in founders]
        if self.chosen not in keys:
            self.chosen = self._first(answer)
        if self.chosen is not None:
            self.choose(self.chosen)

    def choose(self, key: FounderKey) -> None:
        """Follow a founder."""
        if self._snapshot is None:
            return
        self.chosen = key
        keys = [self.choice.itemData(place) for place in range(self.choice.count())]
        if key not in keys:
            self.choice.addItem(pictures.founder_text(key, self._snapshot), key)
            keys.append(key)
        self.choice.setCurrentIndex(keys.index(key))
        self.founder_wanted.emit(key)

    def show_founder(self, answer: FounderAnswer) -> None:
        """Show the founder that was asked for."""
        snapshot = self._snapshot
        if snapshot is None or answer.key != self.chosen:
            return
        clear(self._head)
        key = answer.key
        if key.is_unknown_parent:
            self._head.addWidget(label(sentence_text(answer.called, snapshot), Role.NAME))
        else:
            bird = BirdLink(snapshot.bird(key.bird))
            bird.setObjectName("founder_bird")
            bird.asked.connect(self.bird_asked)
            self._head.addWidget(bird)
        self._head.addStretch(1)
        self.sentences.show_paragraphs([Paragraph(answer.sentences)], snapshot)
        self._list_carriers(answer, snapshot)
        if answer.chart is not None:
            self.by_year.show_chart(answer.chart)
        else:
            self.by_year.show_sentence(_("No bird that hatched here descends from it."))

    def cancel(self) -> None:
        self.retention.cancel()
        self.by_year.cancel()

    def _first(self, answer: Answer) -> FounderKey | None:
        """The one most in danger, else the one that gave most."""
        report = answer.report
        order: tuple[Founder, ...] = (*report.at_risk, *report.founders)
        return order[0].key if order else None

    def _take_choice(self) -> None:
        self.choose(self.choice.currentData())

    def _list_carriers(self, answer: FounderAnswer, snapshot: Snapshot) -> None:
        clear(self._carriers)
        clear(self._links)
        self._carried.setText(_("Living birds that carry it, and how much of each bird it is"))
        self._carried.setVisible(bool(answer.carriers))
        for number, carrier in enumerate(answer.foremost):
            row, column = number // 2, number % 2 * 2
            bird = BirdLink(snapshot.bird(carrier.bird))
            bird.asked.connect(self.bird_asked)
            self._carriers.addWidget(bird, row, column)
            share = label(percent_text(carrier.share))
            share.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            self._carriers.addWidget(share, row, column + 1)
        self._carriers.setColumnStretch(4, 1)
        called = sentence_text(answer.called, snapshot)
        count = len(answer.carriers)
        if count:
            words = plural("the bird that carries it", "all {n} that carry it", count).format(n=count)
            title = _("Carry {founder}").format(founder=called)
            self._add_list("founder_carriers", words, title, answer.carriers)
        count = len(answer.descendants)
        if count:
            words = plural("{n} descendant in the book", "{n} descendants in the book", count).format(n=count)
            title = _("Descend from {founder}").format(founder=called)
            self._add_list("founder_descendants", words, title, answer.descendants)
        self._links.addStretch(1)

    def _add_list(self, name: str, words: str, title: str, birds: tuple[BirdId, ...]) -> None:
        deeper = link(words, lambda: self.birds_asked.emit(BirdList(title, birds)))
        deeper.setObjectName(name)
        self._links.addWidget(deeper)
