"""Small invented flocks, built by hand: hens are hedgerow plants, cocks are rivers."""

from collections.abc import Iterable

from studbook.book.records import (
    Bird,
    BirdId,
    BookDetails,
    Mark,
    MarkId,
    MarkKind,
    Origin,
    OriginId,
    Pair,
    Sex,
    Snapshot,
    Status,
)
from studbook.dates import UNKNOWN_DATE, PartialDate

COCKS = (
    "Severn", "Tamar", "Dart", "Wye", "Lune", "Tees", "Esk", "Nidd", "Usk", "Exe", "Tweed", "Avon", "Trent",
    "Kent", "Derwent", "Ouse", "Aire", "Swale", "Wharfe", "Calder",
)  # fmt: skip
HENS = (
    "Bramble", "Sloe", "Hazel", "Dogrose", "Hawthorn", "Spindle", "Elder", "Bryony", "Sorrel", "Campion",
    "Betony", "Teasel", "Yarrow", "Tansy", "Vetch", "Burdock", "Woodruff", "Celandine", "Mallow", "Avens",
)  # fmt: skip


def ring(code: str, colour: str = "") -> tuple[Mark, ...]:
    """One numbered ring, worn today."""
    return (Mark(MarkId(f"mark {code}"), MarkKind.RING, code, colour=colour),)


def cock(name: str, code: str = "", sire: str = "", dam: str = "", **facts: object) -> Bird:
    """A cock named after a river; his id is his name."""
    return _bird(Sex.COCK, name, code, sire, dam, facts)


def hen(name: str, code: str = "", sire: str = "", dam: str = "", **facts: object) -> Bird:
    """A hen named after a plant of the hedge; her id is her name."""
    return _bird(Sex.HEN, name, code, sire, dam, facts)


def chick(name: str, code: str = "", sire: str = "", dam: str = "", **facts: object) -> Bird:
    """A young bird whose sex is not known yet."""
    return _bird(Sex.UNKNOWN, name, code, sire, dam, facts)


def _bird(sex: Sex, name: str, code: str, sire: str, dam: str, facts: dict[str, object]) -> Bird:
    pairs = (Pair(BirdId(sire) if sire else None, BirdId(dam) if dam else None),) if sire or dam else ()
    hatched = PartialDate(2000 + int(code[1:3])) if code[1:3].isdigit() else UNKNOWN_DATE
    colour = str(facts.pop("ring_colour", ""))
    known: dict[str, object] = {
        "hatched": hatched,
        "pairs": pairs,
        "marks": ring(code, colour) if code else (),
    }
    return Bird(BirdId(name), name=name, sex=sex, **(known | facts))  # type: ignore[arg-type]


def snapshot(birds: Iterable[Bird], origins: tuple[Origin, ...] = ()) -> Snapshot:
    """A book of these birds, parents before offspring."""
    return Snapshot(1, BookDetails("book", yard="Withybrook"), tuple(birds), origins=origins)


ALDER_YARD = Origin(OriginId("alder"), "Alder Yard")


def inbred_flock() -> Snapshot:
    """A closed flock in which Severn is met on both sides; Burdock's chicks are by one of two cocks."""
    gone = {"status": Status.SOLD}
    dead = {"status": Status.DIED}
    return snapshot(
        (
            cock("Severn", "W17-01", colour="blue", origin=ALDER_YARD.id, **dead),
            hen("Bramble", "W17-02", colour="black", origin=ALDER_YARD.id, **dead),
            hen("Sloe", "W17-03", colour="splash", founder=True, **dead),
            cock("Tamar", "W18-01", "Severn", "Bramble", colour="blue", **gone),
            hen("Hazel", "W18-02", "Severn", "Sloe", colour="blue"),
            hen("Dogrose", "W18-05", "", "Sloe", colour="black", **dead),
            cock("Dart", "W19-01", "Tamar", "Hazel", colour="blue", ring_colour="red"),
            cock("Wye", "W19-02", "Severn", "Dogrose", colour="black", status=Status.LOST),
            hen("Spindle", "W19-07", "Tamar", "Dogrose", colour="splash", ring_colour="blue"),
            hen("Elder", "W20-04", "Wye", "Hazel", colour="black", ring_colour="green", **dead),
            cock("Lune", "W21-01", "Dart", "Spindle", colour="blue", ring_colour="yellow"),
            hen("Sorrel", "W21-04", "Dart", "Elder", colour="blue", ring_colour="green"),
            chick("Burdock", "W22-04", "Lune", "Sorrel", colour="blue"),
        ),
        (ALDER_YARD,),
    )


INBREEDING = [0, 0, 0, 0, 0, 0, 0.125, 0, 0, 0, 0.1171875, 0.1484375, 0.2109375]
"""Figures to show beside the birds of `inbred_flock`; these tests check where they stand, not their worth."""


def doubtful_flock() -> Snapshot:
    """A hen by one of two cocks, and a chick of two mixed pens."""
    either = (Pair(BirdId("Severn"), BirdId("Hazel"), 0.7), Pair(BirdId("Tamar"), BirdId("Hazel"), 0.3))
    pens = (Pair(BirdId("Severn"), BirdId("Bramble"), 0.5), Pair(BirdId("Tamar"), BirdId("Sloe"), 0.5))
    return snapshot(
        (
            cock("Severn", "W18-01"),
            cock("Tamar", "W18-02"),
            hen("Bramble", "W18-03"),
            hen("Sloe", "W18-04"),
            hen("Hazel", "W18-05"),
            cock("Dart", "W19-01", pairs=pens),
            hen("Sorrel", "W19-02", pairs=either),
            chick("Teasel", "W20-01", "Dart", "Sorrel"),
        )
    )


def large_family(chicks: int = 60) -> Snapshot:
    """A cock with many chicks from eight hens, some of which bred on."""
    sire = cock("Severn", "W19-01", ring_colour="red", colour="blue")
    dams = [hen(name, f"W19-{number + 10}", colour="black") for number, name in enumerate(HENS[:8])]
    young = [
        (cock if number % 3 else hen)(
            f"Young {number + 1}", f"W20-{number + 1:02d}", "Severn", dams[number % 8].name, colour="blue",
            status=(Status.LIVING, Status.SOLD, Status.DIED, Status.SOLD)[number % 4],
        )
        for number in range(chicks)
    ]  # fmt: skip
    return snapshot((sire, *dams, *young))


def deep_flock(generations: int) -> Snapshot:
    """A bird all of whose ancestors of so many generations are in the book, each of them once."""
    birds: list[Bird] = []
    for back in range(generations, -1, -1):
        for place in range(2**back):
            above = (
                (f"{back + 1}.{2 * place}", f"{back + 1}.{2 * place + 1}") if back < generations else ("", "")
            )
            name = f"{back}.{place}"
            birds.append((hen if place % 2 else cock)(name, f"W{25 - back}-{place:02d}", *above))
    return snapshot(birds)
