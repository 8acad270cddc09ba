"""How sentences on pens name birds, pens and days."""

from collections.abc import Callable, Sequence
from datetime import date

from studbook.book.husbandry.rows import Husbandry
from studbook.book.ids import BirdId, PenId
from studbook.planning.sentences import BirdPart, Part, Sentence, compose
from studbook.words import _, plural

When = Callable[[date], str]
"""How a day is written: the window gives its own way, ISO 8601 stands for none."""

_NAMED = 6


def iso(day: date) -> str:
    """A day as ISO 8601."""
    return day.isoformat()


def listed(birds: Sequence[BirdId]) -> Sentence:
    """Birds in a row: "A", "A and B", "A, B and C"; many are cut with how many there are more."""
    named: list[Part] = [BirdPart(bird) for bird in birds[:_NAMED]]
    if len(birds) > _NAMED:
        more = len(birds) - _NAMED
        named.append(plural("{count} more", "{count} more", more).format(count=more))
    if len(named) == 1:
        return (named[0],)
    row: Sentence = (named[0],)
    for part in named[1:-1]:
        row = compose(_("{row}, {bird}"), row=row, bird=part)
    return compose(_("{row} and {bird}"), row=row, bird=named[-1])


def pen_name(year: Husbandry, pen: PenId | None) -> str:
    """What a pen is called; none is said in words."""
    found = year.pens.get(pen) if pen is not None else None
    return found.name if found is not None else _("no pen")
