"""The pedigree certificate: its facts put into words and onto the page."""

from collections.abc import Iterator
from typing import Any

import segno

from studbook.book.records import BirdId, Sex
from studbook.book.wording import figure, per_cent
from studbook.dates import PartialDate
from studbook.papers import press
from studbook.papers.content import (
    Ancestor,
    Candidate,
    CertificateContent,
    CertificateOptions,
    Place,
    certificate_checksum,
    certificate_code,
    certificate_content,
    is_certified_by,
    new_certificate_number,
)
from studbook.papers.press import Unprintable
from studbook.papers.wording import date_text, mark_text, year_text
from studbook.season.species import species
from studbook.words import _, plural

__all__ = [
    "CertificateContent",
    "CertificateOptions",
    "Unprintable",
    "certificate_checksum",
    "certificate_code",
    "certificate_content",
    "is_certified_by",
    "new_certificate_number",
    "preview_certificate",
    "render_certificate",
]

TEMPLATE = "certificate.typ"
_PAPERS = {"A4": "a4", "Letter": "us-letter"}
MOST_CANDIDATES = 3
MOST_MARK_LINES = 4
_PICTURE_KINDS = {
    b"\xff\xd8\xff": "photo.jpg",
    b"\x89PNG": "photo.png",
    b"RIFF": "photo.webp",
    b"GIF8": "photo.gif",
}


def render_certificate(
    content: CertificateContent, options: CertificateOptions, photo: bytes | None = None
) -> bytes:
    """The certificate as one page of PDF/A-2b; the same content gives the same bytes.

    Parameters
    ----------
    photo
        The picture with the sha256 `content.photo`; without one the page carries an ornament.

    Raises
    ------
    Unprintable
        If no font has a character, or the picture cannot be read.
    """
    pictures = _pictures(photo if content.photo else None)
    return press.print_pdf(TEMPLATE, _sheet(content, options, pictures), pictures)


def preview_certificate(
    content: CertificateContent,
    options: CertificateOptions,
    photo: bytes | None = None,
    picture_format: str = "png",
    ppi: float = press.PREVIEW_PPI,
) -> bytes:
    """The same page as a picture, ``png`` at `ppi` dots an inch or ``svg``.

    Raises
    ------
    Unprintable
        As `render_certificate` does.
    """
    pictures = _pictures(photo if content.photo else None)
    return press.preview(TEMPLATE, _sheet(content, options, pictures), pictures, picture_format, ppi)[0]


def _pictures(photo: bytes | None) -> dict[str, bytes]:
    if photo is None:
        return {}
    for start, name in _PICTURE_KINDS.items():
        if photo.startswith(start):
            return {name: photo}
    raise Unprintable(_("The picture cannot be printed: it is damaged or of a kind that cannot be read."))


def _sheet(
    content: CertificateContent, options: CertificateOptions, pictures: dict[str, bytes]
) -> dict[str, Any]:
    """The data of the template: every word on the page, in the user's language."""
    called = content.mark or content.name
    return {
        "paper": _PAPERS[options.paper],
        "look": press.look(),
        "document": {
            "title": _("Certificate of Pedigree {number}: {bird}").format(number=content.number, bird=called),
            "author": content.keeper or content.yard,
            "date": [content.issued.year, content.issued.month, content.issued.day],
        },
        "title": _("Certificate of Pedigree"),
        "yard": content.yard or content.keeper,
        "letterhead": list(_letterhead(content)),
        "bird": {
            "name": content.name or content.mark or _("without name or mark"),
            "mark": content.mark if content.name else "",
            "shape": content.sex.value,
            "described": [
                part
                for part in (
                    species(content.species).what_called(content.sex.value, content.hatched, content.issued),
                    content.colour,
                    content.breed,
                )
                if part
            ],
            "facts": [{"label": label, "lines": lines} for label, lines in _facts(content)],
        },
        "photo": next(iter(pictures), None),
        "chart": _chart(content),
        "statement": _statement(content),
        "signature": [
            _("Signature of the breeder") if content.bred_here else _("Signature of the keeper"),
            _("Place and date"),
        ],
        "owner": {"label": _("New owner"), "name": content.owner},
        "code": _code(content),
        "notes": list(_notes(content)),
        "flag_note": _("The same number marks the same ancestor wherever it is met.")
        if content.flags()
        else "",
    }


def _code(content: CertificateContent) -> dict[str, Any]:
    """The QR code (ISO/IEC 18004, level M or better) and what it says, to be read by eye."""
    code = segno.make(certificate_code(content), error="m", micro=False, encoding="utf-8")
    return {
        "modules": ["".join(map(str, row)) for row in code.matrix_iter(border=0)],
        "number": _("No. {number}").format(number=content.number),
        "issued": _("issued {date}").format(date=date_text(PartialDate.of(content.issued))),
        "lines": [
            [_("Mark"), content.mark or "–"],
            [_("Check"), certificate_checksum(content)],
            [_("Book"), content.book],
        ],
    }


def _letterhead(content: CertificateContent) -> Iterator[str]:
    if content.yard and content.keeper:
        yield content.keeper
    if content.address:
        yield ", ".join(line.strip() for line in content.address.splitlines() if line.strip())
    if content.flock_registration:
        yield _("flock registration {number}").format(number=content.flock_registration)


