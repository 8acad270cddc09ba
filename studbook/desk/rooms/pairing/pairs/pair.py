"""The chosen pair: how they are related, where the figure comes from, and the tree behind it."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from studbook.book.records import BirdId, Snapshot
from studbook.desk.drawing_view import DrawingView
from studbook.desk.rooms.pairing.pairs.numbers import PairAnswer, UnknownAnswer
from studbook.desk.theme import space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.sentence_view import Paragraph, SentenceView, Style
from studbook.desk.widgets.text import link, rule
from studbook.words import _


class PairPanel(QWidget):
    """One pair opened up.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    closed
        The keeper is done with it.
    """

    bird_asked = Signal(str)
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
        row = QHBoxLayout()
        self._heads = QHBoxLayout()
        self._heads.setSpacing(space())
        row.addLayout(self._heads)
        row.addStretch(1)
        shut = link(_("Close this pair"), self.closed.emit)
        shut.setObjectName("pair_close")
        row.addWidget(shut)
        column.addLayout(row)
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
        column.addWidget(self.split, 1)

    def begin(self, pair: tuple[BirdId, BirdId], snapshot: Snapshot) -> None:
        """Name the pair while its answer is under way."""
        if pair == self.pair:
            return
        self.pair = pair
        self._unknown, self._is_listed = None, False
        self.opening.hide()
        while (item := self._heads.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.deleteLater()
        for bird in pair:
            head = BirdLink(snapshot.bird(bird))
            head.asked.connect(self.bird_asked)
            self._heads.addWidget(head)

    def show_answer(self, answer: PairAnswer, snapshot: Snapshot) -> None:
        """Show what is known of the pair."""
        self._answer, self._snapshot = answer, snapshot
        self._write()
        if answer.drawing is not None:
            self.tree.show_drawing(answer.drawing)
        else:
            self.tree.show_sentence(answer.refusal)

    def show_unknown(self, answer: UnknownAnswer) -> None:
        """Show what unknown parents hide of the pair."""
        self._unknown = answer
        self.opening.setVisible(bool(answer.lists))
        self._name_opening()
        if answer.lists:
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
