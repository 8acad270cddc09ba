"""Changes of what is kept about a bird: notes, photos, certificates."""

import hashlib
from dataclasses import dataclass

from studbook.book import models
from studbook.book.changes.change import called
from studbook.book.errors import Problem, RecordProblems
from studbook.book.records import BirdId, Certificate, NoteId, PhotoId, Snapshot
from studbook.book.writing import Writing
from studbook.dates import UNKNOWN_DATE, PartialDate
from studbook.words import _


def _require_text(text: str) -> None:
    if not text.strip():
        raise RecordProblems(
            (Problem("note", _("The note is empty: write what should be kept."), field="text"),)
        )


@dataclass(frozen=True, slots=True)
class AddNote:
    """Keep a dated remark about a bird."""

    bird: BirdId
    on: PartialDate
    text: str

    def label(self, before: Snapshot) -> str:
        return _("add a note about {bird}").format(bird=called(before, self.bird))

    def write(self, writing: Writing) -> None:
        _require_text(self.text)
        key = writing.key(models.BirdRow, self.bird)
        writing.add(models.NoteRow, bird_key=key, on=self.on, text=self.text)


@dataclass(frozen=True, slots=True)
class EditNote:
    """Correct a remark."""

    note: NoteId
    on: PartialDate
    text: str

    def label(self, before: Snapshot) -> str:
        return _("edit a note")

    def write(self, writing: Writing) -> None:
        _require_text(self.text)
        row = writing.row(models.NoteRow, self.note)
        row.on, row.text = self.on, self.text


@dataclass(frozen=True, slots=True)
class RemoveNote:
    """Remove a remark."""

    note: NoteId

    def label(self, before: Snapshot) -> str:
        return _("remove a note")

    def write(self, writing: Writing) -> None:
        writing.session.delete(writing.row(models.NoteRow, self.note))


@dataclass(frozen=True, slots=True)
class AddPhoto:
    """Keep a picture of a bird, already decoded, turned upright and shrunk by the caller."""

    bird: BirdId
    content: bytes
    thumbnail: bytes
    width: int
    height: int
    caption: str = ""
    taken: PartialDate = UNKNOWN_DATE

    def label(self, before: Snapshot) -> str:
        return _("add a photo of {bird}").format(bird=called(before, self.bird))

    def write(self, writing: Writing) -> None:
        key = writing.key(models.BirdRow, self.bird)
        sha256 = hashlib.sha256(self.content).hexdigest()
        if writing.session.get(models.PictureRow, sha256) is None:
            picture = models.PictureRow(sha256=sha256, content=self.content, thumbnail=self.thumbnail)
            writing.session.add(picture)
        writing.add(
            models.PhotoRow,
            bird_key=key,
            sha256=sha256,
            width=self.width,
            height=self.height,
            caption=self.caption,
            taken=self.taken,
        )


@dataclass(frozen=True, slots=True)
class RemovePhoto:
    """Take a picture off a bird's page; its bytes stay in the book for undo."""

    photo: PhotoId

    def label(self, before: Snapshot) -> str:
        return _("remove a photo")

    def write(self, writing: Writing) -> None:
        writing.session.delete(writing.row(models.PhotoRow, self.photo))


@dataclass(frozen=True, slots=True)
class IssueCertificate:
    """Record that a certificate was issued, under its number."""

    certificate: Certificate

    def label(self, before: Snapshot) -> str:
        bird = called(before, self.certificate.bird)
        return _("issue certificate {number} for {bird}").format(number=self.certificate.number, bird=bird)

    def write(self, writing: Writing) -> None:
        certificate = self.certificate
        if not certificate.number.strip():
            message = _("The certificate has no number: enter one.")
            raise RecordProblems((Problem("number", message, field="number"),))
        if any(issued.number == certificate.number for issued in writing.before.certificates):
            message = _("Certificate {number} has been issued before: take the next free number.")
            raise RecordProblems(
                (Problem("number", message.format(number=certificate.number), field="number"),)
            )
        writing.add(
            models.CertificateRow,
            certificate.id,
            number=certificate.number,
            bird_key=writing.key(models.BirdRow, certificate.bird),
            issued=PartialDate.of(certificate.issued),
            owner=certificate.owner,
            checksum=certificate.checksum,
            generations=certificate.generations,
            paper=certificate.paper,
        )
