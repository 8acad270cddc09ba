"""What one bird is to another: parent, half sib, cousin … free of words and of sex."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np

from studbook.genetics.pedigree import UNKNOWN, Pedigree

_CERTAIN = 1 - 1e-9

# The ancestors of so many birds are kept while one asks pair by pair.
_KEPT = 1024


class Degree(StrEnum):
    """What the other bird is to the first one, closest first."""

    SAME = "same"
    PARENT = "parent"
    OFFSPRING = "offspring"
    FULL_SIB = "full sib"
    THREE_QUARTER_SIB = "three-quarter sib"
    HALF_SIB = "half sib"
    GRANDPARENT = "grandparent"
    GRANDOFFSPRING = "grandoffspring"
    AUNT_OR_UNCLE = "aunt or uncle"
    NIECE_OR_NEPHEW = "niece or nephew"
    DOUBLE_COUSIN = "double cousin"
    GREAT_GRANDPARENT = "great-grandparent"
    GREAT_GRANDOFFSPRING = "great-grandoffspring"
    HALF_AUNT_OR_UNCLE = "half aunt or uncle"
    HALF_NIECE_OR_NEPHEW = "half niece or nephew"
    COUSIN = "cousin"
    HALF_COUSIN = "half cousin"
    RELATED = "related"
    UNRELATED = "unrelated"


class Side(StrEnum):
    """Through which parent two half sibs are related."""

    SIRE = "sire"
    DAM = "dam"


@dataclass(frozen=True, slots=True)
class Relationship:
    """What one bird is to another, the closest of all that hold.

    Attributes
    ----------
    side
        The common parent of half and three-quarter sibs.
    certain
        False when it rests on the likeliest of several candidate parents.
    """

    degree: Degree
    side: Side | None = None
    certain: bool = True


def relationship(pedigree: Pedigree, bird: int, other: int) -> Relationship:
    """What `other` is to `bird`, by the likeliest sire and dam of every bird.

    Birds that share an ancestor in no nearer way are `Degree.RELATED`; those that share none are
    `Degree.UNRELATED`. For many pairs of one pedigree keep a `Relationships`.
    """
    return Relationships(pedigree).of(bird, other)


class Relationships:
    """What the birds of one pedigree are to each other; parents and ancestors are looked up once."""

    def __init__(self, pedigree: Pedigree) -> None:
        self._pedigree = pedigree
        self._likely = _Family(pedigree, least=0.0)
        self._sure = _Family(pedigree, least=_CERTAIN)
        self._behind = lru_cache(maxsize=_KEPT)(lambda row: pedigree.with_ancestors([row]))

    def of(self, bird: int, other: int) -> Relationship:
        """What `other` is to `bird`, as in `relationship`."""
        likely = self._likely.kind(bird, other)
        if likely is None:
            common = np.isin(self._behind(bird), self._behind(other), assume_unique=True).any()
            return Relationship(Degree.RELATED if common else Degree.UNRELATED)
        return Relationship(*likely, certain=self._sure.kind(bird, other) == likely)


class _Family:
    """The pedigree with one sire and one dam a bird: the likeliest, if at least so likely."""

    def __init__(self, pedigree: Pedigree, least: float) -> None:
        self._pedigree = pedigree
        self._least = least
        self._found: dict[int, tuple[int, int]] = {}

    def kind(self, bird: int, other: int) -> tuple[Degree, Side | None] | None:
        """The closest named relationship of `other` to `bird`."""
        if bird == other:
            return Degree.SAME, None
        mine, theirs = self._parents(bird), self._parents(other)
        if other in mine:
            return Degree.PARENT, None
        if bird in theirs:
            return Degree.OFFSPRING, None
        sibs = self._sibs(bird, other)
        if sibs is not None:
            return sibs
        return self._further(bird, other)

    def _further(self, bird: int, other: int) -> tuple[Degree, Side | None] | None:
        mine, theirs = list(self._known_parents(bird)), list(self._known_parents(other))
        up = [grand for parent in mine for grand in self._known_parents(parent)]
        down = [grand for parent in theirs for grand in self._known_parents(parent)]
        cousins = [
            self._sibs(parent, counterpart)
            for parent in mine
            for counterpart in theirs
            if parent != counterpart
        ]
        full_cousins = [sibs for sibs in cousins if sibs and sibs[0] is Degree.FULL_SIB]
        aunts = [self._sibs(parent, other) for parent in mine if parent != other]
        nieces = [self._sibs(bird, parent) for parent in theirs if parent != bird]
        found = (
            (Degree.GRANDPARENT, other in up),
            (Degree.GRANDOFFSPRING, bird in down),
            (Degree.AUNT_OR_UNCLE, (Degree.FULL_SIB, None) in aunts),
            (Degree.NIECE_OR_NEPHEW, (Degree.FULL_SIB, None) in nieces),
            (Degree.DOUBLE_COUSIN, len(full_cousins) > 1),
            (Degree.GREAT_GRANDPARENT, any(other in self._known_parents(grand) for grand in up)),
            (Degree.GREAT_GRANDOFFSPRING, any(bird in self._known_parents(grand) for grand in down)),
            (Degree.HALF_AUNT_OR_UNCLE, any(aunts)),
            (Degree.HALF_NIECE_OR_NEPHEW, any(nieces)),
            (Degree.COUSIN, bool(full_cousins)),
            (Degree.HALF_COUSIN, any(cousins)),
        )
        return next(((degree, None) for degree, holds in found if holds), None)

    def _sibs(self, bird: int, other: int) -> tuple[Degree, Side | None] | None:
        (sire, dam), (other_sire, other_dam) = self._parents(bird), self._parents(other)
        same_sire = sire != UNKNOWN and sire == other_sire
        same_dam = dam != UNKNOWN and dam == other_dam
        if same_sire and same_dam:
            return Degree.FULL_SIB, None
        if not same_sire and not same_dam:
            return None
        rest = (dam, other_dam) if same_sire else (sire, other_sire)
        side = Side.SIRE if same_sire else Side.DAM
        if UNKNOWN not in rest and self._sibs(*rest) == (Degree.FULL_SIB, None):
            return Degree.THREE_QUARTER_SIB, side
        return Degree.HALF_SIB, side

    def _parents(self, row: int) -> tuple[int, int]:
        found = self._found.get(row)
        if found is None:
            pairs = slice(self._pedigree.first[row], self._pedigree.first[row + 1])
            weight = self._pedigree.weight[pairs].tolist()
            found = self._found[row] = (
                self._likeliest(self._pedigree.sire[pairs].tolist(), weight),
                self._likeliest(self._pedigree.dam[pairs].tolist(), weight),
            )
        return found

    def _known_parents(self, row: int) -> Iterator[int]:
        return (parent for parent in self._parents(row) if parent != UNKNOWN)

    def _likeliest(self, parents: list[int], weight: list[float]) -> int:
        """The parent with the highest chance, of equals the one that stands first in the pedigree."""
        chance: dict[int, float] = {}
        for parent, share in zip(parents, weight, strict=True):
            if parent != UNKNOWN:
                chance[parent] = chance.get(parent, 0.0) + share
        best = min(chance, key=lambda parent: (-chance[parent], parent), default=UNKNOWN)
        return best if best != UNKNOWN and chance[best] >= self._least else UNKNOWN
