"""Changes of the birds themselves: adding, registering a hatch, editing, parents, status, striking out."""

from dataclasses import dataclass

from sqlalchemy import select

from studbook.book import models
from studbook.book.changes.change import called
from studbook.book.changes.leaving import leave_pens
from studbook.book.errors import Problem, RecordProblems
from studbook.book.records import Basis, Bird, BirdId, ContactId, Mark, Pair, Sex, Snapshot, Status
from studbook.book.writing import Writing, write_differences
from studbook.dates import UNKNOWN_DATE, PartialDate
from studbook.words import _, plural

PLAIN_FIELDS = (
    "name",
    "species",
    "breed",
    "sex",
    "hatched",
    "colour",
    "comb",
    "note",
    "placeholder",
    "founder",
    "arrived",
    "status",
    "left",
    "cause",
)
"""The fields of a bird that are columns of its row as they are."""

MARK_FIELDS = ("kind", "code", "place", "colour", "size", "since", "until")
"""The fields of a mark that are columns of its row."""

LINKS = {
    "origin": models.OriginRow,
    "breeder": models.ContactRow,
    "rearer": models.BirdRow,
    "taker": models.ContactRow,
}
"""The fields of a bird that point to another row."""


@dataclass(frozen=True, slots=True)
class AddBirds:
    """Add birds with their marks and pairs; the pairs may name birds of the same batch."""

    birds: tuple[Bird, ...]

    def label(self, before: Snapshot) -> str:
        if len(self.birds) == 1 and (self.birds[0].mark or self.birds[0].name):
            return _("add {bird}").format(bird=self.birds[0].called)
        return plural("add {count} bird", "add {count} birds", len(self.birds)).format(count=len(self.birds))

    def write(self, writing: Writing) -> None:
        add_birds(writing, self.birds)


def add_birds(writing: Writing, birds: tuple[Bird, ...]) -> None:
    """Write new birds: all the keys first, so that links may point forward."""
    reserved = [writing.reserve(models.BirdRow, bird.id) for bird in birds]
    for (key, uuid), bird in zip(reserved, birds, strict=True):
        values = {field: getattr(bird, field) for field in PLAIN_FIELDS}
        for field, model in LINKS.items():
            values[f"{field}_key"] = writing.key_or_none(model, getattr(bird, field))
        writing.add_reserved(models.BirdRow, key, uuid, **values)
        for mark in bird.marks:
            add_mark(writing, key, mark)
        add_pairs(writing, key, bird.pairs)


def add_mark(writing: Writing, bird_key: int, mark: Mark) -> None:
    """Write a mark of a bird."""
    values = {field: getattr(mark, field) for field in MARK_FIELDS}
    writing.add(models.MarkRow, mark.id, bird_key=bird_key, **values)


def add_pairs(writing: Writing, bird_key: int, pairs: tuple[Pair, ...]) -> None:
    """Write the candidate pairs of a bird."""
    for pair in pairs:
        writing.add(
            models.ParentageRow,
            bird_key=bird_key,
            sire_key=writing.key_or_none(models.BirdRow, pair.sire),
            dam_key=writing.key_or_none(models.BirdRow, pair.dam),
            weight=pair.weight,
            basis=pair.basis,
            reason=pair.reason,
        )


def replace_stay_pairs(writing: Writing, bird: BirdId, pairs: tuple[Pair, ...]) -> None:
    """Put the pairs that stays give in place of those they gave before; the keeper's rows remain."""
    bird_key = writing.key(models.BirdRow, bird)
    worked_out = (models.ParentageRow.bird_key == bird_key, models.ParentageRow.basis == Basis.STAYS)
    stored = writing.session.scalars(select(models.ParentageRow).where(*worked_out)).all()
    wanted = [
        (
            writing.key_or_none(models.BirdRow, pair.sire),
            writing.key_or_none(models.BirdRow, pair.dam),
            pair.weight,
            pair.reason,
        )
        for pair in pairs
    ]
    if [(row.sire_key, row.dam_key, row.weight, row.reason) for row in stored] == wanted:
        return
    for row in stored:
        writing.session.delete(row)
    add_pairs(writing, bird_key, pairs)


def replace_pairs(writing: Writing, bird_key: int, pairs: tuple[Pair, ...]) -> None:
    """Put the keeper's `pairs` in place of those he gave before; rows worked out from stays remain."""
    of_bird = models.ParentageRow.bird_key == bird_key
    said = models.ParentageRow.basis == Basis.KEEPER
    for row in writing.session.scalars(select(models.ParentageRow).where(of_bird, said)):
        writing.session.delete(row)
    add_pairs(writing, bird_key, pairs)


