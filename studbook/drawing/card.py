"""How a bird is always written: shape, mark chip, name, and one quiet line of facts."""

import math
from dataclasses import dataclass
from typing import Protocol

from studbook.book.records import DEAD, Bird, Sex
from studbook.book.wording import per_cent, sex_word
from studbook.dates import PartialDate
from studbook.drawing.palette import Palette
from studbook.drawing.svg import Canvas, plain
from studbook.drawing.typefaces import Measure
from studbook.words import _

CARD_HEIGHT = 40.0
SHAPE_SIZE = 14.0
NAME_SIZE = 16.0
DETAIL_SIZE = 12.0

_TEXT_LEFT = SHAPE_SIZE + 8
_CHIP_HEIGHT = 18.0
_CHIP_PADDING = 7.0
_CHIP_GAP = 7.0
_SMALLEST_NAME = 13.0
_WIDEST_NAME = 168.0
_WIDEST_DETAIL = 216.0
_FLAG_GAP = 8.0
_STROKE_OUT = 3.5


class Figures(Protocol):
    """Numbers by row of the snapshot: an array, a list or a mapping."""

    def __getitem__(self, row: int, /) -> float: ...


@dataclass(frozen=True, slots=True)
class Fitted:
    """A text with the size at which it fits its place."""

    text: str
    size: float
    width: float


def fit(
    text: str,
    size: float,
    limit: float,
    measure: Measure,
    *,
    serif: bool = False,
    bold: bool = False,
    smallest: float,
) -> Fitted:
    """`text` at `size`, shrunk down to `smallest` and then cut with "…" to stay within `limit`."""
    text = plain(text)
    width = measure(text, size, serif=serif, bold=bold)
    while width > limit and size > smallest:
        size -= 1
        width = measure(text, size, serif=serif, bold=bold)
    if width <= limit:
        return Fitted(text, size, width)
    kept = len(text)
    while kept > 1 and measure(text[:kept].rstrip() + "…", size, serif=serif, bold=bold) > limit:
        kept -= 1
    cut = text[:kept].rstrip() + "…"
    return Fitted(cut, size, measure(cut, size, serif=serif, bold=bold))


def hatch_year_text(hatched: PartialDate) -> str:
    """The year of hatching, empty when it is unknown."""
    if not hatched.is_known:
        return ""
    return _("about {year}").format(year=hatched.year) if hatched.about else str(hatched.year)


def inbreeding_text(inbreeding: float | None) -> str:
    """F in per cent with one decimal, empty when it is not known."""
    if inbreeding is None or math.isnan(inbreeding):
        return ""
    return _("F {share}").format(share=per_cent(inbreeding))


def bird_label(bird: Bird) -> str:
    """Mark and name as they stand on the card, in one text."""
    return " ".join(part for part in (bird.mark, bird.name) if part) or bird.called


class Card:
    """A bird ready to paint: its texts fitted, its size known.

    Attributes
    ----------
    width
        From the shape to the end of the longest text or of the flag.
    label
        What the card says, as one sentence for readers that speak.
    """

    def __init__(
        self,
        bird: Bird,
        inbreeding: float | None,
        measure: Measure,
        *,
        bold: bool = False,
        flag: int | None = None,
    ) -> None:
        self.bird = bird
        self.flag = flag
        self._bold = bold
        self._measure = measure
        self._mark = plain(bird.mark)
        self._chip_width = (
            measure(self._mark, DETAIL_SIZE, bold=True) + 2 * _CHIP_PADDING if self._mark else 0.0
        )
        name = bird.name or ("" if self._mark else _("unnamed") if bird.placeholder else bird.called)
        self._name = fit(
            name, NAME_SIZE, _WIDEST_NAME, measure, serif=True, bold=bold, smallest=_SMALLEST_NAME
        )
        facts = (hatch_year_text(bird.hatched), bird.colour, inbreeding_text(inbreeding))
        self._details = _fit_facts([plain(fact) for fact in facts], measure)
        self.label = self._label(inbreeding)
        first = self._chip_width + (_CHIP_GAP if self._mark and name else 0) + self._name.width
        self._flag_left = _TEXT_LEFT + first + _FLAG_GAP
        if flag is not None:
            first += _FLAG_GAP + flag_width(flag, measure)
        self.width = math.ceil(_TEXT_LEFT + max(first, self._details.width))

    def _label(self, inbreeding: float | None) -> str:
        bird = self.bird
        mark = bird.shown_mark
        parts = [
            f"{sex_word(bird.sex)} {bird_label(bird)}",
            _("{colour} ring").format(colour=mark.colour) if mark and mark.colour else "",
            _("hatched {year}").format(year=hatch_year_text(bird.hatched)) if bird.hatched.is_known else "",
            bird.colour,
            "" if bird.placeholder else standing(bird),
            inbreeding_text(inbreeding),
            _("flag {number}").format(number=self.flag) if self.flag is not None else "",
        ]
        return ", ".join(part for part in parts if part)

    def paint(self, canvas: Canvas, x: float, y: float, colours: Palette, *, accent: bool = False) -> None:
        """Paint the card with its upper left corner at (x, y); `accent` for a common ancestor."""
        ink = colours.comb if accent else colours.ink
        paint_shape(canvas, x + SHAPE_SIZE / 2, y + CARD_HEIGHT / 2, self.bird, ink, colours.paper)
        base = y + (16.5 if self._details.text else 25.0)
        left = x + _TEXT_LEFT
        if self._mark:
            mark = self.bird.shown_mark
            tint = colours.ring(mark.colour if mark else "")
            canvas.rectangle(
                left + 0.75, base - 13.25, self._chip_width - 1.5, _CHIP_HEIGHT - 0.5, stroke=tint,
                stroke_width=1.5, radius=_CHIP_HEIGHT / 2,
            )  # fmt: skip
            canvas.text(left + _CHIP_PADDING, base, self._mark, DETAIL_SIZE, colours.ink, bold=True)
            left += self._chip_width + _CHIP_GAP
        if self._name.text:
            canvas.text(left, base, self._name.text, self._name.size, ink, serif=True, bold=self._bold)
        if self.flag is not None:
            paint_flag(canvas, x + self._flag_left, base, self.flag, colours, self._measure)
        if self._details.text:
            canvas.text(x + _TEXT_LEFT, y + 35, self._details.text, DETAIL_SIZE, colours.faint)


