"""The words of a rotation that need no numbers."""

from collections.abc import Sequence

from studbook.book.husbandry.rows import Husbandry
from studbook.book.ids import PenId
from studbook.planning.pens.naming import pen_name
from studbook.words import _


def way_text(year: Husbandry, pens: Sequence[PenId]) -> str:
    """The way of the cockerels, from pen to pen and back to the first."""
    if len(pens) < 2:
        return _("Choose two pens at least.")
    names = [pen_name(year, pen) for pen in pens]
    steps = [
        _("{pen} to {next}").format(pen=name, next=names[(place + 1) % len(names)])
        for place, name in enumerate(names)
    ]
    row = steps[0]
    for step in steps[1:-1]:
        row = _("{row}, {step}").format(row=row, step=step)
    row = _("{row} and {step}").format(row=row, step=steps[-1])
    return _("Cockerels move from {steps}; pullets stay in their dams' pen.").format(steps=row)
