"""Birds and founders in sentences."""

from collections.abc import Sequence

from studbook.book.records import Snapshot
from studbook.planning.bloodlines.report import Fate, Founder, FounderKey, Half
from studbook.planning.sentences import BirdPart, Sentence, compose
from studbook.words import _

NAMED = 3
"""How many birds a sentence names before it says how many more there are."""


def fate_word(fate: Fate) -> str:
    """The word for how a founder stands."""
    return {
        Fate.SAFE: _("safe"),
        Fate.FADING: _("fading"),
        Fate.FEW_BIRDS: _("few carry it"),
        Fate.ONE_BIRD: _("one carries it"),
        Fate.LOST: _("lost"),
        Fate.UNKNOWN_PARENT: _("not known who"),
    }[fate]


def founder_called(key: FounderKey, snapshot: Snapshot) -> Sentence:
    """What a founder is called: the bird, or "the unknown dam of" the bird."""
    bird = BirdPart(key.bird)
    match key.half:
        case Half.SIRE:
            return compose(_("the unknown sire of {bird}"), bird=bird)
        case Half.DAM:
            return compose(_("the unknown dam of {bird}"), bird=bird)
    return (bird,)


def founders_listed(founders: Sequence[Founder], snapshot: Snapshot, most: int = NAMED) -> Sentence:
    """Some founders by name, the first `most` of them."""
    return listed([founder_called(founder.key, snapshot) for founder in founders], most)


def listed(names: Sequence[Sentence], most: int = NAMED) -> Sentence:
    """Names in a row: "a, b and c", or the first `most` and how many more."""
    if len(names) > most:
        shown: Sentence = names[0]
        for name in names[1:most]:
            shown = compose(_("{first}, {next}"), first=shown, next=name)
        return compose(_("{birds} and {count} more"), birds=shown, count=str(len(names) - most))
    shown = names[0]
    for name in names[1:-1]:
        shown = compose(_("{first}, {next}"), first=shown, next=name)
    return compose(_("{first} and {last}"), first=shown, last=names[-1]) if len(names) > 1 else shown
