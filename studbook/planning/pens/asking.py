"""Whose egg is asked of a snapshot: a cock that was struck out of the book is an unknown one."""

from dataclasses import replace

from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.records import Snapshot


def asking(snapshot: Snapshot) -> WhoseEgg:
    """What answers whose an egg is; every bird it names is in the snapshot."""
    year = snapshot.husbandry
    strangers = {
        mating.id: replace(mating, cock=None)
        for mating in year.matings.values()
        if mating.cock is not None and not snapshot.has(mating.cock)
    }
    if strangers:
        year = replace(year, matings={**year.matings, **strangers})
    return WhoseEgg({bird.id: bird for bird in snapshot.birds}, year)
