"""The contrast of what can be read, measured on the tokens (WCAG 2.2)."""

import itertools

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication

from studbook import places
from studbook.book.records import Mark, MarkId, MarkKind
from studbook.desk.look import RING_COLOURS, contrast, look, read_look
from studbook.desk.theme import Choice, Theme, Type, font, length
from studbook.desk.widgets.chips import chip_ground

both = pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])


def test_contrast_is_that_of_the_standard() -> None:
    # WCAG 2.2, definition of contrast ratio: black on white is 21, equal colours are 1
    black, white = QColor(Qt.GlobalColor.black), QColor(Qt.GlobalColor.white)
    assert contrast(black, white) == pytest.approx(21)
    assert contrast(white, white) == pytest.approx(1)


@both
def test_ink_stands_out_wherever_it_is_written(dark: bool) -> None:
    worn = read_look(dark)
    for ground in (worn.paper, worn.sheet, worn.hover, worn.selection):
        assert contrast(worn.ink, ground) >= 7


@both
@pytest.mark.parametrize("token", ["faint", "comb", "moss", "straw", "slate"])
def test_coloured_and_disabled_text_can_be_read(dark: bool, token: str) -> None:
    worn = read_look(dark)
    for ground in (worn.paper, worn.sheet):
        assert contrast(getattr(worn, token), ground) >= 4.5


@both
def test_text_on_the_primary_button_can_be_read(dark: bool) -> None:
    worn = read_look(dark)
    assert contrast(worn.on_comb, worn.comb) >= 4.5


@both
def test_the_focus_colour_stands_out(dark: bool) -> None:
    # WCAG 2.2, success criterion 1.4.11: 3 for what is not text
    worn = read_look(dark)
    assert min(contrast(worn.comb, ground) for ground in (worn.paper, worn.sheet)) >= 3


@both
def test_a_figure_can_be_read_on_every_tint(dark: bool) -> None:
    worn = read_look(dark)
    for kinship in (step / 1000 for step in range(0, 501, 5)):
        tint = worn.tint(kinship)
        assert contrast(worn.ink_on(tint), tint) >= 4.5, kinship


@both
def test_more_related_is_further_along_the_scale(dark: bool) -> None:
    worn = read_look(dark)
    shades = [worn.tint(kinship).lightnessF() for kinship in (0.0, 0.0625, 0.125, 0.25, 0.375)]
    steps = [after - before for before, after in itertools.pairwise(shades)]
    assert all(step > 0 for step in steps) if dark else all(step < 0 for step in steps)
    assert worn.tint(0.5) == worn.tint(0.375)


@pytest.mark.parametrize("colour", sorted(RING_COLOURS))
@pytest.mark.parametrize("choice", [Choice.LIGHT, Choice.DARK])
def test_a_code_can_be_read_on_a_ring_of_any_colour(theme: Theme, colour: str, choice: Choice) -> None:
    theme.choose(choice)
    ground = chip_ground(Mark(MarkId("m"), MarkKind.RING, "W26-01", colour=colour))
    assert contrast(look().ink, ground) >= 7


def test_the_chosen_look_reaches_the_palette_at_once(theme: Theme, qapp: QApplication) -> None:
    theme.choose(Choice.DARK)
    assert qapp.palette().window().color() == read_look(True).paper
    theme.choose(Choice.LIGHT)
    assert qapp.palette().window().color() == read_look(False).paper


def test_larger_text_makes_lengths_and_fonts_larger(theme: Theme) -> None:
    before, height = font(Type.BODY).pixelSize(), length(32)
    theme.choose(Choice.LIGHT, 2.0)
    assert font(Type.BODY).pixelSize() == 2 * before
    assert length(32) == 2 * height


def test_the_bundled_typefaces_are_used(theme: Theme) -> None:
    assert font(serif=True).families()[0] == "Vollkorn"
    assert font().families()[0] == "Source Sans 3"


def test_every_icon_takes_its_colour_from_the_look() -> None:
    icons = sorted(places.resource("icons").glob("*.svg"))
    assert icons
    assert [icon.name for icon in icons if "currentColor" not in icon.read_text()] == []
    assert "MIT License" in places.resource("icons", "LICENSE.txt").read_text()
