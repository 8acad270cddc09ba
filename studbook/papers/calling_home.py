"""The letter that asks for a bird back: facts in, one printed page out."""

from dataclasses import dataclass
from datetime import date

from studbook.book.records import BirdId, Snapshot
from studbook.planning.bloodlines.report import FounderKey


@dataclass(frozen=True, slots=True)
class LetterContent:
    """What the letter says, as facts: no layout.

    Attributes
    ----------
    sender, recipient
        The lines of each address, the name first.
    described
        The bird wanted: "hen · blue · Andalusian".
    marks
        Its marks in words.
    paragraphs
        The body, in the user's language; what is offered is left blank to write by hand.
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


def letter_content(snapshot: Snapshot, bird: BirdId, founder: FounderKey, today: date) -> LetterContent:
    """The letter to the keeper of `bird`, which carries `founder`."""
    raise NotImplementedError


def render_letter(content: LetterContent, paper: str = "A4") -> bytes:
    """The letter as one page of PDF/A-2b, ``A4`` or ``Letter``.

    Raises
    ------
    Unprintable
        If no font has a character.
    """
    raise NotImplementedError


def preview_letter(
    content: LetterContent, paper: str = "A4", picture_format: str = "svg", ppi: float = 144
) -> bytes:
    """The same page as a picture, ``svg`` or ``png``."""
    raise NotImplementedError
