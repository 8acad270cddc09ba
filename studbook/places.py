"""Where things lie: the program's own resources and the user's folders."""

from functools import cache
from pathlib import Path

import platformdirs

_PACKAGE = Path(__file__).parent


@cache
def _roots() -> tuple[Path, ...]:
    """The places resources may lie: inside the installed package first, then the checkout."""
    return (_PACKAGE, _PACKAGE.parent)


def _find(*parts: str) -> Path:
    for root in _roots():
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise FileNotFoundError(f"{'/'.join(parts)} is missing from this installation of Studbook")


def resource(*parts: str) -> Path:
    """The path of a file or folder below ``resources/``.

    Raises
    ------
    FileNotFoundError
        If the installation lacks it.
    """
    return _find("resources", *parts)


def demo_flock() -> Path:
    """The sample book that ships with the program; never opened in place."""
    return _find("demo_flock.db")


def data_folder() -> Path:
    """The user's data folder, made when it is missing."""
    return platformdirs.user_data_path("studbook", appauthor=False, ensure_exists=True)


def settings_file() -> Path:
    """Where the window keeps its sizes, columns and recent books."""
    return platformdirs.user_config_path("studbook", appauthor=False, ensure_exists=True) / "window.ini"
