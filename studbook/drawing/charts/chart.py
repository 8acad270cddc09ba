"""What every chart has: a title, its numbers as a table, places one can point at, and a drawing."""

import csv
from dataclasses import dataclass
from enum import Enum
from io import StringIO
from typing import Protocol

from studbook.book.wording import per_cent
from studbook.drawing.card import fit
from studbook.drawing.palette import Palette, palette
from studbook.drawing.sheet import Drawing
from studbook.drawing.svg import Canvas
from studbook.drawing.typefaces import Measure, printed_width

TEXT_SIZE = 12.0
NAME_SIZE = 14.0
_TITLE_SIZE = 18.0
_TITLE_HEIGHT = 36.0
_MARGIN = 24.0

NARROWEST = 260.0
"""A chart is never drawn narrower than this, in pixels."""


class Kind(Enum):
    """What a column of a table holds, and so how a cell is written."""

    TEXT = "text"
    COUNT = "count"
    YEAR = "year"
    SHARE = "share"


Cell = str | int | float | None


@dataclass(frozen=True, slots=True)
class Heading:
    """One column of a chart's numbers; a share has so many `decimals` when it is read in per cent."""

    title: str
    kind: Kind = Kind.TEXT
    decimals: int = 1

    def text(self, cell: Cell) -> str:
        """A cell as it is read; nothing for what is not known."""
        if cell is None:
            return ""
        if self.kind is Kind.SHARE and not isinstance(cell, str):
            return per_cent(cell, self.decimals)
        return str(cell)


@dataclass(frozen=True, slots=True)
class Table:
    """The numbers of a chart: shares as parts of 1, None where nothing is known."""

    headings: tuple[Heading, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def csv(self) -> str:
        """The table as RFC 4180 text, every number in full."""
        out = StringIO()
        writer = csv.writer(out)
        writer.writerow([_harmless(heading.title) for heading in self.headings])
        writer.writerows(
            [_harmless(cell) if isinstance(cell, str) else cell for cell in row] for row in self.rows
        )
        return out.getvalue()


def _harmless(text: str) -> str:
    """`text` that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a chart one can point at: what it says, and what it stands for ("" for nothing)."""

    x: float
    y: float
    width: float
    height: float
    label: str
    key: str = ""


@dataclass(frozen=True, slots=True)
class ChartDrawing(Drawing):
    """A painted chart and the places in it one can point at, in reading order."""

    spots: tuple[Spot, ...] = ()


class Pen:
    """Paints one chart: a canvas with its colours and measures, on which spots are noted."""

    def __init__(self, colours: Palette, measure: Measure, top: float = 0.0) -> None:
        self.canvas = Canvas(measure)
        self.colours = colours
        self.measure = measure
        self.top = top
        self.spots: list[Spot] = []

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        colour: str = "",
        size: float = TEXT_SIZE,
        serif: bool = False,
        bold: bool = False,
        anchor: float = 0.0,
    ) -> None:
        """Text with its base line at `y`; `anchor` 0 begins at `x`, 1 ends there, ½ is centred."""
        x -= anchor * self.measure(text, size, serif=serif, bold=bold)
        self.canvas.text(x, y, text, size, colour or self.colours.faint, serif=serif, bold=bold)

    def name(self, x: float, y: float, name: str, limit: float, *, colour: str = "") -> None:
        """A name in serif, cut to `limit`."""
        fitted = fit(name, NAME_SIZE, limit, self.measure, serif=True, smallest=TEXT_SIZE)
        self.canvas.text(x, y, fitted.text, fitted.size, colour or self.colours.ink, serif=True)

    def spot(self, x: float, y: float, width: float, height: float, label: str, key: str = "") -> None:
        """Note a place one can point at."""
        self.spots.append(Spot(x, y, width, height, label, key))


class Chart(Protocol):
    """Numbers that can be drawn and read as a table."""

    @property
    def title(self) -> str:
        """What stands above it."""

    def table(self) -> Table:
        """Its numbers."""

    def paint(self, pen: Pen, left: float, width: float) -> float:
        """Paint it from `pen.top` on between `left` and `left + width`; gives its lower edge."""


def draw_chart(
    chart: Chart,
    width: float,
    *,
    dark: bool = False,
    titled: bool = False,
    measure: Measure = printed_width,
) -> ChartDrawing:
    """The chart `width` pixels wide; `titled` puts its title and a margin round it, for paper."""
    width = max(width, NARROWEST)
    colours = palette(dark=dark)
    margin = _MARGIN if titled else 0.0
    pen = Pen(colours, measure, margin + (_TITLE_HEIGHT if titled else 0.0))
    if titled:
        heading = fit(chart.title, _TITLE_SIZE, width - 2 * margin, measure, serif=True, smallest=12)
        pen.canvas.text(margin, margin + 14, heading.text, heading.size, colours.ink, serif=True)
    bottom = chart.paint(pen, margin, width - 2 * margin) + margin
    return ChartDrawing(
        svg=pen.canvas.svg(width, bottom, colours.paper, chart.title),
        width=width,
        height=bottom,
        title=chart.title,
        boxes=(),
        lines=(),
        spots=tuple(pen.spots),
    )
