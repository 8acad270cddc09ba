"""Birds that come from other yards."""

from dataclasses import replace

from studbook.book import changes
from studbook.book.records import Bird, BirdId, Pair, Sex
from studbook.dates import PartialDate
from studbook.demo.ledger import Kind, Ledger, ring, sex_of
from studbook.demo.people import BREEDERS
from studbook.demo.story import Bought

FIRST_RING_COLOUR = "red"
"""The year of the founders has no season of its own."""


def buy(ledger: Ledger, group: tuple[Bought, ...], kind: Kind) -> None:
    """Enter birds that arrived together; those of one nest get placeholders for parents."""
    birds: list[Bird] = []
    nests: dict[str, tuple[Pair, ...]] = {"": ()}
    for bought in group:
        if bought.nest not in nests:
            parents = _placeholders(ledger, bought, kind)
            birds += parents
            nests[bought.nest] = (Pair(parents[0].id, parents[1].id, reason="out of one nest"),)
        bird = _arrived(ledger, bought, kind)
        birds.append(replace(bird, pairs=nests[bought.nest]))
        ledger.named[bought.name] = bird.id
    ledger.apply(changes.AddBirds(tuple(birds)))


def _placeholders(ledger: Ledger, bought: Bought, kind: Kind) -> tuple[Bird, Bird]:
    """The two birds of whom nothing is known but that one nest was theirs."""
    unknown = Bird(
        BirdId(""),
        species=kind.species,
        breed=kind.breed,
        placeholder=True,
        founder=True,
        origin=ledger.origins[bought.origin],
    )
    cock, hen = (BirdId(ledger.book.new_id()) for _ in range(2))
    return (
        replace(unknown, id=cock, sex=Sex.COCK, name=f"Cock of {bought.nest}"),
        replace(unknown, id=hen, sex=Sex.HEN, name=f"Hen of {bought.nest}"),
    )


def _arrived(ledger: Ledger, bought: Bought, kind: Kind) -> Bird:
    sex = sex_of(bought.name)
    if bought.ring:
        mark = ring(kind, sex, bought.ring)
    else:
        mark = ledger.next_ring(kind, sex, ledger.diary.today.year, FIRST_RING_COLOUR)
    return Bird(
        BirdId(ledger.book.new_id()),
        name=bought.name,
        species=kind.species,
        breed=kind.breed,
        sex=sex,
        hatched=PartialDate.parse(bought.hatched),
        colour=bought.colour,
        comb=kind.comb,
        origin=ledger.origins[bought.origin],
        breeder=ledger.contacts[BREEDERS[bought.origin]],
        arrived=ledger.today,
        marks=(mark,),
    )
