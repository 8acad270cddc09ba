"""What unknown parents hide: how the figures would stand if each bird that could have been one was the parent."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from studbook.book.records import BirdId
from studbook.genetics.founders import Part
from studbook.genetics.inbreeding import Diagonals, diagonals
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from studbook.genetics.unknown_range import unknown_range
from studbook.planning.bloodlines.flock import PARTS, Flock
from studbook.planning.bloodlines.report import Half

MOST_TOLD = 3
"""How many unknown parents of a pair are told of, those that hide most."""

# Of a pedigree with many gaps only the nearest are tried: each step back halves what one can hide.
_MOST_TRIED = 12

# A table of ancestors × ancestors and a search for each candidate: together some 100 ms a gap.
_MOST_ANCESTORS = 1_500
_MOST_CANDIDATES = 400

# Less than this between the ends is no difference to a keeper.
_SAME = 0.0005


@dataclass(frozen=True, slots=True)
class Possible:
    """A bird that could have been the parent, and the figure if it was."""

    bird: BirdId
    share: float


@dataclass(frozen=True, slots=True)
class HiddenParent:
    """One unknown parent and the figure by who it was.

    Attributes
    ----------
    child, half
        Whose sire or dam is unknown.
    recorded
        The figure by convention, with this parent and all other unknown ones unrelated.
    likely
        Its mean over the candidates, all alike likely.
    candidates
        The birds that could have been it, the lowest figure first.
    """

    child: BirdId
    half: Half
    recorded: float
    likely: float
    candidates: tuple[Possible, ...]

    @property
    def best(self) -> Possible:
        """The candidate with the lowest figure."""
        return self.candidates[0]

    @property
    def worst(self) -> Possible:
        """The candidate with the highest figure."""
        return self.candidates[-1]

    @property
    def hides(self) -> float:
        """The distance from the lowest to the highest figure, the recorded one included."""
        return max(self.worst.share, self.recorded) - min(self.best.share, self.recorded)


class LeftOut(Enum):
    """Why it is not worked out what some unknown parents hide."""

    ANCESTORS = "more ancestors than are gone through"
    CANDIDATES = "more birds could have been one than are tried"


def hidden_in_pair(
    flock: Flock, cock: BirdId, hen: BirdId, progress: Callable[[float], None] | None = None
) -> tuple[HiddenParent, ...]:
    """The unknown parents of two birds and of their ancestors that could change F of their chicks most.

    Empty too where more than 1,500 ancestors stand behind the two, see `left_out_of_pair`. `progress` hears
    the share done; an exception it raises ends the work.
    """
    way, rows = flock.convention, flock.snapshot.rows
    first, second = (int(way.book.nodes[rows[bird]]) for bird in (cock, hen))
    return _hidden(flock, way.pedigree, way.known, first, second, [first, second], progress)


def hidden_in_mean_kinship(
    flock: Flock, bird: BirdId, progress: Callable[[float], None] | None = None
) -> tuple[HiddenParent, ...]:
    """The unknown parents of a bird and of its ancestors that could change its mean kinship most.

    That is its mean kinship with the living flock. Empty too where more than 1,500 birds stand behind the
    flock, see `left_out_of_mean_kinship`. `progress` hears the share done; an exception it raises ends the work.
    """
    way = flock.convention
    living = way.nodes(flock.living)
    if len(way.pedigree.with_ancestors(living)) > _MOST_ANCESTORS:
        return ()
    node = int(way.book.nodes[flock.snapshot.rows[bird]])
    pedigree = _with_mean(way.pedigree, living)
    return _hidden(flock, pedigree, diagonals(pedigree), node, len(pedigree) - 1, [node], progress)


def left_out_of_pair(flock: Flock, cock: BirdId, hen: BirdId) -> LeftOut | None:
    """Why `hidden_in_pair` says nothing of some unknown parent behind two birds; None if it says all."""
    asked = [int(flock.convention.book.nodes[flock.snapshot.rows[bird]]) for bird in (cock, hen)]
    return _left_out(flock, asked, asked)


def left_out_of_mean_kinship(flock: Flock, bird: BirdId) -> LeftOut | None:
    """Why `hidden_in_mean_kinship` says nothing of some unknown parent behind a bird; None if it says all."""
    living = flock.convention.nodes(flock.living).tolist()
    return _left_out(flock, [int(flock.convention.book.nodes[flock.snapshot.rows[bird]])], living)


def _left_out(flock: Flock, asked: list[int], behind: list[int]) -> LeftOut | None:
    """`behind` are the nodes whose ancestors are counted, `asked` those whose unknown parents matter."""
    if len(flock.convention.pedigree.with_ancestors([*asked, *behind])) > _MOST_ANCESTORS:
        return LeftOut.ANCESTORS if any(True for _gap in _gaps(flock, asked)) else None
    many = any(len(gap.candidates) > _MOST_CANDIDATES for gap in _gaps(flock, asked))
    return LeftOut.CANDIDATES if many else None


def _hidden(
    flock: Flock,
    pedigree: Pedigree,
    known: Diagonals,
    first: int,
    second: int,
    asked: list[int],
    progress: Callable[[float], None] | None,
) -> tuple[HiddenParent, ...]:
    if len(pedigree.with_ancestors([first, second])) > _MOST_ANCESTORS:
        return ()
    gaps = [gap for gap in _gaps(flock, asked) if len(gap.candidates) <= _MOST_CANDIDATES][:_MOST_TRIED]
    found = []
    for number, gap in enumerate(gaps):
        spread = unknown_range(
            pedigree, first, second, gap.child, PARTS[gap.half], gap.candidates, known=known
        )
        order = np.argsort(spread.kinship, kind="stable").tolist()
        found.append(
            HiddenParent(
                _bird(flock, gap.child),
                gap.half,
                spread.recorded,
                spread.likely,
                tuple(
                    Possible(_bird(flock, int(spread.candidates[place])), float(spread.kinship[place]))
                    for place in order
                ),
            )
        )
        if progress is not None:
            progress((number + 1) / len(gaps))
    told = sorted((each for each in found if each.hides > _SAME), key=lambda each: -each.hides)
    return tuple(told[:MOST_TOLD])


@dataclass(frozen=True, eq=False)
class _Gap:
    """An unknown parent by node of the conventional pedigree, and the nodes (c,) that could be it."""

    child: int
    half: Half
    candidates: NDArray[np.int32]


def _gaps(flock: Flock, asked: list[int]) -> Iterator[_Gap]:
    """The unknown parents of some nodes and of their ancestors, the nearest generation first."""
    pedigree = flock.convention.pedigree
    seen, wave = set(asked), sorted(set(asked))
    while wave:
        for node in wave:
            for half in (Half.SIRE, Half.DAM):
                candidates = _candidates(flock, node, PARTS[half])
                if len(candidates):
                    yield _Gap(node, half, candidates)
        pairs = [slice(pedigree.first[node], pedigree.first[node + 1]) for node in wave]
        parents = {
            parent
            for pair in pairs
            for side in (pedigree.sire, pedigree.dam)
            for parent in side[pair].tolist()
        }
        wave = sorted(parents - seen - {UNKNOWN})
        seen |= parents


def _candidates(flock: Flock, child: int, part: Part) -> NDArray[np.int32]:
    """The nodes that could be an unknown parent: those whose mean the cautious figure takes for it."""
    convention, cautious = flock.convention.book, flock.cautious.book
    nothing = np.zeros(0, dtype=np.int32)
    row = int(convention.rows[child])
    if row == UNKNOWN:
        return nothing
    sides = [
        book.pedigree.sire if part is Part.SIRE else book.pedigree.dam for book in (convention, cautious)
    ]
    recorded, filled = (
        side[book.pedigree.first[book.nodes[row]] : book.pedigree.first[book.nodes[row] + 1]]
        for side, book in zip(sides, (convention, cautious), strict=True)
    )
    taken = filled[(recorded == UNKNOWN) & (filled != UNKNOWN)]
    if not len(taken):
        return nothing
    mean = int(taken[0])
    if cautious.rows[mean] != UNKNOWN:
        rows = cautious.rows[[mean]]
    else:
        pairs = slice(cautious.pedigree.first[mean], cautious.pedigree.first[mean + 1])
        rows = cautious.rows[cautious.pedigree.sire[pairs]]
    return convention.nodes[rows]


def _with_mean(pedigree: Pedigree, nodes: NDArray[np.int32]) -> Pedigree:
    """The pedigree with the mean of some nodes behind it: kinship with it is the mean of theirs."""
    return Pedigree.of_pairs(
        np.append(pedigree.first, pedigree.first[-1] + len(nodes)),
        np.concatenate([pedigree.sire, nodes]),
        np.concatenate([pedigree.dam, nodes]),
        np.concatenate([pedigree.weight, np.full(len(nodes), 1 / len(nodes))]),
        np.append(pedigree.variance, 0.0),
    )


def _bird(flock: Flock, node: int) -> BirdId:
    return flock.snapshot.birds[flock.convention.book.row(node)].id
