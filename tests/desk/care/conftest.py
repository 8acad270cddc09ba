"""The room Care over a yard with two pens: Usk with Avens and Betony in the first, Lune with Cowslip in the second."""

from pathlib import Path

import pytest

from studbook.desk.app import settle
from studbook.desk.rooms.care.room import CareRoom
from studbook.desk.window import Window
from tests.desk.birds.conftest import book, changes
from tests.flock import TODAY
from tests.season_flock import new_yard

__all__ = ["book", "changes", "room"]


@pytest.fixture
def room(window: Window, tmp_path: Path) -> CareRoom:
    """The room, filled."""
    yard = new_yard(tmp_path / "yard.studbook")
    yard.book.close()
    window.context.record.open(yard.book.path, today=TODAY)
    settle(window)
    found = window.go("care")
    settle(window)
    assert isinstance(found, CareRoom)
    return found
