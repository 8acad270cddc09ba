"""A cock or a hen of the large Mediterranean fowl: single comb, white ear lobes, slate shanks."""

from dataclasses import dataclass
from random import Random

from studbook.book.records import Sex
from studbook.demo.portraits.canvas import (
    Canvas,
    Coverage,
    Outline,
    Point,
    ellipse,
    line,
    outline,
    rim,
    stroke,
)


@dataclass(frozen=True, slots=True)
class Feathers:
    """The colours of one plumage.

    Attributes
    ----------
    upper, lower
        The body from above to below.
    edge
        The border of a body feather.
    dark
        Hackle, saddle and a cock's tail.
    sheen
        The light on the dark feathers.
    edging
        How clearly the borders show, 0 to 1.
    """

    upper: str
    lower: str
    edge: str
    dark: str
    sheen: str
    edging: float


FEATHERS = {
    "black": Feathers("#2E3A3E", "#1C2224", "#12181A", "#161C1F", "#4F7A70", 0.18),
    "blue": Feathers("#8996A6", "#6E7C8E", "#3C4757", "#353F4E", "#A9B5C2", 0.75),
    "splash": Feathers("#F1F2F0", "#D5DADE", "#8A96A4", "#C6CDD4", "#FFFFFF", 0.3),
}
COMB = ("#B23A2A", "#8E2A20")
LOBE = ("#F7F3E8", "#DAD5C6")
HORN = ("#5E6266", "#44484B")
NEAR_SHANK, FAR_SHANK = "#5A6672", "#434D58"
SPLASHES = ("#5B6877", "#5B6877", "#3A434E")


@dataclass(frozen=True, slots=True)
class Figure:
    """The outlines of one sex, facing left; `tail` and `sickles` from the lowest feather to the highest."""

    body: Outline
    tail: tuple[Outline, ...]
    sickles: tuple[Outline, ...]
    drapes: tuple[Outline, ...]
    comb: Outline
    wattle: Outline
    face: Point
    thigh: float


COCK = Figure(
    body=outline(
        "24.5,20.5 28,16.5 33,17.5 36.5,23 39,30.5 43,36 50,39.5 58,41 65,39 70,41 72,47 70,55 66,62 60,67.5 51,70.5"
        " 42,69 34,63.5 29.5,56 27.5,48 27.5,40 27,33 25,27"
    ),
    tail=(
        outline("64,41 70,32 79,24 88,21 | 90,26 84,34 76,44 70,51 |"),
        outline("66,43 74,35 84,30 92,30 | 93,34 86,40 78,47 71,52 |"),
        outline("67,46 76,41 85,39 91,41 | 90,45 83,48 76,51 70,54 |"),
    ),
    sickles=(
        outline("67,47 72,43 78,41.5 83,43.5 86,49 86,56 | 82.5,51 79.5,48.5 76.5,49 73,52.5 |"),
        outline(
            "66,45 71,38 77,33 84,32 89.5,36 91.5,43 91,50 | 87.5,44 83.5,39.5 79,39.5 75.5,43 72.5,49 |"
        ),
        outline(
            "64,43 68,34 75,26 83,22.5 91,25.5 95,33 95.5,42 | 91.5,35 87,30 81.5,29 76,34 72.5,41 70.5,47 |"
        ),
        outline(
            "62,42 65,31 72,20 82,13.5 91,15.5 96.5,24 98,34 |"
            " 93.5,26 89,20.5 82.5,19.5 76,25.5 71.5,34 69,43 |"
        ),
    ),
    drapes=(
        outline(
            "50,40 58,41.5 66,38.5 73,42 | 74.5,49 | 71.5,46.5 | 71.5,53 | 68,48.5 | 67.5,55 | 64.5,50 |"
            " 63,54.5 | 61,49 | 58,51 | 56,46 |"
        ),
        outline(
            "30,17.5 34,18.5 38,25 41.5,32 47,38 52.5,44.5 | 48.5,44 | 48.5,47.5 | 45,46 | 44,50 | 41,48 |"
            " 39,52 | 36.5,49 | 34,52 | 32,48 | 29.5,49 | 28.3,42 28,35 27.5,29 28,24 |"
        ),
    ),
    comb=outline(
        "23.2,21.5 22.5,18.5 | 20.2,13.2 | 24.3,15 | 23,7.8 | 27.6,12.2 | 28,4.6 | 31.6,11 | 34,5.4 | 35.2,12 |"
        " 39,9 | 38.4,14.5 41,18.5 40.3,20.6 37,20 | 34.5,19.5 30,19.4 26.5,20.2 |"
    ),
    wattle=outline("24.2,27 22.3,31 22,36 23.8,39.3 26.2,38 27.2,33.5 27.2,28.5"),
    face=(27, 23.5),
    thigh=63,
)

