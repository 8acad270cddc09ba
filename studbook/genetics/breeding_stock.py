"""The birds a set of breeders is chosen from, and the mean kinship their next generation would have."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

SAME = 1e-10
"""Sets whose figures differ by less are equally good."""


@dataclass(frozen=True, eq=False)
class Stock:
    """What is chosen from: n birds.

    Attributes
    ----------
    kinship
        (n, n) kinship f of the birds, each with itself included.
    is_cock
        (n,) True for cocks; every other bird is a hen.
    cocks, hens
        How many of each are kept, N and M.
    must_stay, must_go
        (n,) birds that are in every set, and in none.
    """

    kinship: NDArray[np.float64]
    is_cock: NDArray[np.bool_]
    cocks: int
    hens: int
    must_stay: NDArray[np.bool_]
    must_go: NDArray[np.bool_]

    @property
    def share(self) -> NDArray[np.float64]:
        """(n,) what each bird gives to the next generation if it is kept."""
        return np.where(self.is_cock, 1 / (2 * self.cocks), 1 / (2 * self.hens))

    def problem(self) -> str:
        """Why no such set can be: "cocks" or "hens", too few or too many must stay; empty when there is one."""
        for sex, wanted, of in ((True, self.cocks, "cocks"), (False, self.hens, "hens")):
            among = self.is_cock == sex
            bound = int((among & self.must_stay & ~self.must_go).sum())
            free = int((among & ~self.must_go).sum())
            if wanted < 1 or not bound <= wanted <= free:
                return of
        return "both" if bool((self.must_stay & self.must_go).any()) else ""


def stock(
    kinship: ArrayLike,
    is_cock: ArrayLike,
    cocks: int,
    hens: int,
    must_stay: ArrayLike = (),
    must_go: ArrayLike = (),
) -> Stock:
    """A stock of birds; `must_stay` and `must_go` are rows.

    Raises
    ------
    ValueError
        If there is no such set.
    """
    among = np.asarray(is_cock, dtype=bool)
    bound = np.zeros(len(among), dtype=bool)
    gone = bound.copy()
    bound[np.asarray(must_stay, dtype=np.intp)] = True
    gone[np.asarray(must_go, dtype=np.intp)] = True
    made = Stock(np.asarray(kinship, dtype=np.float64), among, cocks, hens, bound, gone)
    if problem := made.problem():
        raise ValueError(f"no set of {cocks} cocks and {hens} hens can be chosen", problem)
    return made


def next_kinship(kinship: ArrayLike, is_cock: ArrayLike, chosen: ArrayLike) -> float:
    """The mean kinship c′Kc of the next generation of equal chances; NaN without a cock or without a hen.

    Two chicks draw their genes from the kept birds, half from cocks and half from hens; a chick with itself is not
    told apart from a chick with a full sib.

    >>> next_kinship([[0.5, 0.0], [0.0, 0.5]], [True, False], [True, True])
    0.25
    """
    kept, cock = np.asarray(chosen, dtype=bool), np.asarray(is_cock, dtype=bool)
    cocks, hens = int((kept & cock).sum()), int((kept & ~cock).sum())
    if not cocks or not hens:
        return float("nan")
    share = np.where(cock, 1 / (2 * cocks), 1 / (2 * hens)) * kept
    return float(share @ np.asarray(kinship, dtype=np.float64) @ share)


def swap_changes(among: Stock, chosen: NDArray[np.bool_]) -> NDArray[np.float64]:
    """What c′Kc changes by when a kept bird goes and another comes: (n out, n in), NaN where that is no swap.

    A cock is swapped for a cock, a hen for a hen; what must stay or go is left as it is.
    """
    share = among.share
    quadratic = among.kinship * np.outer(share, share)
    pull = quadratic @ chosen
    own = np.diag(quadratic)
    change = 2 * (pull[None, :] - pull[:, None]) + own[:, None] + own[None, :] - 2 * quadratic
    outward = chosen & ~among.must_stay
    inward = ~chosen & ~among.must_go
    possible = outward[:, None] & inward[None, :] & (among.is_cock[:, None] == among.is_cock[None, :])
    return np.where(possible, change, np.nan)
