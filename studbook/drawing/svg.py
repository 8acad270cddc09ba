"""Painting SVG: plain shapes, hairlines and real text, nothing a simple viewer cannot draw."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from studbook.drawing.typefaces import Measure, families, typeface

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

_DOTTED = "0.6 3.2"


def plain(text: str) -> str:
    """`text` on one line, without the characters XML does not allow."""
    return " ".join(_NOT_XML.sub("", text).split())


def _number(value: float) -> str:
    """A coordinate with two decimals at most, the same on every machine."""
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def _dash(dotted: bool) -> dict[str, str]:
    return {"stroke_dasharray": _DOTTED, "stroke_linecap": "round"} if dotted else {}


class Canvas:
    """A sheet to paint on; y grows downwards, units are CSS pixels."""

    def __init__(self, measure: Measure) -> None:
        self._measure = measure
        self._elements: list[str] = []

    def _element(self, name: str, **attributes: str | float) -> str:
        written = (
            f"{key.replace('_', '-')}={quoteattr(value if isinstance(value, str) else _number(value))}"
            for key, value in attributes.items()
        )
        return " ".join((name, *written))

    def _add(self, name: str, **attributes: str | float) -> None:
        self._elements.append(f"<{self._element(name, **attributes)}/>")

    @contextmanager
    def group(self, name: str, title: str) -> Iterator[None]:
        """What is painted inside belongs together; `title` says what it is to readers that speak."""
        self._elements.append(f"<g {self._element('', id=name).strip()}>")
        self._elements.append(f"<title>{escape(plain(title))}</title>")
        yield
        self._elements.append("</g>")

    def line(self, x1: float, y1: float, x2: float, y2: float, colour: str, *, width: float = 1) -> None:
        """A straight solid line."""
        self.path(f"M{_number(x1)} {_number(y1)}L{_number(x2)} {_number(y2)}", colour, width=width)

    def path(self, steps: str, colour: str, *, width: float = 1, dotted: bool = False) -> None:
        """An open path; `steps` is SVG path data."""
        self._add("path", d=steps, fill="none", stroke=colour, stroke_width=width, **_dash(dotted))

    def polygon(
        self,
        points: list[tuple[float, float]],
        fill: str,
        stroke: str = "none",
        *,
        width: float = 1,
        dotted: bool = False,
    ) -> None:
        """A closed shape."""
        written = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
        self._add("polygon", points=written, fill=fill, stroke=stroke, stroke_width=width, **_dash(dotted))

    def circle(
        self,
        x: float,
        y: float,
        radius: float,
        fill: str,
        stroke: str = "none",
        *,
        width: float = 1,
        dotted: bool = False,
    ) -> None:
        """A circle around (x, y)."""
        self._add(
            "circle", cx=x, cy=y, r=radius, fill=fill, stroke=stroke, stroke_width=width, **_dash(dotted)
        )

    def rectangle(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        *,
        fill: str = "none",
        stroke: str = "none",
        stroke_width: float = 1,
        radius: float = 0,
    ) -> None:
        """A rectangle with round corners of `radius`."""
        self._add(
            "rect",
            x=x,
            y=y,
            width=width,
            height=height,
            rx=radius,
            fill=fill,
            stroke=stroke,
            stroke_width=stroke_width,
        )

    def text(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        colour: str,
        *,
        serif: bool = False,
        bold: bool = False,
    ) -> None:
        """`text` from `x` on with its base line at `y`, as text that can be searched and copied.

        Characters the bundled face lacks become elements of their own, since some viewers change the
        typeface of a whole element for one of them.
        """
        text, face = plain(text), typeface(serif=serif, bold=bold)
        for _known, characters in groupby(enumerate(text), key=lambda at: face.has(at[1])):
            run = list(characters)
            start, written = run[0][0], "".join(character for _at, character in run)
            lead = len(written) - len(written.lstrip())
            before = self._measure(text[: start + lead], size, serif=serif, bold=bold)
            head = self._element(
                "text",
                x=x + before,
                y=y,
                font_family=f"'{families().serif if serif else families().sans}'",
                font_size=size,
                font_weight="600" if bold else "400",
                fill=colour,
            )
            self._elements.append(f"<{head}>{escape(written.strip())}</text>")

    def svg(self, width: float, height: float, ground: str, title: str) -> str:
        """The whole document on a ground of one colour."""
        head = self._element(
            "svg",
            xmlns="http://www.w3.org/2000/svg",
            width=width,
            height=height,
            viewBox=f"0 0 {_number(width)} {_number(height)}",
        )
        ground_rect = self._element("rect", width=width, height=height, fill=ground)
        return "\n".join(
            (
                f"<{head}>",
                f"<title>{escape(plain(title))}</title>",
                f"<{ground_rect}/>",
                *self._elements,
                "</svg>",
                "",
            )
        )
