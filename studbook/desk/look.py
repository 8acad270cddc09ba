"""The colours of the look, read from ``resources/look.json``, and the arithmetic of contrast."""

import json
from dataclasses import dataclass
from functools import cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from studbook import places

READABLE = 4.5
"""The least contrast of a text with its ground (WCAG 2.2, success criterion 1.4.3)."""


def mix(ground: QColor, colour: QColor, share: float) -> QColor:
    """`colour` laid over `ground` with a `share` from 0 to 1."""
    return QColor.fromRgbF(
        *(
            low + (high - low) * share
            for low, high in (
                (ground.redF(), colour.redF()),
                (ground.greenF(), colour.greenF()),
                (ground.blueF(), colour.blueF()),
            )
        )
    )


def luminance(colour: QColor) -> float:
    """The relative luminance of `colour` (WCAG 2.2)."""

    def linear(part: float) -> float:
        return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4

    return 0.2126 * linear(colour.redF()) + 0.7152 * linear(colour.greenF()) + 0.0722 * linear(colour.blueF())


def contrast(one: QColor, other: QColor) -> float:
    """The contrast ratio of two colours, 1 to 21 (WCAG 2.2)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@dataclass(frozen=True)
class Look:
    """The colours of one theme; `scale` holds the relatedness tints from 0 to `top`."""

    dark: bool
    paper: QColor
    sheet: QColor
    ink: QColor
    faint: QColor
    hair: QColor
    comb: QColor
    moss: QColor
    straw: QColor
    slate: QColor
    scale: tuple[QColor, ...]
    top: float

    @property
    def selection(self) -> QColor:
        """The ground of what is selected; text on it is ink."""
        return mix(self.sheet, self.comb, 0.14)

    @property
    def hover(self) -> QColor:
        """The ground under the pointer."""
        return mix(self.sheet, self.ink, 0.05)

    @property
    def on_comb(self) -> QColor:
        """Text on the accent."""
        return self.paper

    def tint(self, kinship: float) -> QColor:
        """The tint of a kinship or inbreeding coefficient; all above `top` look alike."""
        place = min(max(kinship / self.top, 0.0), 1.0) * (len(self.scale) - 1)
        step = min(int(place), len(self.scale) - 2)
        return mix(self.scale[step], self.scale[step + 1], place - step)

    def ink_on(self, ground: QColor) -> QColor:
        """The text colour that reads best on `ground`: ink or paper, black or white where both are weak."""
        best = max((self.ink, self.paper), key=lambda colour: contrast(colour, ground))
        if contrast(best, ground) >= READABLE:
            return best
        extremes = (QColor(Qt.GlobalColor.black), QColor(Qt.GlobalColor.white))
        return max(extremes, key=lambda colour: contrast(colour, ground))

    def legible(self, colour: QColor, ground: QColor, least: float = 3.0) -> QColor:
        """`colour`, drawn towards ink until it stands out from `ground` by `least`."""
        share = 0.0
        while contrast(mix(colour, self.ink, share), ground) < least and share < 1.0:
            share += 0.1
        return mix(colour, self.ink, min(share, 1.0))


@cache
def read_look(dark: bool) -> Look:
    """The look of the light or the dark theme."""
    tokens = json.loads(places.resource("look.json").read_text(encoding="utf-8"))
    return Look(
        dark=dark,
        scale=tuple(QColor(text) for text in tokens["relatedness_dark" if dark else "relatedness"]),
        top=tokens["relatedness_top"],
        **{name: QColor(text) for name, text in tokens["dark" if dark else "light"].items()},
    )


_worn: Look | None = None


def look() -> Look:
    """The look in use."""
    return _worn or read_look(dark=False)


def wear(worn: Look) -> None:
    """Make `worn` the look in use; the theme does this when it dresses the application."""
    global _worn
    _worn = worn


RING_COLOURS = {
    "white": "#FFFFFF",
    "black": "#1E1E1E",
    "grey": "#8A8F8C",
    "gray": "#8A8F8C",
    "silver": "#B8BCBA",
    "red": "#C0392B",
    "pink": "#D98CA6",
    "orange": "#D9772B",
    "yellow": "#E0B93A",
    "gold": "#B8902F",
    "green": "#3F8A54",
    "light green": "#8DBF6B",
    "blue": "#2F6DB0",
    "light blue": "#7FB2DA",
    "purple": "#7A4E9A",
    "violet": "#7A4E9A",
    "brown": "#7B5236",
    "aluminium": "#B8BCBA",
}
"""The colours leg rings are sold in (common practice), by the word a keeper writes."""


def ring_colour(word: str) -> QColor | None:
    """The colour a keeper means by `word`, or None for a word we do not know."""
    found = RING_COLOURS.get(word.strip().casefold())
    return QColor(found) if found else None
