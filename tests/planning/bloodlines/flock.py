"""A flock made for founders: what is left of whom is known by hand.

Severn, Bramble, Sloe and Teasel are founders and gone. Tamar (Severn × Bramble) lives with Hazel
(Severn × Sloe) and two chicks of theirs. Of Teasel only Yarrow is left, sold to Ana; of Sloe only
Hazel and the chicks.
"""

from studbook.book.records import Bird, BookDetails, Contact, ContactId, Sex, Snapshot, Status
from studbook.dates import PartialDate
from studbook.planning.sentences import Sentence, plain
from tests.planning.flock import ALDER_YARD, TODAY, bird

__all__ = ["TODAY", "bird", "narrow_flock", "said"]

ANA = Contact(ContactId("ana"), "Ana Lindoso", "Ferry Cottage\nPort Corran")
GONE = {"status": Status.DIED, "left": PartialDate.parse("2024-11"), "founder": True}


def narrow_flock(*more: Bird, **changed: Bird) -> Snapshot:
    """The flock, with `more` birds behind it and the birds named in `changed` put in their places."""
    sold = {"status": Status.SOLD, "left": PartialDate.parse("2023-09-02"), "taker": ANA.id}
    birds = (
        bird("Severn", Sex.COCK, "2020-04-01", "W20-01", **GONE),
        bird(
            "Bramble", Sex.HEN, "2020-04-01", "W20-02", **(GONE | {"founder": False, "origin": ALDER_YARD.id})
        ),
        bird("Sloe", Sex.HEN, "2020-04-01", "W20-03", **GONE),
        bird("Teasel", Sex.HEN, "2020-04-01", "W20-04", **GONE),
        bird("Tamar", Sex.COCK, "2022-04-01", "W22-01", "Severn", "Bramble"),
        bird("Hazel", Sex.HEN, "2022-04-01", "W22-02", "Severn", "Sloe"),
        bird("Yarrow", Sex.HEN, "2022-04-01", "W22-03", "Severn", "Teasel", **sold),
        bird("Dart", Sex.COCK, "2024-04-01", "W24-01", "Tamar", "Hazel"),
        bird("Elder", Sex.HEN, "2024-04-01", "W24-02", "Tamar", "Hazel"),
    )
    return Snapshot(
        1,
        BookDetails("book", keeper="Ada Thorn", yard="Withybrook", address="Upper Combe"),
        (*(changed.get(each.name, each) for each in birds), *more),
        origins=(ALDER_YARD,),
        contacts=(ANA,),
    )


def said(sentences: tuple[Sentence, ...]) -> str:
    """Sentences as text, birds by their ids."""
    return " ".join(
        plain(sentence, str, lambda number, decimals: f"{number:.{decimals}f}") for sentence in sentences
    )
