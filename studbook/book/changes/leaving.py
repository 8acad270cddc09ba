"""What follows in the year when birds leave the flock."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from studbook.book.husbandry.tables import alter, drop
from studbook.book.ids import BirdId
from studbook.book.writing import Writing


def leave_pens(writing: Writing, birds: Iterable[BirdId], on: date) -> None:
    """End the open stays and times apart of birds that left the flock, and take back their planned moves."""
    year = writing.before.husbandry
    gone = set(birds)
    for bird in gone:
        for stay in year.stays_of.get(bird, ()):
            if stay.until is None:
                alter(writing, stay, replace(stay, until=max(on, stay.since)))
        for apart in year.apart_of.get(bird, ()):
            if apart.until is None:
                alter(writing, apart, replace(apart, until=max(on, apart.since)))
    for move in year.moves.values():
        if move.bird in gone:
            drop(writing, move)