HEN = Figure(
    body=outline(
        "23.5,27.5 26.5,23.8 31,24.3 34.5,28.5 37.5,35 42,40.5 50,43.5 59,44 67,41 73,41.5 75.5,46 73.5,53 69,60"
        " 62,66.5 52,70.5 42,69.5 34,64.5 29.5,57.5 27.5,50 27.5,43.5 26,37.5 24.2,33"
    ),
    tail=(
        outline("65,44 72,34 80,25.5 86,22 | 89.5,25.5 86,33 79,43 72,51 |"),
        outline("67,45 76,36 84,30 90,28.5 | 92,32.5 87,39 79,47 72,53 |"),
        outline("68,47 78,40 86,36.5 91.5,36.5 | 92,40.5 86,44.5 78,50 72,55 |"),
        outline("69,50 78,45.5 85,43.5 89.5,44.5 | 89,48 83,50.5 77,53.5 72,57 |"),
    ),
    sickles=(),
    drapes=(
        outline(
            "28.5,24.5 32,25 35.5,31 38.5,37 43.5,42 48,47 | 45,46.5 | 44.5,50 | 41.5,48.5 | 40,52 | 37.5,49.5 |"
            " 35,52.5 | 33,49 | 30,50.5 | 28.4,46 28,41 27,36 27,31 |"
        ),
    ),
    comb=outline(
        "23,27.5 23,24.8 | 21.8,21.8 | 24.8,22.8 | 25.8,19 28.4,18.4 30.6,19.8 32.6,22.6 33,26 | 31.4,28.6 |"
        " 30.4,25.6 | 29,28 | 27.8,25 | 26.4,26.6 |"
    ),
    wattle=outline("24,32.6 22.8,35 22.8,38 24.2,40 26,38.6 26.5,35.4 26.4,33"),
    face=(26, 30),
    thigh=64,
)
WING = outline("40,47 47,43.5 56,44.5 64,47 70,51 | 75,56.5 | 69,58.5 60,61 50,61.5 43,58.5 39.5,53 |")


def draw(canvas: Canvas, sex: Sex, plumage: str, rng: Random) -> None:
    """A fowl in one of the three plumages, standing."""
    feathers = FEATHERS[plumage]
    figure = COCK if sex is Sex.COCK else HEN
    tail_colour = feathers.dark if sex is Sex.COCK else feathers.upper
    for feather in figure.tail:
        _feather(canvas, feather, tail_colour, feathers)
    _legs(canvas, feathers, figure.thigh, spurred=sex is Sex.COCK)
    body = canvas.lay(figure.body, feathers.upper, feathers.lower)
    if plumage == "black":
        for layer in range(5):
            canvas.lay(ellipse(34, 50, 3 + layer, 8 + 2 * layer), feathers.sheen, within=body, strength=0.07)
    _scales(canvas, body, feathers)
    wing = _wing(canvas, feathers)
    for feather in figure.sickles:
        _feather(canvas, feather, feathers.dark, feathers)
    drapes = [_drape(canvas, drape, feathers) for drape in figure.drapes]
    if plumage == "splash":
        for part in (body, wing, drapes[-1]):
            _splashes(canvas, part, rng)
    canvas.lay(figure.wattle, *COMB)
    _head(canvas, figure.face)
    canvas.lay(figure.comb, *COMB)


def _feather(canvas: Canvas, shape: Outline, fill: str, feathers: Feathers) -> None:
    covered = canvas.lay(shape, fill, feathers.edge)
    light = feathers.sheen if fill == feathers.dark else feathers.edge
    canvas.lay(rim(shape, 0.6), light, within=covered, strength=0.55)


