"""What stands round the bird: a round window on a hill and a hedge, grass or water."""

from random import Random

from studbook.demo.portraits.canvas import Canvas, Coverage, ellipse, line, outline, stroke

PAPER = "#FBF8F1"
INK = "#22302B"
LIGHTS = (("#F3E6C8", "#E7DDBE"), ("#E4E8DC", "#F1E7CE"), ("#EBDDCB", "#F4EBD8"), ("#DCE4E6", "#EFE8D6"))
"""The sky of a day from above to the horizon."""

_WINDOW = ellipse(50, 50, 46, 46)
_PANE = ellipse(50, 50, 45.4, 45.4)


def draw_window(canvas: Canvas, rng: Random) -> None:
    """The sky, a far hill, a near one with a hedge along it, and the window's rim."""
    window = canvas.lay(_WINDOW, *LIGHTS[int(rng.random() * len(LIGHTS))])
    rise = rng.random() * 8
    far = outline(
        f"-5,{62 - rise} 18,{57 - rise} 40,61 62,{56 + rise} 84,60 110,{55 + rise} | 110,110 | -5,110 |"
    )
    canvas.lay(far, "#C3CBB0", "#B3BF9E", within=window)
    near = outline(
        f"-5,{68 + rise / 2} 25,70 55,{66 - rise / 3} 80,69 110,{66 - rise / 2} | 110,110 | -5,110 |"
    )
    canvas.lay(near, "#A3B189", "#90A277", within=window)
    for bush in range(9):
        x = 4 + 11.5 * bush + 4 * rng.random()
        high = 2.2 + 2.6 * rng.random()
        wide = 5 + 2 * rng.random()
        canvas.lay(ellipse(x, 69 - high / 2, wide, high), "#7F9468", "#72885D", within=window)
    canvas.lay(canvas.cover(_WINDOW) - canvas.cover(_PANE), INK, strength=0.75)


def draw_grass(canvas: Canvas) -> None:
    """The ground a fowl stands on."""
    ground = outline("-5,83 30,81 70,82 105,84 | 105,110 | -5,110 |")
    canvas.lay(ground, "#8B9A66", "#76875A", within=_pane(canvas))


def draw_tufts(canvas: Canvas, rng: Random) -> None:
    """Tufts of grass before a fowl's feet."""
    pane = _pane(canvas)
    for tuft in range(16):
        root = (10 + 5.2 * tuft + 3 * rng.random(), 88 + 5 * rng.random())
        for lean in (-1.6, 0.2, 1.7):
            tip = -4.4 - rng.random()
            blade = stroke([(0, 0), (lean * 0.4, -2.4), (lean * 1.5, tip)], 0.8, 0.1) + root
            canvas.lay(blade, "#5F7148", within=pane)


def draw_water(canvas: Canvas) -> None:
    """The pond a duck swims on."""
    pond = outline("-5,73 30,72 70,72.5 105,73 | 105,110 | -5,110 |")
    canvas.lay(pond, "#B9CBCB", "#8FA9AC", within=_pane(canvas))


def draw_ripples(canvas: Canvas) -> None:
    """The water before a duck, over its waterline."""
    pane = _pane(canvas)
    before = outline("20,74.5 34,73 46,75.5 58,74 70,75.5 84,73.5 | 90,84 | 50,88 | 18,82 |")
    canvas.lay(before, "#A6BCBE", "#93ACAF", within=pane)
    for wave in (
        "24,76 38,75.3 52,76.3 66,75.4 80,76",
        "18,80 32,79.3 45,80.3 59,79.4 72,80",
        "34,84 47,83.3 59,84.3 72,83.4 84,84",
        "28,88 38,87.3 47,88.3 57,87.4 66,88",
    ):
        canvas.lay(line(wave, 0.6, 0.3), "#E4ECEB", within=pane, strength=0.8)


def _pane(canvas: Canvas) -> Coverage:
    return canvas.cover(_PANE)
