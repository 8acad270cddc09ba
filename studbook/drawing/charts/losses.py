"""Where eggs are lost: from those set, step by step, to the chicks that hatched."""

from dataclasses import dataclass

from studbook.drawing.charts.chart import TEXT_SIZE, Heading, Kind, Pen, Table
from studbook.drawing.charts.scale import Scale
from studbook.drawing.charts.tones import Tone, mixed
from studbook.words import _

_ROW = 26.0
_BAR = 13.0
_GAP = 12.0


@dataclass(frozen=True, slots=True)
class LossStep:
    """Eggs that came to one end; `is_lost` eggs are taken off what is left, the others are shown as they are."""

    name: str
    eggs: int
    tone: Tone
    is_lost: bool = True


@dataclass(frozen=True, slots=True)
class LossChart:
    """A funnel: the eggs set as a whole bar, each loss where it was taken off, what hatched at the left."""

    title: str
    eggs: int
    steps: tuple[LossStep, ...]

    def table(self) -> Table:
        """A row for the eggs set and for each step, with its share of them."""
        headings = (
            Heading(_("What became of them")),
            Heading(_("Eggs"), Kind.COUNT),
            Heading(_("Share of those set"), Kind.SHARE, 0),
        )
        steps = tuple((step.name, step.eggs, self._share(step.eggs)) for step in self.steps)
        return Table(headings, ((_("set"), self.eggs, self._share(self.eggs)), *steps))

    def paint(self, pen: Pen, left: float, width: float) -> float:
        """Paint it; gives the lower edge."""
        rows = (LossStep(_("set"), self.eggs, Tone.PLAIN, is_lost=False), *self.steps)
        names = min(max(pen.measure(row.name, TEXT_SIZE) for row in rows) + _GAP, width * 0.4)
        counts = pen.measure(str(self.eggs), TEXT_SIZE) + _GAP
        x = Scale(0, max(self.eggs, 1), left + names, left + width - counts)
        remaining = self.eggs
        for number, row in enumerate(rows):
            y = pen.top + _ROW * (number + 0.5)
            start = remaining - row.eggs if row.is_lost else 0
            self._paint_row(pen, row, left, x, y, start)
            if row.is_lost:
                remaining = start
            said = _("{name}: {count} of {of}").format(name=row.name, count=row.eggs, of=self.eggs)
            pen.spot(left, y - _ROW / 2, width, _ROW, said)
            pen.text(left + width, y + 4, str(row.eggs), colour=pen.colours.ink, anchor=1)
        return pen.top + _ROW * len(rows) + 6

    def _paint_row(self, pen: Pen, row: LossStep, left: float, x: Scale, y: float, start: int) -> None:
        colours = pen.colours
        pen.text(left, y + 4, row.name, colour=colours.ink)
        pen.canvas.rectangle(
            x.start, y - _BAR / 2, x.end - x.start, _BAR, fill=mixed(colours.paper, colours.ink, 0.05)
        )
        if row.eggs:
            begin, end = x.place(start), x.place(start + row.eggs)
            ink = mixed(colours.paper, row.tone.colour(colours), 0.8)
            pen.canvas.rectangle(begin, y - _BAR / 2, max(end - begin, 1.5), _BAR, fill=ink)

    def _share(self, eggs: int) -> float | None:
        return eggs / self.eggs if self.eggs else None
