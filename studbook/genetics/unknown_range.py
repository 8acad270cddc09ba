"""What an unknown parent hides: how related two birds are if each candidate in turn was that parent."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.founders import Part
from studbook.genetics.inbreeding import Diagonals, diagonals
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree


@dataclass(frozen=True, eq=False)
class UnknownRange:
    """The kinship of two birds by who the unknown parent was.

    Attributes
    ----------
    recorded
        The kinship with the parent left unknown and unrelated.
    candidates
        (c,) rows of the birds that may have been it.
    kinship
        (c,) the kinship if this one was.
    weight
        (c,) how likely each is; they sum to 1.
    """

    recorded: float
    candidates: NDArray[np.int32]
    kinship: NDArray[np.float64]
    weight: NDArray[np.float64]

    @property
    def best(self) -> float:
        """The lowest kinship; NaN without candidates."""
        return float(self.kinship.min()) if len(self.kinship) else np.nan

    @property
    def worst(self) -> float:
        """The highest kinship; NaN without candidates."""
        return float(self.kinship.max()) if len(self.kinship) else np.nan

    @property
    def likely(self) -> float:
        """The mean kinship by the weights; NaN without candidates."""
        return float(self.weight @ self.kinship) if len(self.kinship) else np.nan


def unknown_range(
    pedigree: Pedigree,
    first: int,
    second: int,
    child: int,
    part: Part,
    candidates: ArrayLike,
    weight: ArrayLike | None = None,
    known: Diagonals | None = None,
) -> UnknownRange:
    """The kinship of two birds if the unknown sire or dam (`part`) of `child` was each candidate.

    A candidate takes the place of the unknown parent in every pair of the child that lacks it;
    other unknown parents stay unknown. The pedigree is the one by convention: where an unknown
    parent is a mean of birds nothing is left to fill. All candidates are alike likely unless
    `weight` (c,) says otherwise.

    Exact for any number of candidates at once: the kinship changes by Σ w f(candidate, y), where the
    weights w of the birds y do not depend on the candidate.

    Raises
    ------
    ValueError
        If that parent of the child is not unknown, a candidate descends from the child or is no
        bird, or the weights are not positive numbers, one for each candidate.
    """
    rows = np.asarray(candidates, dtype=np.int32)
    likely = np.ones(len(rows)) if weight is None else np.asarray(weight, dtype=np.float64)
    if likely.shape != rows.shape or (likely <= 0).any():
        raise ValueError("one positive weight for each candidate")
    if part is Part.BIRD:
        raise ValueError("a parent is a sire or a dam")
    impossible = [
        int(row)
        for row in rows
        if not pedigree.is_bird[row] or np.isin(child, pedigree.with_ancestors([row]))
    ]
    if impossible:
        raise ValueError(f"rows {impossible}: no bird, or the child or its offspring", impossible)

    known = diagonals(pedigree) if known is None else known
    behind = pedigree.with_ancestors([first, second])
    recorded = float(kinship(pedigree, [first], [second], known)[0, 0])
    change = np.zeros(len(rows))
    missing, mates, chance = _open_pairs(pedigree, child, part)
    if np.isin(child, behind):
        places = np.searchsorted(behind, [first, second, child])
        line, itself = _first_meetings(pedigree.part(behind), *places.tolist())
        # one gene of the child and one of a bird y outside its offspring: half the candidate's
        effect = missing / 2 * line
        np.add.at(effect, np.searchsorted(behind, mates), itself / 2 * chance)
        asked = np.flatnonzero(effect)
        change = kinship(pedigree, rows, behind[asked], known) @ effect[asked]
    total = likely.sum()
    return UnknownRange(recorded, rows, recorded + change, likely / total if total else likely)


def _open_pairs(
    pedigree: Pedigree, child: int, part: Part
) -> tuple[float, NDArray[np.int32], NDArray[np.float64]]:
    """The chance that this parent is unknown, and the known mates it then had, with the chance of each."""
    pairs = slice(pedigree.first[child], pedigree.first[child + 1])
    parents, weight = (pedigree.sire[pairs], pedigree.dam[pairs]), pedigree.weight[pairs]
    asked, other = parents if part is Part.SIRE else parents[::-1]
    gap = asked == UNKNOWN
    if len(asked) and not gap.any():
        raise ValueError(f"rows [{child}]: this parent is not unknown", [child])
    mated = gap & (other != UNKNOWN)
    return float(weight[gap].sum()) if len(asked) else 1.0, other[mated], weight[mated]


def _first_meetings(
    pedigree: Pedigree, first: int, second: int, child: int
) -> tuple[NDArray[np.float64], float]:
    """The relationship of two nodes followed back until no offspring of `child` is left in it.

    It is then a sum over pairs of nodes, each with a weight. Given are the weights of the pairs of
    the child with each node outside its offspring (n,), 0 for others, and of the child with itself.
    """
    links = pedigree.links
    offspring = np.zeros(len(pedigree), dtype=bool)
    offspring[child] = True
    for row in range(child + 1, len(pedigree)):
        offspring[row] = offspring[links.parent[links.first[row] : links.first[row + 1]]].any()
    # offspring rank above all others, so that the younger end of a pair steps back
    order = np.concatenate([np.flatnonzero(~offspring), np.flatnonzero(offspring)])
    rank = np.empty(len(order), dtype=np.intp)
    rank[order] = np.arange(len(order))
    stop = int(rank[child])
    weight = np.zeros((len(order), len(order)))

    def add(one: int, other: int, amount: float) -> None:
        weight[max(one, other), min(one, other)] += amount

    add(rank[first], rank[second], 1)
    for young in range(len(order) - 1, stop, -1):
        row = order[young]
        steps = slice(links.first[row], links.first[row + 1])
        shares = list(zip(rank[links.parent[steps]].tolist(), links.share[steps].tolist(), strict=True))
        for parent, share in shares:
            line = share * weight[young, :young]
            weight[parent, : parent + 1] += line[: parent + 1]
            weight[parent + 1 : young, parent] += line[parent + 1 :]
        itself = float(weight[young, young])
        if itself and pedigree.is_bird[row]:
            for pair in range(pedigree.first[row], pedigree.first[row + 1]):
                sire, dam = int(pedigree.sire[pair]), int(pedigree.dam[pair])
                if UNKNOWN not in (sire, dam):
                    add(rank[sire], rank[dam], itself * pedigree.weight[pair] / 2)
        elif itself:
            for parent, share in shares:
                for other, other_share in shares:
                    add(parent, other, itself * share * other_share)
    line = np.zeros(len(order))
    line[order[:stop]] = weight[stop, :stop]
    return line, float(weight[stop, stop])
