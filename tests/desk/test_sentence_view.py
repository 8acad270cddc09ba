"""Sentences on screen: they follow a change of look, whichever room they stand in."""

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from studbook import places
from studbook.book.changes import EditBird
from studbook.book.opening import SAMPLE_TODAY
from studbook.desk.app import settle
from studbook.desk.theme import Choice, look
from studbook.desk.widgets.sentence_view import Paragraph, SentenceView
from studbook.desk.window import Window
from studbook.planning.sentences import BirdPart


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


def test_the_same_sentences_are_not_written_again_unless_a_bird_is_called_otherwise(
    open_window: Window, qtbot: QtBot
) -> None:
    before = open_window.context.record.snapshot
    assert before is not None
    hen = next(bird for bird in before.birds if bird.name == "Bramble")
    view = SentenceView("told", "What is told")
    qtbot.addWidget(view)
    view.show_paragraphs([Paragraph((("The hen ", BirdPart(hen.id)),))], before)
    said = view.toPlainText()
    assert said.endswith("Bramble")
    view.selectAll()
    view.show_paragraphs([Paragraph((("The hen ", BirdPart(hen.id)),))], before)
    assert view.textCursor().hasSelection()
    assert view.toPlainText() == said
    open_window.context.record.apply(EditBird(hen, replace(hen, name="Briar")))
    settle(open_window)
    after = open_window.context.record.snapshot
    assert after is not None
    view.show_paragraphs([Paragraph((("The hen ", BirdPart(hen.id)),))], after)
    assert view.toPlainText().endswith("Briar")
