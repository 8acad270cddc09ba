"""Files of a drawing: SVG as painted, PDF with its fonts, PNG with something on it."""

import subprocess
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtGui import QImage

from studbook.book.errors import StudbookError
from studbook.book.records import BirdId
from studbook.drawing.export import Paper, write_drawing
from studbook.drawing.sheet import Drawing
from studbook.drawing.tree import draw_tree
from tests.drawing.flock import INBREEDING, hen, inbred_flock, snapshot

TODAY = date(2027, 2, 14)


@pytest.fixture(scope="module")
def drawing() -> Drawing:
    return draw_tree(inbred_flock(), BirdId("Burdock"), inbreeding=INBREEDING)


def _told(*command: str | Path) -> str:
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def test_svg_is_what_was_painted(drawing: Drawing, tmp_path: Path) -> None:
    write_drawing(drawing, tmp_path / "tree.SVG", on=TODAY)
    assert (tmp_path / "tree.SVG").read_text(encoding="utf-8") == drawing.svg


def test_pdf_has_its_fonts_and_the_names_as_text(drawing: Drawing, tmp_path: Path) -> None:
    path = tmp_path / "tree.pdf"
    write_drawing(drawing, path, on=TODAY)
    fonts = [line.split() for line in _told("pdffonts", path).splitlines()[2:]]
    assert {font[0].split("+")[1] for font in fonts} == {
        "SourceSans3-Regular", "SourceSans3-Semibold", "Vollkorn-Regular", "Vollkorn-SemiBold"
    }  # fmt: skip
    assert all(font[-5] == "yes" for font in fonts)  # the column "emb"
    text = _told("pdftotext", path, "-")
    for word in ("Burdock", "W21-04", "Dogrose", "sire not recorded", "F 21.1 %"):
        assert word in text
    size = next(line for line in _told("pdfinfo", path).splitlines() if line.startswith("Page size"))
    width, height = (float(part) for part in size.split()[2:5:2])
    assert width == pytest.approx(drawing.width * 0.75, abs=0.1)
    assert height == pytest.approx(drawing.height * 0.75, abs=0.1)


def test_the_same_pdf_is_written_twice(drawing: Drawing, tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        write_drawing(drawing, tmp_path / name, on=TODAY)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


@pytest.mark.parametrize(
    ("paper", "up", "size"), [(Paper.A4, 4, (841.89, 595.28)), (Paper.LETTER, 0, (792.0, 612.0))]
)
def test_on_paper_it_is_one_sheet(paper: Paper, up: int, size: tuple[float, float], tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    write_drawing(draw_tree(inbred_flock(), BirdId("Burdock"), up=up), path, on=TODAY, paper=paper)
    info = _told("pdfinfo", path)
    assert "Pages:           1\n" in info
    found = next(line for line in info.splitlines() if line.startswith("Page size")).split()
    assert (float(found[2]), float(found[4])) == pytest.approx(size, abs=0.1)


def test_png_shows_the_tree_at_twice_its_size(drawing: Drawing, tmp_path: Path) -> None:
    path = tmp_path / "tree.png"
    write_drawing(drawing, path, on=TODAY)
    image = QImage(str(path))
    assert image.width() == pytest.approx(2 * drawing.width, abs=2)
    assert image.height() == pytest.approx(2 * drawing.height, abs=2)
    box = drawing.boxes[0]
    seen = {
        image.pixelColor(2 * int(box.x) + x, 2 * int(box.y) + y).name()
        for x in range(0, 2 * int(box.width), 2)
        for y in range(0, 2 * int(box.height), 2)
    }
    assert {"#fbf8f1", "#22302b"} <= seen


@pytest.mark.parametrize("name", ["tree.gif", "tree"])
def test_another_ending_is_refused_in_a_sentence(drawing: Drawing, tmp_path: Path, name: str) -> None:
    with pytest.raises(
        StudbookError, match=f"{name} cannot be written: give it a name that ends in .svg, .pdf or .png."
    ):
        write_drawing(drawing, tmp_path / name, on=TODAY)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("ending", ["pdf", "png"])
def test_a_character_without_a_font_is_named_and_nothing_written(ending: str, tmp_path: Path) -> None:
    letter = "\U0001b170"  # Nushu, which no desktop font has
    drawing = draw_tree(snapshot((hen(f"Bramble {letter}"),)), BirdId(f"Bramble {letter}"), up=0)
    with pytest.raises(StudbookError, match=f"No font on this computer has the character {letter}"):
        write_drawing(drawing, tmp_path / f"tree.{ending}", on=TODAY)
    assert not list(tmp_path.iterdir())


def test_a_folder_that_is_not_there_costs_a_sentence(drawing: Drawing, tmp_path: Path) -> None:
    with pytest.raises(StudbookError, match="could not be written: No such file or directory"):
        write_drawing(drawing, tmp_path / "nowhere" / "tree.svg", on=TODAY)
