"""Portraits of birds, drawn from outlines: a fowl or a call duck in its plumage before a hill and a hedge."""

from dataclasses import dataclass
from random import Random

from studbook.book.records import Sex
from studbook.demo.portraits import ducks, fowl, scene
from studbook.demo.portraits.canvas import Canvas
from studbook.demo.portraits.png import png

SIDE = 480


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawn picture as PNG, with its thumbnail at half the size."""

    content: bytes
    thumbnail: bytes
    width: int
    height: int


def portrait(species: str, sex: Sex, plumage: str, name: str) -> Picture:
    """The portrait of a bird; its name decides the small things: the light, the hill, the splashes."""
    canvas = Canvas(SIDE, scene.PAPER)
    rng = Random(name)
    scene.draw_window(canvas, rng)
    if species == "duck":
        scene.draw_water(canvas)
        ducks.draw(canvas, sex)
        scene.draw_ripples(canvas)
    else:
        scene.draw_grass(canvas)
        fowl.draw(canvas, sex, plumage, rng)
        scene.draw_tufts(canvas, rng)
    turned = -1 if rng.random() < 0.4 else 1
    return Picture(png(canvas.pixels()[:, ::turned]), png(canvas.halved()[:, ::turned]), SIDE, SIDE)
