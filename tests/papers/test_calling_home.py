"""The letter that asks for a bird back, read again with general PDF tools."""

import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from studbook.book.records import BirdId, Snapshot, Status
from studbook.papers.calling_home import letter_content, preview_letter, render_letter
from studbook.planning.bloodlines.report import FounderKey
from tests.planning.bloodlines.flock import TODAY, narrow_flock

needs_poppler = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
A4 = (595.276, 841.89)  # ISO 216: 210 × 297 mm
LETTER = (612.0, 792.0)  # ANSI/ASME Y14.1: 8.5 × 11 in
TEASEL = FounderKey(BirdId("Teasel"))


def read(tool: str, *arguments: str | Path) -> str:
    return subprocess.run([tool, *arguments], check=True, capture_output=True, encoding="utf-8").stdout


def text_of(path: Path) -> str:
    return " ".join(read("pdftotext", "-layout", path, "-").split())


def printed(folder: Path, snapshot: Snapshot, founder: FounderKey = TEASEL, paper: str = "A4") -> Path:
    path = folder / "letter.pdf"
    path.write_bytes(render_letter(letter_content(snapshot, BirdId("Yarrow"), founder, TODAY), paper))
    return path


@needs_poppler
def test_it_says_who_asks_whom_for_which_bird_and_why(tmp_path: Path) -> None:
    text = text_of(printed(tmp_path, narrow_flock()))
    for stated in (
        "Ada Thorn",
        "Upper Combe",
        "Ana Lindoso",
        "Port Corran",
        "14 February 2026",
        "Dear Ana Lindoso,",
        "W22-03",
        "In September 2023 Yarrow (W22-03) went from here to you.",
        "50 % of its genes come from Teasel (W20-04)",
        "be kept apart from mine at first",
        "In return I offer:",
        "With kind regards",
    ):
        assert stated in text


@needs_poppler
def test_the_founder_itself_is_asked_for_as_what_it_is(tmp_path: Path) -> None:
    text = text_of(printed(tmp_path, narrow_flock(), FounderKey(BirdId("Severn"))))
    assert "50 % of its genes come from Severn (W20-01)" in text
    content = letter_content(narrow_flock(), BirdId("Teasel"), TEASEL, TODAY)
    assert "Teasel is one of the birds my flock goes back to" in content.paragraphs[1]


@needs_poppler
@pytest.mark.parametrize(("paper", "size"), [("A4", A4), ("Letter", LETTER)])
def test_it_is_one_page_of_the_paper_asked_for(tmp_path: Path, paper, size) -> None:
    path = printed(tmp_path, narrow_flock(), paper=paper)
    info = dict(line.split(":", 1) for line in read("pdfinfo", path).splitlines() if ":" in line)
    width, _times, height = info["Page size"].split()[:3]
    assert int(info["Pages"]) == 1
    assert (float(width), float(height)) == pytest.approx(size, abs=0.5)


def test_without_a_contact_it_greets_a_fellow_breeder() -> None:
    content = letter_content(replace(narrow_flock(), contacts=()), BirdId("Yarrow"), TEASEL, TODAY)
    assert content.recipient == ()
    assert content.greeting == "Dear fellow breeder,"


@needs_poppler
def test_a_lent_bird_is_asked_for_as_ones_own(tmp_path: Path) -> None:
    plain = next(each for each in narrow_flock().birds if each.id == "Yarrow")
    text = text_of(printed(tmp_path, narrow_flock(Yarrow=replace(plain, status=Status.LENT))))
    assert "In September 2023 I lent you Yarrow (W22-03)." in text
    assert "have the bird back before the breeding season" in text
    assert "To bring it home I suggest:" in text
    assert "In return I offer" not in text
    assert "borrow" not in text


def test_the_same_letter_is_the_same_bytes() -> None:
    content = letter_content(narrow_flock(), BirdId("Yarrow"), TEASEL, TODAY)
    assert render_letter(content) == render_letter(content)
    assert preview_letter(content).startswith(b"<svg")
