"""What the Yard tells, worked out of a snapshot: who is in the flock, the hatch, what is missing."""

from dataclasses import dataclass
from datetime import date

from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.dates import PartialDate
from studbook.season.species import all_species, species


@dataclass(frozen=True)
class Group:
    """Birds of the flock that are called by the same word ("cock", "pullet")."""

    word: str
    species: str
    birds: tuple[Bird, ...]


@dataclass(frozen=True)
class Hatch:
    """Birds of one hatch date, and the birds that may be their sires and dams."""

    hatched: PartialDate
    birds: tuple[Bird, ...]
    sires: tuple[BirdId, ...]
    dams: tuple[BirdId, ...]

    @property
    def living(self) -> int:
        """How many are still in the flock."""
        return sum(bird.is_living for bird in self.birds)


@dataclass(frozen=True)
class Season:
    """The last year in which anything hatched here, its hatches from first to last."""

    year: int
    hatches: tuple[Hatch, ...]

    @property
    def birds(self) -> tuple[Bird, ...]:
        """Every bird hatched in it."""
        return tuple(bird for hatch in self.hatches for bird in hatch.birds)


@dataclass(frozen=True)
class Gaps:
    """Birds of the flock the record knows too little of."""

    parents: tuple[Bird, ...]
    marks: tuple[Bird, ...]
    sexes: tuple[Bird, ...]
    doubtful: tuple[Bird, ...]


def groups(snapshot: Snapshot, today: date) -> tuple[Group, ...]:
    """The flock by what its birds are called: the usual species first, the grown before the young."""
    found: dict[tuple[str, str], list[Bird]] = {}
    for bird in snapshot.living:
        word = _called(bird, today)
        found.setdefault((bird.species, word), []).append(bird)
    usual = snapshot.details.species

    def place(key: tuple[str, str]) -> tuple[bool, str, int]:
        first = found[key][0]
        return key[0] != usual, key[0], _rank(first, today)

    return tuple(Group(word, code, tuple(found[code, word])) for code, word in sorted(found, key=place))


def _called(bird: Bird, today: date) -> str:
    if bird.species not in all_species():
        return bird.species
    return species(bird.species).what_called(bird.sex, bird.hatched, today)


def _rank(bird: Bird, today: date) -> int:
    known = bird.species in all_species()
    grown = not known or species(bird.species).is_adult(bird.hatched, today)
    return [Sex.COCK, Sex.HEN, Sex.UNKNOWN].index(bird.sex) + (0 if grown else 3)


Ages = tuple[tuple[int | None, tuple[Bird, ...]], ...]
"""The birds of each hatch year."""


def by_year(snapshot: Snapshot) -> Ages:
    """The flock by hatch year, the youngest first, unknown years last; cocks before hens."""
    found: dict[int | None, list[Bird]] = {}
    for bird in snapshot.living:
        found.setdefault(bird.hatched.year, []).append(bird)
    order = list(Sex)
    return tuple(
        (year, tuple(sorted(found[year], key=lambda bird: order.index(bird.sex))))
        for year in sorted(found, key=lambda year: -(year or 0))
    )


def season(snapshot: Snapshot, today: date) -> Season | None:
    """The season that is on, or the last one; None while nothing has hatched here."""
    home = [bird for bird in snapshot.birds if _is_home_hatched(bird) and bird.hatched.earliest <= today]
    if not home:
        return None
    year = max(bird.hatched.year or 0 for bird in home)
    found: dict[PartialDate, list[Bird]] = {}
    for bird in home:
        if bird.hatched.year == year:
            found.setdefault(bird.hatched, []).append(bird)
    hatches = (_hatch(hatched, found[hatched]) for hatched in sorted(found, key=lambda when: when.earliest))
    return Season(year, tuple(hatches))


def _is_home_hatched(bird: Bird) -> bool:
    return bird.hatched.is_known and not bird.is_founder and not bird.placeholder


def _hatch(hatched: PartialDate, birds: list[Bird]) -> Hatch:
    sires = dict.fromkeys(sire for bird in birds for sire in bird.sires)
    dams = dict.fromkeys(dam for bird in birds for dam in bird.dams)
    return Hatch(hatched, tuple(birds), tuple(sires), tuple(dams))


def gaps(snapshot: Snapshot, today: date) -> Gaps:
    """What is missing about the birds of the flock."""
    flock = snapshot.living
    return Gaps(
        parents=tuple(bird for bird in flock if not bird.is_founder and not (bird.sires and bird.dams)),
        marks=tuple(bird for bird in flock if not bird.mark),
        sexes=tuple(bird for bird in flock if bird.sex is Sex.UNKNOWN and _rank(bird, today) < 3),
        doubtful=tuple(bird for bird in flock if len(bird.sires) > 1 or len(bird.dams) > 1),
    )
