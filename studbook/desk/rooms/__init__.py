"""The rooms of the window: one package each, which says in its `DOOR` how it is found."""

import pkgutil
from importlib import import_module

from studbook.desk.room import Door

ORDER = ("yard", "birds", "tree", "pens", "eggs", "pairing", "bloodlines", "care", "sales", "book")
"""The places on the rail, in order of the day's work."""


def doors() -> tuple[Door, ...]:
    """The doors of the rooms there are, in the order of the rail."""
    there = {module.name for module in pkgutil.iter_modules(__path__)}
    return tuple(import_module(f"{__name__}.{key}").DOOR for key in ORDER if key in there)
