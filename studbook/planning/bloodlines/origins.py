"""What an assumed relationship of the birds of one yard would do to the figures, before it is applied."""

from dataclasses import replace

import numpy as np

from studbook.book.records import OriginId, Snapshot
from studbook.book.relatedness import Unknown
from studbook.genetics.founders import founder_genome_equivalents
from studbook.genetics.kinship import mean_kinship
from studbook.planning.bloodlines.flock import Flock
from studbook.planning.bloodlines.report import OriginEffect, OriginFigures

HIGHEST_GAMMA = 2.0
"""The γ of a yard whose birds are all alike and fully inbred."""


def effect_of_origin(
    snapshot: Snapshot,
    origin: OriginId,
    gamma: float,
    *,
    unknown: Unknown = Unknown.FLOCK,
    species: str | None = None,
) -> OriginEffect:
    """The figures of the living flock as they are and with γ of the origin's birds at `gamma` (0 to 2).

    Two birds of the origin are then taken to have the kinship γ/2, which is the F of their chicks.
    Nothing is saved.

    Raises
    ------
    KeyError
        If the book has no such origin.
    ValueError
        If `gamma` is out of range.

    References
    ----------
    Legarra, Christensen, Vitezica, Aguilar & Misztal 2015, Genetics 200:455-468.
    """
    if not 0 <= gamma <= HIGHEST_GAMMA:
        raise ValueError(f"γ is from 0 to 2, not {gamma}")
    now = snapshot.origin(origin)
    if now is None:
        raise KeyError(origin)
    # where its birds are taken to be less alike, so are they and those of related origins
    less = min(1.0, gamma / now.self_relationship) ** 0.5 if now.self_relationship else 1.0
    tried = replace(
        snapshot,
        origins=tuple(
            replace(each, self_relationship=gamma) if each.id == origin else each for each in snapshot.origins
        ),
        origin_relations=tuple(
            replace(each, relationship=each.relationship * less)
            if origin in (each.origin, each.other)
            else each
            for each in snapshot.origin_relations
        ),
    )
    return OriginEffect(
        origin,
        now.self_relationship,
        gamma,
        sum(bird.origin == origin for bird in snapshot.birds),
        _figures(snapshot, unknown, species),
        _figures(tried, unknown, species),
    )


def _figures(snapshot: Snapshot, unknown: Unknown, species: str | None) -> OriginFigures:
    flock = Flock(snapshot, unknown, species)
    if not len(flock.living):
        return OriginFigures(None, None, None, None)
    asked = flock.asked
    kinship = float(mean_kinship(asked.pedigree, asked.nodes(flock.living), asked.known).mean())
    return OriginFigures(
        float(np.mean(asked.inbreeding[flock.living])),
        kinship,
        1 - kinship,
        founder_genome_equivalents(kinship),
    )
