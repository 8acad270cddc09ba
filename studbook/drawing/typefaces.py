"""The two bundled typefaces: their family names, their characters and how wide a text runs in them."""

import json
import struct
import unicodedata
from bisect import bisect_right
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Protocol

from studbook import places


class Measure(Protocol):
    """Gives the width of a text in pixels at `size` pixels to the em."""

    def __call__(self, text: str, size: float, *, serif: bool = False, bold: bool = False) -> float: ...


@dataclass(frozen=True)
class Families:
    """The family names: serif for names and headings, sans for figures and details."""

    serif: str
    sans: str


@cache
def families() -> Families:
    """The families bundled in ``resources/fonts``."""
    names = json.loads(places.resource("fonts", "families.json").read_text(encoding="utf-8"))
    return Families(names["serif"], names["sans"])


class Typeface:
    """The characters and advance widths of one OpenType file, in parts of the em.

    Raises
    ------
    ValueError
        If the file has no Unicode character table of format 12.
    """

    def __init__(self, path: Path) -> None:
        content = path.read_bytes()
        tables: dict[bytes, int] = {}
        for number in range(struct.unpack_from(">H", content, 4)[0]):
            tag, _checksum, offset, _length = struct.unpack_from(">4sIII", content, 12 + 16 * number)
            tables[tag] = offset
        self._starts, self._groups = _character_groups(content, tables[b"cmap"], path)
        em = float(struct.unpack_from(">H", content, tables[b"head"] + 18)[0])
        advance_count: int = struct.unpack_from(">H", content, tables[b"hhea"] + 34)[0]
        pairs = struct.unpack_from(f">{2 * advance_count}H", content, tables[b"hmtx"])
        self._advances: list[float] = [advance / em for advance in pairs[::2]]

    def _glyph(self, character: str) -> int:
        code = ord(character)
        at = bisect_right(self._starts, code) - 1
        if at < 0:
            return 0
        first, last, glyph = self._groups[at]
        return glyph + code - first if code <= last else 0

    def has(self, character: str) -> bool:
        """True when the file holds a glyph for `character`."""
        return self._glyph(character) != 0

    def advance(self, character: str) -> float:
        """How far `character` moves the pen, in ems; guessed on the wide side when it is missing."""
        glyph = self._glyph(character)
        if glyph:
            return self._advances[min(glyph, len(self._advances) - 1)]
        if unicodedata.combining(character):
            return 0.0
        return 1.0 if unicodedata.east_asian_width(character) in "WF" else 0.7


def _character_groups(content: bytes, table: int, path: Path) -> tuple[list[int], list[tuple[int, int, int]]]:
    for number in range(struct.unpack_from(">H", content, table + 2)[0]):
        _platform, _encoding, offset = struct.unpack_from(">HHI", content, table + 4 + 8 * number)
        start = table + offset
        if struct.unpack_from(">H", content, start)[0] == 12:
            count: int = struct.unpack_from(">I", content, start + 12)[0]
            groups = [struct.unpack_from(">III", content, start + 16 + 12 * group) for group in range(count)]
            return [first for first, _last, _glyph in groups], [(a, b, glyph) for a, b, glyph in groups]
    raise ValueError(f"{path.name} has no Unicode character table of format 12")


@cache
def typeface(*, serif: bool = False, bold: bool = False) -> Typeface:
    """The bundled face; bold is the semi-bold cut of its family."""
    family = families().serif if serif else families().sans
    stem = family.replace(" ", "")
    cut = "Semi[Bb]old" if bold else "Regular"
    return Typeface(next(iter(places.resource("fonts").glob(f"{stem}-{cut}.ttf"))))


def printed_width(text: str, size: float, *, serif: bool = False, bold: bool = False) -> float:
    """The width of `text` in the bundled typeface, kerning left out."""
    face = typeface(serif=serif, bold=bold)
    return size * sum(face.advance(character) for character in text)


def lacks_character(text: str) -> bool:
    """True when `text` holds a character that one of the bundled faces has no glyph for."""
    faces = [typeface(serif=serif, bold=bold) for serif in (False, True) for bold in (False, True)]
    return not all(face.has(character) for character in set(text) - {"\n"} for face in faces)
