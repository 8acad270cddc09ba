"""Which chicks would get other parents by a change of the stays, with their parents before and after."""

from studbook.book.husbandry.derived import moved_parents
from studbook.book.ids import BirdId
from studbook.book.records import Pair, Snapshot
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.words import _, plural

_PAIRS_NAMED = 4


def moved_words(before: Snapshot, after: Snapshot) -> tuple[Sentence, ...]:
    """A heading, then each chick with its old and its new parents; nothing where none moves."""
    moved = moved_parents(before, after)
    if not moved:
        return ()
    text = plural(
        "The parents of {count} bird would change:", "The parents of {count} birds would change:", len(moved)
    )
    lines = (
        compose(
            _("{bird}: {old} → {new}"),
            bird=BirdPart(bird),
            old=parents_words(before.bird(bird).pairs, after),
            new=parents_words(after.bird(bird).pairs, after),
        )
        for bird in moved
    )
    return ((text.format(count=len(moved)),), *lines)


def parents_words(pairs: tuple[Pair, ...], snapshot: Snapshot) -> Sentence:
    """Candidate pairs in a row: "Usk × Avens", or with their weights where there are several."""
    if not pairs:
        return (_("no parents"),)
    row: Sentence = ()
    for pair in sorted(pairs, key=lambda pair: -pair.weight)[:_PAIRS_NAMED]:
        couple = compose(_("{sire} × {dam}"), sire=_bird(pair.sire, snapshot), dam=_bird(pair.dam, snapshot))
        if len(pairs) > 1:
            share = SharePart(pair.weight, decimals=0)
            couple = compose(_("{couple} {share}"), couple=couple, share=share)
        row = compose(_("{row}, {couple}"), row=row, couple=couple) if row else couple
    if len(pairs) > _PAIRS_NAMED:
        row = compose(_("{row} and others"), row=row)
    return row


def _bird(bird: BirdId | None, snapshot: Snapshot) -> Sentence:
    return (BirdPart(bird),) if bird is not None and snapshot.has(bird) else (_("unknown"),)
