"""The letter that asks for a bird back: facts in, one printed page out."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from studbook.book.records import Bird, BirdId, Contact, Snapshot, Status
from studbook.book.relatedness import Unknown
from studbook.book.wording import per_cent
from studbook.dates import PartialDate
from studbook.papers import press
from studbook.papers.wording import date_text, mark_text
from studbook.planning.bloodlines.flock import Flock
from studbook.planning.bloodlines.measuring import founder_share
from studbook.planning.bloodlines.report import FounderKey
from studbook.planning.candidates import kind_of
from studbook.words import _

TEMPLATE = "calling_home.typ"
PAPERS = {"A4": "a4", "Letter": "us-letter"}


@dataclass(frozen=True, slots=True)
class LetterContent:
    """What the letter says, as facts: no layout.

    Attributes
    ----------
    sender, recipient
        The lines of each address, the name first.
    described
        The bird wanted: "hen", "blue", "Andalusian".
    marks
        Its marks in words.
    paragraphs
        The body, in the user's language.
    offer
        What is left blank to write by hand: what is offered, or how a lent bird is to travel.
    last
        What is said below the blank lines.
    signature
        Who signs.
    """

    sender: tuple[str, ...]
    recipient: tuple[str, ...]
    written: date
    bird: str
    mark: str
    shape: str
    described: tuple[str, ...]
    marks: tuple[str, ...]
    greeting: str
    paragraphs: tuple[str, ...]
    offer: str
    last: tuple[str, ...]
    signature: str


def letter_content(snapshot: Snapshot, bird: BirdId, founder: FounderKey, today: date) -> LetterContent:
    """The letter to the keeper of `bird`, which carries `founder`.

    The share of the founder is by convention: what the record itself says.

    Raises
    ------
    KeyError
        If one of them is not in the book, or is no founder.
    """
    wanted, details = snapshot.bird(bird), snapshot.details
    taker = snapshot.contact(wanted.taker)
    flock = Flock(snapshot, Unknown.UNRELATED, wanted.species)
    share = float(founder_share(flock, founder, flock.birds[flock.birds == snapshot.rows[bird]])[0])
    return LetterContent(
        sender=_lines(details.yard, details.keeper, details.address),
        recipient=_lines(taker.name, taker.address) if taker else (),
        written=today,
        bird=wanted.name or wanted.called,
        mark=wanted.mark if wanted.name else "",
        shape=wanted.sex.value,
        described=tuple(
            part
            for part in (
                kind_of(wanted).what_called(wanted.sex.value, wanted.hatched, today),
                wanted.colour,
                wanted.breed,
            )
            if part
        ),
        marks=tuple(mark_text(mark) for mark in wanted.marks if mark.is_worn),
        greeting=_greeting(taker),
        paragraphs=(
            _parting(wanted),
            _reason(snapshot, wanted, founder, share),
            _request(wanted),
        ),
        offer=_("To bring it home I suggest:") if _is_lent(wanted) else _("In return I offer:"),
        last=(
            _(
                "If {bird} is no longer with you, a word about where it went, or about chicks of its line that you or "
                "others keep, would help as much."
            ).format(bird=wanted.name or wanted.called),
            _("With kind regards"),
        ),
        signature=details.keeper or details.yard,
    )


def render_letter(content: LetterContent, paper: str = "A4") -> bytes:
    """The letter as one page of PDF/A-2b, ``A4`` or ``Letter``; the same content gives the same bytes.

    Raises
    ------
    Unprintable
        If no font has a character.
    """
    return press.print_pdf(TEMPLATE, _sheet(content, paper))


def preview_letter(
    content: LetterContent, paper: str = "A4", picture_format: str = "svg", ppi: float = press.PREVIEW_PPI
) -> bytes:
    """The same page as a picture, ``svg`` or ``png``.

    Raises
    ------
    Unprintable
        As `render_letter` does.
    """
    return press.preview(TEMPLATE, _sheet(content, paper), None, picture_format, ppi)[0]


def _sheet(content: LetterContent, paper: str) -> dict[str, Any]:
    """The data of the template: every word on the page, in the user's language."""
    written = content.written
    return {
        "paper": PAPERS[paper],
        "look": press.look(),
        "document": {
            "title": _("Letter about {bird}").format(bird=content.bird),
            "author": content.sender[0] if content.sender else "",
            "date": [written.year, written.month, written.day],
        },
        "sender": list(content.sender),
        "recipient": list(content.recipient),
        "written": date_text(PartialDate.of(written)),
        "subject": {
            "title": _("Calling a bird home"),
            "name": content.bird,
            "mark": content.mark,
            "shape": content.shape,
            "lines": [line for line in ("  ·  ".join(content.described), "; ".join(content.marks)) if line],
        },
        "greeting": content.greeting,
        "paragraphs": list(content.paragraphs),
        "offer": content.offer,
        "last": list(content.last),
        "signature": content.signature,
    }


