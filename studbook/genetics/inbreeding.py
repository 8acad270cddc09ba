"""Inbreeding of every bird, exactly and without an n × n matrix.

The relationship matrix is A = T D T'. A node's row of T is the weighted mean over its candidate
pairs of half the sire's row plus half the dam's; D holds its sampling variance. Only relationships
between parents are needed, so birds that never bred drop out and full sibs cost nothing extra.

Two ways lead there, level by level. Where few birds breed at a time, a table of those that still
will is carried along; else one column of A is swept for each sire.
"""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.compiled import kernels_for
from studbook.genetics.gene_flow import Columns, Relations, by_level, levels
from studbook.genetics.pedigree import UNKNOWN, Pedigree, spans

BLOCK_NUMBERS = 2_000_000
"""Columns swept at once hold at most this many numbers (16 MB)."""


@dataclass(frozen=True, eq=False)
class Diagonals:
    """The diagonals of A and of D.

    Attributes
    ----------
    self_relationship
        (n,) A[i, i] = 1 + F for a bird, twice its kinship with itself.
    sampling_variance
        (n,) D[i, i], what chance adds to a node beyond its parents.
    """

    self_relationship: NDArray[np.float64]
    sampling_variance: NDArray[np.float64]


def inbreeding(pedigree: Pedigree, progress: Callable[[float], None] | None = None) -> NDArray[np.float64]:
    """The inbreeding coefficient F of each bird (n,), from 0 to 1; NaN for a node that is no bird.

    F is Σ p·f(sire, dam) over the candidate pairs: the chance that both genes at a locus descend
    from one ancestral gene. An unknown parent is unrelated to all others, so F is then 0.
    `progress` hears the share done; an exception it raises ends the work.

    >>> inbreeding(Pedigree.of_parents([-1, -1, 0, 0, 2], [-1, -1, 1, 1, 3])).tolist()
    [0.0, 0.0, 0.0, 0.0, 0.25]

    References
    ----------
    Wright 1922, American Naturalist 56:330-338. Henderson 1988, Journal of Animal Science
    66:1614-1621. Pérez-Enciso & Fernando 1992, Theoretical and Applied Genetics 84:173-179.
    """
    return np.where(pedigree.is_bird, diagonals(pedigree, progress).self_relationship - 1, np.nan)


def diagonals(pedigree: Pedigree, progress: Callable[[float], None] | None = None) -> Diagonals:
    """The self-relationship and the sampling variance of each node.

    By the indirect method on the parents only: one column of A for each sire and each mixture of
    parents, level by level, as a column needs the variances of its ancestors. `progress` hears the
    share done; an exception it raises ends the work.

    References
    ----------
    Colleau 2002, Genetics Selection Evolution 34:409-421. Sargolzaei, Iwaisaki & Colleau 2005,
    Journal of Animal Breeding and Genetics 122:325-331.
    """
    unknown = np.full(len(pedigree), np.nan)
    return _found(pedigree, Diagonals(unknown, unknown.copy()), kernels_for(len(pedigree)), progress)


def added_diagonals(
    pedigree: Pedigree, known: Diagonals, progress: Callable[[float], None] | None = None
) -> Diagonals:
    """The diagonals of the last nodes alone, added to a pedigree whose first nodes have `known`.

    They are found on their own ancestors, without a look at the rest of the book. The parents of
    the first nodes must be what they were. `progress` hears the share done; an exception it raises
    ends the work.
    """
    before = len(known.self_relationship)
    rows, behind = pedigree.behind(np.arange(before, len(pedigree)))
    old = np.searchsorted(rows, before)
    start = Diagonals(np.full(len(rows), np.nan), np.full(len(rows), np.nan))
    start.self_relationship[:old] = known.self_relationship[rows[:old]]
    start.sampling_variance[:old] = known.sampling_variance[rows[:old]]
    found = _found(behind, start, kernels_for(len(pedigree)), progress)
    return Diagonals(found.self_relationship[old:], found.sampling_variance[old:])


def extended(
    pedigree: Pedigree, known: Diagonals, progress: Callable[[float], None] | None = None
) -> Diagonals:
    """The diagonals of a pedigree whose first nodes have `known`: only the rest is found."""
    added = added_diagonals(pedigree, known, progress)
    return Diagonals(
        np.append(known.self_relationship, added.self_relationship),
        np.append(known.sampling_variance, added.sampling_variance),
    )


