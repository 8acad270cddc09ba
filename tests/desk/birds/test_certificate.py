"""The certificate: seen, written, recorded under its number."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from studbook.book.records import Snapshot
from studbook.desk.app import settle
from studbook.desk.certificate.panel import CertificatePanel
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.window import Window
from tests.desk.birds.conftest import named, press, type_into
from tests.desk.conftest import Answers

Changes = Callable[[Callable[[], object]], None]
Book = Callable[[], Snapshot]


@pytest.fixture
def panel(qtbot: QtBot, window: Window, room: BirdsRoom, book: Book) -> CertificatePanel:
    """The certificate of Hazel, opened from her page."""
    room.show_bird(named(book(), "Hazel").id)
    settle(window)
    press(qtbot, room, "ask_certificate")
    settle(window)
    found = room.findChild(CertificatePanel)
    assert isinstance(found, CertificatePanel)
    return found


def test_the_page_is_seen_before_it_is_written(panel: CertificatePanel) -> None:
    assert panel.sheet.page is not None
    assert panel.sheet.page.width() > 500
    assert panel.number.text() == "2027-001"


def test_writing_records_the_certificate_with_owner_and_checksum(
    qtbot: QtBot,
    panel: CertificatePanel,
    book: Book,
    changes: Changes,
    answers: Answers,
    tmp_path: Path,
) -> None:
    target = tmp_path / "hazel.pdf"
    answers.files.append(target)
    qtbot.keyClick(panel.owner, Qt.Key.Key_Down)
    panel.generations.setCurrentIndex(panel.generations.findData(3))
    changes(lambda: press(qtbot, panel, "write_certificate"))
    assert target.read_bytes().startswith(b"%PDF")
    assert [path.name for path in tmp_path.glob(".*hazel*")] == []
    issued = book().certificates[0]
    assert (issued.number, issued.bird, issued.owner, issued.generations) == (
        "2027-001",
        named(book(), "Hazel").id,
        "Ned Fuller",
        3,
    )
    assert len(issued.checksum) == 19
    assert panel.number.text() == "2027-002"
    assert "2027-001" in panel.findChild(QLabel, "certificate_done").text()


def test_a_number_that_was_given_before_is_refused_and_nothing_is_written(
    qtbot: QtBot,
    window: Window,
    panel: CertificatePanel,
    book: Book,
    changes: Changes,
    answers: Answers,
    tmp_path: Path,
) -> None:
    answers.files += [tmp_path / "first.pdf", tmp_path / "second.pdf"]
    changes(lambda: press(qtbot, panel, "write_certificate"))
    type_into(qtbot, panel.number, "2027-001")
    press(qtbot, panel, "write_certificate")
    settle(window)
    assert "2027-001" in panel.form.fields["number"].problem_text
    assert not (tmp_path / "second.pdf").exists()
    assert len(book().certificates) == 1


def test_a_folder_that_cannot_be_written_records_nothing(
    qtbot: QtBot, window: Window, panel: CertificatePanel, book: Book, answers: Answers, tmp_path: Path
) -> None:
    answers.files.append(tmp_path / "nowhere" / "hazel.pdf")
    press(qtbot, panel, "write_certificate")
    settle(window)
    assert "cannot be written" in panel.findChild(QLabel, "certificate_problem").text()
    assert book().certificates == ()


def test_the_page_follows_what_is_chosen(qtbot: QtBot, window: Window, panel: CertificatePanel) -> None:
    before = panel.sheet.page
    type_into(qtbot, panel.owner, "Mary Lamb")
    settle(window)
    assert panel.sheet.page is not None
    assert panel.sheet.page != before


def test_the_bird_page_lists_the_certificates_issued(
    qtbot: QtBot,
    window: Window,
    room: BirdsRoom,
    panel: CertificatePanel,
    changes: Changes,
    answers: Answers,
    tmp_path: Path,
) -> None:
    answers.files.append(tmp_path / "hazel.pdf")
    qtbot.keyClick(panel.owner, Qt.Key.Key_Down)
    changes(lambda: press(qtbot, panel, "write_certificate"))
    press(qtbot, panel, "close_certificate")
    settle(window)
    assert room.findChild(QLabel, "papers").text() == "2027-001, issued 14 Feb 2027, for Ned Fuller"
