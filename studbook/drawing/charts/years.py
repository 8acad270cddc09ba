"""A figure by year: mean as a line, spread as a band, and a sloping line to measure it by."""

from collections.abc import Callable
from dataclasses import dataclass

from studbook.book.wording import per_cent
from studbook.drawing.charts.chart import Heading, Kind, Pen, Table
from studbook.drawing.charts.frame import EndLabel, Frame, labels_width, open_frame, paint_labels, strips
from studbook.drawing.charts.scale import round_top
from studbook.drawing.charts.tones import mixed
from studbook.words import _, plural

_DOT = 3.2


@dataclass(frozen=True, slots=True)
class YearPoint:
    """The mean of `count` birds of a year, and the lowest and highest of them where they are told."""

    year: int
    mean: float
    count: int
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class YearLine:
    """One line, with a band where its points tell a spread; a `quiet` one is dotted."""

    name: str
    points: tuple[YearPoint, ...]
    quiet: bool = False

    @property
    def has_spread(self) -> bool:
        """True when lowest and highest are told."""
        return all(point.low is not None and point.high is not None for point in self.points)


@dataclass(frozen=True, slots=True)
class Guide:
    """A line that rises by `per_year` from `value` in `year`."""

    name: str
    year: int
    value: float
    per_year: float


@dataclass(frozen=True, slots=True)
class YearChart:
    """A figure by year, as one or two lines."""

    title: str
    lines: tuple[YearLine, ...]
    guide: Guide | None = None
    height: float = 264.0

    def table(self) -> Table:
        """A row for each year, lines side by side."""
        headings = [Heading(_("Year"), Kind.YEAR), Heading(_("Birds"), Kind.COUNT)]
        counts: dict[int, int] = {}
        for line in self.lines:
            headings.append(Heading(_("{line}: mean").format(line=line.name), Kind.SHARE))
            if line.has_spread:
                headings.append(Heading(_("{line}: lowest").format(line=line.name), Kind.SHARE))
                headings.append(Heading(_("{line}: highest").format(line=line.name), Kind.SHARE))
            counts |= {point.year: point.count for point in line.points}
        rows = []
        for year, count in sorted(counts.items()):
            cells: list[int | float | None] = [year, count]
            for line in self.lines:
                point = next((point for point in line.points if point.year == year), None)
                cells.append(point.mean if point else None)
                if line.has_spread:
                    cells += [point.low, point.high] if point else [None, None]
            rows.append(tuple(cells))
        return Table(tuple(headings), tuple(rows))

    def paint(self, pen: Pen, left: float, width: float) -> float:
        """Paint it; gives the lower edge."""
        colours = pen.colours
        points = [point for line in self.lines for point in line.points]
        years = [point.year for point in points]
        guided = self._guided(max(years)) if self.guide else 0.0
        most = max([guided, *(point.mean if point.high is None else point.high for point in points)])
        top, step = round_top(max(most, 0.01))
        ends = [(line.name, "") for line in self.lines] + ([(self.guide.name, "")] if self.guide else [])
        free = labels_width(pen, ends, width * 0.36)
        frame = open_frame(pen, left, width, self.height, years, top, step, free)
        x, y = frame.x.place, frame.y.place
        for line in self.lines:
            if line.has_spread and len(line.points) > 1:
                rim = [(x(point.year), y(point.high or 0.0)) for point in line.points]
                rim += [(x(point.year), y(point.low or 0.0)) for point in reversed(line.points)]
                pen.canvas.polygon(rim, mixed(colours.paper, colours.slate, 0.16))
        labels = [self._paint_line(pen, line, x, y) for line in self.lines]
        if self.guide is not None:
            start = max(min(years), self.guide.year)
            pen.canvas.line(
                x(start), y(self._guided(start)), x(max(years)), y(guided), colours.straw, width=1.4
            )
            labels.append(EndLabel(y(guided), self.guide.name, "", colours.straw, serif=False))
        paint_labels(pen, frame.x.end, free, labels, frame.y.start, frame.y.end)
        self._note_spots(pen, frame)
        return frame.bottom

    def _paint_line(
        self, pen: Pen, line: YearLine, x: Callable[[float], float], y: Callable[[float], float]
    ) -> EndLabel:
        ink = pen.colours.faint if line.quiet else pen.colours.ink
        if len(line.points) > 1:
            track = "L".join(f"{x(point.year):.1f} {y(point.mean):.1f}" for point in line.points)
            pen.canvas.path(f"M{track}", ink, width=1.6 if line.quiet else 2, dotted=line.quiet)
        for point in line.points:
            if not line.quiet:
                pen.canvas.circle(x(point.year), y(point.mean), _DOT, pen.colours.paper, ink, width=1.8)
        return EndLabel(y(line.points[-1].mean), line.name, "", ink, serif=False)

    def _guided(self, year: int) -> float:
        assert self.guide is not None
        return self.guide.value + self.guide.per_year * (year - self.guide.year)

    def _note_spots(self, pen: Pen, frame: Frame) -> None:
        """A strip for each year, which says its figures."""
        said: dict[int, list[str]] = {}
        counts: dict[int, int] = {}
        for line in self.lines:
            for point in line.points:
                counts[point.year] = point.count
                said.setdefault(point.year, []).append(_point_text(line, point))
        for year, left, width in strips(sorted(said), frame.x):
            count = counts[year]
            birds = plural("{n} bird", "{n} birds", count).format(n=count)
            label = _("{year}, {birds}: {figures}").format(
                year=year, birds=birds, figures="; ".join(said[year])
            )
            pen.spot(left, frame.y.end, width, frame.y.start - frame.y.end, label)


def _point_text(line: YearLine, point: YearPoint) -> str:
    if point.low is None or point.high is None:
        return _("{line} {mean}").format(line=line.name, mean=per_cent(point.mean))
    return _("{line} {mean}, from {low} to {high}").format(
        line=line.name, mean=per_cent(point.mean), low=per_cent(point.low), high=per_cent(point.high)
    )