def completed(
    pedigree: Pedigree, partly: Diagonals, progress: Callable[[float], None] | None = None
) -> Diagonals:
    """The diagonals of a pedigree of which some nodes are known; those that are NaN in `partly` are found.

    Only the ancestors of what is missing are looked at. `progress` hears the share done; an exception it
    raises ends the work.
    """
    missing = np.flatnonzero(np.isnan(partly.self_relationship))
    if not len(missing):
        return partly
    rows, behind = pedigree.behind(missing)
    # taking rows copies, so that what was known stays as it is
    start = Diagonals(partly.self_relationship[rows], partly.sampling_variance[rows])
    found = _found(behind, start, kernels_for(len(pedigree)), progress)
    whole = Diagonals(partly.self_relationship.copy(), partly.sampling_variance.copy())
    whole.self_relationship[rows] = found.self_relationship
    whole.sampling_variance[rows] = found.sampling_variance
    return whole


def inbreeding_by_founder(pedigree: Pedigree, genes: NDArray[np.float64]) -> NDArray[np.float64]:
    """The chance that the two genes of each node are one gene of a founder (n,); of a mean it says nothing.

    `genes` (n,) is the share of the genes of each node that come from the founder. The relationship by
    one founder is T D T' as that by all, with a D that counts this founder's genes alone; so it is found
    in the same way. Origins must have been taken out.

    References
    ----------
    García-Cortés, Martínez-Ávila & Toro 2010, Genetics Selection Evolution 42:42.
    """
    # whoever has no gene of the founder adds nothing
    carries = np.append(genes > 0, False)
    if not (carries[pedigree.sire] & carries[pedigree.dam]).any():
        return np.zeros(len(pedigree))
    rows = np.flatnonzero(carries[:-1]).astype(np.int32)
    start = Diagonals(np.full(len(rows), np.nan), np.full(len(rows), np.nan))
    found = _found(pedigree.part(rows), start, kernels_for(len(pedigree)), None, genes[rows])
    twice = np.zeros(len(pedigree))
    twice[rows] = found.self_relationship - genes[rows]
    return twice


def _found(
    pedigree: Pedigree,
    start: Diagonals,
    kernels: ModuleType | None,
    progress: Callable[[float], None] | None,
    genes: NDArray[np.float64] | None = None,
) -> Diagonals:
    """Fill in and return the diagonals that are NaN in `start`; by one founder's `genes` (n,) if given."""
    genes = np.ones(len(pedigree)) if genes is None else genes
    families = _Families(pedigree, np.isnan(start.self_relationship), kernels)
    front = _Front(families) if families.may_be_narrow() else None
    if front is not None and _is_narrow(front.width):
        finding = _Finding(families, front.couple, front.meetings, start, genes)
        front.walk(finding, progress)
    else:
        first, mates, couple = families.couples()
        finding = _Finding(families, couple, len(mates), start, genes)
        _sweep(finding, first, mates, progress)
    finding.find(np.flatnonzero(np.isnan(start.sampling_variance)))
    return start


def _is_narrow(width: int) -> bool:
    # each level multiplies by the whole table: only a small one is faster than columns
    return width**3 <= BLOCK_NUMBERS


