"""The sheet a tree is painted on, and the finished drawing with the places in it."""

from dataclasses import dataclass

from studbook.book.records import BirdId, Snapshot
from studbook.book.wording import per_cent
from studbook.drawing.card import CARD_HEIGHT, DETAIL_SIZE, NAME_SIZE, Card, Figures, fit
from studbook.drawing.family import is_certain, known_parents
from studbook.drawing.key import KeyEntry, paint_key
from studbook.drawing.palette import Palette
from studbook.drawing.svg import Canvas
from studbook.drawing.typefaces import Measure

MARGIN = 28.0
HEAD_HEIGHT = 44.0

_TITLE_SIZE = 20.0
_NARROWEST = 560.0
_WIDEST_TITLE = 800.0


@dataclass(frozen=True, slots=True)
class Box:
    """Where a bird stands in a drawing, in its pixels; a bird met twice has several boxes.

    `generation` is 0 for the bird the tree is about, 1 for its parents, −1 for its chicks; `flag` is
    the number on the bird's flag, if it has one; `label` says what the card shows, for a screen reader.
    """

    bird: BirdId
    x: float
    y: float
    width: float
    height: float
    generation: int
    flag: int | None
    label: str


@dataclass(frozen=True, slots=True)
class Line:
    """A parent and a chick that the drawing joins, and how likely that is."""

    parent: BirdId
    chick: BirdId
    weight: float


@dataclass(frozen=True, slots=True)
class Drawing:
    """A painted tree and the places in it; `title` is what stands above it."""

    svg: str
    width: float
    height: float
    title: str
    boxes: tuple[Box, ...]
    lines: tuple[Line, ...]


def weight_text(weight: float) -> str:
    """How likely a doubtful parent is, in whole per cent."""
    return per_cent(weight, 0)


class Sheet:
    """Paints birds and notes where they stand; one sheet makes one drawing.

    `inbreeding` holds F by row of the snapshot, or is None where F is not to be shown.
    """

    def __init__(
        self, snapshot: Snapshot, inbreeding: Figures | None, colours: Palette, measure: Measure
    ) -> None:
        self.snapshot = snapshot
        self.colours = colours
        self.measure = measure
        self.canvas = Canvas(measure)
        self._inbreeding = inbreeding
        self._boxes: list[Box] = []
        self._lines: list[Line] = []
        self._signs: set[KeyEntry] = set()

    def card(self, bird: BirdId, *, bold: bool = False, flag: int | None = None) -> Card:
        """The card of a bird, ready to be placed."""
        row = self.snapshot.rows[bird]
        # of a bird without parents in the book nothing is known, and 0 would say that something is
        told = self._inbreeding if known_parents(self.snapshot, bird) else None
        inbreeding = None if told is None else float(told[row])
        return Card(self.snapshot.birds[row], inbreeding, self.measure, bold=bold, flag=flag)

    def place(self, card: Card, x: float, middle: float, generation: int, *, accent: bool = False) -> None:
        """Paint a card with its left edge at `x` and its middle at height `middle`."""
        y = middle - CARD_HEIGHT / 2
        with self.canvas.group(f"place-{len(self._boxes)}", card.label):
            card.paint(self.canvas, x, y, self.colours, accent=accent)
        box = Box(card.bird.id, x, y, card.width, CARD_HEIGHT, generation, card.flag, card.label)
        self._boxes.append(box)
        self._signs.update(KeyEntry.of(card.bird))
        if card.flag is not None:
            self._signs.add(KeyEntry.FLAG)
        if accent:
            self._signs.add(KeyEntry.COMMON)

    def join(self, parent: BirdId, chick: BirdId, weight: float) -> None:
        """Note that a line joins the two; it is painted by the one who calls."""
        self._lines.append(Line(parent, chick, weight))
        if not is_certain(weight):
            self._signs.add(KeyEntry.DOUBTFUL)

    def note(self, x: float, base: float, text: str) -> float:
        """Small quiet text; gives its width."""
        self.canvas.text(x, base, text, DETAIL_SIZE, self.colours.faint)
        return self.measure(text, DETAIL_SIZE)

    def finish(self, right: float, bottom: float, title: str) -> Drawing:
        """Title above, key below, and the sheet cut to what was painted up to `right` and `bottom`."""
        heading = fit(title, _TITLE_SIZE, _WIDEST_TITLE, self.measure, serif=True, smallest=NAME_SIZE)
        right = max(right, _NARROWEST, MARGIN + heading.width)
        self.canvas.text(MARGIN, MARGIN + 16, heading.text, heading.size, self.colours.ink, serif=True)
        end = paint_key(self.canvas, MARGIN, bottom, right, self._signs, self.colours, self.measure)
        width, height = round(right + MARGIN, 2), round(end + MARGIN, 2)
        return Drawing(
            svg=self.canvas.svg(width, height, self.colours.paper, title),
            width=width,
            height=height,
            title=title,
            boxes=tuple(self._boxes),
            lines=tuple(self._lines),
        )
