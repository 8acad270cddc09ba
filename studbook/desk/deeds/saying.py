"""Sentences of the pens as plain texts, with birds by mark and name and figures as the locale writes them."""

from PySide6.QtCore import QLocale

from studbook.book.records import BirdId, Snapshot
from studbook.desk.wording import bird_text
from studbook.planning.sentences import Sentence, plain


def said(sentence: Sentence, snapshot: Snapshot) -> str:
    """A sentence as one text."""

    def called(bird: BirdId) -> str:
        return bird_text(snapshot.bird(bird))

    return plain(sentence, called, lambda number, places: QLocale().toString(number, "f", places))