class _Families:
    """What has to be known of the parents: which relationships, and of which mixtures the mean.

    Attributes
    ----------
    asked
        (n,) True for a node whose diagonals are to be found.
    parents
        (p,) rows of all nodes with offspring, ascending.
    breeding
        The pedigree of the parents alone.
    level, order
        (p,) the level of each parent, all 0 if none is asked for, and their order by level.
    sire, dam
        (m,) places in `parents` of each pair.
    needed
        (m,) True where the relationship of the two is needed; not of the pairs of a mean, which
        has no inbreeding of its own.
    mixed
        (n,) the mixture of parents each node with several pairs descends from, else -1.
    mixtures
        The parents by place and their shares, one column for each mixture.
    """

    def __init__(self, pedigree: Pedigree, asked: NDArray[np.bool_], kernels: ModuleType | None) -> None:
        self.pedigree = pedigree
        self.kernels = kernels
        self.asked = asked
        self.parents = pedigree.parents
        self.breeding = pedigree.part(self.parents)
        self.level = (
            levels(self.breeding) if asked[self.parents].any() else np.zeros(len(self.parents), dtype=np.intp)
        )
        self.order = by_level(self.level)
        place = np.full(len(pedigree) + 1, UNKNOWN, dtype=np.int32)
        place[self.parents] = np.arange(len(self.parents), dtype=np.int32)
        self.sire, self.dam = place[pedigree.sire], place[pedigree.dam]
        self.needed = (self.sire != UNKNOWN) & (self.dam != UNKNOWN)
        if not asked.all():
            self.needed &= asked[pedigree.child]
        self.mixed = np.full(len(pedigree), UNKNOWN, dtype=np.int32)
        self.mixtures = Columns.of_nodes(self.parents[:0])
        several = pedigree.first[1:] - pedigree.first[:-1] > 1
        if several.any():
            self.needed &= ~(pedigree.is_mean & several)[pedigree.child]
            self._mix(np.flatnonzero(several & asked), place)

    def _mix(self, rows: NDArray[np.intp], place: NDArray[np.int32]) -> None:
        links = self.pedigree.links_of(rows)
        index: dict[bytes, int] = {}
        distinct: list[int] = []
        for number, row in enumerate(rows.tolist()):
            part = slice(links.first[number], links.first[number + 1])
            key = links.parent[part].tobytes() + links.share[part].tobytes()
            if key not in index:
                index[key] = len(distinct)
                distinct.append(number)
            self.mixed[row] = index[key]
        self.mixtures = Columns(links.first.astype(np.int64), place[links.parent], links.share).some(
            np.array(distinct, dtype=np.intp)
        )

    def may_be_narrow(self) -> bool:
        """False where too many breed on one level, or not all nodes are asked for."""
        return bool(self.asked.all()) and _is_narrow(int(np.bincount(self.level, minlength=1).max()))

    def couples(self) -> tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.int32]]:
        """Where the distinct mates of each sire begin (p + 1,), the mates (u,), the couple of each pair (m,)."""
        count = len(self.parents)
        if self.kernels is not None:
            found: tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.int32]]
            sire = np.where(self.needed, self.sire, np.int32(UNKNOWN))
            found = self.kernels.couples(sire, self.dam, count)
            return found
        needed = np.flatnonzero(self.needed)
        key = self.sire[needed].astype(np.int64) * max(count, 1) + self.dam[needed]
        couples, index = np.unique(key, return_inverse=True)
        sires, mates = np.divmod(couples, max(count, 1))
        couple = np.full(len(self.sire), UNKNOWN, dtype=np.int32)
        couple[needed] = index
        return np.searchsorted(sires, np.arange(count + 1)), mates.astype(np.int32), couple

    def mixture_levels(self) -> NDArray[np.intp]:
        """The level of the highest parent of each mixture; -1 of one of nobody."""
        level = np.full(len(self.mixtures), -1, dtype=np.intp)
        number = np.repeat(np.arange(len(level)), np.diff(self.mixtures.first))
        np.maximum.at(level, number, self.level[self.mixtures.row])
        return level


class _Finding:
    """The diagonals while they are found, level by level.

    Attributes
    ----------
    couple
        (m,) the couple of each pair, or -1.
    related
        (u,) relationship of each couple, and `mixture_self` (x,) the self-relationship of each
        mixture: to be filled in before a node is asked for that needs them.
    genes
        (n,) the share of the genes of each node that count: all of them, or those of one founder.
    """

    def __init__(
        self,
        families: _Families,
        couple: NDArray[np.integer],
        couples: int,
        found: Diagonals,
        genes: NDArray[np.float64],
    ) -> None:
        self.families = families
        self.couple = couple
        # the last place stands for no couple
        self.related = np.zeros(couples + 1)
        self.mixture_self = np.zeros(len(families.mixtures))
        self.found = found
        self.genes = genes

    def find(self, rows: NDArray[np.integer]) -> None:
        """Find both diagonals of `rows`, whose parents' relationships are known."""
        families, pedigree, found = self.families, self.families.pedigree, self.found
        if families.kernels is not None:
            families.kernels.find(
                rows.astype(np.int32),
                pedigree.first,
                pedigree.sire,
                pedigree.dam,
                pedigree.weight,
                pedigree.variance,
                self.couple,
                self.related,
                families.mixed,
                self.mixture_self,
                self.genes,
                found.self_relationship,
                found.sampling_variance,
            )
            return
        pairs: slice | NDArray[np.int64]
        if len(rows) == len(pedigree):
            pairs, owner = slice(None), pedigree.child
        else:
            begin, end = pedigree.first[rows], pedigree.first[rows + 1]
            pairs, owner = spans(begin, end), np.repeat(np.arange(len(rows)), end - begin)
        related = self.related[self.couple[pairs]]
        inbreeding = np.bincount(owner, pedigree.weight[pairs] * related / 2, minlength=len(rows))

        # the self-relationship of the mixture of parents: of one pair (A_ss + A_dd + 2 A_sd) / 4
        known = np.append(found.self_relationship, 0.0)
        of_pair = (known[pedigree.sire[pairs]] + known[pedigree.dam[pairs]] + 2 * related) / 4
        inherited = np.bincount(owner, of_pair, minlength=len(rows))
        if len(families.mixtures):
            mixed = families.mixed[rows]
            several = mixed != UNKNOWN
            inherited[several] = self.mixture_self[mixed[several]]

        bird = np.isnan(pedigree.variance[rows])
        own = self.genes[rows] + inbreeding
        variance = np.where(bird, own - inherited, pedigree.variance[rows])
        found.sampling_variance[rows] = variance
        found.self_relationship[rows] = np.where(bird, own, inherited + variance)


