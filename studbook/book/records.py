"""The record as the rest of the program sees it: frozen rows, free of any database."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from functools import cached_property
from typing import NewType

from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Husbandry
from studbook.book.ids import BirdId as BirdId
from studbook.book.ids import CertificateId as CertificateId
from studbook.book.ids import ContactId as ContactId
from studbook.book.ids import MarkId as MarkId
from studbook.book.ids import NoteId as NoteId
from studbook.book.ids import OriginId as OriginId
from studbook.book.ids import PhotoId as PhotoId
from studbook.dates import UNKNOWN_DATE, PartialDate

Row = NewType("Row", int)
"""A bird's place in `Snapshot.birds` and in every array made from it."""


class Sex(StrEnum):
    """Cocks are the homogametic sex (ZZ), hens ZW; the words fit every species of the book."""

    COCK = "cock"
    HEN = "hen"
    UNKNOWN = "unknown"


class Status(StrEnum):
    """Where a bird stands today; all but living carry the date it left.

    A bird that is lent is still the keeper's but not in the flock until it is home again.
    """

    LIVING = "living"
    SOLD = "sold"
    GIVEN = "given"
    DIED = "died"
    CULLED = "culled"
    LOST = "lost"
    LENT = "lent"


DEAD = frozenset({Status.DIED, Status.CULLED})
OURS = frozenset({Status.LIVING, Status.LENT})
"""Alive and the keeper's own: a bird that is lent keeps its marks and grows older."""
HANDED_OVER = frozenset({Status.SOLD, Status.GIVEN, Status.LENT})
"""Gone to somebody: the book names the taker."""


class MarkKind(StrEnum):
    """What kind of mark a bird wears, in the order in which one of several is shown."""

    RING = "ring"
    WING_TAG = "wing tag"
    MICROCHIP = "microchip"
    TOE_PUNCH = "toe punch"
    RING_COLOUR = "ring colour"

    @property
    def is_own(self) -> bool:
        """True for a mark that one living bird wears alone, False for one a group shares."""
        return self in (MarkKind.RING, MarkKind.WING_TAG, MarkKind.MICROCHIP)


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on a bird; left and right are the bird's own. `until` is None while it is worn."""

    id: MarkId
    kind: MarkKind
    code: str
    place: str = ""
    colour: str = ""
    size: str = ""
    since: PartialDate = UNKNOWN_DATE
    until: PartialDate | None = None

    @property
    def is_worn(self) -> bool:
        """True while the bird wears it."""
        return self.until is None


class Basis(StrEnum):
    """Who said so: the keeper's rows win over those worked out from stays."""

    KEEPER = "keeper"
    STAYS = "stays"


@dataclass(frozen=True, slots=True)
class Pair:
    """One candidate pair of parents; the weights of a bird's pairs sum to 1."""

    sire: BirdId | None
    dam: BirdId | None
    weight: float = 1.0
    basis: Basis = Basis.KEEPER
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Bird:
    """One bird of the book, with its marks and its candidate parents.

    A `placeholder` is a parent of whom nothing is known but that it was one bird. A bird is a
    founder when it was bought in from an `origin` or declared one; a home-hatched bird without
    parents is incomplete. `struck` holds the reason of a bird struck out of the book.
    """

    id: BirdId
    name: str = ""
    species: str = "chicken"
    breed: str = ""
    sex: Sex = Sex.UNKNOWN
    hatched: PartialDate = UNKNOWN_DATE
    colour: str = ""
    comb: str = ""
    note: str = ""
    placeholder: bool = False
    founder: bool = False
    origin: OriginId | None = None
    breeder: ContactId | None = None
    rearer: BirdId | None = None
    arrived: PartialDate | None = None
    status: Status = Status.LIVING
    left: PartialDate = UNKNOWN_DATE
    cause: str = ""
    taker: ContactId | None = None
    struck: str | None = None
    marks: tuple[Mark, ...] = ()
    pairs: tuple[Pair, ...] = ()

    @property
    def mark(self) -> str:
        """The one mark to show: a numbered ring, then wing tag, chip, group mark; else empty."""
        worn = [mark for mark in self.marks if mark.is_worn]
        if not worn:
            return ""
        order = list(MarkKind)
        return min(worn, key=lambda mark: order.index(mark.kind)).code

    @property
    def shown_mark(self) -> Mark | None:
        """The mark whose code `mark` gives."""
        code = self.mark
        return next((mark for mark in self.marks if mark.is_worn and mark.code == code), None)

    @property
    def called(self) -> str:
        """What a sentence calls it: the mark, else the name, else the start of its id."""
        return self.mark or self.name or f"#{self.id[:8]}"

    @property
    def is_living(self) -> bool:
        """True for a bird of the flock: living, neither placeholder nor struck out."""
        return self.status is Status.LIVING and not self.placeholder and self.struck is None

    @property
    def is_ours(self) -> bool:
        """True for a living bird of the keeper, whether it is in the flock or lent."""
        return self.status in OURS and not self.placeholder and self.struck is None

    @property
    def is_founder(self) -> bool:
        """True when its missing parents are a fact, not a gap in the record."""
        return self.founder or self.origin is not None

    @property
    def sires(self) -> tuple[BirdId, ...]:
        """The candidate sires, most likely first."""
        return _by_weight((pair.sire, pair.weight) for pair in self.pairs)

    @property
    def dams(self) -> tuple[BirdId, ...]:
        """The candidate dams, most likely first."""
        return _by_weight((pair.dam, pair.weight) for pair in self.pairs)

    @property
    def sire(self) -> BirdId | None:
        """The sire when he is certain."""
        return self.sires[0] if len({pair.sire for pair in self.pairs}) == 1 and self.sires else None

    @property
    def dam(self) -> BirdId | None:
        """The dam when she is certain."""
        return self.dams[0] if len({pair.dam for pair in self.pairs}) == 1 and self.dams else None


