"""Who may be paired: the living adults of one species, by the age of fertility and of first laying."""

from collections import Counter
from dataclasses import dataclass
from datetime import date

from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.season.species import Species, all_species, species


@dataclass(frozen=True, slots=True)
class Candidates:
    """The cocks and hens of one species to choose among, in the order in which they are shown."""

    species: str
    cocks: tuple[BirdId, ...] = ()
    hens: tuple[BirdId, ...] = ()


def living_species(snapshot: Snapshot) -> tuple[str, ...]:
    """The species of the flock, the one the book usually records first, then the most numerous."""
    count = Counter(bird.species for bird in snapshot.living)
    usual = snapshot.details.species
    return tuple(sorted(count, key=lambda code: (code != usual, -count[code], code)))


def candidates(snapshot: Snapshot, today: date, code: str | None = None) -> Candidates:
    """The living birds of a species that may breed; `code` None takes the first of `living_species`.

    A bird of unknown age counts as old enough, one of unknown sex is nobody's mate yet.
    """
    if code is None:
        code = next(iter(living_species(snapshot)), snapshot.details.species)
    fit = sorted(
        (bird for bird in snapshot.living if bird.species == code and is_old_enough(bird, today)),
        key=lambda bird: (bird.mark or bird.name).casefold(),
    )
    return Candidates(
        code,
        tuple(bird.id for bird in fit if bird.sex is Sex.COCK),
        tuple(bird.id for bird in fit if bird.sex is Sex.HEN),
    )


def is_old_enough(bird: Bird, today: date) -> bool:
    """True unless the bird is certainly younger than the age of first laying or fertility."""
    return kind_of(bird).may_breed(bird.sex, bird.hatched, today)


def kind_of(bird: Bird) -> Species:
    """The species of a bird; one the table does not know is taken for a chicken."""
    return all_species().get(bird.species) or species("chicken")
