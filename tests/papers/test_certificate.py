"""The printed certificate, read back with general PDF tools."""

import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
import segno

from studbook.book.records import BirdId, Mark, MarkId, MarkKind, Photo, PhotoId, Sex
from studbook.papers.certificate import (
    CertificateOptions,
    Unprintable,
    certificate_checksum,
    certificate_code,
    certificate_content,
    preview_certificate,
    render_certificate,
)
from studbook.places import resource

from .flock import TODAY, GivenRelatedness, bird, book, flock, pair, with_name

needs_poppler = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
A4_LANDSCAPE = (841.89, 595.276)  # ISO 216: 297 × 210 mm
LETTER_LANDSCAPE = (792.0, 612.0)  # ANSI/ASME Y14.1: 11 × 8.5 in


@pytest.fixture
def printed(tmp_path: Path):
    """A function that prints a certificate and gives its file."""

    def certificate(snapshot=None, name="Meadowsweet", owner="", photo=None, **chosen) -> Path:
        snapshot = snapshot or book()
        options = CertificateOptions(**chosen)
        content = certificate_content(
            snapshot, GivenRelatedness(snapshot), BirdId(name), options, TODAY, "2022-001", owner
        )
        path = tmp_path / "certificate.pdf"
        path.write_bytes(render_certificate(content, options, photo))
        return path

    return certificate


def read(tool: str, *arguments: str | Path) -> str:
    return subprocess.run([tool, *arguments], check=True, capture_output=True, encoding="utf-8").stdout


def text_of(path: Path) -> str:
    return " ".join(read("pdftotext", "-layout", path, "-").split())


def pages_and_size(path: Path) -> tuple[int, tuple[float, float]]:
    info = dict(line.split(":", 1) for line in read("pdfinfo", path).splitlines() if ":" in line)
    width, _times, height = info["Page size"].split()[:3]
    return int(info["Pages"]), (float(width), float(height))


@needs_poppler
def test_it_names_the_bird_its_true_ancestors_and_the_parties(printed) -> None:
    text = text_of(printed(owner="Tomasz Łódź", generations=5))
    for stated in (
        "Meadowsweet",
        "pullet · blue · Andalusian",
        "ring W21-Me, blue, left leg",
        "14 April 2021",
        "Ann Marlow, Withybrook",
        "flock registration FR 31/204",
        "F = 12.5 %",
        "from 11 known ancestors",
        "Signature of the breeder",
        "Place and date",
        "Tomasz Łódź",
        "No. 2022-001",
        "issued 14 February 2022",
    ):
        assert stated in text
    for ancestor in flock()[2:-1]:
        assert ancestor.name in text
        assert ancestor.mark in text


@needs_poppler
def test_sire_stands_above_dam_and_the_next_generation_to_the_right(printed) -> None:
    words = {}
    for line in read("pdftotext", "-tsv", printed(generations=3), "-").splitlines()[1:]:
        fields = line.split("\t")
        words.setdefault(fields[11], (float(fields[6]), float(fields[7])))
    left, top = 0, 1
    assert words["Arrow"][top] < words["Bryony"][top]
    assert words["Torridge"][top] < words["Mallow"][top]
    assert words["Meadowsweet"][left] < words["Arrow"][left] < words["Mallow"][left] < words["Wye"][left]


@needs_poppler
def test_unknown_ancestors_are_not_recorded(printed) -> None:
    assert "parents not recorded" in text_of(printed(name="Bryony"))
    assert text_of(printed(name="Sorrel")).count("not recorded") >= 3


@needs_poppler
def test_a_doubtful_sire_is_printed_with_weights(printed) -> None:
    birds = [
        *flock()[:-1],
        bird("Vetch", Sex.HEN, 2021, pair("Wye", "Bryony", 0.3), pair("Arrow", "Bryony", 0.7)),
    ]
    text = text_of(printed(book(birds), "Vetch"))
    assert "one of: W20-Ar 70 %, W18-Wy 30 %" in text
    assert "Arrow or Wye" in text


@needs_poppler
@pytest.mark.parametrize(("paper", "size"), [("A4", A4_LANDSCAPE), ("Letter", LETTER_LANDSCAPE)])
@pytest.mark.parametrize("generations", [3, 5])
def test_it_is_one_page_of_the_paper_asked_for(printed, paper, size, generations) -> None:
    pages, found = pages_and_size(printed(paper=paper, generations=generations))
    assert pages == 1
    assert found == pytest.approx(size, abs=0.5)