def _drape(canvas: Canvas, shape: Outline, feathers: Feathers) -> Coverage:
    """Long narrow feathers lying over the body: hackle or saddle."""
    covered = canvas.lay(shape, feathers.dark)
    (left, top), (right, foot) = shape.min(axis=0), shape.max(axis=0)
    for strand in range(12):
        start = left + (right - left) * (0.1 + 0.05 * strand)
        end = left + (right - left) * (-0.1 + 0.1 * strand)
        middle = ((start + end) / 2 + 0.6, (top + foot) / 2)
        hair = stroke([(start, top), middle, (end, foot)], 0.55, 0.5)
        canvas.lay(hair, feathers.sheen, within=covered, strength=0.35)
    return covered


def _scales(canvas: Canvas, body: Coverage, feathers: Feathers) -> None:
    """The borders of the small feathers, row over row."""
    scale = line("-2,-1.2 -1.3,0.9 0,1.7 1.3,0.9 2,-1.2", 0.5)
    for row in range(11):
        for column in range(13):
            at = (26 + 4.2 * column + 2.1 * (row % 2), 39 + 3.1 * row)
            canvas.lay(scale + at, feathers.edge, within=body, strength=feathers.edging)


def _wing(canvas: Canvas, feathers: Feathers) -> Coverage:
    covered = canvas.lay(WING, feathers.upper, feathers.lower)
    for quill in (
        "46,54 58,54.2 74,54.6",
        "47,56.1 58,56.3 73,56.2",
        "48,58.2 58,58.4 72,57.8",
        "49,60.3 58,60.5 71,59.4",
    ):
        canvas.lay(line(quill, 0.5), feathers.edge, within=covered, strength=0.8)
    scale = line("-1.8,-1 -1,1 0,1.6 1,1 1.8,-1", 0.5)
    for row in range(2):
        for column in range(7):
            at = (42.5 + 3.6 * column + 1.8 * row, 47.5 + 2.7 * row + 0.35 * column)
            canvas.lay(scale + at, feathers.edge, within=covered, strength=0.6)
    canvas.lay(rim(WING, 0.6), feathers.edge, strength=0.7)
    return covered


def _splashes(canvas: Canvas, covered: Coverage, rng: Random) -> None:
    for _splash in range(60):
        x, y = 26 + 48 * rng.random(), 22 + 47 * rng.random()
        spot = ellipse(x, y, 0.5 + 1.3 * rng.random(), 0.4 + 0.9 * rng.random())
        canvas.lay(spot, SPLASHES[int(rng.random() * len(SPLASHES))], within=covered, strength=0.85)


def _legs(canvas: Canvas, feathers: Feathers, thigh: float, spurred: bool) -> None:
    """Both legs, the far one first; `thigh` is the height at which they leave the body."""
    for x, foot, shade in ((55, 88, FAR_SHANK), (48, 90, NEAR_SHANK)):
        canvas.lay(outline("-5,0 6,0 4,8 1.6,11 -1,10 -4,6", at=(x, thigh)), feathers.lower, feathers.edge)
        knee = (x - 0.4, (thigh + foot) / 2 + 5)
        canvas.lay(stroke([(x + 0.4, thigh + 9), knee, (x - 0.2, foot)], 1.9, 0.8), shade)
        for toe in (
            "0,-0.6 -3,0.2 -6,1.2",
            "0,-0.6 -2.2,0.6 -4.4,2.4",
            "0,-0.6 -0.5,0.7 -1,2.8",
            "0,-0.6 1.8,0 3.6,0.8",
        ):
            canvas.lay(line(toe, 1.5, 0.5, at=(x - 0.2, foot)), shade)
        if spurred:
            canvas.lay(line("0,-7 1.8,-7.6 3.2,-9", 1.3, 0.2, at=(x, foot)), shade)


def _head(canvas: Canvas, at: Point) -> None:
    """Face, ear lobe, beak and eye about the middle of the face."""
    x, y = at
    canvas.lay(outline("-3,-1 -0.5,-3.2 3,-2.6 4,0.6 2.4,3.6 -1,4 -3,2", at), *COMB)
    canvas.lay(ellipse(x + 3.7, y + 3.1, 1.9, 2.7), *LOBE)
    canvas.lay(outline("-2.6,-1.4 -5,-0.6 | -8,2.6 | -5,2.4 -2.6,2 |", at), *HORN)
    canvas.lay(ellipse(x + 0.4, y - 0.4, 1.25, 1.25), "#D98A3A")
    canvas.lay(ellipse(x + 0.3, y - 0.4, 0.7, 0.7), "#15191A")
    canvas.lay(ellipse(x + 0.05, y - 0.7, 0.22, 0.22), "#FFFFFF")
