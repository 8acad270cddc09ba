"""Rows of the file turned into the frozen rows of `records`."""

from collections.abc import Collection, Iterable, Mapping
from typing import Any, TypeVar

from sqlalchemy import select
from sqlalchemy.orm import Session

from studbook.book import models
from studbook.book.records import (
    Basis,
    Bird,
    BirdId,
    BookDetails,
    Certificate,
    CertificateId,
    Contact,
    ContactId,
    Mark,
    MarkId,
    Note,
    NoteId,
    Origin,
    OriginId,
    OriginRelation,
    Pair,
    Photo,
    PhotoId,
)

_BATCH = 500
T = TypeVar("T")


def read_birds(session: Session, ids: Collection[BirdId] | None = None) -> dict[BirdId, Bird]:
    """The birds with these ids, or every bird, with their marks and pairs."""
    found: dict[BirdId, Bird] = {}
    if ids is None:
        _read_batch(session, None, found)
        return found
    wanted = list(ids)
    for start in range(0, len(wanted), _BATCH):
        _read_batch(session, wanted[start : start + _BATCH], found)
    return found


def _read_batch(session: Session, ids: list[BirdId] | None, found: dict[BirdId, Bird]) -> None:
    bird = models.BirdRow.__table__.c
    birds, marks, pairs = (
        select(*table.__table__.c) for table in (models.BirdRow, models.MarkRow, models.ParentageRow)
    )
    if ids is not None:
        chosen = select(bird.key).where(bird.uuid.in_(ids))
        birds = birds.where(bird.uuid.in_(ids))
        marks = marks.where(models.MarkRow.bird_key.in_(chosen))
        pairs = pairs.where(models.ParentageRow.bird_key.in_(chosen))
    bird_rows = session.execute(birds.order_by(bird.key)).all()
    mark_rows = session.execute(marks.order_by(models.MarkRow.key)).all()
    pair_rows = session.execute(pairs.order_by(models.ParentageRow.key)).all()
    uuids = _uuids(session, models.BirdRow, _bird_keys(bird_rows, pair_rows), everything=ids is None)
    origins = _uuids(session, models.OriginRow, (row.origin_key for row in bird_rows))
    people = (key for row in bird_rows for key in (row.breeder_key, row.taker_key))
    contacts = _uuids(session, models.ContactRow, people)
    marks_of: dict[int, list[Mark]] = {}
    for row in mark_rows:
        marks_of.setdefault(row.bird_key, []).append(
            Mark(MarkId(row.uuid), row.kind, row.code, row.place, row.colour, row.size, row.since, row.until)
        )
    for row in bird_rows:
        found[BirdId(row.uuid)] = Bird(
            id=BirdId(row.uuid),
            name=row.name,
            species=row.species,
            breed=row.breed,
            sex=row.sex,
            hatched=row.hatched,
            colour=row.colour,
            comb=row.comb,
            note=row.note,
            placeholder=row.placeholder,
            founder=row.founder,
            origin=_named(OriginId, origins, row.origin_key),
            breeder=_named(ContactId, contacts, row.breeder_key),
            rearer=_named(BirdId, uuids, row.rearer_key),
            arrived=row.arrived,
            status=row.status,
            left=row.left,
            cause=row.cause,
            taker=_named(ContactId, contacts, row.taker_key),
            struck=row.struck,
            marks=tuple(marks_of.get(row.key, ())),
            pairs=(),
        )
    pairs_of: dict[BirdId, list[Pair]] = {}
    for row in pair_rows:
        pair = Pair(
            _named(BirdId, uuids, row.sire_key),
            _named(BirdId, uuids, row.dam_key),
            row.weight,
            row.basis,
            row.reason,
        )
        pairs_of.setdefault(BirdId(uuids[row.bird_key]), []).append(pair)
    for bird_id, of_bird in pairs_of.items():
        object.__setattr__(found[bird_id], "pairs", _in_force(of_bird))


