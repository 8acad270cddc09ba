"""Holding Python's cycle collector back while numbers are worked out.

One full pass over the objects of a book of 100,000 birds stops every thread for 0.4 to 0.9 s (measured),
the window's among them, and jobs that make many objects set it off again and again.
"""

import gc
import time

_LONG_S = 1.0
"""Work that takes longer leaves the objects of a large book behind; they live as long as it does."""

_jobs = 0
_since = 0.0


def hold_back() -> None:
    """A job begins: no pass before the last one has ended."""
    global _jobs, _since
    if _jobs == 0:
        _since = time.monotonic()
    _jobs += 1
    gc.disable()


def let_go() -> None:
    """A job has ended; after the last one the collector runs again.

    What long work left behind is set aside first, so that the next pass need not walk through it.
    """
    global _jobs
    _jobs -= 1
    if _jobs > 0:
        return
    if time.monotonic() - _since > _LONG_S:
        gc.freeze()
    gc.enable()
