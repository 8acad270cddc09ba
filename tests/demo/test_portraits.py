"""Drawing: outlines cover what they should, and the files hold the pixels they were given."""

import zlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from studbook.book.records import Sex
from studbook.demo.portraits import portrait
from studbook.demo.portraits.canvas import Canvas, ellipse, line, outline
from studbook.demo.portraits.png import png


def pixels_of(content: bytes) -> np.ndarray:
    """The pixels of a PNG file with a palette, read by the standard library's zlib."""
    chunks: dict[bytes, bytes] = {}
    place = 8
    while place < len(content):
        length = int.from_bytes(content[place : place + 4], "big")
        kind, data = content[place + 4 : place + 8], content[place + 8 : place + 8 + length]
        assert zlib.crc32(kind + data) == int.from_bytes(
            content[place + 8 + length : place + 12 + length], "big"
        )
        chunks[kind] = data
        place += 12 + length
    width, height = (int.from_bytes(chunks[b"IHDR"][start : start + 4], "big") for start in (0, 4))
    palette = np.frombuffer(chunks[b"PLTE"], np.uint8).reshape(-1, 3)
    rows = np.frombuffer(zlib.decompress(chunks[b"IDAT"]), np.uint8).reshape(height, width + 1)
    return palette[rows[:, 1:]]


def test_a_square_covers_its_pixels_and_half_of_those_it_halves() -> None:
    covered = Canvas(10, "#000000").cover(outline("20,20 | 55,20 | 55,40 | 20,40 |"))
    assert covered[2:4, 2:5].tolist() == [[1, 1, 1]] * 2
    assert covered[2:4, 5].tolist() == [0.5, 0.5]
    assert covered.sum() == pytest.approx(7)


def test_an_ellipse_has_the_area_of_one() -> None:
    covered = Canvas(200, "#000000").cover(ellipse(50, 50, 30, 20))
    assert covered.sum() / 4 == pytest.approx(np.pi * 30 * 20, rel=0.005)


def test_a_line_is_as_wide_as_asked_and_may_leave_the_picture() -> None:
    covered = Canvas(100, "#000000").cover(line("-20,50 120,50", 4))
    assert covered.sum(axis=0).tolist() == pytest.approx([4] * 100)


def test_an_outline_left_open_at_a_sharp_point_is_refused() -> None:
    with pytest.raises(ValueError, match="sharp"):
        outline("0,0 | 10,10 20,0")


def test_colour_fades_from_above_to_below() -> None:
    canvas = Canvas(10, "#FFFFFF")
    canvas.lay(outline("0,0 | 100,0 | 100,100 | 0,100 |"), "#000000", "#909090")
    column = canvas.pixels()[:, 4, 0].tolist()
    assert column[0] == 0
    assert column[-1] == 0x90
    assert column == sorted(column)


@settings(max_examples=60, deadline=None)
@given(arrays(np.uint8, st.tuples(st.integers(1, 12), st.integers(1, 12)), elements=st.integers(0, 200)))
def test_a_file_holds_the_pixels_it_was_given(grey: np.ndarray) -> None:
    pixels = np.stack([grey, grey, 255 - grey], axis=2)
    shown = pixels_of(png(pixels)).astype(int)
    assert np.abs(shown - pixels).max() <= 2  # colours that close are taken as one


def test_long_runs_survive_packing() -> None:
    pixels = np.full((40, 700, 3), 101, np.uint8)
    pixels[:, 350:] = 41
    pixels[20, ::7] = 1
    assert np.abs(pixels_of(png(pixels)).astype(int) - pixels).max() <= 2


def test_a_picture_repeats_and_differs_by_bird() -> None:
    first = portrait("chicken", Sex.HEN, "blue", "Rowan")
    assert first == portrait("chicken", Sex.HEN, "blue", "Rowan")
    assert first.content != portrait("chicken", Sex.HEN, "blue", "Comfrey").content
    assert pixels_of(first.content).shape == (first.height, first.width, 3)
    assert pixels_of(first.thumbnail).shape == (first.height // 2, first.width // 2, 3)


def test_a_drake_is_green_headed_and_a_duck_is_not() -> None:
    drake, duck = (
        pixels_of(portrait("duck", sex, "mallard", "x").content).astype(int) for sex in (Sex.COCK, Sex.HEN)
    )

    def green_in_head(pixels: np.ndarray) -> int:
        head = pixels[150:230]
        return int(((head[..., 1] > head[..., 0] + 25) & (head[..., 0] < 80)).sum())

    assert green_in_head(drake) > 1000
    assert green_in_head(duck) == 0