def _lines(*parts: str) -> tuple[str, ...]:
    return tuple(line.strip() for part in parts for line in part.splitlines() if line.strip())


def _greeting(taker: Contact | None) -> str:
    return _("Dear {name},").format(name=taker.name) if taker else _("Dear fellow breeder,")


def _is_lent(wanted: Bird) -> bool:
    return wanted.status is Status.LENT


def _parting(wanted: Bird) -> str:
    if _is_lent(wanted):
        return _lending(wanted)
    if not wanted.left.is_known:
        return _("Some time ago {bird} went from here to you.").format(bird=_called(wanted))
    left = PartialDate(wanted.left.year, wanted.left.month, about=wanted.left.about)
    if left.about:
        return _("It was {when} that {bird} went from here to you.").format(
            when=date_text(left), bird=_called(wanted)
        )
    return _("In {when} {bird} went from here to you.").format(when=date_text(left), bird=_called(wanted))


def _lending(wanted: Bird) -> str:
    if not wanted.left.is_known:
        return _("Some time ago I lent you {bird}.").format(bird=_called(wanted))
    lent = PartialDate(wanted.left.year, wanted.left.month, about=wanted.left.about)
    text = _("It was {when} that I lent you {bird}.") if lent.about else _("In {when} I lent you {bird}.")
    return text.format(when=date_text(lent), bird=_called(wanted))


def _reason(snapshot: Snapshot, wanted: Bird, founder: FounderKey, share: float) -> str:
    if founder.bird == wanted.id:
        return _(
            "I write because {bird} is one of the birds my flock goes back to, and of what {bird} brought there is "
            "hardly anything left here. What is lost in a small breed does not come back."
        ).format(bird=wanted.name or wanted.called)
    text = _(
        "I write because {bird} carries what my flock has all but lost. By my flock book {share} of its genes come "
        "from {founder}, and few birds are left that have any. What is lost in a small breed does not come back."
    )
    return text.format(
        bird=wanted.name or wanted.called,
        share=per_cent(share, 0),
        founder=_founder(snapshot, snapshot.bird(founder.bird)),
    )


def _founder(snapshot: Snapshot, founder: Bird) -> str:
    origin = snapshot.origin(founder.origin)
    if origin is None:
        return _called(founder)
    return _("{bird} from {yard}").format(bird=_called(founder), yard=origin.name)


def _request(wanted: Bird) -> str:
    if _is_lent(wanted):
        return _(
            "If {bird} is well, I should be glad to have the bird back before the breeding season. It would travel "
            "as the movement rules of the day allow and be kept apart from mine at first. Please tell me how it is, "
            "and when it could come home."
        ).format(bird=wanted.name or wanted.called)
    return _(
        "If {bird} still lives and is fit, I should be glad to borrow the bird for one breeding season, or to have "
        "hatching eggs or young stock of its line. It would travel as the movement rules of the day allow, be kept "
        "apart from mine at first, and come home to you."
    ).format(bird=wanted.name or wanted.called)


def _called(bird: Bird) -> str:
    """Name and mark, as much as there is."""
    if bird.name and bird.mark:
        return _("{name} ({mark})").format(name=bird.name, mark=bird.mark)
    return bird.called
