"""A small flock and its policies."""

import pytest

from studbook.book.records import Sex, Snapshot
from tests.planning.flock import bird, flock


@pytest.fixture(scope="session")
def snapshot() -> Snapshot:
    """The small flock with two more hens of 2025, full sisters of Wye and Hazel."""
    return flock(
        bird("Clover", Sex.HEN, "2025-04-01", "W25-01", "Wye", "Hazel"),
        bird("Teasel", Sex.HEN, "2025-04-01", "W25-02", "Wye", "Hazel"),
    )
