"""Whose the eggs of a batch are, in sentences: as the keeper said, else as the stays say."""

from studbook.book.husbandry.whose_egg import Whose
from studbook.book.ids import BirdId
from studbook.planning.pens.naming import When, iso
from studbook.planning.pens.whose import WhoseWords, whose_words
from studbook.planning.sentences import BirdPart, Part, SharePart, compose
from studbook.words import _


def batch_words(whose: Whose, when: When = iso) -> WhoseWords:
    """The parents a batch can have, how likely each is, and why."""
    if not whose.said:
        return whose_words(whose.candidates, when)
    pairs = tuple(
        compose(
            _("{cock} × {hen}, {share}"),
            cock=_bird(pair.sire, _("an unknown cock")),
            hen=_bird(pair.dam, _("an unknown hen")),
            share=SharePart(pair.weight, decimals=0),
        )
        for pair in whose.pairs
    )
    reasons = dict.fromkeys(pair.reason for pair in whose.pairs)
    return WhoseWords(
        (_("By the keeper's word, in place of what the stays say:"),),
        pairs,
        tuple((_("Why: {reason}").format(reason=reason),) for reason in reasons),
    )


def _bird(bird: BirdId | None, unknown: str) -> Part:
    return BirdPart(bird) if bird is not None else unknown
