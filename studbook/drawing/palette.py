"""The colours of a drawing, from the same tokens as window and papers."""

import json
from dataclasses import dataclass
from functools import cache

from studbook import places


@dataclass(frozen=True)
class Palette:
    """The colour tokens of one theme, and the tints of coloured rings by the name of the colour."""

    paper: str
    ink: str
    faint: str
    hair: str
    comb: str
    moss: str
    straw: str
    slate: str
    rings: dict[str, str]

    def ring(self, colour: str) -> str:
        """The tint of a ring whose colour the keeper wrote as `colour`; plain when it names none."""
        words = colour.casefold().replace("-", " ").split()
        return next((self.rings[word] for word in words if word in self.rings), self.faint)


@cache
def palette(*, dark: bool = False) -> Palette:
    """The light theme, which is also the one to print, or the dark one."""
    theme = "dark" if dark else "light"
    tokens = json.loads(places.resource("look.json").read_text(encoding="utf-8"))[theme]
    rings = json.loads(places.resource("drawing", "ring_colours.json").read_text(encoding="utf-8"))[theme]
    used = {
        token: tokens[token] for token in ("paper", "ink", "faint", "hair", "comb", "moss", "straw", "slate")
    }
    return Palette(**used, rings=rings)