def _sweep(
    finding: _Finding,
    mates_first: NDArray[np.int64],
    mates: NDArray[np.int32],
    progress: Callable[[float], None] | None,
) -> None:
    """Find what the parents need by sweeping one column for each sire and each mixture of parents."""
    families = finding.families
    parents = families.parents
    variance = np.nan_to_num(finding.found.sampling_variance[parents])
    relations = Relations(families.breeding, variance, families.kernels, BLOCK_NUMBERS)
    mixture_level = families.mixture_levels()
    has_mates = np.diff(mates_first) > 0
    todo = np.count_nonzero(has_mates) + np.count_nonzero(mixture_level >= 0)
    done = 0

    def report(columns: int) -> None:
        if progress is not None:
            progress((done + columns) / todo)

    ends = np.cumsum(np.bincount(families.level, minlength=1)).tolist()
    for level, (begin, end) in enumerate(zip([0, *ends[:-1]], ends, strict=True)):
        rows = families.order[begin:end]
        asked = rows[families.asked[parents[rows]]]
        finding.find(parents[asked])
        variance[asked] = finding.found.sampling_variance[parents[asked]]

        cocks = rows[has_mates[rows]]
        first, last = mates_first[cocks], mates_first[cocks + 1]
        couples = spans(first, last)
        wanted_first = np.append(0, np.cumsum(last - first))
        finding.related[couples] = relations.between(
            Columns.of_nodes(cocks), wanted_first, mates[couples], report
        )
        done += len(cocks)

        ready = np.flatnonzero(mixture_level == level)
        mixtures = families.mixtures.some(ready)
        related = relations.between(mixtures, mixtures.first, mixtures.row, report)
        number = np.repeat(np.arange(len(ready)), np.diff(mixtures.first))
        finding.mixture_self[ready] = np.bincount(number, mixtures.share * related, minlength=len(ready))
        done += len(ready)