@dataclass(frozen=True, slots=True)
class Chick:
    """One hatchling of a hatch."""

    marks: tuple[Mark, ...] = ()
    name: str = ""
    sex: Sex = Sex.UNKNOWN
    colour: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class RegisterHatch:
    """Register the chicks of one hatch with their parents and the bird that rears them."""

    hatched: PartialDate
    pairs: tuple[Pair, ...]
    chicks: tuple[Chick, ...]
    rearer: BirdId | None = None
    species: str = "chicken"
    breed: str = ""

    def label(self, before: Snapshot) -> str:
        text = plural(
            "register {count} chick hatched {date}",
            "register {count} chicks hatched {date}",
            len(self.chicks),
        )
        return text.format(count=len(self.chicks), date=self.hatched)

    def write(self, writing: Writing) -> None:
        if not self.chicks:
            message = _("The hatch has no chick: enter how many hatched.")
            raise RecordProblems((Problem("empty", message, field="chicks"),))
        add_birds(writing, tuple(self._bird(chick) for chick in self.chicks))

    def _bird(self, chick: Chick) -> Bird:
        return Bird(
            id=BirdId(""),
            name=chick.name,
            species=self.species,
            breed=self.breed,
            sex=chick.sex,
            hatched=self.hatched,
            colour=chick.colour,
            note=chick.note,
            rearer=self.rearer,
            marks=chick.marks,
            pairs=self.pairs,
        )


@dataclass(frozen=True, slots=True)
class EditBird:
    """Change what differs between `before` and `after`; marks and parents have changes of their own."""

    before: Bird
    after: Bird

    def label(self, before: Snapshot) -> str:
        return _("edit {bird}").format(bird=self.before.called)

    def write(self, writing: Writing) -> None:
        edit_bird(writing, self.before, self.after)


def edit_bird(writing: Writing, before: Bird, after: Bird) -> None:
    """Write the fields of a bird that differ."""
    row = writing.row(models.BirdRow, before.id)
    write_differences(row, before, after, PLAIN_FIELDS)
    for field, model in LINKS.items():
        if getattr(after, field) != getattr(before, field):
            setattr(row, f"{field}_key", writing.key_or_none(model, getattr(after, field)))


@dataclass(frozen=True, slots=True)
class SetParents:
    """Give a bird other candidate pairs of parents, by the keeper's word."""

    bird: BirdId
    pairs: tuple[Pair, ...]
    reason: str = ""

    def label(self, before: Snapshot) -> str:
        return _("set the parents of {bird}").format(bird=called(before, self.bird))

    def write(self, writing: Writing) -> None:
        pairs = tuple(
            Pair(pair.sire, pair.dam, pair.weight, Basis.KEEPER, pair.reason or self.reason)
            for pair in self.pairs
        )
        replace_pairs(writing, writing.key(models.BirdRow, self.bird), pairs)


@dataclass(frozen=True, slots=True)
class SetStatus:
    """Say what became of birds: sold, died, living again. `left` is the day they left."""

    birds: tuple[BirdId, ...]
    status: Status
    left: PartialDate = UNKNOWN_DATE
    cause: str = ""
    taker: ContactId | None = None

    def label(self, before: Snapshot) -> str:
        return _("mark {birds} as {status}").format(birds=called(before, *self.birds), status=_(self.status))

    def write(self, writing: Writing) -> None:
        for row in writing.rows(models.BirdRow, self.birds):
            row.status = self.status
            row.left = self.left
            row.cause = self.cause
            row.taker_key = writing.key_or_none(models.ContactRow, self.taker)
        if self.status is not Status.LIVING and self.left.is_known:
            leave_pens(writing, self.birds, self.left.latest)


@dataclass(frozen=True, slots=True)
class StrikeOut:
    """Strike birds out of the book, with a reason; they can be restored."""

    birds: tuple[BirdId, ...]
    reason: str

    def label(self, before: Snapshot) -> str:
        return _("strike out {birds}").format(birds=called(before, *self.birds))

    def write(self, writing: Writing) -> None:
        if not self.reason.strip():
            message = _("Striking out {birds} needs a reason: say why it should not stand in the book.")
            names = called(writing.before, *self.birds)
            raise RecordProblems((Problem("reason", message.format(birds=names), field="reason"),))
        for row in writing.rows(models.BirdRow, self.birds):
            row.struck = self.reason


@dataclass(frozen=True, slots=True)
class Restore:
    """Bring birds back that were struck out."""

    birds: tuple[BirdId, ...]

    def label(self, before: Snapshot) -> str:
        return _("restore {birds}").format(birds=called(before, *self.birds))

    def write(self, writing: Writing) -> None:
        for row in writing.rows(models.BirdRow, self.birds):
            row.struck = None
