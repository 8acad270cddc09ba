"""A call drake or duck of the wild colour: short bill, round head, blue wing bar."""

import numpy as np

from studbook.book.records import Sex
from studbook.demo.portraits.canvas import Canvas, Coverage, ellipse, line, outline, rim, stroke

GREEN = ("#3B6B52", "#1F4637")
CHESTNUT = ("#7A4A36", "#5F3628")
FLANK = ("#D9D6CC", "#BDBBB2")
GREY_WING = ("#9A968B", "#7B776D")
BROWN = ("#B08A5E", "#8D6A45")
FACE = ("#BD9A6F", "#A17D53")
DARK_BROWN = "#4E3A28"
BLACK = ("#22302B", "#171F1C")
WHITE = "#F7F3E8"
WING_BAR = ("#3B5FA0", "#2C4A82")
DRAKE_BILL = ("#DDBB45", "#B89428")
DUCK_BILL = ("#CB8D4E", "#A56D35")

BODY = outline(
    "27.5,55 26,61 27.5,69 33.5,75.5 43,79 55,79.5 66,77 75,71 80,63.5 84.5,56 | 77,56.5 70,52 61,49 52,49.5 44,52.5"
    " 38,55 33,52 |"
)
BREAST = outline("29.5,49 26.5,56 26.5,64 29.5,71 35,74 40.5,69 43,61 42.5,55 40.5,50.5 39,47")
HEAD = outline("24.5,43 25,35.5 30,30.5 36.5,30.8 41.5,36 42.3,43.5 39.4,49.6 32.8,51.4 27,49")
CAP = outline("25,36 30,30.5 36.5,30.8 41.5,36 42.2,42 | 36,36.6 30,35.4 |")
BILL = outline("25.2,42 22.6,42.8 20.2,44.6 20,46.4 22.2,47 25.2,46.4 27,45.6 |")
WING = outline("43,57 51,53.5 60,54 69,57.5 | 81,59.5 | 74,64.5 65,67.8 54,68 46,65 42,61 |")
RUMP = outline("70,54 77,57 | 84.5,56.5 | 80,64 75,70.5 69,74.5 66,68 67,60 |")


def draw(canvas: Canvas, sex: Sex) -> None:
    """A drake or a duck, swimming."""
    is_drake = sex is Sex.COCK
    if is_drake:
        _drake_body(canvas)
    else:
        body = np.maximum(canvas.cover(BODY), canvas.cover(BREAST))
        _crescents(canvas, canvas.lay(body, *BROWN))
        _crescents(canvas, canvas.lay(WING, *BROWN))
    canvas.lay(outline("61,57.5 71,58.5 70,64 60,65 |"), *WING_BAR, within=canvas.cover(WING))
    for border in ("61,57.5 60,65", "71,58.5 70,64"):
        canvas.lay(line(border, 0.8), WHITE)
    canvas.lay(rim(WING, 0.6), BLACK[0] if is_drake else DARK_BROWN, strength=0.6)
    if is_drake:
        _drake_head(canvas)
    else:
        _duck_head(canvas)
    canvas.lay(line("20.6,46 24,45.2 26.4,44.4", 0.4), DARK_BROWN, strength=0.6)
    canvas.lay(ellipse(31, 40, 1.4, 1.4), "#1A1512")
    canvas.lay(ellipse(30.6, 39.5, 0.4, 0.4), "#FFFFFF")


def _drake_body(canvas: Canvas) -> None:
    body = canvas.lay(BODY, *FLANK)
    for row in range(12):
        y = 54 + 2.1 * row
        wave = [(36.0 + 4 * step, y + (0.7 if step % 2 else -0.7)) for step in range(11)]
        canvas.lay(stroke(wave, 0.35), "#8F8C84", within=body, strength=0.55)
    canvas.lay(RUMP, *BLACK, within=body)
    for curl in ("80,57.5 83.5,53 81,50 79,51.5", "78,57 80.5,53.5 78.6,51 77,52.2"):
        canvas.lay(line(curl, 1.5, 0.6), BLACK[0])
    canvas.lay(BREAST, *CHESTNUT)
    canvas.lay(WING, *GREY_WING)


def _drake_head(canvas: Canvas) -> None:
    head = canvas.lay(HEAD, *GREEN)
    for layer in range(4):
        gleam = ellipse(34.5, 35.5, 2 + layer, 1 + 0.6 * layer)
        canvas.lay(gleam, "#8FC3A4", within=head, strength=0.1)
    canvas.lay(line("26.6,50.4 33,53 41,49.6", 1.8), WHITE)
    canvas.lay(BILL, *DRAKE_BILL)


def _duck_head(canvas: Canvas) -> None:
    head = canvas.lay(HEAD, *FACE)
    canvas.lay(CAP, DARK_BROWN, within=head, strength=0.75)
    canvas.lay(line("25,42.4 30,40.6 36,40.8 42,43", 1.1, 0.4), DARK_BROWN, within=head, strength=0.8)
    canvas.lay(BILL, *DUCK_BILL)


def _crescents(canvas: Canvas, body: Coverage) -> None:
    """The dark crescents on a duck's brown feathers."""
    crescent = line("-1.5,-0.8 -0.9,0.4 0,0.9 0.9,0.4 1.5,-0.8", 0.7)
    for row in range(13):
        for column in range(15):
            at = (26 + 4.4 * column + 2.2 * (row % 2), 48 + 2.6 * row)
            canvas.lay(crescent + at, DARK_BROWN, within=body, strength=0.7)
