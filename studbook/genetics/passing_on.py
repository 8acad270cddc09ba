"""Kinship passed on from one season's birds to the next's, in many replicates at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Descent:
    """What each of n′ birds comes from, by places among n: one bird that stays, or a sire and a dam.

    Attributes
    ----------
    size
        n′.
    stays, was
        (c,) the places of birds that are there already, and where they were.
    young
        (y,) the places of the others.
    sire, dam
        (r, y) their parents in each replicate.
    doubted
        (r, y) whose sire is taken for the mean of the first `cocks` birds; None for nobody's.
    """

    size: int
    stays: Ints
    was: Ints
    young: Ints
    sire: Ints
    dam: Ints
    doubted: NDArray[np.bool_] | None = None
    cocks: int = 0

    @classmethod
    def of_pairs(cls, sire: Ints, dam: Ints, doubted: NDArray[np.bool_] | None, cocks: int) -> "Descent":
        """A bird of each pair (r, y), none that stays."""
        nobody = np.zeros(0, dtype=np.int64)
        return cls(sire.shape[1], nobody, nobody, np.arange(sire.shape[1]), sire, dam, doubted, cocks)

    def with_old(self, relation: Floats) -> Floats:
        """The relation of the n′ birds with m others (r, n′, m), from that of the n birds with them (r, n, m)."""
        replicate = np.arange(len(relation))[:, None]
        found = np.empty((len(relation), self.size, relation.shape[2]))
        found[:, self.stays] = relation[:, self.was]
        by_sire = relation[replicate, self.sire]
        if self.doubted is not None and self.doubted.any():
            mean = relation[:, : self.cocks].mean(axis=1)
            by_sire = np.where(self.doubted[:, :, None], mean[:, None], by_sire)
        found[:, self.young] = (by_sire + relation[replicate, self.dam]) / 2
        return found

    def among(self, relation: Floats) -> Floats:
        """The relation of the n′ birds with each other (r, n′, n′), from that of the n birds (r, n, n).

        Two different birds of one pair are related so; a young bird with itself differs.
        """
        return self.with_old(self.with_old(relation).transpose(0, 2, 1))
