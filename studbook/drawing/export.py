"""Writing a drawing to a file: SVG as it is, PDF and PNG by typst."""

import re
from datetime import date
from enum import Enum
from pathlib import Path
from typing import Literal

from studbook import places
from studbook.drawing.errors import DrawingRefused
from studbook.drawing.sheet import Drawing
from studbook.drawing.typefaces import lacks_character
from studbook.words import _

POINTS_PER_PIXEL = 0.75
PIXELS_PER_INCH = 144.0
_PAPER_MARGIN = 28.35


class Paper(Enum):
    """A sheet to print on: its short and its long side in points."""

    A4 = (595.28, 841.89)
    LETTER = (612.0, 792.0)


def write_drawing(
    drawing: Drawing, path: Path, *, on: date | None = None, paper: Paper | None = None
) -> None:
    """Write a drawing as its file name asks: ``.svg``, ``.pdf`` or ``.png``.

    A PDF says it was made `on` that day (today when not given) and has the drawing's own size; with
    `paper` it is one sheet, turned as the drawing is, with the drawing scaled to fit.

    Raises
    ------
    DrawingRefused
        If the ending is none of the three, a character has no font, or the file cannot be written.
    """
    on = on or date.today()
    match path.suffix.lower():
        case ".svg":
            content = drawing.svg.encode("utf-8")
        case ".pdf":
            content = pdf_bytes(drawing, on=on, paper=paper)
        case ".png":
            content = png_bytes(drawing, on=on)
        case _:
            raise DrawingRefused(
                _("{file} cannot be written: give it a name that ends in .svg, .pdf or .png.").format(
                    file=path.name
                )
            )
    try:
        path.write_bytes(content)
    except OSError as error:
        raise DrawingRefused(
            _("{file} could not be written: {reason}.").format(file=path, reason=error.strerror)
        ) from error


def pdf_bytes(drawing: Drawing, *, on: date, paper: Paper | None = None) -> bytes:
    """The drawing as a PDF/A-2b of one page, fonts embedded; raises as `write_drawing`."""
    width, height, margin = drawing.width * POINTS_PER_PIXEL, drawing.height * POINTS_PER_PIXEL, 0.0
    if paper:
        short, long = paper.value
        width, height = (long, short) if drawing.width >= drawing.height else (short, long)
        margin = _PAPER_MARGIN
    return _compile(drawing, "pdf", on, width, height, margin)


def png_bytes(drawing: Drawing, *, on: date) -> bytes:
    """The drawing as a picture with two pixels for each of the drawing's; raises as `write_drawing`."""
    # only PDF/A tells of a character without a font, a picture would show nothing in its place
    pdf_bytes(drawing, on=on)
    return _compile(drawing, "png", on, drawing.width, drawing.height, 0.0)


def _compile(
    drawing: Drawing, kind: Literal["pdf", "png"], on: date, width: float, height: float, margin: float
) -> bytes:
    import typst  # imported when something is printed, never at the start of the program

    inputs = {
        "svg": drawing.svg,
        "title": drawing.title,
        "on": on.isoformat(),
        "width": f"{width:.2f}",
        "height": f"{height:.2f}",
        "margin": f"{margin:.2f}",
    }
    page = places.resource("drawing", "page.typ")

    def pages(*, bundled_only: bool) -> bytes:
        return typst.compile(
            page,
            root=page.parent,
            font_paths=[places.resource("fonts")],
            ignore_system_fonts=bundled_only,
            format=kind,
            ppi=PIXELS_PER_INCH,
            sys_inputs=inputs,
            pdf_standards="a-2b",
        )

    # the system's fonts are asked only for characters that the bundled two lack
    if not lacks_character(drawing.svg):
        return pages(bundled_only=True)
    try:
        return pages(bundled_only=False)
    except typst.TypstError as error:
        lacking = re.search(r'the text `"(.+?)"` could not be displayed', error.message)
        if not lacking:
            raise
        raise DrawingRefused(
            _(
                "No font on this computer has the character {character}. Install one, or change the name."
            ).format(character=lacking[1])
        ) from error
