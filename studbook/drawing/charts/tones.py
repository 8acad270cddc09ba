"""What a colour in a chart says, and the quiet colours of bands that lie side by side."""

from enum import Enum

from studbook.drawing.palette import Palette


class Tone(Enum):
    """What is said of a row by its colour; a word or a shape always says it too."""

    PLAIN = "plain"
    GOOD = "good"
    CAUTION = "caution"
    ALERT = "alert"
    UNSURE = "unsure"

    def colour(self, colours: Palette) -> str:
        """The token it is painted in."""
        return {
            Tone.PLAIN: colours.slate,
            Tone.GOOD: colours.moss,
            Tone.CAUTION: colours.straw,
            Tone.ALERT: colours.comb,
            Tone.UNSURE: colours.faint,
        }[self]


def mixed(ground: str, colour: str, share: float) -> str:
    """`colour` laid over `ground` with a `share` from 0 to 1; both as ``#RRGGBB``.

    >>> mixed("#000000", "#FFFFFF", 0.5)
    '#808080'
    """
    parts = (
        round(int(ground[at : at + 2], 16) * (1 - share) + int(colour[at : at + 2], 16) * share + 1e-9)
        for at in (1, 3, 5)
    )
    return "#" + "".join(f"{part:02X}" for part in parts)


_STRENGTHS = (0.74, 0.48, 0.28)


def band_colours(colours: Palette, count: int) -> tuple[str, ...]:
    """Colours for `count` bands: neighbours differ in hue, the same hue returns paler."""
    hues = (colours.slate, colours.straw, colours.moss, colours.comb)
    return tuple(
        mixed(colours.paper, hues[number % len(hues)], _STRENGTHS[(number // len(hues)) % len(_STRENGTHS)])
        for number in range(count)
    )
