"""What is usual where a book has too few figures of its own, each with its source and how sure it is."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from studbook.places import resource
from studbook.season.practice import Evidence, WeightClass


@dataclass(frozen=True, slots=True)
class Usual:
    """A usual figure; `source` is in English, for `studbook.words`."""

    value: float
    evidence: Evidence
    source: str


@dataclass(frozen=True)
class UsualFigures:
    """The usual figures of one species.

    Attributes
    ----------
    fertile, hatched, reared, fit
        Shares: fertile of the eggs set, hatched of the fertile, reared of the hatched, fit to set of the gathered.
    laying
        Eggs per hen and day in the breeding season.
    broody
        Eggs under one hen by her class; empty for a species that does not brood.
    age
        Days until young birds can be chosen.
    weight
        A share is believed as firmly as if so many eggs or chicks had been seen.
    fewest
        With fewer of its own a book uses these.
    """

    fertile: Usual
    hatched: Usual
    reared: Usual
    fit: Usual
    laying: Usual
    broody: Mapping[WeightClass, Usual]
    age: Usual
    weight: int
    fewest: int

    def under(self, kind: WeightClass) -> Usual | None:
        """How many eggs a hen of a class covers; None where the species does not brood."""
        return self.broody.get(kind) or self.broody.get(WeightClass.MEDIUM)


@cache
def usual_figures(species: str) -> UsualFigures:
    """The usual figures of a species; one the table does not know is taken for a chicken."""
    table: dict[str, Any] = json.loads(resource("next_season.json").read_text(encoding="utf-8"))
    row = table["species"].get(species) or table["species"]["chicken"]
    shares = {name: _usual(figure) for name, figure in table["every_species"].items()}
    return UsualFigures(
        **shares,
        laying=_usual(row["laying"]),
        broody={WeightClass(kind): _usual(figure) for kind, figure in row["broody"].items()},
        age=_usual(row["age"]),
        weight=table["weight"],
        fewest=table["fewest"],
    )


def _usual(figure: Mapping[str, Any]) -> Usual:
    return Usual(figure["value"], Evidence(figure["evidence"]), figure["source"])
