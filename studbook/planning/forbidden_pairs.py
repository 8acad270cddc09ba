"""Which pairs are not wanted, and why: over the limit, of one parent, or banned by the keeper."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studbook.book.records import Bird, BirdId, Snapshot
from studbook.planning.limits import SAME, Bar, Rules
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.words import _


@dataclass(frozen=True, slots=True)
class SharedParent:
    """A bird two others have, or may have, as a parent."""

    parent: BirdId
    certain: bool


def bars(
    snapshot: Snapshot,
    cocks: Sequence[BirdId],
    hens: Sequence[BirdId],
    expected: NDArray[np.float64],
    rules: Rules,
) -> NDArray[np.uint8]:
    """The `Bar` flags of each cock with each hen (c, h); `expected` is the F of their chicks (c, h)."""
    found = np.where(expected > rules.limit + SAME, np.uint8(Bar.OVER_LIMIT), np.uint8(0))
    if rules.no_shared_parent:
        for his, hers in _children_of_one(snapshot, cocks, hens):
            found[np.ix_(his, hers)] |= np.uint8(Bar.SHARED_PARENT)
    banned = snapshot.husbandry.banned_pairs
    if banned:
        column = {cock: place for place, cock in enumerate(cocks)}
        row = {hen: place for place, hen in enumerate(hens)}
        for cock, hen in banned:
            if cock in column and hen in row:
                found[column[cock], row[hen]] |= np.uint8(Bar.BANNED)
    return found


def bar_of(snapshot: Snapshot, cock: BirdId, hen: BirdId, expected: float, rules: Rules) -> Bar:
    """The flags of one pair."""
    return Bar(int(bars(snapshot, [cock], [hen], np.array([[expected]]), rules)[0, 0]))


def shared_parents(cock: Bird, hen: Bird) -> tuple[SharedParent, ...]:
    """The birds both have, or may have, as sire or as dam; of whom nothing is known, nothing is shared."""
    sides = ((cock.sires, hen.sires, cock.sire, hen.sire), (cock.dams, hen.dams, cock.dam, hen.dam))
    return tuple(
        SharedParent(parent, parent == his_certain == hers_certain)
        for his, hers, his_certain, hers_certain in sides
        for parent in his
        if parent in hers
    )


def bar_sentences(
    bar: Bar, snapshot: Snapshot, cock: BirdId, hen: BirdId, rules: Rules
) -> tuple[Sentence, ...]:
    """Why a pair is not wanted, a sentence for each reason."""
    said: list[Sentence] = []
    if Bar.OVER_LIMIT in bar:
        said.append(
            compose(_("That is over the limit of {limit}."), limit=SharePart(rules.limit, decimals=2))
        )
    if Bar.SHARED_PARENT in bar:
        for shared in shared_parents(snapshot.bird(cock), snapshot.bird(hen)):
            text = (
                _("Both are chicks of {parent}, and you do not want pairs that share a parent.")
                if shared.certain
                else _("Both may be chicks of {parent}, and you do not want pairs that share a parent.")
            )
            said.append(compose(text, parent=BirdPart(shared.parent)))
    ban = snapshot.husbandry.banned_pairs.get((cock, hen)) if Bar.BANNED in bar else None
    if ban is not None:
        text = _("You do not want this pair: {reason}.") if ban.reason else _("You do not want this pair.")
        said.append(compose(text, reason=ban.reason.rstrip(".")))
    return tuple(said)


def _children_of_one(
    snapshot: Snapshot, cocks: Sequence[BirdId], hens: Sequence[BirdId]
) -> list[tuple[list[int], list[int]]]:
    """For each bird that may be a parent on both sides the places of its sons and of its daughters."""
    sides: list[dict[tuple[bool, BirdId], list[int]]] = []
    for birds in (cocks, hens):
        children: dict[tuple[bool, BirdId], list[int]] = {}
        for place, bird_id in enumerate(birds):
            bird = snapshot.bird(bird_id)
            for is_sire, parents in ((True, bird.sires), (False, bird.dams)):
                for parent in parents:
                    children.setdefault((is_sire, parent), []).append(place)
        sides.append(children)
    return [(sons, sides[1][parent]) for parent, sons in sides[0].items() if parent in sides[1]]