@needs_poppler
def test_every_font_is_embedded_and_the_file_claims_pdf_a_2b(printed) -> None:
    path = printed()
    rows = read("pdffonts", path).splitlines()[2:]
    assert {row.split()[-5] for row in rows} == {"yes"}
    assert {"Vollkorn", "SourceSans3"} <= {row.split()[0].split("+")[1].split("-")[0] for row in rows}
    data = path.read_bytes()
    assert b"pdfaid:part>2<" in data
    assert b"pdfaid:conformance>B<" in data


@needs_poppler
def test_it_carries_title_and_author(printed) -> None:
    info = read("pdfinfo", printed())
    assert "Certificate of Pedigree 2022-001: W21-Me" in info
    assert "Ann Marlow" in info


@needs_poppler
@pytest.mark.parametrize("name", ["Éowen Straße", "Łódź", "Iðunn", "Čapek", "Blåbær Øre"])
def test_letters_of_many_languages_need_no_other_font(printed, name) -> None:
    path = printed(with_name("Arrow", name))
    assert name in text_of(path)
    assert {row.split("+")[1].split("-")[0] for row in read("pdffonts", path).splitlines()[2:]} == {
        "Vollkorn",
        "SourceSans3",
    }


@needs_poppler
@pytest.mark.skipif(
    "Noto Sans CJK" not in (read("fc-list", ":lang=ja", "family") if shutil.which("fc-list") else ""),
    reason="no Japanese font is installed",
)
def test_japanese_names_are_set_in_a_font_of_the_system(printed) -> None:
    path = printed(with_name("Arrow", "日本"))
    assert "日本" in text_of(path)
    assert "CJK" in read("pdffonts", path)


def test_a_character_no_font_has_is_named_and_nothing_is_printed(printed, tmp_path: Path) -> None:
    unassigned = "\u0378"  # a code point Unicode has not given to any letter
    with pytest.raises(Unprintable, match=r"No font .* \(U\+0378\)"):
        printed(with_name("Arrow", f"Ar{unassigned}row"))
    assert list(tmp_path.iterdir()) == []


def test_what_cannot_be_printed_is_not_previewed_either() -> None:
    snapshot = with_name("Arrow", "Ar\u0378row")
    options = CertificateOptions()
    content = certificate_content(
        snapshot, GivenRelatedness(snapshot), BirdId("Meadowsweet"), options, TODAY, "1"
    )
    with pytest.raises(Unprintable):
        preview_certificate(content, options)


@needs_poppler
@pytest.mark.parametrize("where", ["Meadowsweet", "Arrow", "Wye", "Severn"])
@pytest.mark.parametrize("length", [60, 400])
def test_long_names_stay_inside_the_frame(printed, where, length) -> None:
    name = ("Fürstin Meadowsweet-of-the-Long-Hedge " * 12)[:length].strip()
    path = printed(with_name(where, name), generations=5, owner=name)
    assert pages_and_size(path)[0] == 1
    width, height = A4_LANDSCAPE
    for line in read("pdftotext", "-tsv", path, "-").splitlines()[1:]:
        fields = line.split("\t")
        if fields[11].startswith("###"):
            continue
        left, top, wide, high = (float(field) for field in fields[6:10])
        assert left > 25
        assert top > 25
        assert left + wide < width - 25
        assert top + high < height - 25


@needs_poppler
def test_a_name_too_long_is_cut_with_an_ellipsis(printed) -> None:
    text = text_of(printed(with_name("Arrow", "Meadow" * 40)))
    assert "MeadowMeadow" in text
    assert "…" in text


@needs_poppler
@pytest.mark.parametrize(
    "name", ['#read("/etc/passwd")', "*bold* _it_", "$x^2$", "<label> @ref", "// end", "\\u{41} `code`"]
)
def test_markup_in_a_name_is_plain_text(printed, name) -> None:
    text = text_of(printed(with_name("Arrow", name)))
    assert " ".join(name.split()) in text


def test_the_same_content_gives_the_same_bytes(printed) -> None:
    assert printed().read_bytes() == printed().read_bytes()


def test_forty_certificates_come_out_one_by_one(printed) -> None:
    birds = [bird(f"Hen {number}", Sex.HEN, 2021, pair("Arrow", "Bryony")) for number in range(40)]
    snapshot = book([*flock(), *birds])
    files = {printed(snapshot, chick.name).read_bytes() for chick in birds}
    assert len(files) == 40
    assert all(content.startswith(b"%PDF") for content in files)


