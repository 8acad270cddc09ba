"""The effective number of ancestors: how few birds explain the genes of a flock.

Founders alone hide a bottleneck: eight founders whose genes all came through one cock are as few
as that cock. So ancestors are picked one by one, each time the one that explains most of what the
earlier ones do not.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.founders import Founders, Part, birds_only, founders
from studbook.genetics.gene_flow import levels
from studbook.genetics.pedigree import Pedigree

# Marginal contributions that differ by less are equal, and below it nothing is left to explain.
_TIE_DIGITS = 12
_NOTHING = 1e-13


@dataclass(frozen=True, eq=False)
class Ancestors:
    """The ancestors that explain a set of birds, in the order picked.

    Attributes
    ----------
    row
        (k,) the ancestor, or the bird whose parent is unknown.
    part
        (k,) `Part` of each.
    contribution
        (k,) marginal contribution: what it explains beyond those before it; they sum to 1.
    """

    row: NDArray[np.int32]
    part: NDArray[np.int8]
    contribution: NDArray[np.float64]


def marginal_contributions(
    pedigree: Pedigree,
    rows: ArrayLike,
    among: Founders | None = None,
    progress: Callable[[float], None] | None = None,
) -> Ancestors:
    """The ancestors of `rows` that contribute most, each without what earlier ones explain.

    Exact: `effective_number` of the contributions is f_a. It is nearly always at most f_e; where an
    ancestor picked early covers parts of several founders it may come out a little above. Birds of
    the set count as ancestors of their own; unknown parents are candidates as in `among`. Of equal
    ones a bird outside the set is picked before one within it, then the younger by generations,
    then the lower row: the method leaves that open, and f_a can depend on it. `progress` hears the
    share explained; an exception it raises ends the work.

    References
    ----------
    Boichard, Maignel & Verrier 1997, Genetics Selection Evolution 29:5-23.
    """
    chosen = birds_only(pedigree, rows)
    among = founders(pedigree) if among is None else among
    behind = pedigree.with_ancestors(chosen)
    inside = np.isin(among.row, behind)
    halves = Founders(
        np.searchsorted(behind, among.row[inside]).astype(np.int32), among.part[inside], among.share[inside]
    )
    picking = _Picking(pedigree.part(behind), np.searchsorted(behind, chosen), halves)
    explained = 0.0
    while picking.pick():
        explained += picking.contribution[-1]
        if progress is not None:
            progress(min(1.0, explained))
    return Ancestors(
        behind[np.array(picking.row, dtype=np.intp)],
        np.array(picking.part, dtype=np.int8),
        np.array(picking.contribution),
    )


class _Picking:
    """The ancestors picked so far, and what the others would add.

    A bird that was picked is cut off from its parents. Then q of a node is the share of the genes
    of the set that came through it without passing a picked descendant, and a the share of its own
    genes that come from picked ancestors: q (1 - a) is what it would add.
    """

    def __init__(self, pedigree: Pedigree, rows: NDArray[np.intp], among: Founders) -> None:
        n = len(pedigree)
        self._share_of_set = np.bincount(rows, minlength=n) / max(len(rows), 1)
        halves = among.part != Part.BIRD
        birds = np.flatnonzero(pedigree.is_bird)
        self._row = np.concatenate([birds, among.row[halves]])
        self._part = np.concatenate([np.zeros(len(birds), dtype=np.int8), among.part[halves]])
        self._share = np.concatenate([np.ones(len(birds)), among.share[halves]])
        level = levels(pedigree)
        # 0 for whatever has no ancestors: founders and unknown parents
        self._rank = np.where(self._part == Part.BIRD, level[self._row], 0)
        self._in_set = (self._share_of_set[self._row] > 0) & (self._part == Part.BIRD)
        self._open = np.ones(n)
        self._taken_share = np.zeros(n)
        self._taken = np.zeros(len(self._row), dtype=bool)
        links = pedigree.links
        order = np.argsort(level[links.child], kind="stable")
        cuts = np.searchsorted(level[links.child][order], np.arange(1, int(level.max(initial=0)) + 2))
        self._steps = [
            (links.child[step], links.parent[step], links.share[step])
            for step in np.split(order, cuts)[:-1]
            if len(step)
        ]
        self.row: list[int] = []
        self.part: list[int] = []
        self.contribution: list[float] = []

    def pick(self) -> bool:
        """Pick the next ancestor; False when nothing is left to explain."""
        added = self._added()
        told = np.round(added, _TIE_DIGITS)
        most = told.max(initial=0.0)
        if most <= _NOTHING:
            return False
        equal = np.flatnonzero(told == most)
        first = np.lexsort((self._row[equal], -self._rank[equal], self._in_set[equal]))[0]
        candidate = equal[first]
        row = int(self._row[candidate])
        self._taken[candidate] = True
        if self._part[candidate] == Part.BIRD:
            self._open[row] = 0
        else:
            self._taken_share[row] += self._share[candidate]
        self.row.append(row)
        self.part.append(int(self._part[candidate]))
        self.contribution.append(float(added[candidate]))
        return True

    def _added(self) -> NDArray[np.float64]:
        """What each candidate would add (c,)."""
        through = self._share_of_set.copy()
        for child, parent, share in reversed(self._steps):
            np.add.at(through, parent, through[child] * share * self._open[child])
        explained = np.where(self._open == 0, 1.0, self._taken_share)
        for child, parent, share in self._steps:
            np.add.at(explained, child, explained[parent] * share * self._open[child])
        # an unknown parent has no ancestors, and none behind a bird that was picked
        left = np.where(self._part == Part.BIRD, 1 - explained[self._row], self._open[self._row])
        added: NDArray[np.float64] = through[self._row] * self._share * left
        added[self._taken] = 0
        return added
