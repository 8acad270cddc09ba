"""Painting a family graph: time flows to the right and every bird stands once."""

from collections.abc import Collection

from studbook.book.records import BirdId, Sex
from studbook.drawing.card import (
    CARD_HEIGHT,
    DETAIL_SIZE,
    NAME_SIZE,
    SHAPE_SIZE,
    inbreeding_text,
    outline_shape,
)
from studbook.drawing.family import Family, parents
from studbook.drawing.layout import Couple, Curve, Graph, family_graph
from studbook.drawing.sheet import HEAD_HEIGHT, MARGIN, Drawing, Sheet, weight_text
from studbook.drawing.worker import LayoutWorker
from studbook.words import _

_SHAPE_AIR = 4.0
_LINE_AIR = 8.0
_TEXT_LEFT = SHAPE_SIZE + 8
_ACCENT_WIDTH = 1.8


def paint_family(
    sheet: Sheet,
    family: Family,
    subjects: Collection[BirdId],
    title: str,
    worker: LayoutWorker,
    kinship: float | None = None,
) -> Drawing:
    """Paint a family, the birds it is about in bold; `kinship` is the F of the pair's chicks to come."""
    cards = {bird: sheet.card(bird, bold=bird in subjects) for bird in family.generations}
    chicks_text = _("their chicks")
    chicks_width = _SHAPE_AIR + _TEXT_LEFT + sheet.measure(chicks_text, NAME_SIZE, serif=True)
    width = _SHAPE_AIR + max(card.width for card in cards.values()) + _LINE_AIR
    graph = family_graph(
        sheet.snapshot, family, width, CARD_HEIGHT, chicks_width, worker,
        left=MARGIN - _SHAPE_AIR, top=MARGIN + HEAD_HEIGHT,
    )  # fmt: skip
    for curve in graph.curves:
        _paint_curve(sheet, curve, curve.steps, family)
    for bird, (x, y) in graph.middles.items():
        start, end = x - width / 2 + _SHAPE_AIR + cards[bird].width + _LINE_AIR, x + width / 2
        leaving = [curve for curve in graph.curves if curve.parents == (bird,)]
        if leaving and start < end:
            _paint_curve(
                sheet,
                max(leaving, key=lambda c: (_is_on_line(c, family), c.is_certain and not c.is_plan)),
                f"M{start:g} {y:g}H{end:g}",
                family,
            )
    for couple, (x, y) in graph.knots.items():
        on_line = not family.lines.isdisjoint(couple) and _has_line_below(graph, couple, family)
        sheet.canvas.circle(x, y, 2, sheet.colours.comb if on_line else sheet.colours.faint)
    for weight, (x, y) in graph.weights:
        text = weight_text(weight)
        sheet.note(x - sheet.measure(text, DETAIL_SIZE) / 2, y + 4, text)
    for bird, (x, y) in graph.middles.items():
        back = family.generations[bird]
        sheet.place(cards[bird], x - width / 2 + _SHAPE_AIR, y, back, accent=bird in family.common)
    if graph.chicks:
        x, y = graph.chicks[0] - chicks_width / 2 + _SHAPE_AIR, graph.chicks[1]
        ink = sheet.colours.faint
        outline_shape(sheet.canvas, x + SHAPE_SIZE / 2, y, Sex.UNKNOWN, ink, sheet.colours.paper, dotted=True)
        expected = inbreeding_text(kinship)
        base = y - 3.5 if expected else y + 5
        sheet.canvas.text(x + _TEXT_LEFT, base, chicks_text, NAME_SIZE, sheet.colours.ink, serif=True)
        if expected:
            sheet.note(x + _TEXT_LEFT, y + 15, expected)
    _note_lines(sheet, family)
    return sheet.finish(graph.right, graph.bottom + 20, title)


def _note_lines(sheet: Sheet, family: Family) -> None:
    for chick in family.generations:
        for side in parents(sheet.snapshot, chick):
            for parent in side:
                if parent.bird in family.generations and parent.bird is not None:
                    sheet.join(parent.bird, chick, parent.weight)


def _paint_curve(sheet: Sheet, curve: Curve, steps: str, family: Family) -> None:
    """A line in the accent when it carries a common ancestor's blood to the pair, dotted when in doubt."""
    accent = _is_on_line(curve, family)
    colour = sheet.colours.comb if accent else sheet.colours.faint
    dotted = curve.is_plan or not curve.is_certain
    sheet.canvas.path(steps, colour, width=_ACCENT_WIDTH if accent else 1, dotted=dotted)


def _is_on_line(curve: Curve, family: Family) -> bool:
    below = curve.is_plan or not family.lines.isdisjoint(curve.chicks)
    return below and not family.lines.isdisjoint(curve.parents)


def _has_line_below(graph: Graph, couple: Couple, family: Family) -> bool:
    return any(curve.parents == couple and _is_on_line(curve, family) for curve in graph.curves)
