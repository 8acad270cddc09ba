"""``studbook sheet``: what is written, and what is refused in one sentence."""

from pathlib import Path

import pytest

from studbook.book.records import Snapshot
from studbook.papers.sheets.kinds import KINDS
from tests.commands.conftest import Command
from tests.papers.sheets.season import evening_yard


@pytest.fixture
def yard(tmp_path: Path) -> tuple[Path, Snapshot]:
    made, snapshot = evening_yard(tmp_path / "yard.db")
    made.book.close()
    return made.book.path, snapshot


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_written_and_named(command: Command, yard, tmp_path: Path, kind: str) -> None:
    path = tmp_path / "sheet.pdf"
    said = command("sheet", yard[0], kind, "-o", path, "--today", "2027-02-14", "--paper", "Letter")
    assert (said.code, said.err) == (0, "")
    assert "sheet.pdf" in said.out
    assert path.read_bytes().startswith(b"%PDF")


def test_one_card_is_asked_for_by_the_name_of_its_pen(command: Command, yard, tmp_path: Path) -> None:
    path = tmp_path / "card.pdf"
    said = command("sheet", yard[0], "pen-card", "-o", path, "--only", "lane", "--today", "2027-02-14")
    assert said.out.startswith("Wrote Pen card of Lane")


def test_a_pen_that_is_not_there_is_refused_with_those_that_are(
    command: Command, yard, tmp_path: Path
) -> None:
    path = tmp_path / "card.pdf"
    said = command("sheet", yard[0], "pen-card", "-o", path, "--only", "Barn")
    assert said.code == 2
    assert said.err.startswith("There is no Barn to print a sheet of: choose one of Orchard, Lane, Nook")
    assert not path.exists()


def test_a_file_that_cannot_be_written_is_said_so(command: Command, yard, tmp_path: Path) -> None:
    said = command("sheet", yard[0], "egg-tally", "-o", tmp_path / "nowhere" / "tally.pdf")
    assert (said.code, said.err.count("\n")) == (2, 1)