@needs_poppler
def test_marks_of_every_kind_are_listed(printed) -> None:
    marks = (
        Mark(MarkId("r"), MarkKind.RING, "W21-33", place="left leg", colour="blue", size="18 mm"),
        Mark(MarkId("c"), MarkKind.MICROCHIP, "826 000 123 456 789", place="neck"),
        Mark(MarkId("t"), MarkKind.TOE_PUNCH, "outer web", place="right foot"),
    )
    birds = [*flock()[:-1], replace(flock()[-1], marks=marks)]
    text = text_of(printed(book(birds)))
    for stated in (
        "ring W21-33, blue, 18 mm, left leg",
        "microchip 826 000 123 456 789, neck",
        "toe punch outer web",
    ):
        assert stated in text


@needs_poppler
def test_the_printed_code_is_the_qr_code_of_what_stands_beside_it(printed, tmp_path: Path) -> None:
    path = printed()
    options = CertificateOptions()
    content = certificate_content(
        book(), GivenRelatedness(book()), BirdId("Meadowsweet"), options, TODAY, "2022-001"
    )
    text = text_of(path)
    assert certificate_checksum(content) in text
    assert content.book in text

    rows = [
        list(row)
        for row in segno.make(
            certificate_code(content), error="m", micro=False, encoding="utf-8"
        ).matrix_iter(border=4)
    ]
    # the code is 23 mm wide, its right edge 19 mm from that of the page, its top 45.3 mm above the foot
    dots = 10
    read("pdftoppm", "-r", "254", "-mono", path, tmp_path / "page")
    header, size, pixels = (tmp_path / "page-1.pbm").read_bytes().split(b"\n", 2)
    assert header == b"P4"
    width = int(size.split()[0])
    stride = (width + 7) // 8
    module = 23 / (len(rows) - 8)

    def is_dark(x_mm: float, y_mm: float) -> int:
        x, y = int(x_mm * dots), int(y_mm * dots)
        return pixels[y * stride + x // 8] >> (7 - x % 8) & 1

    seen = [
        [
            is_dark(297 - 19 - 23 + (column - 4 + 0.5) * module, 210 - 45.3 + (line - 4 + 0.5) * module)
            for column in range(len(rows))
        ]
        for line in range(len(rows))
    ]
    assert seen == rows


def picture() -> bytes:
    """A small PNG: what any page looks like as a picture."""
    options = CertificateOptions()
    content = certificate_content(
        book(), GivenRelatedness(book()), BirdId("Severn"), options, TODAY, "2022-001"
    )
    return preview_certificate(content, options, picture_format="png")


def test_the_keepers_picture_is_printed_when_there_is_one(printed) -> None:
    photographed = replace(book(), photos=(Photo(PhotoId("p"), BirdId("Meadowsweet"), "ab" * 32, 8, 8),))
    plain = printed(photographed).read_bytes()
    assert b"/Subtype/Image" not in plain
    assert b"/Subtype/Image" in printed(photographed, photo=picture()).read_bytes()
    assert b"/Subtype/Image" not in printed(photographed, photo=picture(), show_photo=False).read_bytes()


@pytest.mark.parametrize(
    "damaged", [b"no picture at all", b"\xff\xd8\xff\xe0 cut short", b"\x89PNG\r\n\x1a\n"]
)
def test_a_damaged_picture_is_told_in_one_sentence(printed, damaged) -> None:
    photographed = replace(book(), photos=(Photo(PhotoId("p"), BirdId("Meadowsweet"), "ab" * 32, 8, 8),))
    with pytest.raises(Unprintable, match="picture cannot be printed"):
        printed(photographed, photo=damaged)


@pytest.mark.parametrize(("picture_format", "start"), [("png", b"\x89PNG"), ("svg", b"<svg")])
def test_the_preview_is_a_picture(picture_format: str, start: bytes) -> None:
    options = CertificateOptions()
    content = certificate_content(
        book(), GivenRelatedness(book()), BirdId("Meadowsweet"), options, TODAY, "2022-001"
    )
    assert preview_certificate(content, options, picture_format=picture_format).startswith(start)


def test_templates_ask_for_nothing_from_outside() -> None:
    for path in resource("papers").iterdir():
        text = path.read_text(encoding="utf-8")
        assert "@preview" not in text, path
        assert "@local" not in text, path


@needs_poppler
def test_a_line_break_in_a_name_does_not_break_the_line(printed) -> None:
    assert "Dog Rose of the hedge" in text_of(printed(with_name("Arrow", "Dog Rose\nof the\thedge")))


@needs_poppler
def test_more_marks_than_there_is_room_for_stay_on_the_page(printed) -> None:
    marks = tuple(
        Mark(MarkId(f"m{n}"), MarkKind.TOE_PUNCH, f"punch {n}", place="left foot") for n in range(9)
    )
    path = printed(book([*flock()[:-1], replace(flock()[-1], marks=marks)]))
    assert pages_and_size(path)[0] == 1
    assert "toe punch punch 2, left foot" in text_of(path)
