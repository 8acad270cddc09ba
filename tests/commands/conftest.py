"""A book on disk and a way to run a command line as a shell would."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from studbook.book.changes import Chick, RegisterHatch
from studbook.book.records import Pair
from studbook.commands.main import run
from studbook.dates import PartialDate
from tests.flock import founders, new_book, ring


@dataclass(frozen=True)
class Outcome:
    """What a command did: its exit code and what it printed."""

    code: int
    out: str
    err: str

    @property
    def document(self) -> Any:
        return json.loads(self.out)


Command = Callable[..., Outcome]


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str]) -> Command:
    def run_command(*words: object) -> Outcome:
        capsys.readouterr()
        try:
            code = run([str(word) for word in words])
        except SystemExit as ended:
            code = int(ended.code or 0)
        printed = capsys.readouterr()
        return Outcome(code, printed.out, printed.err)

    return run_command


@pytest.fixture
def flock(tmp_path: Path) -> Path:
    """Severn (W23-01) and Sorrel (W23-02), their chicks W26-01 to W26-08."""
    with new_book(tmp_path / "flock.db") as book:
        severn, sorrel = founders(book)
        chicks = tuple(Chick(ring(f"W26-{number:02d}")) for number in range(1, 9))
        book.apply(RegisterHatch(PartialDate(2026, 4, 12), (Pair(severn, sorrel),), chicks))
    return book.path
