"""What an assumed relationship of the birds of one yard, or of two, would do to the figures, before it is applied."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from studbook.book.errors import RecordProblems
from studbook.book.records import OriginId, OriginRelation, Snapshot
from studbook.book.relatedness import Unknown
from studbook.book.rules import origin_problems
from studbook.genetics.founders import founder_genome_equivalents
from studbook.genetics.kinship import mean_kinship
from studbook.planning.bloodlines.flock import Flock, Ways
from studbook.planning.bloodlines.relations import assumed
from studbook.planning.bloodlines.report import OriginEffect, OriginFigures

HIGHEST_GAMMA = 2.0
"""The γ of a yard whose birds are all alike and fully inbred."""


def effect_of_origin(
    snapshot: Snapshot,
    origin: OriginId,
    gamma: float,
    other: OriginId | None = None,
    *,
    unknown: Unknown = Unknown.FLOCK,
    species: str | None = None,
    progress: Callable[[float], None] | None = None,
    ways: Ways | None = None,
) -> OriginEffect:
    """The figures of the living flock as they are and with γ of the origin's birds at `gamma` (0 to 2).

    Two birds of the origin are then taken to have the kinship γ/2, which is the F of their chicks; with
    an `other` origin it is one bird of each. Nothing is saved. `progress` hears the share done; an
    exception it raises ends the work. `ways` of the same snapshot spare what was worked out before.

    Raises
    ------
    KeyError
        If the book has no such origin.
    ValueError
        If `gamma` is out of range.
    RecordProblems
        If the book would refuse it, because no birds can be related so.

    References
    ----------
    Legarra, Christensen, Vitezica, Aguilar & Misztal 2015, Genetics 200:455-468.
    """
    if not 0 <= gamma <= HIGHEST_GAMMA:
        raise ValueError(f"γ is from 0 to 2, not {gamma}")
    before = assumed(snapshot, origin, other)
    if other is None:
        tried = replace(
            snapshot,
            origins=tuple(
                replace(each, self_relationship=gamma) if each.id == origin else each
                for each in snapshot.origins
            ),
        )
    else:
        wanted = OriginRelation.between(origin, other, gamma)
        kept = [
            each
            for each in snapshot.origin_relations
            if (each.origin, each.other) != (wanted.origin, wanted.other)
        ]
        tried = replace(snapshot, origin_relations=(*kept, *([wanted] if gamma else [])))
    refused = origin_problems(tried.origins, tried.origin_relations)
    if refused:
        raise RecordProblems(refused)
    done = 0

    def told(share: float) -> None:
        if progress is not None:
            progress((done + share) / 2)

    now = _figures(snapshot, unknown, species, told, ways)
    done = 1
    return OriginEffect(
        origin,
        other,
        before,
        gamma,
        sum(bird.origin == origin for bird in snapshot.birds),
        now,
        _figures(tried, unknown, species, told, None),
    )


def _figures(
    snapshot: Snapshot,
    unknown: Unknown,
    species: str | None,
    progress: Callable[[float], None],
    ways: Ways | None,
) -> OriginFigures:
    flock = Flock(snapshot, unknown, species, progress, ways)
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
