"""What a pedigree certificate says, as facts: no words, no layout, no typst."""

import hashlib
import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from studbook.book.errors import Problem, RecordProblems
from studbook.book.records import Bird, BirdId, Mark, Sex, Snapshot
from studbook.dates import PartialDate
from studbook.words import _

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness

FEWEST_GENERATIONS = 3
MOST_GENERATIONS = 5
PAPERS = ("A4", "Letter")


@dataclass(frozen=True, slots=True)
class CertificateOptions:
    """What the keeper chose to show: `generations` of ancestors (3 to 5), `paper` ``A4`` or ``Letter``.

    `show_colours` is about the ancestors; the bird's own colour is always stated.

    Raises
    ------
    ValueError
        If the generations are out of range or the paper is another.
    """

    generations: int = 4
    paper: str = "A4"
    show_photo: bool = True
    show_inbreeding: bool = True
    show_colours: bool = True

    def __post_init__(self) -> None:
        if not FEWEST_GENERATIONS <= self.generations <= MOST_GENERATIONS:
            raise ValueError(
                f"a certificate shows {FEWEST_GENERATIONS} to {MOST_GENERATIONS} generations, not {self.generations}"
            )
        if self.paper not in PAPERS:
            raise ValueError(f"{self.paper!r} is not a paper size: {' or '.join(PAPERS)}")


@dataclass(frozen=True, slots=True)
class Ancestor:
    """An ancestor as the chart writes it; `origin` is the yard it was bought from."""

    bird: BirdId
    name: str
    mark: str
    sex: Sex
    colour: str
    hatched: PartialDate
    origin: str
    placeholder: bool


@dataclass(frozen=True, slots=True)
class Candidate:
    """One bird that may stand at a place, with its weight; None is a bird nobody recorded."""

    ancestor: Ancestor | None
    weight: float


@dataclass(frozen=True, slots=True)
class Place:
    """A place in the ancestor chart: the sire (`side` cock) or dam (hen) of the bird it belongs to.

    No candidate means not recorded. `sire` and `dam` are the places behind it; both are None in the
    last generation and behind a doubtful or unrecorded bird, whose line the chart does not follow.
    """

    side: Sex
    candidates: tuple[Candidate, ...] = ()
    sire: "Place | None" = None
    dam: "Place | None" = None

    @property
    def certain(self) -> Ancestor | None:
        """The one ancestor that stands here for certain."""
        return self.candidates[0].ancestor if len(self.candidates) == 1 else None

    @property
    def is_doubtful(self) -> bool:
        """True when several birds may stand here."""
        return len(self.candidates) > 1


@dataclass(frozen=True, slots=True)
class DoubtfulPairs:
    """Candidate pairs of one bird where both sire and dam are in doubt, each as the chart calls them."""

    chick: str
    pairs: tuple[tuple[str, str, float], ...]


@dataclass(frozen=True, slots=True)
class CertificateContent:
    """Everything a certificate states, tree of ancestors included.

    Attributes
    ----------
    breeder
        Who bred the bird; empty when nobody recorded it.
    bred_here
        True when the book's own keeper bred it.
    shows_inbreeding
        False when the keeper left F out; the three figures about it are then empty.
    inbreeding
        F by convention, or None when it is not known: no candidate pair is complete.
    known_ancestors, complete_generations
        What stands behind F: distinct ancestors in the book, complete generation equivalents.
    rests_on_origins
        True when birds bought from one yard are assumed to be related somewhere behind this bird.
    photo
        The sha256 of the picture shown, or empty.
    """

    number: str
    issued: date
    owner: str
    book: str
    keeper: str
    yard: str
    address: str
    flock_registration: str
    bird: BirdId
    species: str
    name: str
    mark: str
    marks: tuple[Mark, ...]
    breed: str
    colour: str
    sex: Sex
    hatched: PartialDate
    breeder: str
    bred_here: bool
    generations: int
    sire: Place
    dam: Place
    doubtful_pairs: tuple[DoubtfulPairs, ...]
    shows_inbreeding: bool
    inbreeding: float | None
    known_ancestors: int
    complete_generations: float
    rests_on_origins: bool
    photo: str

    def places(self) -> Iterator[tuple[int, int, Place]]:
        """Each place as generation (1 for parents), index from the top, place; parents before grandparents."""
        level = [(0, self.sire), (1, self.dam)]
        for generation in range(1, self.generations + 1):
            behind = []
            for index, place in level:
                yield generation, index, place
                if place.sire and place.dam:
                    behind += [(2 * index, place.sire), (2 * index + 1, place.dam)]
            level = behind

    def flags(self) -> dict[BirdId, int]:
        """The number of each ancestor met at more than one place, in the order in which they are read."""
        met = Counter(
            candidate.ancestor.bird
            for _generation, _index, place in self.places()
            for candidate in place.candidates
            if candidate.ancestor
        )
        repeated = [bird for bird, times in met.items() if times > 1]
        return {bird: number for number, bird in enumerate(repeated, start=1)}


