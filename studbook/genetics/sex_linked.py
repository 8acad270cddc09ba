"""Inbreeding and kinship of genes on the Z chromosome: cocks are ZZ, hens ZW.

A hen has one Z, her sire's, and gives it to her sons alone; a cock has two and gives one of them to
every chick. Kinship is the chance that a Z gene drawn from one bird and one drawn from the other
descend from one ancestral gene; that of a hen with herself is 1, as she has but one.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.gene_flow import GeneFlow, levels
from studbook.genetics.inbreeding import BLOCK_NUMBERS, Diagonals
from studbook.genetics.kinship import kinship
from studbook.genetics.pedigree import UNKNOWN, Pedigree, spans


@dataclass(frozen=True, eq=False)
class ZLinked:
    """The inheritance of Z through a pedigree, found once and asked often.

    Pairs and means count by their weights as for other genes. Of an origin the same relationship
    is assumed for Z as for the other chromosomes.

    Attributes
    ----------
    inbreeding
        (n,) F of Z, from 0 to 1; NaN for a hen, which has no second Z, and for a node that is no bird.
    """

    inbreeding: NDArray[np.float64]
    _flow: Pedigree
    _diagonals: Diagonals

    def kinship(self, rows: ArrayLike, columns: ArrayLike) -> NDArray[np.float64]:
        """The Z kinship of each of `rows` with each of `columns` (r, c), from 0 to 1.

        Of a cock with a hen it is the F of Z of their sons.
        """
        return kinship(self._flow, rows, columns, self._diagonals)


def z_linked(pedigree: Pedigree, hen: ArrayLike) -> ZLinked:
    """The inheritance of Z; `hen` (n,) is True for hens, every other bird counts as a cock.

    Of a chick of unknown sex ask twice. What is said of a node that is no bird does not matter.

    >>> parents_and_daughter = Pedigree.of_parents([-1, -1, 0], [-1, -1, 1])
    >>> z_linked(parents_and_daughter, [False, True, True]).kinship([0, 1], [2]).tolist()
    [[0.5], [0.0]]

    Raises
    ------
    ValueError
        If a sire is a hen or a dam is not: the message names the rows.

    References
    ----------
    Fernando & Grossman 1990, Theoretical and Applied Genetics 80:75-80, with the sexes changed.
    """
    is_hen = np.asarray(hen, dtype=bool) & pedigree.is_bird
    for name, parent, wrong in (
        ("sire", pedigree.sire, is_hen),
        ("dam", pedigree.dam, pedigree.is_bird & ~is_hen),
    ):
        amiss = np.append(wrong, False)[parent]
        # the pairs of a mean name one candidate twice
        rows = np.unique(parent[amiss & pedigree.is_bird[pedigree.child]]).tolist()
        if rows:
            raise ValueError(f"rows {rows}: a {name} of the other sex", rows)
    flow = Pedigree(
        pedigree.first,
        pedigree.sire,
        # both genes of an own daughter's pair are the sire's: the dam gives her no Z
        np.where(is_hen[pedigree.child], pedigree.sire, pedigree.dam).astype(np.int32),
        pedigree.weight,
        pedigree.variance,
    )
    found = _Finding(flow, is_hen).found()
    homogametic = pedigree.is_bird & ~is_hen
    return ZLinked(np.where(homogametic, found.self_relationship - 1, np.nan), flow, found)


class _Finding:
    """The diagonals of twice the Z kinship, level by level: 1 + F of a cock, 2 of a hen."""

    def __init__(self, flow: Pedigree, is_hen: NDArray[np.bool_]) -> None:
        self._pedigree = flow
        self._is_hen = is_hen
        self._level = levels(flow)
        self._self_relationship = np.zeros(len(flow))
        self._variance = np.zeros(len(flow))
        self._parents = np.unique(flow.links.parent)
        self._flow = GeneFlow(flow.part(self._parents))

    def found(self) -> Diagonals:
        for level in range(int(self._level.max(initial=-1)) + 1):
            self._find(np.flatnonzero(self._level == level), level)
        return Diagonals(self._self_relationship, self._variance)

    def _find(self, rows: NDArray[np.intp], level: int) -> None:
        pedigree = self._pedigree
        sizes = pedigree.first[rows + 1] - pedigree.first[rows]
        pairs = spans(pedigree.first[rows], pedigree.first[rows + 1])
        owner = np.repeat(np.arange(len(rows)), sizes)
        weight = pedigree.weight[pairs]
        sire, dam = pedigree.sire[pairs], pedigree.dam[pairs]
        related = self._couples(sire, dam, level)
        inbreeding = np.bincount(owner, weight * related / 2, minlength=len(rows))
        known = np.append(self._self_relationship, 0.0)
        inherited = np.bincount(owner, (known[sire] + known[dam] + 2 * related) / 4, minlength=len(rows))
        several = np.flatnonzero(sizes > 1)
        inherited[several] = self._mixtures(rows[several], level)
        own = np.where(
            pedigree.is_bird[rows],
            np.where(self._is_hen[rows], 2.0, 1 + inbreeding),
            inherited + np.nan_to_num(pedigree.variance[rows]),
        )
        self._self_relationship[rows] = own
        self._variance[rows] = own - inherited

    def _couples(self, sire: NDArray[np.int32], dam: NDArray[np.int32], level: int) -> NDArray[np.float64]:
        """Twice the Z kinship of each sire with his dam; 0 where one is unknown."""
        related = np.zeros(len(sire))
        same = (sire == dam) & (sire != UNKNOWN)
        related[same] = self._self_relationship[sire[same]]
        asked = np.flatnonzero((sire != dam) & (sire != UNKNOWN) & (dam != UNKNOWN))
        sires, column = np.unique(sire[asked], return_inverse=True)
        dam_place = self._place(dam[asked])
        for block in self._blocks(len(sires)):
            columns = np.zeros((len(self._parents), len(block)))
            columns[self._place(sires[block]), np.arange(len(block))] = 1
            self._relate(columns, level)
            within = (column >= block[0]) & (column <= block[-1])
            related[asked[within]] = columns[dam_place[within], column[within] - block[0]]
        return related

    def _mixtures(self, rows: NDArray[np.intp], level: int) -> NDArray[np.float64]:
        """The self-relationship of the mixture of parents of each of some nodes."""
        links = self._pedigree.links
        parts = [slice(links.first[row], links.first[row + 1]) for row in rows]
        keys = [links.parent[part].tobytes() + links.share[part].tobytes() for part in parts]
        distinct = dict(zip(keys, parts, strict=True))
        found: dict[bytes, float] = {}
        for block in self._blocks(len(distinct)):
            names = list(distinct)[block[0] : block[-1] + 1]
            columns = np.zeros((len(self._parents), len(block)))
            for place, name in enumerate(names):
                columns[self._place(links.parent[distinct[name]]), place] = links.share[distinct[name]]
            mixed = columns.copy()
            self._relate(columns, level)
            found.update(zip(names, np.einsum("ij,ij->j", mixed, columns).tolist(), strict=True))
        return np.array([found[key] for key in keys])

    def _relate(self, columns: NDArray[np.float64], level: int) -> None:
        """Replace columns, zero from `level` on, by the relationships below it."""
        self._flow.gather(columns, level - 1)
        columns *= self._variance[self._parents][self._flow.order, None]
        self._flow.spread(columns, level - 1)

    def _place(self, rows: NDArray[np.int32]) -> NDArray[np.intp]:
        return self._flow.place[np.searchsorted(self._parents, rows)]

    def _blocks(self, count: int) -> list[NDArray[np.intp]]:
        width = max(1, BLOCK_NUMBERS // max(len(self._parents), 1))
        return [np.arange(begin, min(begin + width, count)) for begin in range(0, count, width)]
