"""The chosen pair: how they are related, how it did before, where the figure comes from, the tree behind it."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSplitter, QStackedWidget, QVBoxLayout, QWidget

from studbook.book.records import BirdId, Snapshot
from studbook.desk.drawing_view import DrawingView
from studbook.desk.rooms.pairing.pairs.comparison import ComparisonView
from studbook.desk.rooms.pairing.pairs.numbers import PairAnswer, UnknownAnswer
from studbook.desk.theme import space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.sentence_view import Paragraph, SentenceView, Style
from studbook.desk.widgets.text import link, rule
from studbook.words import _


class PairPanel(QWidget):
    """One pair opened up, or beside another.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    compare_asked
        The pair is to be kept and compared with another, or that is to end.
    page_asked
        Another page of the room is wanted (str).
    closed
        The keeper is done with it.
    """

    bird_asked = Signal(str)
    compare_asked = Signal()
    page_asked = Signal(str)
    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("pair_panel")
        self.pair: tuple[BirdId, BirdId] | None = None
        self._snapshot: Snapshot | None = None
        self._answer: PairAnswer | None = None
        self._unknown: UnknownAnswer | None = None
        self._is_listed = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space())
        column.addWidget(rule())
        head = QWidget()
        self._head = Flow(head, gap=1.5)
        self._comparing = link("", self.compare_asked.emit)
        self._comparing.setObjectName("pair_compare")
        pens = link(_("Which pens"), lambda: self.page_asked.emit("pens"))
        pens.setObjectName("pair_pens")
        shut = link(_("Close this pair"), self.closed.emit)
        shut.setObjectName("pair_close")
        self._ways = (self._comparing, pens, shut)
        column.addWidget(head)
        self.sentences = SentenceView("pair_sentences", _("Why this pair is related"))
        self.sentences.bird_asked.connect(self.bird_asked)
        self.opening = link("", self._toggle_list)
        self.opening.setObjectName("pair_unknown")
        self.opening.hide()
        said = QWidget()
        beside = QVBoxLayout(said)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.setSpacing(space(0.5))
        beside.addWidget(self.sentences, 1)
        beside.addWidget(self.opening, 0, Qt.AlignmentFlag.AlignLeft)
        self.tree = DrawingView("pair_tree")
        self.tree.bird_asked.connect(self.bird_asked)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setObjectName("pair_split")
        self.split.addWidget(said)
        self.split.addWidget(self.tree)
        self.split.setStretchFactor(0, 2)
        self.split.setStretchFactor(1, 3)
        self.split.setSizes([200, 300])
        self.split.setChildrenCollapsible(False)
        self.comparison = ComparisonView()
        self._stack = QStackedWidget()
        self._stack.addWidget(self.split)
        self._stack.addWidget(self.comparison)
        column.addWidget(self._stack, 1)
        self._fill_head(())
        self.show_comparing(is_on=False)

    def _fill_head(self, heads: tuple[QWidget, ...]) -> None:
        """The birds of the pair, then what can be done with it."""
        while (item := self._head.takeAt(0)) is not None:
            widget = item.widget()
            if isinstance(widget, BirdLink):
                widget.hide()
                widget.deleteLater()
        for widget in (*heads, *self._ways):
            self._head.addWidget(widget)

    def show_comparing(self, *, is_on: bool) -> None:
        """Say whether another pair is waited for, or stands beside."""
        self._comparing.setText(_("End the comparison") if is_on else _("Compare with another pair"))
        if is_on:
            self.comparison.show_hint(
                _(
                    "Choose the other pair in the matrix, with a click or the arrow keys: it stands beside this one."
                )
            )
        self._stack.setCurrentWidget(self.comparison if is_on else self.split)

    def begin(self, pair: tuple[BirdId, BirdId], snapshot: Snapshot) -> None:
        """Name the pair while its answer is under way."""
        if pair == self.pair:
            return
        self.pair = pair
        self._unknown, self._is_listed = None, False
        self.opening.hide()
        heads = tuple(BirdLink(snapshot.bird(bird)) for bird in pair)
        for head in heads:
            head.asked.connect(self.bird_asked)
        self._fill_head(heads)

    def show_answer(self, answer: PairAnswer, snapshot: Snapshot) -> None:
        """Show what is known of the pair."""
        self._answer, self._snapshot = answer, snapshot
        self._write()
        if answer.comparison is not None:
            self.comparison.show_comparison(answer.comparison, snapshot)
        if answer.drawing is not None:
            self.tree.show_drawing(answer.drawing)
        else:
            self.tree.show_sentence(answer.refusal)

    def show_unknown(self, answer: UnknownAnswer) -> None:
        """Show what unknown parents hide of the pair."""
        self._unknown = answer
        self.opening.setVisible(bool(answer.lists))
        self._name_opening()
        if answer.sentences:
            self._write()

    def _toggle_list(self) -> None:
        self._is_listed = not self._is_listed
        self._name_opening()
        self._write()

    def _name_opening(self) -> None:
        if self._unknown is not None:
            self.opening.setText(_("back to the pair") if self._is_listed else self._unknown.opens)

    def _write(self) -> None:
        answer, unknown, snapshot = self._answer, self._unknown, self._snapshot
        if answer is None or snapshot is None:
            return
        if unknown is not None and self._is_listed:
            self.sentences.show_paragraphs(_listed(unknown), snapshot)
            return
        paragraphs = [Paragraph((sentence,)) for sentence in answer.sentences]
        if unknown is not None:
            paragraphs += [Paragraph(sentences) for sentences in unknown.sentences]
        if answer.effects:
            paragraphs.append(Paragraph(answer.effects))
        if answer.earlier:
            paragraphs.append(Paragraph(answer.earlier))
        if answer.reliance:
            paragraphs.append(Paragraph(answer.reliance, Style.REMARK))
        for head, *chains in answer.explanation:
            paragraphs.append(Paragraph((head,), Style.BODY))
            paragraphs += [Paragraph((chain,), Style.ITEM) for chain in chains]
        self.sentences.show_paragraphs(paragraphs, snapshot)


def _listed(unknown: UnknownAnswer) -> list[Paragraph]:
    """The birds that could have been a parent, and how the figures are found."""
    paragraphs = []
    for head, *birds in unknown.lists:
        paragraphs.append(Paragraph((head,)))
        paragraphs += [Paragraph((bird,), Style.ITEM) for bird in birds]
    told = (unknown.method.text, *unknown.method.sources)
    return paragraphs + [Paragraph(((text,),), Style.REMARK) for text in told]
