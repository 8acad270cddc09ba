"""The chart of policies: lines, bands, the exact expectation, and its numbers."""

import csv
from xml.etree import ElementTree

import pytest

from studbook.drawing.charts.chart import draw_chart
from studbook.drawing.charts.courses import CourseChart, CourseLine, Level, course_colours
from studbook.drawing.palette import palette

_SVG = "{http://www.w3.org/2000/svg}"

CHART = CourseChart(
    "Mean F of the chicks",
    (2027, 2028, 2029),
    (
        CourseLine("as now", (0.1, 0.2, 0.3), (0.05, 0.15, 0.2), (0.2, 0.3, 0.4), (0.11, 0.22, 0.33)),
        CourseLine(
            "three cocks, a new one every four years", (0.1, 0.1, 0.1), (0.1, 0.1, 0.1), (0.1, 0.1, 0.1)
        ),
    ),
    Level("25 %", 0.25),
)


def parts(drawing, name):
    return list(ElementTree.fromstring(drawing.svg).iter(f"{_SVG}{name}"))


def words(drawing):
    return " ".join(text.text or "" for text in parts(drawing, "text"))


@pytest.mark.parametrize("dark", [False, True])
def test_each_policy_has_a_line_a_band_and_a_name(dark):
    drawing = draw_chart(CHART, 900, dark=dark)
    colours = course_colours(palette(dark=dark))
    lines = [path.get("stroke") for path in parts(drawing, "path") if path.get("stroke-width") == "2.2"]
    assert lines == list(colours[:2])
    assert len(parts(drawing, "polygon")) == 2
    assert "as now" in words(drawing)
    assert "three cocks" in words(drawing)
    assert "25 %" in words(drawing)


def test_the_exact_expectation_is_dotted_in_the_colour_of_its_line():
    dotted = [path for path in parts(draw_chart(CHART, 900), "path") if path.get("stroke-dasharray")]
    assert [path.get("stroke") for path in dotted] == [course_colours(palette())[0]]


def test_every_year_says_its_figures():
    spots = draw_chart(CHART, 900).spots
    assert len(spots) == 3
    assert "2029: as now 30.0 %, from 20.0 % to 40.0 %, exact by chance 33.0 %" in spots[2].label


def test_its_numbers_in_full():
    rows = list(csv.reader(CHART.table().csv().splitlines()))
    assert rows[0][:5] == [
        "Year",
        "as now: mean",
        "as now: 9 of 10 from",
        "as now: 9 of 10 to",
        "as now: exact, by chance",
    ]
    assert rows[2] == ["2028", "0.2", "0.15", "0.3", "0.22", "0.1", "0.1", "0.1"]


@pytest.mark.parametrize("width", [200, 420, 760, 1600])
def test_nothing_is_painted_beside_the_sheet(width):
    drawing = draw_chart(CHART, width)
    for path in parts(drawing, "polygon"):
        for pair in (path.get("points") or "").split():
            x, y = map(float, pair.split(","))
            assert 0 <= x <= drawing.width
            assert 0 <= y <= drawing.height


def test_a_line_without_spread_has_no_band():
    bare = CourseChart("Bare", (2027, 2028), (CourseLine("without", (0.1, 0.2)),))
    drawing = draw_chart(bare, 600)
    assert not parts(drawing, "polygon")
    assert drawing.spots[1].label == "2028: without 20.0 %"
    assert bare.table().rows == ((2027, 0.1), (2028, 0.2))


def test_one_year_alone_is_drawn_as_points():
    one = CourseChart("One", (2027,), (CourseLine("as now", (0.1,), (0.05,), (0.2,), (0.1,)),))
    assert parts(draw_chart(one, 600), "circle")