def _facts(content: CertificateContent) -> Iterator[tuple[str, list[str]]]:
    not_recorded = _("not recorded")
    yield _("Hatched"), [date_text(content.hatched) or not_recorded]
    marks = [mark_text(mark) for mark in content.marks]
    full, rest = marks[: MOST_MARK_LINES - 1], marks[MOST_MARK_LINES - 1 :]
    yield _("Marks"), [*full, *(["; ".join(rest)] if rest else [])] or [_("none")]
    yield _("Breeder"), [content.breeder or not_recorded]
    if not content.shows_inbreeding:
        return
    n = content.known_ancestors
    if content.inbreeding is not None:
        basis = plural("from {n} known ancestor", "from {n} known ancestors", n).format(n=n)
        yield _("Inbreeding"), [_("F = {share}").format(share=per_cent(content.inbreeding)), basis]
    else:
        yield (
            _("Inbreeding"),
            [_("not known"), plural("{n} ancestor known", "{n} ancestors known", n).format(n=n)],
        )


def _statement(content: CertificateContent) -> str:
    if content.bred_here:
        return _(
            "I bred this bird. Its parents and ancestors are given here as they stand in my flock book, "
            "truly and to the best of my knowledge."
        )
    return _(
        "I keep this bird in my flock book. Its parents and ancestors are given here as they stand there, "
        "truly and to the best of my knowledge."
    )


def _chart(content: CertificateContent) -> dict[str, Any]:
    flags = content.flags()
    shown = [(generation, index, place) for generation, index, place in content.places()]
    last = max((generation for generation, _index, place in shown if place.candidates), default=1)
    unrecorded = {(generation, index) for generation, index, place in shown if not place.candidates}
    both_unknown = {
        (generation, index // 2)
        for generation, index, place in shown
        if generation > 1 and {(generation, index), (generation, index ^ 1)} <= unrecorded
    }
    return {
        "generations": min(last, content.generations),
        "places": [
            {"generation": generation, "index": index, **_written(place, generation, flags)}
            for generation, index, place in shown
            if generation <= last and (place.candidates or (generation, index // 2) not in both_unknown)
        ],
        "ends": [
            {
                "generation": generation,
                "index": pair,
                "text": _("parents not recorded"),
            }
            for generation, pair in sorted(both_unknown)
            if generation <= last + 1
        ],
    }


def _written(place: Place, generation: int, flags: dict[BirdId, int]) -> dict[str, Any]:
    """One place in words."""
    side = ""
    if generation == 1:
        side = _("Sire") if place.side is Sex.COCK else _("Dam")
    written: dict[str, Any] = {"side": side, "shape": place.side.value, "mark": "", "more": "", "flags": []}
    if not place.candidates:
        return written | {"kind": "unknown", "name": _("not recorded")}
    written["flags"] = [
        flags[candidate.ancestor.bird]
        for candidate in place.candidates
        if candidate.ancestor and candidate.ancestor.bird in flags
    ]
    ancestor = place.certain
    if ancestor is None:
        return written | {
            "kind": "doubtful",
            "name": _(" or ").join(
                _name(candidate.ancestor) if candidate.ancestor else _("another")
                for candidate in place.candidates[:MOST_CANDIDATES]
            ),
            "mark": _one_of(place.candidates),
        }
    more = [
        ancestor.colour,
        date_text(ancestor.hatched) if generation <= 2 else year_text(ancestor.hatched),
        _("from {yard}").format(yard=ancestor.origin) if ancestor.origin else "",
    ]
    return written | {
        "kind": "placeholder" if ancestor.placeholder else "bird",
        "name": _name(ancestor),
        "mark": ancestor.mark if ancestor.name else "",
        "more": " · ".join(part for part in more if part),
    }


def _one_of(candidates: tuple[Candidate, ...]) -> str:
    listed = [
        _("{bird} {share}").format(
            bird=candidate.ancestor.mark or _name(candidate.ancestor)
            if candidate.ancestor
            else _("not recorded"),
            share=per_cent(candidate.weight, places=0),
        )
        for candidate in candidates[:MOST_CANDIDATES]
    ]
    more = len(candidates) - len(listed)
    if more:
        listed.append(plural("{n} more", "{n} more", more).format(n=more))
    return _("one of: {birds}").format(birds=", ".join(listed))


def _name(ancestor: Ancestor) -> str:
    unnamed = _("one bird, known only as a parent") if ancestor.placeholder else _("without name or mark")
    return ancestor.name or ancestor.mark or unnamed


def _notes(content: CertificateContent) -> Iterator[str]:
    if content.shows_inbreeding and content.inbreeding is not None:
        yield _(
            "F, the inbreeding coefficient, is the chance that the two copies of a gene in this bird come from one "
            "and the same copy in a common ancestor. It is worked out from the whole flock book, in which "
            "{ancestors} ancestors of this bird are known ({generations} complete generations); parents that are "
            "not recorded count as unrelated, so the true figure may be higher."
        ).format(ancestors=content.known_ancestors, generations=figure(content.complete_generations, 1))
    elif content.shows_inbreeding:
        yield _("The inbreeding coefficient F is not known because the book does not name both parents.")
    if content.rests_on_origins and content.inbreeding is not None:
        yield _("Birds bought from one yard are taken as related, as the book says of that yard.")
    for doubt in content.doubtful_pairs:
        yield _("The parents of {bird} are one of these pairs: {pairs}.").format(
            bird=doubt.chick,
            pairs=", ".join(
                _("{sire} × {dam} {share}").format(
                    sire=sire or _("not recorded"),
                    dam=dam or _("not recorded"),
                    share=per_cent(weight, places=0),
                )
                for sire, dam, weight in doubt.pairs
            ),
        )
    if any(place.is_doubtful for _generation, _index, place in content.places()):
        yield _("A dotted line leads to a parent in doubt, whose own line the chart does not follow.")
