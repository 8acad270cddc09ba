"""What a pair means for its chicks, in words: how the parents are related and the F of the chicks."""

from dataclasses import dataclass

from studbook.book.records import BirdId, Pair
from studbook.desk.kin import Kin
from studbook.desk.wording import bird_text, percent_text
from studbook.words import _


@dataclass(frozen=True)
class Outlook:
    """What a worker found about the candidate pairs of a hatch.

    Attributes
    ----------
    sentences
        One for each pair whose birds are related.
    inbreeding, cautious
        F of the chicks by convention and cautious, weighted over the pairs; None where no pair is complete.
    """

    sentences: tuple[str, ...]
    inbreeding: float | None
    cautious: float | None


def outlook_of(kin: Kin, pairs: tuple[Pair, ...]) -> Outlook:
    """The outlook for these pairs; for a worker."""
    from studbook.book.relatedness import relationship_text

    sentences: list[str] = []
    whole = cautious = weight = 0.0
    for pair in pairs:
        if pair.sire is None or pair.dam is None:
            continue
        f = float(kin.convention.kinship([pair.sire], [pair.dam])[0, 0])
        whole += pair.weight * f
        cautious += pair.weight * float(kin.cautious.kinship([pair.sire], [pair.dam])[0, 0])
        weight += pair.weight
        if f > 0:
            related = relationship_text(
                kin.convention.relationship(pair.sire, pair.dam), kin.snapshot.bird(pair.dam).sex
            )
            sentences.append(_sentence(kin, pair.sire, pair.dam, f, related))
    if not weight:
        return Outlook((), None, None)
    return Outlook(tuple(sentences), whole / weight, cautious / weight)


def _sentence(kin: Kin, sire: BirdId, dam: BirdId, f: float, related: str) -> str:
    """How the hen is related to the cock, and what follows for the chicks."""
    return _("{hen} is to {cock}: {relationship}. F of the chicks {share}.").format(
        hen=bird_text(kin.snapshot.bird(dam)),
        cock=bird_text(kin.snapshot.bird(sire)),
        relationship=related,
        share=percent_text(f),
    )