def certificate_content(
    snapshot: Snapshot,
    relatedness: "Relatedness",
    bird_id: BirdId,
    options: CertificateOptions,
    today: date,
    number: str,
    owner: str = "",
) -> CertificateContent:
    """What the certificate of a bird states on `today`.

    Parameters
    ----------
    relatedness
        Of the same snapshot, by convention (unknown parents unrelated), as the footnote on the paper says.
    number
        The certificate number, see `new_certificate_number`.

    Raises
    ------
    RecordProblems
        If the bird is a placeholder, of which there is nothing to certify.
    KeyError
        If the book has no such bird.
    """
    bird = snapshot.bird(bird_id)
    if bird.placeholder:
        raise RecordProblems(
            (
                Problem(
                    "placeholder",
                    _(
                        "{bird} only stands for a parent nobody recorded: it cannot have a certificate."
                    ).format(bird=bird.called),
                    (bird.called,),
                ),
            )
        )
    details = snapshot.details
    row = snapshot.rows[bird_id]
    is_known = any(pair.sire and pair.dam for pair in bird.pairs)
    breeder, bred_here = _breeder(snapshot, bird)
    photo = next((photo.sha256 for photo in snapshot.photos if photo.bird == bird_id), "")
    sire, dam = _places(snapshot, bird, options.generations)
    if not options.show_colours:
        sire, dam = _without_colours(sire), _without_colours(dam)
    return CertificateContent(
        number=number,
        issued=today,
        owner=owner,
        book=details.id,
        keeper=details.keeper,
        yard=details.yard,
        address=details.address,
        flock_registration=details.flock_registration,
        bird=bird.id,
        species=bird.species,
        name=bird.name,
        mark=bird.mark,
        marks=tuple(mark for mark in bird.marks if mark.is_worn),
        breed=bird.breed,
        colour=bird.colour,
        sex=bird.sex,
        hatched=bird.hatched,
        breeder=breeder,
        bred_here=bred_here,
        generations=options.generations,
        sire=sire,
        dam=dam,
        doubtful_pairs=tuple(_doubtful_pairs(snapshot, bird, sire, dam)),
        shows_inbreeding=options.show_inbreeding,
        inbreeding=float(relatedness.inbreeding[row]) if is_known and options.show_inbreeding else None,
        known_ancestors=relatedness.known_ancestors(bird_id) if options.show_inbreeding else 0,
        complete_generations=float(relatedness.generations[row]) if options.show_inbreeding else 0.0,
        rests_on_origins=_rests_on_origins(snapshot, bird),
        photo=photo if options.show_photo else "",
    )


def certificate_checksum(content: CertificateContent) -> str:
    """The first 80 bits of the SHA-256 of everything the certificate states: ``ABCD-EFGH-JKMN-PQRS``.

    Figures count as they are printed, to one decimal: the last digits a machine works out are not stated.
    Written in the base 32 alphabet of Crockford, which has no letters that are mistaken for figures.
    """
    facts = asdict(content)
    if content.inbreeding is not None:
        facts["inbreeding"] = f"{100 * content.inbreeding:.1f}"
    facts["complete_generations"] = f"{content.complete_generations:.1f}"
    stated = json.dumps(facts, sort_keys=True, ensure_ascii=True, default=str)
    number = int.from_bytes(hashlib.sha256(stated.encode()).digest()[:10], "big")
    alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
    text = "".join(alphabet[number >> shift & 31] for shift in range(75, -1, -5))
    return "-".join(text[start : start + 4] for start in range(0, 16, 4))


def certificate_code(content: CertificateContent) -> str:
    """The text of the QR code: four lines that a person can read as well."""
    return "\n".join(
        (
            f"Studbook certificate {content.number}",
            f"Book {content.book}",
            f"Mark {content.mark}",
            f"Check {certificate_checksum(content)}",
        )
    )


