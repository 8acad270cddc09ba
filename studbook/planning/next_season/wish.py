"""What a keeper wishes to have next autumn; nothing heavy is loaded for it."""

from dataclasses import dataclass
from datetime import date
from enum import Enum

from studbook.book.husbandry.rows import Machine
from studbook.book.records import Sex, Snapshot
from studbook.book.wording import per_cent
from studbook.planning.next_season.practice import usual_figures
from studbook.words import _

CHANCES = (0.5, 0.8, 0.9, 0.95)
"""The chances a keeper may want: in so many seasons of a hundred there are enough."""

SPAN = 0.8
"""Numbers to be expected are told with the span that holds in so many of the seasons."""


class Way(Enum):
    """Under what eggs are to be hatched."""

    BROODY = "broody"
    MACHINE = "machine"


@dataclass(frozen=True, slots=True)
class Wish:
    """What a keeper wants to have next autumn, and with what.

    Attributes
    ----------
    pullets, cockerels
        How many young birds to choose from.
    chance
        With which chance there shall be as many at least.
    choose_on
        The day one chooses.
    age_days
        How old they are by then, at least.
    way
        Under what the eggs are hatched.
    hens
        How many hens lay; None takes those of the flock.
    fertile, hatched, reared
        The shares the keeper reckons with instead of the book's: fertile of the eggs set, hatched of the fertile,
        reared of the hatched; None leaves it to the book.
    """

    pullets: int
    cockerels: int
    chance: float
    choose_on: date
    age_days: int
    way: Way
    hens: int | None = None
    fertile: float | None = None
    hatched: float | None = None
    reared: float | None = None


def usual_wish(snapshot: Snapshot, species: str, season: int) -> Wish:
    """The wish a form begins with: eight pullets and three cockerels to choose from on the first of October."""
    age = int(usual_figures(species).age.value)
    way = Way.MACHINE if machines_in_use(snapshot) else Way.BROODY
    return Wish(8, 3, 0.9, date(season, 10, 1), age, way)


def machines_in_use(snapshot: Snapshot) -> tuple[Machine, ...]:
    """The incubators that are not retired."""
    return tuple(machine for machine in snapshot.husbandry.machines.values() if machine.retired is None)


def laying_hens(snapshot: Snapshot, species: str) -> int:
    """The hens of the flock that can lay in the season to come: all that live here, pullets with them."""
    return sum(bird.species == species and bird.sex is Sex.HEN for bird in snapshot.living)


def chance_text(chance: float) -> str:
    """A chance as one says it."""
    return {
        0.5: _("with even chances"),
        0.8: _("with 8 chances in 10"),
        0.9: _("with 9 chances in 10"),
        0.95: _("with 19 chances in 20"),
    }.get(chance, _("with {share} certainty").format(share=per_cent(chance, 0)))
