"""The sheets of the yard from the menu: printed with a preview, or written as PDF."""

from pathlib import Path

import pytest
from PySide6.QtPrintSupport import QPrintPreviewDialog
from pytestqt.qtbot import QtBot

from studbook.desk.app import settle
from studbook.desk.window import Window
from studbook.papers.sheets.kinds import KINDS
from tests.desk.conftest import Answers


@pytest.mark.parametrize("kind", KINDS)
def test_a_sheet_is_written_as_pdf(open_window: Window, answers: Answers, tmp_path: Path, kind: str) -> None:
    path = tmp_path / "sheet.pdf"
    answers.verbs.append(1)
    answers.files.append(path)
    open_window.actions_here[f"sheets.{kind}"].trigger()
    settle(open_window)
    assert path.read_bytes().startswith(b"%PDF")


def test_a_sheet_that_cannot_be_written_is_said_so(
    open_window: Window, answers: Answers, tmp_path: Path
) -> None:
    answers.verbs.append(1)
    answers.files.append(tmp_path / "nowhere" / "sheet.pdf")
    open_window.actions_here["sheets.egg-tally"].trigger()
    settle(open_window)
    assert answers.told[-1].startswith("The sheet is not made: ")


def test_a_sheet_is_previewed_before_it_is_printed(
    qtbot: QtBot, open_window: Window, answers: Answers
) -> None:
    answers.verbs.append(0)
    open_window.actions_here["sheets.evening-round"].trigger()
    settle(open_window)
    preview = open_window.findChild(QPrintPreviewDialog, "print_preview")
    assert "evening round" in preview.windowTitle()
    preview.close()
