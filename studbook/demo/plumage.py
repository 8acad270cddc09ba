"""The heredity of Andalusian blue: one factor, Bl, of which two copies do more than one.

On an all-black bird no copy leaves it black, one makes it blue and two make it splash (Bateson and
Saunders 1902; Punnett, *Mendelism*, 1911). Blue to blue gives 1 black : 2 blue : 1 splash, black to splash
nothing but blues.
"""

from enum import StrEnum
from random import Random


class Plumage(StrEnum):
    """The three colours of the breed, in the order of their copies of Bl."""

    BLACK = "black"
    BLUE = "blue"
    SPLASH = "splash"

    @property
    def copies(self) -> int:
        """How many copies of Bl the bird carries: 0, 1 or 2."""
        return list(Plumage).index(self)


def colours_of(sire: Plumage | None, dam: Plumage | None) -> frozenset[Plumage]:
    """The colours the chicks of a pair can have; an unknown parent may be of any colour."""
    copies = {from_sire + from_dam for from_sire in _passed_on(sire) for from_dam in _passed_on(dam)}
    return frozenset(list(Plumage)[count] for count in copies)


def chick_colour(sire: Plumage | None, dam: Plumage | None, rng: Random) -> Plumage:
    """The colour of one chick, drawn as the two parents' gametes fall."""
    gametes = (_passed_on(sire), _passed_on(dam))
    return list(Plumage)[sum(copies[int(rng.random() * len(copies))] for copies in gametes)]


def _passed_on(parent: Plumage | None) -> tuple[int, ...]:
    """The copies of Bl a parent's gametes carry, each as likely as the others."""
    return {Plumage.BLACK: (0,), Plumage.SPLASH: (1,)}.get(parent or Plumage.BLUE, (0, 1))
