"""Changes of the book's own details, of contacts and of origins."""

from dataclasses import dataclass

from sqlalchemy import select

from studbook.book import models
from studbook.book.errors import Problem, RecordProblems
from studbook.book.records import BookDetails, Contact, Origin, OriginId, Snapshot
from studbook.book.writing import Writing, write_differences
from studbook.words import _

_DETAILS_FIELDS = ("keeper", "yard", "address", "flock_registration", "species", "breed")
_CONTACT_FIELDS = ("name", "address", "phone", "email", "note")
_ORIGIN_FIELDS = ("name", "self_relationship", "note")


@dataclass(frozen=True, slots=True)
class EditDetails:
    """Change what differs between two states of the book's details."""

    before: BookDetails
    after: BookDetails

    def label(self, before: Snapshot) -> str:
        return _("edit the book's details")

    def write(self, writing: Writing) -> None:
        row = writing.row(models.DetailsRow, self.before.id)
        write_differences(row, self.before, self.after, _DETAILS_FIELDS)


def _require_name(name: str) -> None:
    if not name.strip():
        raise RecordProblems((Problem("name", _("The name is empty: enter one."), field="name"),))


@dataclass(frozen=True, slots=True)
class AddContact:
    """Add a person birds come from or go to."""

    contact: Contact

    def label(self, before: Snapshot) -> str:
        return _("add contact {name}").format(name=self.contact.name)

    def write(self, writing: Writing) -> None:
        _require_name(self.contact.name)
        values = {field: getattr(self.contact, field) for field in _CONTACT_FIELDS}
        writing.add(models.ContactRow, self.contact.id, **values)


@dataclass(frozen=True, slots=True)
class EditContact:
    """Change what differs between two states of a contact."""

    before: Contact
    after: Contact

    def label(self, before: Snapshot) -> str:
        return _("edit contact {name}").format(name=self.before.name)

    def write(self, writing: Writing) -> None:
        _require_name(self.after.name)
        row = writing.row(models.ContactRow, self.before.id)
        write_differences(row, self.before, self.after, _CONTACT_FIELDS)


@dataclass(frozen=True, slots=True)
class AddOrigin:
    """Add a yard birds are bought from."""

    origin: Origin

    def label(self, before: Snapshot) -> str:
        return _("add origin {name}").format(name=self.origin.name)

    def write(self, writing: Writing) -> None:
        _require_name(self.origin.name)
        _require_relationship(self.origin)
        values = {field: getattr(self.origin, field) for field in _ORIGIN_FIELDS}
        writing.add(models.OriginRow, self.origin.id, **values)


@dataclass(frozen=True, slots=True)
class EditOrigin:
    """Change what differs between two states of an origin."""

    before: Origin
    after: Origin

    def label(self, before: Snapshot) -> str:
        return _("edit origin {name}").format(name=self.before.name)

    def write(self, writing: Writing) -> None:
        _require_name(self.after.name)
        _require_relationship(self.after)
        row = writing.row(models.OriginRow, self.before.id)
        write_differences(row, self.before, self.after, _ORIGIN_FIELDS)


@dataclass(frozen=True, slots=True)
class RelateOrigins:
    """Say how birds of two origins are assumed to be related, by γ; 0 takes the relation back."""

    origin: OriginId
    other: OriginId
    relationship: float

    def label(self, before: Snapshot) -> str:
        names = {origin.id: origin.name for origin in before.origins}
        return _("relate {origin} and {other}").format(
            origin=names.get(self.origin, ""), other=names.get(self.other, "")
        )

    def write(self, writing: Writing) -> None:
        first, second = (
            writing.row(models.OriginRow, origin) for origin in sorted((self.origin, self.other))
        )
        _require_others(first.name, second.name, self.relationship, same=self.origin == self.other)
        query = select(models.OriginRelationRow).where(
            models.OriginRelationRow.origin_key == first.key,
            models.OriginRelationRow.other_key == second.key,
        )
        row = writing.session.scalars(query).one_or_none()
        if row is None and self.relationship > 0:
            writing.add(
                models.OriginRelationRow,
                origin_key=first.key,
                other_key=second.key,
                relationship=self.relationship,
            )
        elif row is not None and self.relationship > 0:
            row.relationship = self.relationship
        elif row is not None:
            writing.session.delete(row)


def _require_others(origin: str, other: str, relationship: float, *, same: bool) -> None:
    if same:
        message = _(
            "{origin} cannot be related to itself here: enter how its birds are related with the origin."
        )
        raise RecordProblems((Problem("origin", message.format(origin=origin), field="other"),))
    if not 0 <= relationship <= 2:
        message = _("The assumed relationship of {origin} and {other} is {value}: it lies between 0 and 2.")
        text = message.format(origin=origin, other=other, value=relationship)
        raise RecordProblems((Problem("origin", text, field="relationship"),))


def _require_relationship(origin: Origin) -> None:
    if not 0 <= origin.self_relationship <= 2:
        message = _("The assumed relationship of the birds of {origin} is {value}: it lies between 0 and 2.")
        text = message.format(origin=origin.name, value=origin.self_relationship)
        raise RecordProblems((Problem("origin", text, field="self_relationship"),))
