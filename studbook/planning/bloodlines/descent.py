"""Founders followed down to the birds that carry them, a few founders at a time."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.founders import Founders
from studbook.genetics.gene_flow import GeneFlow
from studbook.genetics.pedigree import Pedigree

# Numbers swept at once: 16 MB.
_BLOCK_NUMBERS = 2_000_000


def shares_by_founder(
    pedigree: Pedigree, rows: NDArray[np.integer], among: Founders, chosen: NDArray[np.integer]
) -> Iterator[tuple[int, NDArray[np.float64]]]:
    """Each of the `chosen` founders in turn with the share of the genes of `rows` that come from it (r,)."""
    behind = pedigree.with_ancestors(rows)
    flow = GeneFlow(pedigree.part(behind))
    places = flow.place[np.searchsorted(behind, rows)]
    width = max(1, _BLOCK_NUMBERS // max(len(behind), 1))
    for begin in range(0, len(chosen), width):
        block = chosen[begin : begin + width]
        columns = np.zeros((len(behind), len(block)))
        inside = np.flatnonzero(np.isin(among.row[block], behind))
        founders = block[inside]
        columns[flow.place[np.searchsorted(behind, among.row[founders])], inside] = among.share[founders]
        flow.spread(columns)
        for column, founder in enumerate(block.tolist()):
            yield founder, columns[places, column]
