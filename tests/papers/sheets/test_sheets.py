"""The sheets of the yard: what they ask, in which order, on how many pages of which paper."""

import shutil
import subprocess
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from studbook.book.changes import Correct, Enter
from studbook.book.husbandry.rows import Tick
from studbook.book.ids import TickId
from studbook.papers.sheets.egg_tally import egg_tally
from studbook.papers.sheets.evening_round import RoundLine, evening_round
from studbook.papers.sheets.pen_card import pen_cards
from studbook.papers.sheets.sheet import Sheet, preview_sheet, render_sheet
from studbook.papers.sheets.sitting_card import sitting_cards
from studbook.papers.sheets.tonight import tonight
from studbook.planning.eggs.week import tally_rows
from tests.flock import TODAY
from tests.papers.sheets.season import LONG, evening_yard, exchanged_yard, large_yard

needs_poppler = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
A4 = (595.276, 841.89)  # ISO 216: 210 × 297 mm
LETTER = (612.0, 792.0)  # ANSI/ASME Y14.1: 8.5 × 11 in


def read(tool: str, *arguments: str | Path) -> str:
    return subprocess.run([tool, *arguments], check=True, capture_output=True, encoding="utf-8").stdout


def printed(folder: Path, sheet: Sheet, paper: str = "A4") -> Path:
    path = folder / "sheet.pdf"
    path.write_bytes(render_sheet(sheet, paper))
    return path


def text_of(path: Path) -> str:
    return " ".join(read("pdftotext", "-layout", path, "-").split())


def info_of(path: Path) -> dict[str, str]:
    lines = (line.split(":", 1) for line in read("pdfinfo", path).splitlines() if ":" in line)
    return {name: value.strip() for name, value in lines}


def test_a_pen_card_says_who_is_in_it_since_when(tmp_path: Path) -> None:
    yard, snapshot = evening_yard(tmp_path / "yard.db")
    nook, orchard, lane = pen_cards(snapshot, TODAY).cards
    assert (nook.pen, nook.house, nook.birds) == ("Nook", "Far house", ())
    assert nook.room == "2 large fowl or 4 bantams; 0 birds are in it"
    assert [(bird.line.shape, bird.line.mark, bird.line.name) for bird in orchard.birds] == [
        ("cock", "W24-01", "Usk"),
        ("hen", "W24-11", "Avens"),
    ]
    assert orchard.cocks == ("Usk (W24-01), since 10 January 2026",)
    assert orchard.clear == "no earlier cock is known"
    assert pen_cards(snapshot, TODAY, {yard.lane}).cards == (lane,)


def test_a_pen_card_says_from_when_eggs_are_the_cocks_own(tmp_path: Path) -> None:
    yard, snapshot = exchanged_yard(tmp_path / "yard.db")
    # Usk left on 1 February; 28 days are common practice for fowl
    (card,) = pen_cards(snapshot, TODAY, {yard.orchard}).cards
    assert card.clear == "from 1 March 2027 on; until then eggs may be an earlier cock's"


def test_the_tally_has_the_lines_of_the_entry_grid_in_their_order(tmp_path: Path) -> None:
    _yard, snapshot = evening_yard(tmp_path / "yard.db")
    sheet = egg_tally(snapshot, TODAY)
    assert [line.name for line in sheet.lines] == [row.name for row in tally_rows(snapshot, TODAY, TODAY)]
    assert [line.name for line in sheet.lines][-2:] == ["Orchard", "Lane"]
    assert sheet.begins.isoformat() == "2027-02-08", "a Monday"


def test_a_sitting_card_gives_every_day(tmp_path: Path) -> None:
    _yard, snapshot = evening_yard(tmp_path / "yard.db")
    broody, cabinet = sitting_cards(snapshot, TODAY).cards
    # set on 6 February: 7 to 10, 14 to 18, 18 and 21 days later, a day either side
    assert [(day.what, day.when, day.day) for day in cabinet.days] == [
        ("Set", "Saturday, 6 February 2027", "0"),
        ("Candling 1", "13 February 2027 to 16 February 2027", "7 to 10"),
        ("Candling 2", "20 February 2027 to 24 February 2027", "14 to 18"),
        ("Lockdown: no more turning", "Wednesday, 24 February 2027", "18"),
        ("Hatch due", "Saturday, 27 February 2027", "20 to 22"),
    ]
    assert cabinet.days[-1].also == "as a rule between 26 February 2027 and 28 February 2027"
    assert [(batch.eggs, batch.source) for batch in cabinet.batches] == [
        (12, "Orchard"),
        (7, "W24-13 Cowslip"),
    ]
    assert cabinet.advice.endswith("comes first.")
    assert broody.advice == ""
    assert [line.name for line in broody.under] == ["Cowslip"]


def test_a_sitting_counted_out_has_no_card(tmp_path: Path) -> None:
    yard, snapshot = evening_yard(tmp_path / "yard.db")
    before = next(row for row in snapshot.husbandry.sittings.values() if row.machine is not None)
    yard.book.apply(Correct((before,), (replace(before, closed=TODAY),)))
    assert [card.name for card in sitting_cards(yard.book.snapshot(), TODAY).cards] == ["W24-13 Cowslip"]


