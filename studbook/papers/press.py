"""The press: a typst template and its data in, a page as PDF, SVG or PNG out.

Data reaches the template as JSON, never as source, and the template sees nothing but its own folder
and the pictures handed in. Pages are set in the program's own typefaces; only when these lack a
character are the system's asked, and a character nobody has is an error, never a blank.
"""

import json
import re
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import typst

from studbook.book.errors import StudbookError
from studbook.places import resource
from studbook.words import _

PREVIEW_PPI = 144
_MISSING = re.compile(r'the text `"(?P<text>.+?)"` could not be displayed', re.DOTALL)
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")


class Unprintable(StudbookError):  # noqa: N818 - says what the page is
    """A page that cannot be printed as it is: one sentence names the character or picture at fault."""


def print_pdf(template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes] | None = None) -> bytes:
    """The page as PDF/A-2b with its fonts embedded: the same bytes for the same data.

    Parameters
    ----------
    template
        The name of a template in ``resources/papers``.
    data
        What it prints; must be fit for JSON.
    pictures
        Files the template may show, by the name the data gives them.

    Raises
    ------
    Unprintable
        If no font at hand has a character, or a picture cannot be read.
    """
    pages, _own = _set(template, data, pictures or {})
    return pages


def preview(
    template: str,
    data: Mapping[str, Any],
    pictures: Mapping[str, bytes] | None = None,
    picture_format: str = "png",
    ppi: float = PREVIEW_PPI,
) -> tuple[bytes, ...]:
    """The pages as pictures (``svg`` or ``png``), just as `print_pdf` would print them.

    Raises
    ------
    Unprintable
        As `print_pdf` does: what cannot be printed is not shown either.
    """
    pictures = pictures or {}
    _pdf, own_fonts = _set(template, data, pictures)
    result = _compile(template, data, pictures, own_fonts, format=picture_format, ppi=ppi)
    return tuple(result) if isinstance(result, list) else (result,)


def _set(template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes]) -> tuple[bytes, bool]:
    """The PDF, and whether the program's own fonts were enough for it."""
    try:
        return _pdf(template, data, pictures, own_fonts=True), True
    except _GlyphMissing:
        pass
    try:
        return _pdf(template, data, pictures, own_fonts=False), False
    except _GlyphMissing as missing:
        raise Unprintable(
            _(
                "No font on this computer has the character “{character}” (U+{code}): write it another way."
            ).format(character=missing.character, code=f"{ord(missing.character):04X}")
        ) from missing


class _GlyphMissing(Exception):  # noqa: N818 - never leaves this module
    def __init__(self, character: str) -> None:
        super().__init__(character)
        self.character = character


def _pdf(template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes], *, own_fonts: bool) -> bytes:
    try:
        page: bytes = _compile(template, data, pictures, own_fonts, format="pdf", pdf_standards=["a-2b"])
    except typst.TypstError as error:
        if missing := _MISSING.search(error.message):
            text = _ESCAPED.sub(lambda code: chr(int(code[1], 16)), missing["text"])
            raise _GlyphMissing(text[0]) from error
        if error.message.startswith("failed to decode image"):
            raise Unprintable(
                _("The picture cannot be printed: it is damaged or of a kind that cannot be read.")
            ) from error
        raise
    return page


def _compile(
    template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes], own_fonts: bool, **output: Any
) -> Any:
    with tempfile.TemporaryDirectory(prefix="studbook-press-") as folder:
        root = Path(folder)
        for part in resource("papers").iterdir():
            root.joinpath(part.name).write_bytes(part.read_bytes())
        for name, content in pictures.items():
            root.joinpath(name).write_bytes(content)
        root.joinpath("data.json").write_text(json.dumps(_on_lines(data)), encoding="utf-8")
        return typst.compile(root / template, root=root, font_paths=_fonts(own_fonts), **output)


def _on_lines(data: Any) -> Any:
    """The data with every text on one line: a line break in a name would push others out of place."""
    if isinstance(data, str):
        return " ".join(data.split()) if not data.isprintable() else data
    if isinstance(data, Mapping):
        return {key: _on_lines(value) for key, value in data.items()}
    return [_on_lines(value) for value in data] if isinstance(data, list) else data


@cache
def _fonts(own: bool) -> typst.Fonts:
    return typst.Fonts(
        include_system_fonts=not own, include_embedded_fonts=not own, font_paths=[resource("fonts")]
    )


@cache
def look() -> dict[str, Any]:
    """The colours and typefaces every paper shares with the window, ready to be a part of the data."""
    colours = json.loads(resource("look.json").read_text(encoding="utf-8"))["light"]
    families = json.loads(resource("fonts", "families.json").read_text(encoding="utf-8"))
    return {"colours": colours, "fonts": families}
