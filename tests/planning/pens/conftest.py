"""The small flock with two pens, in memory and through the door, and sentences as plain texts by name."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from studbook.book.records import Snapshot
from studbook.planning.sentences import Sentence, plain
from tests.season_flock import Yard, new_yard


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    yard = new_yard(tmp_path / "flock.db")
    yield yard
    yard.book.close()


def teller(snapshot: Snapshot) -> Callable[[Sentence], str]:
    """Writes a sentence with the birds by name."""
    return lambda sentence: plain(
        sentence, lambda bird: snapshot.bird(bird).name, lambda number, places: f"{number:.{places}f}"
    )
