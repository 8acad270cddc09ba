"""The chart of losses: its numbers add up, and each loss stands where it was taken off."""

from xml.etree import ElementTree

from studbook.drawing.charts.chart import draw_chart
from studbook.drawing.charts.losses import LossChart, LossStep
from studbook.drawing.charts.tones import Tone

CHART = LossChart(
    "Where losses fall",
    20,
    (
        LossStep("clear", 5, Tone.ALERT),
        LossStep("late dead", 3, Tone.CAUTION),
        LossStep("hatched", 12, Tone.GOOD, is_lost=False),
    ),
)

_SVG = "{http://www.w3.org/2000/svg}"


def test_its_numbers_are_a_table_of_counts_and_shares() -> None:
    assert CHART.table().rows == (
        ("set", 20, 1.0),
        ("clear", 5, 0.25),
        ("late dead", 3, 0.15),
        ("hatched", 12, 0.6),
    )


def test_each_loss_begins_where_the_one_before_ends() -> None:
    drawing = draw_chart(CHART, 400)
    bars = [
        (float(found.get("x", "0")), float(found.get("width", "0")))
        for found in ElementTree.fromstring(drawing.svg).iter(f"{_SVG}rect")
    ][1:]  # the first is the ground of the whole
    whole, clear, late, hatched = bars[1], bars[3], bars[5], bars[7]
    assert abs(clear[0] + clear[1] - (whole[0] + whole[1])) < 0.1
    assert abs(late[0] + late[1] - clear[0]) < 0.1
    assert abs(hatched[0] + hatched[1] - late[0]) < 0.1
    assert abs(hatched[1] / whole[1] - 0.6) < 0.01


def test_it_says_every_step_to_who_walks_through_it() -> None:
    assert [spot.label for spot in draw_chart(CHART, 400).spots] == [
        "set: 20 of 20",
        "clear: 5 of 20",
        "late dead: 3 of 20",
        "hatched: 12 of 20",
    ]


def test_no_eggs_give_no_share() -> None:
    empty = LossChart("Where losses fall", 0, ())
    assert empty.table().rows == (("set", 0, None),)
    assert draw_chart(empty, 300).height > 0
