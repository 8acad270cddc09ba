"""Which part of the book a tree shows: ancestors, descendants, both, or the lines of a pair."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from studbook.book.records import BirdId, Snapshot
from studbook.drawing.errors import DrawingRefused
from studbook.words import _

MOST_BIRDS = 400


@dataclass(frozen=True, slots=True)
class Parent:
    """A candidate parent with its share; `bird` is None where the record names nobody."""

    bird: BirdId | None
    weight: float


def is_certain(weight: float) -> bool:
    """True for the weight of an only candidate; weights are sums of floats and may miss 1 by a hair."""
    return weight > 1 - 1e-9


def parents(snapshot: Snapshot, bird: BirdId) -> tuple[tuple[Parent, ...], tuple[Parent, ...]]:
    """The candidate sires and the candidate dams of a bird, the likeliest first, nobody last.

    Both are empty when no parent at all is in the book; a parent struck out counts as unknown.
    """
    sires: dict[BirdId | None, float] = {}
    dams: dict[BirdId | None, float] = {}
    for pair in snapshot.bird(bird).pairs:
        for side, parent in ((sires, pair.sire), (dams, pair.dam)):
            known = parent if snapshot.has(parent) else None
            side[known] = side.get(known, 0.0) + pair.weight
    if not ({*sires, *dams} - {None}):
        return (), ()
    return _likeliest_first(sires), _likeliest_first(dams)


def _likeliest_first(side: dict[BirdId | None, float]) -> tuple[Parent, ...]:
    ordered = sorted(side, key=lambda parent: (parent is None, -side[parent]))
    return tuple(Parent(parent, side[parent]) for parent in ordered)


def known_parents(snapshot: Snapshot, bird: BirdId) -> tuple[BirdId, ...]:
    """Every candidate parent of a bird that is in the book, sires first."""
    sires, dams = parents(snapshot, bird)
    return tuple(parent.bird for parent in (*sires, *dams) if parent.bird is not None)


@dataclass(frozen=True)
class Family:
    """The birds of a graph and what is special about them.

    Attributes
    ----------
    generations
        The birds shown, each with the fewest generations it lies back; negative for descendants,
        a mate of a descendant counts with its mate.
    pair
        The cock and the hen whose chicks are looked for, when there are two.
    common
        The ancestors in which the lines of the pair meet.
    lines
        The birds on a line from a common ancestor down to the pair, both ends included.
    """

    generations: dict[BirdId, int]
    pair: tuple[BirdId, BirdId] | None = None
    common: frozenset[BirdId] = field(default_factory=frozenset)
    lines: frozenset[BirdId] = field(default_factory=frozenset)


def refuse_if_too_many(count: int) -> None:
    """Stop before a tree grows that nobody can read.

    Raises
    ------
    DrawingRefused
        If `count` is over `MOST_BIRDS`.
    """
    if count > MOST_BIRDS:
        raise DrawingRefused(
            _("This family tree would show more than {limit} birds. Choose fewer generations.").format(
                limit=MOST_BIRDS
            )
        )


def ancestors(snapshot: Snapshot, birds: Iterable[BirdId], up: int | None) -> dict[BirdId, int]:
    """`birds` and their ancestors up to `up` generations back (None: all), nearest first."""
    found = dict.fromkeys(birds, 0)
    generation, back = list(found), 0
    while generation and (up is None or back < up):
        back += 1
        older = [parent for bird in generation for parent in known_parents(snapshot, bird)]
        generation = [parent for parent in dict.fromkeys(older) if parent not in found]
        found.update(dict.fromkeys(generation, back))
    return found


def family_of(snapshot: Snapshot, bird: BirdId, up: int, down: int) -> Family:
    """A bird with `up` generations of ancestors and `down` of descendants, their mates beside them.

    Raises
    ------
    DrawingRefused
        If that is too many birds for one drawing.
    """
    found = ancestors(snapshot, (bird,), up)
    generation = [bird]
    for forth in range(1, down + 1):
        chicks = [chick for parent in generation for chick in snapshot.offspring.get(parent, ())]
        generation = [chick for chick in dict.fromkeys(chicks) if chick not in found]
        found.update(dict.fromkeys(generation, -forth))
        for chick in generation:
            for parent in known_parents(snapshot, chick):
                found.setdefault(parent, 1 - forth)
        refuse_if_too_many(len(found))
    refuse_if_too_many(len(found))
    return Family(found)


def family_of_pair(snapshot: Snapshot, cock: BirdId, hen: BirdId, up: int | None) -> Family:
    """A cock, a hen and their ancestors; `up` None keeps only the lines to their common ancestors.

    Without a common ancestor in the book those lines are none, and their parents are shown.

    Raises
    ------
    DrawingRefused
        If that is too many birds for one drawing.
    """
    everyone = ancestors(snapshot, (cock, hen), None)
    common, lines = _common_ancestors(snapshot, cock, hen, everyone)
    if up is None:
        shown = {
            bird: back for bird, back in everyone.items() if bird in lines or back <= (0 if common else 1)
        }
    else:
        shown = {bird: back for bird, back in everyone.items() if back <= up}
    refuse_if_too_many(len(shown))
    return Family(shown, (cock, hen), common & shown.keys(), lines & shown.keys())


_CHICK = "chick"


def _common_ancestors(
    snapshot: Snapshot, cock: BirdId, hen: BirdId, everyone: dict[BirdId, int]
) -> tuple[frozenset[BirdId], frozenset[BirdId]]:
    """The ancestors in which the lines of a pair meet, and the birds on those lines.

    An ancestor counts when two lines without another bird in common lead from it to a chick of the
    pair: then, and only then, nobody but the chick stands on every line down from it.
    """
    import networkx  # imported when a graph question is asked, never at the start of the program

    up: networkx.DiGraph[str] = networkx.DiGraph()
    up.add_edges_from((_CHICK, parent) for parent in (cock, hen))
    up.add_edges_from((bird, parent) for bird in everyone for parent in known_parents(snapshot, bird))
    shared = ({cock} | networkx.descendants(up, cock)) & ({hen} | networkx.descendants(up, hen))
    gates = networkx.immediate_dominators(up, _CHICK)
    common = frozenset(BirdId(bird) for bird in shared if gates[bird] == _CHICK)
    on_lines = {bird for ancestor in common for bird in networkx.ancestors(up, ancestor)} - {_CHICK}
    return common, common | frozenset(BirdId(bird) for bird in on_lines)
