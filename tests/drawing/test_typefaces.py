"""Widths and characters read from the bundled fonts, against another reader of the same files."""

import pytest
from PySide6.QtGui import QGuiApplication, QRawFont

from studbook import places
from studbook.drawing.typefaces import lacks_character, printed_width, typeface


@pytest.mark.parametrize(
    ("file", "serif", "bold"),
    [
        ("SourceSans3-Regular", False, False),
        ("SourceSans3-Semibold", False, True),
        ("Vollkorn-Regular", True, False),
        ("Vollkorn-SemiBold", True, True),
    ],
)
def test_widths_agree_with_another_reader(qapp: QGuiApplication, file: str, serif: bool, bold: bool) -> None:
    font = QRawFont(str(places.resource("fonts", f"{file}.ttf")), 1000.0)
    for text in ("Bramble", "W21-04", "Éowen Straße Łódź", "F 12.5 % · blue"):
        glyphs = font.glyphIndexesForString(text)
        expected = sum(advance.x() for advance in font.advancesForGlyphIndexes(glyphs))
        assert printed_width(text, 1000, serif=serif, bold=bold) == pytest.approx(expected, rel=0.01)


def test_figures_of_the_sans_are_tabular() -> None:
    widths = {printed_width(digit, 12, bold=bold) for digit in "0123456789" for bold in (True, False)}
    assert len(widths) <= 2


def test_foreign_characters_are_known_to_be_missing() -> None:
    assert not lacks_character("Éowen Straße ø ß Łódź…")
    assert lacks_character("日本")
    assert not typeface(serif=True).has("日")
    assert printed_width("日本", 10, serif=True) == 20
