"""What every test stands on: no screen, no network, folders of its own, the same clock and language."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.update(LC_ALL="C.UTF-8", LANGUAGE="en", TZ="UTC", QT_SCALE_FACTOR="1")

import socket
from pathlib import Path

import pytest

from studbook import words


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--rewrite-golden", action="store_true", help="write the golden files anew, to review the difference"
    )


@pytest.fixture
def rewrite_golden(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--rewrite-golden"))


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The user's folders of this test, so that none touches the real ones."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("HOME", str(home))
    for name in ("DATA", "CONFIG", "CACHE", "STATE"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(home / name.lower()))
    return home


@pytest.fixture(autouse=True)
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """The program opens no network connection: a try fails the test."""
    connect = socket.socket.connect

    def guarded(self: socket.socket, address: object) -> None:
        if self.family in (socket.AF_INET, socket.AF_INET6):
            pytest.fail(f"a network connection to {address} was tried")
        connect(self, address)  # type: ignore[arg-type]

    monkeypatch.setattr(socket.socket, "connect", guarded)


@pytest.fixture(autouse=True)
def source_language() -> None:
    """Every test starts with the texts as they are in the source."""
    words.use_language("en")