def _in_force(pairs: list[Pair]) -> tuple[Pair, ...]:
    """The keeper's pairs when there are any, else those worked out from stays."""
    said = tuple(pair for pair in pairs if pair.basis is Basis.KEEPER)
    return said or tuple(pairs)


def _bird_keys(birds: Iterable[Any], pairs: Iterable[Any]) -> Iterable[int | None]:
    for row in birds:
        yield row.key
        yield row.rearer_key
    for row in pairs:
        yield row.sire_key
        yield row.dam_key


def _uuids(
    session: Session, model: type[models.Journaled], keys: Iterable[int | None], everything: bool = False
) -> Mapping[int, str]:
    query = select(model.key, model.uuid)
    if everything:
        return {row.key: row.uuid for row in session.execute(query)}
    wanted = list({key for key in keys if key is not None})
    found: dict[int, str] = {}
    for start in range(0, len(wanted), _BATCH):
        rows = session.execute(query.where(model.key.in_(wanted[start : start + _BATCH])))
        found.update((row.key, row.uuid) for row in rows)
    return found


def _named(kind: Any, uuids: Mapping[int, str], key: int | None) -> Any:
    return None if key is None else kind(uuids[key])


def read_details(session: Session) -> BookDetails:
    """Whose book it is."""
    row = session.scalars(select(models.DetailsRow)).one()
    return BookDetails(
        id=row.uuid,
        keeper=row.keeper,
        yard=row.yard,
        address=row.address,
        flock_registration=row.flock_registration,
        species=row.species,
        breed=row.breed,
        sample=row.sample,
    )


def read_origins(session: Session) -> tuple[Origin, ...]:
    """Every origin, by name."""
    rows = session.scalars(select(models.OriginRow).order_by(models.OriginRow.name))
    return tuple(Origin(OriginId(row.uuid), row.name, row.self_relationship, row.note) for row in rows)


def read_origin_relations(session: Session) -> tuple[OriginRelation, ...]:
    """Every pair of related origins, by their ids."""
    rows = session.scalars(select(models.OriginRelationRow)).all()
    keys = [key for row in rows for key in (row.origin_key, row.other_key)]
    uuids = _uuids(session, models.OriginRow, keys)
    found = (
        OriginRelation.between(
            OriginId(uuids[row.origin_key]), OriginId(uuids[row.other_key]), row.relationship
        )
        for row in rows
    )
    return tuple(sorted(found, key=lambda relation: (relation.origin, relation.other)))


def read_contacts(session: Session) -> tuple[Contact, ...]:
    """Every contact, by name."""
    rows = session.scalars(select(models.ContactRow).order_by(models.ContactRow.name))
    return tuple(
        Contact(ContactId(row.uuid), row.name, row.address, row.phone, row.email, row.note) for row in rows
    )


def read_notes(session: Session) -> tuple[Note, ...]:
    """Every note, in the order of writing."""
    rows = session.execute(_of_birds(models.NoteRow))
    return tuple(Note(NoteId(row.uuid), BirdId(bird), row.on, row.text) for row, bird in rows)


def read_photos(session: Session) -> tuple[Photo, ...]:
    """Every photo, in the order of adding."""
    rows = session.execute(_of_birds(models.PhotoRow))
    return tuple(
        Photo(PhotoId(row.uuid), BirdId(bird), row.sha256, row.width, row.height, row.caption, row.taken)
        for row, bird in rows
    )


def read_certificates(session: Session) -> tuple[Certificate, ...]:
    """Every certificate issued, oldest first."""
    rows = session.execute(_of_birds(models.CertificateRow))
    return tuple(
        Certificate(
            CertificateId(row.uuid),
            row.number,
            BirdId(bird),
            row.issued.earliest,
            row.owner,
            row.checksum,
            row.generations,
            row.paper,
        )
        for row, bird in rows
    )


def _of_birds(model: Any) -> Any:
    return (
        select(model, models.BirdRow.uuid)
        .join(models.BirdRow, models.BirdRow.key == model.bird_key)
        .order_by(model.key)
    )
