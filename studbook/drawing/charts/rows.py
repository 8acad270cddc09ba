"""Charts of named rows: birds ranked as dots on a line, founders as bars."""

from dataclasses import dataclass

from studbook.book.records import Sex
from studbook.book.wording import per_cent
from studbook.drawing.card import SHAPE_SIZE, fit, outline_shape
from studbook.drawing.charts.chart import NAME_SIZE, TEXT_SIZE, Heading, Kind, Pen, Table
from studbook.drawing.charts.scale import Scale, decimals, round_span, ticks
from studbook.drawing.charts.tones import Tone, mixed
from studbook.drawing.svg import plain
from studbook.words import _

_ROW = 26.0
_HEAD = 22.0
_GAP = 12.0
_DOT = 5.0
_BAR = 11.0
_STEP_ROOM = 56.0
_KEY_ROW = 20.0
_KEY_SIGN = 18.0


@dataclass(frozen=True, slots=True)
class DotRow:
    """A bird and its figure; `other` is the same figure on the other basis, joined by a dotted line."""

    key: str
    mark: str
    name: str
    sex: Sex
    value: float
    other: float | None
    tone: Tone
    said: str


@dataclass(frozen=True, slots=True)
class DotChart:
    """Birds ranked by a figure, with the mean of all as a line.

    `key` says what the tones mean; only the first `shown` rows are drawn, the table has them all.
    """

    title: str
    value_name: str
    other_name: str
    rows: tuple[DotRow, ...]
    mean: float
    mean_name: str
    key: tuple[tuple[Tone, str], ...] = ()
    shown: int = 40

    def table(self) -> Table:
        """A row for each bird in the order of the chart."""
        headings = (
            Heading(_("Mark")),
            Heading(_("Name")),
            Heading(self.value_name, Kind.SHARE),
            Heading(self.other_name, Kind.SHARE),
            Heading(_("What it means")),
        )
        return Table(
            headings, tuple((row.mark, row.name, row.value, row.other, row.said) for row in self.rows)
        )

    def paint(self, pen: Pen, left: float, width: float) -> float:
        """Paint it; gives the lower edge."""
        colours, rows = pen.colours, self.rows[: self.shown]
        marks = max((pen.measure(row.mark, TEXT_SIZE, bold=True) for row in rows), default=0.0)
        names = max((pen.measure(row.name, NAME_SIZE, serif=True) for row in rows), default=0.0)
        beside = SHAPE_SIZE + _GAP + marks + (_GAP + names if names else 0.0)
        beside = min(beside, width * 0.45)
        figures = pen.measure(per_cent(0.9999), TEXT_SIZE) + _GAP
        values = [row.value for row in rows] + [row.other for row in rows if row.other is not None]
        low, top, step = round_span(
            min(self.mean, *values), max(self.mean, *values), int((width - beside - figures) // _STEP_ROOM)
        )
        x = Scale(low, top, left + beside + _GAP * 1.5, left + width - figures - _GAP)
        start = pen.top + _HEAD
        bottom = start + _ROW * len(rows)
        for tick in ticks(low, top, step):
            at = round(x.place(tick)) + 0.5
            pen.canvas.line(at, start, at, bottom, colours.hair)
            pen.text(at, pen.top + 12, per_cent(tick, decimals(step)), anchor=0.5)
        at = x.place(self.mean)
        pen.canvas.line(at, start, at, bottom + 6, colours.comb, width=1.2)
        words = _("{name} {share}").format(name=self.mean_name, share=per_cent(self.mean))
        half = pen.measure(words, TEXT_SIZE) / 2
        middle = min(max(at, left + half), left + width - half)
        pen.text(middle, bottom + 20, words, colour=colours.comb, anchor=0.5)
        for number, row in enumerate(rows):
            self._paint_row(pen, row, left, beside, x, start + _ROW * (number + 0.5), left + width)
            said = _("{bird}: {share}, {said}").format(
                bird=f"{row.mark} {row.name}".strip(), share=per_cent(row.value), said=row.said
            )
            pen.spot(left, start + _ROW * number, width, _ROW, said, row.key)
        return self._paint_key(pen, left, left + width, bottom + 28)

    def _paint_key(self, pen: Pen, left: float, right: float, top: float) -> float:
        """What the tones and the dotted line mean; gives the lower edge."""
        if not self.key:
            return top
        entries: list[tuple[Tone | None, str]] = [*self.key, (None, self.other_name)]
        if len(self.rows) > self.shown:
            more = _("the first {shown} of {count}; the numbers have them all")
            pen.text(left, top + 12, more.format(shown=self.shown, count=len(self.rows)))
            top += _KEY_ROW
        x, y = left, top + _KEY_ROW * 0.7
        for tone, words in entries:
            width = _KEY_SIGN + pen.measure(words, TEXT_SIZE)
            if x > left and x + width > right:
                x, y = left, y + _KEY_ROW
            if tone is None:
                pen.canvas.path(f"M{x:.1f} {y:.1f}h14", pen.colours.faint, width=1.6, dotted=True)
                pen.canvas.circle(x + 16, y, _DOT - 1, pen.colours.paper, pen.colours.faint, width=1.4)
                x += 8
            else:
                colour = tone.colour(pen.colours)
                ground = pen.colours.paper if tone is Tone.UNSURE else colour
                pen.canvas.circle(x + _DOT + 1, y, _DOT, ground, colour, width=1.6)
            pen.text(x + _KEY_SIGN, y + 4, words)
            x += width + _GAP * 1.5
        return y + _KEY_ROW / 2

    def _paint_row(
        self, pen: Pen, row: DotRow, left: float, beside: float, x: Scale, y: float, right: float
    ) -> None:
        colours, colour = pen.colours, row.tone.colour(pen.colours)
        outline_shape(pen.canvas, left + SHAPE_SIZE / 2, y, row.sex, colours.ink, colours.ink)
        at = left + SHAPE_SIZE + _GAP * 0.75
        if row.mark:
            pen.text(at, y + 4.5, plain(row.mark), colour=colours.ink, bold=True)
            at += pen.measure(plain(row.mark), TEXT_SIZE, bold=True) + _GAP
        if row.name:
            pen.name(at, y + 4.5, row.name, left + beside - at)
        value = x.place(row.value)
        if row.other is not None and abs(x.place(row.other) - value) > _DOT:
            other = x.place(row.other)
            inner = value + (_DOT if other > value else -_DOT)
            pen.canvas.path(
                f"M{inner:.1f} {y:.1f}L{other:.1f} {y:.1f}", colours.faint, width=1.6, dotted=True
            )
            pen.canvas.circle(other, y, _DOT - 1, colours.paper, colours.faint, width=1.4)
        pen.canvas.circle(
            value, y, _DOT, colours.paper if row.tone is Tone.UNSURE else colour, colour, width=1.6
        )
        pen.text(right, y + 4, per_cent(row.value), colour=colours.ink, anchor=1)


@dataclass(frozen=True, slots=True)
class Bar:
    """A founder and its share; `beside` is what else is said at the end of the bar."""

    key: str
    name: str
    value: float
    tone: Tone
    beside: str
    second: float | None = None


@dataclass(frozen=True, slots=True)
class BarChart:
    """Shares from 0 to 100 % as bars; `second_name` names a second share, given in the table alone."""

    title: str
    value_name: str
    second_name: str
    bars: tuple[Bar, ...]

    def table(self) -> Table:
        """A row for each bar."""
        headings = (
            Heading(_("Founder")),
            Heading(self.value_name, Kind.SHARE, 0),
            Heading(self.second_name, Kind.SHARE),
            Heading(_("What it means")),
        )
        return Table(headings, tuple((bar.name, bar.value, bar.second, bar.beside) for bar in self.bars))

    def paint(self, pen: Pen, left: float, width: float) -> float:
        """Paint it; gives the lower edge."""
        colours = pen.colours
        widest = max((pen.measure(bar.name, NAME_SIZE, serif=True) for bar in self.bars), default=0.0)
        names = min(widest, width * 0.4)
        words = max((pen.measure(bar.beside, TEXT_SIZE) for bar in self.bars), default=0.0)
        words = min(words + (_GAP if words else 0.0), width * 0.34)
        figures = pen.measure(per_cent(1.0, 0), TEXT_SIZE) + _GAP
        x = Scale(0, 1, left + names + _GAP, left + width - words - figures)
        start = pen.top + _HEAD
        bottom = start + _ROW * len(self.bars)
        for tick in (0.0, 0.25, 0.5, 0.75, 1.0):
            at = round(x.place(tick)) + 0.5
            pen.canvas.line(at, start, at, bottom, colours.faint if tick == 0 else colours.hair)
            if tick in (0.0, 0.5, 1.0):
                pen.text(at, pen.top + 12, per_cent(tick, 0), anchor=0.5)
        for number, bar in enumerate(self.bars):
            y, colour = start + _ROW * (number + 0.5), bar.tone.colour(colours)
            pen.name(left, y + 4.5, bar.name, names)
            end = x.place(bar.value)
            pen.canvas.rectangle(
                x.start + 1, y - _BAR / 2, x.end - x.start - 1, _BAR, fill=mixed(colours.paper, colour, 0.1)
            )
            pen.canvas.rectangle(
                x.start + 1,
                y - _BAR / 2,
                max(end - x.start - 1, 1),
                _BAR,
                fill=mixed(colours.paper, colour, 0.86),
            )
            pen.text(x.end + figures, y + 4, per_cent(bar.value, 0), colour=colours.ink, anchor=1)
            if bar.beside:
                fitted = fit(bar.beside, TEXT_SIZE, words - _GAP, pen.measure, smallest=TEXT_SIZE)
                ink = colours.faint if bar.tone is Tone.PLAIN else colour
                pen.text(x.end + figures + _GAP, y + 4, fitted.text, colour=ink)
            said = _("{name}: {share}. {said}").format(
                name=bar.name, share=per_cent(bar.value, 0), said=bar.beside
            )
            pen.spot(left, y - _ROW / 2, width, _ROW, said.strip(), bar.key)
        return bottom + 6