def test_the_evening_round_asks_each_house_in_walking_order_what_it_needs(tmp_path: Path) -> None:
    _yard, snapshot = evening_yard(tmp_path / "yard.db")
    sheet = evening_round(snapshot, TODAY, tonight(snapshot, TODAY))
    far, orchard, elsewhere = sheet.stops
    assert [line.text for line in far.lines] == [
        "Look at Betony (W24-12), apart since 10 February 2027: hurt; in Nook; to be thought about again",
        "Dust bath: new sand",
    ]
    assert [line.text for line in orchard.lines] == [
        "Gather the eggs",
        "Chicks due: the eggs under W24-13 Cowslip, set on 25 January 2027",
        "Move W24-02 Lune to Orchard",
        "Count the birds",
        "Shut the pop hole",
    ]
    assert [line.text for line in elsewhere.lines] == [
        "Turn the eggs: Cabinet, day 8",
        "Candle the eggs in Cabinet, set on 6 February 2027",
        "Fill the lamp",
    ]
    counts = next(line for line in orchard.lines if line.text == "Count the birds")
    assert [(blank.of, blank.expected) for blank in counts.blanks] == [("Orchard", 2), ("Lane", 2)]


def test_what_is_done_is_not_asked_again(tmp_path: Path) -> None:
    yard, snapshot = evening_yard(tmp_path / "yard.db")
    job = next(job for job in snapshot.husbandry.jobs.values() if job.text == "Fill the lamp")
    yard.book.apply(Enter((Tick(TickId(""), f"job/{job.id}/1", TODAY),)))
    assert "Fill the lamp" not in [line.text for line in tonight(yard.book.snapshot(), TODAY)]


def test_eggs_in_lockdown_are_not_turned(tmp_path: Path) -> None:
    _yard, snapshot = evening_yard(tmp_path / "yard.db")
    lines = [line.text for line in tonight(snapshot, TODAY + timedelta(days=10))]
    assert "Stop turning the eggs in Cabinet, set on 6 February 2027" in lines
    assert not [line for line in lines if line.startswith("Turn the eggs")]


def test_the_round_takes_lines_from_whoever_has_them(tmp_path: Path) -> None:
    _yard, snapshot = evening_yard(tmp_path / "yard.db")
    sheet = evening_round(snapshot, TODAY, [RoundLine("Bring in the washing")])
    assert [line.text for line in sheet.stops[-1].lines] == ["Bring in the washing"]


@needs_poppler
@pytest.mark.parametrize(("paper", "size"), [("A4", A4), ("Letter", LETTER)])
def test_forty_pens_go_over_several_sheets_of_the_paper_asked_for(tmp_path: Path, paper, size) -> None:
    snapshot = large_yard(40, 7)
    cards = printed(tmp_path, pen_cards(snapshot, TODAY), paper)
    info = info_of(cards)
    width, _times, height = info["Page size"].split()[:3]
    assert (float(width), float(height)) == pytest.approx(size, abs=0.5)
    assert int(info["Pages"]) == 40
    tally = printed(tmp_path, egg_tally(snapshot, TODAY), paper)
    pages = int(info_of(tally)["Pages"])
    assert pages > 1
    words = text_of(tally)
    assert words.count("Mon 8") == pages, "the days stand on every sheet"
    assert LONG.split(",")[0] in words
    for number in (1, 20, 40):
        assert f"Pen {number} 7 hens" in words
    walk = text_of(printed(tmp_path, evening_round(snapshot, TODAY, ()), paper))
    assert walk.index("House 1") < walk.index("House 2") < walk.index("House 4")


@needs_poppler
def test_a_pen_of_many_birds_says_on_the_next_sheet_whose_card_it_is(tmp_path: Path) -> None:
    path = printed(tmp_path, pen_cards(large_yard(1, 30), TODAY))
    second = read("pdftotext", "-f", "2", "-l", "2", path, "-")
    assert "Pen 1, continued" in second


@needs_poppler
def test_an_empty_book_prints_sheets_that_say_so(tmp_path: Path) -> None:
    snapshot = large_yard(0, 0)
    assert "no open pen yet" in text_of(printed(tmp_path, pen_cards(snapshot, TODAY)))
    assert "No sitting is under way" in text_of(printed(tmp_path, sitting_cards(snapshot, TODAY)))
    assert "no houses and pens yet" in text_of(printed(tmp_path, evening_round(snapshot, TODAY, ())))
    assert "use the empty lines" in text_of(printed(tmp_path, egg_tally(snapshot, TODAY)))


def test_the_same_sheet_is_the_same_bytes_and_can_be_shown(tmp_path: Path) -> None:
    _yard, snapshot = evening_yard(tmp_path / "yard.db")
    sheet = pen_cards(snapshot, TODAY)
    assert render_sheet(sheet) == render_sheet(sheet)
    assert [page[:4] for page in preview_sheet(sheet)] == [b"<svg"] * 3