def is_certified_by(content: CertificateContent, code_text: str) -> bool:
    """True when the text read from a certificate's QR code belongs to exactly this content."""
    return [line.strip() for line in code_text.strip().splitlines()] == [
        line.strip() for line in certificate_code(content).splitlines()
    ]


def new_certificate_number(snapshot: Snapshot, today: date) -> str:
    """The next number of the year, such as ``2027-003``: one more than the highest in the book."""
    prefix = f"{today.year}-"
    given = [
        int(certificate.number.removeprefix(prefix))
        for certificate in snapshot.certificates
        if certificate.number.startswith(prefix) and certificate.number.removeprefix(prefix).isdecimal()
    ]
    return f"{prefix}{max(given, default=0) + 1:03d}"


def _breeder(snapshot: Snapshot, bird: Bird) -> tuple[str, bool]:
    details = snapshot.details
    contact = snapshot.contact(bird.breeder)
    if contact:
        return contact.name, contact.name == details.keeper
    origin = snapshot.origin(bird.origin)
    if origin:
        return origin.name, False
    if bird.founder or bird.arrived is not None:
        return "", False
    return ", ".join(part for part in (details.keeper, details.yard) if part), True


def _places(snapshot: Snapshot, bird: Bird, generations: int) -> tuple[Place, Place]:
    sires: dict[BirdId | None, float] = {}
    dams: dict[BirdId | None, float] = {}
    for pair in bird.pairs:
        sires[pair.sire] = sires.get(pair.sire, 0.0) + pair.weight
        dams[pair.dam] = dams.get(pair.dam, 0.0) + pair.weight
    return (
        _place(snapshot, Sex.COCK, sires, generations),
        _place(snapshot, Sex.HEN, dams, generations),
    )


def _place(snapshot: Snapshot, side: Sex, weights: dict[BirdId | None, float], generations: int) -> Place:
    if not any(parent for parent in weights):
        return Place(side)
    ordered = sorted(weights.items(), key=lambda item: (item[0] is None, -item[1]))
    candidates = tuple(
        Candidate(_ancestor(snapshot, snapshot.bird(parent)) if parent else None, weight)
        for parent, weight in ordered
    )
    only = ordered[0][0]
    if len(candidates) > 1 or only is None or generations == 1:
        return Place(side, candidates)
    return Place(side, candidates, *_places(snapshot, snapshot.bird(only), generations - 1))


def _without_colours(place: Place) -> Place:
    return replace(
        place,
        candidates=tuple(
            replace(candidate, ancestor=candidate.ancestor and replace(candidate.ancestor, colour=""))
            for candidate in place.candidates
        ),
        sire=place.sire and _without_colours(place.sire),
        dam=place.dam and _without_colours(place.dam),
    )


def _ancestor(snapshot: Snapshot, bird: Bird) -> Ancestor:
    origin = snapshot.origin(bird.origin)
    return Ancestor(
        bird=bird.id,
        name=bird.name,
        mark=bird.mark,
        sex=bird.sex,
        colour=bird.colour,
        hatched=bird.hatched,
        origin=origin.name if origin else "",
        placeholder=bird.placeholder,
    )


def _doubtful_pairs(snapshot: Snapshot, bird: Bird, sire: Place, dam: Place) -> Iterator[DoubtfulPairs]:
    """The pairs behind every place where sire and dam are doubtful together."""

    def called(parent: BirdId | None) -> str:
        return snapshot.bird(parent).called if parent else ""

    if sire.is_doubtful and dam.is_doubtful:
        pairs = sorted(bird.pairs, key=lambda pair: -pair.weight)
        yield DoubtfulPairs(
            bird.called, tuple((called(pair.sire), called(pair.dam), pair.weight) for pair in pairs)
        )
    for place in (sire, dam):
        if place.certain and place.sire and place.dam:
            yield from _doubtful_pairs(snapshot, snapshot.bird(place.certain.bird), place.sire, place.dam)


def _rests_on_origins(snapshot: Snapshot, bird: Bird) -> bool:
    related = {origin.id for origin in snapshot.origins if origin.self_relationship > 0}
    waiting, met = [bird.id], set[BirdId]()
    while waiting and related:
        ancestor = snapshot.bird(waiting.pop())
        if ancestor.origin in related:
            return True
        fresh = {*ancestor.sires, *ancestor.dams} - met
        met |= fresh
        waiting += fresh
    return False
