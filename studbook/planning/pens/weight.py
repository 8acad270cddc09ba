"""How heavy the breed of a bird is, which decides how many hens a cock gets and how much room it takes."""

import json
from functools import cache
from typing import Any

from studbook.book.records import Bird
from studbook.places import resource
from studbook.season.practice import WeightClass
from studbook.words import fold

FOWL = "chicken"


def weight_class(bird: Bird) -> WeightClass:
    """The class of a breed of fowl; one the table does not name is medium."""
    breed, table = fold(bird.breed), _table()
    if "bantam" in breed:
        return WeightClass.BANTAM
    for kind in (WeightClass.BANTAM, WeightClass.LIGHT, WeightClass.HEAVY):
        if any(name in breed for name in table[kind.value]):
            return kind
    return WeightClass.MEDIUM


def takes_bantam_room(bird: Bird) -> bool:
    """True for bantams and for birds as small as they are, such as call ducks and quail."""
    if bird.species == FOWL:
        return weight_class(bird) is WeightClass.BANTAM
    breed = fold(bird.breed)
    return any(name in breed for name in _table()["small"].get(bird.species, ()))


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(resource("weight_classes.json").read_text(encoding="utf-8"))
    return table