def _by_weight(parents: Iterable[tuple[BirdId | None, float]]) -> tuple[BirdId, ...]:
    total: dict[BirdId, float] = {}
    for parent, weight in parents:
        if parent is not None:
            total[parent] = total.get(parent, 0.0) + weight
    return tuple(sorted(total, key=lambda parent: -total[parent]))


@dataclass(frozen=True, slots=True)
class BookDetails:
    """Whose book it is and what it usually records."""

    id: str
    keeper: str = ""
    yard: str = ""
    address: str = ""
    flock_registration: str = ""
    species: str = "chicken"
    breed: str = ""
    sample: bool = False


@dataclass(frozen=True, slots=True)
class Origin:
    """A yard birds were bought from; `self_relationship` is the assumed γ of its birds."""

    id: OriginId
    name: str
    self_relationship: float = 0.0
    note: str = ""


@dataclass(frozen=True, slots=True)
class OriginRelation:
    """Two yards whose birds are assumed to be related, by γ; `origin` is the one whose id sorts first."""

    origin: OriginId
    other: OriginId
    relationship: float

    @classmethod
    def between(cls, one: OriginId, other: OriginId, relationship: float) -> "OriginRelation":
        """The relation of two origins, whichever is named first."""
        return cls(min(one, other), max(one, other), relationship)


@dataclass(frozen=True, slots=True)
class Contact:
    """A person birds come from or go to."""

    id: ContactId
    name: str
    address: str = ""
    phone: str = ""
    email: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """A dated remark about one bird."""

    id: NoteId
    bird: BirdId
    on: PartialDate
    text: str


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture of a bird; its bytes lie in the book under `sha256`."""

    id: PhotoId
    bird: BirdId
    sha256: str
    width: int
    height: int
    caption: str = ""
    taken: PartialDate = UNKNOWN_DATE


@dataclass(frozen=True, slots=True)
class Certificate:
    """A certificate that was issued: its number, for which bird and owner, and what it said."""

    id: CertificateId
    number: str
    bird: BirdId
    issued: date
    owner: str = ""
    checksum: str = ""
    generations: int = 4
    paper: str = "A4"


class EntryKind(StrEnum):
    """A journal entry is a change, or one that takes a change back or makes it again."""

    CHANGE = "change"
    UNDO = "undo"
    REDO = "redo"


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the journal. `birds` are the birds whose rows it touched."""

    number: int
    at: datetime
    kind: EntryKind
    label: str
    why: str = ""
    birds: tuple[BirdId, ...] = ()
    warnings: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class StoredFigures:
    """What the numbers of one way of taking unknown parents can go on from, for the book to keep.

    Attributes
    ----------
    book, entry
        The id of the book, and the last journal entry of the snapshot they were found from.
    way
        How unknown parents were taken.
    by_stamp
        Self-relationship and sampling variance under the stamp of what they rest on.
    birds
        The bird of each stamp; a mean of birds or an origin has none.
    """

    book: str
    entry: int
    way: str
    by_stamp: Mapping[bytes, tuple[float, float]]
    birds: Mapping[bytes, BirdId]


@dataclass(frozen=True)
class Snapshot:
    """The whole book as read at one moment; every number and every page is made from one.

    Attributes
    ----------
    entry
        The number of the last journal entry it contains (0 for a fresh book).
    birds
        All birds but the struck ones, parents before offspring: a bird's index is its `Row`.
    stored
        Numbers found before, under the stamps of what they rest on: see `studbook.book.stored`.
    """

    entry: int
    details: BookDetails
    birds: tuple[Bird, ...] = ()
    struck: tuple[Bird, ...] = ()
    origins: tuple[Origin, ...] = ()
    origin_relations: tuple[OriginRelation, ...] = ()
    contacts: tuple[Contact, ...] = ()
    notes: tuple[Note, ...] = ()
    photos: tuple[Photo, ...] = ()
    certificates: tuple[Certificate, ...] = ()
    husbandry: Husbandry = field(default_factory=Husbandry)
    undo_label: str = ""
    redo_label: str = ""
    stored: Mapping[bytes, tuple[float, float]] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def rows(self) -> dict[BirdId, Row]:
        """The row of each bird."""
        return {bird.id: Row(row) for row, bird in enumerate(self.birds)}

    def bird(self, bird_id: BirdId) -> Bird:
        """The bird with this id (KeyError when it is not in the book or struck out)."""
        return self.birds[self.rows[bird_id]]

    def has(self, bird_id: BirdId | None) -> bool:
        """True when the bird is in the book and not struck out."""
        return bird_id in self.rows

    @cached_property
    def offspring(self) -> dict[BirdId, tuple[BirdId, ...]]:
        """The birds each bird is a candidate parent of, in the order of `birds`."""
        found: dict[BirdId, list[BirdId]] = {}
        for bird in self.birds:
            for parent in {*bird.sires, *bird.dams}:
                found.setdefault(parent, []).append(bird.id)
        return {parent: tuple(chicks) for parent, chicks in found.items()}

    @cached_property
    def living(self) -> tuple[Bird, ...]:
        """The birds of the flock now."""
        return tuple(bird for bird in self.birds if bird.is_living)

    def contact(self, contact_id: ContactId | None) -> Contact | None:
        """The contact with this id."""
        return next((contact for contact in self.contacts if contact.id == contact_id), None)

    def origin(self, origin_id: OriginId | None) -> Origin | None:
        """The origin with this id."""
        return next((origin for origin in self.origins if origin.id == origin_id), None)
