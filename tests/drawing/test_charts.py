"""Charts: what they say and where, their numbers in full, and that a viewer can read them."""

import csv
from dataclasses import replace
from datetime import date
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.book.records import Sex
from studbook.drawing.charts.bands import Band, BandChart
from studbook.drawing.charts.chart import Chart, ChartDrawing, Heading, Kind, draw_chart
from studbook.drawing.charts.frame import apart
from studbook.drawing.charts.rows import Bar, BarChart, DotChart, DotRow
from studbook.drawing.charts.scale import round_span, round_top, ticks, year_ticks
from studbook.drawing.charts.tones import Tone, band_colours, mixed
from studbook.drawing.charts.years import Guide, YearChart, YearLine, YearPoint
from studbook.drawing.export import write_drawing
from studbook.drawing.palette import palette
from studbook.drawing.typefaces import families

_SVG = "{http://www.w3.org/2000/svg}"

YEARS = YearChart(
    "Inbreeding by hatch year",
    (
        YearLine(
            "cautious",
            (
                YearPoint(2019, 0.0, 12, 0.0, 0.0),
                YearPoint(2020, 0.0625, 9, 0.0, 0.125),
                YearPoint(2022, 0.125, 1, 0.125, 0.125),
            ),
        ),
        YearLine("by convention", (YearPoint(2019, 0.0, 12), YearPoint(2020, 0.03, 9)), quiet=True),
    ),
    Guide("1 % a generation", 2019, 0.0, 0.005),
)

BANDS = BandChart(
    "Founders by hatch year",
    (2019, 2020, 2022),
    (
        Band("severn", "Severn", (0.5, 0.5, 0.25)),
        Band("bramble", "Bramble", (0.5, 0.25, 0.75)),
        Band("", "unknown parents", (0.0, 0.25, 0.0), quiet=True),
    ),
)

DOTS = DotChart(
    "Mean kinship",
    "Mean kinship, cautious",
    "by convention",
    (
        DotRow("hazel", "W22-02", "Hazel", Sex.HEN, 0.12, 0.08, Tone.UNSURE, "looks rare"),
        DotRow("tamar", "W22-01", "Tamar", Sex.COCK, 0.2, 0.2, Tone.CAUTION, "well covered by kin"),
    ),
    0.16,
    "mean of the flock",
    ((Tone.UNSURE, "looks rare"), (Tone.CAUTION, "well covered by kin")),
)

BARS = BarChart(
    "What is left",
    "Still here",
    "Share",
    (
        Bar("severn", "Severn", 0.83, Tone.PLAIN, "in 18 birds", 0.3),
        Bar("elder", "=Elder", 0.0, Tone.ALERT, "lost", 0.0),
    ),
)

every_chart = pytest.mark.parametrize(
    "chart", [YEARS, BANDS, DOTS, BARS], ids=["years", "bands", "dots", "bars"]
)


def texts(drawing: ChartDrawing) -> list[str]:
    """Every text of a drawing, as a reader finds it."""
    root = ElementTree.fromstring(drawing.svg)
    return [element.text or "" for element in root.iter(f"{_SVG}text")]


@every_chart
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [120.0, 620.0, 1400.0])
def test_a_chart_keeps_its_texts_as_texts_within_its_edges(chart: Chart, dark: bool, width: float) -> None:
    drawing = draw_chart(chart, width, dark=dark)
    root = ElementTree.fromstring(drawing.svg)
    assert root.find(f"{_SVG}title").text == chart.title  # type: ignore[union-attr]
    ours = {f"'{families().serif}'", f"'{families().sans}'"}
    for element in root.iter(f"{_SVG}text"):
        assert element.get("font-family") in ours
        assert float(element.get("x", "-1")) >= -1
        assert float(element.get("x", "0")) <= drawing.width
        assert 0 <= float(element.get("y", "-1")) <= drawing.height
    assert palette(dark=dark).paper in drawing.svg


@every_chart
def test_places_lie_within_the_drawing_and_say_something(chart: Chart) -> None:
    drawing = draw_chart(chart, 620)
    assert drawing.spots
    for spot in drawing.spots:
        assert spot.label
        assert spot.width > 0
        assert spot.height > 0
        assert spot.x >= -0.5
        assert spot.x + spot.width <= drawing.width + 0.5
        assert spot.y + spot.height <= drawing.height + 0.5


@every_chart
@pytest.mark.parametrize("suffix", ["svg", "pdf", "png"])
def test_a_chart_is_written_to_every_kind_of_file(chart: Chart, suffix: str, tmp_path: Path) -> None:
    path = tmp_path / f"chart.{suffix}"
    write_drawing(draw_chart(chart, 760, titled=True), path, on=date(2027, 2, 14))
    begins = {"svg": b"<svg", "pdf": b"%PDF", "png": b"\x89PNG"}[suffix]
    assert path.read_bytes().startswith(begins)


def test_years_are_whole_and_lines_are_named_at_their_ends() -> None:
    said = texts(draw_chart(YEARS, 620))
    assert {"2019", "2022", "cautious", "by convention", "1 % a generation"} <= set(said)
    assert not any("." in text for text in said if text[:2] == "20")


def test_a_place_of_a_year_says_its_figures() -> None:
    labels = [spot.label for spot in draw_chart(YEARS, 620).spots]
    assert labels[1] == "2020, 9 birds: cautious 6.2 %, from 0.0 % to 12.5 %; by convention 3.0 %"
    assert labels[2] == "2022, 1 bird: cautious 12.5 %, from 12.5 % to 12.5 %"