class _Front:
    """The table of relationships between the parents that still have offspring to come.

    It is carried from level to level: birds enter it with their level and leave it with their last
    offspring, so that a deep and narrow book needs no more room than its breeders of one time.

    Attributes
    ----------
    width
        How many are in it at most.
    meetings
        How many pairs have a relationship to be found in it.
    couple
        (m,) the meeting of each pair, or -1; they follow each other in time.
    """

    def __init__(self, families: _Families) -> None:
        self._families = families
        level, mixtures = families.level, families.mixtures
        self._levels = int(level.max(initial=-1)) + 1
        pairs = np.flatnonzero(families.needed)
        sire, dam = families.sire[pairs], families.dam[pairs]
        together = np.maximum(level[sire], level[dam])
        self._mixture_level = families.mixture_levels()
        links = families.breeding.links
        self._last = level.copy()
        np.maximum.at(self._last, links.parent, level[links.child])
        np.maximum.at(self._last, sire, together)
        np.maximum.at(self._last, dam, together)
        np.maximum.at(self._last, mixtures.row, np.repeat(self._mixture_level, np.diff(mixtures.first)))
        # a pair meets when both are there
        in_time = by_level(together)
        self.meetings = len(pairs)
        self.couple = np.full(len(families.sire), UNKNOWN, dtype=np.int32)
        self.couple[pairs[in_time]] = np.arange(len(pairs), dtype=np.int32)
        self._sire, self._dam = sire[in_time], dam[in_time]
        self._met = self._ends(together)
        self._entered, self._left = self._ends(level), self._ends(self._last)
        self.width = int((self._entered - np.append(0, self._left[:-1])).max(initial=0))

    def walk(self, finding: _Finding, progress: Callable[[float], None] | None) -> None:
        """Find what the parents need, level by level."""
        families, slot = self._families, self._slots()
        order, mixtures = families.order, families.mixtures
        entering, rows = slot[order], families.parents[order]
        own = _Own(finding, rows)
        table = np.zeros((self.width, self.width))
        place_in_table = slot[self._sire] * self.width + slot[self._dam]

        # how those of one level mix the lines of their parents
        links = families.breeding.links
        entries = spans(links.first[order], links.first[order + 1])
        share, entries_to = (
            links.share[entries],
            np.append(0, np.cumsum(np.diff(links.first)[order])).tolist(),
        )
        crowd = np.diff(self._entered, prepend=0)
        line_of = np.arange(len(order)) - np.repeat(self._entered - crowd, crowd)
        place_in_mix = np.repeat(line_of, np.diff(entries_to)) * self.width + slot[links.parent[entries]]

        begin = met = 0
        for level, (end, meeting) in enumerate(zip(self._entered.tolist(), self._met.tolist(), strict=True)):
            new = entering[begin:end]
            inherits = slice(entries_to[begin], entries_to[end])
            mix = np.zeros((len(new), self.width))
            mix.reshape(-1)[place_in_mix[inherits]] = share[inherits]
            line = mix @ table
            among = line @ mix.T
            among.flat[:: len(new) + 1] = own.relationship(among, begin, end)
            line[:, new] = among
            table[new] = line
            table[:, new] = line.T

            finding.related[met:meeting] = table.reshape(-1).take(place_in_table[met:meeting])
            for number in np.flatnonzero(self._mixture_level == level) if len(mixtures) else ():
                part = slice(mixtures.first[number], mixtures.first[number + 1])
                shares, places = mixtures.share[part], slot[mixtures.row[part]]
                finding.mixture_self[number] = shares @ table[np.ix_(places, places)] @ shares
            begin, met = end, meeting
            if progress is not None:
                progress((level + 1) / self._levels)
        finding.found.self_relationship[rows] = own.found

    def _slots(self) -> NDArray[np.intp]:
        """The line of the table each parent has while it is there (p,)."""
        free = list(range(self.width))
        order, leaving = self._families.order, by_level(self._last)
        slot = np.empty(len(order), dtype=np.intp)
        entered = left = 0
        for enter, leave in zip(self._entered.tolist(), self._left.tolist(), strict=True):
            keep = len(free) - (enter - entered)
            slot[order[entered:enter]] = free[keep:]
            del free[keep:]
            free += slot[leaving[left:leave]].tolist()
            entered, left = enter, leave
        return slot

    def _ends(self, level: NDArray[np.intp]) -> NDArray[np.intp]:
        """How many come up to each level."""
        return np.cumsum(np.bincount(level, minlength=self._levels))


class _Own:
    """The relationship of each parent with itself, place by place."""

    def __init__(self, finding: _Finding, rows: NDArray[np.int32]) -> None:
        self._finding, self._rows = finding, rows
        pedigree = finding.families.pedigree
        first = pedigree.first[rows]
        sizes = pedigree.first[rows + 1] - first
        single = sizes == 1
        # the last pair stands for none, and is no couple
        pair = np.where(single, first, len(finding.couple))
        self._couple = np.append(finding.couple, UNKNOWN)[pair]
        self._odd = np.flatnonzero((sizes > 1) | ~np.isnan(pedigree.variance[rows])).tolist()
        self.found = np.empty(len(rows))

    def relationship(self, among: NDArray[np.float64], begin: int, end: int) -> NDArray[np.float64]:
        """That of the places from `begin` to `end`, whose parents' mixtures are related as in `among`."""
        own: NDArray[np.float64] = self._finding.related[self._couple[begin:end]]
        own *= 0.5
        own += self._finding.genes[self._rows[begin:end]]
        if self._odd:
            for place in self._odd[bisect_left(self._odd, begin) : bisect_left(self._odd, end)]:
                own[place - begin] = self._odd_relationship(place, among[place - begin, place - begin])
        self.found[begin:end] = own
        return own

    def _odd_relationship(self, place: int, inherited: float) -> float:
        """That of a node with several pairs, or of one that is no bird."""
        pedigree, row = self._finding.families.pedigree, self._rows[place]
        if not np.isnan(pedigree.variance[row]):
            return float(inherited + pedigree.variance[row])
        pairs = slice(pedigree.first[row], pedigree.first[row + 1])
        related = self._finding.related[self._finding.couple[pairs]]
        return float(self._finding.genes[row] + pedigree.weight[pairs] @ related / 2)
