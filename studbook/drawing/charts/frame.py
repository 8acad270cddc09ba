"""The ground of a chart over the years: round lines across, whole years below, names at the right."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from studbook.book.wording import per_cent
from studbook.drawing.charts.chart import NAME_SIZE, TEXT_SIZE, Pen
from studbook.drawing.charts.scale import Scale, decimals, ticks, year_ticks

_FOOT = 26.0
_GAP = 8.0
_YEAR_ROOM = 46.0
_LEADER = 14.0
_LABEL_HEIGHT = 17.0


@dataclass(frozen=True, slots=True)
class EndLabel:
    """A name at the right end of what it names, at the height `y`, with a quiet figure behind it."""

    y: float
    name: str
    figure: str
    colour: str
    serif: bool = True


@dataclass(frozen=True, slots=True)
class Frame:
    """Where years and values of a chart lie."""

    x: Scale
    y: Scale

    @property
    def bottom(self) -> float:
        """Below the years."""
        return self.y.start + _FOOT


def open_frame(
    pen: Pen,
    left: float,
    width: float,
    height: float,
    years: Sequence[int],
    top: float,
    step: float,
    labels_width: float,
) -> Frame:
    """Paint lines across from 0 to `top` and the years, leaving `labels_width` at the right free."""
    colours = pen.colours
    marks = ticks(0, top, step)
    texts = [per_cent(mark, decimals(step)) for mark in marks]
    gutter = max(pen.measure(text, TEXT_SIZE) for text in texts) + _GAP
    y = Scale(0, top, pen.top + height - _FOOT, pen.top + TEXT_SIZE)
    right = left + width - labels_width
    for mark, text in zip(marks, texts, strict=True):
        at = round(y.place(mark)) + 0.5
        pen.canvas.line(left + gutter, at, right, at, colours.faint if mark == 0 else colours.hair)
        pen.text(left + gutter - _GAP, at + 4, text, anchor=1)
    inset = pen.measure("0000", TEXT_SIZE) / 2
    x = Scale(min(years), max(years), left + gutter + inset, right - (inset if len(set(years)) == 1 else 1))
    room = int((x.end - x.start) // _YEAR_ROOM) + 1
    for year in year_ticks(years, room):
        at = round(x.place(year)) + 0.5
        pen.canvas.line(at, y.start, at, y.start + 4, colours.faint)
        pen.text(at, y.start + 18, str(year), anchor=0.5)
    return Frame(x, y)


def labels_width(pen: Pen, labels: Sequence[tuple[str, str]], most: float) -> float:
    """The room that (name, figure) at the right need, at most `most`."""
    widths = (
        pen.measure(name, NAME_SIZE, serif=True) + (_GAP + pen.measure(figure, TEXT_SIZE) if figure else 0)
        for name, figure in labels
    )
    return min(max(widths, default=0.0) + _LEADER + _GAP, most)


def paint_labels(
    pen: Pen, x: float, width: float, labels: Sequence[EndLabel], low: float, high: float
) -> None:
    """Names at the right, kept apart between the heights `high` and `low`, each led to by a hairline."""
    ordered = sorted(labels, key=lambda label: label.y)
    heights = apart([label.y for label in ordered], _LABEL_HEIGHT, high, low)
    for label, height in zip(ordered, heights, strict=True):
        if abs(height - label.y) > 2:
            turn = x + 4
            pen.canvas.path(
                f"M{x + 1:.1f} {label.y:.1f}L{turn:.1f} {label.y:.1f}L{x + _LEADER - 4:.1f} {height:.1f}",
                pen.colours.hair,
            )
        figure_width = pen.measure(label.figure, TEXT_SIZE) + _GAP if label.figure else 0.0
        if label.serif:
            pen.name(
                x + _LEADER, height + 4.5, label.name, width - _LEADER - figure_width, colour=label.colour
            )
        else:
            pen.text(x + _LEADER, height + 4.5, label.name, colour=label.colour)
        if label.figure:
            pen.text(x + width, height + 4.5, label.figure, anchor=1)


def apart(places: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Ascending places moved as little as need be to lie `gap` apart between `low` and `high`.

    >>> apart([10, 11, 40], 10, 0, 50)
    [5.5, 15.5, 40.0]
    """
    groups: list[tuple[float, int]] = []  # the middle of a run of places that touch, and how many they are
    for place in places:
        middle, count = float(place), 1
        while groups and middle - groups[-1][0] < gap * (count + groups[-1][1]) / 2:
            before, number = groups.pop()
            middle = (before * number + middle * count) / (number + count)
            count += number
            middle = min(max(middle, low + gap * (count - 1) / 2), high - gap * (count - 1) / 2)
        groups.append((middle, count))
    return [middle + gap * (number - (count - 1) / 2) for middle, count in groups for number in range(count)]


def strips(years: Sequence[int], x: Scale) -> list[tuple[int, float, float]]:
    """For each of the ascending years the strip it stands in: year, left edge and width."""
    places = [x.place(year) for year in years]
    edges = [x.start, *((one + next_) / 2 for one, next_ in pairwise(places)), max(x.end, x.start + 1)]
    return [(year, edges[at], edges[at + 1] - edges[at]) for at, year in enumerate(years)]
