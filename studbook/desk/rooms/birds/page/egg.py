"""The egg a bird came from, on its page: the sitting, the batch, and whose egg it was."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from studbook.book.records import Bird, Snapshot
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading
from studbook.desk.wording import day_text
from studbook.planning.sittings.origin import batch_of, egg_sentences, whose_words_of
from studbook.words import _


class EggView(QWidget):
    """What the record of the eggs says of a bird; hidden for a bird that was not registered from a sitting.

    Signals
    -------
    bird_asked
        The page of a possible parent is wanted (str, its BirdId).
    """

    bird_asked = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(SectionHeading(_("The egg it came from")))
        self.told = Prose("egg_of_bird", _("The egg it came from"))
        self.told.bird_asked.connect(self.bird_asked)
        column.addWidget(self.told)

    def show_bird(self, bird: Bird, snapshot: Snapshot) -> None:
        """Show the egg of a bird."""
        batch = batch_of(snapshot, bird.id)
        self.setVisible(batch is not None)
        if batch is None:
            return
        paragraphs = [Paragraph(egg_sentences(snapshot, batch, day_text))]
        words = whose_words_of(snapshot, batch, day_text)
        if words is not None:
            paragraphs.append(Paragraph((words.verdict, *words.candidates), Style.ITEM))
            if why := (*words.reasons, *words.left_out):
                paragraphs.append(Paragraph(why, Style.REMARK))
        self.told.show_paragraphs(paragraphs, snapshot)
