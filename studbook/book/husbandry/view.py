"""What the rules of the year look at, and how they tell what they find."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from studbook.book.errors import Problem, Severity
from studbook.book.husbandry.rows import Husbandry
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Sex
from studbook.words import _


@dataclass(frozen=True)
class YearView:
    """What a rule may look at: the birds and the year as they would stand after a change."""

    birds: Mapping[BirdId, Bird]
    year: Husbandry
    today: date

    def bird_called(self, bird: BirdId | None) -> str:
        """What a sentence calls a bird, whoever it is."""
        found = self.birds.get(bird) if bird is not None else None
        return found.called if found is not None else _("a bird struck out")

    def pen_called(self, pen: PenId | None) -> str:
        """The name of a pen."""
        found = self.year.pens.get(pen) if pen is not None else None
        return found.name if found is not None else _("no pen")


def error(kind: str, message: str, field: str, *birds: str) -> Problem:
    return Problem(kind, message, birds, Severity.ERROR, field)


def warning(kind: str, message: str, field: str, *birds: str) -> Problem:
    return Problem(kind, message, birds, Severity.WARNING, field)


def is_hen(view: YearView, bird_id: BirdId | None, field: str) -> Iterator[Problem]:
    bird = view.birds.get(bird_id) if bird_id is not None else None
    if bird is not None and bird.sex is Sex.COCK:
        message = _("{bird} is a cock and cannot stand where a hen is asked for: choose a hen.")
        yield error("sex", message.format(bird=bird.called), field, bird.called)


def is_cock(view: YearView, bird_id: BirdId | None, field: str) -> Iterator[Problem]:
    bird = view.birds.get(bird_id) if bird_id is not None else None
    if bird is not None and bird.sex is Sex.HEN:
        message = _("{bird} is a hen and cannot stand where a cock is asked for: choose a cock.")
        yield error("sex", message.format(bird=bird.called), field, bird.called)
