"""The books opened lately, newest first, kept in the settings."""

from pathlib import Path

from PySide6.QtCore import QSettings

_KEPT = 8
_KEY = "books/recent"


class RecentBooks:
    """A short list of paths."""

    def __init__(self, settings: QSettings) -> None:
        self._settings = settings

    @property
    def paths(self) -> tuple[Path, ...]:
        """The books, newest first, also those that are no longer there."""
        kept = self._settings.value(_KEY) or []
        return tuple(Path(text) for text in ([kept] if isinstance(kept, str) else kept))

    @property
    def last(self) -> Path | None:
        """The book that was open last, if it is still there."""
        return next((path for path in self.paths[:1] if path.exists()), None)

    def add(self, path: Path) -> None:
        """Put `path` first."""
        paths = [path, *(other for other in self.paths if other != path)][:_KEPT]
        self._settings.setValue(_KEY, [str(kept) for kept in paths])

    def clear(self) -> None:
        """Forget them all."""
        self._settings.remove(_KEY)
