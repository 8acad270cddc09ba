"""How much of a bird's inbreeding is recent, how much old, and which founders it goes back to."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.founders import Founders, birds_only, founders, without_origins
from studbook.genetics.gene_flow import GeneFlow
from studbook.genetics.inbreeding import BLOCK_NUMBERS, inbreeding, inbreeding_by_founder
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree, spans

# How many families recent inbreeding is found of at once.
_FAMILIES_AT_ONCE = 512


@dataclass(frozen=True, eq=False)
class PartialInbreeding:
    """Inbreeding by the founders it goes back to.

    Attributes
    ----------
    founders
        The k founders.
    by_founder
        (r, k) chance that the two genes of a bird at a locus are one gene of this founder.
    by_origin
        (r,) what comes from the assumed relationship of birds of one origin; with it the parts of
        each bird add up to its F.
    """

    founders: Founders
    by_founder: NDArray[np.float64]
    by_origin: NDArray[np.float64]


def recent_inbreeding(
    pedigree: Pedigree,
    rows: ArrayLike,
    generations: int,
    progress: Callable[[float], None] | None = None,
) -> NDArray[np.float64]:
    """The inbreeding of `rows` that comes from ancestors within so many generations (r,).

    Birds farther back count as unrelated founders; parents are one generation back, and an
    ancestor met on several lines counts as near as the shortest. A mean of birds is passed through
    without counting. Origins lie behind all generations: what they bring is old. F less this is
    what is old. `progress` hears the share done; an exception it raises ends the work.

    Raises
    ------
    ValueError
        If a row is no bird, or fewer than one generation is asked for.
    """
    if generations < 1:
        raise ValueError("at least one generation")
    known = without_origins(pedigree)
    chosen = birds_only(pedigree, rows)
    # full sibs have the same ancestors
    firsts, family = np.unique(_families(known, chosen), return_inverse=True)
    birds = chosen[firsts]
    recent = np.zeros(len(birds))
    for begin in range(0, len(birds), _FAMILIES_AT_ONCE):
        block = birds[begin : begin + _FAMILIES_AT_ONCE]
        near = _Near(known, np.arange(len(block)), block, generations)
        recent[begin : begin + len(block)] = near.relationships(block, block) - 1
        if progress is not None:
            progress((begin + len(block)) / len(birds))
    return recent[family]


def recent_kinship(pedigree: Pedigree, sire: int, dam: int, generations: int) -> float:
    """The recent inbreeding that the chicks of two birds would have, as in `recent_inbreeding`."""
    if generations < 1:
        raise ValueError("at least one generation")
    known = without_origins(pedigree)
    both = np.array([sire, dam])
    near = _Near(known, np.zeros(2, dtype=np.intp), both, generations - 1)
    return float(near.relationships(both[:1], both[1:])[0] / 2)


def recent_kinships(
    pedigree: Pedigree,
    sires: ArrayLike,
    dams: ArrayLike,
    generations: int,
    progress: Callable[[float], None] | None = None,
) -> NDArray[np.float64]:
    """`recent_kinship` of each of some sires with each of some dams: (s, d).

    Only what differs is worked out: pairs without an ancestor in common so near have none, and full sibs
    stand for each other with a mate of other blood. `progress` hears the share done; an exception it
    raises ends the work.

    Raises
    ------
    ValueError
        If a row is no bird, or fewer than one generation is asked for.
    """
    if generations < 1:
        raise ValueError("at least one generation")
    known = without_origins(pedigree)
    left, right = birds_only(pedigree, sires), birds_only(pedigree, dams)
    # of the farthest birds the lines end, unless the other side has their parents still near
    alone, near, far = (
        [_Near(known, np.arange(len(rows)), rows, back) for rows in (left, right)]
        for back in (0, generations - 1, generations)
    )
    meeting = _share_birds(near[0], far[1]) | _share_birds(far[0], near[1])
    direct = _share_birds(alone[0], far[1]) | _share_birds(far[0], alone[1])
    first, second = np.nonzero(meeting)
    families = [_families(known, rows) for rows in (left, right)]
    own = direct[first, second]
    # a pair of which one is near the other stands for itself alone
    key = np.where(
        own,
        -1 - (first * len(right) + second),
        families[0][first] * len(right) + families[1][second],
    )
    _kinds, chosen, again = np.unique(key, return_index=True, return_inverse=True)
    found = np.zeros(len(chosen))
    for begin in range(0, len(chosen), _FAMILIES_AT_ONCE):
        block = chosen[begin : begin + _FAMILIES_AT_ONCE]
        one, other = left[first[block]], right[second[block]]
        family = np.tile(np.arange(len(block)), 2)
        both = _Near(known, family, np.concatenate([one, other]), generations - 1)
        found[begin : begin + len(block)] = both.relationships(one, other) / 2
        if progress is not None:
            progress(min(begin + len(block), len(chosen)) / len(chosen))
    table = np.zeros(meeting.shape)
    table[first, second] = found[again]
    return table


def _families(pedigree: Pedigree, rows: NDArray[np.intp]) -> NDArray[np.intp]:
    """The place (r,) of the first of `rows` that has the same parents."""
    first_of: dict[bytes, int] = {}
    family = np.empty(len(rows), dtype=np.intp)
    for place, row in enumerate(rows.tolist()):
        pairs = slice(pedigree.first[row], pedigree.first[row + 1])
        parents = b"".join(part[pairs].tobytes() for part in (pedigree.sire, pedigree.dam, pedigree.weight))
        family[place] = first_of.setdefault(parents, place)
    return family


def _share_birds(left: "_Near", right: "_Near") -> NDArray[np.bool_]:
    """Which families of both sides (l, r) have a bird in common."""
    both = np.intersect1d(left.row, right.row)
    sides = []
    for near in (left, right):
        inside = np.isin(near.row, both)
        table = np.zeros((near.count, len(both)), dtype=np.float32)
        table[near.family[inside], np.searchsorted(both, near.row[inside])] = 1
        sides.append(table)
    return sides[0] @ sides[1].T > 0


def partial_inbreeding(
    pedigree: Pedigree,
    rows: ArrayLike,
    among: Founders | None = None,
    progress: Callable[[float], None] | None = None,
) -> PartialInbreeding:
    """The inbreeding of `rows` by founder: which founders' genes they carry twice.

    The parts of a bird add up to its F. Beside the result it takes some numbers for each ancestor and
    at most `BLOCK_NUMBERS` at once, whatever the size of the book; one founder is found after the other.
    `progress` hears the share done; an exception it raises ends the work.

    References
    ----------
    Lacy, Alaks & Walsh 1996, Evolution 50:2187-2200. García-Cortés, Martínez-Ávila & Toro 2010,
    Genetics Selection Evolution 42:42.
    """
    chosen = birds_only(pedigree, rows)
    among = founders(pedigree) if among is None else among
    behind = pedigree.with_ancestors(chosen)
    related = pedigree.part(behind)
    part = without_origins(related)
    places = np.searchsorted(behind, chosen)
    inside = np.flatnonzero(np.isin(among.row, behind))
    rows_of = np.searchsorted(behind, among.row[inside])
    flow = GeneFlow(part)
    width = max(1, BLOCK_NUMBERS // max(len(part), 1))
    found = np.zeros((len(chosen), len(among)))
    for begin in range(0, len(inside), width):
        block = inside[begin : begin + width]
        genes = np.zeros((len(part), len(block)))
        genes[flow.place[rows_of[begin : begin + width]], np.arange(len(block))] = among.share[block]
        flow.spread(genes)
        for number, founder in enumerate(block.tolist()):
            twice = inbreeding_by_founder(part, genes[flow.place, number])
            found[:, founder] = twice[places]
            if progress is not None:
                progress((begin + number + 1) / len(inside))
    coefficient = inbreeding(related)[places]
    return PartialInbreeding(among, found, coefficient - inbreeding(part)[places])


class _Near:
    """For each of f families the ancestors within some generations, with all farther ones struck.

    Means on the way are passed through and no generation of their own. `family` and `rows` (s,) are
    where the families start; those of one family have ancestors in common.

    Attributes
    ----------
    family, row
        (e,) the families and their rows, ascending.
    """

    def __init__(
        self, pedigree: Pedigree, family: NDArray[np.intp], rows: NDArray[np.intp], generations: int
    ) -> None:
        self._pedigree = pedigree
        self._n = len(pedigree)
        found = np.unique(family.astype(np.int64) * self._n + rows)
        wave = found
        for _ in range(generations):
            reached = self._parents(wave)
            through = reached
            while (mean := pedigree.is_mean[through % self._n]).any():
                through = np.setdiff1d(self._parents(through[mean]), reached, assume_unique=True)
                reached = np.union1d(reached, through)
            wave = np.setdiff1d(reached, found, assume_unique=True)
            found = np.union1d(found, wave)
        self._found = found
        self.family, self.row = np.divmod(found, self._n)
        self._starts = np.searchsorted(self.family, np.arange(int(family.max(initial=-1)) + 2))

    @property
    def count(self) -> int:
        """How many families there are."""
        return len(self._starts) - 1

    def relationships(self, left: NDArray[np.intp], right: NDArray[np.intp]) -> NDArray[np.float64]:
        """The additive relationship (f,) of one row of each family with another of it."""
        sizes = np.diff(self._starts)
        order = np.argsort(sizes, kind="stable")
        found = np.empty(len(sizes))
        end = len(order)
        while end:
            size = int(sizes[order[end - 1]])
            begin = max(0, end - max(1, BLOCK_NUMBERS // size**2))
            group = order[begin:end]
            if size**2 <= BLOCK_NUMBERS:
                table = self._table(group, size)
                place = [self._place(group, rows[group]) for rows in (left, right)]
                found[group] = table[np.arange(len(group)), place[0], place[1]]
            else:
                # too many for a table of all with all
                near = self.row[self._starts[group[0]] : self._starts[group[0] + 1]].astype(np.int32)
                one, other = np.searchsorted(near, [left[group[0]], right[group[0]]])
                found[group] = 2 * kinship(self._pedigree.part(near), [one], [other])[0, 0]
            end = begin
        return found

    def _table(self, group: NDArray[np.intp], size: int) -> NDArray[np.float64]:
        """The relationships (g, size, size) within each family of the group, by the tabular method."""
        pedigree, links = self._pedigree, self._pedigree.links
        counts = self._starts[group + 1] - self._starts[group]
        entries = spans(self._starts[group], self._starts[group + 1])
        rows, number = self.row[entries], np.repeat(np.arange(len(group)), counts)
        place = entries - self._starts[group][number]
        bird = pedigree.is_bird[rows]
        table = np.zeros((len(group), size, size))
        table[number, place, place] = np.where(bird, 1.0, pedigree.variance[rows])

        # who gives what share of its line to whom, place by place
        of, given = self._spans_of(links.first, rows)
        parent, near = self._near_place(group[number[of]], links.parent[given])
        of, parent, share = of[near], parent[near], links.share[given][near]
        order = np.argsort(place[of], kind="stable")
        of, parent, share = of[order], parent[order], share[order]
        cuts = np.searchsorted(place[of], np.arange(size + 1))

        # the pairs that give a bird its inbreeding
        pair_of, pairs = self._spans_of(pedigree.first, rows)
        sire, has_sire = self._near_place(group[number[pair_of]], pedigree.sire[pairs])
        dam, has_dam = self._near_place(group[number[pair_of]], pedigree.dam[pairs])
        both = np.flatnonzero(has_sire & has_dam & bird[pair_of])
        both = both[np.argsort(place[pair_of[both]], kind="stable")]
        pair_of, sire, dam, weight = pair_of[both], sire[both], dam[both], pedigree.weight[pairs[both]]
        pair_cuts = np.searchsorted(place[pair_of], np.arange(size + 1))

        for at in range(size):
            some = slice(cuts[at], cuts[at + 1])
            if some.start == some.stop:
                continue
            whose = number[of[some]]
            starts = np.flatnonzero(np.append(True, whose[1:] != whose[:-1]))
            lines = np.add.reduceat(share[some, None] * table[whose, parent[some], :at], starts, axis=0)
            table[whose[starts], at, :at] = lines
            table[whose[starts], :at, at] = lines
            mated = slice(pair_cuts[at], pair_cuts[at + 1])
            family = number[pair_of[mated]]
            np.add.at(table[:, at, at], family, weight[mated] / 2 * table[family, sire[mated], dam[mated]])
            mixed = ~bird[of[some]]
            family, parents = whose[mixed], parent[some][mixed]
            np.add.at(table[:, at, at], family, share[some][mixed] * table[family, at, parents])
        return table

    def _parents(self, keys: NDArray[np.int64]) -> NDArray[np.int64]:
        links = self._pedigree.links
        of, given = self._spans_of(links.first, keys % self._n)
        return np.unique(keys[of] // self._n * self._n + links.parent[given])

    def _spans_of(
        self, first: NDArray[np.int32], rows: NDArray[np.int64]
    ) -> tuple[NDArray[np.intp], NDArray[np.int64]]:
        """The entries of each of some rows, one after the other, and which of the rows each is of."""
        begin, end = first[rows], first[rows + 1]
        return np.repeat(np.arange(len(rows)), end - begin), spans(begin, end)

    def _near_place(
        self, family: NDArray[np.intp], rows: NDArray[np.int32]
    ) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
        """The places of some rows within their families, and whether they are there at all."""
        keys = family.astype(np.int64) * self._n + rows
        at = np.minimum(np.searchsorted(self._found, keys), len(self._found) - 1)
        return at - self._starts[family], (rows != UNKNOWN) & (self._found[at] == keys)

    def _place(self, family: NDArray[np.intp], rows: NDArray[np.intp]) -> NDArray[np.intp]:
        return np.searchsorted(self._found, family * self._n + rows) - self._starts[family]
