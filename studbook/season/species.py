"""The species of the book: their words for each age and sex, and the spans that bound the record."""

import json
from dataclasses import dataclass
from datetime import date
from functools import cache

from studbook.dates import PartialDate
from studbook.places import resource
from studbook.words import _


@dataclass(frozen=True, slots=True)
class Species:
    """One row of ``resources/species.json``; every span is in days.

    Attributes
    ----------
    words
        What a bird is called, keyed ``chick``, ``young_cock``, ``young_hen``, ``young``, ``cock``,
        ``hen`` and ``adult`` (the last of each group where the sex is unknown).
    laying_age_days, fertile_age_days
        The youngest age of a dam and of a sire.
    fertile_span_days
        How long after a cock has gone a hen may lay fertile eggs.
    storage_days
        How long an egg may be kept before it is set.
    """

    code: str
    name: str
    plural: str
    words: dict[str, str]
    chick_until_days: int
    adult_from_days: int
    laying_age_days: int
    fertile_age_days: int
    incubation_days: int
    storage_days: int
    fertile_span_days: int

    def what_called(self, sex: str, hatched: PartialDate, today: date) -> str:
        """What a bird of this sex (``cock``, ``hen`` or ``unknown``) and age is called, in the user's language."""
        age_days = (today - hatched.latest).days if hatched.is_known else self.adult_from_days
        if age_days < self.chick_until_days:
            word = "chick"
        elif age_days < self.adult_from_days:
            word = {"cock": "young_cock", "hen": "young_hen"}.get(sex, "young")
        else:
            word = sex if sex in ("cock", "hen") else "adult"
        return _(self.words[word])

    def is_adult(self, hatched: PartialDate, today: date) -> bool:
        """True from the age at which a bird is called cock or hen; a bird of unknown age counts as adult."""
        return not hatched.is_known or (today - hatched.latest).days >= self.adult_from_days

    def may_breed(self, sex: str, hatched: PartialDate, today: date) -> bool:
        """True unless the bird is certainly younger than the age of first laying or fertility."""
        return not hatched.is_known or (today - hatched.earliest).days >= self.parent_age_days(sex)

    def parent_age_days(self, sex: str) -> int:
        """The youngest age at which a bird of this sex can be the parent of a fertile egg."""
        return self.fertile_age_days if sex == "cock" else self.laying_age_days


@cache
def all_species() -> dict[str, Species]:
    """Every species of the table, by code."""
    table = json.loads(resource("species.json").read_text(encoding="utf-8"))["species"]
    return {code: Species(code=code, **row) for code, row in table.items()}


def species(code: str) -> Species:
    """The species with this code.

    Raises
    ------
    KeyError
        If the table has no such species.
    """
    return all_species()[code]
