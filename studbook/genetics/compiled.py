"""When the compiled kernels are used: for large pedigrees, where the extra `large` brings numba."""

from functools import cache
from types import ModuleType

LARGE = 20_000
"""Pedigrees of more nodes are swept by the compiled kernels, if they can be loaded."""


def kernels_for(nodes: int) -> ModuleType | None:
    """The compiled kernels for a pedigree of that many nodes; None if it is small or numba missing."""
    return _kernels() if nodes > LARGE else None


@cache
def _kernels() -> ModuleType | None:
    # loading takes 270 ms, the first compilation some seconds: only large books are worth it
    try:
        from studbook.genetics import kernels
    except ImportError:
        return None
    return kernels