def test_numbers_are_given_in_full_with_gaps_left_open() -> None:
    head, *rows = list(csv.reader(YEARS.table().csv().splitlines()))
    assert head == [
        "Year", "Birds", "cautious: mean", "cautious: lowest", "cautious: highest", "by convention: mean",
    ]  # fmt: skip
    assert rows[1] == ["2020", "9", "0.0625", "0.0", "0.125", "0.03"]
    assert rows[2] == ["2022", "1", "0.125", "0.125", "0.125", ""]


def test_a_spreadsheet_takes_no_name_for_a_formula() -> None:
    assert [row[0] for row in csv.reader(BARS.table().csv().splitlines())] == ["Founder", "Severn", "'=Elder"]


def test_bands_are_named_with_their_last_share_and_lead_to_the_founder() -> None:
    drawing = draw_chart(BANDS, 620)
    said = texts(drawing)
    assert {"Severn", "25.0 %", "Bramble", "75.0 %"} <= set(said)
    assert "unknown parents" not in said
    assert {spot.key for spot in drawing.spots if spot.label.startswith("Severn")} == {"severn"}
    assert "Bramble, 2020: 25.0 %" in [spot.label for spot in drawing.spots]


def test_bands_of_a_year_touch_and_fill_the_whole() -> None:
    drawing = draw_chart(BANDS, 620)
    of_2020 = sorted((spot for spot in drawing.spots if ", 2020:" in spot.label), key=lambda spot: spot.y)
    for upper, lower in pairwise(of_2020):
        assert upper.y + upper.height == pytest.approx(lower.y)
    heights = {spot.label.partition(",")[0]: spot.height for spot in of_2020}
    assert heights["Severn"] == pytest.approx(2 * heights["Bramble"])


def test_a_single_year_is_drawn_too() -> None:
    one = replace(
        BANDS, years=(2019,), bands=tuple(replace(band, shares=band.shares[:1]) for band in BANDS.bands)
    )
    assert "2019" in texts(draw_chart(one, 620))
    first = replace(YEARS, lines=(replace(YEARS.lines[0], points=YEARS.lines[0].points[:1]),), guide=None)
    assert "2019" in texts(draw_chart(first, 620))


def test_a_bird_stands_further_right_the_higher_its_figure() -> None:
    drawing = draw_chart(DOTS, 620)
    root = ElementTree.fromstring(drawing.svg)
    circles = [
        tuple(float(element.get(name, "0")) for name in ("cx", "cy"))
        for element in root.iter(f"{_SVG}circle")
    ]
    hazel, tamar = (max(x for x, y in circles if spot.y < y < spot.y + spot.height) for spot in drawing.spots)
    assert hazel < tamar
    assert [spot.key for spot in drawing.spots] == ["hazel", "tamar"]
    assert drawing.spots[0].label == "W22-02 Hazel: 12.0 %, looks rare"


def test_of_many_birds_the_first_are_drawn_and_all_are_in_the_numbers() -> None:
    many = replace(DOTS, rows=tuple(replace(DOTS.rows[0], key=str(number)) for number in range(60)))
    drawing = draw_chart(many, 620)
    assert len(drawing.spots) == 40
    assert "the first 40 of 60; the numbers have them all" in texts(drawing)
    assert len(many.table().rows) == 60


def test_a_bar_is_as_long_as_its_share() -> None:
    root = ElementTree.fromstring(draw_chart(BARS, 620).svg)
    widths = [float(element.get("width", "0")) for element in root.iter(f"{_SVG}rect")][1:]
    whole, full, _whole, none = widths
    assert full / whole == pytest.approx(0.83, abs=0.01)
    assert none == 1


@every_chart
def test_a_table_reads_as_it_is_drawn(chart: Chart) -> None:
    table = chart.table()
    assert all(len(row) == len(table.headings) for row in table.rows)
    assert Heading("F", Kind.SHARE).text(0.0625) == "6.2 %"
    assert Heading("F", Kind.SHARE).text(None) == ""


@given(st.floats(1e-4, 10), st.integers(2, 8))
def test_the_top_of_a_scale_is_round_and_near(most: float, steps: int) -> None:
    top, step = round_top(most, steps)
    assert most <= top * (1 + 1e-6)
    assert top <= most + step * (1 + 1e-6)
    assert len(ticks(0, top, step)) <= steps + 2


@given(st.floats(0, 1), st.floats(0, 1), st.integers(2, 8))
def test_a_span_holds_what_it_spans(one: float, other: float, steps: int) -> None:
    low, high, _step = round_span(min(one, other), max(one, other), steps)
    assert 0 <= low <= min(one, other) + 1e-9
    assert high >= max(one, other) - 1e-9


@given(st.integers(1900, 2100), st.integers(0, 120), st.integers(1, 14))
def test_years_on_an_axis_are_whole_few_and_within(first: int, span: int, most: int) -> None:
    marked = year_ticks(range(first, first + span + 1), most)
    assert all(first <= year <= first + span for year in marked)
    assert len(marked) <= most + 1


@given(st.lists(st.floats(0, 300), max_size=12).map(sorted))
def test_names_are_kept_apart_in_their_order(places: list[float]) -> None:
    moved = apart(places, 17, 0, 300)
    assert len(moved) == len(places)
    assert all(lower - upper >= 17 - 1e-6 for upper, lower in pairwise(moved))
    assert all(-1e-6 <= place <= 300 + 1e-6 for place in moved)


def test_neighbouring_bands_differ_in_colour() -> None:
    colours = band_colours(palette(), 12)
    assert len(set(colours)) == 12
    assert mixed("#FFFFFF", "#000000", 1) == "#000000"
