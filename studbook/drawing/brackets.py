"""Painting an ancestor chart: generations step to the right, each bird between its sire and its dam."""

from studbook.book.records import Sex
from studbook.drawing.card import SHAPE_SIZE, outline_shape
from studbook.drawing.layout import Branch, Missing, stack
from studbook.drawing.sheet import HEAD_HEIGHT, MARGIN, Drawing, Sheet, weight_text
from studbook.words import _

_COLUMN_HEAD_HEIGHT = 26.0
_COLUMN_GAP = 60.0
_SPINE_BEFORE_COLUMN = 38.0
_LINE_AIR = 8.0
_SHAPE_AIR = 4.0
_POINTER = 12.0
_STUB_TEXT = SHAPE_SIZE + 8


def generation_text(back: int) -> str:
    """What the ancestors of one column are to the bird the chart is about."""
    return {
        0: "",
        1: _("parents"),
        2: _("grandparents"),
        3: _("great-grandparents"),
    }.get(back, _("{number} generations back").format(number=back))


def paint_ancestors(sheet: Sheet, root: Branch, title: str) -> Drawing:
    """Paint a chart whose places are known but for their heights and columns."""
    top = MARGIN + HEAD_HEIGHT + _COLUMN_HEAD_HEIGHT
    bottom = stack(root, top)
    places = sorted(root.walk(), key=lambda branch: branch.generation)
    lefts = [MARGIN]
    ends: dict[int, float] = {}
    right = 0.0
    for generation in range(places[-1].generation + 1):
        column = [branch for branch in places if branch.generation == generation]
        for branch in column:
            ends[id(branch)] = _paint_place(sheet, branch, lefts[-1])
            right = max(right, ends[id(branch)] + _paint_pointer(sheet, branch, ends[id(branch)]))
        lefts.append(max(ends[id(branch)] for branch in column) + _COLUMN_GAP)
    for branch in places:
        if branch.parents:
            _paint_bracket(sheet, branch, ends[id(branch)], lefts[branch.generation + 1])
    for generation, left in enumerate(lefts[:-1]):
        sheet.note(left, MARGIN + HEAD_HEIGHT, generation_text(generation))
    return sheet.finish(right, bottom + 16, title)


def _paint_place(sheet: Sheet, branch: Branch, x: float) -> float:
    """Paint a bird or a stub; gives where it ends."""
    if branch.bird is not None:
        card = sheet.card(branch.bird, bold=branch.generation == 0, flag=branch.flag)
        sheet.place(card, x, branch.y, branch.generation)
        return x + card.width
    sex = {Missing.SIRE: Sex.COCK, Missing.DAM: Sex.HEN}.get(branch.missing or Missing.BOTH, Sex.UNKNOWN)
    outline_shape(sheet.canvas, x + SHAPE_SIZE / 2, branch.y, sex, sheet.colours.hair, sheet.colours.paper)
    return x + _STUB_TEXT + sheet.note(x + _STUB_TEXT, branch.y + 4, _stub_text(sheet, branch))


def _stub_text(sheet: Sheet, stub: Branch) -> str:
    """Why a bird has no parent there: nobody wrote it down, or it was bought in."""
    if stub.missing is Missing.SIRE:
        return _("sire not recorded")
    if stub.missing is Missing.DAM:
        return _("dam not recorded")
    chick = sheet.snapshot.bird(stub.chick) if stub.chick else None
    if chick is None or not chick.is_founder:
        return _("parents not recorded")
    origin = sheet.snapshot.origin(chick.origin)
    return _("founder from {origin}").format(origin=origin.name) if origin else _("founder")


def _paint_pointer(sheet: Sheet, branch: Branch, x: float) -> float:
    """Say where the ancestors of a bird stand when they stand elsewhere; gives the width of that."""
    if not branch.told_elsewhere:
        return 0.0
    start = x + _LINE_AIR
    sheet.canvas.line(start, branch.y, start + _POINTER, branch.y, sheet.colours.hair)
    text = _("see flag {number}").format(number=branch.flag)
    return _LINE_AIR + _POINTER + 6 + sheet.note(start + _POINTER + 6, branch.y + 4, text)


def _paint_bracket(sheet: Sheet, chick: Branch, chick_end: float, parent_left: float) -> None:
    """Join a bird to its parents by a spine between the two columns."""
    spine = parent_left - _SPINE_BEFORE_COLUMN
    _paint_line(sheet, f"M{chick_end + _LINE_AIR:.2f} {chick.y:.2f}H{spine:.2f}", chick.parents)
    above = [parent for parent in reversed(chick.parents) if parent.y < chick.y]
    below = [parent for parent in chick.parents if parent.y >= chick.y]
    for side in (above, below):
        y = chick.y
        for number, parent in enumerate(side):
            _paint_line(sheet, f"M{spine:.2f} {y:.2f}V{parent.y:.2f}", side[number:])
            _paint_line(sheet, f"M{spine:.2f} {parent.y:.2f}H{parent_left - _SHAPE_AIR:.2f}", [parent])
            y = parent.y
    for parent in chick.parents:
        if not parent.is_certain:
            sheet.note(spine + 7, parent.y - 4, weight_text(parent.weight))
        if parent.bird is not None and chick.bird is not None:
            sheet.join(parent.bird, chick.bird, parent.weight)


def _paint_line(sheet: Sheet, steps: str, towards: list[Branch]) -> None:
    """A piece of a bracket, as firm as the firmest parent it leads to."""
    known = [parent for parent in towards if parent.bird is not None]
    colour = sheet.colours.faint if known else sheet.colours.hair
    sheet.canvas.path(steps, colour, dotted=not any(parent.is_certain for parent in known or towards))
