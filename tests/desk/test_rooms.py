"""Rooms stand on what they share and not on one another."""

import re
from pathlib import Path

from studbook.desk import rooms

HOME = Path(rooms.__path__[0])


def test_no_room_imports_another() -> None:
    found = [
        f"{file.relative_to(HOME)} imports {other}"
        for file in sorted(HOME.rglob("*.py"))
        for other in re.findall(r"studbook\.desk\.rooms\.(\w+)", file.read_text(encoding="utf-8"))
        if other != file.relative_to(HOME).parts[0]
    ]
    assert found == []


def test_what_rooms_share_knows_no_room() -> None:
    shared = [*(HOME.parent / "deeds").rglob("*.py"), *(HOME.parent / "hatch").rglob("*.py")]
    assert shared
    assert [file.name for file in shared if "desk.rooms" in file.read_text(encoding="utf-8")] == []
