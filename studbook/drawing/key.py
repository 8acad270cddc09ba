"""The key below a drawing: only the signs that occur in it."""

from collections.abc import Iterable
from enum import Enum

from studbook.book.records import DEAD, Bird, Sex
from studbook.drawing.card import (
    DETAIL_SIZE,
    SHAPE_SIZE,
    outline_shape,
    paint_flag,
    stroke_through,
)
from studbook.drawing.palette import Palette
from studbook.drawing.svg import Canvas
from studbook.drawing.typefaces import Measure
from studbook.words import _

_ROW_HEIGHT = 22.0
_SAMPLE_GAP = 7.0
_ENTRY_GAP = 22.0
_LINE_LENGTH = 22.0


class KeyEntry(Enum):
    """A sign that needs a word, in the order in which the key explains them."""

    COCK = "cock"
    HEN = "hen"
    UNKNOWN_SEX = "unknown sex"
    LIVING = "living"
    GONE = "gone"
    DEAD = "dead"
    PLACEHOLDER = "placeholder"
    DOUBTFUL = "doubtful"
    FLAG = "flag"
    COMMON = "common"

    @classmethod
    def of(cls, bird: Bird) -> tuple["KeyEntry", "KeyEntry"]:
        """The signs a bird's shape is made of."""
        sex = {Sex.COCK: cls.COCK, Sex.HEN: cls.HEN, Sex.UNKNOWN: cls.UNKNOWN_SEX}[bird.sex]
        if bird.placeholder:
            return sex, cls.PLACEHOLDER
        if bird.is_living:
            return sex, cls.LIVING
        return sex, cls.DEAD if bird.status in DEAD else cls.GONE

    @property
    def text(self) -> str:
        """What the sign means."""
        return {
            KeyEntry.COCK: _("cock"),
            KeyEntry.HEN: _("hen"),
            KeyEntry.UNKNOWN_SEX: _("sex unknown"),
            KeyEntry.LIVING: _("in the flock"),
            KeyEntry.GONE: _("sold, given, lent or lost"),
            KeyEntry.DEAD: _("dead"),
            KeyEntry.PLACEHOLDER: _("known only as a parent"),
            KeyEntry.DOUBTFUL: _("doubtful parent, with its likelihood"),
            KeyEntry.FLAG: _("the same bird, met again"),
            KeyEntry.COMMON: _("common ancestor and the lines from it"),
        }[self]

    def paint(self, canvas: Canvas, x: float, y: float, colours: Palette, measure: Measure) -> float:
        """Paint the sign with its middle at height `y`; gives its width."""
        ink, middle = colours.faint, x + SHAPE_SIZE / 2
        sexes = {KeyEntry.COCK: Sex.COCK, KeyEntry.HEN: Sex.HEN, KeyEntry.UNKNOWN_SEX: Sex.UNKNOWN}
        match self:
            case KeyEntry.DOUBTFUL:
                canvas.path(f"M{x:g} {y:g}h{_LINE_LENGTH:g}", ink, dotted=True)
                return _LINE_LENGTH
            case KeyEntry.FLAG:
                paint_flag(canvas, x, y + 5, 1, colours, measure)
            case KeyEntry.COMMON:
                canvas.line(x, y, x + _LINE_LENGTH, y, colours.comb, width=1.8)
                return _LINE_LENGTH
            case KeyEntry.LIVING:
                outline_shape(canvas, middle, y, Sex.HEN, ink, ink)
            case KeyEntry.PLACEHOLDER:
                outline_shape(canvas, middle, y, Sex.HEN, ink, colours.paper, dotted=True)
            case _:
                outline_shape(canvas, middle, y, sexes.get(self, Sex.HEN), ink, colours.paper)
        if self is KeyEntry.DEAD:
            stroke_through(canvas, middle, y, ink)
        return SHAPE_SIZE


def paint_key(
    canvas: Canvas,
    left: float,
    top: float,
    right: float,
    entries: Iterable[KeyEntry],
    colours: Palette,
    measure: Measure,
) -> float:
    """Paint the key between `left` and `right` in as many rows as it needs; gives its lower edge."""
    canvas.line(left, top, right, top, colours.hair)
    x, y = left, top + _ROW_HEIGHT
    for entry in sorted(set(entries), key=list(KeyEntry).index):
        text = entry.text
        width = _LINE_LENGTH + _SAMPLE_GAP + measure(text, DETAIL_SIZE)
        if x > left and x + width > right:
            x, y = left, y + _ROW_HEIGHT
        x += entry.paint(canvas, x, y, colours, measure) + _SAMPLE_GAP
        canvas.text(x, y + 4, text, DETAIL_SIZE, colours.faint)
        x += measure(text, DETAIL_SIZE) + _ENTRY_GAP
    return y + SHAPE_SIZE / 2
