"""What several policies come to over the years: the mean of each as a line, nine of ten runs as its band."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from studbook.book.wording import per_cent
from studbook.drawing.charts.chart import TEXT_SIZE, Heading, Kind, Pen, Table
from studbook.drawing.charts.frame import EndLabel, Frame, labels_width, open_frame, paint_labels, strips
from studbook.drawing.charts.scale import round_top
from studbook.drawing.charts.tones import mixed
from studbook.drawing.palette import Palette
from studbook.words import _

_FILL, _RIM = 0.14, 0.5


@dataclass(frozen=True, slots=True)
class CourseLine:
    """One policy: for each year the mean, between what nine of ten runs lie, and the exact expectation.

    `low` and `high` are empty where no spread is told, `exact` where none is known.
    """

    name: str
    mean: tuple[float, ...]
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()
    exact: tuple[float, ...] = ()

    @property
    def has_spread(self) -> bool:
        """True when the runs' spread is told."""
        return bool(self.low and self.high)


@dataclass(frozen=True, slots=True)
class Level:
    """A line across to measure the others by."""

    name: str
    value: float


@dataclass(frozen=True, slots=True)
class CourseChart:
    """Up to four lines with their bands; exact expectations are dotted, in the colour of the line they check."""

    title: str
    years: tuple[int, ...]
    lines: tuple[CourseLine, ...]
    level: Level | None = None
    height: float = 300.0

    def table(self) -> Table:
        """A row for each year, the lines side by side."""
        headings = [Heading(_("Year"), Kind.YEAR)]
        for line in self.lines:
            headings.append(Heading(_("{line}: mean").format(line=line.name), Kind.SHARE))
            if line.has_spread:
                headings.append(Heading(_("{line}: 9 of 10 from").format(line=line.name), Kind.SHARE))
                headings.append(Heading(_("{line}: 9 of 10 to").format(line=line.name), Kind.SHARE))
            if line.exact:
                headings.append(Heading(_("{line}: exact, by chance").format(line=line.name), Kind.SHARE))
        rows = []
        for at, year in enumerate(self.years):
            cells: list[int | float] = [year]
            for line in self.lines:
                cells += [values[at] for values in (line.mean, line.low, line.high, line.exact) if values]
            rows.append(tuple(cells))
        return Table(tuple(headings), tuple(rows))

    def paint(self, pen: Pen, left: float, width: float) -> float:
        """Paint it; gives the lower edge."""
        most = max(max(*line.high, *line.mean, *line.exact) for line in self.lines)
        if self.level is not None:
            most = max(most, min(self.level.value, 2 * most))
        top, step = round_top(max(most, 0.01))
        ends = [(line.name, per_cent(line.mean[-1])) for line in self.lines]
        free = labels_width(pen, ends, width * 0.4)
        frame = open_frame(pen, left, width, self.height, self.years, top, step, free)
        colours = course_colours(pen.colours)
        for line, colour in zip(self.lines, colours, strict=False):
            if line.has_spread and len(self.years) > 1:
                rim = [*_track(frame, self.years, line.high), *reversed(_track(frame, self.years, line.low))]
                pen.canvas.polygon(rim, mixed(pen.colours.paper, colour, _FILL))
        for line, colour in zip(self.lines, colours, strict=False):
            for edge in (line.low, line.high) if line.has_spread else ():
                self._draw(pen, frame, edge, mixed(pen.colours.paper, colour, _RIM), width=0.8)
        labels = []
        for line, colour in zip(self.lines, colours, strict=False):
            if line.exact:
                self._draw(pen, frame, line.exact, colour, width=1.6, dotted=True)
            self._draw(pen, frame, line.mean, colour, width=2.2)
            labels.append(
                EndLabel(frame.y.place(line.mean[-1]), line.name, per_cent(line.mean[-1]), pen.colours.ink)
            )
        if self.level is not None and self.level.value <= top:
            self._paint_level(pen, frame, self.level)
        paint_labels(pen, frame.x.end, free, labels, frame.y.start, frame.y.end)
        self._note_spots(pen, frame)
        return frame.bottom

    def _draw(
        self,
        pen: Pen,
        frame: Frame,
        values: Sequence[float],
        colour: str,
        *,
        width: float,
        dotted: bool = False,
    ) -> None:
        places = _track(frame, self.years, values)
        if len(places) == 1:
            pen.canvas.circle(*places[0], 2 + width / 2, colour if not dotted else "none", colour)
            return
        steps = "L".join(f"{x:.1f} {y:.1f}" for x, y in places)
        pen.canvas.path(f"M{steps}", colour, width=width, dotted=dotted)

    def _paint_level(self, pen: Pen, frame: Frame, level: Level) -> None:
        at = round(frame.y.place(level.value)) + 0.5
        pen.canvas.line(frame.x.start, at, frame.x.end, at, pen.colours.ink, width=0.8)
        # at the right, where rising lines have left it below them, and on a ground of its own
        wide = pen.measure(level.name, TEXT_SIZE)
        left = frame.x.end - wide - 6
        pen.canvas.rectangle(left, at + 2, wide + 6, 15, fill=pen.colours.paper)
        pen.text(left + 3, at + 14, level.name)

    def _note_spots(self, pen: Pen, frame: Frame) -> None:
        """A strip for each year, which says its figures."""
        for year, left, width in strips(self.years, frame.x):
            at = self.years.index(year)
            said = "; ".join(_line_text(line, at) for line in self.lines)
            label = _("{year}: {figures}").format(year=year, figures=said)
            pen.spot(left, frame.y.end, width, frame.y.start - frame.y.end, label)


def course_colours(colours: Palette) -> tuple[str, str, str, str]:
    """The colours of the lines, in order."""
    return colours.slate, colours.comb, colours.moss, colours.straw


def _track(frame: Frame, years: Sequence[int], values: Sequence[float]) -> list[tuple[float, float]]:
    x: Callable[[float], float] = frame.x.place
    return [(x(year), frame.y.place(value)) for year, value in zip(years, values, strict=True)]


def _line_text(line: CourseLine, at: int) -> str:
    text = _("{line} {mean}")
    if line.has_spread:
        text = _("{line} {mean}, from {low} to {high}")
        if line.exact:
            text = _("{line} {mean}, from {low} to {high}, exact by chance {exact}")
    return text.format(
        line=line.name,
        mean=per_cent(line.mean[at]),
        low=per_cent(line.low[at]) if line.has_spread else "",
        high=per_cent(line.high[at]) if line.has_spread else "",
        exact=per_cent(line.exact[at]) if line.exact else "",
    )