def _fit_facts(facts: list[str], measure: Measure) -> Fitted:
    """Year, colour and F on one line; only the colour is ever cut."""
    year, colour, inbreeding = facts
    rest = " · ".join(fact for fact in (year, "", inbreeding) if fact)
    room = _WIDEST_DETAIL - measure(rest + " · ", DETAIL_SIZE)
    colour = fit(colour, DETAIL_SIZE, room, measure, smallest=DETAIL_SIZE).text if colour else ""
    line = " · ".join(fact for fact in (year, colour, inbreeding) if fact)
    return Fitted(line, DETAIL_SIZE, measure(line, DETAIL_SIZE))


def standing(bird: Bird) -> str:
    """Where a bird stands today, in a word or two."""
    if bird.is_living:
        return _("in the flock")
    return _("dead") if bird.status in DEAD else _("no longer in the flock")


def paint_shape(canvas: Canvas, x: float, y: float, bird: Bird, ink: str, ground: str) -> None:
    """The shape of a bird around (x, y): its sex, whether it is in the flock, whether it is dead."""
    outline_shape(canvas, x, y, bird.sex, ink, ink if bird.is_living else ground, dotted=bird.placeholder)
    if bird.status in DEAD:
        stroke_through(canvas, x, y, ink)


def stroke_through(canvas: Canvas, x: float, y: float, ink: str) -> None:
    """The slanting stroke of a dead bird."""
    reach = SHAPE_SIZE / 2 + _STROKE_OUT
    canvas.line(x - reach, y + reach, x + reach, y - reach, ink, width=1.4)


def outline_shape(
    canvas: Canvas, x: float, y: float, sex: Sex, ink: str, fill: str, *, dotted: bool = False
) -> None:
    """Square, circle or diamond around (x, y)."""
    half = SHAPE_SIZE / 2 - 0.7
    if sex is Sex.COCK:
        points = [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
        canvas.polygon(points, fill, ink, width=1.4, dotted=dotted)
    elif sex is Sex.HEN:
        canvas.circle(x, y, half, fill, ink, width=1.4, dotted=dotted)
    else:
        points = [(x, y - half - 1), (x + half + 1, y), (x, y + half + 1), (x - half - 1, y)]
        canvas.polygon(points, fill, ink, width=1.4, dotted=dotted)


_FLAG_HEIGHT = 12.0
_FLAG_PADDING = 4.0
_FLAG_NOTCH = 4.0
_FLAG_SIZE = 10.0


def flag_width(number: int, measure: Measure) -> float:
    """How wide a flag is, staff and notch included."""
    return measure(str(number), _FLAG_SIZE, bold=True) + 2 * _FLAG_PADDING + _FLAG_NOTCH


def paint_flag(
    canvas: Canvas, x: float, base: float, number: int, colours: Palette, measure: Measure
) -> None:
    """A small numbered pennant on its staff, standing on the base line of a text."""
    top = base - 13
    right = x + flag_width(number, measure)
    middle = top + _FLAG_HEIGHT / 2
    cloth = [
        (x, top),
        (right, top),
        (right - _FLAG_NOTCH, middle),
        (right, top + _FLAG_HEIGHT),
        (x, top + _FLAG_HEIGHT),
    ]
    canvas.polygon(cloth, colours.slate)
    canvas.line(x, top, x, base + 3, colours.slate, width=1.4)
    canvas.text(x + _FLAG_PADDING, base - 3.5, str(number), _FLAG_SIZE, colours.paper, bold=True)
