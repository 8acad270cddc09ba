"""Sentences on screen: they follow a change of look, whichever room they stand in."""

from pathlib import Path

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from studbook import places
from studbook.book.opening import SAMPLE_TODAY
from studbook.desk.app import settle
from studbook.desk.theme import Choice, look
from studbook.desk.widgets.sentence_view import SentenceView
from studbook.desk.window import Window


def ink_of(view: SentenceView) -> QColor:
    """The colour the first words are written in."""
    return view.document().firstBlock().begin().fragment().charFormat().foreground().color()


@pytest.mark.parametrize("room", ["pairing", "bloodlines"])
def test_sentences_are_read_in_the_ink_of_the_look_one_chooses(
    window: Window, tmp_path: Path, room: str
) -> None:
    window.context.record.open(places.demo_flock(), today=SAMPLE_TODAY)
    settle(window)
    entered: QWidget = window.go(room)
    settle(window)
    views = [view for view in entered.findChildren(SentenceView) if view.toPlainText().strip()]
    assert views
    said = [view.toPlainText() for view in views]
    light = look()
    window.context.theme.choose(Choice.DARK)
    settle(window)
    assert look().ink != light.ink
    assert [view.toPlainText() for view in views] == said
    for view in views:
        assert ink_of(view) in (look().ink, look().faint)
