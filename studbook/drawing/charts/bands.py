"""Shares of a whole over the years, as bands stacked to 100 %."""

from dataclasses import dataclass

from studbook.book.wording import per_cent
from studbook.drawing.charts.chart import Heading, Kind, Pen, Table
from studbook.drawing.charts.frame import EndLabel, Frame, labels_width, open_frame, paint_labels, strips
from studbook.drawing.charts.tones import band_colours, mixed
from studbook.words import _

_LEAST_LABELLED = 0.004


@dataclass(frozen=True, slots=True)
class Band:
    """One band: its share of every year; `key` is what it stands for, `quiet` that it is a remainder."""

    key: str
    name: str
    shares: tuple[float, ...]
    quiet: bool = False


@dataclass(frozen=True, slots=True)
class BandChart:
    """Bands from the bottom up, the shares of each year summing to 1."""

    title: str
    years: tuple[int, ...]
    bands: tuple[Band, ...]
    height: float = 320.0

    def table(self) -> Table:
        """A row for each year, a column for each band."""
        headings = (
            Heading(_("Year"), Kind.YEAR),
            *(Heading(band.name, Kind.SHARE) for band in self.bands),
        )
        rows = tuple((year, *(band.shares[at] for band in self.bands)) for at, year in enumerate(self.years))
        return Table(headings, rows)

    def paint(self, pen: Pen, left: float, width: float) -> float:
        """Paint it; gives the lower edge."""
        last = [band.shares[-1] for band in self.bands]
        free = labels_width(
            pen,
            [(band.name, per_cent(share)) for band, share in zip(self.bands, last, strict=True)],
            width * 0.4,
        )
        frame = open_frame(pen, left, width, self.height, self.years, 1.0, 0.25, free)
        y = frame.y.place
        below = [0.0] * len(self.years)
        labels: list[EndLabel] = []
        edges: list[list[tuple[float, float]]] = []
        for band, colour in zip(self.bands, self._colours(pen), strict=True):
            above = [low + share for low, share in zip(below, band.shares, strict=True)]
            places = self._across(frame)
            upper = list(zip(places, map(y, self._held(above)), strict=True))
            lower = list(zip(places, map(y, self._held(below)), strict=True))
            pen.canvas.polygon([*upper, *reversed(lower)], colour)
            edges.append(upper)
            if band.shares[-1] >= _LEAST_LABELLED:
                middle = y((above[-1] + below[-1]) / 2)
                ink = pen.colours.faint if band.quiet else pen.colours.ink
                labels.append(EndLabel(middle, band.name, per_cent(band.shares[-1]), ink))
            self._note_spots(pen, frame, band, below)
            below = above
        for edge in edges[:-1]:
            pen.canvas.path(
                "M" + "L".join(f"{at:.1f} {height:.1f}" for at, height in edge), pen.colours.paper, width=1.2
            )
        paint_labels(pen, frame.x.end, free, labels, frame.y.start, frame.y.end)
        return frame.bottom

    def _across(self, frame: Frame) -> list[float]:
        """Where the years lie; a single year is given the whole width."""
        if len(self.years) == 1:
            return [frame.x.start, frame.x.end]
        return [frame.x.place(year) for year in self.years]

    def _held(self, heights: list[float]) -> list[float]:
        return heights * 2 if len(self.years) == 1 else heights

    def _colours(self, pen: Pen) -> list[str]:
        quiet = mixed(pen.colours.paper, pen.colours.faint, 0.2)
        named = iter(band_colours(pen.colours, len(self.bands)))
        return [quiet if band.quiet else next(named) for band in self.bands]

    def _note_spots(self, pen: Pen, frame: Frame, band: Band, below: list[float]) -> None:
        """A strip of the band for each year, which says its share."""
        y = frame.y.place
        for at, (year, left, width) in enumerate(strips(self.years, frame.x)):
            share = band.shares[at]
            if share >= _LEAST_LABELLED:
                label = _("{name}, {year}: {share}").format(name=band.name, year=year, share=per_cent(share))
                top = y(below[at] + share)
                pen.spot(left, top, width, y(below[at]) - top, label, band.key)
